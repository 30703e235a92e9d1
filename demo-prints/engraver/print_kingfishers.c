/* Kingfishers: one perched and one diving among reeds and bulrushes, a dragonfly, ripples.
 * Drawn from the near bank backward to the sky. */
#include "bird.h"
#include "ink.h"
#include "plant.h"
#include "prints.h"
#include "scenery.h"

typedef struct Blade {
    const char *axis;
    double width;
    int shaded;
    double base;
} Blade;

static void draw_blades(Sheet *sheet, const Blade *blades, guint count) {
    for (guint i = 0; i < count; i++)
        plant_blade(sheet,
                    curve_drifted(&sheet->hand, curve_open(frame_identity(), blades[i].axis), 9,
                                  0.25, 50),
                    blades[i].width, blades[i].shaded, blades[i].base);
}

static void near_reeds_left(Sheet *sheet) {
    static const Blade blades[] = {
        {"13 84, 14.5 70, 19 57, 27 49.5, 33.5 49", 2.2, 1, 0.05},
        {"10.5 84, 9.6 66, 11 46, 15.4 29, 22 18.5", 2.4, 1, 0.12},
        {"16 84, 19 73, 25 66, 33 63.5, 39 67", 2, 1, 0.1},
        {"8 84, 6.6 69, 5.6 52, 6.2 38, 8.6 24", 1.9, -1, 0.16},
        {"18 84, 16 68, 17.6 52, 16 38, 10.4 27", 1.9, -1, 0.2},
        {"6 84, 7 74, 5.2 64, 4.2 58", 1.6, 1, 0.3},
    };
    sheet_group(sheet, "reeds-left");
    draw_blades(sheet, blades, G_N_ELEMENTS(blades));
    plant_bent_blade(sheet, curve_open(frame_identity(), "20 84, 21 72, 23.4 61, 27.5 52.4"),
                     curve_open(frame_identity(), "27.5 52.4, 31 56.5, 33.6 62, 34.2 68"), 1.9,
                     1);
}

static void bulrushes_left(Sheet *sheet) {
    static const char *const stalks[] = {
        "14.6 84, 13.4 60, 14.4 36, 17.6 9",
        "20.4 84, 22 62, 22.6 43, 26 22",
        "7.4 84, 8.2 58, 7.8 38, 9.2 15.5",
    };
    static const double widths[] = {3, 2.7, 2.4};
    sheet_group(sheet, "bulrushes-left");
    for (int i = 0; i < 3; i++)
        plant_bulrush(sheet, curve_open(frame_identity(), stalks[i]), widths[i], 0.17);
}

static void near_reeds_right(Sheet *sheet) {
    static const Blade blades[] = {
        {"109 84, 107 70, 101 59.5, 92 54.5", 2.3, -1, 0.06},
        {"112 84, 112.6 66, 110 48, 103.4 35", 2.4, 1, 0.14},
        {"105 84, 103 74, 97.5 67.4, 89.4 66.8, 84 71", 2, 1, 0.1},
        {"114.4 84, 115.6 70, 115.4 57, 113 45", 1.9, 1, 0.22},
        {"107.6 84, 108.6 68, 113 58.6, 116.4 55.4", 1.6, 1, 0.2},
    };
    sheet_group(sheet, "reeds-right");
    draw_blades(sheet, blades, G_N_ELEMENTS(blades));
    plant_bent_blade(sheet, curve_open(frame_identity(), "102 84, 101 72, 98.4 60, 94.4 49.6"),
                     curve_open(frame_identity(), "94.4 49.6, 91.6 53, 88.8 59, 88.4 64.6"),
                     1.8, -1);
    sheet_group(sheet, "bulrushes-right");
    plant_bulrush(sheet, curve_open(frame_identity(), "110.4 84, 109.4 62, 107 42, 106.4 23"),
                  2.6, 0.17);
    plant_bulrush(sheet, curve_open(frame_identity(), "113.6 84, 113.4 66, 114.2 50, 113 33"),
                  2.3, 0.16);
}

static void branch(Sheet *sheet) {
    Form bark = form_plain();
    bark.round = 1.5;
    bark.base = 0.28;
    bark.contrast = 0.75;
    bark.spacing = 0.34;
    bark.cross_threshold = 0.6;
    bark.dark_width = 0.34;
    bark.throws = 2.2;
    sheet_group(sheet, "branch");
    Ribbon limb =
        ribbon_new(curve_open(frame_identity(),
                              "-2 63, 8 61, 19 57.6, 30 55.8, 41 54.4, 51 50.6, 59.4 49.6"),
                   "0 4.6, 0.2 3.9, 0.34 4.2, 0.5 3, 0.56 3.5, 0.75 2.3, 0.93 1.6, 1 0.9", 1);
    ribbon_draw(sheet, &limb, &bark, 0.16, 0.004);
    Ribbon twig = ribbon_new(curve_open(frame_identity(), "43 53.6, 47 57, 52.4 58.4, 56 61.4"),
                             "0 2, 0.4 1.1, 1 0.4", 1);
    ribbon_draw(sheet, &twig, &bark, 0.16, 0.01);
    static const char *const leaves[] = {
        "56 61.2, 58.6 61.6, 61.6 63.6, 64.4 67.4",
        "52.2 58.2, 51.4 60.4, 51.8 63.6, 54.6 68",
        "58.8 49.6, 61.6 48.2, 65 47.2, 69.6 48",
        "47.6 57, 50 55.4, 53.4 55.2, 57 56.6",
        "50.8 50.4, 52.4 47.6, 55.4 45.6, 59.6 44.8",
    };
    for (guint i = 0; i < G_N_ELEMENTS(leaves); i++)
        plant_leaf(sheet, curve_open(frame_identity(), leaves[i]), 3.2 - 0.16 * i,
                   i == 1 ? -1 : 1);
}

static void far_bank(Sheet *sheet) {
    sheet_group(sheet, "far-bank");
    scenery_thicket(sheet, 3, 34, 60.9, 5.2);
    scenery_thicket(sheet, 74, 117, 60.9, 5.6);
    scenery_thicket(sheet, 30, 84, 60.9, 1.7);
}

/* Thin grasses fill the gaps at the foot of the reeds. */
static void grasses(Sheet *sheet, double left, double right, int count) {
    for (int i = 0; i < count; i++) {
        double x = hand_between(&sheet->hand, left, right);
        double height = hand_between(&sheet->hand, 9, 23);
        double sway = hand_between(&sheet->hand, -5, 5);
        Point points[4] = {{x, 84},
                           {x + sway * 0.1, 84 - height * 0.4},
                           {x + sway * 0.45, 84 - height * 0.8},
                           {x + sway, 84 - height}};
        plant_blade(sheet, curve_through(points, 4, false),
                    hand_between(&sheet->hand, 0.6, 1.2), i % 2 == 0 ? 1 : -1,
                    hand_between(&sheet->hand, 0.1, 0.5));
    }
}

static void water(Sheet *sheet) {
    sheet_group(sheet, "lilies");
    scenery_lilies(sheet, (Point){52, 78.2}, 1.25);
    scenery_lilies(sheet, (Point){88, 80.6}, 0.8);
    sheet_group(sheet, "ripples");
    scenery_ripples(sheet, (Point){71.5, 70.4}, 11, 5);
    scenery_ripples(sheet, (Point){14, 80}, 11, 3);
    scenery_ripples(sheet, (Point){108, 80}, 10, 3);
    sheet_group(sheet, "water");
    scenery_water(sheet, scenery_box(3.4, 60.8, 116.6, 82.6), 0.36);
}

void print_kingfishers(Sheet *sheet) {
    sheet_group(sheet, "border");
    scenery_border(sheet, 2.4, 1);
    sheet->window = scenery_box(3.4, 3.4, 116.6, 82.6);
    sheet_group(sheet, "dragonfly");
    scenery_dragonfly(sheet, frame_at(52, 16, 0.95, 28));
    near_reeds_left(sheet);
    near_reeds_right(sheet);
    sheet_group(sheet, "kingfisher-perched");
    bird_kingfisher_perched(sheet, frame_at(37, 53.4, 1.12, -4));
    branch(sheet);
    bulrushes_left(sheet);
    sheet_group(sheet, "grasses");
    grasses(sheet, 3, 27, 26);
    grasses(sheet, 97, 117, 22);
    sheet_group(sheet, "kingfisher-diving");
    bird_kingfisher_flying(sheet, frame_mirrored(84, 42, 1.0, -38));
    far_bank(sheet);
    water(sheet);
    sheet_group(sheet, "sky");
    scenery_sky(sheet, scenery_box(3.4, 3.4, 116.6, 44), 0.62, 0.62);
}
