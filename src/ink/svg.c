/* Reads SVG: librsvg draws the page once, true to size, and its trace is read. Stands between
 * the file and the ink. Sizes follow SVG 1.1, section 7: millimetres as written, pixels at 96
 * to the inch. */
#include "ink/drawing.h"
#include "ink/quiet.h"
#include "ink/svg_source.h"

#include <librsvg/rsvg.h>
#include <string.h>

#define PIXELS_PER_INCH 96.0
#define MM_PER_PIXEL    (25.4 / PIXELS_PER_INCH)

/* Pixels to the em that fonts can be asked for: FreeType's 65535, and a little room. */
#define FONT_PIXELS_MAX 60000.0
/* No coarser than this for the letters' sake: 1/256 of it is still under 0.001 mm. */
#define UNITS_PER_MM_FOR_TEXT 6.0

/* Filters and masks would make the renderer fall back to rasters of the whole page; they are
 * counted instead. */
static const char plain_drawing[] = "* { filter: none !important; mask: none !important; }";
static const char drawing_without_text[] =
    "* { filter: none !important; mask: none !important; } text { display: none !important; }";

static RsvgHandle *open_svg(GBytes *text, GError **error) {
    gsize length;
    const guint8 *data = g_bytes_get_data(text, &length);
    g_autoptr(GError) refused = NULL;
    /* No base address: the renderer has nowhere to fetch anything from. */
    RsvgHandle *handle = rsvg_handle_new_from_data(data, length, &refused);
    if (handle) {
        rsvg_handle_set_dpi(handle, PIXELS_PER_INCH);
        if (!rsvg_handle_set_stylesheet(handle, (const guint8 *)plain_drawing,
                                        strlen(plain_drawing), &refused))
            g_clear_object(&handle);
    }
    if (!handle)
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "%s", refused->message);
    return handle;
}

static gboolean is_given(RsvgLength side) {
    return side.unit != RSVG_UNIT_PERCENT;
}

/* Says how large a pixel is: pixels do not, nor do letters, which are measured in them. */
static gboolean is_true_length(RsvgLength side) {
    return side.unit == RSVG_UNIT_MM || side.unit == RSVG_UNIT_CM ||
           side.unit == RSVG_UNIT_IN || side.unit == RSVG_UNIT_PT || side.unit == RSVG_UNIT_PC;
}

/* One side is given: the other follows the viewBox's proportions (CSS 2.1, 10.3.2 and 10.6.2;
 * SVG 2, 7.2). It is told to the renderer in the given side's own unit, which it knows to turn
 * into pixels. */
static gboolean complete_size(RsvgHandle *handle, const char *missing, RsvgLength given,
                              double share, GError **error) {
    static const char *const units[] = {
        [RSVG_UNIT_PX] = "px", [RSVG_UNIT_EM] = "em", [RSVG_UNIT_EX] = "ex",
        [RSVG_UNIT_IN] = "in", [RSVG_UNIT_CM] = "cm", [RSVG_UNIT_MM] = "mm",
        [RSVG_UNIT_PT] = "pt", [RSVG_UNIT_PC] = "pc"};
    char number[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(number, sizeof number, "%.12g", given.length * share);
    g_autofree char *sheet = g_strdup_printf("%s :root { %s: %s%s !important; }", plain_drawing,
                                             missing, number, units[given.unit]);
    return rsvg_handle_set_stylesheet(handle, (const guint8 *)sheet, strlen(sheet), error);
}

static gboolean check_view_box(RsvgRectangle box, GError **error) {
    if (box.width > 0 && box.height > 0)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "the viewBox is %g wide and %g high, which shows nothing; permitted: more "
                "than 0",
                box.width, box.height);
    return FALSE;
}

/* Width and height in pixels. Percentages are of nothing, and count as not given; where neither
 * side is given, the viewBox's own numbers are taken. *assumed: no unit of length says how
 * large a pixel is. */
static gboolean read_size(RsvgHandle *handle, double *width_px, double *height_px,
                          gboolean *assumed, GError **error) {
    gboolean has_width, has_height, has_box;
    RsvgLength width, height;
    RsvgRectangle box;
    rsvg_handle_get_intrinsic_dimensions(handle, &has_width, &width, &has_height, &height,
                                         &has_box, &box);
    if (has_box && !check_view_box(box, error))
        return FALSE;
    gboolean wide = has_width && is_given(width), high = has_height && is_given(height);
    if (!has_box && !(wide && high)) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE, "has no %s, and no viewBox",
                    wide   ? "height"
                    : high ? "width"
                           : "size: no width, no height");
        return FALSE;
    }
    *assumed = !(wide || high) || (wide && !is_true_length(width)) ||
               (high && !is_true_length(height));
    if (wide != high &&
        !complete_size(handle, wide ? "height" : "width", wide ? width : height,
                       wide ? box.height / box.width : box.width / box.height, error))
        return FALSE;
    if (!(wide || high)) {
        *width_px = box.width;
        *height_px = box.height;
        return TRUE;
    }
    if (rsvg_handle_get_intrinsic_size_in_pixels(handle, width_px, height_px))
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "has a size that cannot be read: width and height in mm were expected");
    return FALSE;
}

/* How far the drawing reaches from the page's corner; what the renderer cannot say is left at
 * 0. */
static double find_reach(RsvgHandle *handle, const TapulTracePage *page) {
    RsvgRectangle view = {0, 0, page->width_mm, page->height_mm}, ink = {0}, logical = {0};
    if (!rsvg_handle_get_geometry_for_layer(handle, NULL, &view, &ink, &logical, NULL))
        return 0;
    return fmax(fmax(fabs(ink.x), fabs(ink.x + ink.width)),
                fmax(fabs(ink.y), fabs(ink.y + ink.height)));
}

static gboolean draw(RsvgHandle *handle, const TapulTracePage *page, GByteArray *bytes,
                     GError **error) {
    g_autoptr(GError) refused = NULL;
    cairo_surface_t *surface = tapul_trace_surface(page, bytes);
    cairo_t *cairo = cairo_create(surface);
    RsvgRectangle view = {0, 0, page->width_mm * page->units_per_mm,
                          page->height_mm * page->units_per_mm};
    gboolean drawn = rsvg_handle_render_document(handle, cairo, &view, &refused);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (drawn && status == CAIRO_STATUS_SUCCESS)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "cannot be drawn: %s",
                refused ? refused->message : cairo_status_to_string(status));
    return FALSE;
}

static gboolean leave_out_text(RsvgHandle *handle, const TapulSvgSource *source,
                               GError **error) {
    tapul_skipped_add(source->skipped, "text", source->texts, tapul_box_empty());
    return rsvg_handle_set_stylesheet(handle, (const guint8 *)drawing_without_text,
                                      strlen(drawing_without_text), error);
}

/* The finest units at which FreeType can set the letters; coarser ones than it needs do them no
 * harm. */
static double units_for_text(const TapulTracePage *page, const TapulSvgSource *source) {
    double mm_per_user =
        source->view_width > 0 ? page->width_mm / source->view_width : MM_PER_PIXEL;
    return sqrt(FONT_PIXELS_MAX / fmax(source->tallest_text, 1e-9)) / mm_per_user;
}

/* The page's units: fine, and not too fine for its letters. Letters too tall even for the
 * coarsest are left out before anything is drawn, and counted. */
static gboolean choose_units(RsvgHandle *handle, const TapulSvgSource *source,
                             TapulTracePage *page, gboolean *has_text, GError **error) {
    double most = units_for_text(page, source);
    *has_text = source->texts > 0 && most >= UNITS_PER_MM_FOR_TEXT;
    if (source->texts > 0 && !*has_text && !leave_out_text(handle, source, error))
        return FALSE;
    if (!tapul_trace_choose_units(page, find_reach(handle, page), error))
        return FALSE;
    if (*has_text)
        page->units_per_mm = fmax(fmin(page->units_per_mm, most), UNITS_PER_MM_FOR_TEXT);
    return TRUE;
}

/* Letters that turn out too tall only in the drawing are left out too. */
static gboolean draw_or_leave_out_text(RsvgHandle *handle, const TapulSvgSource *source,
                                       gboolean has_text, TapulTracePage *page,
                                       GByteArray *bytes, GError **error) {
    if (draw(handle, page, bytes, has_text ? NULL : error))
        return TRUE;
    g_byte_array_set_size(bytes, 0);
    return has_text && leave_out_text(handle, source, error) &&
           draw(handle, page, bytes, error);
}

static void add_skipped(TapulTrace *trace, const TapulSvgSource *source) {
    for (guint i = 0; i < source->skipped->len; i++) {
        const TapulSkipped *each = g_ptr_array_index(source->skipped, i);
        tapul_skipped_add(trace->skipped, each->what, each->count, each->box_mm);
    }
}

static TapulDrawing *read_handle(RsvgHandle *handle, const TapulSvgSource *source,
                                 GError **error) {
    double width_px, height_px;
    g_autoptr(TapulDrawing) drawing = g_new0(TapulDrawing, 1);
    if (!read_size(handle, &width_px, &height_px, &drawing->size_assumed, error))
        return NULL;
    TapulTracePage *page = &drawing->page;
    page->width_mm = width_px * MM_PER_PIXEL;
    page->height_mm = height_px * MM_PER_PIXEL;
    gboolean has_text;
    if (!tapul_drawing_check_size(page->width_mm, page->height_mm, error) ||
        !choose_units(handle, source, page, &has_text, error))
        return NULL;
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    if (!draw_or_leave_out_text(handle, source, has_text, page, bytes, error))
        return NULL;
    drawing->trace = tapul_trace_read((const char *)bytes->data, bytes->len, page, error);
    if (!drawing->trace)
        return NULL;
    add_skipped(drawing->trace, source);
    drawing->motif_ids = g_ptr_array_ref(source->motif_ids);
    return g_steal_pointer(&drawing);
}

TapulDrawing *tapul_drawing_read_svg(const char *text, gsize length, GError **error) {
    g_autoptr(TapulSvgSource) source = tapul_svg_source_new(text, length, error);
    RsvgHandle *handle = source ? open_svg(source->text, error) : NULL;
    TapulQuiet quiet = tapul_quiet_begin();
    TapulDrawing *drawing = handle ? read_handle(handle, source, error) : NULL;
    tapul_quiet_end(&quiet);
    g_clear_object(&handle);
    return drawing;
}
