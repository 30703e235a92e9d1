/* Weapons and gear: shield, drum, quiver, swords, pole arms and the oar.
 * Coordinates are placed by hand in each piece's own frame, nearer parts first. */
#include <math.h>

#include "arms.h"
#include "drapery.h"
#include "ink.h"

static Form plain_metal(void) {
    Form form = form_plain();
    form.base = 0.15;
    form.contrast = 0.8;
    form.shadow = 0.75;
    form.spacing = 0.33;
    form.cross_threshold = 0.62;
    form.dark_width = 0.32;
    form.throws = 2;
    return form;
}

static Form plain_wood(void) {
    Form form = form_plain();
    form.round = 0.6;
    form.base = 0.2;
    form.contrast = 0.75;
    form.shadow = 0.7;
    form.spacing = 0.4;
    form.dark_width = 0.3;
    form.throws = 1.6;
    form.cross_threshold = 0.85;
    return form;
}

static void shield_boss(Sheet *sheet, Point centre, double radius) {
    Form form = plain_metal();
    form.round = radius * 0.22;
    form.bow = 0.8;
    Point tip = {centre.x - radius * 0.02, centre.y - radius * 0.03};
    form_draw(sheet,
              shape_new(curve_oval(&sheet->hand, tip, radius * 0.1, radius * 0.1, 0, 0.05)),
              &form);
    form_draw(
        sheet,
        shape_new(curve_oval(&sheet->hand, centre, radius * 0.24, radius * 0.235, 0, 0.03)),
        &form);
}

/* Curved petals wheel round the boss. */
static void shield_petals(Sheet *sheet, Point centre, double radius) {
    const int petals = 14;
    for (int i = 0; i < petals; i++) {
        double degrees = i * 360.0 / petals + hand_between(&sheet->hand, -1.5, 1.5);
        Frame frame = frame_at(centre.x, centre.y, radius, degrees);
        Form form = plain_metal();
        form.round = radius * 0.08;
        form.base = 0.1;
        form.angle = degrees + 70;
        form.bow = 0.4;
        form.light_width = 0.09;
        form.dark_width = 0.24;
        form.throws = 0.8;
        form_draw_text(sheet, frame,
                       "0.2 -0.03, 0.36 -0.1, 0.52 -0.1, 0.64 -0.02, 0.665 0.09 /, 0.58 0.14, "
                       "0.44 0.1, 0.3 0.06",
                       &form);
    }
}

static Shape *annulus(Sheet *sheet, Point centre, double outer, double inner) {
    Shape *shape = shape_new(curve_oval(&sheet->hand, centre, outer, outer * 0.985, 20, 0.012));
    if (inner > 0)
        shape_add_hole(shape,
                       curve_oval(&sheet->hand, centre, inner, inner * 0.985, 20, 0.012));
    return shape;
}

void arms_shield(Sheet *sheet, Point centre, double radius) {
    shield_boss(sheet, centre, radius);
    shield_petals(sheet, centre, radius);
    const int rivets = 22;
    for (int i = 0; i < rivets; i++) {
        double angle = 2 * G_PI * (i + hand_between(&sheet->hand, -0.08, 0.08)) / rivets;
        arms_rivet(sheet,
                   (Point){centre.x + radius * 0.915 * cos(angle),
                           centre.y + radius * 0.9 * sin(angle)},
                   radius * 0.034);
    }
    Form rim = plain_metal();
    rim.round = radius * 0.07;
    rim.base = 0.08;
    rim.first = curve_oval(&sheet->hand, centre, radius * 0.83, radius * 0.82, 20, 0);
    rim.last = curve_oval(&sheet->hand, centre, radius, radius * 0.99, 20, 0);
    rim.across = true;
    rim.lean = 0.006;
    form_draw(sheet, annulus(sheet, centre, radius, radius * 0.83), &rim);
    Form field = plain_metal();
    field.round = radius * 0.35;
    field.base = 0.34;
    field.contrast = 0.5;
    field.first = curve_oval(&sheet->hand, centre, radius * 0.04, radius * 0.04, 20, 0);
    field.last = rim.last;
    field.no_contour = true;
    field.throws = 2.6;
    form_draw(sheet, annulus(sheet, centre, radius, 0), &field);
}

static void drum_ropes(Sheet *sheet, Frame frame) {
    for (int i = 0; i < 6; i++) {
        double left = -8.6 + i * 2.9, right = left + 2.9, middle = (left + right) / 2;
        double sag = 2.2 * (1 - pow((left + 1.4) / 9.5, 2));
        Point top = {middle, 0.9 + sag}, low_left = {left + 0.1, 9.6 + sag},
              low_right = {right - 0.1, 9.6 + sag};
        Point ends[2] = {low_left, low_right};
        for (int k = 0; k < 2; k++) {
            Point line[3] = {frame_apply(frame, top),
                             frame_apply(frame, (Point){(top.x + ends[k].x) / 2 + 0.15,
                                                        (top.y + ends[k].y) / 2}),
                             frame_apply(frame, ends[k])};
            Ribbon rope = ribbon_new(curve_through(line, 3, false), "0 0.45, 1 0.45",
                                     fabs(frame.scale_y));
            Form form = plain_wood();
            form.round = 0;
            form.base = 0.08;
            form.throws = 0.9;
            form.light_width = 0.09;
            form.dark_width = 0.2;
            form.cross_threshold = 2;
            form_draw(sheet, rope.shape, &form);
        }
    }
}

static void drum_hoop(Sheet *sheet, Frame frame, double y) {
    Point points[7];
    for (int i = 0; i < 7; i++) {
        double x = -9.6 + i * 3.2;
        points[i] = frame_apply(frame, (Point){x, y + 2.4 * sqrt(fmax(0, 1 - x * x / 95))});
    }
    Ribbon hoop =
        ribbon_new(curve_through(points, 7, false), "0 1.5, 1 1.5", fabs(frame.scale_y));
    Form form = plain_wood();
    form.round = 0.5;
    form.base = 0.08;
    form.ramped = true;
    form.ramp_from = points[2];
    form.ramp_to = points[6];
    form.ramp_start = 0;
    form.ramp_end = 0.55;
    form.spacing = 0.36;
    ribbon_draw(sheet, &hoop, &form, 0.1, 0.01);
}

void arms_drum(Sheet *sheet, Frame frame) {
    drum_hoop(sheet, frame, 0.4);
    drum_hoop(sheet, frame, 10.2);
    drum_ropes(sheet, frame);
    Form skin = plain_wood();
    skin.base = 0.02;
    skin.round = 2.4;
    skin.contrast = -0.35;
    skin.angle = 8 + frame.angle * 180 / G_PI;
    skin.bow = 0.4;
    form_draw_text(sheet, frame,
                   "-9.7 -0.2, -7.4 -2.3, -2.5 -3.3, 2.5 -3.3, 7.4 -2.3, 9.7 -0.2, "
                   "7.4 1.8, 2.5 2.7, -2.5 2.7, -7.4 1.8",
                   &skin);
    Form body = plain_wood();
    body.base = 0.28;
    body.round = 4.5;
    body.contrast = 0.7;
    body.spacing = 0.34;
    body.first = curve_open(frame, "-9.7 -0.6, -9.6 6, -9.7 12");
    body.last = curve_open(frame, "9.7 -0.6, 9.6 6, 9.7 12");
    body.cross_threshold = 0.6;
    body.throws = 2.4;
    form_draw_text(sheet, frame,
                   "-9.7 -0.2 /, -9.5 5, -9.7 10.6 /, -7 13, 0 14.2, 7 13, 9.7 10.6 /, "
                   "9.5 5, 9.7 -0.2 /, 6 2.4, 0 3, -6 2.4",
                   &body);
}

static void arrow_feathers(Sheet *sheet, Frame frame, double x, double height, double lean) {
    Frame own = frame_at(0, 0, fabs(frame.scale_y), lean + frame.angle * 180 / G_PI);
    own.origin = frame_apply(frame, (Point){x, -height});
    Form form = plain_wood();
    form.round = 0.5;
    form.base = 0.18;
    form.angle = 60 + lean;
    form.spacing = 0.28;
    form.throws = 0.8;
    form_draw_text(sheet, own, "0.1 0 /, 1.4 -1.2 /, 1.5 3.4, 0.2 4.6 /", &form);
    form.angle = -60 + lean;
    form.base = 0.36;
    form_draw_text(sheet, own, "-0.1 0 /, -1.4 -1.2 /, -1.5 3.4, -0.2 4.6 /", &form);
    Form shaft = plain_wood();
    shaft.round = 0.2;
    Ribbon stick =
        ribbon_new(curve_open(own, "0 -1.4, 0 4, 0 12"), "0 0.5, 1 0.5", fabs(frame.scale_y));
    form_draw(sheet, stick.shape, &shaft);
}

void arms_quiver(Sheet *sheet, Frame frame) {
    static const char *const bands[] = {"-3.2 0.4, 0 1.5, 3.2 0.4", "-2.9 7, 0 8, 2.9 7",
                                        "-2.3 16, 0 16.8, 2.3 16"};
    for (int i = 0; i < 3; i++) {
        Ribbon band =
            ribbon_new(curve_open(frame, bands[i]), "0 1.3, 1 1.3", fabs(frame.scale_y));
        Form form = plain_metal();
        form.round = 0.6;
        ribbon_draw(sheet, &band, &form, 0.15, 0.03);
    }
    Form body = plain_wood();
    body.round = 2;
    body.base = 0.26;
    body.first = curve_open(frame, "-3.4 0.4, -3 8, -2.3 16, -1.3 22.4");
    body.last = curve_open(frame, "3.4 0.4, 3 8, 2.3 16, 1.3 22.4");
    body.across = true;
    body.bulge = 0.16;
    body.lean = 0.001;
    body.spacing = 0.33;
    body.cross_threshold = 0.62;
    form_draw_text(sheet, frame,
                   "-3.4 0.2 /, -3 8, -2.3 16, -1.2 22.4, 0 23.4, 1.2 22.4, 2.3 16, "
                   "3 8, 3.4 0.2 /, 0 1.4",
                   &body);
    static const double places[5][3] = {
        {-0.4, 6.6, 1}, {1.8, 5.2, 9}, {-2.2, 5.6, -9}, {0.9, 8.4, 5}, {-1.4, 8, -5}};
    for (int i = 0; i < 5; i++)
        arrow_feathers(sheet, frame, places[i][0], places[i][1], places[i][2]);
}

static void sword_hilt(Sheet *sheet, Frame frame) {
    Form form = plain_metal();
    form.round = 1;
    form_draw_text(sheet, frame,
                   "0 -8.9, 1.3 -8.2, 1.5 -7, 0.8 -6, -0.8 -6, -1.5 -7, -1.3 -8.2", &form);
    Ribbon guard = ribbon_new(
        curve_open(frame,
                   "-6.3 1.6, -6.8 0.3, -5.6 -0.4, -3 0.2, 0 -0.1, 3 -0.4, 5.5 0.2, 6.7 -0.5, "
                   "6.1 -1.8"),
        "0 0.9, 0.1 0.6, 0.4 0.9, 0.5 1.5, 0.6 0.9, 0.9 0.6, 1 0.9", fabs(frame.scale_y));
    form.round = 0.5;
    ribbon_draw(sheet, &guard, &form, 0.2, 0.01);
    Ribbon grip = ribbon_new(curve_open(frame, "0 -6.2, 0 -3, 0 0"), "0 1, 0.5 1.6, 1 1.3",
                             fabs(frame.scale_y));
    form.base = 0.45;
    form.spacing = 0.38;
    ribbon_draw(sheet, &grip, &form, 0.15, 0.14);
}

void arms_sword(Sheet *sheet, Frame frame, double length) {
    sword_hilt(sheet, frame);
    Point points[3] = {frame_apply(frame, (Point){0, 0}),
                       frame_apply(frame, (Point){0.15, length / 2}),
                       frame_apply(frame, (Point){0, length})};
    Curve *axis = curve_through(points, 3, false);
    Ribbon blade = ribbon_new(axis, "0 2.1, 0.9 1.5, 0.97 1, 1 0.05", fabs(frame.scale_y));
    ink_line(sheet, curve_part(axis, 0, 0.55), 0.15);
    ink_contour(sheet, blade.shape, 0.1, 0.3);
    Form form = plain_metal();
    form.round = 0;
    const Curve *edges[2] = {blade.left, blade.right};
    for (int side = 0; side < 2; side++) {
        Point outward = point_subtract(curve_at(edges[side], 0.4), curve_at(axis, 0.4));
        form.base = outward.x * 0.6 + outward.y * 0.7 > 0 ? 0.48 : 0.06;
        form.first = axis;
        form.last = edges[side];
        form.spacing = 0.3;
        form.across = true;
        form.lean = 0.02;
        form_hatch(sheet, shape_new(curve_joined(axis, curve_reversed(edges[side]), true)),
                   &form);
    }
    sheet_cover(sheet, blade.shape, 1.4);
}

static void shaft_below(Sheet *sheet, Frame frame, double length, double width) {
    Point points[4];
    for (int i = 0; i < 4; i++)
        points[i] = frame_apply(frame, (Point){(i % 2) * 0.12, i * length / 3});
    Ribbon shaft =
        ribbon_new(curve_through(points, 4, false), "0 1, 1 1.06", width * fabs(frame.scale_y));
    Form form = plain_wood();
    form.round = width * 0.5 * fabs(frame.scale_y);
    form.bulge = 0.2;
    ribbon_draw(sheet, &shaft, &form, 0.2, 0.002);
}

static void socket(Sheet *sheet, Frame frame) {
    Form form = plain_metal();
    form.round = 0.8;
    Ribbon sleeve =
        ribbon_new(curve_open(frame, "0 -0.6, 0 2.6, 0 5.4"),
                   "0 1.8, 0.2 2.5, 0.3 1.7, 0.85 1.7, 0.9 2.1, 1 2.1", fabs(frame.scale_y));
    ribbon_draw(sheet, &sleeve, &form, 0.2, 0);
}

void arms_halberd(Sheet *sheet, Frame frame, double shaft) {
    socket(sheet, frame);
    Form form = plain_metal();
    form.round = 1.3;
    form.angle = 75 + frame.angle * 180 / G_PI;
    arms_rivet(sheet, frame_apply(frame, (Point){0, -3}), 0.4);
    arms_rivet(sheet, frame_apply(frame, (Point){0.1, -6.2}), 0.4);
    form_draw_text(
        sheet, frame,
        "-0.9 -0.4 /, -1 -2.2 /, -3.4 -2.6, -5.2 -0.6, -6.4 2 /, -7.6 -2, -7.6 -6.4, "
        "-6 -10.6 /, -5.2 -8, -3.6 -6.6, -1 -6.8 /, -0.8 -9, -0.6 -14, 0 -21 /, "
        "0.7 -14, 0.9 -9, 1 -6.6 /, 3 -6.4, 4.6 -5, 6.6 -3 /, 4 -3.2, 2.4 -2.6, 1 -2.4 /, "
        "0.9 -0.4 /",
        &form);
    drapery_tassel(sheet, frame_apply(frame, (Point){0.3, 5.6}), 6, -4);
    shaft_below(sheet, frame, shaft, 1.5);
}

void arms_partisan(Sheet *sheet, Frame frame, double shaft) {
    socket(sheet, frame);
    Form form = plain_metal();
    form.round = 1.4;
    form.angle = 60 + frame.angle * 180 / G_PI;
    ink_line(sheet, curve_open(frame, "0 -2.4, 0.1 -10, 0 -19"), 0.17);
    form_draw_text(sheet, frame,
                   "-0.9 -0.4 /, -1.1 -1.8, -2.6 -1.6, -4.6 -3.4 /, -4.4 -5.6, -5.4 -7.6 /, "
                   "-3.2 -6.6, -2.3 -8, -2 -12, -1.2 -17, 0 -21.4 /, 1.3 -17, 2.1 -12, 2.4 -8, "
                   "3.3 -6.6, 5.4 -7.4 /, 4.3 -5.6, 4.7 -3.4 /, 2.6 -1.6, 1.1 -1.8, 0.9 -0.4 /",
                   &form);
    drapery_tassel(sheet, frame_apply(frame, (Point){-0.2, 5.6}), 6, 5);
    shaft_below(sheet, frame, shaft, 1.5);
}

void arms_trident(Sheet *sheet, Frame frame, double shaft) {
    socket(sheet, frame);
    Form form = plain_metal();
    form.round = 0.7;
    form.angle = 30;
    form_draw_text(
        sheet, frame,
        "-0.9 0 /, -1 -1.6, -3 -2.4, -4.6 -4.4, -4.8 -8 /, -5.9 -7.6 /, -4.4 -12.6 /, "
        "-2.9 -7.8 /, -3.8 -8 /, -3.5 -5, -2.2 -3.6, -0.7 -3.4 /, -0.6 -9.4 /, "
        "-1.7 -9 /, 0 -14.8 /, 1.6 -9.2 /, 0.6 -9.4 /, 0.7 -3.4 /, 2.3 -3.7, 3.6 -5.2, "
        "3.8 -8 /, 3 -7.8 /, 4.5 -12.4 /, 5.9 -7.8 /, 4.8 -8 /, 4.6 -4.4, 3 -2.3, "
        "1 -1.6, 0.9 0 /",
        &form);
    shaft_below(sheet, frame, shaft, 1.4);
}

void arms_oar(Sheet *sheet, Frame frame, double shaft) {
    Form form = plain_wood();
    form.round = 1.6;
    form.base = 0.16;
    form.angle = 84 + frame.angle * 180 / G_PI;
    form.spacing = 0.36;
    form.cross_threshold = 0.7;
    ink_line(sheet, curve_open(frame, "0.1 -1, 0.2 -10, 0 -18"), 0.14);
    form_draw_text(
        sheet, frame,
        "-0.8 0, -1.2 -4, -2.6 -9, -3.2 -15, -2.7 -19.4, -1.4 -20.4, 0.2 -20, 1.8 -20.4, "
        "2.8 -19.2, 3.2 -15, 2.5 -9, 1.1 -4, 0.8 0",
        &form);
    shaft_below(sheet, frame, shaft, 1.5);
}
