/* Foliage: each leaf is built of overlapping toothed lobes, dark at their roots.
 * One lobe is drawn by hand and set along the rib, larger or smaller, never twice alike. */
#include "foliage.h"

#include <math.h>

#include "ink.h"

static const char lobe_outline[] =
    "0 -0.3, 0.2 -0.46, 0.44 -0.52, 0.58 -0.42, 0.46 -0.26 /, 0.68 -0.4, 0.9 -0.36, 0.95 -0.2, "
    "0.74 -0.08 /, 0.98 -0.12, 1.16 0, 1.12 0.2, 0.94 0.3, 0.76 0.2 /, 0.82 0.38, 0.66 0.5, "
    "0.46 0.42, 0.4 0.26 /, 0.2 0.36, 0 0.3";
static const char *const lobe_veins[] = {
    "0.02 0, 0.4 -0.02, 0.84 -0.04", "0.04 -0.12, 0.3 -0.24, 0.4 -0.3",
    "0.2 -0.06, 0.5 -0.14, 0.64 -0.2", "0.06 0.1, 0.36 0.16, 0.62 0.22"};

static void draw_lobe(Sheet *sheet, Frame frame, double base) {
    double length = fabs(frame.scale_y);
    for (guint i = 0; i < G_N_ELEMENTS(lobe_veins); i++)
        if (i == 0 || length > 2.6)
            ink_line(sheet, curve_open(frame, lobe_veins[i]), i == 0 ? 0.16 : 0.12);
    Form form = form_plain();
    form.round = 0.24 * length;
    form.base = base;
    form.contrast = 0.7;
    form.shadow = 0.7;
    form.spacing = 0.32;
    form.thick = 0.18;
    form.angle = frame.angle * 180 / G_PI + (frame.scale_y < 0 ? -18 : 18);
    form.bow = 0.08 * length;
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){0, 0});
    form.ramp_to = frame_apply(frame, (Point){0.62, 0});
    form.ramp_start = 0.34;
    form.ramp_end = -0.12;
    form.throws = 0.16 * length + 0.2;
    form.light_width = 0.1;
    form.dark_width = 0.3;
    form.dots = 0.35;
    form_draw_text(sheet, frame, lobe_outline, &form);
}

static void lobe_at(Sheet *sheet, const Curve *axis, double share, int side, double length,
                    double base) {
    Point root = curve_at(axis, share), along = curve_direction(axis, share);
    double spread = (68 - 40 * share) * side + hand_between(&sheet->hand, -6, 6);
    Frame frame = frame_at(root.x, root.y, length, 0);
    frame.scale_y *= side;
    frame.angle = atan2(along.y, along.x) + spread * G_PI / 180;
    draw_lobe(sheet, frame, base);
}

static void leaf_rib(Sheet *sheet, const Curve *axis, double width) {
    Ribbon rib = ribbon_new(curve_part(axis, 0, 0.9), "0 0.4, 0.12 1, 0.5 0.6, 1 0.12", width);
    Form form = form_plain();
    form.round = width * 0.4;
    form.base = 0.04;
    form.spacing = 0.34;
    form.cross_threshold = 2;
    form.throws = 0.5;
    form.light_width = 0.09;
    form.dark_width = 0.22;
    ribbon_draw(sheet, &rib, &form, 0.1, 0);
}

static const char lobe_growth[] = "0 0.5, 0.3 1, 0.6 0.9, 1 0.5";

void foliage_acanthus(Sheet *sheet, const Curve *axis, double lobe_length, int lobes,
                      double base) {
    leaf_rib(sheet, axis, lobe_length * 0.2);
    for (int i = 0; i < lobes; i++) {
        double share = 0.06 + 0.82 * i / lobes;
        double length = lobe_length * profile_value(lobe_growth, share);
        Point normal = curve_direction(axis, share);
        double lit = -0.66 * normal.y + 0.75 * normal.x; /* which side faces the light */
        for (int k = 0; k < 2; k++) {
            int side = (i + k) % 2 == 0 ? 1 : -1;
            lobe_at(sheet, axis, share + k * 0.02, side,
                    length * hand_between(&sheet->hand, 0.92, 1.08),
                    base + (side * lit > 0 ? 0.14 : -0.02));
        }
    }
    Point root = curve_at(axis, 0.84), along = curve_direction(axis, 0.97);
    Frame tip = frame_at(root.x, root.y, lobe_length * 0.62, 0);
    tip.angle = atan2(along.y, along.x);
    draw_lobe(sheet, tip, base);
}

void foliage_half_acanthus(Sheet *sheet, const Curve *axis, double lobe_length, int lobes,
                           int side, double base) {
    leaf_rib(sheet, axis, lobe_length * 0.24);
    for (int i = 0; i < lobes; i++) {
        double share = 0.04 + 0.86 * i / lobes;
        lobe_at(sheet, axis, share, side, lobe_length * profile_value(lobe_growth, share),
                base);
    }
    Point root = curve_at(axis, 0.86), along = curve_direction(axis, 0.98);
    Frame tip = frame_at(root.x, root.y, lobe_length * 0.6, 0);
    tip.scale_y *= side;
    tip.angle = atan2(along.y, along.x);
    draw_lobe(sheet, tip, base);
}

void foliage_stem(Sheet *sheet, Curve *axis, const char *widths, double scale, double base) {
    Ribbon stem = ribbon_new(axis, widths, scale);
    Form form = form_plain();
    form.round = scale * 0.5;
    form.base = base;
    form.contrast = 0.8;
    form.spacing = 0.36;
    form.thick = 0.18;
    form.throws = 1.2;
    form.dark_width = 0.32;
    form.cross_threshold = 0.7;
    ribbon_draw(sheet, &stem, &form, 0.22, 0.3 * scale / fmax(3, curve_length(axis)));
}

void foliage_husk(Sheet *sheet, Frame frame) {
    static const char *const leaves[] = {
        "0 1.4, 0.9 0.4, 1.1 -1.2, 0.7 -2.6, 0 -4 /, -0.7 -2.6, -1.1 -1.2, -0.9 0.4",
        "0.3 1.2, 1.4 0.9, 2.2 -0.6, 2.5 -2.2, 3.4 -3.6 /, 1.8 -3.2, 0.9 -1.8, 0.4 -0.4",
        "-0.3 1.2, -1.4 0.9, -2.2 -0.6, -2.5 -2.2, -3.4 -3.4 /, -1.8 -3.2, -0.9 -1.8, -0.4 "
        "-0.4",
    };
    ink_line(sheet, curve_open(frame, "0 1, 0.1 -1, 0 -3.2"), 0.14);
    for (int i = 0; i < 3; i++) {
        Form form = form_plain();
        form.round = 0.8 * fabs(frame.scale_y);
        form.contrast = 0.75;
        form.base = 0.16;
        form.angle = frame.angle * 180 / G_PI + 80 + i * 8;
        form.spacing = 0.31;
        form_draw_text(sheet, frame, leaves[i], &form);
    }
}

static void seed_head(Sheet *sheet, Point centre, double radius) {
    for (int ring = 0; ring < 2; ring++) {
        int count = ring == 0 ? 1 : 6;
        for (int i = 0; i < count; i++) {
            double angle = i * 2 * G_PI / count + 0.3, reach = ring * radius * 0.62;
            Point at = {centre.x + reach * cos(angle), centre.y + reach * sin(angle)};
            Form form = form_plain();
            form.round = radius * 0.3;
            form.contrast = 0.8;
            form.spacing = 0.25;
            form.throws = 0.3;
            form.dots = 0;
            form.cross_threshold = 2;
            form.light_width = 0.08;
            form.dark_width = 0.2;
            form_draw(
                sheet,
                shape_new(curve_oval(&sheet->hand, at, radius * 0.36, radius * 0.34, 20, 0.08)),
                &form);
        }
    }
    Form dark = form_plain();
    dark.round = 0;
    dark.base = 0.8;
    dark.spacing = 0.26;
    dark.cross_threshold = 0.5;
    form_draw(sheet, shape_new(curve_oval(&sheet->hand, centre, radius, radius, 0, 0.05)),
              &dark);
}

static void petal(Sheet *sheet, Point centre, double radius, double degrees, double width,
                  double base) {
    Frame frame = frame_at(centre.x, centre.y, radius, degrees);
    frame.scale_y *= width;
    ink_line(sheet, curve_open(frame, "0.3 0.02, 0.6 0.06, 0.86 0"), 0.13);
    ink_line(sheet, curve_open(frame, "0.32 0.12, 0.5 0.2, 0.66 0.2"), 0.1);
    ink_line(sheet, curve_open(frame, "0.32 -0.1, 0.5 -0.18, 0.68 -0.2"), 0.1);
    Form form = form_plain();
    form.round = radius * 0.2;
    form.base = base;
    form.contrast = 0.7;
    form.angle = degrees;
    form.spacing = 0.31;
    form.throws = 0.8;
    form.ramped = true;
    form.ramp_from = frame_apply(frame, (Point){0.2, 0});
    form.ramp_to = frame_apply(frame, (Point){0.62, 0});
    form.ramp_start = 0.4;
    form_draw_text(
        sheet, frame,
        "0.15 0.1, 0.4 0.34, 0.72 0.42, 0.96 0.26 /, 0.92 0.06, 1.04 -0.06 /, 0.94 -0.3, "
        "0.7 -0.42, 0.4 -0.34, 0.15 -0.1",
        &form);
}

void foliage_rosette(Sheet *sheet, Point centre, double radius, int petals, double turn) {
    seed_head(sheet, centre, radius * 0.27);
    double step = 360.0 / petals;
    for (int ring = 0; ring < 2; ring++)
        for (int i = 0; i < petals; i++)
            petal(sheet, centre, radius * (ring == 0 ? 0.72 : 1),
                  turn + step * (i + 0.5 * ring) + hand_between(&sheet->hand, -4, 4),
                  4.6 / petals, 0.08 + 0.1 * ring);
}

void foliage_side_flower(Sheet *sheet, Frame frame) {
    static const char *const petals[] = {
        "0 0, 1.6 -1.6, 2 -4.4, 1 -7, 0 -8.6 /, -1.1 -7, -2 -4.4, -1.6 -1.6",
        "0.6 -0.2, 2.6 -1, 4 -3.4, 5.6 -4.8, 7 -4.4 /, 5.4 -6.6, 3.2 -7, 1.6 -5",
        "-0.6 -0.2, -2.6 -1, -4 -3.4, -5.6 -4.8, -7 -4.2 /, -5.4 -6.6, -3.2 -7, -1.6 -5",
        "0.8 -3, 2 -6, 3.4 -8.4, 3 -10 /, 1.4 -9.4, 0.4 -7",
        "-0.8 -3, -2 -6, -3.4 -8.4, -3.2 -10 /, -1.4 -9.4, -0.4 -7",
    };
    Frame cup = frame;
    cup.scale_x *= 0.8;
    cup.scale_y *= 0.8;
    foliage_husk(sheet, cup);
    for (int i = 0; i < 5; i++) {
        Form form = form_plain();
        form.round = 1.3 * fabs(frame.scale_y);
        form.contrast = 0.75;
        form.base = i > 2 ? 0.34 : 0.1;
        form.angle = frame.angle * 180 / G_PI + 90 - (i == 1 ? 40 : (i == 2 ? -40 : 0));
        form.bow = 0.4;
        form.ramped = true;
        form.ramp_from = frame_apply(frame, (Point){0, -1});
        form.ramp_to = frame_apply(frame, (Point){0, -6});
        form.ramp_start = 0.34;
        form_draw_text(sheet, frame, petals[i], &form);
    }
}

void foliage_tendril(Sheet *sheet, Point from, double degrees, double size, double turns,
                     double width) {
    double angle = degrees * G_PI / 180;
    double side = turns > 0 ? 1 : -1;
    Point centre = {from.x + size * 1.7 * cos(angle), from.y + size * 1.7 * sin(angle)};
    Curve *coil =
        curve_spiral(centre, size, size * 0.16, degrees + 90 + 90 * side + 70 * side, turns);
    Curve *lead = curve_new(false);
    curve_append(lead, from);
    Point start = curve_at(coil, 0);
    curve_append(
        lead, point_add(point_mix(from, start, 0.5), (Point){-sin(angle) * size * 0.18 * side,
                                                             cos(angle) * size * 0.18 * side}));
    Curve *whole = curve_joined(lead, coil, false);
    Curve *sparse = curve_simplified(whole, 0.06);
    Curve *smooth = curve_through((const Point *)(const void *)sparse->points->data,
                                  curve_count(sparse), false);
    Ribbon stalk = ribbon_new(smooth, "0 1, 0.6 0.6, 0.95 0.35, 1 0.6", width);
    Form form = form_plain();
    form.round = width * 0.5;
    form.base = 0.12;
    form.cross_threshold = 2;
    form.throws = 0.5;
    form.light_width = 0.08;
    form.dark_width = 0.22;
    ribbon_draw(sheet, &stalk, &form, 0.2, 0);
}
