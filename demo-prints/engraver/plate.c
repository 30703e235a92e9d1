/* Strapwork: the face of a plate, its shaded edge, and the rolls its straps end in.
 * The edge shows below and to the right of the face, where the light does not reach. */
#include "plate.h"

#include <math.h>

#include "ink.h"

Plate plate_plain(void) {
    return (Plate){.depth = {0.55, 0.75},
                   .base = 0.1,
                   .throws = 1.9,
                   .inner_line = 0.75,
                   .angle = 28,
                   .bevel = 0.9};
}

static void inner_line(Sheet *sheet, const Shape *shape, double inset) {
    Shape *simple = shape_simplified(shape, 0.02);
    for (guint ring = 0; ring < shape->rings->len; ring++) {
        Curve *edge = g_ptr_array_index(shape->rings, ring);
        double outward = curve_signed_area(edge) > 0 ? 1 : -1;
        Curve *offset = curve_offset(edge, -outward * inset * (ring == 0 ? 1 : -1));
        Curve *line = curve_new(false);
        for (guint i = 0; i <= curve_count(offset); i++) {
            Point at = curve_point(offset, i % curve_count(offset)), nearest;
            bool clear = shape_holds(simple, at) &&
                         shape_edge_within(simple, at, inset, &nearest) > inset * 0.94;
            if (clear && i < curve_count(offset)) {
                curve_append(line, at);
                continue;
            }
            if (curve_count(line) > 4)
                ink_line(sheet, line, 0.13);
            line = curve_new(false);
        }
    }
}

/* Short strokes down the visible edge, closer together where it turns from the light. */
static void edge_strokes(Sheet *sheet, const Curve *edge, double outward, Point depth) {
    double travelled = 0, next = 0;
    Point away = point_unit(depth);
    for (guint i = 1; i < curve_count(edge); i++) {
        Point here = curve_point(edge, i), tangent = curve_tangent_at_index(edge, i);
        Point normal = {tangent.y * outward, -tangent.x * outward};
        double facing = point_dot(normal, away);
        travelled += point_distance(here, curve_point(edge, i - 1));
        if (travelled < next || facing < 0.12)
            continue;
        next = travelled + sheet->coarseness * hand_between(&sheet->hand, 0.37, 0.5);
        Curve *stroke = curve_new(false);
        double reach = hand_between(&sheet->hand, 0.86, 1);
        for (int k = 0; k <= 6; k++)
            curve_append(stroke, point_add(here, point_scale(depth, reach * k / 6)));
        ink_stroke(sheet, stroke, 0.13 + 0.09 * facing);
    }
}

static void back_edge(Sheet *sheet, const Shape *shape, Point depth) {
    for (guint ring = 0; ring < shape->rings->len; ring++) {
        Curve *edge = g_ptr_array_index(shape->rings, ring);
        double outward = curve_signed_area(edge) > 0 ? 1 : -1;
        edge_strokes(sheet, edge, ring == 0 ? outward : -outward, depth);
    }
    Shape *back = shape_moved(shape, depth);
    double halo = sheet->halo;
    sheet->halo = 0.02;
    ink_contour(sheet, back, 0.12, 0.3);
    sheet->halo = halo;
}

static void cover_depth(Sheet *sheet, const Shape *shape, const Plate *plate) {
    sheet_cover(sheet, shape, 0);
    sheet_cover(sheet, shape_moved(shape, point_scale(plate->depth, 0.5)), 0);
    sheet_cover(sheet, shape_moved(shape, plate->depth), plate->throws);
}

static Form face_form(const Plate *plate) {
    Form form = form_plain();
    form.base = plate->base;
    form.round = plate->bevel;
    form.contrast = 0.5;
    form.shadow = 0.62;
    form.angle = plate->angle;
    form.spacing = 0.38;
    form.threshold = 0.24;
    form.cross_threshold = 0.7;
    form.no_contour = true;
    form.dots = 0.3;
    form.ramped = plate->shade > 0;
    form.ramp_from = plate->shaded_from;
    form.ramp_to = plate->shaded_to;
    form.ramp_end = plate->shade;
    form.first = plate->first;
    form.last = plate->last;
    form.spots = plate->spots;
    form.spot_count = plate->spot_count;
    return form;
}

void plate_draw(Sheet *sheet, const Shape *shape, const Plate *plate) {
    Form form = face_form(plate);
    ink_contour(sheet, shape, 0.12, 0.26);
    if (plate->inner_line > 0)
        inner_line(sheet, shape, plate->inner_line);
    form_hatch(sheet, shape, &form);
    double halo = sheet->halo;
    sheet->halo = 0.2;
    sheet_cover(sheet, shape, 0);
    sheet->halo = 0;
    back_edge(sheet, shape, plate->depth);
    sheet->halo = halo;
    cover_depth(sheet, shape, plate);
}

/* Continues a line beyond an end, turning as it turned just before. */
static void run_beyond(Curve *longer, const Curve *axis, double end, double reach) {
    double span = fmin(0.4, 1.2 / fmax(1, curve_length(axis)));
    double inner = end > 0.5 ? 1 - span : span;
    Point at = curve_at(axis, end), along = curve_direction(axis, end);
    Point before = curve_direction(axis, inner);
    double turn = atan2(before.x * along.y - before.y * along.x, point_dot(before, along));
    double per_step = turn * 0.25 / (span * curve_length(axis));
    double heading = atan2(along.y, along.x) + (end > 0.5 ? 0 : G_PI);
    for (double travelled = 0; travelled < reach; travelled += 0.25) {
        heading += per_step;
        at = point_add(at, (Point){0.25 * cos(heading), 0.25 * sin(heading)});
        curve_append(longer, at);
    }
}

/* The band run on beyond its ends, so that a joint is not shaded as if it were an edge. */
static Shape *run_on(const Curve *axis, double width) {
    Curve *lead = curve_new(false), *tail = curve_new(false);
    run_beyond(lead, axis, 0, 3);
    run_beyond(tail, axis, 1, 3);
    Curve *longer = curve_joined(curve_joined(curve_reversed(lead), axis, false), tail, false);
    return ribbon_new(longer, "0 1, 1 1", width).shape;
}

void plate_band(Sheet *sheet, const Curve *axis, const char *widths, double scale,
                const Plate *plate) {
    Ribbon band = ribbon_new(curve_copy(axis), widths, scale);
    Form form = face_form(plate);
    form.first = band.left;
    form.last = band.right;
    form.across = true;
    form.rounded_on = run_on(axis, scale);
    if (plate->dark_start > 0) {
        form.ramped = true;
        form.ramp_from = curve_at(axis, 0);
        form.ramp_to = curve_at(axis, 0.4);
        form.ramp_start = plate->dark_start;
        form.ramp_end = 0;
    }
    form.lean = 0.4 * scale / fmax(1, curve_length(axis));
    const Curve *edges[2] = {band.left, band.right};
    for (int side = 0; side < 2; side++) {
        double outward = side == 0 ? 1 : -1;
        ink_edge_running(sheet, edges[side], 0.12, 0.26, outward);
        if (plate->inner_line > 0)
            ink_edge_running(sheet, curve_offset(edges[side], -outward * plate->inner_line),
                             0.09, 0.13, -outward);
    }
    form_hatch(sheet, band.shape, &form);
    sheet_cover(sheet, band.shape, 0);
    double halo = sheet->halo;
    int owner = sheet->owner;
    for (int side = 0; side < 2; side++) {
        double outward = side == 0 ? 1 : -1;
        sheet->halo = 0;
        sheet->owner = 0;
        edge_strokes(sheet, edges[side], outward, plate->depth);
        Curve *back = curve_moved(edges[side], plate->depth);
        sheet->halo = 0.02;
        ink_edge_running(sheet, back, 0.12, 0.3, outward);
    }
    sheet->halo = halo;
    sheet->owner = owner;
    cover_depth(sheet, band.shape, plate);
}

void plate_roll(Sheet *sheet, Point centre, double degrees, double length, double thickness) {
    Frame frame = frame_at(centre.x, centre.y, 1, degrees);
    double half = length / 2;
    Point cap = frame_apply(frame, (Point){half, 0});
    Curve *coil = curve_new(false);
    for (int i = 0; i <= 60; i++) {
        double angle = -1.2 + i * 0.185, reach = thickness * 0.5 * (1 - i / 68.0);
        coil->closed = false;
        curve_append(coil, frame_apply(frame, (Point){half + 0.45 * reach * cos(angle),
                                                      reach * sin(angle)}));
    }
    ink_line(sheet, coil, 0.22);
    Form form = form_plain();
    form.base = 0.5;
    form.round = 0;
    form.angle = degrees + 70;
    form.spacing = 0.3;
    form.throws = 0.8;
    Curve *mouth =
        curve_oval(&sheet->hand, cap, thickness * 0.23, thickness * 0.5, degrees, 0.02);
    form_draw(sheet, shape_new(mouth), &form);
    Curve *axis = curve_new(false);
    for (int i = 0; i <= 12; i++) {
        double x = -half + length * i / 12;
        curve_append(axis, frame_apply(frame, (Point){x, 0.12 * sin(3.0 * i / 12)}));
    }
    Ribbon tube = ribbon_new(axis, "0 0.8, 0.12 1, 0.4 0.94, 0.8 0.97, 1 1", thickness);
    form = form_plain();
    form.base = 0.14;
    form.round = thickness * 0.5;
    form.contrast = 0.85;
    form.shadow = 0.7;
    form.spacing = 0.33;
    form.throws = 2;
    form.cross_threshold = 0.62;
    ribbon_draw(sheet, &tube, &form, 0.22, 0);
}

void plate_volute(Sheet *sheet, const Curve *lead, Point centre, double radius,
                  double start_degrees, double turns, double width, const Plate *plate) {
    Form eye = form_plain();
    double inner = radius * 0.3;
    eye.round = inner * 0.8;
    eye.contrast = 0.8;
    form_draw(sheet,
              shape_new(curve_oval(&sheet->hand, centre, inner * 0.8, inner * 0.8, 0, 0.04)),
              &eye);
    Curve *coil = curve_spiral(centre, radius, inner, start_degrees, turns);
    Curve *axis = lead != NULL ? curve_joined(lead, coil, false) : coil;
    plate_band(sheet, axis, "0 1, 0.4 0.95, 0.75 0.7, 1 0.4", width, plate);
}

static void jewel_facet(Sheet *sheet, Frame frame, const Point corners[4], double base,
                        double angle) {
    Curve *outline = curve_new(true);
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 6; k++)
            curve_append(outline, frame_apply(frame, point_mix(corners[i], corners[(i + 1) % 4],
                                                               k / 6.0)));
    Form form = form_plain();
    form.round = 0;
    form.base = base;
    form.shadow = 0;
    form.angle = angle;
    form.spacing = 0.27;
    form.thick = 0.2;
    form.light_width = form.dark_width = 0.13;
    form.throws = 0;
    form.dots = 0;
    form.cross_threshold = 0.6;
    double halo = sheet->halo;
    sheet->halo = 0;
    form_draw(sheet, shape_new(outline), &form);
    sheet->halo = halo;
}

void plate_jewel(Sheet *sheet, Frame frame, double half_width, double half_height) {
    Point outer[4] = {{-half_width, -half_height},
                      {half_width, -half_height},
                      {half_width, half_height},
                      {-half_width, half_height}};
    Point table[4];
    for (int i = 0; i < 4; i++)
        table[i] = point_scale(outer[i], 0.45);
    static const double tones[4] = {0.04, 0.5, 0.68, 0.2};
    jewel_facet(sheet, frame, table, 0.16, 50);
    for (int i = 0; i < 4; i++) {
        Point facet[4] = {outer[i], outer[(i + 1) % 4], table[(i + 1) % 4], table[i]};
        jewel_facet(sheet, frame, facet, tones[i], i % 2 == 0 ? 85 : 12);
    }
    Curve *collar = curve_new(true);
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 8; k++)
            curve_append(
                collar,
                frame_apply(
                    frame, point_scale(point_mix(outer[i], outer[(i + 1) % 4], k / 8.0), 1.3)));
    Form form = form_plain();
    form.round = 0.5;
    form.contrast = 0.8;
    form.spacing = 0.28;
    form.throws = 1.1;
    form_draw(sheet, shape_new(collar), &form);
}
