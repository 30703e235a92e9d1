/* The rectified sheets' parts: hatching, marks of points, words. Internal to sheet/. */
#ifndef TAPUL_SHEET_RECTIFIED_PARTS_H
#define TAPUL_SHEET_RECTIFIED_PARTS_H

#include "sheet/layout.h"

#include <tapul/sheets.h>

/* Hatching says what is not seen well, and how: lines to the right for what is seen at a slant
 * only, crossed lines for what no photograph shows. Drawn in the developed frame, scale page mm
 * for a mm of it. */
void tapul_draw_unseen(TapulPage *page, const TapulRectified *rectified, double scale);
/* Their samples (furniture.h), those that occur; returns the y below. */
double tapul_unseen_legend(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, const TapulRectified *rectified);

/* The rectified picture with no more pixels than most and no finer than dpi: RGBA, owned. */
guint8 *tapul_rectified_reduced(const TapulRectified *rectified, double dpi, double most_pixels,
                                int *width_px, int *height_px);

/* The points that the cameras were found from, each with its number, in the developed frame;
 * labels keep within room. */
void tapul_draw_sights(TapulPage *page, const TapulRectifiedSheet *sheet, TapulBox room,
                       const TapulFormat *format);

/* The number of a point of that name: by first appearance in the photographs, from 1. */
int tapul_sight_number(const TapulRectifiedSheet *sheet, const char *name);

/* Blocks (columns.h); data is a TapulRectifiedSheet. */
double tapul_cameras_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data);
double tapul_sights_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data);
double tapul_seen_block(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, gconstpointer data);

#endif
