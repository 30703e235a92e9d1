/* Areas: what a path covers under its fill rule, as flat rings and as GEOS polygons. Serves
 * clips and areas. */
#ifndef TAPUL_INK_REGION_H
#define TAPUL_INK_REGION_H

#include <tapul/path.h>

#include <geos_c.h>

G_BEGIN_DECLS

/* How far a flattened curve may lie from the curve: a tenth of the thinnest engraved line's
 * error that can be seen (0.02 mm). */
#define TAPUL_FLATTEN_TOLERANCE_MM 0.002

/* The flat rings of a path, each a GArray of TapulVec2 without its first point repeated; open
 * subpaths count as closed, as fills do. */
GPtrArray *tapul_rings_new(const TapulPath *path);
gboolean tapul_rings_contain(const GPtrArray *rings, gboolean even_odd, TapulVec2 point);

/* GEOS, quiet (what it says comes back as NULL results), and what may still be spent on rings
 * that cross: a small file can hold millions of crossings. */
typedef struct {
    GEOSContextHandle_t geos;
    double work_left; /* see tapul_rings_work */
} TapulRegions;

TapulRegions tapul_regions_begin(void);
void tapul_regions_end(TapulRegions *regions);

/* What the rings cover; the caller destroys it. NULL if GEOS gives up, or if the rings are
 * tangled: if they cross so often that the work left would not suffice. */
GEOSGeometry *tapul_rings_region(TapulRegions *regions, const GPtrArray *rings,
                                 gboolean even_odd);
/* The polygons of a region as closed line paths, holes included. */
TapulPath *tapul_region_path(const TapulRegions *regions, const GEOSGeometry *region);

/* Area covered by a path under its fill rule, mm2; exact for curves where subpaths neither
 * cross nor nest, and to TAPUL_FLATTEN_TOLERANCE_MM of the outline elsewhere. Of tangled paths
 * it is estimated (see tapul_rings_coverage_mm2), and *estimated set. */
double tapul_filled_area_mm2(TapulRegions *regions, const TapulPath *path, gboolean even_odd,
                             gboolean *estimated);

G_END_DECLS

#endif
