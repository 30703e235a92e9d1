/* The design of a piece as small areas in drawing order. Beyond seams it goes on as the
 * neighbour shows it, on both papers, so that the resist of both meets at the seam. */
#include "pounce/carry.h"
#include "pounce/outlines.h"
#include "pounce/resist_parts.h"

#include <string.h>

/* Marks outlined by one thread at a time. */
#define BLOCK 64

void tapul_design_free(TapulDesign *design) {
    if (!design)
        return;
    g_ptr_array_unref(design->bags);
    g_array_unref(design->parts);
    g_ptr_array_unref(design->charts);
    tapul_metal_scale_free(design->scale);
    g_free(design);
}

/* --- Stop-out --- */

/* Whether a name of the case's means a mark: its print's id, or "print/motif". */
static gboolean names_mark(const char *name, const TapulPrint *print, const TapulMark *mark) {
    gsize length = strlen(print->id);
    if (strcmp(name, print->id) == 0)
        return TRUE;
    if (mark->motif < 0 || strncmp(name, print->id, length) != 0 || name[length] != '/')
        return FALSE;
    const TapulMotif *motif = g_ptr_array_index(print->ink->motifs, (guint)mark->motif);
    return strcmp(motif->id, name + length + 1) == 0;
}

static int first_stopped(const TapulResistPlan *plan, const TapulMark *mark, int laying) {
    const TapulCase *question = plan->question;
    if (!plan->stops)
        return G_MAXINT;
    const TapulCaseLaying *laid = g_ptr_array_index(question->layings, (guint)laying);
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)laid->print);
    for (int bite = 0; bite < plan->n_bites; bite++) {
        char **names = g_array_index(plan->asked->bites, TapulCaseBite, (guint)bite).stop_out;
        for (int i = 0; names && names[i]; i++)
            if (names_mark(names[i], print, mark))
                return bite;
    }
    return G_MAXINT;
}

/* --- Marks --- */

/* A mark of the piece, and the areas that came of it. */
typedef struct {
    const TapulMark *mark;
    int laying;
    gboolean beyond;   /* a seam */
    GPtrArray *shapes; /* of GEOSGeometry* */
    gboolean failed;
} Job;

static void clear_job(gpointer data) {
    g_ptr_array_unref(((Job *)data)->shapes);
}

static void add_job(GArray *jobs, const TapulMark *mark, int laying, gboolean beyond) {
    Job job = {mark, laying, beyond, g_ptr_array_new(), FALSE};
    g_array_append_val(jobs, job);
}

static void free_turned(gpointer data) {
    TapulSeam *seam = data;
    g_free(seam->vertex[0]);
    g_free(seam->vertex[1]);
    g_free(seam);
}

/* The seams run the other way: what had its paper on the right has it on the left. */
static GPtrArray *turned_seams(const GPtrArray *seams) {
    GPtrArray *turned = g_ptr_array_new_with_free_func(free_turned);
    for (guint s = 0; s < seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(seams, s);
        TapulSeam *back = g_memdup2(seam, sizeof *seam);
        for (int side = 0; side < 2; side++) {
            back->piece[side] = seam->piece[1 - side];
            back->vertex[side] = g_new(int, seam->n);
            for (int i = 0; i < seam->n; i++)
                back->vertex[side][i] = seam->vertex[1 - side][seam->n - 1 - i];
        }
        back->closed_end = FALSE;
        g_ptr_array_add(turned, back);
    }
    return turned;
}

/* Half of the widest stroke that is laid. */
static double half_width_mm(const TapulResistPlan *plan) {
    double widest_mm = 0;
    for (guint l = 0; l < plan->laid->len; l++) {
        const TapulCaseLaid *laid = g_ptr_array_index(plan->laid, l);
        for (guint m = 0; laid->ink && m < laid->ink->marks->len; m++) {
            const TapulMark *mark = g_ptr_array_index(laid->ink->marks, m);
            if (mark->kind == TAPUL_MARK_STROKE)
                widest_mm = fmax(widest_mm, mark->width_mm);
        }
    }
    return widest_mm / 2;
}

/* The piece and the strips beyond its seams, on both sides of every seam: so wide that a stroke
 * that runs aslant is known to both its sides, though it ends where its middle line does. */
static GPtrArray *find_charts(const TapulResistPlan *plan, const TapulPouncePiece *piece) {
    double reach_mm = plan->reach_mm + half_width_mm(plan);
    g_autoptr(GPtrArray) seams = turned_seams(plan->pattern->seams);
    const TapulPattern turned = {plan->pattern->pieces, seams, plan->pattern->stretch};
    GPtrArray *charts =
        tapul_charts_new(plan->question, plan->pattern, piece->number - 1, reach_mm);
    GPtrArray *others = tapul_charts_new(plan->question, &turned, piece->number - 1, reach_mm);
    g_ptr_array_remove_index(others, 0); /* the piece itself */
    g_ptr_array_extend_and_steal(charts, others);
    return charts;
}

/* The marks beyond the seams, where the piece's own ink does not go on, or not far enough: kept
 * in beyond, which owns them. */
static gboolean add_beyond(const TapulResistPlan *plan, const TapulDesign *design,
                           GPtrArray *beyond, GArray *jobs) {
    g_autoptr(GPtrArray) strips = g_ptr_array_new();
    gboolean known = TRUE;
    for (guint i = 1; i < design->charts->len; i++)
        g_ptr_array_add(strips, g_ptr_array_index(design->charts, i));
    for (guint l = 0; strips->len > 0 && l < plan->laid->len; l++) {
        const TapulCaseLaid *laid = g_ptr_array_index(plan->laid, l);
        for (guint m = 0; laid->ink && m < laid->ink->marks->len; m++) {
            const TapulMark *mark = g_ptr_array_index(laid->ink->marks, m);
            guint before = beyond->len;
            if (mark->kind == TAPUL_MARK_STROKE)
                tapul_carry_stroke(strips, mark, beyond);
            else
                known &= tapul_carry_area(strips, mark, beyond);
            for (guint i = before; i < beyond->len; i++)
                add_job(jobs, g_ptr_array_index(beyond, i), (int)l, TRUE);
        }
    }
    return known;
}

/* What lies beyond a seam is so much larger, more than both papers may part there (carry.c
 * joins what is 0.005 mm apart), that no chink is left at the seam. A stroke ends square to its
 * last chord, which may turn off its course by END_TURN_RAD: so much more it is drawn on. */
#define OVER_SEAM_MM 0.01
#define END_TURN_RAD 0.3

static void outline_mark(TapulShapes *shapes, Job *job) {
    double longer_mm = job->beyond ? END_TURN_RAD * job->mark->width_mm / 2 : 0;
    job->failed = !tapul_mark_parts(shapes, job->mark, longer_mm, job->shapes);
    for (guint i = 0; job->beyond && i < job->shapes->len; i++) {
        GEOSGeometry **shape = (GEOSGeometry **)&g_ptr_array_index(job->shapes, i);
        *shape = tapul_shape_grow(shapes, *shape, OVER_SEAM_MM);
        job->failed |= *shape == NULL;
    }
}

static void outline_block(TapulShapes *shapes, GArray *jobs, guint block) {
    for (guint i = block * BLOCK; i < MIN((block + 1) * BLOCK, jobs->len); i++)
        outline_mark(shapes, &g_array_index(jobs, Job, i));
}

static void take_parts(const TapulResistPlan *plan, TapulDesign *design, const GArray *jobs) {
    TapulShapes *shapes = g_ptr_array_index(design->bags, 0);
    for (guint i = 0; i < jobs->len; i++) {
        const Job *job = &g_array_index(jobs, Job, i);
        for (guint k = 0; k < job->shapes->len; k++) {
            GEOSGeometry *shape = g_ptr_array_index(job->shapes, k);
            TapulDesignPart part = {shape, tapul_shape_extent(shapes, shape), (int)i,
                                    first_stopped(plan, job->mark, job->laying),
                                    job->mark->paper};
            g_array_append_val(design->parts, part);
        }
    }
}

static gboolean report_failed(const TapulPouncePiece *piece, const TapulMark *mark,
                              GError **error) {
    TapulBox box = tapul_path_box(mark->path);
    g_set_error(
        error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_GEOMETRY,
        "piece %d: the outline of a mark at x %.1f to %.1f and y %.1f to %.1f mm of its "
        "paper cannot be had: it is tangled",
        piece->number, box.min.x, box.max.x, box.min.y, box.max.y);
    return FALSE;
}

static gboolean outline_marks(const TapulResistPlan *plan, TapulDesign *design, GArray *jobs,
                              GError **error) {
    int blocks = (int)((jobs->len + BLOCK - 1) / BLOCK);
    guint first = design->bags->len;
    for (int i = 0; i < blocks; i++)
        g_ptr_array_add(design->bags, tapul_shapes_new());
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < blocks; i++)
        outline_block(g_ptr_array_index(design->bags, first + (guint)i), jobs, (guint)i);
    for (guint i = 0; i < jobs->len; i++)
        if (g_array_index(jobs, Job, i).failed)
            return report_failed(design->piece, g_array_index(jobs, Job, i).mark, error);
    take_parts(plan, design, jobs);
    return TRUE;
}

/* Marks on the piece come before those beyond its seams, which never cover it. */
static gboolean add_marks(const TapulResistPlan *plan, TapulDesign *design, GError **error) {
    const TapulPouncePiece *piece = design->piece;
    g_autoptr(GPtrArray) beyond =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    g_autoptr(GArray) jobs = g_array_new(FALSE, FALSE, sizeof(Job));
    g_array_set_clear_func(jobs, clear_job);
    for (guint i = 0; i < piece->ink->len; i++)
        add_job(jobs, g_ptr_array_index(piece->ink, i),
                GPOINTER_TO_INT(g_ptr_array_index(piece->ink_laying, i)), FALSE);
    if (!add_beyond(plan, design, beyond, jobs)) {
        g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_GEOMETRY,
                    "piece %d: a filled area cannot be cut at a seam: its outline is tangled",
                    piece->number);
        return FALSE;
    }
    return outline_marks(plan, design, jobs, error);
}

TapulDesign *tapul_design_new(const TapulResistPlan *plan, const TapulPouncePiece *piece,
                              GError **error) {
    g_autoptr(TapulDesign) design = g_new0(TapulDesign, 1);
    design->piece = piece;
    design->bags = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_shapes_free);
    design->parts = g_array_new(FALSE, FALSE, sizeof(TapulDesignPart));
    design->charts = find_charts(plan, piece);
    design->scale = tapul_metal_scale_new(piece->piece);
    TapulShapes *shapes = tapul_shapes_new();
    g_ptr_array_add(design->bags, shapes);
    design->paper = tapul_shape_of_path(shapes, piece->outline, FALSE);
    design->box = tapul_path_box(piece->outline);
    if (!design->paper) {
        g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_GEOMETRY,
                    "piece %d: its outline encloses no area", piece->number);
        return NULL;
    }
    return add_marks(plan, design, error) ? g_steal_pointer(&design) : NULL;
}
