/* The river figure: head in profile with a crown of reeds, arms, gown in folds, cloak.
 * All coordinates are in one frame with the feet at the origin. */
#include "figure.h"

#include <math.h>

#include "arms.h"
#include "drapery.h"
#include "ink.h"

static Form flesh(void) {
    Form form = form_plain();
    form.base = 0.06;
    form.round = 1.2;
    form.contrast = 0.62;
    form.spacing = 0.29;
    form.thick = 0.16;
    form.threshold = 0.24;
    form.dark_width = 0.26;
    form.throws = 0.9;
    form.dots = 0.9;
    form.cross_threshold = 0.72;
    return form;
}

static void face_features(Sheet *sheet, Frame frame) {
    static const char *const lines[] = {
        "-2.95 -4.75, -2.4 -5.05, -1.7 -4.85",
        "-2.9 -4.5, -2.4 -4.6, -1.9 -4.4",
        "-2.8 -4.15, -2.4 -4.05, -2 -4.2",
        "-3 -5.35, -2.3 -5.7, -1.4 -5.4",
        "-3.55 -2.05, -3 -2.1, -2.6 -1.9",
        "-3.3 -3, -2.95 -3.3, -3 -3.6",
        "-2.6 -1.6, -2.3 -1.3",
        "0.5 -4.3, 0.9 -3.8, 0.6 -3.1, 0.2 -2.7",
        "0.3 -4, 0.1 -3.4, 0.4 -3.1",
    };
    static const double weights[] = {0.2, 0.2, 0.13, 0.22, 0.22, 0.18, 0.13, 0.18, 0.14};
    for (guint i = 0; i < G_N_ELEMENTS(lines); i++)
        ink_line(sheet, curve_open(frame, lines[i]), weights[i]);
    ink_solid(sheet, curve_closed(frame, "-2.75 -4.55, -2.5 -4.6, -2.45 -4.15, -2.7 -4.1"));
}

static void hair_and_crown(Sheet *sheet, Frame frame) {
    static const char *const reeds[] = {
        "-1.4 -7.4, -2.2 -9, -3.6 -10.6 /, -1.6 -9.8, -0.6 -8",
        "0 -7.9, 0 -10, -0.8 -12 /, 1 -10.4, 1.2 -8",
        "1.6 -7.7, 2.6 -9.6, 2.8 -11.6 /, 4 -9.6, 2.8 -7.2",
        "2.8 -6.6, 4.8 -8, 5.8 -9.6 /, 6 -7.2, 3.8 -5.6",
        "-2.4 -6.7, -3.8 -7.8, -5.2 -8.4 /, -3.4 -8.4, -1.8 -7.5",
    };
    for (guint i = 0; i < G_N_ELEMENTS(reeds); i++) {
        Form form = flesh();
        form.base = 0.2;
        form.angle = 60 + i * 20;
        form_draw_text(sheet, frame, reeds[i], &form);
    }
    static const char *const locks[] = {
        "-2.5 -6.4, -1 -7.4, 1 -7.4, 3 -6",
        "-2.3 -5.9, -0.8 -6.6, 1 -6.4, 3.2 -5",
        "-1.8 -5.6, -0.4 -5.8, 1.2 -5.2, 3 -4",
        "-1.2 -5.2, 0.2 -4.9, 1.4 -4.2, 2.6 -3",
        "2.6 -5.4, 4.4 -5.6, 5.2 -4.2, 4.2 -3, 3 -3.6",
        "2.4 -3.6, 3.4 -2, 3 -0.2, 4 1.6, 3.6 3.6",
        "1.6 -3.4, 2.2 -1.8, 1.8 0.4, 2.6 2.6",
    };
    static const double widths[] = {1.2, 1.2, 1.1, 1, 1.9, 1.3, 1};
    for (guint i = 0; i < G_N_ELEMENTS(locks); i++) {
        Ribbon lock = ribbon_new(curve_open(frame, locks[i]), "0 0.5, 0.3 1, 0.7 1, 1 0.2",
                                 widths[i] * fabs(frame.scale_y));
        Form form = flesh();
        form.round = 0.5;
        form.base = 0.3;
        form.first = lock.left;
        form.last = lock.right;
        form.spacing = 0.26;
        form.threshold = 0.2;
        form_draw(sheet, lock.shape, &form);
    }
}

static void head(Sheet *sheet, Frame frame) {
    face_features(sheet, frame);
    hair_and_crown(sheet, frame);
    Form form = flesh();
    form.round = 1.2;
    form.angle = 62;
    form.bow = 0.7;
    form.contrast = 0.44;
    form.spacing = 0.24;
    form.thick = 0.13;
    form_draw_text(
        sheet, frame,
        "-1.8 -7.2, -2.75 -6.2, -3 -5.3, -2.95 -4.8, -3.5 -3.9, -4 -3.2 /, -3.85 -2.95, "
        "-3.3 -2.8 /, -3.5 -2.4, -3.55 -2.05 /, -3.3 -1.9, -3.45 -1.6, -3.1 -1.2 /, -3.25 "
        "-0.7, "
        "-2.9 0, -2 0.2, -0.6 -0.6, 0.8 -1.8, 2.8 -3, 3.2 -5.4, 1.8 -7.2, 0 -7.8",
        &form);
}

/* Four fingers side by side, each from its knuckle to its tip; step leads to the next. */
static void fingers(Sheet *sheet, Frame frame, Point knuckle, Point tip, Point step) {
    for (int i = 0; i < 4; i++) {
        Point offset = point_scale(step, i);
        Point from = point_add(knuckle, offset), to = point_add(tip, offset);
        to = point_mix(to, from, i == 0 || i == 3 ? 0.12 : 0);
        Point middle = point_mix(from, to, 0.5);
        Point points[3] = {frame_apply(frame, from),
                           frame_apply(frame, (Point){middle.x, middle.y - 0.22}),
                           frame_apply(frame, to)};
        Ribbon finger =
            ribbon_new(curve_through(points, 3, false),
                       "0 0.7, 0.2 1, 0.75 0.95, 0.93 0.75, 1 0.3", 0.98 * fabs(frame.scale_y));
        Form form = flesh();
        form.round = 0.45;
        form.throws = 0.4;
        form.light_width = 0.09;
        form.dark_width = 0.2;
        form_draw(sheet, finger.shape, &form);
    }
}

static void sleeve(Sheet *sheet, Frame frame, const char *puff, const char *axis, double base) {
    /* Slashes in the puffed cloth, gathered toward both ends. */
    Curve *gathers = curve_closed(frame, puff);
    for (int i = 0; i < 5; i++) {
        Point from = curve_at(gathers, 0.1 + i * 0.055),
              to = curve_at(gathers, 0.66 - i * 0.05);
        Point bow = point_scale(point_unit(point_subtract(to, from)), (i - 2) * 0.35);
        Point points[3] = {point_mix(from, to, 0.12),
                           point_add(point_mix(from, to, 0.5), (Point){-bow.y, bow.x}),
                           point_mix(from, to, 0.86)};
        ink_line(sheet, curve_through(points, 3, false), 0.2);
    }
    Form form = form_plain();
    form.round = 2.2;
    form.base = base;
    form.contrast = 0.75;
    form.angle = 30;
    form.bow = 0.8;
    form.spacing = 0.32;
    form_draw_text(sheet, frame, puff, &form);
    Ribbon lower = ribbon_new(curve_open(frame, axis), "0 4.2, 0.5 4.4, 0.9 4.2, 1 3.6",
                              fabs(frame.scale_y));
    form.round = 1.6;
    form.base = base + 0.08;
    ribbon_draw(sheet, &lower, &form, 0.16, 0.02);
}

static void left_arm(Sheet *sheet, Frame frame) {
    Form form = flesh();
    fingers(sheet, frame, (Point){-16.7, -43.7}, (Point){-13.5, -43.6}, (Point){0.05, 0.82});
    form_draw_text(sheet, frame,
                   "-13.9 -44.6 /, -14.4 -45.2, -15.4 -44.9, -16.2 -44.2 /, -15 -43.9", &form);
    sheet_group(sheet, "oar");
    Point blade = frame_apply(frame, (Point){-15.1, -18.6});
    arms_oar(sheet, frame_at(blade.x, blade.y, 0.95, 180.8), 40);
    sheet_group(sheet, "figure");
    form_draw_text(
        sheet, frame,
        "-13.8 -44, -12.8 -43.2, -12.7 -41.6, -13.4 -40.6, -15 -40.6, -16 -41.2, -15.4 -43",
        &form);
    sleeve(sheet, frame,
           "-5.4 -46.6, -8.6 -47, -11.2 -44.6, -12.2 -41.4, -11 -39.4, -8.4 -39.6, -6.4 -42",
           "-9.8 -40.4, -11.4 -37.6, -12.8 -34.4", 0.1);
    Ribbon fore = ribbon_new(curve_open(frame, "-12.4 -34.4, -13.2 -38, -13.9 -41.4"),
                             "0 3, 0.4 2.9, 1 1.9", fabs(frame.scale_y));
    ribbon_draw(sheet, &fore, &form, 0.2, 0);
}

static void right_arm(Sheet *sheet, Frame frame) {
    Form form = flesh();
    fingers(sheet, frame, (Point){8.7, -30.8}, (Point){5.6, -28.6}, (Point){0.34, 0.78});
    form_draw_text(sheet, frame,
                   "10.4 -31.6, 9 -31.4, 8 -30.6, 8.2 -29, 9 -27.6, 10.2 -27.8, 11 -29.4",
                   &form);
    sleeve(sheet, frame,
           "5.2 -46.8, 8.4 -47.2, 11.2 -45, 12.2 -41.6, 10.8 -39.4, 8 -39.8, 6 -42.4",
           "9.6 -40.6, 11.8 -37.8, 13.6 -34.8", 0.3);
    Ribbon fore = ribbon_new(curve_open(frame, "13.8 -36, 12 -32.8, 9.8 -30"),
                             "0 3.2, 0.4 3, 1 2", fabs(frame.scale_y));
    ribbon_draw(sheet, &fore, &form, 0.2, 0);
}

static void neck_and_bodice(Sheet *sheet, Frame frame) {
    static const Fold bodice[] = {
        {"-6.6 -46, -7 -41, -4.8 -33", "-4.2 -46.2, -4.8 -42, -5 -39.4, -2.8 -33", 0.6},
        {"-4.2 -46.2, -4.8 -42, -5 -39.4, -2.8 -33", "-2 -45.4, -1.6 -42, -0.8 -38, -0.6 -33",
         0.75},
        {"-2 -45.4, -1.6 -42, -0.8 -38, -0.6 -33", "2 -45.6, 2.6 -42, 1.6 -38, 1 -33", 0.5},
        {"2 -45.6, 2.6 -42, 1.6 -38, 1 -33", "4.4 -46.2, 5.4 -42, 5.6 -39, 3 -33", 0.75},
        {"4.4 -46.2, 5.4 -42, 5.6 -39, 3 -33", "6.6 -46.6, 7.2 -41, 4.8 -33", 0.8},
    };
    Form form = flesh();
    Ribbon neck = ribbon_new(curve_open(frame, "0 -51.4, 0.4 -48.8, 0.2 -45"),
                             "0 3.6, 0.4 3.6, 1 6.6", fabs(frame.scale_y));
    Ribbon belt = ribbon_new(curve_open(frame, "-5.2 -33.4, 0 -32, 5.2 -33.6"), "0 1.7, 1 1.7",
                             fabs(frame.scale_y));
    Form band = form_plain();
    band.round = 0.8;
    band.contrast = 0.8;
    arms_rivet(sheet, frame_apply(frame, (Point){0, -32.4}), 1.1);
    ribbon_draw(sheet, &belt, &band, 0.2, 0.03);
    Ribbon collar =
        ribbon_new(curve_open(frame, "-5 -46.6, -2.4 -44.2, 0.2 -43.4, 2.8 -44.4, 5.2 -46.8"),
                   "0 0.9, 1 0.9", fabs(frame.scale_y));
    ribbon_draw(sheet, &collar, &band, 0.2, 0.03);
    ink_line(sheet, curve_open(frame, "-5.8 -39.6, -4 -37.8, -1.6 -38.6"), 0.2);
    ink_line(sheet, curve_open(frame, "1.6 -38.6, 3.8 -37.8, 5.8 -39.6"), 0.22);
    drapery_cloth(
        sheet, frame,
        "-6.8 -46 /, -4.4 -46.4, -2.4 -44, 0.2 -43.2, 2.8 -44.2, 4.6 -46.6, 6.8 -46.4 /, "
        "7.2 -41.6, 6.4 -38, 4.9 -33 /, 0 -31.8, -4.9 -32.8 /, -6.6 -37.6, -7.2 -41.6",
        bodice, G_N_ELEMENTS(bodice), 0.08);
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){0, -47});
    form.ramp_to = frame_apply(frame, (Point){0, -51});
    form.ramp_end = 0.4;
    ribbon_draw(sheet, &neck, &form, 0.22, 0);
}

/* Sandalled feet that come out from under the hem, toes and straps drawn. */
static void feet(Sheet *sheet, Frame frame) {
    static const char *const straps[] = {
        "-6.6 0.2, -5.8 1, -5 1.8",
        "-5 -0.2, -4.4 0.8, -3.8 1.8",
        "3.4 0, 4.2 1, 4.6 2",
        "4.8 0, 5.4 1, 6.4 1.9",
    };
    static const char *const toes[] = {
        "-7.9 2, -7.4 2.4, -7.6 3",     "-7.1 1.9, -6.6 2.4, -6.7 3.1",
        "-6.2 1.9, -5.8 2.5, -5.8 3.1", "4 2.3, 4.2 2.8, 4.6 3.4",
        "4.9 2.3, 5.2 2.8, 5.6 3.4",    "5.9 2.2, 6.2 2.7, 6.6 3.2",
    };
    for (guint i = 0; i < G_N_ELEMENTS(straps); i++)
        ink_line(sheet, curve_open(frame, straps[i]), 0.3);
    for (guint i = 0; i < G_N_ELEMENTS(toes); i++)
        ink_line(sheet, curve_open(frame, toes[i]), 0.16);
    Form foot = flesh();
    foot.throws = 1.4;
    foot.shadow = 0.2;
    form_draw_text(sheet, frame,
                   "-3 -1.4, -2.8 0.6, -3.2 2.2, -4.4 3, -6.4 3.4, -8.4 3.2, -8.6 2.4 /, "
                   "-7.4 1.2, -6.2 -1.4",
                   &foot);
    form_draw_text(sheet, frame,
                   "2.6 -1.4, 2.4 1, 3.2 2.8, 4.6 3.7, 6.8 3.5, 7.8 2.6 /, 6.6 1, 5.6 -1.4",
                   &foot);
}

static void gown(Sheet *sheet, Frame frame) {
    static const Fold upper[] = {
        {"-5 -33, -7.8 -29, -9.4 -24.6", "-3.4 -32.6, -5.2 -28, -5.9 -23", 0.75},
        {"-3.4 -32.6, -5.2 -28, -5.9 -23", "-1.6 -32.4, -2.2 -27, -3.2 -21", 0.7},
        {"-1.6 -32.4, -2.2 -27, -3.2 -21", "0.2 -32.4, 0.4 -27, -0.6 -23", 0.85},
        {"0.2 -32.4, 0.4 -27, -0.6 -23", "2.2 -32.6, 3.2 -27.6, 4.5 -24", 0.7},
        {"2.2 -32.6, 3.2 -27.6, 4.5 -24", "5 -33.2, 7.6 -29, 9.2 -24.6", 0.9},
    };
    /* The weight is on her left leg; over the right knee the cloth is smooth, and from hip and
     * knee the folds run outward, break on the ground and double under. */
    static const Fold skirt[] = {
        {"-8.4 -24, -10.4 -15, -12.6 -6, -15.6 1.4", "-7 -23, -8.6 -14, -10.2 -6, -12.6 2",
         0.75},
        {"-7 -23, -8.6 -14, -10.2 -6, -12.6 2", "-5.4 -22, -6.2 -15, -8.4 -7, -9.4 1", 0.9},
        {"-5.4 -22, -6.2 -15, -8.4 -7, -9.4 1", "-4.2 -22, -3.8 -16, -6.4 -8, -6.2 0.2", 0.6},
        {"-5.6 -23, -5 -19, -4.6 -14.6", "1.6 -23, 2.4 -19, 1.4 -14.6", 0.3},
        {"-3.2 -14.4, -1.6 -12, -0.8 -8, -1.6 -1.6", "1.2 -19, 1.6 -14, 1.4 -8, 0 -1", 0.8},
        {"-3.8 -10, -3.4 -6, -4.4 -3, -4 0", "-1.2 -9, -1.8 -6, -2.4 -3, -1.8 -0.6", 0.45},
        {"1.2 -19, 1.6 -14, 1.4 -8, 0 -1", "3 -22, 4.2 -14, 3.4 -7, 4 1", 0.7},
        {"3 -22, 4.2 -14, 3.4 -7, 4 1", "4.6 -23, 6.4 -15, 6 -8, 8.6 1.4", 0.9},
        {"4.6 -23, 6.4 -15, 6 -8, 8.6 1.4", "6.6 -23, 8.6 -16, 9.4 -8, 12 1", 0.7},
        {"6.6 -23, 8.6 -16, 9.4 -8, 12 1", "8.6 -24, 10.4 -17, 12.4 -8, 16 0.6", 0.95},
        {"6.4 -8, 7.4 -5, 7.2 -2", "8 -8.6, 8.6 -5, 9.4 -2", 0.5},
        {"-10.6 -9, -11.4 -5, -13.4 -1", "-9.6 -8, -10 -4.4, -11.8 -0.4", 0.4},
    };
    sheet_group(sheet, "gown");
    drapery_cloth(
        sheet, frame,
        "-4.9 -33, 0 -32, 4.9 -33.2, 7.8 -29.4, 10.2 -24.6 /, 9 -23.4, 7.6 -23.6, 6.8 -25 /, "
        "5.6 -22.8, 3.8 -22.2, 2.6 -23.8 /, 1 -21.4, -1.2 -21.8 /, -3 -20.4, -4.8 -21.6, -5.4 "
        "-23.4 /, -7.4 -22, -9.2 -22.8, -9.9 -25 /, -7.9 -29.4",
        upper, G_N_ELEMENTS(upper), 0.08);
    drapery_cloth(
        sheet, frame,
        "-8.6 -25, 8.6 -25, 10.2 -18, 12.2 -9, 16.2 0 /, 15 1.8, 13 2.2, 12 0.8 /, 10.8 2.6, "
        "8.6 1.2 /, 6.4 2.2, 4 0.8 /, 2 1.4, 0 -1 /, -1.8 -0.2, -4.2 -0.4 /, -5.4 1.4, "
        "-7.8 0.8 /, -9.4 2.2, -11 1.2 /, -13 2.6, -16 1.2 /, -13 -6, -10.6 -15",
        skirt, G_N_ELEMENTS(skirt), 0.06);
    feet(sheet, frame);
}

static void cloak(Sheet *sheet, Frame frame) {
    static const Fold folds[] = {
        {"-6 -47, -12.4 -40, -13.8 -30, -13 -20, -16.8 -8, -17.8 0",
         "-7 -46, -11 -38, -11.6 -28, -11 -18, -13.4 -8, -14.4 1.6", 0.55},
        {"-7 -46, -11 -38, -11.6 -28, -11 -18, -13.4 -8, -14.4 1.6",
         "-8 -44, -9.6 -30, -9.4 -16, -10 0", 0.8},
        {"-8 -44, -9.6 -30, -9.4 -16, -10 0", "0 -44, 0 -30, 0 -16, 0 0", 0.5},
        {"0 -44, 0 -30, 0 -16, 0 0", "8 -44, 9.8 -30, 10 -16, 11 0", 0.6},
        {"8 -44, 9.8 -30, 10 -16, 11 0",
         "7 -46, 11.4 -40, 12.6 -30, 11.4 -18, 12.8 -8, 13.6 1.6", 0.7},
        {"7 -46, 11.4 -40, 12.6 -30, 11.4 -18, 12.8 -8, 13.6 1.6",
         "6 -47, 13 -41, 14.8 -30, 13 -20, 15.8 -10, 16.8 -1", 0.85},
    };
    sheet_group(sheet, "cloak");
    drapery_cloth(
        sheet, frame,
        "-5 -47, -9 -46.4, -12.6 -40, -13.8 -30, -12.8 -20, -16.6 -8, -17.8 0 /, -14.4 2, "
        "-10 0.4 /, 0 0, 10 0.4 /, 13.6 2, 16.8 -1 /, 15.8 -10, 12.8 -20, 14.6 -30, 13 -41, "
        "9 -46.6, 5 -47",
        folds, G_N_ELEMENTS(folds), 0.26);
}

void figure_river(Sheet *sheet, Frame frame) {
    sheet_group(sheet, "figure");
    left_arm(sheet, frame);
    right_arm(sheet, frame);
    Frame skull = frame;
    skull.origin = frame_apply(frame, (Point){0.3, -50.4});
    sheet_group(sheet, "head");
    head(sheet, skull);
    sheet_group(sheet, "figure");
    neck_and_bodice(sheet, frame);
    gown(sheet, frame);
    cloak(sheet, frame);
}
