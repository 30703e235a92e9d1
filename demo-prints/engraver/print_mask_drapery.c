/* Mask and drapery: a great river mask under hung cloth, with strapwork at the corners.
 * Drawn from the features of the mask backward to the ruled ground. */
#include <math.h>

#include "arms.h"
#include "drapery.h"
#include "festoon.h"
#include "foliage.h"
#include "ink.h"
#include "mask.h"
#include "plate.h"
#include "prints.h"
#include "scenery.h"

#define MIDDLE 40.0

static void beard_of_leaves(Sheet *sheet) {
    static const char *const axes[] = {
        "40 55, 39.6 60, 40.4 65, 39.8 70",       "43.6 54, 45.6 58.6, 46.6 63, 45.6 67",
        "36.4 54, 34.4 58.6, 33.4 63, 34.6 67.4", "47 51.6, 51 55, 53.4 59.4, 53.6 64",
        "33 51.6, 29.2 55, 26.6 59.4, 26.2 64.4", "50 47.4, 55.4 49.4, 59.2 53, 61 57.6",
        "30 47.4, 24.8 49.4, 21 53.4, 19.2 58",   "41.6 57, 42.8 62, 43.2 67.4, 42.6 71.4",
        "38.4 57, 37 62, 36.8 67, 37.4 71.2",     "45.4 54, 48.6 58, 50.2 62.6, 49.6 67",
        "34.8 54, 31.6 58, 30 62.6, 30.6 67.2",   "48.6 50, 53 52.6, 56.6 56.6, 57.6 61",
        "31.4 50, 27 52.6, 23.4 57, 22.4 61.6",   "52.4 41, 57.6 41.6, 61.6 44.6, 64 48.4",
        "27.6 41, 22.4 41.6, 18.4 44.8, 16.2 49", "52.6 35.4, 58 33.6, 63 35.2, 66.2 38.6",
        "27.4 35.4, 22 33.8, 17 35.6, 13.8 39.4",
    };
    sheet_group(sheet, "beard");
    for (guint i = 0; i < G_N_ELEMENTS(axes); i++)
        foliage_acanthus(sheet, curve_open(frame_identity(), axes[i]), 3.1, 5,
                         i % 2 == 0 ? 0.12 : 0.2);
}

static void crown_of_leaves(Sheet *sheet) {
    sheet_group(sheet, "crown");
    foliage_rosette(sheet, (Point){MIDDLE, 22.6}, 4.2, 6, 15);
    for (int i = 0; i < 8; i++) {
        double lean = (i - 3.5) * 19 + hand_between(&sheet->hand, -2, 2);
        Frame frame = frame_at(MIDDLE + (i - 3.5) * 2.7, 27.4 + fabs(i - 3.5) * 0.9, 1, lean);
        foliage_acanthus(sheet,
                         curve_open(frame, i < 4 ? "0 0, 0.4 -4, 0 -8, -2.2 -11"
                                                 : "0 0, -0.4 -4, 0 -8, 2.2 -11"),
                         3, 5, i < 4 ? 0.08 : 0.2);
    }
}

static void hangings(Sheet *sheet) {
    sheet_group(sheet, "ribbon-left");
    drapery_streamer(sheet,
                     curve_open(frame_identity(), "12 14, 8.4 18, 10.4 24, 6.4 30, 8.6 36"),
                     (Point){2.4, 0.8}, 0.2);
    sheet_group(sheet, "ribbon-right");
    drapery_streamer(
        sheet, curve_open(frame_identity(), "68 14, 71.6 18.4, 69.4 24, 73.6 30, 71.4 36.6"),
        (Point){2.4, -0.6}, 0.2);
    sheet_group(sheet, "rings");
    arms_rivet(sheet, (Point){12.4, 13}, 2);
    arms_rivet(sheet, (Point){67.6, 13}, 2);
    sheet_group(sheet, "tails");
    festoon_tail(sheet, frame_at(13.4, 14, 2.3, 3));
    festoon_tail(sheet, frame_mirrored(66.6, 14, 2.3, -2));
    sheet_group(sheet, "swag");
    festoon_cloth(sheet, (Point){13, 13.4}, (Point){67, 13.4}, 14, 8);
    sheet_group(sheet, "fruit-left");
    festoon_fruit(sheet, (Point){12, 52}, (Point){31, 70}, 7, 2.6);
    sheet_group(sheet, "fruit-right");
    festoon_fruit(sheet, (Point){49, 70}, (Point){68.4, 52}, 7, 2.6);
}

static void corners(Sheet *sheet) {
    sheet_group(sheet, "jewels");
    plate_jewel(sheet, frame_at(MIDDLE, MIDDLE - 33.8, 1, 2), 3, 1.7);
    plate_jewel(sheet, frame_at(MIDDLE, MIDDLE + 33.8, 1, -1), 3, 1.7);
    for (int side = -1; side <= 1; side += 2)
        for (int end = -1; end <= 1; end += 2) {
            Frame frame = {{MIDDLE, MIDDLE}, side, end, 0};
            char *name = g_strdup_printf("strap-%s-%s", end < 0 ? "upper" : "lower",
                                         side < 0 ? "left" : "right");
            sheet_group(sheet, name);
            g_free(name);
            Plate plate = plate_plain();
            plate.base = side > 0 ? 0.16 : 0.08;
            plate.inner_line = 0.6;
            Point centre = frame_apply(frame, (Point){29.4, 31});
            double start = atan2(end * -1.0, side * 0.25) * 180 / G_PI;
            plate_volute(sheet,
                         curve_open(frame, "-0.1 33.8, 6 33.8, 14 33.2, 20.6 31.8, 25 28.4"),
                         centre, 4.2, start, 1.4 * side * end, 2.8, &plate);
        }
}

void print_mask_drapery(Sheet *sheet) {
    sheet_group(sheet, "border");
    scenery_border(sheet, 1.6, 0.8);
    sheet->window = scenery_box(2.6, 2.6, 77.4, 77.4);
    sheet_group(sheet, "mask");
    mask_river_face(sheet, frame_at(MIDDLE, 42, 2.3, 0.6));
    beard_of_leaves(sheet);
    crown_of_leaves(sheet);
    sheet_group(sheet, "mask");
    mask_river_head(sheet, frame_at(MIDDLE, 42, 2.3, 0.6));
    hangings(sheet);
    corners(sheet);
    Form ground = form_plain();
    ground.round = 0;
    ground.base = 0.34;
    ground.shadow = 0.5;
    ground.angle = 0.5;
    ground.spacing = 0.46;
    ground.widths = 3;
    ground.streak = 0.08;
    ground.ruled = true;
    ground.dots = 0.2;
    ground.no_contour = true;
    ground.cross_threshold = 0.66;
    sheet_group(sheet, "ground");
    form_hatch(sheet, scenery_box(2.6, 2.6, 77.4, 77.4), &ground);
}
