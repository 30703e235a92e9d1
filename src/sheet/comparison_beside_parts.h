/* The side-by-side page's parts: what it says, and how its three figures are arranged. Internal
 * to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_BESIDE_PARTS_H
#define TAPUL_SHEET_COMPARISON_BESIDE_PARTS_H

#include "sheet/comparison_row.h"

typedef enum { BESIDE_PRINT, BESIDE_OVERLAY, BESIDE_PLATE, BESIDE_FIGURES } TapulBesideFigure;

/* One page: a laying, and what its figures cover. */
typedef struct {
    int laying, print;
    TapulBox region_mm; /* of the development, with some air about what is laid */
    TapulFigure *figure[BESIDE_FIGURES]; /* owned, as all texts below */
    /* Of captions, and for those who cannot see the figure. */
    char *label[BESIDE_FIGURES], *text[BESIDE_FIGURES], *alternative[BESIDE_FIGURES];
    char *scale_label; /* goes before the scale, at the end of the print's caption */
} TapulBesidePage;

/* Where each figure stands. */
typedef struct {
    double scale;
    int n_rows;
    int n_cells[BESIDE_FIGURES];                             /* [n_rows] */
    TapulBesideFigure shown[BESIDE_FIGURES][BESIDE_FIGURES]; /* [n_rows][n_cells] */
    TapulRowCell cells[BESIDE_FIGURES][BESIDE_FIGURES]; /* the same; their words borrowed */
} TapulBesidePlan;

/* The plan that gives the figures the largest round scale in body, and among those the one that
 * suits the paper best. FALSE: none holds them with all their words. */
gboolean tapul_beside_plan(const TapulComparisonBook *book, const TapulBesidePage *beside,
                           TapulBox body, TapulBesidePlan *plan);

#endif
