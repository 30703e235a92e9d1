/* The plate's skin at a point: steel, what was bitten into it, and what the years did. */
#ifndef STUDIO_METAL_H
#define STUDIO_METAL_H

#include "adaptation.h"
#include "paper.h"
#include "years.h"

typedef struct Metal Metal;

/* Takes the etching. */
Metal *metal_new(Etching *etching);
void metal_free(Metal *metal);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Metal, metal_free)

typedef struct {
    Vec3 normal;        /* of the skin: bitten edges, ropes, rivets and dents tilt it */
    Vec3 grain;         /* along the polishing strokes */
    double rough_along; /* standard deviation of the facets' tilt, rad */
    double rough_across;
    Tint steel;    /* mirrored share */
    Tint coat;     /* reflected share of what lies on it: soot and oil, rust */
    double coated; /* 0 bare, 1 covered */
    double open;   /* 1 open to the light, less in grooves */
} Skin;

Skin metal_skin(const Metal *metal, Vec3 normal);

/* How well a line of the design is still to be seen at a place of the print: 0 to 1. */
double metal_line(const Metal *metal, Vec2 print_mm);

#endif
