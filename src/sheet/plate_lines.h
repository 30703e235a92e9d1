/* What every sheet shows of the plate's development: its own lines, their legend, its figures.
 * Internal to sheet/. */
#ifndef TAPUL_SHEET_PLATE_LINES_H
#define TAPUL_SHEET_PLATE_LINES_H

#include "sheet/layout.h"

#include <tapul/laying.h>

/* The metal laid flat, a little darker than the paper. */
#define TAPUL_PLATE_TINT ((TapulColour){0.955, 0.950, 0.938, 1})

/* Edge, seam, medial line or ridge, fields; in the developed frame, with edge from
 * tapul_carried_edge. What lies within the edge is drawn in the colour inner. */
void tapul_plate_lines(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                       TapulColour inner);

/* Their samples, on a patch of under unless its alpha is 0; returns the y below. */
double tapul_plate_legend(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, const TapulGround *ground,
                          TapulColour inner, TapulColour under);

/* Of a type plate fitted to measures, what that leaves unknown; returns the y below. */
double tapul_fit_caution(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, const TapulPlate *plate);

/* Blocks (columns.h) of rows: size and area, stretch. */
double tapul_plate_block(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, const TapulGround *ground);
double tapul_stretch_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, const TapulGround *ground);

#endif
