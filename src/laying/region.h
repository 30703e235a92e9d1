/* A region of the plane with four corners, mapped one-to-one on the unit square: what a filled
 * laying puts between the print's frame and the plate's field. */
#ifndef LAYING_REGION_H
#define LAYING_REGION_H

#include <tapul/laying.h>

G_BEGIN_DECLS

/* A point of a region's outline; corner 0 to 3 goes to (0, 0), (1, 0), (1, 1), (0, 1) of the
 * square, -1 is none. */
typedef struct {
    TapulVec2 point;
    int corner;
} TapulRegionPoint;

typedef struct TapulRegion TapulRegion;

/* Makes the map of a simple polygon whose outline[] (GArray of TapulRegionPoint) is counter-
 * clockwise and meets its corners in order. Sides go to sides evenly by length. `what` names
 * the region in errors. */
TapulRegion *tapul_region_new(const GArray *outline, const char *what, GError **error);
void tapul_region_free(TapulRegion *region);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRegion, tapul_region_free)

/* The region's point for a point of the square; FALSE outside the square. */
gboolean tapul_region_point(const TapulRegion *region, TapulVec2 square, TapulVec2 *point);
/* The square's point for a point of the region, to 1e-4 mm; FALSE outside the region. */
gboolean tapul_region_square(const TapulRegion *region, TapulVec2 point, TapulVec2 *square);

/* Gives the outline points nearest to the corners of its box as corners; FALSE if these are not
 * four in order. */
gboolean tapul_region_take_box_corners(GArray *outline);
/* Whether the outline turns counter-clockwise and meets corners 0 to 3 in order. */
gboolean tapul_region_is_in_order(const GArray *outline);

/* --- The filled rule's state --- */

typedef struct TapulFill TapulFill;
void tapul_fill_free(TapulFill *fill);

G_END_DECLS

#endif
