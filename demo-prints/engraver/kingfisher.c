/* Kingfishers: one perched and one in flight; big head, dagger beak, stump of a tail.
 * Head and beak are shared; each bird has its own wings, body and tail. */
#include <math.h>

#include "bird.h"
#include "ink.h"

static void eye(Sheet *sheet, Frame frame, double x, double y, double radius) {
    Point centre = frame_apply(frame, (Point){x, y});
    double size = radius * fabs(frame.scale_y);
    Curve *rim = curve_oval(&sheet->hand, centre, size, size * 0.92, 10, 0.05);
    ink_line(sheet, curve_joined(rim, curve_part(rim, 0, 0.1), false), 0.16);
    Shape *ball = shape_new(rim);
    Point pupil = point_add(centre, (Point){size * 0.1, size * 0.08});
    Point glint = point_add(centre, (Point){-size * 0.12, -size * 0.16});
    ink_solid_with_light(sheet,
                         curve_oval(&sheet->hand, pupil, size * 0.62, size * 0.6, 0, 0.06),
                         curve_oval(&sheet->hand, glint, size * 0.18, size * 0.16, 0, 0.06));
    sheet_cover(sheet, ball, 0);
}

static void beak(Sheet *sheet, Frame frame) {
    Form form = form_plain();
    form.round = 0.9;
    form.base = 0.34;
    form.contrast = 0.7;
    form.spacing = 0.28;
    form.angle = 10 + frame.angle * 180 / G_PI;
    form.cross_threshold = 0.72;
    form_draw_text(sheet, frame,
                   "7 -20.3, 9.5 -19.9, 13 -18.9, 17.4 -17.4 /, 13 -17.9, 9.5 -18.5, 6.8 -18.6",
                   &form);
    form.base = 0.2;
    form_draw_text(sheet, frame,
                   "6.6 -18.5, 10 -18.4, 13 -17.9, 16.9 -17.2 /, 12.5 -17.1, 9 -17.1, "
                   "6.6 -17.3",
                   &form);
}

/* Plumage: short strokes laid along the body between two guides. */
static Form plumage(Frame frame, const char *first, const char *last, double base) {
    Form form = form_plain();
    form.first = curve_open(frame, first);
    form.last = curve_open(frame, last);
    form.base = base;
    form.round = 4 * fabs(frame.scale_y);
    form.contrast = 0.62;
    form.spacing = 0.34;
    form.dots = 0.9;
    form.cross_turn = 38;
    form.cross_threshold = 0.62;
    return form;
}

/* The dark cap from the beak over the crown to the ragged nape. */
static void dark_cap(Sheet *sheet, Frame frame) {
    Form cap = plumage(frame, "7.4 -20.8, 4 -23.6, 0 -23.2, -3.6 -19",
                       "7 -20, 3.6 -19.8, 0.4 -18.2, -2 -16.2", 0.46);
    cap.round = 1.6 * fabs(frame.scale_y);
    cap.contrast = 0.8;
    cap.spacing = 0.32;
    cap.throws = 0.4;
    cap.light_width = 0.1;
    cap.dark_width = 0.24;
    form_draw_text(sheet, frame,
                   "7 -20.4, 5.6 -22, 3.4 -22.9, 0.9 -22.7, -0.6 -22 /, -0.7 -21.5, -1.9 -20.8 "
                   "/, -1.7 -20.2, -2.7 -19.2 /, -2.3 -18.2, -2.6 -17 /, -1 -17.8, 0.6 -18.6, "
                   "2.6 -19.9, 4.4 -20.4, 5.8 -20.1",
                   &cap);
}

static void head_markings(Sheet *sheet, Frame frame) {
    Form patch = form_plain();
    patch.base = 0.02;
    patch.round = 0.8;
    patch.contrast = 0.3;
    patch.cross_threshold = 2;
    patch.throws = 0.4;
    patch.dark_width = 0.18;
    patch.light_width = 0.08;
    form_draw_text(
        sheet, frame,
        "0.9 -17.5, 1.7 -17, 1.3 -15.9, 0.2 -14.8, -1.2 -14.3, -2.2 -14.6 /, -1 -15.6, "
        "0 -16.8",
        &patch);
    Form stripe =
        plumage(frame, "6.5 -18.6, 3.5 -18.2, 0.8 -17.8", "6.5 -17.2, 3 -16.6, 1 -17", 0.55);
    stripe.throws = 0;
    stripe.dark_width = 0.14;
    form_draw_text(sheet, frame,
                   "6.4 -18.9, 4 -18.6, 1.6 -18.3, 0.4 -17.7, 1.8 -17, 4.2 -16.9, "
                   "6.2 -17.2",
                   &stripe);
    /* Crown bars: rows of little curved ticks. */
    for (int row = 0; row < 5; row++)
        for (int i = 0; i < 7; i++) {
            double x = 5.9 - i * 1.15 - row * 0.35, y = -19.6 - row * 0.72 + i * i * 0.055;
            if (y < -22.2 + i * 0.12 || x < -1.6)
                continue;
            Point points[3] = {{x, y}, {x - 0.35, y - 0.3}, {x - 0.75, y - 0.12}};
            for (int k = 0; k < 3; k++)
                points[k] = frame_apply(frame, points[k]);
            ink_flick(sheet, curve_through(points, 3, false), 0.2);
        }
    dark_cap(sheet, frame);
}

static void body_ticks(Sheet *sheet, Frame frame, const Shape *body) {
    for (int i = 0; i < 90; i++) {
        Point local = {hand_between(&sheet->hand, 1.5, 6.3),
                       hand_between(&sheet->hand, -15.5, -2)};
        Point at = frame_apply(frame, local);
        Point nearest;
        if (!shape_holds(body, at) || shape_edge_distance(body, at, &nearest) < 0.5)
            continue;
        Point points[3] = {
            local, {local.x - 0.25, local.y + 0.45}, {local.x - 0.6, local.y + 0.8}};
        for (int k = 0; k < 3; k++)
            points[k] = frame_apply(frame, points[k]);
        ink_flick(sheet, curve_through(points, 3, false), 0.13);
    }
}

static void feet(Sheet *sheet, Frame frame) {
    static const char *const toes[] = {
        "1.9 -1.1, 3.3 -0.9, 4 0.1, 3.7 0.8 /, 3 0.2, 2 0",
        "0.7 -1.2, 2 -0.6, 2.5 0.6, 2 1.2 /, 1.5 0.5, 0.7 -0.2",
        "-0.6 -1.2, 0.5 -0.7, 0.9 0.5, 0.5 1.1 /, 0 0.4, -0.7 -0.3",
    };
    Form form = form_plain();
    form.round = 0.5;
    form.base = 0.15;
    form.spacing = 0.26;
    form.throws = 0.6;
    for (int i = 0; i < 3; i++)
        form_draw_text(sheet, frame, toes[i], &form);
}

void bird_kingfisher_perched(Sheet *sheet, Frame frame) {
    beak(sheet, frame);
    eye(sheet, frame, 4.6, -19.2, 0.75);
    head_markings(sheet, frame);
    bird_wing(sheet, curve_open(frame, "2.6 -12.6, 0.6 -14, -1.8 -13.6, -3.6 -11.8"),
              curve_open(frame, "2.2 -5, -0.4 -1.4, -3.6 1.6, -6.6 3.2"), 7, 0.44);
    feet(sheet, frame);
    Form form =
        plumage(frame, "-1 -22, -3 -17, -6 -10, -6.8 -2", "7 -17, 7.5 -10, 4 -2, -1 1", 0.16);
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){-4, -17});
    form.ramp_to = frame_apply(frame, (Point){3, -14});
    form.ramp_start = 0.44;
    form.ramp_end = 0;
    Shape *body = shape_new(curve_closed(
        frame, "7 -20.4, 5.6 -22, 3.4 -22.9, 0.9 -22.7, -0.6 -22 /, -0.7 -21.5, -1.9 -20.8 /, "
               "-1.7 -20.2, -2.7 -19.2 /, -2.5 -17.4,  -4.3 -14, -5.8 -10, -6.7 -5.5, -6.4 -1, "
               "-4.4 0.9, "
               "-1.6 0.2, 1.6 -0.9, 4.6 -3.4, 6.5 -7.4, 6.9 -11.4, 6.2 -15, 6.6 -17.2"));
    body_ticks(sheet, frame, body);
    form_draw(sheet, body, &form);
    form = form_plain();
    form.base = 0.42;
    form.round = 0;
    for (int i = 0; i < 4; i++) {
        Point root = frame_apply(frame, (Point){-3 - i * 0.7, 0});
        Point tip = frame_apply(frame, (Point){-6.6 - i * 0.75, 7.4 - i * 0.55});
        bird_feather(sheet, root, tip, 0.03, 1.3 * fabs(frame.scale_y), &form);
    }
}

void bird_kingfisher_flying(Sheet *sheet, Frame frame) {
    Frame head = frame;
    Point shift = {1.2, 18.6};
    head.origin = frame_apply(frame, shift);
    beak(sheet, head);
    eye(sheet, head, 4.6, -19.2, 0.75);
    head_markings(sheet, head);
    bird_wing(sheet, curve_open(frame, "2 -1.6, 3.2 -5, 3.4 -8.6, 0.8 -12.4"),
              curve_open(frame, "-5.6 -1.2, -8.6 -4.6, -10.4 -10, -10.6 -17, -6.8 -22.5"), 11,
              0.3);
    Form form = plumage(frame, "7 -2.4, 0 -4.4, -8 -1", "7 1, 0 4.5, -8 1.4", 0.2);
    Shape *body = shape_new(curve_closed(
        frame, "8.2 -1.7, 6.8 -3.4, 4.4 -4.2, 2 -3.9, -0.2 -3.2 /, -4 -2.4, -7.4 -0.9, -9 0.2, "
               "-7 1.6, -3.4 3, 0.6 3.6, 4 3, 6.4 1.9, 7.8 1.4"));
    form_draw(sheet, body, &form);
    Form tail = form_plain();
    tail.base = 0.4;
    tail.round = 0;
    for (int i = 0; i < 5; i++)
        bird_feather(sheet, frame_apply(frame, (Point){-7.4, 0.4}),
                     frame_apply(frame, (Point){-14.4 + fabs(i - 2.0) * 0.5, -1.6 + i * 1.1}),
                     0.02, 1.4 * fabs(frame.scale_y), &tail);
    bird_wing(sheet, curve_open(frame, "3.4 -2.6, 6.4 -6, 8.6 -9.8, 8.4 -14"),
              curve_open(frame, "-2.6 -4.4, -2.8 -9, -1.8 -15, 0.6 -20.4, 5.4 -23.4"), 9, 0.42);
}
