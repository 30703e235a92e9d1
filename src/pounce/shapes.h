/* Areas on paper as GEOS has them, with their memory kept in one place. Internal to pounce/. */
#ifndef TAPUL_POUNCE_SHAPES_H
#define TAPUL_POUNCE_SHAPES_H

#include "ink/region.h"

#include <tapul/ink.h>

G_BEGIN_DECLS

/* What is finer than this no pen or knife shows. */
#define TAPUL_SHAPE_FINE_MM 0.001
/* How far the chords of drawn arcs may lie from the arcs: a fiftieth of a tenth
 * of a millimetre. */
#define TAPUL_SHAPE_ARC_MM 0.002

/* A bag that owns all areas made with it. For one thread. */
typedef struct {
    TapulRegions regions;
    GPtrArray *made; /* of GEOSGeometry* */
} TapulShapes;

TapulShapes *tapul_shapes_new(void);
void tapul_shapes_free(TapulShapes *shapes);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulShapes, tapul_shapes_free)

/* Gives what GEOS made to the bag. */
GEOSGeometry *tapul_shape_take(TapulShapes *shapes, GEOSGeometry *shape);

/* All of these give areas owned by the bag; NULL where GEOS gives up, and where an argument is
 * NULL: so a fault shows at the end of a row of steps. Lines and points that an operation
 * leaves are dropped. */
GEOSGeometry *tapul_shape_copy(TapulShapes *shapes, const GEOSGeometry *shape);
GEOSGeometry *tapul_shape_ring(TapulShapes *shapes, const TapulVec2 *point_mm, guint n);
GEOSGeometry *tapul_shape_box(TapulShapes *shapes, TapulBox box);
GEOSGeometry *tapul_shape_of_path(TapulShapes *shapes, const TapulPath *path,
                                  gboolean even_odd);
/* parts: of GEOSGeometry*, of which copies are put side by side, and put together. */
GEOSGeometry *tapul_shape_group(TapulShapes *shapes, const GPtrArray *parts);
GEOSGeometry *tapul_shape_union(TapulShapes *shapes, const GPtrArray *parts);
/* With fewer points: the edge moves by 0.004 mm at most. */
GEOSGeometry *tapul_shape_simplify(TapulShapes *shapes, const GEOSGeometry *shape);
GEOSGeometry *tapul_shape_minus(TapulShapes *shapes, const GEOSGeometry *from,
                                const GEOSGeometry *what);
GEOSGeometry *tapul_shape_both(TapulShapes *shapes, const GEOSGeometry *a,
                               const GEOSGeometry *b);
/* Cut at an upright box; quicker than tapul_shape_both. */
GEOSGeometry *tapul_shape_clip(TapulShapes *shapes, const GEOSGeometry *shape, TapulBox box);
/* Grown (by_mm < 0: shrunk) all around, corners round. */
GEOSGeometry *tapul_shape_grow(TapulShapes *shapes, const GEOSGeometry *shape, double by_mm);
/* The shape, and what lies between its parts where they are no further apart than the gap: as a
 * brush fills it, to about TAPUL_SHAPE_COARSE_MM. */
#define TAPUL_SHAPE_COARSE_MM 0.1
GEOSGeometry *tapul_shape_close(TapulShapes *shapes, const GEOSGeometry *shape, double gap_mm);
/* A line drawn with an even width. */
typedef struct {
    double width_mm;
    TapulCap cap;         /* at both ends */
    gboolean round_joins; /* else bevelled */
} TapulBand;

GEOSGeometry *tapul_shape_band(TapulShapes *shapes, const TapulVec2 *point_mm, guint n,
                               TapulBand band);
GEOSGeometry *tapul_shape_disc(TapulShapes *shapes, TapulVec2 middle_mm, double radius_mm);

double tapul_shape_area_mm2(TapulShapes *shapes, const GEOSGeometry *shape);
TapulBox tapul_shape_extent(TapulShapes *shapes, const GEOSGeometry *shape);

G_END_DECLS

#endif
