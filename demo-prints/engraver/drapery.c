/* Cloth: bands split where they turn over, so that face and back are shaded apart.
 * Folds run from a lit long edge to a shaded one; plumes and tassels are here too. */
#include "drapery.h"

#include <math.h>

#include "ink.h"

static double facing(const Curve *axis, guint index, Point breadth) {
    Point tangent = curve_tangent_at_index(axis, index);
    return tangent.x * breadth.y - tangent.y * breadth.x;
}

static void draw_band_piece(Sheet *sheet, const Curve *piece, Point breadth, double base,
                            bool back, bool first, bool last) {
    Curve *upper = curve_moved(piece, point_scale(breadth, -0.5));
    Curve *lower = curve_moved(piece, point_scale(breadth, 0.5));
    Shape *shape = shape_new(curve_joined(upper, curve_reversed(lower), true));
    Form form = form_plain();
    form.round = 0;
    form.base = base + (back ? 0.38 : 0.02);
    form.shadow = 0.8;
    form.spacing = 0.32;
    form.first = upper;
    form.last = lower;
    form.across = true;
    form.bulge = 0.05;
    form.cross_threshold = 0.7;
    form.ramped = true;
    form.ramp_from = curve_at(piece, 0);
    form.ramp_to = curve_at(piece, 1);
    form.ramp_start = first ? 0 : 0.3;
    form.ramp_end = last ? 0.05 : -0.1;
    double outward = curve_signed_area(shape_outline(shape)) > 0 ? 1 : -1;
    ink_edge(sheet, upper, 0.12, 0.28, outward);
    ink_edge(sheet, lower, 0.12, 0.28, -outward);
    if (first)
        ink_line(sheet,
                 curve_joined(curve_part(upper, 0, 0.001), curve_part(lower, 0, 0.001), false),
                 0.16);
    form.no_contour = true;
    form_draw(sheet, shape, &form);
}

void drapery_streamer(Sheet *sheet, const Curve *axis, Point breadth, double base) {
    guint count = curve_count(axis), start = 0;
    for (int pass = 0; pass < 2; pass++) {
        start = 0;
        for (guint i = 1; i < count; i++) {
            bool turned =
                i + 1 < count && facing(axis, i, breadth) * facing(axis, i + 1, breadth) < 0;
            if (!turned && i + 1 < count)
                continue;
            bool back = facing(axis, (start + i) / 2, breadth) < 0;
            if (back == (pass == 1) && i - start > 1) {
                Curve *piece = curve_new(false);
                for (guint j = start; j <= MIN(i + 1, count - 1); j++)
                    curve_append(piece, curve_point(axis, j));
                draw_band_piece(sheet, piece, breadth, base, back, start == 0, i + 1 == count);
            }
            start = i;
        }
    }
}

/* Cloth hangs in slow waves; outline and folds wave together. */
static Curve *unsteady(Sheet *sheet, const Curve *curve) {
    return curve_drifted(&sheet->hand, curve, 7, 0.45, 72);
}

static void shade_fold(Sheet *sheet, Frame frame, const Shape *cloth, const Fold *fold,
                       double base) {
    Curve *lit = unsteady(sheet, curve_open(frame, fold->lit));
    Curve *shaded = unsteady(sheet, curve_open(frame, fold->shaded));
    const Shape *window = sheet->window;
    sheet->window = cloth;
    double start = hand_between(&sheet->hand, 0, 0.12),
           end = hand_between(&sheet->hand, 0.86, 1);
    ink_line(sheet, curve_part(shaded, start, end), 0.26);
    Form form = form_plain();
    form.round = 0;
    form.base = base;
    form.shadow = 0.7;
    form.spacing = 0.36;
    form.first = lit;
    form.last = shaded;
    form.across = true;
    form.bulge = 0.1;
    form.rail_from = lit;
    form.rail_to = shaded;
    form.rail_end = fold->dark;
    form.cross_threshold = 0.62;
    form_hatch(sheet, shape_new(curve_joined(lit, curve_reversed(shaded), true)), &form);
    sheet->window = window;
}

void drapery_cloth(Sheet *sheet, Frame frame, const char *outline, const Fold *folds,
                   guint count, double base) {
    Shape *cloth = shape_new(unsteady(sheet, curve_closed(frame, outline)));
    ink_contour(sheet, cloth, 0.12, 0.34);
    for (guint i = 0; i < count; i++)
        shade_fold(sheet, frame, cloth, &folds[i], base);
    sheet_cover(sheet, cloth, 1.8);
}

/* Barbs leave the shaft toward the tip, then bend outward; no two end alike, so the plume has
 * a soft edge without any contour. */
static void plume_barbs(Sheet *sheet, const Curve *axis, const Curve *edge, double weight) {
    double length = curve_length(axis);
    int count = (int)(length / 0.27);
    for (int i = 1; i < count; i++) {
        double share = (i + hand_between(&sheet->hand, -0.3, 0.3)) / count;
        double tuft = 0.5 + 0.5 * sin(share * length * 1.3);
        double reach = 0.78 + 0.34 * tuft + hand_between(&sheet->hand, -0.07, 0.07);
        Point root = curve_at(axis, share), along = curve_direction(axis, share);
        double ahead = share + 0.9 * point_distance(root, curve_at(edge, share)) / length;
        Point tip = curve_at(edge, fmin(1, ahead));
        tip = point_add(root, point_scale(point_subtract(tip, root), reach));
        double span = point_distance(root, tip);
        Point points[4] = {
            root, point_add(point_mix(root, tip, 0.35), point_scale(along, span * 0.2)),
            point_add(point_mix(root, tip, 0.75), point_scale(along, span * 0.2)),
            point_add(tip, point_scale(along, -span * 0.24))};
        Curve *barb = curve_through(points, 4, false);
        if (i % 2 == 0)
            ink_line(sheet, barb, weight);
        else
            ink_stroke(sheet,
                       curve_part(barb, hand_between(&sheet->hand, 0, 0.3),
                                  hand_between(&sheet->hand, 0.6, 0.9)),
                       0.1);
    }
}

void drapery_plume(Sheet *sheet, const Curve *axis, double width, double base) {
    Ribbon ribbon =
        ribbon_new(curve_copy(axis), "0 0.3, 0.25 0.8, 0.65 1, 0.88 0.8, 1 0.2", width);
    Curve *spine = curve_part(axis, 0, 0.97);
    ink_line(sheet, spine, 0.22);
    ink_line(sheet, curve_moved(curve_part(axis, 0, 0.7), (Point){0.16, 0.2}), 0.12);
    Point side = point_subtract(curve_at(ribbon.left, 0.5), curve_at(axis, 0.5));
    bool left_is_lit = side.x + side.y < 0;
    plume_barbs(sheet, axis, ribbon.left, left_is_lit ? 0.13 : 0.18 + 0.1 * base);
    plume_barbs(sheet, axis, ribbon.right, left_is_lit ? 0.18 + 0.1 * base : 0.13);
    sheet_cover(sheet, ribbon.shape, 1);
}

void drapery_tassel(Sheet *sheet, Point top, double length, double swing) {
    Frame frame = frame_at(top.x, top.y, length / 10, swing);
    Form form = form_plain();
    form.round = 0.9;
    form.base = 0.3;
    form.spacing = 0.28;
    form_draw_text(sheet, frame, "-0.9 0, 0 -0.7, 0.9 0, 1.3 1.4, 0.9 2.4, -0.9 2.4, -1.3 1.4",
                   &form);
    form.angle = 88 + swing;
    form.base = 0.24;
    form.spacing = 0.3;
    form_draw_text(sheet, frame,
                   "-0.9 2.2, 0.9 2.2, 1.7 5, 2.3 9 /, 1.7 9.6, 1.1 9.2 /, 0.4 10, -0.3 9.4 /, "
                   "-1 10, -1.6 9.4 /, -2.4 9.5 /, -1.8 5",
                   &form);
}
