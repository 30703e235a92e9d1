/* Water plants, each built front to back so that the nearer part hides the farther.
 * A blade is two halves along its midrib, one of them in shade. */
#include "plant.h"

#include <math.h>

#include "ink.h"

static const char blade_profile[] = "0 0.62, 0.25 0.95, 0.45 1, 0.8 0.6, 1 0.02";

static Form blade_form(double base) {
    Form form = form_plain();
    form.round = 0;
    form.base = base;
    form.shadow = 0.75;
    form.spacing = 0.3;
    form.thick = 0.17;
    form.light_width = 0.1;
    form.dark_width = 0.26;
    form.throws = 1.6;
    return form;
}

/* Lines run lengthwise between the midrib and one edge. */
static void hatch_half(Sheet *sheet, const Ribbon *ribbon, const Curve *edge, Form form) {
    Shape *half = shape_new(curve_joined(ribbon->axis, curve_reversed(edge), true));
    form.first = ribbon->axis;
    form.last = edge;
    form.across = false;
    form.cross_threshold = 0.85;
    form_hatch(sheet, half, &form);
}

void plant_blade(Sheet *sheet, Curve *axis, double width, int shaded, double base) {
    Ribbon ribbon = ribbon_new(axis, blade_profile, width);
    Form form = blade_form(base);
    ink_edge(sheet, ribbon.left, form.light_width, form.dark_width, 1);
    ink_edge(sheet, ribbon.right, form.light_width, form.dark_width, -1);
    if (width > 0.9)
        ink_line(sheet, curve_part(axis, 0.02, 0.93), 0.13);
    Form dark = form, light = form;
    dark.base = base + 0.36;
    light.base = base + 0.06;
    dark.ramped = light.ramped = true;
    dark.ramp_from = light.ramp_from = curve_at(axis, 0);
    dark.ramp_to = light.ramp_to = curve_at(axis, 0.75);
    dark.ramp_start = light.ramp_start = 0.3;
    dark.ramp_end = light.ramp_end = 0;
    hatch_half(sheet, &ribbon, shaded > 0 ? ribbon.right : ribbon.left, dark);
    hatch_half(sheet, &ribbon, shaded > 0 ? ribbon.left : ribbon.right, light);
    sheet_cover(sheet, ribbon.shape, form.throws);
}

void plant_bent_blade(Sheet *sheet, Curve *standing, Curve *hanging, double width, int shaded) {
    static const char standing_profile[] = "0 0.6, 0.5 1, 0.85 1, 1 0.75";
    static const char hanging_profile[] = "0 0.75, 0.2 0.95, 0.6 0.6, 1 0.02";
    const Curve *axes[2] = {hanging, standing};
    for (int part = 0; part < 2; part++) {
        Ribbon ribbon = ribbon_new(curve_copy(axes[part]),
                                   part == 0 ? hanging_profile : standing_profile, width);
        Form form = blade_form(part == 0 ? 0.4 : 0.15);
        ink_edge(sheet, ribbon.left, 0.1, 0.26, 1);
        ink_edge(sheet, ribbon.right, 0.1, 0.26, -1);
        form.round = 0;
        form.base += 0.15;
        hatch_half(sheet, &ribbon, shaded > 0 ? ribbon.right : ribbon.left, form);
        form.base -= 0.3;
        hatch_half(sheet, &ribbon, shaded > 0 ? ribbon.left : ribbon.right, form);
        sheet_cover(sheet, ribbon.shape, 1.4);
    }
}

void plant_leaf(Sheet *sheet, const Curve *axis, double width, int shaded) {
    Ribbon ribbon = ribbon_new(curve_copy(axis),
                               "0 0.08, 0.18 0.7, 0.42 1, 0.7 0.72, 0.9 0.25, 1 0.02", width);
    ink_line(sheet, curve_part(axis, 0, 0.94), 0.2);
    const Curve *edges[2] = {ribbon.left, ribbon.right};
    for (int side = 0; side < 2; side++) {
        for (int i = 1; i < 7; i++) {
            double share = i / 8.0;
            Point root = curve_at(axis, share);
            Point tip = point_mix(root, curve_at(edges[side], fmin(1, share + 0.13)), 0.88);
            Point points[3] = {root, point_mix(root, tip, 0.55), tip};
            points[1] = point_add(points[1],
                                  point_scale(curve_direction(axis, share), -0.1 * width / 2));
            ink_flick(sheet, curve_through(points, 3, false), 0.15);
        }
        Form form = blade_form((side == 1) == (shaded > 0) ? 0.42 : 0.12);
        form.first = axis;
        form.last = edges[side];
        form.across = true;
        form.lean = 0.14;
        form.bulge = 0.1;
        form_hatch(sheet, shape_new(curve_joined(axis, curve_reversed(edges[side]), true)),
                   &form);
    }
    ink_contour(sheet, ribbon.shape, 0.1, 0.3);
    sheet_cover(sheet, ribbon.shape, 1.4);
}

static void bulrush_head(Sheet *sheet, const Curve *axis, double width, double from,
                         double to) {
    static const char profile[] = "0 0.5, 0.06 0.92, 0.3 1, 0.8 1, 0.94 0.88, 1 0.4";
    Ribbon head = ribbon_new(curve_part(axis, from, to), profile, width);
    Form form = form_plain();
    form.round = width * 0.5;
    form.base = 0.5;
    form.contrast = 0.62;
    form.spacing = 0.3;
    form.thick = 0.22;
    form.cross_threshold = 0.52;
    form.cross_turn = 36;
    form.dark_width = 0.34;
    ribbon_draw(sheet, &head, &form, 0.22, 0);
}

void plant_bulrush(Sheet *sheet, Curve *axis, double head_width, double head_share) {
    double head_end = 0.92, head_start = head_end - head_share;
    bulrush_head(sheet, axis, head_width, head_start, head_end);
    Ribbon spike = ribbon_new(curve_part(axis, head_end, 1), "0 0.3, 1 0.08", 1);
    Form form = form_plain();
    form.round = 0;
    form.base = 0.1;
    form.light_width = 0.08;
    form.dark_width = 0.2;
    form.throws = 0.5;
    form.cross_threshold = 2;
    form_draw(sheet, spike.shape, &form);
    Ribbon stalk = ribbon_new(curve_part(axis, 0, head_start), "0 0.8, 1 0.5", 1);
    form.round = 0.35;
    form.base = 0.2;
    form.contrast = 0.7;
    form.spacing = 0.46;
    form.dark_width = 0.28;
    form.throws = 1;
    ribbon_draw(sheet, &stalk, &form, 0.2, 0.001);
}
