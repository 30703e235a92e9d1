/* From a scan's evened grey pixels to ink: threshold, specks, areas, centre lines with their
 * width. Stands behind the cleaning of the scan, which makes the pixels. */
#ifndef TAPUL_INK_LINES_H
#define TAPUL_INK_LINES_H

#include <tapul/ink.h>

G_BEGIN_DECLS

/* Pixel frame: x right, y down, the first pixel's centre at (0.5, 0.5). */
typedef struct {
    int width_px, height_px;
    const guint8 *grey; /* [height_px][width_px], 0 black, 255 white, paper even */
    TapulVec2 origin_px, px_by_x, px_by_y; /* px = origin + x_mm px_by_x + y_mm px_by_y */
} TapulGreyImage;

typedef struct {
    double sauvola_k; /* 0.2 */
    double sauvola_r; /* 128 */
    int window_px;    /* of the threshold, odd, at least 3 */
    double speck_px;  /* spots of ink and pinholes in it smaller across are left out; 0: none */
    gboolean areas_only; /* outlines of all ink; else lines become strokes with their width */
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulLinesOptions;

/* k 0.2, R 128, window 71 px (3 mm at 600 dpi), specks of 2 px. */
TapulLinesOptions tapul_lines_options_defaults(void);

/* Appends to ink->marks, mm, what the picture shows: fills for areas, strokes with round caps
 * for lines, each with the one width it has along its length; lines run whole over crossings.
 * Only marks whose middle lies within [0, width_mm] x [0, height_mm] of ink are kept. Adds what
 * was left out to ink->scan->specks where there is a scan. The result does not depend on the
 * number of threads. Error: TAPUL_INK_ERROR_SIZE (memory). */
gboolean tapul_lines_from_grey(const TapulGreyImage *image, const TapulLinesOptions *options,
                               TapulInk *ink, GError **error);

G_END_DECLS

#endif
