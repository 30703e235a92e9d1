#include "landmarks.h"

/* Picked by eye from the print, to 0.1 mm. */
const Landmark landmarks[N_LANDMARKS] = {
    {"pupil, left eye", {34.0, 40.5}, FALSE},
    {"pupil, right eye", {46.0, 40.5}, FALSE},
    {"left nostril", {37.2, 32.3}, FALSE},
    {"moustache, left tip", {26.2, 28.9}, FALSE},
    {"moustache, right tip", {53.6, 28.4}, FALSE},
    {"flower of the crown, middle", {40.8, 57.3}, FALSE},
    {"upper left scroll, middle", {10.4, 71.0}, FALSE},
    {"upper right scroll, middle", {69.7, 71.0}, FALSE},
    {"lower right scroll, middle", {69.6, 8.9}, FALSE},
    {"left tail, lower tip", {14.0, 32.5}, FALSE},
    {"right tail, lower tip", {65.1, 31.7}, FALSE},
    {"middle of the mouth's upper lip", {40.0, 28.6}, FALSE},
    {"upper jewel, upper left corner", {36.2, 75.9}, TRUE},
    {"upper jewel, lower right corner", {44.0, 71.5}, TRUE},
    {"lower jewel, lower left corner", {36.2, 4.2}, TRUE},
};

Vec3 landmark_normal(const Sheet *sheet, const Landmark *landmark) {
    Vec2 at_mm = landmark->print_mm;
    if (landmark->moved)
        at_mm = (Vec2){at_mm.x + adaptation_moved_mm.x, at_mm.y + adaptation_moved_mm.y};
    return cap_from_sheet(sheet, at_mm);
}
