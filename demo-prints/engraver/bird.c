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
    ribbon_draw(sheet, &feather, form, 0.1, 0.06);
}

static void feather_row(Sheet *sheet, const Curve *bone, const Curve *tips, int count,
                        double from, double reach, double width, const Form *form) {
    for (int i = 0; i < count; i++) {
        double share = (i + 0.5 + hand_between(&sheet->hand, -0.18, 0.18)) / count;
        Point at_bone = curve_at(bone, share), at_tip = curve_at(tips, share);
        Point root = point_mix(at_bone, at_tip, from);
        double uneven = reach + hand_between(&sheet->hand, -0.025, 0.025);
        bird_feather(sheet, root, point_mix(at_bone, at_tip, uneven), 0.05,
                     width * hand_between(&sheet->hand, 0.86, 1.16), form);
    }
}

void bird_wing(Sheet *sheet, const Curve *bone, const Curve *tips, int quills, double base) {
    double span = (curve_length(bone) + curve_length(tips)) / 2;
    double width = span / quills;
    Form form = form_plain();
    form.round = width * 0.5;
    form.base = base - 0.2;
    form.contrast = 0.4;
    form.shadow = 0.7;
    form.spacing = 0.3;
    form.thick = 0.17;
    form.throws = 0.7;
    form.light_width = 0.09;
    form.dark_width = 0.22;
    form.cross_threshold = 0.8;
    feather_row(sheet, bone, tips, quills + 4, -0.02, 0.11, width * 0.7, &form);
    feather_row(sheet, bone, tips, quills + 4, 0.02, 0.2, width * 0.78, &form);
    form.base = base - 0.08;
    feather_row(sheet, bone, tips, quills + 3, 0.06, 0.3, width * 0.9, &form);
    form.base = base + 0.1;
    feather_row(sheet, bone, tips, quills + 1, 0.1, 0.48, width * 1.1, &form);
    form.base = base + 0.18;
    feather_row(sheet, bone, tips, quills + 1, 0.2, 1, width * 1.3, &form);
}
