/* Ink sampled, and its distance maps by direction (chamfer matching: Barrow, Tenenbaum, Bolles
 * & Wolf 1977; by direction: Liu, Tuzel, Veeraraghavan & Chellappa 2010). The distances are
 * those of ink/lines_distance.c: a pixel without ink is to it what ink is there. */
#include "evidence/ink_map.h"
#include "ink/lines_distance.h"

#define REACH_PX2 (TAPUL_INK_REACH_PX * TAPUL_INK_REACH_PX)
/* Ink counts in bins whose middle is within this of its direction. */
#define BIN_REACH_RAD (G_PI / TAPUL_INK_BINS)
/* Rounding of an angle that lies on a bin's limit. */
#define ANGLE_ROUNDING_RAD 1e-9

/* --- Samples --- */

static void add_piece(GArray *nodes, const TapulPathPiece *piece, gboolean fill, int motif) {
    double length_mm = piece->verb == TAPUL_VERB_CURVE
                           ? tapul_cubic_length(piece->p)
                           : tapul_vec2_distance(piece->p[0], piece->p[3]);
    int n = MAX(1, (int)ceil(length_mm / TAPUL_INK_STEP_MM));
    for (int i = piece->starts_subpath ? 0 : 1; i <= n; i++) {
        TapulInkNode node = {tapul_cubic_point(piece->p, (double)i / n), i == 0, fill, motif};
        g_array_append_val(nodes, node);
    }
}

GArray *tapul_ink_nodes(const TapulInk *ink) {
    GArray *nodes = g_array_new(FALSE, FALSE, sizeof(TapulInkNode));
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        TapulPathWalk walk = tapul_path_walk(mark->path);
        TapulPathPiece piece;
        if (mark->paper)
            continue;
        while (tapul_path_walk_next(&walk, &piece))
            add_piece(nodes, &piece, mark->kind == TAPUL_MARK_FILL, mark->motif);
    }
    return nodes;
}

double tapul_ink_folded(double angle_rad) {
    double turned = angle_rad - G_PI * floor(angle_rad / G_PI);
    return turned < G_PI ? turned : 0;
}

GArray *tapul_ink_samples(const GArray *nodes) {
    GArray *samples = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    for (guint i = 1; i < nodes->len; i++) {
        const TapulInkNode *from = &g_array_index(nodes, TapulInkNode, i - 1);
        const TapulInkNode *to = &g_array_index(nodes, TapulInkNode, i);
        TapulVec2 along = tapul_vec2_sub(to->at_mm, from->at_mm);
        double run_mm = tapul_vec2_length(along);
        /* NAN where a node could not be laid. */
        if (to->starts || !(run_mm > 0))
            continue;
        TapulInkSample sample = {tapul_vec2_mix(from->at_mm, to->at_mm, 0.5),
                                 tapul_ink_folded(atan2(along.y, along.x)), run_mm,
                                 to->fill ? run_mm / 2 : run_mm, to->motif};
        g_array_append_val(samples, sample);
    }
    return samples;
}

/* --- Distances --- */

int tapul_ink_bin(double angle_rad) {
    int bin = (int)(tapul_ink_folded(angle_rad) / G_PI * TAPUL_INK_BINS + 0.5);
    return bin < TAPUL_INK_BINS ? bin : 0;
}

static gboolean counts_in(const TapulInkSample *sample, int bin) {
    if (bin == TAPUL_INK_BINS)
        return TRUE;
    double apart = tapul_ink_folded(sample->angle_rad - bin * G_PI / TAPUL_INK_BINS);
    return fmin(apart, G_PI - apart) <= BIN_REACH_RAD + ANGLE_ROUNDING_RAD;
}

/* Puts a sample on the map: a pixel for each pixel's width of it. */
static void stamp(const TapulInkMap *map, TapulMap *ground, const TapulInkSample *sample) {
    int n = MAX(1, (int)ceil(sample->run_mm / TAPUL_INK_PIXEL_MM));
    TapulVec2 along = tapul_vec2_turn(tapul_vec2(sample->run_mm, 0), sample->angle_rad);
    for (int i = 0; i < n; i++) {
        TapulVec2 at =
            tapul_vec2_add(sample->at_mm, tapul_vec2_scale(along, (i + 0.5) / n - 0.5));
        int x = (int)lround((at.x - map->origin_mm.x) / TAPUL_INK_PIXEL_MM);
        int y = (int)lround((at.y - map->origin_mm.y) / TAPUL_INK_PIXEL_MM);
        ground->at[tapul_map_place(ground, x, y)] = 0;
    }
}

static guint16 *distances_of_bin(const TapulInkMap *map, int bin) {
    TapulMap ground = tapul_map_new(map->width_px, map->height_px);
    gsize n = (gsize)ground.stride * ((gsize)map->height_px + 2);
    memset(ground.at, TAPUL_MAP_INK, n);
    for (guint i = 0; i < map->samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(map->samples, TapulInkSample, i);
        if (counts_in(sample, bin))
            stamp(map, &ground, sample);
    }
    guint16 *squared_px2 = tapul_distance_squared_px2(&ground);
    for (gsize i = 0; i < n; i++)
        squared_px2[i] = MIN(squared_px2[i], REACH_PX2);
    g_free(ground.at);
    return squared_px2;
}

TapulInkMap *tapul_ink_map_new_take(GArray *samples) {
    TapulInkMap *map = g_new0(TapulInkMap, 1);
    map->samples = samples;
    map->box_mm = tapul_box_empty();
    for (guint i = 0; i < samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(samples, TapulInkSample, i);
        TapulVec2 half = tapul_vec2_turn(tapul_vec2(sample->run_mm / 2, 0), sample->angle_rad);
        tapul_box_add(&map->box_mm, tapul_vec2_sub(sample->at_mm, half));
        tapul_box_add(&map->box_mm, tapul_vec2_add(sample->at_mm, half));
        map->length_mm += sample->weight_mm;
    }
    if (samples->len == 0)
        return map;
    /* The transform takes the picture's edge for ink, so a rim as wide as the reach says
     * nothing; within the rim as wide a strip around the ink. */
    int margin_px = 2 * TAPUL_INK_REACH_PX + 1;
    int x0 = (int)floor(map->box_mm.min.x / TAPUL_INK_PIXEL_MM) - margin_px;
    int y0 = (int)floor(map->box_mm.min.y / TAPUL_INK_PIXEL_MM) - margin_px;
    map->origin_mm = tapul_vec2(x0 * TAPUL_INK_PIXEL_MM, y0 * TAPUL_INK_PIXEL_MM);
    map->width_px = (int)ceil(map->box_mm.max.x / TAPUL_INK_PIXEL_MM) + margin_px - x0;
    map->height_px = (int)ceil(map->box_mm.max.y / TAPUL_INK_PIXEL_MM) + margin_px - y0;
    map->stride = map->width_px + 2;
    for (int bin = 0; bin <= TAPUL_INK_BINS; bin++)
        map->squared_px2[bin] = distances_of_bin(map, bin);
    return map;
}

TapulInkMap *tapul_ink_map_new(const TapulInk *ink) {
    g_autoptr(GArray) nodes = tapul_ink_nodes(ink);
    return tapul_ink_map_new_take(tapul_ink_samples(nodes));
}

void tapul_ink_map_free(TapulInkMap *map) {
    if (!map)
        return;
    g_array_unref(map->samples);
    for (int bin = 0; bin <= TAPUL_INK_BINS; bin++)
        g_free(map->squared_px2[bin]);
    g_free(map);
}

/* Roots of all squares up to the reach. */
static gpointer make_roots(gpointer unused) {
    static float root_mm[REACH_PX2 + 1];
    (void)unused;
    for (int i = 0; i <= REACH_PX2; i++)
        root_mm[i] = (float)(sqrt(i) * TAPUL_INK_PIXEL_MM);
    return root_mm;
}

double tapul_ink_map_distance_mm(const TapulInkMap *map, TapulVec2 at_mm, int bin) {
    static GOnce once = G_ONCE_INIT;
    const float *root_mm = g_once(&once, make_roots, NULL);
    double x = (at_mm.x - map->origin_mm.x) / TAPUL_INK_PIXEL_MM;
    double y = (at_mm.y - map->origin_mm.y) / TAPUL_INK_PIXEL_MM;
    int rim = TAPUL_INK_REACH_PX;
    if (!(x >= rim && y >= rim && x < map->width_px - 1 - rim && y < map->height_px - 1 - rim))
        return TAPUL_INK_REACH_MM;
    int i = (int)x, j = (int)y;
    double u = x - i, v = y - j;
    const guint16 *low = map->squared_px2[bin] + (gsize)(j + 1) * (gsize)map->stride + i + 1;
    const guint16 *high = low + map->stride;
    double below = root_mm[low[0]] + u * ((double)root_mm[low[1]] - root_mm[low[0]]);
    double above = root_mm[high[0]] + u * ((double)root_mm[high[1]] - root_mm[high[0]]);
    return below + v * (above - below);
}
