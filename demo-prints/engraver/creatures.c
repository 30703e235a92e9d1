/* Small creatures: snail, songbird, fish and frog, each drawn front to back in its own
 * frame so that it can be set down at any size, turned or mirrored. */
#include "creatures.h"

#include <math.h>

#include "bird.h"
#include "ink.h"

static Form skin(double base, double round) {
    Form form = form_plain();
    form.base = base;
    form.round = round;
    form.contrast = 0.75;
    form.spacing = 0.32;
    form.dots = 0.6;
    form.throws = 1;
    return form;
}

static void bead_eye(Sheet *sheet, Frame frame, double x, double y, double radius) {
    double size = radius * fabs(frame.scale_y);
    Point centre = frame_apply(frame, (Point){x, y});
    ink_solid_with_light(
        sheet, curve_oval(&sheet->hand, centre, size * 0.66, size * 0.66, 0, 0.05),
        curve_oval(&sheet->hand, point_add(centre, (Point){-size * 0.2, -size * 0.22}),
                   size * 0.17, size * 0.17, 0, 0.05));
    Curve *rim = curve_oval(&sheet->hand, centre, size, size * 0.96, 0, 0.05);
    ink_line(sheet, curve_joined(rim, curve_part(rim, 0, 0.08), false), 0.15);
    sheet_cover(sheet, shape_new(rim), 0);
}

static void snail_shell(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    double sense = frame.scale_x < 0 ? -1 : 1;
    Point centre = frame_apply(frame, (Point){-0.8, -4.8});
    Curve *axis =
        curve_spiral(centre, 4 * size, 0.5 * size, sense > 0 ? 62 : 118, -2.1 * sense);
    static const double cuts[4] = {0, 0.42, 0.74, 1};
    static const double widths[4] = {3, 1.95, 1.15, 0.4};
    for (int i = 0; i < 3; i++) {
        char *profile = g_strdup_printf("0 %d.%02d, 1 %d.%02d", (int)widths[i],
                                        (int)(widths[i] * 100) % 100, (int)widths[i + 1],
                                        (int)(widths[i + 1] * 100) % 100);
        Ribbon whorl = ribbon_new(curve_part(axis, cuts[i], cuts[i + 1]), profile, size);
        Form form = skin(0.14, widths[i] * size * 0.5);
        form.no_contour = true;
        form.spacing = 0.36;
        form.cross_threshold = 0.62;
        ink_edge(sheet, whorl.left, 0.12, 0.3, 1);
        ink_edge(sheet, whorl.right, 0.12, 0.3, -1);
        sheet->owner = 900;
        ribbon_draw(sheet, &whorl, &form, 0.25 * -sense, 0);
        sheet->owner = 0;
        g_free(profile);
    }
    sheet_cover(sheet,
                shape_new(curve_oval(&sheet->hand, centre, 4.6 * size, 4.5 * size, 0, 0)), 1.2);
}

void creature_snail(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    snail_shell(sheet, frame);
    static const char *const horns[] = {"7.4 -3.4, 8.4 -5.4, 9.8 -6.8",
                                        "8.2 -3, 9.8 -4.4, 11.4 -5",
                                        "8.8 -1.6, 9.8 -1.6, 10.6 -1.2"};
    for (int i = 0; i < 3; i++) {
        Ribbon horn =
            ribbon_new(curve_open(frame, horns[i]), "0 0.8, 0.7 0.4, 0.85 0.5, 1 0.8", size);
        Form form = skin(0.1, 0.3);
        form.cross_threshold = 2;
        form_draw(sheet, horn.shape, &form);
    }
    Form body = skin(0.2, 1.4 * size);
    body.first = curve_open(frame, "-9 -0.4, -4 -2, 2 -2.4, 6 -4.4, 8 -4");
    body.last = curve_open(frame, "-9 0.2, -3 0.3, 3 0.3, 8 -0.2, 9.4 -1.6");
    body.across = true;
    body.bulge = 0.1;
    form_draw_text(sheet, frame,
                   "-9.4 0.2, -6 -1, -3 -1.8, 2.4 -1.8, 5 -3.2, 6.6 -4.4, 8.2 -4, 9.2 -2.4, "
                   "8.8 -0.9, 6.8 0.1, 3 0.5, -3 0.5",
                   &body);
}

void creature_songbird(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    Form beak = skin(0.3, 0.3 * size);
    form_draw_text(sheet, frame, "4.3 -9.6, 5.4 -9.3, 6.5 -8.5 /, 5.3 -8.5, 4.2 -8.4", &beak);
    bead_eye(sheet, frame, 3, -9.4, 0.42);
    bird_wing(sheet, curve_open(frame, "2.4 -6.4, 1.2 -7.2, -0.4 -6.9"),
              curve_open(frame, "1.2 -3.2, -1.6 -2.2, -5 -2"), 4, 0.3);
    static const char *const legs[] = {"0.9 -2.4, 1.2 -1.2, 0.9 -0.3, 2.4 0.2",
                                       "-0.4 -2.2, -0.3 -1, -0.6 -0.2, 0.7 0.3"};
    for (int i = 0; i < 2; i++) {
        Ribbon leg = ribbon_new(curve_open(frame, legs[i]), "0 0.6, 0.5 0.38, 1 0.25", size);
        Form form = skin(0.3, 0.15);
        form_draw(sheet, leg.shape, &form);
    }
    Form body = skin(0.14, 2 * size);
    body.first = curve_open(frame, "3 -11.4, 0.6 -9.4, -1 -6, -3 -3");
    body.last = curve_open(frame, "4.8 -8, 4.6 -4.6, 2 -1.8, -2 -1.4");
    body.dots = 0.9;
    form_draw_text(sheet, frame,
                   "4.4 -9.7, 3.8 -10.8, 2.6 -11.1, 1.4 -10.6, 0.9 -9.4, 0 -7.6, -1.4 -5.4, "
                   "-3.2 -3, -3 -2 /, -1 -1.7, 1.4 -1.9, 3.4 -3.2, 4.2 -5.2, 4.1 -7, 4.3 -8.4",
                   &body);
    Form tail = skin(0.34, 0);
    for (int i = 0; i < 3; i++)
        bird_feather(sheet, frame_apply(frame, (Point){-2.4, -2.6}),
                     frame_apply(frame, (Point){-7.6 + i * 0.35, -0.9 + i * 0.8}), 0.04,
                     0.9 * size, &tail);
}

static void fish_scales(Sheet *sheet, Frame frame, const Curve *spine) {
    for (int row = -3; row <= 3; row++)
        for (int i = 0; i < 13; i++) {
            double share = 0.3 + (i + (row % 2 == 0 ? 0 : 0.5)) * 0.052;
            double reach = row * 0.86 * (1.1 - 0.75 * (share - 0.3));
            Point at = curve_at(spine, fmin(1, share)),
                  along = curve_direction(spine, fmin(1, share));
            Point aside = {-along.y, along.x};
            double size = fabs(frame.scale_y) * (0.62 - 0.3 * (share - 0.3));
            Point points[5];
            for (int k = 0; k < 5; k++) {
                double angle = -1.3 + k * 0.65;
                Point offset = point_add(point_scale(along, size * cos(angle)),
                                         point_scale(aside, size * sin(angle)));
                points[k] = point_add(
                    point_add(at, point_scale(aside, reach * fabs(frame.scale_y))), offset);
            }
            ink_line(sheet, curve_through(points, 5, false), 0.15);
        }
}

static void fish_fins(Sheet *sheet, Frame frame) {
    static const char *const fins[] = {
        "-10 -0.6 /, -12.4 -2.8, -13.4 -6 /, -15 -3.6, -17.4 -3 /, -15.4 -0.6, -16.6 2.6 /, "
        "-13.4 1.4, -11 1",
        "3 -3.6 /, 1.4 -6, -1.4 -7.4 /, -1.8 -6, -3.8 -6.4 /, -3.8 -5, -5.4 -4.8 /, -4.8 -3.2, "
        "-3 -3",
        "2 2.8 /, 0.4 4.6, -2.2 5.6 /, -2 4.4, -3.6 4 /, -2.4 3, -1 2.4",
        "-4 2 /, -5 3.8, -7.4 4.6 /, -6.8 3, -6.4 1.4",
    };
    static const char *const rays[] = {
        "-10.4 0, -13 -2.2, -14 -4.4",   "-10.4 0, -13 -0.6, -16 -1.8",
        "-10.4 0, -13.4 0.4, -15.8 1.6", "1.4 -3.4, 0 -5.4, -1.4 -6.6",
        "0 -3.2, -1.6 -4.8, -3.4 -5.8",  "-1.4 -3, -3 -4, -4.8 -4.4",
        "1 2.8, -0.4 4, -1.8 4.8",       "0 2.6, -1.4 3.4, -3 3.7"};
    for (guint i = 0; i < G_N_ELEMENTS(rays); i++)
        ink_line(sheet, curve_open(frame, rays[i]), 0.14);
    for (guint i = 0; i < G_N_ELEMENTS(fins); i++) {
        Form form = skin(0.24, 0.9 * fabs(frame.scale_y));
        form.angle = (i == 0 ? 8 : 58) + frame.angle * 180 / G_PI;
        form_draw_text(sheet, frame, fins[i], &form);
    }
}

void creature_fish(Sheet *sheet, Frame frame) {
    bead_eye(sheet, frame, 8.2, -1.2, 0.75);
    ink_line(sheet, curve_open(frame, "11.6 1, 10.4 1.2, 9.2 1.9"), 0.22);
    static const char *const beards[] = {"11 1.6, 11.6 3, 10.8 4.4", "9.8 2, 10 3.6, 8.8 4.8"};
    for (int i = 0; i < 2; i++)
        ink_flick(sheet, curve_open(frame, beards[i]), 0.3);
    Form gill = skin(0.16, 0.9 * fabs(frame.scale_y));
    gill.angle = 70;
    form_draw_text(sheet, frame,
                   "6.4 -3.2, 4.6 -1.6, 4.2 0.6, 5.4 2.8 /, 6.6 1.6, 7 -0.6, 6.9 -2.2", &gill);
    Form fin = skin(0.2, 0.6 * fabs(frame.scale_y));
    fin.angle = 20;
    ink_line(sheet, curve_open(frame, "4 1, 2 1.8, 0.4 2.6"), 0.13);
    form_draw_text(sheet, frame, "4.4 0.6 /, 2 0.8, -0.4 2.2, -0.6 3.2 /, 1.6 3, 3.6 2.2",
                   &fin);
    Curve *spine = curve_open(frame, "12 0.6, 7 -0.4, 2 -0.8, -3 -0.6, -7 0.2, -10.6 0");
    fish_scales(sheet, frame, spine);
    Form body = skin(0.18, 2.4 * fabs(frame.scale_y));
    body.first = curve_open(frame, "12 -0.4, 8 -4.2, 2 -4.8, -5 -3, -11 -1");
    body.last = curve_open(frame, "12 1.6, 8 3.6, 2 3.6, -5 2.6, -11 1");
    body.across = true;
    body.bulge = 0.18;
    form_draw_text(sheet, frame,
                   "12.2 0.4, 11 -1.2, 8.6 -3, 5 -3.9, 1 -3.9, -4 -2.7, -8 -1.3, -11 -0.9 /, "
                   "-11 0.9 /, -8 1.6, -4 2.4, 1 3.2, 5.4 3.2, 9 2.6, 11.4 1.8",
                   &body);
    fish_fins(sheet, frame);
}

static void frog_leg(Sheet *sheet, Frame frame, const char *const *parts, int count,
                     double base) {
    for (int i = 0; i < count; i++) {
        Form form = skin(base, 0.8 * fabs(frame.scale_y));
        form.angle = 35 + i * 50;
        form_draw_text(sheet, frame, parts[i], &form);
    }
}

/* Eyes, the ridges of the back, dark spots and warts: all that lies on the skin. */
static void frog_markings(Sheet *sheet, Frame frame) {
    static const double spots[7][3] = {{-0.1, -2.6, 0.7}, {1.2, -0.2, 0.6}, {-1.1, 0.6, 0.75},
                                       {0.5, 2.2, 0.65},  {-2.5, 2, 0.5},   {2.5, 1.6, 0.5},
                                       {-0.6, 4.2, 0.5}};
    double scale = fabs(frame.scale_y);
    for (int side = -1; side <= 1; side += 2) {
        Frame own = frame;
        own.scale_x *= side;
        Form lid = skin(0.1, 0.6 * scale);
        bead_eye(sheet, own, 1.95, -5.9, 0.5);
        form_draw_text(sheet, own, "1 -6.2, 1.5 -7.2, 2.5 -7.1, 3 -6.1, 2.6 -5.1, 1.6 -5",
                       &lid);
    }
    for (int i = 0; i < 7; i++) {
        Form spot = skin(0.62, 0);
        spot.throws = 0;
        spot.light_width = spot.dark_width = 0.13;
        Point at = frame_apply(frame, (Point){spots[i][0], spots[i][1]});
        double size = spots[i][2] * scale;
        form_draw(sheet, shape_new(curve_oval(&sheet->hand, at, size, size * 0.8, 30 * i, 0.2)),
                  &spot);
    }
    for (int i = 0; i < 14; i++) {
        Point at = frame_apply(frame, (Point){hand_between(&sheet->hand, -2.6, 2.6),
                                              hand_between(&sheet->hand, -3.4, 4)});
        double size = hand_between(&sheet->hand, 0.18, 0.36);
        Curve *wart = curve_oval(&sheet->hand, at, size, size * 0.9, 0, 0.1);
        ink_line(sheet, curve_part(wart, 0, 0.6), 0.14);
    }
    ink_line(sheet, curve_open(frame, "-1.6 -4.6, -2 -1, -1.4 4"), 0.14);
    ink_line(sheet, curve_open(frame, "1.6 -4.6, 2 -1, 1.4 4"), 0.16);
}

void creature_frog(Sheet *sheet, Frame frame) {
    static const char *const hind[] = {
        "7.2 5.6 /, 8.6 5.2, 10.6 5.8 /, 9.2 6.4, 10.8 7.4 /, 8.8 7.2, 9.4 8.8 /, 7.8 8, 6.8 9 "
        "/, 6.6 7.4, 5.8 6.6",
        "3 3.2, 5.4 2.8, 7.4 4, 7.8 5.8, 6.6 7, 4.8 5.6, 3 5",
        "2.4 1.2, 5 -0.4, 8 0, 8.6 1.8, 7.4 3.6, 4.6 4.6, 2 5.4",
    };
    static const char *const fore[] = {
        "5.6 -6.4 /, 6.4 -7.8, 7.4 -9 /, 7.2 -7.2, 8.8 -7.4 /, 7.6 -6.4, 8.6 -5.4 /, 6.8 -5.2, "
        "5.8 -5.2",
        "2.6 -3.6, 4.2 -3.4, 6 -5.6, 6.6 -5.2, 5.6 -2.6, 3.6 -1.2, 2.4 -1.8",
    };
    frog_markings(sheet, frame);
    Form body = skin(0.2, 2.2 * fabs(frame.scale_y));
    body.angle = 10;
    body.bow = 0.8;
    form_draw_text(sheet, frame,
                   "0 -8.4, 1.8 -7.2, 2.9 -5, 3 -3, 3.6 -0.4, 3.6 2.8, 2.2 5.2, 0 6, -2.2 5.2, "
                   "-3.6 2.8, -3.6 -0.4, -3 -3, -2.9 -5, -1.8 -7.2",
                   &body);
    for (int side = -1; side <= 1; side += 2) {
        Frame own = frame;
        own.scale_x *= side;
        frog_leg(sheet, own, fore, 2, side * frame.scale_x > 0 ? 0.3 : 0.14);
        frog_leg(sheet, own, hind, 3, side * frame.scale_x > 0 ? 0.34 : 0.16);
    }
}
