/* What stands around a figure: rules, headings, legend, rows of figures, the scale bar.
 * Internal to sheet/.
 *
 * All set text from the top of `at` down and return the y below what they set; with page NULL
 * they only measure. */
#ifndef TAPUL_SHEET_FURNITURE_H
#define TAPUL_SHEET_FURNITURE_H

#include "sheet/layout.h"

/* Secondary text and hairlines: a warm grey that passes 4.5:1 on the paper (WCAG 2). */
#define TAPUL_QUIET       ((TapulColour){0.40, 0.38, 0.36, 1})
#define TAPUL_NO_COLOUR   ((TapulColour){0, 0, 0, 0})
#define TAPUL_HAIRLINE_MM 0.13 /* ISO 128 */

#define TAPUL_SCALE_BAR_WIDTH_MM   110.0 /* with its figures */
#define TAPUL_SCALE_BAR_HEIGHT_EMS 4.2

TapulPath *tapul_box_path(TapulBox box);
void tapul_rule(TapulPage *page, TapulVec2 at, double width_mm);

double tapul_set_paragraph(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                           const TapulType *type);
/* Small capitals over a hairline. */
double tapul_set_heading(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                         const TapulFormat *format);
/* A name to the left, its value to the right. */
double tapul_set_row(TapulPage *page, TapulVec2 at, double width_mm, const char *name,
                     const char *value, const TapulFormat *format);

/* The same, of a printf value. */
double tapul_set_figure(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, const char *name, const char *value_format,
                        ...) G_GNUC_PRINTF(6, 7);

/* A line (a flourish where it stands for a design, a framed patch where for a picture) as it is
 * drawn in the figure, and what it stands for. */
typedef enum {
    TAPUL_SAMPLE_LINE,
    TAPUL_SAMPLE_FLOURISH,
    TAPUL_SAMPLE_PICTURE,
    TAPUL_SAMPLE_PAIR
} TapulSampleKind;
typedef struct {
    TapulSampleKind kind;
    TapulPen pen;
    TapulColour ground; /* drawn under it; alpha 0: the paper */
    const char *text;
} TapulSample;
double tapul_set_sample(TapulPage *page, TapulVec2 at, double width_mm, TapulSample sample,
                        const TapulFormat *format);

/* 100 mm in tenths, its left end at.x, the bottom of its room at.y. */
void tapul_scale_bar(TapulPage *page, TapulVec2 at, const TapulFormat *format);

/* A picked pair: a ring with a cross, on a halo of the ground. */
void tapul_draw_pair(TapulPage *page, TapulVec2 at, double radius_mm, TapulColour colour,
                     TapulColour ground);

#endif
