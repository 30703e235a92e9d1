/* Canopy figure: the river as a standing woman with an oar, under a tent canopy between two
 * slender columns, her urn poured out beside her. */
#include <math.h>

#include "drapery.h"
#include "festoon.h"
#include "figure.h"
#include "foliage.h"
#include "ink.h"
#include "plant.h"
#include "plate.h"
#include "prints.h"
#include "scenery.h"

static void plinth(Sheet *sheet) {
    sheet_group(sheet, "plinth");
    plate_jewel(sheet, frame_at(32, 103.2, 1, 0.6), 3, 1.2);
    for (int side = -1; side <= 1; side += 2) {
        Frame frame = {{32, 103.2}, side, 1, 0};
        foliage_half_acanthus(sheet, curve_open(frame, "5 0.6, 9 -0.6, 13 0.8, 17 -0.4"), 1.9,
                              6, 1, 0.1);
    }
    static const double levels[3][3] = {{99.8, 1.6, 54}, {106.6, 1.8, 56}, {101.2, 0.8, 51}};
    for (int i = 0; i < 3; i++) {
        double half = levels[i][2] / 2;
        Curve *line = curve_new(false);
        for (double x = 32 - half; x <= 32 + half; x += 0.5)
            curve_append(line, (Point){x, levels[i][0]});
        Ribbon moulding = ribbon_new(curve_drifted(&sheet->hand, line, 14, 0.08, 44),
                                     "0 1, 1 1", levels[i][1]);
        Form form = form_plain();
        form.round = levels[i][1] * 0.5;
        form.contrast = 0.8;
        form.base = 0.12;
        form.spacing = 0.42;
        ribbon_draw(sheet, &moulding, &form, 0.1, 0.004);
    }
    Form face = form_plain();
    face.round = 0;
    face.base = 0.26;
    face.angle = 2;
    face.spacing = 0.42;
    form_draw(sheet, scenery_box(7, 101, 57, 106.4), &face);
}

static void urn_and_water(Sheet *sheet) {
    sheet_group(sheet, "urn");
    static const char *const streams[] = {
        "51.8 92, 53.2 93.2, 53.8 95.8, 53.4 99", "51.4 92.6, 52.4 93.8, 52.8 96, 52.4 99",
        "51 93, 51.6 94.4, 51.8 96.4, 51.4 99", "52 91.8, 54 92.8, 54.8 95.4, 54.6 99"};
    for (int i = 0; i < 4; i++)
        ink_line(sheet, curve_open(frame_identity(), streams[i]), 0.22);
    festoon_turned(sheet, frame_at(52.2, 92.4, 0.72, 58), 14,
                   "0 5.6, 0.06 6, 0.12 4, 0.22 3.4, 0.45 8.4, 0.7 8.8, 0.9 5, 1 3", 0.16);
    sheet_group(sheet, "reeds");
    plant_bulrush(sheet, curve_open(frame_identity(), "48.6 99, 49.4 86, 48.6 76, 49.8 64"),
                  1.9, 0.2);
    plant_blade(sheet, curve_open(frame_identity(), "50 99, 52.6 90, 53 80, 51.4 72"), 1.4, 1,
                0.14);
    plant_blade(sheet, curve_open(frame_identity(), "47.6 99, 46.6 90, 48 82, 46 74"), 1.2, -1,
                0.2);
}

/* One near turn of the vine round a shaft, and the leaf that grows from it. */
static void vine_turn(Sheet *sheet, Point middle, int side, int number) {
    double y = middle.y + hand_between(&sheet->hand, -1, 1);
    Frame frame = {{middle.x, y}, -side, 1, hand_between(&sheet->hand, -0.12, 0.12)};
    Ribbon turn = ribbon_new(curve_open(frame, "-2 1.8, -0.9 1.6, 0.8 -1, 2 -1.8"),
                             "0 0.3, 0.5 1, 1 0.3", 1);
    Form form = form_plain();
    form.round = 0.4;
    form.base = 0.16;
    form.throws = 0.8;
    ribbon_draw(sheet, &turn, &form, 0.2, 0);
    double reach = hand_between(&sheet->hand, 0.8, 1.4) * (number % 2 == 0 ? -1 : 1);
    Frame leaf = {{middle.x + (reach > 0 ? 1.6 : -1.6), y}, reach, fabs(reach), 0};
    foliage_acanthus(sheet, curve_open(leaf, "0 0, 1 -1.3, 2.2 -1.7"), 1.2 * fabs(reach), 3,
                     0.14);
}

static void columns(Sheet *sheet) {
    for (int side = -1; side <= 1; side += 2) {
        double x = 32 + side * 24.6;
        sheet_group(sheet, side > 0 ? "column-right" : "column-left");
        /* A vine winds up the shaft: only its near turns are seen. */
        int turns = side > 0 ? 6 : 7;
        for (int i = 0; i < turns; i++)
            vine_turn(sheet, (Point){x, 90 - i * 52.0 / turns + (side > 0 ? -3.5 : 0)}, side,
                      i);
        festoon_turned(sheet, frame_at(x, 31, 1, 0), 68,
                       "0 6.4, 0.012 6.6, 0.02 5, 0.05 4.4, 0.06 3, 0.07 3.8, 0.08 3, 0.5 3.6, "
                       "0.9 3.7, 0.92 4.8, "
                       "0.935 4.4, 0.95 5.4, 0.965 6.2, 1 6.2",
                       side > 0 ? 0.24 : 0.1);
    }
}

static void curtains(Sheet *sheet) {
    static const Fold folds[] = {
        {"17 2, 16 12, 18.4 22, 20 28", "18.4 1, 17.8 12, 19.6 22, 20.6 28", 0.8},
        {"18.4 1, 17.8 12, 19.6 22, 20.6 28", "20.6 0, 20.4 12, 20.8 22, 21.4 28", 0.8},
        {"20 29, 18.6 40, 17.6 52, 18.4 64", "20.8 29, 20.2 42, 19.8 54, 20.4 66", 0.8},
        {"20.8 29, 20.2 42, 19.8 54, 20.4 66", "21.6 29, 22.2 42, 22 54, 22.4 66", 0.85},
    };
    for (int side = -1; side <= 1; side += 2) {
        Frame frame = {{32, 30}, side, 1, side * 0.006};
        sheet_group(sheet, side > 0 ? "curtain-right" : "curtain-left");
        drapery_tassel(sheet, frame_apply(frame, (Point){19.4, 29}), 6, side * 5.0);
        drapery_cloth(sheet, frame,
                      "16.4 0 /, 15.6 12, 18 22, 19.6 28.4, 18.2 40, 17.2 52, 18 65 /, 19.4 "
                      "67, 20.4 65.6 /, 21.4 67.2, "
                      "22.6 66 /, 22.6 40, 21.8 28, 21.6 20, 21.6 0 /",
                      folds, 4, 0.14);
    }
}

void print_canopy_figure(Sheet *sheet) {
    sheet_group(sheet, "border");
    scenery_border(sheet, 1.4, 0.8);
    sheet->window = scenery_box(2.4, 2.4, 61.6, 107.6);
    figure_river(sheet, frame_at(31.4, 95.2, 0.98, 0));
    urn_and_water(sheet);
    sheet_group(sheet, "canopy");
    festoon_canopy(sheet, frame_at(32, 28.4, 1.24, 0));
    plinth(sheet);
    columns(sheet);
    curtains(sheet);
    Form niche = form_plain();
    niche.round = 0;
    niche.base = 0.5;
    niche.shadow = 0.4;
    niche.angle = 2;
    niche.spacing = 0.38;
    niche.widths = 3;
    niche.ruled = true;
    niche.dots = 0;
    niche.cross_threshold = 0.62;
    niche.no_contour = true;
    niche.ramped = true;
    niche.ramp_from = (Point){10, 40};
    niche.ramp_to = (Point){50, 80};
    niche.ramp_start = -0.12;
    niche.ramp_end = 0.2;
    sheet_group(sheet, "sky");
    scenery_sky(sheet, scenery_box(2.4, 2.4, 61.6, 60), 0.5, 0.56);
    sheet_group(sheet, "niche");
    form_hatch(sheet, scenery_box(8, 30, 56, 99.4), &niche);
}
