/* Armour: cuirass and helmet, polished steel with hard lights, roped edges and rivets.
 * Coordinates are placed by hand in each piece's own frame, nearer parts first. */
#include <math.h>

#include "arms.h"
#include "ink.h"

static Form steel(void) {
    Form form = form_plain();
    form.base = 0.16;
    form.round = 3.4;
    form.contrast = 0.85;
    form.shadow = 0.75;
    form.spacing = 0.34;
    form.thick = 0.21;
    form.cross_threshold = 0.6;
    form.cross_turn = 42;
    form.dark_width = 0.34;
    form.throws = 2;
    return form;
}

void arms_rivet(Sheet *sheet, Point centre, double radius) {
    Shape *shape = shape_new(curve_oval(&sheet->hand, centre, radius, radius * 0.95, 20, 0.06));
    Form form = form_plain();
    form.round = radius * 0.9;
    form.base = 0.05;
    form.contrast = 0.8;
    form.spacing = 0.24;
    form.thick = 0.16;
    form.angle = 40;
    form.dots = 0;
    form.throws = radius * 1.1;
    form.light_width = 0.08;
    form.dark_width = 0.24;
    form.cross_threshold = 2;
    form_draw(sheet, shape, &form);
}

/* A rolled edge turned like a rope: leaning rungs close together. */
static void roped_edge(Sheet *sheet, Curve *axis, double width) {
    Ribbon ribbon = ribbon_new(axis, "0 0.8, 0.1 1, 0.9 1, 1 0.8", width);
    Form form = form_plain();
    form.round = 0;
    form.base = 0.55;
    form.spacing = 0.55;
    form.thick = 0.2;
    form.dots = 0;
    form.cross_threshold = 2;
    form.throws = 0.9;
    ribbon_draw(sheet, &ribbon, &form, 0.3, 0.9 * width / curve_length(axis));
}

/* An etched band down the ridge: a winding stem with leaves on a darkened ground. */
static void breast_ornament(Sheet *sheet, Frame frame) {
    static const char *const sprays[] = {
        "0 6, 1.2 8.4, -1 11, 1.4 14, -0.9 17, 1.3 20, -0.6 23, 0.9 26, 0.4 28.6",
        "0.9 7.4, -0.9 7, -1.4 8.6, -0.5 9.2",
        "-0.7 10.4, 1.3 10, 2.2 11.4, 1.3 12.2",
        "1.1 13, -0.9 12.6, -1.5 14.2, -0.6 15",
        "-0.6 16.4, 1.5 16, 2.4 17.4, 1.4 18.2",
        "1 19.2, -0.9 18.8, -1.5 20.4, -0.6 21",
        "-0.3 22.4, 1.5 22, 2.2 23.4, 1.4 24",
    };
    for (guint i = 0; i < G_N_ELEMENTS(sprays); i++) {
        Ribbon spray =
            ribbon_new(curve_open(frame, sprays[i]),
                       i == 0 ? "0 0.2, 0.5 0.5, 1 0.2" : "0 0.1, 0.6 0.6, 0.85 0.8, 1 0.3",
                       fabs(frame.scale_y));
        Form form = form_plain();
        form.round = 0;
        form.base = 0.02;
        form.cross_threshold = 2;
        form.throws = 0.4;
        form.light_width = 0.07;
        form.dark_width = 0.16;
        form_draw(sheet, spray.shape, &form);
    }
    Form ground = form_plain();
    ground.round = 0;
    ground.base = 0.42;
    ground.throws = 0;
    ground.spacing = 0.3;
    ground.angle = -8;
    ground.thick = 0.15;
    ground.cross_threshold = 2;
    ground.light_width = 0.09;
    ground.dark_width = 0.18;
    form_draw_text(sheet, frame,
                   "-2 5 /, 2.2 5 /, 3.2 12, 3.2 19, 2.2 28.6 /, -0.6 29.4, -1.9 28 /, "
                   "-2.4 19, -2.3 12",
                   &ground);
}

/* Side bands of double lines with pricked dots between, as etched armour has. */
static void side_bands(Sheet *sheet, Frame frame) {
    static const char *const lines[] = {
        "-8.4 -0.4, -8 6, -8.9 13, -8.2 20, -5 27.6",
        "-6.6 1, -6.2 7, -7 13, -6.5 19.4, -3.8 27.4",
        "8.2 -0.4, 8.1 6, 9 13, 8.4 20, 5.4 27.4",
        "6.5 1, 6.3 7, 7.2 13, 6.7 19.4, 4.2 27.4",
    };
    for (guint i = 0; i < G_N_ELEMENTS(lines); i++)
        ink_line(sheet, curve_open(frame, lines[i]), 0.15);
    for (int side = 0; side < 2; side++) {
        Curve *outer = curve_open(frame, lines[side * 2]);
        Curve *inner = curve_open(frame, lines[side * 2 + 1]);
        for (int i = 1; i < 22; i++) {
            double share = i / 22.0, leap = share + 0.03;
            Point ends[3] = {point_mix(curve_at(outer, share), curve_at(inner, share), 0.16),
                             point_mix(curve_at(outer, leap), curve_at(inner, leap), 0.5),
                             point_mix(curve_at(outer, share), curve_at(inner, share), 0.84)};
            ink_line(sheet, curve_through(ends, 3, false), 0.15);
            Point dot = point_mix(curve_at(outer, share), curve_at(inner, share), 0.5);
            ink_solid(sheet, curve_oval(&sheet->hand, dot, 0.1, 0.13, 0, 0.1));
        }
    }
}

static void breastplate(Sheet *sheet, Frame frame) {
    Form form = steel();
    Shape *whole = shape_new(curve_closed(
        frame,
        "-6 1.4 /, -9.8 -1.4 /, -12.4 0.6, -11 5, -10.8 8.6, -12.6 12 /, -13.4 16.6, "
        "-12.4 21.6, -8.6 28, -3.4 31, 0.2 32.6 /, 4 30.8, 8.8 28, 12.6 21.4, 13.2 16.4, "
        "12.4 12 /, 10.6 8.6, 11 5, 12.2 0.4 /, 9.6 -1.6 /, 6 1.3 /, 3 3.4, 0 4, -3 3.5"));
    ink_contour(sheet, whole, 0.12, 0.36);
    const char *ridge_left =
        "0.1 3.6 /, 0.7 10, 1 18, 0.7 26, 0.2 32.6 /, -4 32, -14 26, -16 10, "
        "-13 -3, -5 0";
    const char *ridge_right =
        "0.1 3.6 /, 0.7 10, 1 18, 0.7 26, 0.2 32.6 /, 5 32, 14 26, 16 10, "
        "13 -3, 5 0";
    form.first = curve_open(frame, "-16 -7, -8 -2, 0 2, 8 -2, 16 -7");
    form.last = curve_open(frame, "-16 24, -8 31, 0 36, 8 31, 16 24");
    Shape *left = shape_new(curve_closed(frame, ridge_left));
    Shape *right = shape_new(curve_closed(frame, ridge_right));
    sheet->window = left;
    form.round = 5;
    form.base = 0.19;
    form_hatch(sheet, whole, &form);
    sheet->window = right;
    form.base = 0.36;
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){0.5, 14});
    form.ramp_to = frame_apply(frame, (Point){8, 15});
    form.ramp_start = 0.2;
    form.ramp_end = -0.12;
    form_hatch(sheet, whole, &form);
    sheet->window = NULL;
    sheet_cover(sheet, whole, 2.4);
}

static void skirt_of_lames(Sheet *sheet, Frame frame) {
    for (int i = 0; i < 3; i++) {
        double y = 28.6 + i * 2.7, spread = 9 + i * 1.3;
        Point points[5] = {{-spread, y - 1},
                           {-spread * 0.55, y + 2.6},
                           {0.2, y + 4.8},
                           {spread * 0.55, y + 2.5},
                           {spread, y - 1.2}};
        for (int k = 0; k < 5; k++)
            points[k] = frame_apply(frame, points[k]);
        for (int side = -1; side <= 1; side += 2)
            arms_rivet(sheet, frame_apply(frame, (Point){side * (spread - 1), y + 0.2}), 0.42);
        Ribbon lame = ribbon_new(curve_through(points, 5, false), "0 2.6, 0.5 3.1, 1 2.6",
                                 fabs(frame.scale_y));
        Form form = steel();
        form.round = 1.3;
        form.base = 0.2;
        form.ramped = true;
        form.ramp_from = points[1];
        form.ramp_to = points[4];
        form.ramp_start = 0;
        form.ramp_end = 0.4;
        ribbon_draw(sheet, &lame, &form, 0.12, 0);
    }
}

static void tasset(Sheet *sheet, Frame frame, double side) {
    for (int i = 0; i < 4; i++) {
        double y = 34.5 + i * 3.4, inner = 1.2 + i * 0.25, outer = 11 + i * 1.1;
        Point points[4] = {{side * inner, y + 1.6},
                           {side * (inner + 3), y + 2.6},
                           {side * (outer - 3), y + 1.2},
                           {side * outer, y - 1.6}};
        for (int k = 0; k < 4; k++)
            points[k] = frame_apply(frame, points[k]);
        arms_rivet(sheet, frame_apply(frame, (Point){side * (inner + 1), y + 2}), 0.36);
        arms_rivet(sheet, frame_apply(frame, (Point){side * (outer - 1), y - 0.6}), 0.36);
        Ribbon lame = ribbon_new(curve_through(points, 4, false), "0 3.9, 0.5 4.2, 1 3.8",
                                 fabs(frame.scale_y));
        Form form = steel();
        form.round = 1.8;
        form.base = side < 0 ? 0.14 : 0.36;
        ribbon_draw(sheet, &lame, &form, 0.1 * side, 0);
    }
}

void arms_cuirass(Sheet *sheet, Frame frame) {
    double scale = fabs(frame.scale_y);
    roped_edge(sheet, curve_open(frame, "-6.6 0.8, -3.2 3.2, 0 3.8, 3.2 3.1, 6.6 0.7"),
               1.3 * scale);
    roped_edge(sheet, curve_open(frame, "-11.6 0.8, -10.4 5, -10.3 8.4, -12 12"), 1.1 * scale);
    roped_edge(sheet, curve_open(frame, "11.5 0.6, 10.4 5, 10.2 8.4, 11.8 12"), 1.1 * scale);
    for (int side = -1; side <= 1; side += 2)
        arms_rivet(sheet, frame_apply(frame, (Point){side * 8.9, 0.9}), 0.6 * scale);
    breast_ornament(sheet, frame);
    side_bands(sheet, frame);
    breastplate(sheet, frame);
    skirt_of_lames(sheet, frame);
    tasset(sheet, frame, -1);
    tasset(sheet, frame, 1);
    Form mail = steel();
    mail.base = 0.66;
    mail.round = 0;
    mail.spacing = 0.4;
    mail.bow = 1;
    mail.angle = 0;
    mail.cross_threshold = 0.4;
    mail.cross_turn = 50;
    form_draw_text(sheet, frame,
                   "-4 33 /, 4.6 33 /, 4 40, 2.4 45.4, 0.4 47, -1.8 45.4, -3.4 40", &mail);
    Form hollow = steel();
    hollow.base = 0.62;
    hollow.round = 0;
    hollow.cross_threshold = 0.5;
    form_draw_text(sheet, frame, "-6.4 1.2, -3.4 -2, 0 -3, 3.6 -2.1, 6.4 1, 3 3.4, 0 4, -3 3.4",
                   &hollow);
}

/* The ear: a rosette of holes through the cheek-piece. */
static void ear_rosette(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    for (int i = 0; i < 7; i++) {
        double angle = i * 1.047, reach = i == 6 ? 0 : 1.05;
        Point at =
            frame_apply(frame, (Point){1.4 + reach * cos(angle), -2.6 + reach * sin(angle)});
        ink_solid(sheet, curve_oval(&sheet->hand, at, 0.24 * size, 0.3 * size, 0, 0.1));
    }
    Point middle = frame_apply(frame, (Point){1.4, -2.6});
    Curve *ring = curve_oval(&sheet->hand, middle, 1.75 * size, 1.8 * size, 0, 0.03);
    ink_line(sheet, curve_joined(ring, curve_part(ring, 0, 0.08), false), 0.18);
}

static void helmet_face(Sheet *sheet, Frame frame) {
    Form form = steel();
    form.round = 1.3;
    form.angle = 5;
    form.bow = -0.5;
    form_draw_text(
        sheet, frame,
        "-6.4 -9.6, -10.6 -9.2, -14 -8, -16.4 -5.9 /, -12.6 -6.4, -9.4 -6.6, -6.6 -6.6", &form);
    ear_rosette(sheet, frame);
    for (int i = 0; i < 4; i++)
        arms_rivet(sheet,
                   frame_apply(frame, (Point){-5.6 + i * 2.2, 1.5 + (i < 2 ? i : 3 - i) * 0.7}),
                   0.34);
    ink_line(sheet, curve_open(frame, "-3 -6.6, -3.7 -4.2, -5.8 -2.4, -6.8 0.4"), 0.14);
    form.base = 0.18;
    form.round = 2.2;
    form.angle = 66;
    form.bow = 1;
    form_draw_text(sheet, frame,
                   "-3.6 -7.4 /, 0.8 -7.3, 4.8 -6, 5.6 -2.2, 4.6 2 /, 1.2 3.6, -3.4 4, -6.2 3, "
                   "-7.9 0.8 /, "
                   "-6.8 -2.4, -4.6 -4.2",
                   &form);
    Form dark = steel();
    dark.base = 0.85;
    dark.round = 0;
    dark.spacing = 0.3;
    dark.cross_threshold = 0.4;
    form_draw_text(sheet, frame, "-7.6 -7, -1 -7.2, -2.6 -3.4, -5.4 -1.8, -7.4 -1 /, -6.5 -4",
                   &dark);
}

static void helmet_skull(Sheet *sheet, Frame frame) {
    Curve *crest =
        curve_open(frame, "-7.8 -14.4, -5.2 -19.4, 0 -22.2, 5.2 -21.2, 9 -17, 10.6 -11.4");
    roped_edge(sheet, crest, 1.2 * fabs(frame.scale_y));
    Form form = steel();
    form.round = 1;
    form.base = 0.3;
    form.angle = 70;
    form_draw_text(
        sheet, frame,
        "-7.6 -14 /, -5 -19.2, 0 -22, 5 -21, 8.8 -16.8, 10.3 -11 /, 8.6 -15, 5.4 -18.2, "
        "1 -19.6, -4 -17.8",
        &form);
    for (int i = 0; i < 7; i++)
        arms_rivet(
            sheet,
            frame_apply(frame, (Point){-6.4 + i * 2.15, -8.7 + 0.42 * i - (i > 4 ? 0.1 : 0)}),
            0.36);
    ink_line(sheet, curve_open(frame, "-7.8 -10, -2 -9.7, 4 -8.6, 9.4 -6.4"), 0.16);
    ink_line(sheet, curve_open(frame, "-7.8 -7.4, -2 -7.3, 4 -6.3, 9.2 -4.4"), 0.16);
    form = steel();
    form.round = 5.2;
    form.base = 0.2;
    form.first = curve_open(frame, "-10 -5, -9 -16, -2 -23, 4 -22, 8 -20");
    form.last = curve_open(frame, "4 6, 6 0, 9 -4, 14 -6, 18 -6");
    form_draw_text(
        sheet, frame,
        "-7.6 -7.2, -8.3 -11, -6.6 -15.8, -2.4 -19, 2.6 -19.4, 7 -16.8, 9.4 -12.2, 9.6 -7, "
        "9.6 -4 /, 6 -1, 1 1, -2 0, -4 -6",
        &form);
    form.first = NULL;
    form.base = 0.3;
    form.round = 1.4;
    form.angle = 80;
    form_draw_text(
        sheet, frame,
        "9.4 -5 /, 10.4 -1.6, 13.4 1.6, 15.4 2.4 /, 12.6 4, 8 4.4, 3 3.2, 0 2 /, 2 -2, 6 -4.2",
        &form);
}

void arms_helmet(Sheet *sheet, Frame frame) {
    helmet_face(sheet, frame);
    helmet_skull(sheet, frame);
}
