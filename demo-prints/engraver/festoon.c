/* Festoons: what hangs, and what is turned, in grotesque panels.
 * Swags follow a slack line; turned work is a ribbon whose width is the lathe's profile. */
#include "festoon.h"

#include <math.h>

#include "drapery.h"
#include "ink.h"
#include "mask.h"

static Curve *catenary(Point from, Point to, double sag) {
    Curve *curve = curve_new(false);
    for (int i = 0; i <= 40; i++) {
        double share = i / 40.0;
        Point at = point_mix(from, to, share);
        at.y += sag * (1 - pow(fabs(2 * share - 1), 2.2));
        curve_append(curve, at);
    }
    return curve;
}

void festoon_cloth(Sheet *sheet, Point from, Point to, double sag, double depth) {
    const int folds = 4;
    Curve *edges[5];
    for (int i = 0; i <= folds; i++) {
        double share = (double)i / folds;
        double uneven = hand_between(&sheet->hand, -0.06, 0.06) * depth;
        edges[i] = curve_drifted(&sheet->hand,
                                 catenary((Point){from.x + share * 0.8, from.y + share * 1.2},
                                          (Point){to.x - share * 0.8, to.y + share * 1.2},
                                          sag - depth * (1 - share) + uneven),
                                 6, 0.25, 70);
    }
    Shape *whole = shape_new(curve_joined(edges[0], curve_reversed(edges[folds]), true));
    ink_contour(sheet, whole, 0.12, 0.34);
    for (int i = 0; i < folds; i++) {
        Form form = form_plain();
        form.round = 0;
        form.base = 0.08;
        form.shadow = 0.7;
        form.spacing = 0.36;
        form.first = edges[i];
        form.last = edges[i + 1];
        form.across = true;
        form.bulge = 0.15;
        form.lean = 0.02;
        form.rail_from = edges[i];
        form.rail_to = edges[i + 1];
        form.rail_end = 0.8;
        form.cross_threshold = 0.66;
        if (i + 1 < folds)
            ink_line(sheet, curve_part(edges[i + 1], 0.05, 0.95), 0.24);
        form_hatch(sheet, shape_new(curve_joined(edges[i], curve_reversed(edges[i + 1]), true)),
                   &form);
    }
    sheet_cover(sheet, whole, 2);
}

void festoon_tail(Sheet *sheet, Frame frame) {
    static const Fold folds[] = {
        {"-1.4 0, -2.6 5, -2.4 10", "-0.4 0, -0.7 6, -0.6 12", 0.75},
        {"-0.4 0, -0.7 6, -0.6 12", "0.6 0, 1 7, 1.1 15", 0.85},
        {"0.6 0, 1 7, 1.1 15", "1.6 0, 2.8 6, 3 12.6", 0.75},
    };
    drapery_cloth(sheet, frame,
                  "-1.4 0 /, -2.6 5, -2.5 9.4 /, -1.6 11.4, -0.6 11.6 /, 0 14.4, 1.1 14.8 /, "
                  "2 13, 3 12.2 /, 2.8 6, 1.6 0 /, 0 -0.7",
                  folds, 3, 0.1);
}

void festoon_fruit(Sheet *sheet, Point from, Point to, double sag, double size) {
    Curve *line = catenary(from, to, sag);
    double length = curve_length(line);
    int count = (int)(length / (size * 0.62));
    for (int layer = 0; layer < 2; layer++)
        for (int i = 0; i < count; i++) {
            double share = (i + 0.5 + hand_between(&sheet->hand, -0.25, 0.25)) / count;
            double bulk = size * (0.45 + 0.55 * sin(G_PI * share));
            Point at = curve_at(line, share), along = curve_direction(line, share);
            double aside = (layer == 0 ? 0.35 : 0.95) * bulk * ((i + layer) % 2 == 0 ? 1 : -1);
            Point place = {at.x - along.y * aside, at.y + along.x * aside};
            int kind = layer == 1 ? 3 : (int)(hand_random(&sheet->hand) * 4);
            Fruit fruit = {0, 0, bulk * (layer == 1 ? 0.8 : 0.72),
                           kind == 3 && layer == 0 ? 4 : kind,
                           atan2(along.y, along.x) * 180 / G_PI + (aside > 0 ? 150 : 30)};
            mask_fruit_bunch(sheet, frame_at(place.x, place.y, 1, 0), &fruit, 1);
        }
}

void festoon_turned(Sheet *sheet, Frame frame, double height, const char *widths, double base) {
    Curve *axis = curve_new(false);
    int steps = (int)ceil(height * fabs(frame.scale_y) / 0.15);
    for (int i = 0; i <= steps; i++)
        curve_append(axis, frame_apply(frame, (Point){0, height * i / steps}));
    Ribbon shaft = ribbon_new(axis, widths, fabs(frame.scale_y));
    Form form = form_plain();
    form.round = 3.2 * fabs(frame.scale_y);
    form.base = base;
    form.contrast = 0.8;
    form.spacing = 0.4;
    form.cross_threshold = 0.64;
    form.throws = 1.8;
    ribbon_draw(sheet, &shaft, &form, 0.14, 0);
}

static void valance(Sheet *sheet, Frame frame) {
    for (int i = 0; i < 7; i++) {
        double x = -12.6 + i * 4.2, sag = 1.4 * (1 - pow((x) / 13, 2));
        Frame tab = frame;
        tab.origin = frame_apply(frame, (Point){x, sag});
        drapery_tassel(sheet, frame_apply(tab, (Point){0, 5.4}), 3.2 * fabs(frame.scale_y), 0);
        Form form = form_plain();
        form.round = 1;
        form.base = i > 3 ? 0.28 : 0.12;
        form.angle = 80 + i * 3.0;
        ink_line(sheet, curve_open(tab, "-1.3 0.9, -1.2 3, 0 4.4, 1.2 3, 1.3 0.9"), 0.13);
        form_draw_text(sheet, tab,
                       "-2.05 -0.2 /, 2.05 -0.2 /, 1.9 3, 0.9 5, 0 5.5 /, -0.9 5, -1.9 3",
                       &form);
    }
}

void festoon_canopy(Sheet *sheet, Frame frame) {
    valance(sheet, frame);
    Frame top = frame;
    top.origin = frame_apply(frame, (Point){0, -20.4});
    festoon_turned(sheet, top, 5.6,
                   "0 0.5, 0.12 1.8, 0.3 2.2, 0.45 1, 0.55 0.9, 0.7 2.8, 0.85 3, 1 2", 0.12);
    static const Fold gores[] = {
        {"-1.6 -15, -3.6 -9, -8.6 -3.6, -14.6 -0.4", "-1 -15, -2.2 -8.6, -5.4 -2.8, -9.4 1",
         0.6},
        {"-1 -15, -2.2 -8.6, -5.4 -2.8, -9.4 1", "-0.3 -15, -0.9 -8, -2 -2, -3.4 1.8", 0.65},
        {"-0.3 -15, -0.9 -8, -2 -2, -3.4 1.8", "0.4 -15, 0.9 -8, 1.9 -2, 3.2 1.8", 0.7},
        {"0.4 -15, 0.9 -8, 1.9 -2, 3.2 1.8", "1.1 -15, 2.4 -8.6, 5.6 -2.8, 9.4 1", 0.8},
        {"1.1 -15, 2.4 -8.6, 5.6 -2.8, 9.4 1", "1.6 -15, 3.8 -9, 8.8 -3.6, 14.8 -0.4", 0.85},
    };
    drapery_cloth(
        sheet, frame,
        "-1.6 -15 /, -3.6 -9, -8.6 -3.6, -14.6 -0.4 /, -8 1.2, 0 2, 8 1.2, 14.8 -0.4 /, "
        "8.8 -3.6, 3.8 -9, 1.6 -15 /",
        gores, 5, 0.1);
}
