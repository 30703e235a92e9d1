/* River trophy: armour, weapons, drums and colours hung on a ribbon, with an oar and a
 * trident for the river. Drawn from the ribbon in front to the pole arms at the back. */
#include "arms.h"
#include "drapery.h"
#include "ink.h"
#include "plant.h"
#include "prints.h"
#include "scenery.h"

static void ribbon_and_bow(Sheet *sheet) {
    static const char *const pieces[] = {
        "37 13.4, 33 8.6, 26.6 6.6, 23.4 9.4, 26.4 12.6, 32 13.4, 36.6 13.8",
        "37 13.4, 41.2 8, 47.6 5.8, 51.4 8.8, 48 12.4, 42 13.6, 37.6 13.8",
        "36 14.4, 31 17.4, 25.4 15.8, 20 19.4, 13.6 17.2, 9.6 21.4",
        "38 14.4, 43.6 17.8, 49 15.4, 54 19.2, 60.4 16.4, 64.6 20",
    };
    sheet_group(sheet, "ribbon");
    Form knot = form_plain();
    knot.base = 0.16;
    knot.round = 1.6;
    knot.contrast = 0.8;
    knot.angle = 80;
    form_draw_text(sheet, frame_identity(),
                   "34.8 12, 37 11.2, 39.3 12, 39.8 14, 39 16, 37 16.6, 34.9 15.9, 34.2 14",
                   &knot);
    for (int i = 0; i < 4; i++)
        drapery_streamer(sheet, curve_open(frame_identity(), pieces[i]), (Point){0.9, 3}, 0.24);
    arms_rivet(sheet, (Point){37, 5.4}, 1.1);
    drapery_streamer(sheet, curve_open(frame_identity(), "36.8 6, 37.3 9, 36.7 13"),
                     (Point){2.4, 0.5}, 0.2);
}

static void hanging_ribbon(Sheet *sheet) {
    sheet_group(sheet, "ribbon");
    drapery_streamer(sheet, curve_open(frame_identity(), "37 16, 36.4 20, 37.4 24, 37 30"),
                     (Point){2.6, 0.8}, 0.3);
}

static void plumes(Sheet *sheet) {
    static const char *const axes[] = {
        "41 27, 46 22.4, 52 21.4, 57.4 24.8, 59.6 30.6, 57.4 34.4",
        "41.6 30, 47.6 27, 52.4 29.4, 55.2 34.6, 54 39.6",
        "40.6 25.6, 44.6 19.4, 50 16, 56.4 16.4, 60.6 20.4",
    };
    sheet_group(sheet, "plumes");
    for (int i = 0; i < 3; i++)
        drapery_plume(sheet, curve_open(frame_identity(), axes[i]), 6.4 - i * 0.4,
                      0.12 + 0.08 * i);
}

static void flag_left(Sheet *sheet) {
    static const Fold folds[] = {
        {"8.4 29, 6.2 38, 7.4 46, 6.2 54, 8 62, 6.6 70.6",
         "10.4 27, 10.6 40, 12.8 54, 11.6 64, 12.4 73.4", 0.75},
        {"10.4 27, 10.6 40, 12.8 54, 11.6 64, 12.4 73.4",
         "11.4 26, 13.6 38, 17 51, 18.8 61, 19.2 71.4", 0.85},
        {"11.4 26, 13.6 38, 17 51, 18.8 61, 19.2 71.4",
         "11.6 24, 16 33, 20.4 43, 24 53, 22.6 63, 24.4 72", 0.7},
        {"18.4 47, 20.4 56, 20.6 62, 21 67", "20.4 45, 22.4 53, 21.8 60, 22.4 66", 0.5},
    };
    sheet_group(sheet, "flag-left");
    drapery_cloth(
        sheet, frame_identity(),
        "11 23.6 /, 15.6 32, 19.8 42, 23.6 52.4 /, 24 57, 22.4 63, 24.4 71.4 /, "
        "22.6 73.6, 20.6 73.2, 19.2 71 /, 18.4 75.2, 15.4 76.8, 12.4 73.2 /, 11.4 76.4, "
        "8.4 75.6, 6.4 70.4 /, 8 62, 6.2 54, 7.4 45.4, 6.2 38, 8.2 29.4",
        folds, G_N_ELEMENTS(folds), 0.1);
}

static void flag_right(Sheet *sheet) {
    static const Fold folds[] = {
        {"50.6 52, 51.6 60, 50.4 67, 51.4 73", "54.4 43, 55 54, 54.2 64, 55.6 74.6", 0.8},
        {"54.4 43, 55 54, 54.2 64, 55.6 74.6", "59 35, 59.6 47, 61.2 58, 60 67, 61 76", 0.9},
        {"59 35, 59.6 47, 61.2 58, 60 67, 61 76",
         "62.2 29, 65.4 38, 64.2 48, 67 58, 65.4 67, 67.8 74", 0.8},
        {"62.4 34, 63.4 44, 63.6 52, 64.6 60", "63.8 35, 65.2 44, 65 51, 66.2 58", 0.5},
    };
    sheet_group(sheet, "flag-right");
    drapery_cloth(
        sheet, frame_identity(),
        "61.4 25 /, 58.4 34, 54.4 43.4, 50.4 52 /, 51.8 60, 50.2 67, 51.2 73.4 /, "
        "53.4 76, 55.6 74 /, 57.2 77.8, 59.6 78, 61 75.6 /, 63.4 78.2, 66.4 77.4, 68 73.6 /, "
        "65.6 67, 67.2 58, 64.4 48, 65.6 38, 63 29.4",
        folds, G_N_ELEMENTS(folds), 0.18);
}

static void flag_staff(Sheet *sheet, const char *name, const char *axis) {
    Form form = form_plain();
    form.round = 0.6;
    form.contrast = 0.75;
    form.spacing = 0.36;
    sheet_group(sheet, name);
    Curve *line = curve_open(frame_identity(), axis);
    arms_rivet(sheet, curve_at(line, 0), 1);
    Ribbon staff = ribbon_new(line, "0 1.1, 1 1.2", 1);
    ribbon_draw(sheet, &staff, &form, 0.2, 0.003);
}

static void lower_arms(Sheet *sheet) {
    sheet_group(sheet, "shield");
    arms_shield(sheet, (Point){30.2, 100.4}, 15.2);
    sheet_group(sheet, "drum-right");
    arms_drum(sheet, frame_at(53.6, 97.4, 1.02, 24));
    sheet_group(sheet, "quiver");
    arms_quiver(sheet, frame_at(15.4, 90.4, 0.92, 23));
    sheet_group(sheet, "drum-left");
    arms_drum(sheet, frame_at(19.6, 113.4, 0.92, -16));
}

static void bulrushes(Sheet *sheet) {
    sheet_group(sheet, "bulrushes");
    plant_blade(sheet, curve_open(frame_identity(), "40 108, 47 115, 55 119, 64.6 117.6"), 2.4,
                1, 0.1);
    plant_bulrush(sheet, curve_open(frame_identity(), "38 106, 44 117, 50.4 124, 59.6 131.6"),
                  2.9, 0.26);
    plant_blade(sheet, curve_open(frame_identity(), "36 108, 38.4 118, 43.4 126, 44.6 134.4"),
                2.2, -1, 0.16);
    plant_bulrush(sheet, curve_open(frame_identity(), "36 104, 33.6 116, 28.4 126, 20.6 134"),
                  2.7, 0.24);
    plant_blade(sheet, curve_open(frame_identity(), "33 112, 28 119, 19 126, 9.4 125.6"), 2.2,
                1, 0.14);
    plant_blade(sheet, curve_open(frame_identity(), "36 112, 35 122, 36.4 130, 34.4 136"), 2.2,
                1, 0.2);
}

void print_river_trophy(Sheet *sheet) {
    ribbon_and_bow(sheet);
    sheet_group(sheet, "helmet");
    arms_helmet(sheet, frame_at(36.6, 43.4, 0.92, -4));
    hanging_ribbon(sheet);
    plumes(sheet);
    sheet_group(sheet, "cuirass");
    arms_cuirass(sheet, frame_at(37, 49, 0.94, 1.5));
    lower_arms(sheet);
    sheet_group(sheet, "sword-left");
    arms_sword(sheet, frame_at(8.4, 77.2, 0.88, -50), 56);
    sheet_group(sheet, "sword-right");
    arms_sword(sheet, frame_at(62.6, 80.4, 0.92, 45), 56);
    flag_left(sheet);
    flag_right(sheet);
    flag_staff(sheet, "staff-left", "10.2 20.6, 20 43, 38 84");
    flag_staff(sheet, "staff-right", "62.4 21.6, 54 43, 38 82");
    bulrushes(sheet);
    sheet_group(sheet, "halberd");
    arms_halberd(sheet, frame_at(22.4, 30.6, 0.86, -9.5), 118);
    sheet_group(sheet, "partisan");
    arms_partisan(sheet, frame_at(67.2, 35.6, 0.78, 9.5), 120);
    sheet_group(sheet, "trident");
    arms_trident(sheet, frame_at(63.8, 97.2, 0.7, 58), 50);
    sheet_group(sheet, "oar");
    arms_oar(sheet, frame_at(55.4, 118.6, 0.86, 153), 70);
}
