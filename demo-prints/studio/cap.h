/* The plate: a spherical cap, in closed form. Plate frame: x to the viewer's right, y up, z
 * towards the viewer; the origin is where the medial line meets the lower edge
 * (shapes/besagew.yaml). */
#ifndef STUDIO_CAP_H
#define STUDIO_CAP_H

#include "vec.h"

#define CAP_RADIUS_MM      100.0
#define CAP_HALF_ANGLE_DEG 40.0
#define CAP_EDGE_MM                                                                            \
    (CAP_RADIUS_MM * CAP_HALF_ANGLE_DEG * M_PI / 180) /* from the pole, over the metal */

Vec3 cap_middle_mm(void); /* of the sphere */

/* A point of the metal by its unit normal. */
Vec3 cap_point_mm(Vec3 normal);

/* From the pole over the metal: distance, and the angle at which it leaves, 0 to the viewer's
 * right. */
Vec3 cap_normal_polar(double distance_mm, double angle_rad);
double cap_distance_mm(Vec3 normal);
/* The same as x and y: the cap laid flat about its pole. */
Vec2 cap_about_pole_mm(Vec3 normal);

/* By tape: up the medial line from the lower edge, then along the level cut. */
typedef struct {
    double across_mm, up_mm;
} Tape;
Tape cap_tape(Vec3 normal);
Vec3 cap_normal_tape(Tape tape);

/* Nearest hit of a ray from outside; 0: it passes by. The hit lies at from + *along_mm * ray.
 */
int cap_hit(Vec3 from_mm, Vec3 ray, double *along_mm, Vec3 *normal);

/* --- The sheet on the metal --- */

/* The sheet is pressed on from its anchor outward: distances and directions from the anchor are
 * true over the metal (on a sphere, the azimuthal equidistant projection; Snyder 1987, 191). */
typedef struct {
    Tape anchor;
    Vec2 print_anchor_mm;
    double turn_deg; /* anticlockwise, after the reversal */
    /* Set by cap_sheet: */
    Vec3 normal, right, up;
} Sheet;

Sheet cap_sheet(Tape anchor, Vec2 print_anchor_mm, double turn_deg);
/* Reversed, at its own size. */
Vec3 cap_from_sheet(const Sheet *sheet, Vec2 print_mm);
Vec2 cap_to_sheet(const Sheet *sheet, Vec3 normal);

#endif
