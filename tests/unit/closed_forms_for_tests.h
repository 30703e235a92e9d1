/* Prints laid on a sphere, a cylinder and a cone by closed forms that share nothing with the
 * library: the azimuthal equidistant map, and the unrolled sheets of the two others. What a
 * weighing should find is known here beforehand. */
#ifndef CLOSED_FORMS_FOR_TESTS_H
#define CLOSED_FORMS_FOR_TESTS_H

#include <gsl/gsl_randist.h>
#include <tapul/vec.h>

typedef enum { FORM_SPHERE, FORM_CYLINDER, FORM_CONE } FormKind;

/* In the plate frame: the axis of cylinder and cone is x = z = 0, the front is +z. */
typedef struct {
    FormKind kind;
    double radius_mm;   /* of a cone, at y = 0 */
    double centre_y_mm; /* sphere */
    double narrowing;   /* cone: by how much the radius lessens for each mm upward, above 0 */
} ClosedForm;

static inline double form_radius_at_mm(const ClosedForm *form, double y_mm) {
    return form->radius_mm - (form->kind == FORM_CONE ? form->narrowing * y_mm : 0);
}

/* The metal that an eye far in front sees at x, y. */
static inline TapulVec3 form_seen_at(const ClosedForm *form, TapulVec2 front_mm) {
    double x = front_mm.x, y = front_mm.y, r = form_radius_at_mm(form, y);
    double up = form->kind == FORM_SPHERE ? y - form->centre_y_mm : 0;
    return tapul_vec3(x, y, sqrt(r * r - x * x - up * up));
}

/* --- Developables: isometric sheets --- */

/* The sine of the half angle at a cone's apex, which shrinks angles about the axis to angles of
 * its sector. */
static inline double form_sector_share(const ClosedForm *form) {
    return form->narrowing / hypot(1, form->narrowing);
}

/* A point of the sheet, y up; of a cone the origin is the apex. up_rad: how far the way up the
 * metal is turned there from the sheet's y. */
static inline TapulVec2 form_unrolled(const ClosedForm *form, TapulVec3 at, double *up_rad) {
    double about_axis_rad = atan2(at.x, at.z);
    *up_rad = 0;
    if (form->kind == FORM_CYLINDER)
        return tapul_vec2(form->radius_mm * about_axis_rad, at.y);
    double share = form_sector_share(form);
    *up_rad = about_axis_rad * share;
    return tapul_vec2_turn(tapul_vec2(0, -form_radius_at_mm(form, at.y) / share), *up_rad);
}

static inline TapulVec3 form_rolled_up(const ClosedForm *form, TapulVec2 sheet_mm) {
    double about_axis_rad = sheet_mm.x / form->radius_mm, y = sheet_mm.y;
    if (form->kind == FORM_CONE) {
        double share = form_sector_share(form);
        about_axis_rad = atan2(sheet_mm.x, -sheet_mm.y) / share;
        y = (form->radius_mm - tapul_vec2_length(sheet_mm) * share) / form->narrowing;
    }
    double r = form_radius_at_mm(form, y);
    return tapul_vec3(r * sin(about_axis_rad), y, r * cos(about_axis_rad));
}

/* --- All three --- */

/* The end of the geodesic that starts at `from` towards step_mm (x to the right, y up the
 * metal, in the tangent plane) and is as long: a sheet pressed on at `from`. */
static inline TapulVec3 form_pressed_on(const ClosedForm *form, TapulVec3 from,
                                        TapulVec2 step_mm) {
    if (form->kind != FORM_SPHERE) {
        double up_rad;
        TapulVec2 start = form_unrolled(form, from, &up_rad);
        return form_rolled_up(form, tapul_vec2_add(start, tapul_vec2_turn(step_mm, up_rad)));
    }
    double length_mm = tapul_vec2_length(step_mm), arc_rad = length_mm / form->radius_mm;
    if (length_mm == 0)
        return from;
    TapulVec3 centre = {0, form->centre_y_mm, 0};
    TapulVec3 normal = tapul_vec3_unit(tapul_vec3_sub(from, centre));
    TapulVec3 right = tapul_vec3_unit(tapul_vec3_cross(tapul_vec3(0, 1, 0), normal));
    TapulVec3 up = tapul_vec3_cross(normal, right);
    TapulVec3 along = tapul_vec3_add(tapul_vec3_scale(right, step_mm.x / length_mm),
                                     tapul_vec3_scale(up, step_mm.y / length_mm));
    TapulVec3 end = tapul_vec3_add(tapul_vec3_scale(normal, cos(arc_rad)),
                                   tapul_vec3_scale(along, sin(arc_rad)));
    return tapul_vec3_add(centre, tapul_vec3_scale(end, form->radius_mm));
}

/* A point as someone picks it who errs by sd_mm over the metal in each direction. */
static inline TapulVec3 form_picked(const ClosedForm *form, TapulVec3 at, double sd_mm,
                                    gsl_rng *random) {
    double right_mm = gsl_ran_gaussian(random, sd_mm);
    return form_pressed_on(form, at, tapul_vec2(right_mm, gsl_ran_gaussian(random, sd_mm)));
}

/* A point of a disc, evenly spread. */
static inline TapulVec2 form_point_of_disc(double radius_mm, gsl_rng *random) {
    double reach_mm = radius_mm * sqrt(gsl_rng_uniform(random));
    return tapul_vec2_turn(tapul_vec2(reach_mm, 0), 2 * G_PI * gsl_rng_uniform(random));
}

#endif
