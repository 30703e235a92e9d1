/* Forms: contour, first hatching, crossing lines in deep shade, then the silhouette.
 * Once its silhouette is on the sheet, a form hides whatever is drawn after it. */
#include "form.h"

#include <math.h>

#include "ink.h"

Form form_plain(void) {
    return (Form){.round = 2,
                  .base = 0.12,
                  .contrast = 0.55,
                  .shadow = 0.6,
                  .angle = 45,
                  .spacing = 0.36,
                  .thick = 0.2,
                  .threshold = 0.22,
                  .cross_turn = 40,
                  .cross_threshold = 0.66,
                  .light_width = 0.1,
                  .dark_width = 0.3,
                  .throws = 1.2,
                  .dots = 0.32};
}

static Tone form_tone(const Shape *shape, const Form *form) {
    return (Tone){.shape = form->rounded_on != NULL ? form->rounded_on : shape,
                  .round = form->round,
                  .base = form->base,
                  .contrast = form->contrast,
                  .shadow = form->shadow,
                  .ramped = form->ramped,
                  .ramp_from = form->ramp_from,
                  .ramp_to = form->ramp_to,
                  .ramp_start = form->ramp_start,
                  .ramp_end = form->ramp_end,
                  .streak = form->streak,
                  .spots = form->spots,
                  .spot_count = form->spot_count,
                  .rail_from = form->rail_from,
                  .rail_to = form->rail_to,
                  .rail_start = form->rail_start,
                  .rail_end = form->rail_end};
}

static double mean_direction(const Form *form) {
    Point along = curve_direction(form->first, 0.5);
    if (form->across)
        along = point_subtract(curve_at(form->last, 0.5), curve_at(form->first, 0.5));
    return atan2(along.y, along.x) * 180 / G_PI;
}

/* Rungs that cross the first rungs at the wanted angle all along a bent form. */
static void lean_rungs(Hatch *crossing, const Form *form) {
    double width = point_distance(curve_at(form->first, 0.5), curve_at(form->last, 0.5));
    double length = fmax(0.1, curve_length(form->first));
    crossing->first = form->first;
    crossing->last = form->last;
    crossing->across = true;
    crossing->bulge = form->bulge * 0.6;
    crossing->lean = form->lean + tan(form->cross_turn * G_PI / 180) * width / length;
}

void form_hatch(Sheet *sheet, const Shape *shape, const Form *form) {
    Tone tone = form_tone(shape, form);
    Hatch hatch = hatch_plain(form->spacing);
    hatch.thick = form->thick;
    hatch.threshold = form->threshold;
    hatch.dots = form->dots;
    hatch.widths = form->widths > 0 ? form->widths : 3;
    hatch.ruled = form->ruled;
    double angle = form->angle;
    if (form->first != NULL) {
        hatch.first = form->first;
        hatch.last = form->last;
        hatch.across = form->across;
        hatch.bulge = form->bulge;
        hatch.lean = form->lean;
        angle = mean_direction(form);
    } else {
        hatch_rule(&hatch, shape, form->angle, form->bow);
    }
    hatch_shape(sheet, shape, &hatch, &tone);
    if (form->cross_threshold >= 1)
        return;
    Hatch crossing = hatch_plain(form->spacing * 1.08);
    crossing.thin = 0.08;
    crossing.thick = form->thick * 0.8;
    crossing.threshold = form->cross_threshold;
    crossing.full = 1;
    crossing.dots = form->dots * 0.7;
    if (form->across && form->first != NULL)
        lean_rungs(&crossing, form);
    else
        hatch_rule(&crossing, shape, angle + form->cross_turn, form->bow * 0.5);
    hatch_shape(sheet, shape, &crossing, &tone);
}

void form_draw(Sheet *sheet, const Shape *shape, const Form *form) {
    if (!form->no_contour)
        ink_contour(sheet, shape, form->light_width, form->dark_width);
    form_hatch(sheet, shape, form);
    sheet_cover(sheet, shape, form->throws);
}

Shape *form_draw_text(Sheet *sheet, Frame frame, const char *points, const Form *form) {
    Shape *shape = shape_new(curve_closed(frame, points));
    form_draw(sheet, shape, form);
    return shape;
}

Ribbon ribbon_new(Curve *axis, const char *widths, double scale) {
    Ribbon ribbon = {.axis = axis, .left = curve_new(false), .right = curve_new(false)};
    double length = curve_length(axis), travelled = 0;
    for (guint i = 0; i < curve_count(axis); i++) {
        Point here = curve_point(axis, i);
        if (i > 0)
            travelled += point_distance(here, curve_point(axis, i - 1));
        Point tangent = curve_tangent_at_index(axis, i);
        double half = profile_value(widths, travelled / length) * scale / 2;
        Point side = {tangent.y * half, -tangent.x * half};
        curve_append(ribbon.left, point_add(here, side));
        curve_append(ribbon.right, point_subtract(here, side));
    }
    ribbon.shape = shape_new(curve_joined(ribbon.left, curve_reversed(ribbon.right), true));
    return ribbon;
}

void ribbon_draw(Sheet *sheet, const Ribbon *ribbon, const Form *form, double bulge,
                 double lean) {
    Form across = *form;
    across.first = ribbon->left;
    across.last = ribbon->right;
    across.across = true;
    across.bulge = bulge;
    across.lean = lean;
    form_draw(sheet, ribbon->shape, &across);
}
