/* Birds: feathers as small tapered forms with a shaft and slanted barbs; wings as rows.
 * The short coverts lie in front and are drawn first, the long quills last. */
#include "bird.h"

#include <math.h>

#include "ink.h"

static const char covert_profile[] = "0 0.55, 0.5 0.95, 0.8 1, 0.93 0.72, 1 0.12";
static const char quill_profile[] = "0 0.6, 0.5 0.95, 0.8 0.86, 0.93 0.5, 1 0.08";

void bird_feather(Sheet *sheet, Point root, Point tip, double bend, double width,
                  const Form *form) {
    const char *profile =
        point_distance(root, tip) > 3.6 * width ? quill_profile : covert_profile;
    Point along = point_subtract(tip, root);
    Point middle =
        point_add(point_mix(root, tip, 0.5), (Point){-along.y * bend, along.x * bend});
    Point points[3] = {root, middle, tip};
    Ribbon feather = ribbon_new(curve_through(points, 3, false), profile, width);
    ink_line(sheet, curve_part(feather.axis, 0, 0.94), 0.1);
    const Curve *edges[2] = {feather.left, feather.right};
    Form vane = *form;
    vane.rounded_on = feather.shape;
    vane.across = true;
    vane.bulge = 0.12;
    vane.lean = fmin(0.3, 0.5 * width / fmax(0.1, curve_length(feather.axis)));
    vane.first = feather.axis;
    for (int side = 0; side < 2; side++) {
        vane.last = edges[side];
        form_hatch(sheet,
                   shape_new(curve_joined(feather.axis, curve_reversed(edges[side]), true)),
                   &vane);
    }
    ink_contour(sheet, feather.shape, form->light_width, form->dark_width);
    sheet_cover(sheet, feather.shape, form->throws);
}

static void feather_row(Sheet *sheet, const Curve *bone, const Curve *tips, int count,
                        double from, double reach, double width, const Form *form) {
    for (int i = 0; i < count; i++) {
        double share = (i + 0.5 + hand_between(&sheet->hand, -0.18, 0.18)) / count;
        Point at_bone = curve_at(bone, share), at_tip = curve_at(tips, share);
        Point root = point_mix(at_bone, at_tip, from);
        double uneven = reach + hand_between(&sheet->hand, -0.04, 0.03);
        bird_feather(sheet, root, point_mix(at_bone, at_tip, uneven),
                     hand_between(&sheet->hand, 0.01, 0.09),
                     width * hand_between(&sheet->hand, 0.86, 1.16), form);
    }
}

/* A soft covert: only its rounded tip is drawn, lightly and not all round, and a few barbs
 * that end inside it. What it covers is its own length, so that rows overlap like down. */
static void soft_covert(Sheet *sheet, Point root, Point tip, double width, double base) {
    Point along = point_subtract(tip, root), aside = {-along.y, along.x};
    aside = point_scale(point_unit(aside), width / 2);
    double swing = hand_between(&sheet->hand, -0.5, 0.5);
    tip = point_add(tip, point_scale(aside, swing * 0.6));
    Point shoulder = point_mix(root, tip, 0.62), neck = point_mix(root, tip, 0.2);
    double point = hand_between(&sheet->hand, 0.5, 0.8);
    Point rim[7] = {point_add(neck, point_scale(aside, 0.7)),
                    point_add(shoulder, aside),
                    point_add(point_mix(shoulder, tip, 0.66), point_scale(aside, point)),
                    tip,
                    point_add(point_mix(shoulder, tip, 0.6), point_scale(aside, -point)),
                    point_add(shoulder, point_scale(aside, -1)),
                    point_add(neck, point_scale(aside, -0.7))};
    Curve *edge = curve_through(rim, 7, false);
    ink_line(sheet,
             curve_part(edge, hand_between(&sheet->hand, 0.2, 0.38),
                        hand_between(&sheet->hand, 0.7, 0.86)),
             hand_between(&sheet->hand, 0.11, 0.19));
    int barbs = 5 + (int)(fmax(0, base) * 12);
    for (int i = 0; i < barbs; i++) {
        double place = -0.75 + 1.5 * (i + hand_between(&sheet->hand, 0.2, 0.8)) / barbs;
        double reach = hand_between(&sheet->hand, 0.62, 0.9) - 0.16 * fabs(place);
        Point from = point_add(neck, point_scale(aside, place * 0.55));
        Point to = point_add(point_mix(root, tip, reach), point_scale(aside, place));
        Point line[3] = {
            from, point_add(point_mix(from, to, 0.5), point_scale(aside, place * 0.2)), to};
        ink_flick(sheet, curve_through(line, 3, false), place > 0 ? 0.15 : 0.2);
    }
    Curve *outline = curve_copy(edge);
    outline->closed = true;
    sheet_cover(sheet, shape_new(outline), 0.35);
}

/* Coverts lie in rows that are felt rather than seen: each feather is a little out of its
 * row, some are broad, some small, some missing. */
static void covert_row(Sheet *sheet, const Curve *bone, const Curve *tips, int count,
                       double from, double reach, double width, double base) {
    double halo = sheet->halo;
    sheet->halo = 0.05;
    for (int i = 0; i < count; i++) {
        double share = (i + 0.5 + hand_between(&sheet->hand, -0.42, 0.42)) / count;
        double stray = hand_between(&sheet->hand, -0.04, 0.04);
        Point at_bone = curve_at(bone, share);
        Point at_tip =
            curve_at(tips, CLAMP(share + hand_between(&sheet->hand, -0.05, 0.05), 0, 1));
        if (hand_random(&sheet->hand) < 0.08)
            continue;
        soft_covert(sheet, point_mix(at_bone, at_tip, from + stray),
                    point_mix(at_bone, at_tip, reach + stray * 1.3),
                    width * hand_between(&sheet->hand, 0.8, 1.5), base);
    }
    sheet->halo = halo;
}

void bird_wing(Sheet *sheet, const Curve *bone, const Curve *tips, int quills, double base) {
    double span = (curve_length(bone) + curve_length(tips)) / 2;
    double width = span / quills;
    Form form = form_plain();
    form.round = width * 0.5;
    form.contrast = 0.4;
    form.shadow = 0.7;
    form.spacing = 0.32;
    form.thick = 0.17;
    form.throws = 0.7;
    form.light_width = 0.09;
    form.dark_width = 0.22;
    form.cross_threshold = 0.8;
    covert_row(sheet, bone, tips, quills + 4, -0.06, 0.1, width * 0.8, base - 0.12);
    covert_row(sheet, bone, tips, quills + 3, -0.02, 0.19, width * 0.9, base);
    covert_row(sheet, bone, tips, quills + 2, 0.05, 0.29, width, base + 0.1);
    covert_row(sheet, bone, tips, quills + 2, 0.14, 0.4, width * 1.1, base + 0.2);
    form.base = base + 0.06;
    feather_row(sheet, bone, tips, quills + 1, 0.12, 0.58, width * 1.15, &form);
    form.base = base + 0.16;
    feather_row(sheet, bone, tips, quills + 1, 0.2, 1, width * 1.3, &form);
}
