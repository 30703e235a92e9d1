/* The laid design on a piece of paper: every mark of every laying carried through the paper's
 * charts. Second step of drawing a piece (parts.h). */
#include "pounce/carry.h"
#include "pounce/parts.h"

/* A mark to carry, and what came of it. */
typedef struct {
    const TapulMark *mark;
    int laying;
    GPtrArray *marks; /* of TapulMark* */
    gboolean failed;
} Job;

static void clear_job(gpointer data) {
    g_ptr_array_unref(((Job *)data)->marks);
}

/* All marks of all layings in drawing order. */
static GArray *jobs_of(const GPtrArray *laid) {
    GArray *jobs = g_array_new(FALSE, FALSE, sizeof(Job));
    g_array_set_clear_func(jobs, clear_job);
    for (guint l = 0; l < laid->len; l++) {
        const TapulCaseLaid *each = g_ptr_array_index(laid, l);
        for (guint m = 0; each->ink && m < each->ink->marks->len; m++) {
            Job job = {g_ptr_array_index(each->ink->marks, m), (int)l,
                       g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free), FALSE};
            g_array_append_val(jobs, job);
        }
    }
    return jobs;
}

static void do_job(const GPtrArray *charts, Job *job) {
    if (job->mark->kind == TAPUL_MARK_STROKE)
        tapul_carry_stroke(charts, job->mark, job->marks);
    else
        job->failed = !tapul_carry_area(charts, job->mark, job->marks);
}

/* Takes what came of a job over to the piece. */
static void take(TapulPouncePiece *piece, Job *job) {
    for (guint i = 0; i < job->marks->len; i++) {
        g_ptr_array_add(piece->ink, g_steal_pointer(&g_ptr_array_index(job->marks, i)));
        g_ptr_array_add(piece->ink_laying, GINT_TO_POINTER(job->laying));
    }
    g_ptr_array_set_free_func(job->marks, NULL);
}

gboolean tapul_pounce_ink(const TapulCase *question, const GPtrArray *laid,
                          const TapulPattern *pattern, TapulPouncePiece *piece,
                          double allowance_mm, GError **error) {
    g_autoptr(GPtrArray) charts =
        tapul_charts_new(question, pattern, piece->number - 1, allowance_mm);
    g_autoptr(GArray) jobs = jobs_of(laid);
    int n = (int)jobs->len;
#pragma omp parallel for schedule(dynamic, 4)
    for (int i = 0; i < n; i++)
        do_job(charts, &g_array_index(jobs, Job, i));
    for (int i = 0; i < n; i++) {
        Job *job = &g_array_index(jobs, Job, i);
        if (job->failed) {
            TapulBox box = tapul_path_box(job->mark->path);
            g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_GEOMETRY,
                        "piece %d: a filled area of laying %d, x %.1f to %.1f and y %.1f to "
                        "%.1f mm in the development, cannot be cut at the paper's edge: its "
                        "outline is tangled",
                        piece->number, job->laying + 1, box.min.x, box.max.x, box.min.y,
                        box.max.y);
            return FALSE;
        }
        take(piece, job);
    }
    return TRUE;
}
