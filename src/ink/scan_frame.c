/* The print frame of a scan: an affine map between mm of the print and pixels, from the corners
 * of the plate mark and what gives the scale. The pixels stay as they are; the map straightens
 * what is found in them. Stands between the finding of the plate mark and the making of ink. */
#include "ink/drawing.h"
#include "ink/scan.h"

#define MM_PER_INCH 25.4
/* Paper shrinks by 1 to 2 % from the copper, and not evenly (common practice, no source; the
 * header promises it). */
#define ASPECT_TOLERANCE 0.02
/* Coarser than any scan of lines, finer than any scanner. */
#define DPI_LEAST 20.0
#define DPI_MOST  10000.0

TapulCorners tapul_scan_whole(int width_px, int height_px, double skew_rad) {
    double c = cos(fabs(skew_rad)), s = sin(fabs(skew_rad));
    double half_width = (width_px * c + height_px * s) / 2,
           half_height = (width_px * s + height_px * c) / 2;
    const TapulVec2 middle = {width_px / 2.0, height_px / 2.0};
    const TapulVec2 across = {half_width * cos(skew_rad), -half_width * sin(skew_rad)};
    const TapulVec2 down = {half_height * sin(skew_rad), half_height * cos(skew_rad)};
    const TapulVec2 left = tapul_vec2_sub(middle, across),
                    right = tapul_vec2_add(middle, across);
    return (TapulCorners){{tapul_vec2_add(left, down), tapul_vec2_add(right, down),
                           tapul_vec2_sub(right, down), tapul_vec2_sub(left, down)}};
}

/* The mean of two opposite sides. */
static TapulVec2 mean_side(TapulVec2 from_1, TapulVec2 to_1, TapulVec2 from_2, TapulVec2 to_2) {
    return tapul_vec2_scale(
        tapul_vec2_add(tapul_vec2_sub(to_1, from_1), tapul_vec2_sub(to_2, from_2)), 0.5);
}

/* Pixels to the mm, across and down the picture, where the plate mark does not give them. */
static gboolean choose_scale(TapulScan *scan, const TapulPicture *picture,
                             const TapulScanOptions *options, TapulVec2 *px_per_mm,
                             GError **error) {
    if (options->dpi > 0) {
        scan->scale_from = "dpi";
        *px_per_mm = tapul_vec2(options->dpi / MM_PER_INCH, options->dpi / MM_PER_INCH);
    } else if (options->ruler_mm > 0) {
        double scale = tapul_vec2_distance(options->ruler_from_px, options->ruler_to_px) /
                       options->ruler_mm;
        scan->scale_from = "ruler";
        *px_per_mm = tapul_vec2(scale, scale);
    } else if (picture->dpi_x > 0) {
        scan->scale_from = "the file's resolution";
        *px_per_mm = tapul_vec2(picture->dpi_x / MM_PER_INCH, picture->dpi_y / MM_PER_INCH);
    } else {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
                    "the scale is not known: the file tells no believable resolution (100 to "
                    "10000 to the inch); give "
                    "the plate mark's size, dpi or a ruler");
        return FALSE;
    }
    return TRUE;
}

static double length_in(TapulVec2 side_px, TapulVec2 px_per_mm) {
    return hypot(side_px.x / px_per_mm.x, side_px.y / px_per_mm.y);
}

/* The plate mark as given, if the scan's has its proportions. */
static gboolean size_by_mark(TapulInk *ink, const TapulPicture *picture, const char *mark_from,
                             TapulVec2 across_px, TapulVec2 up_px,
                             const TapulInkOptions *options, GError **error) {
    /* Pixels may be oblong; only their proportions count here. */
    TapulVec2 pixel =
        picture->dpi_x > 0 ? tapul_vec2(picture->dpi_x, picture->dpi_y) : tapul_vec2(1, 1);
    double width = length_in(across_px, pixel), height = length_in(up_px, pixel);
    double off =
        width / height / (options->plate_mark_width_mm / options->plate_mark_height_mm) - 1;
    if (fabs(off) > ASPECT_TOLERANCE) {
        g_set_error(
            error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
            "plate mark %g x %g mm has other proportions than the scan's (%s), %.0f x %.0f "
            "pixels: they differ "
            "by %.1f %%; permitted: %g %%; a crop can tell which part of the picture it is",
            options->plate_mark_width_mm, options->plate_mark_height_mm, mark_from,
            tapul_vec2_length(across_px), tapul_vec2_length(up_px), 100 * fabs(off),
            100 * ASPECT_TOLERANCE);
        return FALSE;
    }
    ink->width_mm = options->plate_mark_width_mm;
    ink->height_mm = options->plate_mark_height_mm;
    return TRUE;
}

static gboolean check_dpi(const TapulScan *scan, GError **error) {
    if (scan->dpi >= DPI_LEAST && scan->dpi <= DPI_MOST)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
                "by the %s the scan has %g pixels to the inch; permitted: %g to %g",
                scan->scale_from, scan->dpi, DPI_LEAST, DPI_MOST);
    return FALSE;
}

gboolean tapul_scan_set_frame(TapulScan *scan, TapulInk *ink, const TapulPicture *picture,
                              const TapulCorners *corners, const TapulInkOptions *options,
                              GError **error) {
    const TapulVec2 *at = corners->px;
    TapulVec2 across_px = mean_side(at[0], at[1], at[3], at[2]),
              up_px = mean_side(at[0], at[3], at[1], at[2]);
    if (options->plate_mark_width_mm > 0) {
        scan->scale_from = "plate_mark_mm";
        if (!size_by_mark(ink, picture, scan->mark_from, across_px, up_px, options, error))
            return FALSE;
    } else {
        TapulVec2 px_per_mm;
        if (!choose_scale(scan, picture, &options->scan, &px_per_mm, error))
            return FALSE;
        ink->width_mm = length_in(across_px, px_per_mm);
        ink->height_mm = length_in(up_px, px_per_mm);
    }
    scan->px_by_x = tapul_vec2_scale(across_px, 1 / ink->width_mm);
    scan->px_by_y = tapul_vec2_scale(up_px, 1 / ink->height_mm);
    TapulVec2 middle = tapul_vec2_scale(
        tapul_vec2_add(tapul_vec2_add(at[0], at[1]), tapul_vec2_add(at[2], at[3])), 0.25);
    scan->origin_px =
        tapul_vec2_sub(middle, tapul_vec2_scale(tapul_vec2_add(across_px, up_px), 0.5));
    /* Both directions tell the skew; y runs down in the picture, up in the print. */
    TapulVec2 right_px = tapul_vec2_add(across_px, tapul_vec2(-up_px.y, up_px.x));
    scan->skew_rad = atan2(-right_px.y, right_px.x);
    scan->dpi =
        MM_PER_INCH * (tapul_vec2_length(scan->px_by_x) + tapul_vec2_length(scan->px_by_y)) / 2;
    return check_dpi(scan, error) &&
           tapul_drawing_check_size(ink->width_mm, ink->height_mm, error);
}

TapulVec2 tapul_scan_pixel(const TapulScan *scan, TapulVec2 print_mm) {
    return tapul_vec2_add(scan->origin_px,
                          tapul_vec2_add(tapul_vec2_scale(scan->px_by_x, print_mm.x),
                                         tapul_vec2_scale(scan->px_by_y, print_mm.y)));
}
