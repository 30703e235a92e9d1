/* Small motifs: nine things on one sheet, each drawn apart on white paper with its shadow.
 * Bird, shell, dragonfly, fish, flower, mask, frog, snail and knot. */
#include "bird.h"
#include "creatures.h"
#include "foliage.h"
#include "ink.h"
#include "mask.h"
#include "prints.h"
#include "scenery.h"

static void perch(Sheet *sheet) {
    Form bark = form_plain();
    bark.round = 0.9;
    bark.contrast = 0.8;
    bark.base = 0.2;
    Ribbon limb = ribbon_new(curve_open(frame_identity(), "6 31.4, 13 30.2, 21 30.8, 31 27.6"),
                             "0 1.4, 0.5 2.2, 0.56 2.5, 0.65 2, 1 0.7", 1);
    ribbon_draw(sheet, &limb, &bark, 0.18, 0.01);
    foliage_acanthus(sheet, curve_open(frame_identity(), "27 28.6, 30.6 25.6, 33.6 24.8"), 1.7,
                     3, 0.14);
}

static void cast_on_ground(Sheet *sheet, const char *outline, Frame frame) {
    Form form = form_plain();
    form.round = 0;
    form.base = 0.42;
    form.shadow = 0.3;
    form.angle = 3;
    form.spacing = 0.42;
    form.no_contour = true;
    form_hatch(sheet, shape_new(curve_closed(frame, outline)), &form);
}

void print_small_motifs(Sheet *sheet) {
    static const char ground[] = "-12 0.4, -4 -0.6, 6 -0.4, 13 0.6, 8 1.8, -2 2.2, -9 1.6";
    sheet_group(sheet, "bird");
    creature_songbird(sheet, frame_at(18.4, 30, 1.9, 0));
    perch(sheet);
    sheet_group(sheet, "shell");
    creature_shell(sheet, frame_at(55, 31, 1.36, -3));
    cast_on_ground(sheet, ground, frame_at(57, 32, 0.9, 0));
    sheet_group(sheet, "dragonfly");
    scenery_dragonfly(sheet, frame_at(91, 18.6, 1.75, 24));
    sheet_group(sheet, "fish");
    creature_fish(sheet, frame_at(20.4, 55.4, 0.98, -6));
    scenery_ripples(sheet, (Point){20, 62.6}, 10, 3);
    sheet_group(sheet, "flower");
    foliage_rosette(sheet, (Point){55, 51.6}, 9, 7, 8);
    foliage_stem(sheet, curve_open(frame_identity(), "55.4 58, 56 64, 54.4 72"), "0 0.8, 1 1.2",
                 1.3, 0.16);
    foliage_acanthus(sheet, curve_open(frame_identity(), "55.6 67, 60 65, 63.6 65.6, 66 68"), 3,
                     4, 0.14);
    foliage_acanthus(sheet, curve_open(frame_identity(), "55 69, 50 66.6, 46.6 67, 44.4 69"),
                     2.8, 4, 0.1);
    sheet_group(sheet, "mask");
    mask_river(sheet, frame_at(91, 54, 1.55, 1));
    sheet_group(sheet, "frog");
    creature_frog(sheet, frame_at(19.4, 90, 1.36, -14));
    sheet_group(sheet, "snail");
    creature_snail(sheet, frame_at(54.6, 96, 1.42, -2));
    cast_on_ground(sheet, ground, frame_at(56, 96.6, 1.1, 0));
    sheet_group(sheet, "knot");
    creature_knot(sheet, (Point){91, 91}, 11.4, 3.4, 500);
}
