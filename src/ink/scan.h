/* Scans to ink, first half: a picture opened, its plate mark found, its frame set, its paper
 * made even. The second half is ink/lines.h. */
#ifndef TAPUL_INK_SCAN_H
#define TAPUL_INK_SCAN_H

#include "base/picture.h"

#include <tapul/ink.h>

G_BEGIN_DECLS

/* The whole road: a picture file becomes ink. Errors of TAPUL_INK_ERROR, without the file's
 * name. */
TapulInk *tapul_scan_read(const char *path, const TapulInkOptions *options, GError **error);

/* --- Options (scan_options.c) --- */

/* TRUE where something is set that only a scan can bear. */
gboolean tapul_scan_options_are_set(const TapulScanOptions *options);
/* Ranges, and what excludes each other. */
gboolean tapul_scan_check_options(const TapulInkOptions *options, GError **error);

/* --- Plate mark (scan_mark.c, scan_side.c) --- */

/* Corners of a print in its scan, from the lower left counter-clockwise (as a person sees
 * them), px. */
typedef struct {
    TapulVec2 px[4];
} TapulCorners;

/* Finds the dent of the copper's edge in a picture of 1 or 3 bands; aspect: its width over its
 * height, where known, else 0. FALSE where no rectangle is found with confidence. */
gboolean tapul_scan_find_mark(const TapulPixels *pixels, double aspect, TapulCorners *corners);
/* By how much the picture's lines lie turned, counter-clockwise; 0 where they have no common
 * direction. */
double tapul_scan_find_skew_rad(const TapulPixels *pixels);

/* Moves a side, given by its ends, to where the pixels show it best: by 6 units at most, dents
 * being about two units wide. FALSE where they show nothing that stands out from the paper. */
gboolean tapul_scan_refine_side(const TapulPixels *pixels, double unit_px, TapulVec2 end_px[2]);

/* The middle of the dent whose profile is tone[n] at place[n], looked for within reach of near
 * (scan_dent.c). */
double tapul_scan_dent_middle(const double *place, const double *tone, int n, double near,
                              double reach);

/* --- Frame (scan_frame.c) --- */

/* Corners of the whole picture, or of the least rectangle around it that lies turned. */
TapulCorners tapul_scan_whole(int width_px, int height_px, double skew_rad);
/* Sets the affine map, the resolution and the skew of scan, and the size of ink, from the
 * corners and the scale asked for. Errors: SIZE, SCAN. */
gboolean tapul_scan_set_frame(TapulScan *scan, TapulInk *ink, const TapulPicture *picture,
                              const TapulCorners *corners, const TapulInkOptions *options,
                              GError **error);

/* --- Paper (scan_paper.c) --- */

/* Replaces pixels[1 or 3 bands] by one band in which the paper is white everywhere, its stains
 * too; counts them in scan, and its tone. */
void tapul_scan_even_paper(TapulPixels *pixels, double px_per_mm, TapulScan *scan);

G_END_DECLS

#endif
