/* Tone: how dark a place on a form should be, from its roundness, the light from the upper
 * left, a local colour, a ramp drawn by hand, and the shadows thrown by forms in front. */
#ifndef ENGRAVER_TONE_H
#define ENGRAVER_TONE_H

#include "sheet.h"

/* A hollow or a swelling: darkness added round a place, fading to nothing at the radius. */
typedef struct Spot {
    Point centre;
    double radius;
    double strength;
} Spot;

typedef struct Tone {
    const Shape *shape; /* rounded over toward its edges; NULL for flat ground */
    double round;       /* how far in from the edge the rounding reaches, mm */
    double base;        /* local colour, 0 white to 1 black */
    double contrast;    /* how strongly light and shade tell */
    double shadow;      /* how strongly thrown shadows tell */
    bool ramped;        /* a slow change added from one place to another */
    Point ramp_from;
    Point ramp_to;
    double ramp_start;
    double ramp_end;
    const Curve *rail_from; /* a fold: tone changes from one long edge to the other */
    const Curve *rail_to;
    double rail_start;
    double rail_end;
    double streak; /* level streaks of light and dark, for water and sky */
    const Spot *spots;
    guint spot_count;
} Tone;

double tone_at(const Sheet *sheet, const Tone *tone, Point point);

#endif
