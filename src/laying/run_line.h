/* A line over the metal that a border runs along: knots joined by geodesics, each bent into a
 * smooth curve, with the way square to it known everywhere. */
#ifndef LAYING_RUN_LINE_H
#define LAYING_RUN_LINE_H

#include "laying/geodesic.h"

G_BEGIN_DECLS

typedef struct {
    TapulSpot spot;
    TapulVec3 along;   /* unit tangent of the line */
    gboolean off_edge; /* the line left the plate's edge here to round a corner off */
} TapulRunKnot;

/* From one knot to the next. In the frame of the geodesic between them, its start at 0 and its
 * end at chord_mm, the line is the cubic with these slopes. */
typedef struct {
    TapulGeodesicEnd chord;
    double chord_mm, length_mm, before_mm;
    double slope_start, slope_end;
    gboolean off_edge;
} TapulRunSegment;

typedef struct {
    const TapulMesh *mesh; /* borrowed */
    gboolean closed;       /* the last segment ends where the first starts */
    double length_mm;
    GArray *segments; /* of TapulRunSegment */
} TapulRunLine;

/* Joins knots (GArray of TapulRunKnot). Knots that would turn the line back, or that no
 * geodesic reaches from the one before, are left out; NULL if nothing is left. */
TapulRunLine *tapul_run_line_new(const TapulMesh *mesh, const GArray *knots, gboolean closed);
void tapul_run_line_free(TapulRunLine *line);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRunLine, tapul_run_line_free)

/* The way to the left of the line, square to it, at along_mm in [0, length_mm] from its start:
 * a spot beside the line and a unit direction. The line itself lies *aside_mm along it from the
 * spot. FALSE where the metal ends. */
gboolean tapul_run_line_square(const TapulRunLine *line, double along_mm,
                               TapulGeodesicEnd *square, double *aside_mm);

/* How far along the line its point is that is nearest to a point in space, to 0.01 mm. */
double tapul_run_line_nearest(const TapulRunLine *line, TapulVec3 point_mm);

G_END_DECLS

#endif
