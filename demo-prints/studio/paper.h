/* Laid paper, four hundred years old: what it is without the print. */
#ifndef STUDIO_PAPER_H
#define STUDIO_PAPER_H

#include "raster.h"

typedef struct {
    double red, green, blue; /* reflected share, linear */
} Tint;

static inline Tint tint_by(Tint tint, double red, double green, double blue) {
    return (Tint){tint.red * red, tint.green * green, tint.blue * blue};
}

typedef struct Paper Paper;

/* A sheet of this size, its lower left corner at the origin. */
Paper *paper_new(double width_mm, double height_mm);
void paper_free(Paper *paper);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Paper, paper_free)

/* How far within the sheet's worn edge, negative outside; mm. */
double paper_inside_mm(const Paper *paper, Vec2 at_mm);

/* pressed: 0 to 1, how smooth the press has left it. */
Tint paper_tint(const Paper *paper, Vec2 at_mm, double pressed);

/* In [-1, 1]: high where the sheet takes ink well, fibre by fibre. */
double paper_tooth(Vec2 at_mm);

#endif
