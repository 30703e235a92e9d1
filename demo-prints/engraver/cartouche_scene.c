/* The scene of the reed cartouche: a heron in shallow water among reeds and bulrushes.
 * Drawn from the near blades back to the sky, all within the oval. */
#include "cartouche_scene.h"

#include "bird.h"
#include "plant.h"
#include "scenery.h"

static void scene_plants(Sheet *sheet) {
    static const char *const blades[] = {
        "30 90, 31.4 78, 35.4 68, 40.6 64", "27.6 88, 27 72, 29 58, 33.6 47",
        "33 92, 36 84, 41 80, 46.6 81",     "25.4 86, 25.6 70, 24.8 58, 26.4 50",
        "65 88, 63.6 76, 60 68, 54.8 66.6", "62 92, 60.6 84, 57 80.6, 52.4 82",
        "67.4 84, 67.6 70, 66 58, 61.4 49", "29.4 90, 28 80, 24.4 72, 23.6 68",
        "30.6 90, 33 82, 33.4 76, 32 70",   "64 90, 66.4 80, 67.6 74, 67 68",
        "35 92, 34 86, 35.4 82, 37.6 79.6", "60 92, 61.4 87, 60.4 83.6, 58.4 81.6",
    };
    static const double widths[] = {1.6, 1.7, 1.4, 1.3, 1.6, 1.4, 1.6, 1.3, 1.2, 1.2, 1, 1};
    sheet_group(sheet, "reeds");
    for (int i = 0; i < 12; i++)
        plant_blade(sheet, curve_open(frame_identity(), blades[i]), widths[i],
                    i % 3 == 0 ? -1 : 1, 0.08 + 0.03 * i);
    sheet_group(sheet, "bulrushes");
    plant_bulrush(sheet, curve_open(frame_identity(), "31.6 90, 31 70, 32 52, 34.6 39"), 2.1,
                  0.16);
    plant_bulrush(sheet, curve_open(frame_identity(), "63.4 90, 64.4 72, 63 58, 62.6 44.4"), 2,
                  0.17);
    plant_bulrush(sheet, curve_open(frame_identity(), "28.4 88, 28.6 72, 27.4 60, 27.4 50"),
                  1.7, 0.17);
}

void cartouche_scene(Sheet *sheet, Point middle) {
    sheet->window = shape_new(curve_oval(&sheet->hand, middle, 23, 29, 0, 0));
    scene_plants(sheet);
    sheet_group(sheet, "heron");
    bird_heron(sheet, frame_mirrored(49.5, 81, 1.06, 1));
    sheet_group(sheet, "ripples");
    scenery_ripples(sheet, (Point){48.6, 81.6}, 5.4, 3);
    scenery_ripples(sheet, (Point){52, 81}, 4.4, 2);
    sheet_group(sheet, "far-bank");
    scenery_thicket(sheet, 22, 40, 68.5, 3.4);
    scenery_thicket(sheet, 56, 70, 68.5, 4.2);
    scenery_thicket(sheet, 36, 60, 68.5, 1.3);
    sheet_group(sheet, "water");
    scenery_water(sheet, scenery_box(22, 68.4, 70, 93), 0.36);
    sheet_group(sheet, "sky");
    scenery_sky(sheet, scenery_box(22, 33, 70, 66), 0.7, 0.5);
    sheet->window = NULL;
}
