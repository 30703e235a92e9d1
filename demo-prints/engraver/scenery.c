/* Scenery: what stands behind and around the ornament.
 * Borders, ruled skies and water, ripples, lilies, bushes on the far shore, a dragonfly. */
#include "scenery.h"

#include <math.h>

#include "bird.h"
#include "ink.h"

static void border_side(Sheet *sheet, Point from, Point to, double width) {
    Point along = point_unit(point_subtract(to, from));
    double slack = hand_between(&sheet->hand, 0.05, 0.2);
    Curve *line = curve_new(false);
    double length = point_distance(from, to) + 2 * slack;
    Point start = point_subtract(from, point_scale(along, slack));
    for (double at = 0; at <= length; at += 0.5)
        curve_append(line, point_add(start, point_scale(along, at)));
    line = curve_drifted(&sheet->hand, line, 17, 0.07, 40);
    ink_edge(sheet, line, width * 0.85, width, 1);
}

void scenery_border(Sheet *sheet, double margin, double gap) {
    for (int ring = 0; ring < 2; ring++) {
        double inset = margin + ring * gap, width = ring == 0 ? 0.34 : 0.16;
        Point corners[4] = {{inset, inset},
                            {sheet->width - inset, inset},
                            {sheet->width - inset, sheet->height - inset},
                            {inset, sheet->height - inset}};
        for (int i = 0; i < 4; i++)
            border_side(sheet, corners[i], corners[(i + 1) % 4], width);
    }
}

Shape *scenery_box(double left, double top, double right, double bottom) {
    Curve *box = curve_new(true);
    Point corners[4] = {{left, top}, {right, top}, {right, bottom}, {left, bottom}};
    for (int i = 0; i < 4; i++)
        curve_append(box, corners[i]);
    return shape_new(box);
}

void scenery_sky(Sheet *sheet, const Shape *shape, double strength, double spacing) {
    Form form = form_plain();
    form.round = 0;
    form.base = 0;
    form.ramped = true;
    form.ramp_from = (Point){shape->left, shape->top};
    form.ramp_to = (Point){shape->left, shape->bottom};
    form.ramp_start = strength;
    form.ramp_end = 0;
    form.streak = 0.28;
    form.ruled = true;
    form.angle = 0;
    form.spacing = spacing;
    form.thick = 0.15;
    form.threshold = 0.2;
    form.widths = 2;
    form.shadow = 0;
    form.cross_threshold = 2;
    form.no_contour = true;
    form_hatch(sheet, shape, &form);
}

void scenery_water(Sheet *sheet, const Shape *shape, double base) {
    Tone tone = {.base = base, .streak = 0.42, .shadow = 0.55};
    Hatch hatch = hatch_plain(0.5);
    Curve *guides[2];
    for (int side = 0; side < 2; side++) {
        double y = side == 0 ? shape->top : shape->bottom;
        guides[side] = curve_new(false);
        for (double x = shape->left; x <= shape->right + 1.9; x += 2)
            curve_append(guides[side], (Point){x, y});
    }
    hatch.first = guides[0];
    hatch.last = guides[1];
    hatch.gather = 1.5;
    hatch.threshold = 0.22;
    hatch.full = 0.75;
    hatch.unsteady = 0.2;
    hatch.widths = 2;
    tone.ramped = true;
    tone.ramp_from = (Point){shape->left, shape->top};
    tone.ramp_to = (Point){shape->left, shape->top + (shape->bottom - shape->top) * 0.6};
    tone.ramp_start = 0.3;
    tone.ramp_end = 0;
    hatch_shape(sheet, shape, &hatch, &tone);
}

/* A ring is a light kept clear of the ruled water, with a dark line along its near side. */
static void ripple_part(Sheet *sheet, const Curve *ring, double from, double to, double width) {
    Curve *part = curve_part(ring, from, to);
    ink_line(sheet, curve_moved(part, (Point){0, 0.34}), width);
    Ribbon light = ribbon_new(part, "0 0.1, 0.5 1, 1 0.1", 0.62);
    double halo = sheet->halo;
    sheet->halo = 0;
    sheet_cover(sheet, light.shape, 0);
    sheet->halo = halo;
}

void scenery_ripples(Sheet *sheet, Point centre, double reach, int rings) {
    for (int i = 0; i < rings; i++) {
        double radius = reach * (i + 1) / rings;
        double slip = hand_between(&sheet->hand, 0, 0.06);
        Curve *ring = curve_oval(&sheet->hand, centre, radius, radius * 0.26, 0, 0.04);
        double weight = 0.24 - 0.1 * i / rings;
        ripple_part(sheet, ring, 0.02 + slip, 0.26 + slip, weight);
        ripple_part(sheet, ring, 0.3 + slip, 0.47 + slip, weight);
        ripple_part(sheet, ring, 0.54 + slip, 0.72 + slip, weight * 0.7);
        ripple_part(sheet, ring, 0.78 + slip, 0.92 + slip * 0.5, weight * 0.7);
    }
}

static void lily_pad(Sheet *sheet, Frame frame) {
    static const char *const veins[] = {
        "0.3 0.1, 2 -0.7, 3.8 -0.9", "0.1 0.2, 1.6 0.8, 3 1.1", "-0.3 0.1, -2 0.7, -3.5 0.9",
        "-0.4 -0.1, -2.2 -0.4, -3.9 -0.3", "-0.2 -0.2, -1.2 -0.9, -2 -1.2"};
    for (guint i = 0; i < G_N_ELEMENTS(veins); i++)
        ink_line(sheet, curve_open(frame, veins[i]), 0.12);
    Form form = form_plain();
    form.round = 1.1;
    form.base = 0.16;
    form.angle = 12;
    form.throws = 1;
    form_draw_text(
        sheet, frame,
        "0.4 0 /, 1.6 -0.9, 2.7 -1.3 /, 4 -0.9, 4.4 0, 3.4 1, 1.2 1.6, -1.4 1.5, -3.6 0.9, "
        "-4.5 0, -3.4 -1, -1.4 -1.5, 0.6 -1.5 /",
        &form);
}

static void lily_flower(Sheet *sheet, Frame frame) {
    static const char *const petals[] = {
        "0 0.6, -1 -0.4, -0.9 -2, 0 -3.4 /, 0.9 -2, 1 -0.4",
        "-0.6 0.5, -2 0, -2.9 -1.6, -2.7 -2.7 /, -1.4 -2, -0.6 -1",
        "0.6 0.5, 2 0, 3 -1.5, 2.9 -2.6 /, 1.5 -2, 0.6 -1",
        "-0.6 0.7, -2.4 0.6, -4 -0.4, -4.4 -1.2 /, -2.8 -1, -1.6 -0.6",
        "0.6 0.7, 2.4 0.6, 4 -0.3, 4.5 -1.1 /, 2.8 -1, 1.6 -0.6",
        "-0.9 -1, -1.7 -2.4, -1.4 -3.5 /, -0.3 -2.6",
        "0.9 -1, 1.8 -2.3, 1.6 -3.4 /, 0.3 -2.6"};
    for (guint i = 0; i < G_N_ELEMENTS(petals); i++) {
        Form form = form_plain();
        form.round = 0.8;
        form.base = 0.06 + (i > 4 ? 0.2 : 0);
        form.angle = 80 - i * 20.0;
        form.spacing = 0.3;
        form.throws = 0.7;
        form_draw_text(sheet, frame, petals[i], &form);
    }
}

void scenery_lilies(Sheet *sheet, Point centre, double size) {
    lily_flower(sheet, frame_at(centre.x - 1.2 * size, centre.y - 0.3 * size, size * 0.9, -4));
    lily_pad(sheet, frame_at(centre.x + 3 * size, centre.y + 0.9 * size, size, 3));
    lily_pad(sheet,
             frame_mirrored(centre.x - 5.4 * size, centre.y - 0.2 * size, size * 0.84, -2));
    lily_pad(sheet, frame_at(centre.x + 9.6 * size, centre.y - 0.8 * size, size * 0.66, 0));
}

/* One bush: a lumpy outline, its hatching leaning as the leaves do. */
static void bush(Sheet *sheet, double x, double shore, double width, double height) {
    Curve *outline = curve_new(true);
    int lumps = 5 + (int)(width * 1.1);
    for (int i = 0; i <= lumps * 8; i++) {
        double share = i / (lumps * 8.0), angle = G_PI * (1 - share);
        double lump = 0.86 + 0.16 * fabs(sin(share * lumps * G_PI)) +
                      0.14 * hand_noise(&sheet->hand, x + share * 4, shore, 33);
        curve_append(outline, (Point){x + width / 2 * cos(angle) * lump,
                                      shore - height * pow(sin(angle), 0.7) * lump});
    }
    Form form = form_plain();
    form.round = fmin(width, height) * 0.5;
    form.base = 0.34 + 0.14 * hand_noise(&sheet->hand, x, shore, 34);
    form.contrast = 0.7;
    form.angle = 66 + 14 * hand_noise(&sheet->hand, x, shore, 35);
    form.spacing = 0.34;
    form.thick = 0.15;
    form.dark_width = 0.18;
    form.light_width = 0.08;
    form.throws = 0.9;
    form.cross_threshold = 0.72;
    form_draw(sheet, shape_new(outline), &form);
}

void scenery_thicket(Sheet *sheet, double left, double right, double shore, double height) {
    double x = left;
    while (x < right) {
        double size = hand_between(&sheet->hand, 0.45, 1);
        double width = height * hand_between(&sheet->hand, 0.9, 1.7) * size;
        bush(sheet, x + width * 0.4, shore + hand_between(&sheet->hand, -0.15, 0.15), width,
             height * size);
        x += width * 0.62;
    }
}

void scenery_dragonfly(Sheet *sheet, Frame frame) {
    static const char *const wings[] = {
        "0.4 -0.2, 2.2 -2.6, 5 -5.2, 6.9 -6.1, 7.1 -5.1, 5.4 -3, 2.8 -0.9",
        "0.2 0.1, 3.2 -0.9, 6.2 -1.6, 7.9 -1.2, 7 -0.1, 4.2 0.7, 1.4 0.7",
        "-0.4 -0.3, -1.4 -2.9, -3.4 -6, -5 -7.3, -5.6 -6.6, -4.6 -3.8, -2.2 -1",
        "-0.4 0, -2.8 -1.6, -5.8 -3, -7.4 -3, -6.9 -1.9, -4.4 -0.3, -1.6 0.4",
    };
    Form body = form_plain();
    body.round = 0.45;
    body.base = 0.5;
    body.spacing = 0.28;
    body.throws = 0.4;
    Ribbon trunk =
        ribbon_new(curve_open(frame, "0 -1.6, 0 0, 0.3 1.6, 1.1 4.6, 2.4 8.4"),
                   "0 0.8, 0.15 1.5, 0.3 1.2, 0.42 0.55, 0.9 0.6, 1 0.3", fabs(frame.scale_y));
    Curve *head = curve_oval(&sheet->hand, frame_apply(frame, (Point){0, -2}),
                             0.75 * fabs(frame.scale_y), 0.55 * fabs(frame.scale_y), 0, 0.06);
    form_draw(sheet, shape_new(head), &body);
    ribbon_draw(sheet, &trunk, &body, 0.25, 0);
    for (int i = 0; i < 4; i++) {
        Form wing = form_plain();
        wing.round = 0;
        wing.base = 0.26;
        wing.angle = 60 + i * 35;
        wing.spacing = 0.42;
        wing.thick = 0.1;
        wing.dark_width = 0.2;
        wing.throws = 0;
        wing.cross_threshold = 0.24;
        wing.cross_turn = 70;
        form_draw_text(sheet, frame, wings[i], &wing);
    }
}
