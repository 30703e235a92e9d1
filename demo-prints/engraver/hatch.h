/* Hatching: families of lines that follow a form, each drawn only where the tone asks for it,
 * growing with the shade and breaking into touches and dots toward the light. */
#ifndef ENGRAVER_HATCH_H
#define ENGRAVER_HATCH_H

#include "tone.h"

typedef struct Hatch {
    const Curve *first; /* the guides: lines lie between them, or run from one to the other */
    const Curve *last;
    bool across;      /* lines run from first to last, like rungs */
    double bulge;     /* how far rungs bow, as a share of their length */
    double lean;      /* how far the far end of a rung is shifted along, as a share */
    double spacing;   /* mm */
    double gather;    /* above 1, lines crowd toward the first guide */
    double thin;      /* line width where tone is at the threshold */
    double thick;     /* line width in full shade */
    double threshold; /* no line where the tone is below this */
    double full;      /* tone of full width */
    double unsteady;  /* mm of slow drift */
    int widths;       /* how many steps of line width are used */
    double dots;      /* chance 0..1 that a line ends in touches */
    bool ruled;       /* long lines ruled by hand: they sag, are lifted and set in again */
} Hatch;

Hatch hatch_plain(double spacing);

/* Guides for straight or evenly bowed lines over a whole shape. */
void hatch_rule(Hatch *hatch, const Shape *shape, double degrees, double bow);

void hatch_shape(Sheet *sheet, const Shape *shape, const Hatch *hatch, const Tone *tone);

#endif
