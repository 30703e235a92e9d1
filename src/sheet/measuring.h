/* The parts of the measuring sheet: what is asked of a plate, the form's furniture, the line
 * drawing, the tables, the instructions. Internal to sheet/. */
#ifndef TAPUL_SHEET_MEASURING_H
#define TAPUL_SHEET_MEASURING_H

#include "sheet/furniture.h"
#include "sheet/level.h"
#include "sheet/outline_points.h"

typedef struct {
    const TapulPlate *plate;
    TapulFormat format;
    gboolean stations;     /* made from level cuts: each level has readings */
    gboolean closed;       /* goes right round */
    gboolean half;         /* the points of the outline are those of its right half */
    GArray *levels;        /* of TapulLevel, from the lower edge up */
    GArray *points;        /* of TapulOutlinePoint; empty where the kind tells the outline */
    guint section;         /* the level that is drawn from below */
    double section_high_z; /* how far forward its metal comes */
    TapulVec3 low, high;   /* the type plate's extent; low.z is where the board stands */
} TapulMeasuring;

/* Lines to write on stand at least this far apart (common practice for forms, no source). */
#define TAPUL_WRITING_MM 8.0
/* Hints are printed paler than what is read first; 4.5:1 on white all the same (WCAG 2). */
#define TAPUL_HINT ((TapulColour){0.45, 0.44, 0.42, 1})

/* --- The form's furniture; all set from the top of `at` down and return the y below. --- */

void tapul_form_line(TapulPage *page, TapulVec2 from, TapulVec2 to, double width_mm,
                     TapulColour colour);
/* A name, and a line to write on. */
double tapul_form_blank(TapulPage *page, TapulVec2 at, double width_mm, const char *name,
                        const TapulFormat *format);
/* Blanks side by side in so many columns, row by row; names[n]. */
double tapul_form_blanks(TapulPage *page, TapulVec2 at, double width_mm,
                         const char *const *names, int n, int columns,
                         const TapulFormat *format);

/* --- The parts --- */

/* Front, side and one level from below, all at one scale, in the room; returns the y below. */
double tapul_measuring_figure(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);

/* The rows of levels from first on that there is room for; the number of the next row. Returns
 * the y below. */
double tapul_measuring_levels(TapulPage *page, TapulBox room, const TapulMeasuring *measuring,
                              guint first, guint *next);
double tapul_measuring_points(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);
double tapul_measuring_checks(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);

/* Lines to write on, down to the bottom of the room. */
double tapul_measuring_remarks(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);

/* Numbered instructions in two columns; with page NULL only measured. */
double tapul_measuring_steps(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);
/* How to type the figures, with a small file. */
double tapul_measuring_typing(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);
/* That file, as it would be typed; a plate of its own. */
const char *tapul_measuring_example(const TapulMeasuring *measuring);

#endif
