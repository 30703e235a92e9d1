/* Scans to ink: opens the picture, finds the plate mark, sets the print frame, makes the paper
 * even, and has lines and areas found in what is left. The pixels are never resampled: lines
 * are found where the scanner saw them, and the frame's affine map straightens them. Stands
 * between the picture file and the ink. */
#include "ink/scan.h"

#include "ink/drawing.h"
#include "ink/figures.h"
#include "ink/lines.h"

#include <string.h>

#define MM_PER_INCH 25.4
#define SAUVOLA_R   128.0 /* half the range of grey, as Sauvola & Pietikainen 2000 have it */
/* Wide enough to see paper beside any line of an engraving (common practice, no source). */
#define WINDOW_MM          3.0
#define WINDOW_LEAST_PX    15
#define WINDOW_SMALLEST_PX 3
/* Paper darker than this is no paper, or was scanned without light: of full light. */
#define PAPER_LEAST 0.15
/* How far in from a plate mark that was found by its dent the dent itself may look like ink:
 * the copper's bevelled edge (common practice, no source). */
#define DENT_MM 0.7
/* Without a plate mark the lines tell how the sheet lay; slanting hatching must not: a sheet
 * laid on a scanner slips by less (common practice, no source). */
#define SLIP_RAD (2.5 * G_PI / 180)
/* A print has lines to tell; fewer pixels have none. */
#define SIDE_LEAST_PX 16

/* Share of the whole work that is done when a stage begins. */
#define OPENING 0.0
#define FINDING 0.2
#define EVENING 0.3
#define TRACING 0.4

static void tell(const TapulInkOptions *options, double fraction, const char *stage) {
    if (options->progress)
        options->progress(fraction, stage, options->progress_data);
}

static void tell_tracing(double fraction, const char *stage, gpointer data) {
    tell(data, TRACING + (1 - TRACING) * fraction, stage);
}

/* --- Opening --- */

/* The file's name comes before every message of the ink; the picture's own begin with it
 * already. */
static void pass_on(GError **error, const char *path, const GError *refused) {
    static const TapulInkError codes[] = {[TAPUL_PICTURE_ERROR_FILE] = TAPUL_INK_ERROR_FILE,
                                          [TAPUL_PICTURE_ERROR_FORMAT] = TAPUL_INK_ERROR_FILE,
                                          [TAPUL_PICTURE_ERROR_SIZE] = TAPUL_INK_ERROR_SIZE,
                                          [TAPUL_PICTURE_ERROR_DATA] = TAPUL_INK_ERROR_SYNTAX};
    g_autofree char *named = g_strdup_printf("%s: ", path);
    const char *message = refused->message;
    g_set_error_literal(error, TAPUL_INK_ERROR, codes[refused->code],
                        g_str_has_prefix(message, named) ? message + strlen(named) : message);
}

static gboolean is_in_picture(TapulVec2 px, const TapulPicture *picture) {
    return px.x >= 0 && px.y >= 0 && px.x <= picture->width_px && px.y <= picture->height_px;
}

static gboolean check_places(const TapulScanOptions *options, const TapulPicture *picture,
                             GError **error) {
    const struct {
        const char *name;
        TapulVec2 px;
        gboolean given;
    } places[] = {
        {"the ruler's end", options->ruler_from_px, options->ruler_mm > 0},
        {"the ruler's end", options->ruler_to_px, options->ruler_mm > 0},
        {"the crop's corner", options->crop_px.min, TRUE},
        {"the crop's corner", options->crop_px.max, TRUE},
    };
    for (guint i = 0; i < G_N_ELEMENTS(places); i++)
        if (places[i].given && !is_in_picture(places[i].px, picture)) {
            g_set_error(
                error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
                "%s at %g, %g lies outside the picture; permitted: 0 to %d, 0 to %d pixels",
                places[i].name, places[i].px.x, places[i].px.y, picture->width_px,
                picture->height_px);
            return FALSE;
        }
    return TRUE;
}

static gboolean check_enough_pixels(const TapulPicture *picture, GError **error) {
    if (MIN(picture->width_px, picture->height_px) >= SIDE_LEAST_PX)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "%d x %d pixels are too few to tell lines; permitted: at least %d each way",
                picture->width_px, picture->height_px, SIDE_LEAST_PX);
    return FALSE;
}

/* --- The plate mark --- */

/* Its proportions in pixels, 0 where not known. */
static double known_aspect(const TapulPicture *picture, const TapulInkOptions *options) {
    if (options->plate_mark_width_mm == 0)
        return 0;
    double aspect = options->plate_mark_width_mm / options->plate_mark_height_mm;
    return picture->dpi_x > 0 ? aspect * picture->dpi_x / picture->dpi_y : aspect;
}

static TapulCorners choose_mark(const TapulPixels *pixels, const TapulPicture *picture,
                                const TapulInkOptions *options, TapulScan *scan) {
    TapulBox crop = options->scan.crop_px;
    TapulCorners corners;
    if (crop.max.x > crop.min.x) {
        scan->mark_from = "crop_px";
        return (TapulCorners){
            {{crop.min.x, crop.max.y}, crop.max, {crop.max.x, crop.min.y}, crop.min}};
    }
    if (!options->scan.whole &&
        tapul_scan_find_mark(pixels, known_aspect(picture, options), &corners)) {
        scan->mark_from = "found";
        return corners;
    }
    scan->mark_from = options->scan.whole ? "the whole picture, as asked" : "the whole picture";
    /* Who gives the plate mark of a picture without one, or says it is the whole, has cropped
     * it to the mark. */
    gboolean cropped = options->scan.whole || options->plate_mark_width_mm > 0;
    double skew_rad = cropped ? 0 : tapul_scan_find_skew_rad(pixels);
    if (fabs(skew_rad) > SLIP_RAD)
        skew_rad = 0;
    return tapul_scan_whole(picture->width_px, picture->height_px, skew_rad);
}

/* --- The ink --- */

static TapulLinesOptions lines_options(const TapulInkOptions *options, TapulScan *scan) {
    TapulLinesOptions lines = tapul_lines_options_defaults();
    double px_per_mm = scan->dpi / MM_PER_INCH;
    double window_mm = options->scan.window_mm;
    int least_px = window_mm > 0 ? WINDOW_SMALLEST_PX : WINDOW_LEAST_PX;
    /* Odd, so that it has a middle pixel. */
    lines.window_px =
        MAX((int)lround((window_mm > 0 ? window_mm : WINDOW_MM) * px_per_mm), least_px) | 1;
    lines.sauvola_k = scan->sauvola_k = options->scan.sauvola_k;
    lines.sauvola_r = scan->sauvola_r = SAUVOLA_R;
    lines.speck_px = options->scan.speck_mm * px_per_mm;
    lines.areas_only = scan->areas_only = options->scan.areas_only;
    lines.progress = tell_tracing;
    lines.progress_data = (gpointer)options;
    scan->window_px = lines.window_px;
    return lines;
}

static TapulInk *new_ink(const TapulPicture *picture) {
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    ink->skipped = g_ptr_array_new_with_free_func(tapul_skipped_free);
    ink->scan = g_new0(TapulScan, 1);
    ink->scan->path = g_strdup(picture->path);
    ink->scan->kind = picture->kind;
    ink->scan->converted = picture->converted;
    ink->scan->pages = picture->pages;
    ink->scan->width_px = picture->width_px;
    ink->scan->height_px = picture->height_px;
    return ink;
}

static gboolean check_paper(const TapulScan *scan, GError **error) {
    if (scan->paper_grey >= PAPER_LEAST)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
                "it is dark throughout: what is lightest in it has %.2f of full light; "
                "permitted: at least %g",
                scan->paper_grey, PAPER_LEAST);
    return FALSE;
}

/* What lies beyond the plate mark, margins and the scanner's bed, is made paper: a dark bed
 * round the sheet would else be one large area whose middle lies in the print. */
static void clear_beyond_mark(TapulPixels *grey, const TapulInk *ink) {
    const TapulScan *scan = ink->scan;
    double rim_mm = g_str_equal(scan->mark_from, "found") ? DENT_MM : 0;
    double det = tapul_vec2_cross(scan->px_by_x, scan->px_by_y);
    TapulVec2 mm_by_column = {scan->px_by_y.y / det, -scan->px_by_x.y / det};
    TapulVec2 mm_by_row = {-scan->px_by_y.x / det, scan->px_by_x.x / det};
#pragma omp parallel for schedule(static)
    for (int row = 0; row < grey->height_px; row++) {
        guint8 *line = grey->data + (gsize)row * (gsize)grey->width_px;
        TapulVec2 off = {0.5 - scan->origin_px.x, row + 0.5 - scan->origin_px.y};
        TapulVec2 start = tapul_vec2_add(tapul_vec2_scale(mm_by_column, off.x),
                                         tapul_vec2_scale(mm_by_row, off.y));
        for (int column = 0; column < grey->width_px; column++) {
            TapulVec2 mm = tapul_vec2_add(start, tapul_vec2_scale(mm_by_column, column));
            if (!(mm.x >= rim_mm && mm.x <= ink->width_mm - rim_mm && mm.y >= rim_mm &&
                  mm.y <= ink->height_mm - rim_mm))
                line[column] = 255;
        }
    }
}

static gboolean trace(TapulInk *ink, TapulPixels *pixels, const TapulInkOptions *options,
                      GError **error) {
    TapulScan *scan = ink->scan;
    tell(options, EVENING, "making the paper even");
    tapul_scan_even_paper(pixels, scan->dpi / MM_PER_INCH, scan);
    clear_beyond_mark(pixels, ink);
    const TapulGreyImage image = {pixels->width_px, pixels->height_px, pixels->data,
                                  scan->origin_px,  scan->px_by_x,     scan->px_by_y};
    const TapulLinesOptions lines = lines_options(options, scan);
    if (!check_paper(scan, error) || !tapul_lines_from_grey(&image, &lines, ink, error))
        return FALSE;
    g_autoptr(GPtrArray) no_motifs = g_ptr_array_new();
    tapul_ink_measure(ink);
    tapul_ink_list_motifs(ink, no_motifs);
    if (ink->strokes + ink->fills > 0)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_EMPTY,
                "no ink is found on the paper: nothing within the plate mark is darker than "
                "its surroundings");
    return FALSE;
}

TapulInk *tapul_scan_read(const char *path, const TapulInkOptions *options, GError **error) {
    g_autoptr(GError) refused = NULL;
    if (!tapul_scan_check_options(options, error))
        return NULL;
    tell(options, OPENING, "reading the picture");
    g_autoptr(TapulPicture) picture = tapul_picture_open(path, &refused);
    if (picture &&
        (!check_enough_pixels(picture, error) || !check_places(&options->scan, picture, error)))
        return NULL;
    g_autoptr(TapulPixels) pixels = picture ? tapul_picture_decode(picture, &refused) : NULL;
    if (!pixels) {
        pass_on(error, path, refused);
        return NULL;
    }
    tell(options, FINDING, "finding the plate mark");
    g_autoptr(TapulInk) ink = new_ink(picture);
    TapulCorners corners = choose_mark(pixels, picture, options, ink->scan);
    if (!tapul_scan_set_frame(ink->scan, ink, picture, &corners, options, error) ||
        !trace(ink, pixels, options, error))
        return NULL;
    return g_steal_pointer(&ink);
}
