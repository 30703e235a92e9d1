/* A view: the plate as an eye in front of it sees it (orthographic), shaded, and ink carried
 * from the development on to it. Internal to sheet/.
 *
 * Seen frame: plate mm turned so that x is to the viewer's right, y up, z towards the viewer.
 */
#ifndef TAPUL_SHEET_VIEW_H
#define TAPUL_SHEET_VIEW_H

#include "sheet/metal.h"

#include <tapul/laying.h>

typedef struct {
    const TapulGround *ground;    /* borrowed */
    TapulVec3 right, up, towards; /* the seen axes in the plate frame */
    TapulVec3 *seen_mm;           /* [n_vertices] */
    TapulBox box_mm;              /* of seen_mm */
    TapulRaster *shade;           /* NULL until shaded */
} TapulView;

/* The plate turned by turn_rad about its upright axis (its left side comes forward where
 * positive), seen from tilt_rad above the level. */
TapulView *tapul_view_new(const TapulGround *ground, double turn_rad, double tilt_rad);
void tapul_view_free(TapulView *view);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulView, tapul_view_free)

/* Shades the view, pixel_mm (of the plate) a pixel; needed before anything is carried. */
void tapul_view_shade(TapulView *view, double pixel_mm, TapulMetal metal);

/* Development -> seen frame; FALSE off the plate and where hidden. Safe from several threads.
 */
gboolean tapul_view_point(const TapulView *view, TapulVec2 developed_mm, TapulVec2 *seen_mm);

/* A path of the development as seen, its hidden parts cut away; within tolerance_mm (of the
 * plate). */
TapulPath *tapul_view_path(const TapulView *view, const TapulPath *developed, gboolean area,
                           double tolerance_mm);

/* What is seen of the plate's edge, and where the metal turns away from the eye; seen frame. */
TapulPath *tapul_view_edge(const TapulView *view);
TapulPath *tapul_view_contour(const TapulView *view);

#endif
