/* Forms: a shape drawn with contour and hatching, which then hides what lies behind it.
 * Also ribbons: shapes with a width that changes along an axis (blades, necks, poles). */
#ifndef ENGRAVER_FORM_H
#define ENGRAVER_FORM_H

#include "hatch.h"

typedef struct Form {
    double round, base, contrast, shadow; /* see Tone */
    double angle;                         /* of the hatching, degrees */
    double bow;                           /* of the hatching, mm */
    double spacing;
    double thick;
    double threshold;
    double cross_turn;      /* degrees from the first hatching to the second */
    double cross_threshold; /* above 1: no crossing lines */
    double light_width;     /* contour */
    double dark_width;
    double throws; /* length of the shadow it throws on what lies behind */
    double dots;
    int widths;         /* steps of line width, 3 if not given */
    const Curve *first; /* guides in place of angle and bow */
    const Curve *last;
    bool across;
    double bulge;
    double lean;
    bool no_contour;
    const Shape *rounded_on; /* the rounding follows this larger shape's edges instead */
    bool ramped;
    Point ramp_from, ramp_to;
    double ramp_start, ramp_end;
    const Curve *rail_from, *rail_to; /* see Tone */
    double rail_start, rail_end;
    double streak; /* level streaks, as on water and in skies */
    bool ruled;    /* see Hatch */
    const Spot *spots;
    guint spot_count;
} Form;

typedef struct Ribbon {
    Curve *axis;
    Curve *left;
    Curve *right;
    Shape *shape;
} Ribbon;

Form form_plain(void);
void form_draw(Sheet *sheet, const Shape *shape, const Form *form);
void form_hatch(Sheet *sheet, const Shape *shape, const Form *form);

/* Draws a closed shape given by its points. */
Shape *form_draw_text(Sheet *sheet, Frame frame, const char *points, const Form *form);

/* Widths as a profile "share width, ..." along the axis, in millimetres. */
Ribbon ribbon_new(Curve *axis, const char *widths, double scale);

/* Hatches across the ribbon with bowed rungs. */
void ribbon_draw(Sheet *sheet, const Ribbon *ribbon, const Form *form, double bulge,
                 double lean);

#endif
