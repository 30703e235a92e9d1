/* Masks: brows, lids, nose, open mouth, cheeks, a beard of leaves and hair in locks.
 * Also fruit and leaves for bunches, each fruit of about one unit radius in its frame. */
#include "mask.h"

#include <math.h>

#include "ink.h"

static Form flesh(void) {
    Form form = form_plain();
    form.base = 0.1;
    form.round = 2.4;
    form.contrast = 0.7;
    form.spacing = 0.31;
    form.thick = 0.18;
    form.shadow = 0.6;
    form.throws = 1;
    form.dark_width = 0.3;
    form.cross_threshold = 0.66;
    return form;
}

static void mask_eye(Sheet *sheet, Frame frame, double side) {
    Frame own = frame;
    own.scale_x *= side;
    Form lid = flesh();
    lid.round = 0.5 * fabs(frame.scale_y);
    lid.base = 0.2;
    lid.throws = 0.7;
    form_draw_text(sheet, own, "1.1 -1, 2 -1.9, 3.2 -2, 4.1 -1.2 /, 3.2 -1.5, 2.1 -1.4", &lid);
    Point centre = frame_apply(own, (Point){2.6, -1.05});
    double size = fabs(frame.scale_y);
    Point glint = point_add(centre, (Point){-0.14 * size, -0.16 * size});
    ink_solid_with_light(sheet,
                         curve_oval(&sheet->hand, centre, 0.42 * size, 0.45 * size, 0, 0.05),
                         curve_oval(&sheet->hand, glint, 0.1 * size, 0.1 * size, 0, 0.05));
    ink_line(sheet, curve_oval(&sheet->hand, centre, 0.66 * size, 0.68 * size, 0, 0.05), 0.12);
    Form ball = flesh();
    ball.base = 0.02;
    ball.round = 0.4;
    ball.throws = 0;
    form_draw_text(sheet, own, "1.1 -1 /, 2 -1.6, 3.2 -1.7, 4.1 -1.1 /, 3.2 -0.4, 2 -0.4",
                   &ball);
    ink_line(sheet, curve_open(own, "1.4 -0.1, 2.4 0.3, 3.6 0, 4.2 -0.6"), 0.13);
    Curve *brow = curve_open(own, "0.5 -2, 1.4 -3, 2.9 -3.4, 4.4 -2.8, 5.4 -1.4");
    for (int row = 0; row < 3; row++)
        for (int i = 0; i < 11; i++) {
            double share = (i + 0.3 * row) / 11.5, lift = row * 0.3 - 0.2;
            Point at = curve_at(brow, share), along = curve_direction(brow, share);
            Point up = {along.y * side, -along.x * side};
            at = point_add(at, point_scale(up, -lift * size));
            Point hair[3] = {at,
                             point_add(at, point_add(point_scale(along, 0.5 * size),
                                                     point_scale(up, 0.12 * size))),
                             point_add(at, point_add(point_scale(along, 0.95 * size),
                                                     point_scale(up, 0.05 * size)))};
            ink_flick(sheet, curve_through(hair, 3, false), 0.15 + 0.05 * size);
        }
}

static void mask_mouth(Sheet *sheet, Frame frame) {
    Form lip = flesh();
    lip.round = 0.5 * fabs(frame.scale_y);
    form_draw_text(sheet, frame,
                   "-1.7 3.9 /, -0.8 3.5, 0 3.8, 0.8 3.5, 1.8 3.9 /, 0.8 4.2, -0.8 4.2", &lip);
    lip.base = 0.22;
    form_draw_text(sheet, frame, "-1.4 5.1 /, 0 5, 1.4 5.1 /, 0.8 5.9, -0.7 5.9", &lip);
    Form dark = flesh();
    dark.base = 0.95;
    dark.round = 0;
    dark.spacing = 0.22;
    dark.cross_threshold = 0.3;
    form_draw_text(sheet, frame, "-1.8 4 /, 0 4, 1.8 4 /, 1.5 5.3, 0 5.5, -1.5 5.3", &dark);
}

/* The nose has no contour all round: a shaded side, the bulb, the wings and the nostrils. */
static void mask_nose(Sheet *sheet, Frame frame) {
    static const char *const lines[] = {
        "0.45 -2.6, 0.55 -1.2, 0.75 0.2, 0.95 1",
        "-0.5 -2.5, -0.5 -1.4",
        "-0.95 1.9, -0.7 2.6, 0 2.9, 0.7 2.6, 0.98 1.9",
        "1.05 1.2, 1.75 1.5, 1.95 2.2, 1.4 2.6",
        "-1.05 1.2, -1.7 1.5, -1.9 2.2, -1.4 2.6",
    };
    static const double weights[] = {0.26, 0.14, 0.28, 0.3, 0.2};
    for (guint i = 0; i < G_N_ELEMENTS(lines); i++)
        ink_line(sheet, curve_open(frame, lines[i]), weights[i]);
    for (int side = -1; side <= 1; side += 2) {
        Frame own = frame;
        own.scale_x *= side;
        ink_solid(sheet, curve_closed(own, "0.7 2.5, 1.1 2.2, 1.45 2.5, 1.1 2.65"));
    }
    Form form = flesh();
    form.round = 0.8 * fabs(frame.scale_y);
    form.spacing = 0.3;
    form.no_contour = true;
    form.base = 0.14;
    form.bow = 0.3 * fabs(frame.scale_y);
    form.angle = 28;
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){-0.3, 0});
    form.ramp_to = frame_apply(frame, (Point){0.8, 0.2});
    form.ramp_start = -0.14;
    form.ramp_end = 0.34;
    form_draw_text(sheet, frame,
                   "-0.55 -2.8, 0.5 -2.8, 0.6 -0.8, 1 1, 1.8 1.6, 1.8 2.4, 0.8 2.7, 0 2.9, "
                   "-0.8 2.7, -1.8 2.4, -1.8 1.6, -1 1, -0.6 -0.8",
                   &form);
}

/* A moustache of two combed locks that hides the corners of the lip. */
static void mask_moustache(Sheet *sheet, Frame frame) {
    for (int side = -1; side <= 1; side += 2) {
        Frame own = frame;
        own.scale_x *= side;
        Form form = flesh();
        form.round = 0.6 * fabs(frame.scale_y);
        form.base = side * frame.scale_x > 0 ? 0.3 : 0.14;
        form.first = curve_open(own, "0.2 2.9, 1.6 2.6, 3.4 3, 5 4.2, 6.2 4");
        form.last = curve_open(own, "0 4, 1.4 4.2, 3 5.4, 4.8 6, 6 5");
        form.spacing = 0.3;
        form_draw_text(
            sheet, own,
            "0.1 3.1, 1.5 2.8, 3.2 3.2, 4.7 4.3, 6.1 3.9 /, 5.6 5.4, 4.2 5.9, 2.8 5.1, "
            "1.5 4.1, 0.1 3.9",
            &form);
    }
}

static void leafy_beard(Sheet *sheet, Frame frame) {
    static const char *const leaves[] = {
        "-0.2 6 /, 1.2 7.2, 1.4 9, 0.4 11.6 /, -1 9.4, -1.1 7.4",
        "1 5.8 /, 2.8 6.4, 3.9 8, 4 10.6 /, 2.2 9.4, 1.2 7.6",
        "-1.2 5.8 /, -3 6.4, -4.1 8.1, -4 10.4 /, -2.4 9.4, -1.4 7.6",
        "2.4 4.6 /, 4.4 4.8, 6 6.2, 6.6 8.8 /, 4.4 8.2, 3 6.6",
        "-2.4 4.6 /, -4.6 4.9, -6 6.4, -6.4 9 /, -4.6 8.2, -3 6.6",
        "5 0.8 /, 6.6 1.9, 7.9 3.6, 8.3 6.3 /, 6.2 5.7, 5 4.3, 4.7 2.6",
        "-5 1 /, -6.7 2, -7.7 3.5, -8.4 5.9 /, -6.1 5.8, -5 4.4, -4.8 2.8",
    };
    for (guint i = 0; i < G_N_ELEMENTS(leaves); i++) {
        Form form = flesh();
        form.round = 1.1;
        form.base = 0.2;
        form.angle = 80 + (i % 2 == 0 ? 18 : -18);
        form_draw_text(sheet, frame, leaves[i], &form);
    }
}

static void locks_of_hair(Sheet *sheet, Frame frame) {
    static const char *const locks[] = {
        "-0.2 -4.8, 0.6 -7, 2.6 -7.4, 3.2 -5.8, 2 -5.2",
        "0 -4.8, -1 -7, -2.9 -7.2, -3.2 -5.6, -2.1 -5.2",
        "2.6 -5, 4 -7, 6 -6.4, 6 -4.6, 4.8 -4.6",
        "-2.6 -5, -4.2 -6.9, -6.1 -6.2, -6 -4.4, -4.8 -4.6",
        "4.8 -4, 6.9 -4.8, 8 -3, 7 -1.6, 6.2 -2.4",
        "-4.8 -4, -6.9 -4.6, -7.9 -2.8, -6.9 -1.5, -6.2 -2.4",
    };
    for (guint i = 0; i < G_N_ELEMENTS(locks); i++) {
        Ribbon lock = ribbon_new(curve_open(frame, locks[i]),
                                 "0 0.3, 0.25 1.7, 0.5 1.7, 0.8 1, 1 0.2", fabs(frame.scale_y));
        Form form = flesh();
        form.round = 0.8;
        form.base = 0.26;
        form.first = lock.left;
        form.last = lock.right;
        form.cross_threshold = 0.8;
        form_draw(sheet, lock.shape, &form);
    }
}

/* Wrinkles and the folds of the cheek; only a large mask has room for all of them. */
static void mask_furrows(Sheet *sheet, Frame frame) {
    static const char *const furrows[] = {
        "-3.4 -4.6, -1.6 -5, 0 -4.5, 1.7 -5, 3.4 -4.6",
        "-2.8 -5.3, -1.4 -5.6, 0 -5.1, 1.6 -5.6, 2.8 -5.3",
        "4.5 -0.8, 5 -0.2, 5.2 0.6",
        "-4.5 -0.8, -5 -0.2, -5.2 0.6",
        "4.4 -0.3, 4.7 0.3, 4.8 0.9",
        "2.3 1.9, 3.6 3, 3.9 4.6",
        "-2.3 1.9, -3.6 3, -3.9 4.6",
        "-0.8 6.2, 0 6.5, 0.9 6.2",
        "1.2 0.4, 1.8 0.8, 2.6 0.8",
        "-1.2 0.4, -1.8 0.8, -2.6 0.8",
    };
    if (fabs(frame.scale_y) > 1.6)
        for (guint i = 0; i < G_N_ELEMENTS(furrows); i++)
            ink_line(sheet, curve_open(frame, furrows[i]), 0.17);
}

void mask_river_face(Sheet *sheet, Frame frame) {
    mask_nose(sheet, frame);
    mask_moustache(sheet, frame);
    mask_mouth(sheet, frame);
    mask_eye(sheet, frame, 1);
    mask_eye(sheet, frame, -1);
    ink_line(sheet, curve_open(frame, "1.9 2.4, 3 3.4, 3.2 4.8"), 0.18);
    ink_line(sheet, curve_open(frame, "-1.9 2.4, -3 3.4, -3.2 4.8"), 0.16);
    ink_line(sheet, curve_open(frame, "-1.6 -4.2, 0 -3.8, 1.7 -4.2"), 0.13);
    ink_line(sheet, curve_open(frame, "-0.4 -2.9, -0.7 -3.5"), 0.13);
    ink_line(sheet, curve_open(frame, "0.5 -2.9, 0.7 -3.6"), 0.13);
    mask_furrows(sheet, frame);
}

void mask_river_head(Sheet *sheet, Frame frame) {
    Form face = flesh();
    face.round = 3 * fabs(frame.scale_y);
    face.angle = 35;
    face.bow = 1.2;
    face.ramped = true;
    face.ramp_from = frame_apply(frame, (Point){-1, 0});
    face.ramp_to = frame_apply(frame, (Point){5, 2});
    face.ramp_end = 0.26;
    /* Temples, the hollows of the cheeks, beside the nose, and under the brows. */
    static const double hollows[][4] = {
        {3.9, 3.4, 2.4, 0.36}, {-3.7, 3.6, 2.2, 0.34},  {4.9, -2.4, 1.8, 0.24},
        {1.9, 0.9, 1.2, 0.3},  {-1.9, 1, 1.5, 0.2},     {-5.2, -2.6, 2, 0.34},
        {0.9, -2.4, 1, 0.24},  {-0.9, -2.4, 1.1, 0.22}, {3.4, 0.6, 1.2, -0.2},
        {0.2, 6.2, 1.6, 0.2},  {2.6, 0.1, 1.3, 0.2},    {-5, 1, 1.8, 0.28},
        {-3, -5.2, 2, 0.16},   {0.4, -4.4, 1.2, 0.12}};
    Spot spots[G_N_ELEMENTS(hollows)];
    for (guint i = 0; i < G_N_ELEMENTS(hollows); i++)
        spots[i] = (Spot){frame_apply(frame, (Point){hollows[i][0], hollows[i][1]}),
                          hollows[i][2] * fabs(frame.scale_y), hollows[i][3]};
    face.spots = spots;
    face.spot_count = G_N_ELEMENTS(spots);
    form_draw_text(sheet, frame,
                   "-5.7 -2, -5 -4.8, -2.6 -6.2, 0 -6.5, 2.6 -6.2, 5 -4.8, 5.7 -2, "
                   "5.2 0.6, 5.3 2.4, 4.2 5.4, 2 7.4, 0 7.8, -2 7.4, -4.2 5.4, -5.3 2.4, "
                   "-5.2 0.6",
                   &face);
}

void mask_river(Sheet *sheet, Frame frame) {
    mask_river_face(sheet, frame);
    locks_of_hair(sheet, frame);
    leafy_beard(sheet, frame);
    mask_river_head(sheet, frame);
}

static void leaf(Sheet *sheet, Frame frame) {
    Form form = flesh();
    form.round = 0;
    form.base = 0.16;
    form.angle = 35 + frame.angle * 180 / G_PI;
    Curve *rib = curve_open(frame, "0 0, 0.1 -1, 0 -2.1");
    ink_line(sheet, rib, 0.16);
    for (int i = 1; i < 4; i++)
        for (int side = -1; side <= 1; side += 2) {
            Point vein[2] = {{0, -i * 0.5}, {side * (0.62 - i * 0.08), -i * 0.5 - 0.42}};
            for (int k = 0; k < 2; k++)
                vein[k] = frame_apply(frame, vein[k]);
            ink_flick(sheet, curve_through(vein, 2, false), 0.13);
        }
    form_draw_text(
        sheet, frame,
        "0 0, 0.5 -0.2, 0.85 -0.5 /, 0.7 -0.8, 0.95 -1.2 /, 0.6 -1.4, 0.62 -1.8 /, 0.2 -2, "
        "0 -2.5 /, -0.3 -1.9, -0.65 -1.8 /, -0.6 -1.4, -0.95 -1.1 /, -0.7 -0.8, "
        "-0.85 -0.4 /, -0.5 -0.2",
        &form);
}

static void grapes(Sheet *sheet, Frame frame) {
    static const double places[10][2] = {{0, 1.1},     {-0.4, 0.5}, {0.4, 0.5}, {-0.8, -0.1},
                                         {0, -0.05},   {0.8, -0.1}, {-1, -0.8}, {-0.3, -0.7},
                                         {0.4, -0.75}, {1, -0.75}};
    for (int i = 0; i < 10; i++) {
        Form form = flesh();
        double size = 0.42 * fabs(frame.scale_y);
        form.round = size * 0.9;
        form.spacing = 0.27;
        form.throws = 0.5;
        form.angle = 30 + i * 7;
        Point at = frame_apply(frame, (Point){places[i][0], places[i][1]});
        form_draw(sheet, shape_new(curve_oval(&sheet->hand, at, size, size, 0, 0.05)), &form);
    }
}

static void round_fruit(Sheet *sheet, Frame frame, int kind) {
    Form form = flesh();
    form.round = 0.85 * fabs(frame.scale_y);
    form.contrast = 0.8;
    form.angle = 40 + frame.angle * 60;
    form.bow = 0.35 * fabs(frame.scale_y);
    static const char *const outlines[] = {
        "0 -0.92, 0.5 -1, 0.95 -0.55, 1 0.1, 0.7 0.8, 0.1 0.96, -0.6 0.84, -1 0.15, -0.95 "
        "-0.55, "
        "-0.5 -1",
        "0 -1.5, 0.4 -1.3, 0.5 -0.6, 0.95 0.1, 0.8 0.8, 0.1 1.1, -0.75 0.85, -0.95 0.1, -0.5 "
        "-0.6, "
        "-0.4 -1.3",
    };
    if (kind == 4) {
        Form crown = flesh();
        crown.base = 0.4;
        form_draw_text(sheet, frame,
                       "-0.35 0.8 /, -0.55 1.5 /, -0.2 1.2 /, 0 1.6 /, 0.25 1.2 /, "
                       "0.55 1.45 /, 0.35 0.8 /",
                       &crown);
    } else {
        ink_flick(sheet, curve_open(frame, "0 0.8, 0.1 0.6, 0 0.45"), 0.3);
        ink_line(sheet, curve_open(frame, "-0.3 0.6, 0 0.5, 0.3 0.64"), 0.13);
    }
    form_draw_text(sheet, frame, outlines[kind == 1 ? 1 : 0], &form);
}

void mask_fruit_bunch(Sheet *sheet, Frame frame, const Fruit *fruits, guint count) {
    for (guint i = 0; i < count; i++) {
        Point at = frame_apply(frame, (Point){fruits[i].x, fruits[i].y});
        Frame own = frame_at(at.x, at.y, fruits[i].radius * fabs(frame.scale_y),
                             frame.scale_x < 0 ? -fruits[i].turn : fruits[i].turn);
        own.angle += frame.angle;
        if (fruits[i].kind == 3)
            leaf(sheet, own);
        else if (fruits[i].kind == 2)
            grapes(sheet, own);
        else
            round_fruit(sheet, own, fruits[i].kind);
    }
}
