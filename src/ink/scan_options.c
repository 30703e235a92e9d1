/* What may be asked of a scan: ranges, and what excludes each other. Serves the readers of
 * scans and of vector prints, which bear none of it. */
#include "ink/drawing.h"
#include "ink/scan.h"

#define DPI_LEAST      20.0
#define DPI_MOST       10000.0
#define RULER_LEAST_MM 0.1
#define RULER_MOST_MM  3000.0
/* A ruler read to a pixel at each end is then good to 5 %, no better than a guess. */
#define RULER_LEAST_PX  20.0
#define SAUVOLA_K_LEAST 0.01
#define SAUVOLA_K_MOST  0.9
#define WINDOW_LEAST_MM 0.1
#define WINDOW_MOST_MM  50.0
#define SPECK_MOST_MM   5.0

static gboolean has_crop(const TapulScanOptions *scan) {
    return scan->crop_px.max.x != scan->crop_px.min.x ||
           scan->crop_px.max.y != scan->crop_px.min.y;
}

gboolean tapul_scan_options_are_set(const TapulScanOptions *scan) {
    const TapulScanOptions plain = tapul_ink_options_defaults().scan;
    return scan->dpi != 0 || scan->ruler_mm != 0 || has_crop(scan) || scan->whole ||
           scan->areas_only || scan->sauvola_k != plain.sauvola_k ||
           scan->window_mm != plain.window_mm || scan->speck_mm != plain.speck_mm;
}

static gboolean fault(GError **error, const char *format, ...) G_GNUC_PRINTF(2, 3);
static gboolean fault(GError **error, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_set_error_literal(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN, message);
    return FALSE;
}

static gboolean check_range(const char *name, double value, double least, double most,
                            const char *unit, GError **error) {
    return (value >= least && value <= most) ||
           fault(error, "%s %g%s; permitted: %g to %g%s", name, value, unit, least, most, unit);
}

static gboolean check_scale(const TapulInkOptions *options, GError **error) {
    const TapulScanOptions *scan = &options->scan;
    int given = (options->plate_mark_width_mm != 0) + (scan->dpi != 0) + (scan->ruler_mm != 0);
    if (given > 1)
        return fault(error, "%d of plate mark, dpi and ruler give a scale; permitted: one",
                     given);
    if (options->plate_mark_width_mm != 0 || options->plate_mark_height_mm != 0) {
        g_autoptr(GError) refused = NULL;
        if (!tapul_drawing_check_size(options->plate_mark_width_mm,
                                      options->plate_mark_height_mm, &refused))
            return fault(error, "plate mark: %s", refused->message);
    }
    if (scan->dpi != 0 && !check_range("dpi", scan->dpi, DPI_LEAST, DPI_MOST, "", error))
        return FALSE;
    if (scan->ruler_mm == 0)
        return TRUE;
    double length_px = tapul_vec2_distance(scan->ruler_from_px, scan->ruler_to_px);
    return check_range("ruler", scan->ruler_mm, RULER_LEAST_MM, RULER_MOST_MM, " mm", error) &&
           (length_px >= RULER_LEAST_PX ||
            fault(error, "ruler: its ends are %g pixels apart; permitted: at least %g",
                  length_px, RULER_LEAST_PX));
}

static gboolean check_crop(const TapulScanOptions *scan, GError **error) {
    TapulBox box = scan->crop_px;
    if (!has_crop(scan))
        return TRUE;
    if (scan->whole)
        return fault(error, "the whole picture and a crop are both asked for; permitted: one");
    return (box.max.x > box.min.x && box.max.y > box.min.y) ||
           fault(error,
                 "crop %g, %g, %g, %g is no box; permitted: left, top, right, bottom in pixels",
                 box.min.x, box.min.y, box.max.x, box.max.y);
}

gboolean tapul_scan_check_options(const TapulInkOptions *options, GError **error) {
    const TapulScanOptions *scan = &options->scan;
    if (options->page != 1)
        return fault(error, "page %d; permitted: 1, the file is no PDF", options->page);
    return check_scale(options, error) && check_crop(scan, error) &&
           check_range("k", scan->sauvola_k, SAUVOLA_K_LEAST, SAUVOLA_K_MOST, "", error) &&
           (scan->window_mm == 0 || check_range("window", scan->window_mm, WINDOW_LEAST_MM,
                                                WINDOW_MOST_MM, " mm", error)) &&
           check_range("speck", scan->speck_mm, 0, SPECK_MOST_MM, " mm", error);
}
