/* What every sheet shows of the plate's development: its own lines, their legend, its figures.
 * Internal to sheet/. */
#ifndef TAPUL_SHEET_PLATE_LINES_H
#define TAPUL_SHEET_PLATE_LINES_H

#include "sheet/furniture.h"

#include <tapul/laying.h>

/* The metal laid flat, a little darker than the paper. */
#define TAPUL_PLATE_TINT ((TapulColour){0.955, 0.950, 0.938, 1})

/* The same blackened as an etched ground is, with the plate's lines and the design on it. */
#define TAPUL_ETCHED_GROUND ((TapulColour){0.125, 0.115, 0.105, 1})
#define TAPUL_ETCHED_LINE   ((TapulColour){0.52, 0.50, 0.47, 1})
#define TAPUL_ETCHED_INK    ((TapulColour){0.90, 0.89, 0.86, 1})

/* Edge, seam, medial line or ridge, fields; in the developed frame, with edge from
 * tapul_carried_edge. What lies within the edge is drawn in the colour inner. */
void tapul_plate_lines(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                       TapulColour inner);

/* The same in a group of scale page mm for one of its own, where they keep their thickness on
 * the page; fields FALSE leaves those out, which are drawn by the book and not on the metal. */
void tapul_plate_lines_at(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                          TapulColour inner, double scale, gboolean fields);

/* What they look like and are: fills samples, at most TAPUL_MOST_PLATE_SAMPLES, with those that the
 * plate has, and returns how many. */
#define TAPUL_MOST_PLATE_SAMPLES 4
int tapul_plate_samples(const TapulGround *ground, TapulColour inner, TapulColour under,
                        TapulSample *samples);

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
