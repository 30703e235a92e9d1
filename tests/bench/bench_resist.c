/* How fast the resist is drawn: 10,000 short lines, a demonstration piece's, on a cylinder's
 * paper, on two threads and one; and beside it GEOS alone, given all lines at once: widened,
 * put together and grown, without cells. */
#include "pounce/outlines.h"
#include "pounce/parts.h"

#include <glib/gstdio.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS    5
#define STROKES 10000

#define SURFACE                                                                                \
    "tapul: plate/1\nname: tube\nsurface: { kind: cylinder, radius_mm: 100, height_mm: 300, "  \
    "sweep_deg: 170 }\n"

/* A case with its one paper. */
typedef struct {
    TapulCase question;
    TapulPattern *pattern;
    TapulPouncePiece piece;
    GPtrArray *pieces, *laid;
} Etching;

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds) {
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-48s median %6.2f s, %6.2f to %6.2f; %7.0f lines/s\n", what, seconds[RUNS / 2],
           seconds[0], seconds[RUNS - 1], STROKES / seconds[RUNS / 2]);
}

/* Wavy lines of 3 mm, 0.35 mm wide, in tufts of ten. */
static void draw_lines(Etching *etching) {
    g_autoptr(GRand) random = g_rand_new_with_seed(1);
    TapulVec2 tuft = {0, 0};
    for (int i = 0; i < STROKES; i++) {
        if (i % 10 == 0)
            tuft = tapul_vec2(g_rand_double_range(random, -130, 130),
                              g_rand_double_range(random, -130, 130));
        TapulVec2 at = tapul_vec2_add(tuft, tapul_vec2(0, 0.6 * (i % 10)));
        TapulMark *mark = g_new0(TapulMark, 1);
        *mark = (TapulMark){.kind = TAPUL_MARK_STROKE,
                            .path = tapul_path_new(),
                            .width_mm = 0.35,
                            .cap = TAPUL_CAP_ROUND,
                            .join = TAPUL_JOIN_ROUND,
                            .motif = -1};
        tapul_path_move(mark->path, at);
        tapul_path_curve(mark->path, tapul_vec2(at.x + 1, at.y + 1),
                         tapul_vec2(at.x + 2, at.y - 1), tapul_vec2(at.x + 3, at.y));
        g_ptr_array_add(etching->piece.ink, mark);
        g_ptr_array_add(etching->piece.ink_laying, GINT_TO_POINTER(0));
    }
}

static TapulPlate *some_plate(GError **error) {
    g_autofree char *path = NULL;
    int handle = g_file_open_tmp("tapul-XXXXXX.yaml", &path, NULL);
    if (handle < 0 || !g_close(handle, NULL) || !g_file_set_contents(path, SURFACE, -1, NULL))
        g_error("no temporary file");
    TapulPlate *plate = tapul_plate_load(path, NULL, error);
    g_unlink(path);
    return plate;
}

static gboolean make_paper(Etching *etching, GError **error) {
    TapulCase *question = &etching->question;
    TapulDevelopOptions options = tapul_develop_options_defaults();
    question->plate = some_plate(error);
    if (!question->plate)
        return FALSE;
    const TapulMesh *mesh = tapul_plate_mesh(question->plate);
    question->development = tapul_develop(mesh, &options, error);
    etching->pattern = question->development ? tapul_pattern_new(mesh, NULL, 0, error) : NULL;
    if (!etching->pattern)
        return FALSE;
    question->finder = tapul_development_finder_new(question->development);
    question->ground = (TapulGround){question->plate, question->development, question->finder};
    question->pounce =
        (TapulCasePounce){.resist = TAPUL_RESIST_GROUND,
                          .depth_mm = 0.12,
                          .etch_factor = 2,
                          .finest_mm = 0.3,
                          .working_share = 0.5,
                          .bites = g_array_new(FALSE, FALSE, sizeof(TapulCaseBite))};
    etching->piece = (TapulPouncePiece){
        .number = 1,
        .piece = g_ptr_array_index(etching->pattern->pieces, 0),
        .ink = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free),
        .ink_laying = g_ptr_array_new()};
    etching->laid = g_ptr_array_new();
    etching->pieces = g_ptr_array_new();
    g_ptr_array_add(etching->pieces, &etching->piece);
    return tapul_pounce_outline(etching->pattern, &etching->piece, 0, error);
}

static void free_paper(Etching *etching) {
    tapul_path_free(etching->piece.outline);
    tapul_path_free(etching->piece.cut);
    tapul_path_free(etching->piece.score);
    g_ptr_array_unref(etching->piece.ink);
    g_ptr_array_unref(etching->piece.ink_laying);
    g_ptr_array_unref(etching->pieces);
    g_ptr_array_unref(etching->laid);
    tapul_pattern_free(etching->pattern);
    g_array_unref(etching->question.pounce.bites);
    tapul_development_finder_free(etching->question.finder);
    tapul_development_free(etching->question.development);
    tapul_plate_free(etching->question.plate);
}

static TapulResist *some_resist(const Etching *etching) {
    g_autoptr(GError) error = NULL;
    TapulResist *resist = tapul_pounce_resist(&etching->question, etching->laid,
                                              etching->pattern, etching->pieces, NULL, &error);
    if (!resist)
        g_error("%s", error->message);
    return resist;
}

static void time_resist(const Etching *etching, int threads) {
    double seconds[RUNS];
    omp_set_num_threads(threads);
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime();
        tapul_resist_free(some_resist(etching));
        if (run >= 0)
            seconds[run] = omp_get_wtime() - start;
    }
    g_autofree char *what = g_strdup_printf("resist, bites and thin parts, %d thread%s",
                                            threads, threads > 1 ? "s" : "");
    tell(what, seconds);
}

static void time_geos(const Etching *etching) {
    double seconds[RUNS];
    const TapulPouncePiece *piece = &etching->piece;
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime();
        g_autoptr(TapulShapes) shapes = tapul_shapes_new();
        g_autoptr(GPtrArray) parts = g_ptr_array_new();
        for (guint i = 0; i < piece->ink->len; i++)
            tapul_mark_parts(shapes, g_ptr_array_index(piece->ink, i), 0, parts);
        GEOSGeometry *all = tapul_shape_union(shapes, parts);
        if (!tapul_shape_grow(shapes, all, 0.06))
            g_error("GEOS gave up");
        if (run >= 0)
            seconds[run] = omp_get_wtime() - start;
    }
    tell("GEOS: union and buffer at once, 1 thread", seconds);
}

int main(void) {
    Etching etching = {.pattern = NULL};
    g_autoptr(GError) error = NULL;
    if (!make_paper(&etching, &error))
        g_error("%s", error->message);
    draw_lines(&etching);
    printf("%d processors, GEOS %s; %d lines, seed 1\n", omp_get_num_procs(), GEOSversion(),
           STROKES);
    for (int threads = 2; threads >= 1; threads--)
        time_resist(&etching, threads);
    time_geos(&etching);
    free_paper(&etching);
    return 0;
}
