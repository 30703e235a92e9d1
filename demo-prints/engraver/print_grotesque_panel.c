/* Grotesque panel: on one upright axis a canopy, a mask, birds on scrolls, swags, snails and
 * an urn of acanthus. The two sides answer one another but are not alike. */
#include <math.h>

#include "bird.h"
#include "creatures.h"
#include "drapery.h"
#include "festoon.h"
#include "foliage.h"
#include "ink.h"
#include "mask.h"
#include "plate.h"
#include "prints.h"
#include "scenery.h"

#define AXIS 30.0

static Frame side_frame(int side, double y) {
    return side > 0 ? frame_at(AXIS, y, 1, 0) : frame_mirrored(AXIS - 0.1, y, 1, 0.5);
}

static void side_volute(Sheet *sheet, const char *name, int side, double y, const char *lead,
                        double centre_x, double centre_y, double radius, double start,
                        double turns, double width) {
    Frame frame = side_frame(side, y);
    sheet_group(sheet, name);
    Plate plate = plate_plain();
    plate.base = side > 0 ? 0.18 : 0.08;
    plate.inner_line = 0.5;
    double begin = side > 0 ? start : 180 - start;
    plate_volute(sheet, curve_open(frame, lead),
                 frame_apply(frame, (Point){centre_x, centre_y}), radius, begin,
                 side > 0 ? turns : -turns, width, &plate);
}

static void canopy_and_curtains(Sheet *sheet) {
    sheet_group(sheet, "canopy");
    festoon_canopy(sheet, frame_at(AXIS, 25.4, 0.98, 0));
    for (int side = -1; side <= 1; side += 2) {
        static const Fold folds[] = {
            {"12 1, 11.4 8, 13.6 14, 15.4 17", "13.4 0, 13.2 8, 14.8 14, 16 17", 0.8},
            {"13.4 0, 13.2 8, 14.8 14, 16 17", "15.2 -1, 16 7, 16.2 14, 16.6 17", 0.7},
            {"15.4 18, 13.4 23, 13 29", "16 18, 15 24, 14.8 30.6", 0.8},
            {"16 18, 15 24, 14.8 30.6", "16.8 18, 17.8 24, 18 30", 0.8},
        };
        sheet_group(sheet, side > 0 ? "curtain-right" : "curtain-left");
        Frame frame = side_frame(side, 26);
        drapery_tassel(sheet, frame_apply(frame, (Point){17.4, 18.4}), 5, side * -8.0);
        drapery_cloth(
            sheet, frame,
            "11.4 1 /, 11.2 8, 13.4 14, 15 17.4, 13.2 23, 12.4 29 /, 13.4 31, 14.8 30.4 /, "
            "16.2 31.6, 18.4 30 /, 18.4 24, 17 17.6, 17 13, 16.6 6, 15.4 -1 /",
            folds, 4, 0.1);
    }
}

static void mask_and_shell(Sheet *sheet) {
    sheet_group(sheet, "mask");
    mask_river(sheet, frame_at(AXIS, 50, 1.15, -1));
    sheet_group(sheet, "shell");
    creature_shell(sheet, frame_at(AXIS, 48.4, 0.86, 0));
}

static void birds_on_scrolls(Sheet *sheet) {
    sheet_group(sheet, "bird-left");
    creature_songbird(sheet, frame_at(14.2, 72.4, 1.05, 3));
    sheet_group(sheet, "bird-right");
    creature_songbird(sheet, frame_mirrored(46.4, 72.6, 1.02, -6));
    for (int side = -1; side <= 1; side += 2)
        side_volute(sheet, side > 0 ? "scroll-right" : "scroll-left", side, 68,
                    "2 -3.6, 7 -3, 11 1.4, 15.6 4.4, 19.4 4.4", 19.6, 8.8, 4.2, -92, 1.4, 2.5);
    sheet_group(sheet, "baluster");
    festoon_turned(
        sheet, frame_at(AXIS, 61, 1, 0), 25,
        "0 3, 0.06 7, 0.12 7.4, 0.18 4, 0.24 3, 0.34 5.4, 0.46 6.6, 0.58 4.4, 0.7 2.6, "
        "0.76 2.4, 0.8 5, 0.86 5.4, 0.92 3, 1 2.4",
        0.12);
}

static void swags(Sheet *sheet) {
    sheet_group(sheet, "swag-left");
    festoon_fruit(sheet, (Point){9.4, 80}, (Point){28, 84}, 8.4, 2.3);
    sheet_group(sheet, "swag-right");
    festoon_fruit(sheet, (Point){32, 84}, (Point){50.8, 80}, 8.6, 2.3);
    sheet_group(sheet, "cloth-tails");
    festoon_tail(sheet, frame_at(8, 79, 0.86, 4));
    festoon_tail(sheet, frame_mirrored(52.2, 79, 0.86, -3));
}

static void lower_scrolls(Sheet *sheet) {
    sheet_group(sheet, "snail-left");
    creature_snail(sheet, frame_at(15.6, 104.4, 0.72, 14));
    sheet_group(sheet, "snail-right");
    creature_snail(sheet, frame_mirrored(43, 103.6, 0.74, -12));
    for (int side = -1; side <= 1; side += 2) {
        side_volute(sheet, side > 0 ? "branch-right" : "branch-left", side, 104,
                    "1.6 11, 5 6, 9.6 3, 14.4 0.6, 18.4 -0.6", 19, 3.9, 4.4, -96, 1.45, 2.4);
        sheet_group(sheet, "branch-leaves");
        Frame frame = side_frame(side, 104);
        foliage_acanthus(sheet, curve_open(frame, "3 9.4, 8 10, 12.4 12.6, 15 17, 14 20.6"),
                         4.2, 5, side > 0 ? 0.2 : 0.1);
        foliage_tendril(sheet, frame_apply(frame, (Point){6.4, 5}), side > 0 ? -78 : -102, 1.7,
                        1.6 * side, 0.8);
    }
    sheet_group(sheet, "medallion");
    foliage_rosette(sheet, (Point){AXIS, 92}, 4.4, 6, 12);
    Form disc = form_plain();
    disc.round = 1.2;
    disc.contrast = 0.8;
    form_draw(sheet, shape_new(curve_oval(&sheet->hand, (Point){AXIS, 92}, 5.6, 5.7, 0, 0.01)),
              &disc);
}

/* Swelling ribs round the belly of the urn, the middle one in front. */
static void gadroons(Sheet *sheet) {
    static const int order[7] = {3, 2, 4, 1, 5, 0, 6};
    for (int k = 0; k < 7; k++) {
        double place = (order[k] - 3) / 3.0, x = 5.7 * sin(place * 1.25);
        Frame gadroon = {{AXIS + x, 127.6}, 1.25 * cos(place * 1.05) + 0.12, 1, -place * 0.22};
        Form form = form_plain();
        form.round = 0.9;
        form.contrast = 0.8;
        form.base = 0.12 + 0.14 * place;
        form.spacing = 0.34;
        form.angle = 10;
        form.bow = 0.4;
        form.throws = 0.8;
        form_draw_text(sheet, gadroon,
                       "0 -3, 0.8 -2.4, 1 -0.6, 0.8 1.6, 0.3 4.6, 0 5 /, -0.3 4.6, -0.8 1.6, "
                       "-1 -0.6, -0.8 -2.4",
                       &form);
    }
}

static void urn(Sheet *sheet) {
    sheet_group(sheet, "urn-leaves");
    for (int i = -2; i <= 2; i++) {
        Frame frame = frame_at(AXIS, 121, 1, i * 24.0);
        foliage_acanthus(sheet,
                         curve_open(frame, i < 0 ? "0 0, -0.6 -4, -0.2 -7.4, -2 -10"
                                                 : "0 0, 0.6 -4, 0.2 -7.4, 2 -10"),
                         3, 4, 0.12 + 0.03 * (i + 2));
    }
    sheet_group(sheet, "urn");
    gadroons(sheet);
    Ribbon band = ribbon_new(curve_open(frame_identity(), "23 122.8, 30 124, 37 122.8"),
                             "0 1.1, 1 1.1", 1);
    Form moulding = form_plain();
    moulding.round = 0.6;
    moulding.contrast = 0.8;
    ribbon_draw(sheet, &band, &moulding, 0.2, 0.05);
    festoon_turned(sheet, frame_at(AXIS, 119.6, 1, 0), 20,
                   "0 11, 0.05 12.4, 0.1 10, 0.16 9.4, 0.36 14, 0.5 13.4, 0.66 6, 0.74 3, 0.78 "
                   "5, 0.82 3.4, "
                   "0.9 7, 0.96 9.4, 1 9.4",
                   0.12);
    for (int side = -1; side <= 1; side += 2)
        side_volute(sheet, "urn-handles", side, 124, "6.4 3.4, 9.4 3, 11.4 0.4", 9.6, -1, 2.6,
                    40, -1.2, 1.2);
}

static void foot(Sheet *sheet) {
    sheet_group(sheet, "foot");
    drapery_tassel(sheet, (Point){AXIS, 141}, 5, 0);
    for (int side = -1; side <= 1; side += 2)
        side_volute(sheet, "foot", side, 138, "1 2, 6 3, 11 2.6, 15 0.6", 15.4, -2.4, 2.9, 92,
                    -1.3, 2);
    sheet_group(sheet, "foot-leaves");
    for (int side = -1; side <= 1; side += 2) {
        Frame frame = side_frame(side, 138);
        foliage_acanthus(sheet, curve_open(frame, "13 2.6, 17.4 4.6, 21.6 3.6, 23 -0.6"), 3, 4,
                         0.14);
    }
}

/* Sprays either side of the canopy's finial, and bunches hung from its eaves on cords. */
static void sprays_and_drops(Sheet *sheet) {
    static const Fruit left[] = {
        {0, 0, 2, 4, 8},         {0.4, 3.4, 1.8, 1, 190}, {-1.6, 1.8, 1.2, 0, 0},
        {1.7, 1.6, 1.2, 0, 40},  {0, 6.4, 1.5, 2, 0},     {-1.4, -2, 1.1, 0, 0},
        {1.2, -2.4, 1.1, 0, 0},  {2.2, -2.6, 1.4, 3, 55}, {-2.2, -1.2, 1.4, 3, -60},
        {2.4, 3.4, 1.4, 3, 110}, {-2, 4, 1.4, 3, -115},   {0.2, 8.6, 1.3, 3, 176},
    };
    static const Fruit right[] = {
        {0, -0.6, 1.7, 2, 0},      {0.2, 2.8, 2, 0, 20},      {-1.5, 1.2, 1.2, 4, -30},
        {1.8, 0.8, 1.1, 0, 0},     {0, 6, 1.8, 1, 175},       {1.5, 4.8, 1, 0, 0},
        {-1.6, 4.4, 1.1, 0, 0},    {-2.2, -1.6, 1.4, 3, -50}, {2, -1.8, 1.4, 3, 60},
        {-2.3, 2.8, 1.3, 3, -100}, {2.5, 2.8, 1.4, 3, 95},    {-0.4, 8.4, 1.4, 3, -172},
    };
    sheet_group(sheet, "drops");
    mask_fruit_bunch(sheet, frame_at(8.9, 36.4, 0.98, 2), left, G_N_ELEMENTS(left));
    mask_fruit_bunch(sheet, frame_at(50.9, 38.6, 0.95, -2), right, G_N_ELEMENTS(right));
    ink_line(sheet, curve_open(frame_identity(), "15.4 25.6, 11 29, 9.2 33.4, 8.9 36"), 0.3);
    ink_line(sheet, curve_open(frame_identity(), "44.8 25.6, 49 29.4, 50.6 33.6, 50.9 37"),
             0.3);
    sheet_group(sheet, "sprays");
    for (int side = -1; side <= 1; side += 2) {
        Frame frame = side_frame(side, 6);
        foliage_acanthus(sheet,
                         curve_open(frame, side > 0 ? "5 6.4, 9 2.6, 14 2.2, 18.6 5, 20.4 9"
                                                    : "5 6, 8.6 2, 13 2.4, 17.6 3.4, 21.4 1"),
                         3.6, 6, side > 0 ? 0.2 : 0.08);
        foliage_acanthus(sheet, curve_open(frame, "10 5, 13.4 8.4, 16.6 9, 19 12.6"), 2.8, 4,
                         side > 0 ? 0.24 : 0.12);
        foliage_tendril(sheet,
                        frame_apply(frame, side > 0 ? (Point){19.6, 3.4} : (Point){20.8, 1.6}),
                        side > 0 ? -40 : -170, 1.9, 1.7 * side, 0.7);
        foliage_stem(sheet, curve_open(frame, "0.4 7, 3 8, 6 6.6, 9 4"), "0 1, 1 0.6", 1.2,
                     side > 0 ? 0.24 : 0.14);
    }
}

/* The shaft that all is strung on, turned between the medallion and the urn. */
static void candelabrum(Sheet *sheet) {
    sheet_group(sheet, "axis");
    for (int side = -1; side <= 1; side += 2) {
        Frame frame = side_frame(side, 108);
        foliage_half_acanthus(sheet, curve_open(frame, "1 4.6, 2.4 2, 2.6 -1.4, 5 -3.6"), 2, 4,
                              -side, side > 0 ? 0.2 : 0.1);
    }
    festoon_turned(sheet, frame_at(AXIS, 97.2, 1, 0), 24,
                   "0 2.2, 0.04 4.6, 0.09 5, 0.12 2.4, 0.2 1.9, 0.3 3, 0.42 5.4, 0.5 5.8, "
                   "0.6 3.8, 0.66 2.2, 0.7 4.8, 0.76 5.2, 0.8 2.6, 1 3",
                   0.14);
    festoon_turned(sheet, frame_at(AXIS, 2, 1, 0), 120, "0 1.4, 1 1.6", 0.3);
}

static void fishes(Sheet *sheet) {
    sheet_group(sheet, "fishes");
    creature_fish(sheet, frame_at(13.6, 130.6, 0.62, -12));
    creature_fish(sheet, frame_mirrored(46.6, 131.2, 0.58, 9));
}

void print_grotesque_panel(Sheet *sheet) {
    sheet_group(sheet, "border");
    scenery_border(sheet, 1.4, 0.8);
    sheet->window = scenery_box(2.4, 2.4, 57.6, 147.6);
    canopy_and_curtains(sheet);
    sprays_and_drops(sheet);
    mask_and_shell(sheet);
    birds_on_scrolls(sheet);
    swags(sheet);
    lower_scrolls(sheet);
    urn(sheet);
    foot(sheet);
    fishes(sheet);
    sheet_group(sheet, "dragonflies");
    scenery_dragonfly(sheet, frame_at(9.4, 61, 0.62, -28));
    scenery_dragonfly(sheet, frame_mirrored(50.4, 62, 0.58, 34));
    sheet_group(sheet, "tendrils");
    for (int side = -1; side <= 1; side += 2) {
        foliage_tendril(sheet, frame_apply(side_frame(side, 88), (Point){4.6, 0}),
                        side > 0 ? -32 : -148, 1.8, 1.7 * side, 0.8);
        foliage_tendril(sheet, frame_apply(side_frame(side, 118), (Point){8, 4}),
                        side > 0 ? 8 : 172, 1.6, -1.7 * side, 0.8);
    }
    candelabrum(sheet);
}
