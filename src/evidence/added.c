/* Plate ink that no print explains, grouped: bits of it belong together where their
 * surroundings touch. */
#include "evidence/added.h"
#include "ink/region.h"

/* What surrounds a bit of ink; two within twice this are one group. */
#define SURROUNDING_MM 3.0
/* Sides of a quarter circle of it: within 0.06 mm of the circle. */
#define QUARTER_SIDES 4

/* Every print's ink where it was found. */
static TapulInkMap *explained_map(int n, TapulInkMatch *const *matches) {
    GArray *all = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    for (int i = 0; i < n; i++)
        g_array_append_vals(all, matches[i]->explained->data, matches[i]->explained->len);
    return tapul_ink_map_new_take(all);
}

static GArray *unexplained(const TapulInkMap *plate, int n, TapulInkMatch *const *matches) {
    g_autoptr(TapulInkMap) explained = explained_map(n, matches);
    GArray *left = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    for (guint i = 0; i < plate->samples->len; i++) {
        TapulInkSample sample = g_array_index(plate->samples, TapulInkSample, i);
        if (tapul_ink_map_distance_mm(explained, sample.at_mm,
                                      tapul_ink_bin(sample.angle_rad)) > TAPUL_EXPLAINED_MM)
            g_array_append_val(left, sample);
    }
    return left;
}

/* The surroundings of all samples, those that touch made one; the caller destroys it. */
static GEOSGeometry *surroundings(GEOSContextHandle_t geos, const GArray *samples) {
    GEOSGeometry **disc = g_new(GEOSGeometry *, samples->len);
    for (guint i = 0; i < samples->len; i++) {
        TapulVec2 at_mm = g_array_index(samples, TapulInkSample, i).at_mm;
        GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, at_mm.x, at_mm.y);
        disc[i] = GEOSBuffer_r(geos, point, SURROUNDING_MM, QUARTER_SIDES);
        GEOSGeom_destroy_r(geos, point);
    }
    GEOSGeometry *discs =
        GEOSGeom_createCollection_r(geos, GEOS_MULTIPOLYGON, disc, samples->len);
    GEOSGeometry *around = GEOSUnaryUnion_r(geos, discs);
    GEOSGeom_destroy_r(geos, discs);
    g_free(disc);
    return around;
}

/* Which of the groups a sample is of: each lies well inside its own. */
static int group_of(GEOSContextHandle_t geos, const GPtrArray *prepared, TapulVec2 at_mm) {
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, at_mm.x, at_mm.y);
    int group = -1;
    for (guint k = 0; k < prepared->len && group < 0; k++)
        if (GEOSPreparedContains_r(geos, g_ptr_array_index(prepared, k), point) == 1)
            group = (int)k;
    GEOSGeom_destroy_r(geos, point);
    return group;
}

static int by_length(gconstpointer a, gconstpointer b) {
    const TapulAdded *left = a, *right = b;
    return (left->length_mm < right->length_mm) - (left->length_mm > right->length_mm);
}

static GArray *measure_groups(GEOSContextHandle_t geos, const GEOSGeometry *around,
                              const GArray *samples) {
    GArray *groups = g_array_new(FALSE, FALSE, sizeof(TapulAdded));
    g_autoptr(GPtrArray) prepared = g_ptr_array_new();
    for (int k = 0; k < GEOSGetNumGeometries_r(geos, around); k++) {
        TapulAdded none = {tapul_box_empty(), 0};
        g_array_append_val(groups, none);
        g_ptr_array_add(prepared,
                        (gpointer)GEOSPrepare_r(geos, GEOSGetGeometryN_r(geos, around, k)));
    }
    for (guint i = 0; i < samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(samples, TapulInkSample, i);
        int k = group_of(geos, prepared, sample->at_mm);
        if (k < 0)
            continue;
        TapulAdded *group = &g_array_index(groups, TapulAdded, k);
        tapul_box_add(&group->box_mm, sample->at_mm);
        group->length_mm += sample->weight_mm;
    }
    for (guint k = 0; k < prepared->len; k++)
        GEOSPreparedGeom_destroy_r(geos, g_ptr_array_index(prepared, k));
    return groups;
}

GArray *tapul_ink_added(const TapulInkMap *plate, int n, TapulInkMatch *const *matches) {
    g_autoptr(GArray) left = unexplained(plate, n, matches);
    if (left->len == 0)
        return g_array_new(FALSE, FALSE, sizeof(TapulAdded));
    TapulRegions regions = tapul_regions_begin();
    GEOSGeometry *around = surroundings(regions.geos, left);
    GArray *groups = around ? measure_groups(regions.geos, around, left)
                            : g_array_new(FALSE, FALSE, sizeof(TapulAdded));
    if (around)
        GEOSGeom_destroy_r(regions.geos, around);
    tapul_regions_end(&regions);
    g_array_sort(groups, by_length);
    while (groups->len > 0 &&
           g_array_index(groups, TapulAdded, groups->len - 1).length_mm <= TAPUL_ADDED_LEAST_MM)
        g_array_set_size(groups, groups->len - 1);
    return groups;
}
