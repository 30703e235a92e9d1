/* Naming motifs by polygon, for prints without groups. Stands after reading; scans and PDFs
 * need it. */
#include <tapul/ink.h>

#include "ink/cut.h"
#include "ink/figures.h"
#include "ink/region.h"

/* "Mostly inside": more than half of a stroke's length, or of a fill's area. */
#define MOST 0.5

static double length_inside(const TapulPath *path, const GPtrArray *rings) {
    g_autoptr(GPtrArray) runs = tapul_cut_path(path, rings, FALSE, FALSE);
    double length_mm = 0;
    for (guint i = 0; i < runs->len; i++)
        length_mm += tapul_path_length(((const TapulRun *)g_ptr_array_index(runs, i))->path);
    return length_mm;
}

static double share_of_area(TapulRegions *regions, const TapulMark *mark,
                            const GPtrArray *rings) {
    GEOSContextHandle_t geos = regions->geos;
    g_autoptr(GPtrArray) own = tapul_rings_new(mark->path);
    GEOSGeometry *ink = tapul_rings_region(regions, own, mark->even_odd);
    /* A tangle lies where the middle of its box lies. */
    if (!ink) {
        TapulBox box = tapul_path_box(mark->path);
        return tapul_rings_contain(rings, FALSE, tapul_vec2_mix(box.min, box.max, 0.5));
    }
    GEOSGeometry *outline = tapul_rings_region(regions, rings, FALSE);
    GEOSGeometry *common = outline ? GEOSIntersection_r(geos, ink, outline) : NULL;
    double area = 0, inside = 0;
    gboolean known =
        common && GEOSArea_r(geos, ink, &area) && GEOSArea_r(geos, common, &inside);
    GEOSGeom_destroy_r(geos, ink);
    GEOSGeom_destroy_r(geos, outline);
    GEOSGeom_destroy_r(geos, common);
    return known && area > 0 ? inside / area : 0;
}

static gboolean is_mostly_inside(TapulRegions *regions, const TapulMark *mark,
                                 const GPtrArray *rings, TapulBox outline) {
    TapulBox box = tapul_path_box(mark->path);
    if (box.min.x > outline.max.x || box.max.x < outline.min.x || box.min.y > outline.max.y ||
        box.max.y < outline.min.y)
        return FALSE;
    if (mark->kind == TAPUL_MARK_FILL)
        return share_of_area(regions, mark, rings) > MOST;
    double length_mm = tapul_path_length(mark->path);
    /* A dot of no length lies where its point lies. */
    if (length_mm == 0)
        return tapul_rings_contain(rings, FALSE, box.min);
    return length_inside(mark->path, rings) > MOST * length_mm;
}

void tapul_ink_name_motif(TapulInk *ink, const char *id, const TapulVec2 *outline_mm, int n) {
    g_autoptr(TapulPath) outline = tapul_path_new();
    for (int i = 0; i < n; i++)
        if (i == 0)
            tapul_path_move(outline, outline_mm[i]);
        else
            tapul_path_line(outline, outline_mm[i]);
    tapul_path_close(outline);
    g_autoptr(GPtrArray) rings = tapul_rings_new(outline);
    TapulBox box = tapul_path_box(outline);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < ink->motifs->len; i++)
        g_ptr_array_add(names, g_strdup(((TapulMotif *)g_ptr_array_index(ink->motifs, i))->id));
    g_ptr_array_add(names, g_strdup(id));
    TapulRegions regions = tapul_regions_begin();
    for (guint i = 0; i < ink->marks->len; i++) {
        TapulMark *mark = g_ptr_array_index(ink->marks, i);
        if (mark->motif < 0 && is_mostly_inside(&regions, mark, rings, box))
            mark->motif = (int)names->len - 1;
    }
    tapul_regions_end(&regions);
    tapul_ink_list_motifs(ink, names);
}
