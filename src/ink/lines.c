/* From a scan's evened grey pixels to ink, step by step: coarse scans doubled (lines_double.c),
 * threshold (sauvola.c), specks (lines_specks.c), distances (lines_distance.c), thinning
 * (skeleton.c), ends and joints (lines_graph.c, lines_prune.c), crossings (lines_cross.c),
 * lines with their width (lines_runs.c, lines_follow.c, lines_profile.c, lines_ends.c,
 * lines_fit.c), what is left (lines_rest.c), areas (lines_areas.c). */
#include "ink/lines.h"

#include "ink/lines_areas.h"
#include "ink/lines_distance.h"
#include "ink/lines_double.h"
#include "ink/lines_follow.h"
#include "ink/lines_rest.h"
#include "ink/lines_specks.h"
#include "ink/lines_tones.h"
#include "ink/sauvola.h"

/* Wider ink is an area: no burin and few knives cut a line so wide (common practice, no
 * source). */
#define WIDEST_LINE_MM 1.25
/* Scans coarser than this (400 dpi) are doubled first. */
#define COARSE_PX_PER_MM 15.7
/* In dark classes of less contrast there may be no ink at all. */
#define FLOOR_LEAST_CONTRAST 64

TapulLinesOptions tapul_lines_options_defaults(void) {
    return (TapulLinesOptions){
        .sauvola_k = 0.2, .sauvola_r = 128, .window_px = 71, .speck_px = 2};
}

static void tell(const TapulLinesOptions *options, double fraction, const char *stage) {
    if (options->progress)
        options->progress(fraction, stage, options->progress_data);
}

/* A quarter of the way from ink to paper is ink wherever it is; without two classes nothing is
 * known. */
static double dark_floor(const TapulGreyClasses *classes) {
    double contrast = classes->light_mean - classes->dark_mean;
    return contrast >= FLOOR_LEAST_CONTRAST ? classes->dark_mean + contrast / 4 : -1;
}

/* The picture's ink, on a map of factor times as many pixels each way. */
static TapulMap threshold(const TapulGreyImage *image, int factor,
                          const TapulLinesOptions *options, const TapulGreyClasses *classes,
                          TapulInk *ink) {
    TapulMap map = tapul_map_new(factor * image->width_px, factor * image->height_px);
    /* Twice an odd window is even: one more keeps a middle pixel. */
    const TapulSauvola rule = {options->sauvola_k, options->sauvola_r,
                               factor * options->window_px + (factor - 1), dark_floor(classes)};
    guint8 *doubled = factor == 2 ? tapul_lines_doubled(image) : NULL;
    tell(options, 0, "threshold");
    tapul_sauvola_ink(doubled ? doubled : image->grey, &rule, &map);
    g_free(doubled);
    tell(options, 0.1, "specks");
    int specks = tapul_specks_remove(&map, factor * options->speck_px);
    if (ink->scan)
        ink->scan->specks += specks;
    return map;
}

/* The way from pixels to the print's mm. */
typedef struct {
    const TapulGreyImage *image;
    double det_px2; /* square pixels to a square mm, signed */
} Frame;

static Frame frame_of(const TapulGreyImage *image) {
    return (Frame){image, tapul_vec2_cross(image->px_by_x, image->px_by_y)};
}

static double frame_px_per_mm(const Frame *frame) {
    return sqrt(fabs(frame->det_px2));
}

static TapulVec2 frame_mm(const Frame *frame, TapulVec2 px) {
    TapulVec2 away = tapul_vec2_sub(px, frame->image->origin_px);
    return tapul_vec2(tapul_vec2_cross(away, frame->image->px_by_y) / frame->det_px2,
                      tapul_vec2_cross(frame->image->px_by_x, away) / frame->det_px2);
}

/* A pixel of the map in px of the picture. */
static double map_px(const Frame *frame, const TapulMap *map) {
    return (double)frame->image->width_px / map->width_px;
}

/* Takes the path, in px; keeps it as a mark where its middle is on the print. */
static void add_mark(TapulInk *ink, const Frame *frame, TapulPath *path, TapulMarkKind kind,
                     double width_px) {
    for (guint i = 0; i < path->points->len; i++) {
        TapulVec2 *point = &g_array_index(path->points, TapulVec2, i);
        *point = frame_mm(frame, *point);
    }
    TapulBox box = tapul_path_box(path);
    TapulVec2 middle = tapul_vec2_mix(box.min, box.max, 0.5);
    if (!(middle.x >= 0 && middle.x <= ink->width_mm && middle.y >= 0 &&
          middle.y <= ink->height_mm)) {
        tapul_path_free(path);
        return;
    }
    TapulMark *mark = g_new0(TapulMark, 1);
    *mark = (TapulMark){.kind = kind,
                        .path = path,
                        .width_mm = width_px / frame_px_per_mm(frame),
                        .cap = TAPUL_CAP_ROUND,
                        .join = TAPUL_JOIN_ROUND,
                        .mitre_limit = 4,
                        .even_odd = kind == TAPUL_MARK_FILL,
                        .motif = -1};
    g_ptr_array_add(ink->marks, mark);
}

static gboolean add_areas(TapulInk *ink, const Frame *frame, const TapulMap *map, guint8 bit,
                          GError **error) {
    g_autoptr(GPtrArray) outlines = tapul_areas_outline(map, bit);
    if (!outlines) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                    "no memory to outline the areas of %d x %d pixels", map->width_px,
                    map->height_px);
        return FALSE;
    }
    for (guint i = 0; i < outlines->len; i++) {
        TapulPath *path = g_steal_pointer(&outlines->pdata[i]);
        for (guint k = 0; k < path->points->len; k++) {
            TapulVec2 *point = &g_array_index(path->points, TapulVec2, k);
            *point = tapul_vec2_scale(*point, map_px(frame, map));
        }
        add_mark(ink, frame, path, TAPUL_MARK_FILL, 0);
    }
    return TRUE;
}

/* The strokes of one chain (GArray of TapulLineStroke), or NULL; its areas' pixels are marked
 * on the map. */
static GArray *chain_strokes(const TapulLineWork *work, int chain) {
    g_autoptr(GArray) points = tapul_chain_points(work, chain);
    g_autoptr(GArray) runs = g_array_new(FALSE, FALSE, sizeof(TapulLineRun));
    tapul_chain_runs(work, chain, points, runs);
    for (guint i = 0; i < points->len; i++) {
        const TapulChainPoint *point = &g_array_index(points, TapulChainPoint, i);
        if (point->area)
            work->graph->map->at[point->place] |= TAPUL_MAP_AREA;
    }
    GArray *strokes = runs->len > 0 ? g_array_new(FALSE, FALSE, sizeof(TapulLineStroke)) : NULL;
    for (guint i = 0; i < runs->len; i++)
        tapul_chain_strokes(work, &g_array_index(runs, TapulLineRun, i), points, strokes);
    return strokes;
}

static void add_lines(TapulInk *ink, const Frame *frame, const TapulLineWork *work) {
    int n = (int)work->chains->closed->len;
    GArray **strokes = g_new0(GArray *, (gsize)n + 1);
#pragma omp parallel for schedule(dynamic, 32)
    for (int i = 0; i < n; i++)
        strokes[i] = chain_strokes(work, i);
    for (int i = 0; i < n; i++) {
        if (!strokes[i])
            continue;
        for (guint k = 0; k < strokes[i]->len; k++) {
            const TapulLineStroke *stroke = &g_array_index(strokes[i], TapulLineStroke, k);
            tapul_rest_cover(work->graph->map, stroke->path, stroke->width_px, work->map_px);
            add_mark(ink, frame, stroke->path, TAPUL_MARK_STROKE, stroke->width_px);
        }
        g_array_unref(strokes[i]);
    }
    g_free(strokes);
}

/* Lines through the skeleton; what is no line is left marked TAPUL_MAP_AREA on the map. */
static void find_lines(TapulInk *ink, const Frame *frame, const TapulLinesOptions *options,
                       const TapulGreyClasses *classes, TapulMap *map) {
    tell(options, 0.25, "thinning");
    guint16 *distance_px2 = tapul_distance_squared_px2(map);
    TapulPeeled peeled = tapul_skeleton_thin(map, distance_px2);
    tell(options, 0.45, "crossings");
    g_autoptr(TapulLineGraph) graph = tapul_line_graph_new(map, distance_px2);
    tapul_line_graph_prune(graph, &peeled);
    TapulLineChains chains = tapul_line_chains(graph);
    tell(options, 0.6, "centre lines");
    const TapulLineWork work = {.graph = graph,
                                .chains = &chains,
                                .image = frame->image,
                                .tones = tapul_tones(frame->image, classes, map, distance_px2),
                                .map_px = map_px(frame, map),
                                .widest_px = WIDEST_LINE_MM * frame_px_per_mm(frame)};
    add_lines(ink, frame, &work);
    tapul_line_graph_mark_joints(graph);
    tapul_skeleton_spread(map, distance_px2, &peeled);
    tapul_rest_mark_areas(map, work.map_px);
    tapul_line_chains_clear(&chains);
    g_free(peeled.place);
    g_free(distance_px2);
}

gboolean tapul_lines_from_grey(const TapulGreyImage *image, const TapulLinesOptions *options,
                               TapulInk *ink, GError **error) {
    Frame frame = frame_of(image);
    TapulGreyClasses classes = tapul_grey_classes(image);
    int factor = frame_px_per_mm(&frame) < COARSE_PX_PER_MM ? 2 : 1;
    TapulMap map = threshold(image, factor, options, &classes, ink);
    if (!options->areas_only)
        find_lines(ink, &frame, options, &classes, &map);
    tell(options, 0.85, "areas");
    gboolean done = add_areas(ink, &frame, &map,
                              options->areas_only ? TAPUL_MAP_INK : TAPUL_MAP_AREA, error);
    g_free(map.at);
    tell(options, 1, "areas");
    return done;
}
