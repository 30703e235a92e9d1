/* Where everything of a sheet stands on one format of paper. Internal to sheet/. */
#ifndef TAPUL_SHEET_PLAN_H
#define TAPUL_SHEET_PLAN_H

#include "sheet/layout.h"

typedef struct {
    TapulFormat format;
    TapulBox figure;                            /* labels and scale bar included */
    double reduction;                           /* of the insets, 1 : reduction */
    TapulVec2 inset_at[TAPUL_MOST_INSETS];      /* lower left of each, without its caption */
    double caption_width_mm[TAPUL_MOST_INSETS]; /* captions stand below their insets */
    TapulBox words;
    double merit; /* of two plans the better one has more; -INFINITY: nothing fits */
} TapulPlan;

/* The best plan on a format, below the title that ends at top_mm. */
TapulPlan tapul_plan_best(const TapulComposition *composition, const TapulFormat *format,
                          double top_mm);

/* Room left above and below the figure and around its scale bar (for drawing). */
double tapul_plan_pad_mm(const TapulComposition *composition, const TapulFormat *format);
double tapul_plan_bar_mm(const TapulFormat *format);

/* An inset's caption with its scale; owned. */
char *tapul_inset_caption(const TapulInset *inset, double reduction);

/* From an inset's lower edge to its caption, in ems. */
#define TAPUL_CAPTION_GAP_EMS 0.8

#endif
