/* What each bite bares, as painted: the wanted bare metal, less what the bite will eat away
 * under the resist's edge. An edge loses the depth of its own bites by the etch factor: drawn =
 * wanted + 2 depth / factor for what stands (Allen, Horne & Stevens 1982 give the
 * factor as depth by undercut).
 *
 * With stop-out, metal of level m is bare in the bites 0 to m. Resist painted at the start is
 * undercut by all bites of the level beside it, what is stopped out before bite k by those from
 * k on. */
#include "pounce/resist_parts.h"
#include "pounce/undercut_area.h"

/* What was bitten is grown back by so much more than it was shrunk, so that chords of arcs
 * leave nothing along its edge; it is cut at the wanted edge then. */
#define ROUNDING_MM (2 * (TAPUL_SHAPE_ARC_MM + TAPUL_SHAPE_FINE_MM))

typedef struct {
    const TapulResistPlan *plan;
    TapulShapes *shapes;
    int n_bites;
    GEOSGeometry *wanted[TAPUL_MOST_BITES]; /* bare in bite k, in the end */
    GEOSGeometry *level[TAPUL_MOST_BITES];  /* bare in bites 0 to m; NULL: nowhere */
    GEOSGeometry *bare[TAPUL_MOST_BITES];   /* as painted */
} Bites;

/* The wanted metal of every bite, and the levels that they make. */
static gboolean find_wanted(Bites *bites, const TapulCellDesign *found) {
    TapulShapes *shapes = bites->shapes;
    GEOSGeometry *all =
        bites->plan->kind == TAPUL_RESIST_LINES
            ? found->design
            : tapul_shape_minus(shapes, tapul_shape_box(shapes, found->around), found->design);
    for (int k = 0; k < bites->n_bites; k++) {
        bites->wanted[k] =
            found->stopped[k] ? tapul_shape_minus(shapes, all, found->stopped[k]) : all;
        if (!bites->wanted[k])
            return FALSE;
    }
    int last = bites->n_bites - 1;
    bites->level[last] = bites->wanted[last];
    for (int m = 0; m < last; m++) {
        if (bites->wanted[m] == bites->wanted[m + 1])
            continue;
        bites->level[m] = tapul_shape_minus(shapes, bites->wanted[m], bites->wanted[m + 1]);
        if (!bites->level[m])
            return FALSE;
    }
    return TRUE;
}

/* bare less what an edge of the cover loses from bite k on, level by level. */
static GEOSGeometry *without_undercut(const Bites *bites, const GEOSGeometry *bare,
                                      const GEOSGeometry *cover, int k) {
    g_autoptr(GPtrArray) parts = g_ptr_array_new();
    const double *total_mm = bites->plan->total_mm;
    for (int m = k; m < bites->n_bites; m++) {
        if (!bites->level[m])
            continue;
        double undercut_mm =
            tapul_undercut_mm(total_mm[m + 1] - total_mm[k], bites->plan->asked->etch_factor);
        GEOSGeometry *part = m == k && bites->n_bites == 1
                                 ? (GEOSGeometry *)bare
                                 : tapul_shape_both(bites->shapes, bare, bites->level[m]);
        g_ptr_array_add(parts,
                        tapul_shape_minus(bites->shapes, part,
                                          tapul_shape_grow(bites->shapes, cover, undercut_mm)));
    }
    return parts->len == 1 ? g_ptr_array_index(parts, 0)
                           : tapul_shape_union(bites->shapes, parts);
}

static gboolean find_bare(Bites *bites, const TapulCellDesign *found) {
    TapulShapes *shapes = bites->shapes;
    GEOSGeometry *standing =
        tapul_shape_minus(shapes, tapul_shape_box(shapes, found->around), bites->wanted[0]);
    bites->bare[0] = without_undercut(bites, bites->wanted[0], standing, 0);
    for (int k = 1; k < bites->n_bites && bites->bare[k - 1]; k++)
        bites->bare[k] =
            bites->wanted[k] == bites->wanted[k - 1]
                ? bites->bare[k - 1]
                : without_undercut(bites, bites->bare[k - 1], found->stopped[k], k);
    return bites->bare[bites->n_bites - 1] != NULL;
}

/* What of a shape lies on the cell's paper. */
static GEOSGeometry *on_paper(TapulShapes *shapes, const TapulResistCell *cell,
                              const GEOSGeometry *shape) {
    return cell->is_full ? tapul_shape_clip(shapes, shape, cell->box)
                         : tapul_shape_both(shapes, shape, cell->paper);
}

/* What a bite eats in the end: what is bare, and all undercut about it, up to the wanted edge;
 * so lines and gaps that vanished under the resist are left out. */
static GEOSGeometry *bitten(const Bites *bites, const TapulResistCell *cell, int k) {
    TapulShapes *shapes = bites->shapes;
    double undercut_mm = tapul_undercut_mm(bites->plan->total_mm[bites->n_bites],
                                           bites->plan->asked->etch_factor);
    GEOSGeometry *reached = tapul_shape_grow(shapes, bites->bare[k], undercut_mm + ROUNDING_MM);
    return on_paper(shapes, cell, tapul_shape_both(shapes, reached, bites->wanted[k]));
}

static gboolean compensate_by_level(const TapulResistPlan *plan, const TapulDesign *design,
                                    const TapulCellDesign *found, TapulResistCell *cell) {
    Bites bites = {.plan = plan, .shapes = found->shapes, .n_bites = plan->n_bites};
    if (!find_wanted(&bites, found) || !find_bare(&bites, found))
        return FALSE;
    cell->wanted_mm2 = tapul_metal_area_mm2(design->scale, cell->shapes->regions.geos,
                                            on_paper(bites.shapes, cell, bites.wanted[0]));
    for (int k = 0; k < plan->n_bites; k++) {
        GEOSGeometry *eaten = bitten(&bites, cell, k);
        cell->bare[k] = on_paper(cell->shapes, cell, bites.bare[k]);
        cell->cover[k] = tapul_shape_minus(cell->shapes, cell->paper, cell->bare[k]);
        if (!eaten || !cell->cover[k])
            return FALSE;
        cell->bitten_mm2[k] =
            tapul_metal_area_mm2(design->scale, cell->shapes->regions.geos, eaten);
    }
    return TRUE;
}

/* --- Without stop-out --- */

/* The metal bitten where the whole edge is undercut alike. edge: of the resist or of what is
 * bare, known beyond the cell. */
static double evenly_bitten_mm2(const TapulDesign *design, const TapulUndercutEdge *edge,
                                const TapulResistCell *cell) {
    GEOSContextHandle_t geos = cell->shapes->regions.geos;
    double bare_mm2 = tapul_metal_area_mm2(design->scale, geos, cell->bare[0]);
    double under_mm2 = tapul_undercut_area_mm2(design->scale, geos, edge, cell->box,
                                               cell->is_full ? NULL : cell->paper);
    return bare_mm2 + under_mm2;
}

/* The design's lines, or the ground beside them. */
static double wanted_mm2(const TapulDesign *design, const TapulCellDesign *found,
                         const TapulResistCell *cell, gboolean lines) {
    GEOSContextHandle_t geos = cell->shapes->regions.geos;
    double design_mm2 =
        tapul_metal_area_mm2(design->scale, geos, on_paper(found->shapes, cell, found->design));
    return lines ? design_mm2
                 : tapul_metal_area_mm2(design->scale, geos, cell->paper) - design_mm2;
}

/* All bites bare the same: the design grown is the resist, or shrunk what it leaves bare. */
static gboolean compensate_evenly(const TapulResistPlan *plan, const TapulDesign *design,
                                  const TapulCellDesign *found, TapulResistCell *cell) {
    double undercut_mm =
        tapul_undercut_mm(plan->total_mm[plan->n_bites], plan->asked->etch_factor);
    gboolean lines = plan->kind == TAPUL_RESIST_LINES;
    TapulUndercutEdge edge = {
        tapul_shape_grow(found->shapes, found->design, lines ? -undercut_mm : undercut_mm),
        lines, undercut_mm};
    GEOSGeometry *drawn = on_paper(cell->shapes, cell, edge.shape);
    GEOSGeometry *rest = tapul_shape_minus(cell->shapes, cell->paper, drawn);
    if (!rest)
        return FALSE;
    cell->wanted_mm2 = wanted_mm2(design, found, cell, lines);
    cell->bare[0] = lines ? drawn : rest;
    cell->cover[0] = lines ? rest : drawn;
    cell->bitten_mm2[0] = evenly_bitten_mm2(design, &edge, cell);
    for (int k = 1; k < plan->n_bites; k++) {
        cell->bare[k] = cell->bare[0];
        cell->cover[k] = cell->cover[0];
        cell->bitten_mm2[k] = cell->bitten_mm2[0];
    }
    return TRUE;
}

gboolean tapul_resist_compensate(const TapulResistPlan *plan, const TapulDesign *design,
                                 const TapulCellDesign *found, TapulResistCell *cell) {
    for (int k = 0; k < plan->n_bites; k++)
        if (found->stopped[k])
            return compensate_by_level(plan, design, found, cell);
    return compensate_evenly(plan, design, found, cell);
}
