#include "marks.h"

const Mark mark_rivets[MARK_N_RIVETS] = {
    {"rivet, viewer's right", 61.9, 2.4},
    {"rivet, upper right", 62.2, 46.1},
    {"rivet, top", 61.8, 91.3},
    {"rivet, upper left", 62.1, 134.2},
    {"rivet, viewer's left", 62.3, 181.7},
    {"rivet, lower left", 61.7, 224.0},
    {"rivet, bottom", 62.0, 268.6},
    {"rivet, lower right", 62.2, 316.5},
};

const Mark mark_punches[MARK_N_PUNCHES] = {
    {"punch dot, forehead", 9.2, 97.0},
    {"punch dot, cheek, viewer's left", 14.6, 199.0},
    {"punch dot, cheek, viewer's right", 13.9, 334.0},
    {"punch dot, upper strap", 35.6, 71.0},
    {"punch dot, left tail", 30.5, 158.0},
    {"punch dot, right tail", 31.2, 21.5},
    {"punch dot, lower left", 47.5, 238.5},
    {"punch dot, lower right", 46.8, 301.0},
};

Vec3 mark_normal(const Mark *mark) {
    return cap_normal_polar(mark->distance_mm, mark->angle_deg * M_PI / 180);
}
