/* Proposes the levels at which a real plate of a type is to be read, and the places along each.
 *
 * The measuring sheet draws and lists them. Readings stand at equal lengths over the metal, so
 * that a steep flank gets as many as a flat front.
 */
#include "sheet/level.h"

#include <string.h>

/* Heights and distances that a person can set without a slip; the fine step is for small plates
 * and where the round one would name one place twice. */
#define ROUND_MM 5.0
#define FINE_MM  1.0
/* A plate lower than this has its levels at the fine step: ten of the round one. */
#define LEAST_ROUND_HEIGHT_MM 50.0
/* Below any gauge's reading: off an edge and into the metal. */
#define NUDGE_MM 0.01
/* A level that reaches less than this share of its neighbours' way runs mostly past the edge,
 * as under the curved lower edge of a breastplate. */
#define LEAST_SHARE 0.5
/* Levels of a solid whose profile bends. */
#define PROFILE_LEVELS 7

GPtrArray *tapul_level_cuts(const TapulPlate *plate, double y_mm) {
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    g_autofree gboolean *seen = g_new0(gboolean, mesh->n_triangles);
    GPtrArray *cuts = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_cut_free);
    if (y_mm < low.y - NUDGE_MM || y_mm > high.y + NUDGE_MM)
        return cuts;
    TapulPlane plane = {{0, 1, 0}, CLAMP(y_mm, low.y + NUDGE_MM, high.y - NUDGE_MM)};
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulCut *cut = seen[t] ? NULL : tapul_cut_through(mesh, plane, t);
        for (guint i = 0; cut && i < cut->triangles->len; i++)
            seen[g_array_index(cut->triangles, int, i)] = TRUE;
        if (cut)
            g_ptr_array_add(cuts, cut);
    }
    return cuts;
}

static TapulVec3 cut_point(const TapulCut *cut, guint i) {
    return g_array_index(cut->points, TapulVec3, i);
}

/* The length along a cut at which it crosses the medial plane farthest forward; FALSE where it
 * does not. */
static gboolean medial_place(const TapulCut *cut, double *along_mm) {
    double best_z = -INFINITY;
    *along_mm = 0;
    for (guint i = 0; i + 1 < cut->points->len; i++) {
        TapulVec3 a = cut_point(cut, i), b = cut_point(cut, i + 1);
        if (a.x * b.x > 0 || fmax(a.z, b.z) <= best_z)
            continue;
        double from = g_array_index(cut->along_mm, double, i);
        double to = g_array_index(cut->along_mm, double, i + 1);
        *along_mm = from + (a.x == b.x ? 0 : a.x / (a.x - b.x)) * (to - from);
        best_z = fmax(a.z, b.z);
    }
    return isfinite(best_z);
}

static double round_to(double value_mm, double step_mm) {
    return step_mm * round(value_mm / step_mm);
}

/* --- Readings along a level --- */

/* The point of a cut at x_mm that is nearest, over the metal, to a place on it. */
static TapulVec2 point_at_x(const TapulCut *cut, double x_mm, double near_mm) {
    double nearest_mm = INFINITY;
    TapulVec3 best = tapul_cut_point_mm(cut, near_mm);
    for (guint i = 0; i + 1 < cut->points->len; i++) {
        TapulVec3 a = cut_point(cut, i), b = cut_point(cut, i + 1);
        double off_mm = fabs(g_array_index(cut->along_mm, double, i) - near_mm);
        if ((a.x - x_mm) * (b.x - x_mm) > 0 || a.x == b.x || off_mm >= nearest_mm)
            continue;
        nearest_mm = off_mm;
        best = tapul_vec3_mix(a, b, (x_mm - a.x) / (b.x - a.x));
    }
    return tapul_vec2(best.x, best.z);
}

static void add_reading(TapulLevel *level, const TapulCut *cut, double x_mm, double at_mm) {
    level->type_mm[level->n] = point_at_x(cut, x_mm, at_mm);
    level->x_mm[level->n++] = fabs(x_mm);
}

/* Round distances, no two the same and none as far out as the edge, which comes last. */
static void propose_open(TapulLevel *level, const TapulCut *cut, double from_mm,
                         double way_mm) {
    double before_mm = -INFINITY;
    for (int i = 0; i < TAPUL_LEVEL_READINGS - 1; i++) {
        double at_mm = from_mm + way_mm * i / (TAPUL_LEVEL_READINGS - 1);
        double x_mm = tapul_cut_point_mm(cut, at_mm).x, wanted_mm = round_to(x_mm, ROUND_MM);
        if (wanted_mm <= before_mm || wanted_mm >= level->reach_mm)
            wanted_mm = round_to(x_mm, FINE_MM);
        if (wanted_mm <= before_mm || wanted_mm >= level->reach_mm)
            continue;
        add_reading(level, cut, wanted_mm, at_mm);
        before_mm = wanted_mm;
    }
    TapulVec3 edge = tapul_cut_point_mm(cut, from_mm + way_mm);
    add_reading(level, cut, edge.x, from_mm + way_mm);
}

/* Right round to the back: the same distance from the medial plane may come twice. */
static void propose_closed(TapulLevel *level, const TapulCut *cut, double from_mm,
                           double way_mm) {
    double step_mm = level->reach_mm < LEAST_ROUND_HEIGHT_MM ? FINE_MM : ROUND_MM;
    for (int i = 0; i < TAPUL_LEVEL_READINGS; i++) {
        double at_mm = from_mm + way_mm * i / (TAPUL_LEVEL_READINGS - 1);
        add_reading(level, cut, round_to(tapul_cut_point_mm(cut, at_mm).x, step_mm), at_mm);
    }
}

/* From the medial line to the viewer's right. */
static void propose_readings(TapulLevel *level, const TapulPlate *plate, const TapulCut *cut,
                             double medial_mm) {
    double length_mm = tapul_cut_length_mm(cut);
    TapulVec3 end = cut_point(cut, cut->points->len - 1);
    gboolean rightward = end.x > cut_point(cut, 0).x;
    if (tapul_plate_has_seam(plate)) {
        double probe_mm = fmin(medial_mm + 0.01 * length_mm, length_mm);
        rightward = tapul_cut_point_mm(cut, probe_mm).x > 0;
    }
    double way_mm = rightward ? length_mm - medial_mm : -medial_mm;
    level->n = 0;
    if (tapul_plate_has_seam(plate))
        propose_closed(level, cut, medial_mm, way_mm);
    else
        propose_open(level, cut, medial_mm, way_mm);
}

static TapulLevel level_at(const TapulPlate *plate, double y_mm) {
    TapulLevel level = {.y_mm = y_mm, .beyond = TRUE};
    g_autoptr(GPtrArray) cuts = tapul_level_cuts(plate, y_mm);
    for (guint i = 0; i < cuts->len; i++) {
        const TapulCut *cut = cuts->pdata[i];
        for (guint j = 0; j < cut->points->len; j++)
            level.reach_mm = fmax(level.reach_mm, cut_point(cut, j).x);
    }
    for (guint i = 0; i < cuts->len && level.beyond; i++) {
        double medial_mm;
        if (!medial_place(cuts->pdata[i], &medial_mm))
            continue;
        level.beyond = FALSE;
        propose_readings(&level, plate, cuts->pdata[i], medial_mm);
    }
    return level;
}

/* --- Heights --- */

static void add_height(GArray *heights_mm, double y_mm) {
    if (heights_mm->len == 0 ||
        y_mm > g_array_index(heights_mm, double, heights_mm->len - 1) + NUDGE_MM)
        g_array_append_val(heights_mm, y_mm);
}

/* The stations' heights made round; those past the metal come back to the first round height
 * beyond it, so that the surface still covers the whole outline. */
static void heights_of_stations(const TapulPlate *plate, GArray *heights_mm) {
    const GArray *stations = tapul_plate_station_heights_mm(plate);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    double step_mm = high.y - low.y < LEAST_ROUND_HEIGHT_MM ? FINE_MM : ROUND_MM;
    double least_mm = step_mm * floor(low.y / step_mm + NUDGE_MM);
    double most_mm = step_mm * ceil(high.y / step_mm - NUDGE_MM);
    for (guint i = 0; i < stations->len; i++) {
        double y_mm = round_to(g_array_index(stations, double, i), step_mm);
        add_height(heights_mm, CLAMP(y_mm, least_mm, most_mm));
    }
}

static void heights_of_solid(const TapulPlate *plate, GArray *heights_mm) {
    const char *kind = tapul_plate_kind(plate);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    if (strcmp(kind, "sphere") == 0) {
        add_height(heights_mm, (low.y + high.y) / 2);
        return;
    }
    int n = strcmp(kind, "revolved") == 0 ? PROFILE_LEVELS : 3;
    for (int i = 0; i < n; i++)
        add_height(heights_mm, low.y + (high.y - low.y) * i / (n - 1));
}

/* --- All levels --- */

static TapulLevel *nth(GArray *levels, guint i) {
    return &g_array_index(levels, TapulLevel, i);
}

static void mark_beyond(GArray *levels) {
    for (guint i = 0; i < levels->len; i++) {
        double neighbour_mm = 0;
        for (guint j = i > 0 ? i - 1 : 0; j < MIN(i + 2, levels->len); j++)
            if (j != i && !nth(levels, j)->beyond)
                neighbour_mm = fmax(neighbour_mm, nth(levels, j)->reach_mm);
        if (nth(levels, i)->reach_mm < LEAST_SHARE * neighbour_mm)
            nth(levels, i)->beyond = TRUE;
    }
}

/* A level that runs past the metal takes the places of the nearest one that does not. */
static void borrow_readings(GArray *levels) {
    for (guint i = 0; i < levels->len; i++) {
        TapulLevel *level = nth(levels, i);
        const TapulLevel *nearest = NULL;
        for (guint j = 0; level->beyond && j < levels->len; j++) {
            const TapulLevel *other = nth(levels, j);
            if (!other->beyond && (!nearest || fabs(other->y_mm - level->y_mm) <
                                                   fabs(nearest->y_mm - level->y_mm)))
                nearest = other;
        }
        if (!nearest)
            continue;
        level->n = nearest->n;
        memcpy(level->x_mm, nearest->x_mm, sizeof level->x_mm);
        memcpy(level->type_mm, nearest->type_mm, sizeof level->type_mm);
    }
}

GArray *tapul_levels_propose(const TapulPlate *plate) {
    g_autoptr(GArray) heights_mm = g_array_new(FALSE, FALSE, sizeof(double));
    GArray *levels = g_array_new(FALSE, FALSE, sizeof(TapulLevel));
    gboolean stations = tapul_plate_station_heights_mm(plate) != NULL;
    if (stations)
        heights_of_stations(plate, heights_mm);
    else
        heights_of_solid(plate, heights_mm);
    for (guint i = 0; i < heights_mm->len; i++) {
        TapulLevel level = level_at(plate, g_array_index(heights_mm, double, i));
        g_array_append_val(levels, level);
    }
    if (stations)
        mark_beyond(levels);
    borrow_readings(levels);
    return levels;
}

char *tapul_level_height_text(const TapulLevel *level) {
    double y_mm = round(10 * level->y_mm) / 10;
    return g_strdup_printf("%s%g", y_mm < 0 ? "\u2212" : "", fabs(y_mm));
}
