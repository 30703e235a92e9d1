/* Pictures as data of a document: small enough to be carried in it.
 *
 * Apart from the figures because the pages' own pictures are another type of the same name.
 */
#include "base/picture.h"

#include "sheet/html_figures.h"
#include "sheet/plate_lines.h"

/* Of photographs on a screen; common practice, no source. */
#define JPEG_QUALITY 82

/* An attribute href with the bytes as a data URL. */
static char *as_href(const char *kind, gconstpointer bytes, gsize length) {
    g_autofree char *text = g_base64_encode(bytes, length);
    return g_strdup_printf(" href=\"data:image/%s;base64,%s\"", kind, text);
}

static char *png_href(VipsImage *image) {
    gpointer bytes = NULL;
    gsize length = 0;
    int failed = vips_pngsave_buffer(image, &bytes, &length, "compression", 9, NULL);
    g_assert(
        !failed); /* nothing is read: only memory can fail, and GLib ends the program then */
    char *href = as_href("png", bytes, length);
    g_free(bytes);
    return href;
}

/* Of the colours alone. What is clear is given the plate's tint, so that the blocks at its edge
 * show no dark rim. */
static char *jpeg_href(VipsImage *rgba) {
    TapulColour tint = TAPUL_PLATE_TINT;
    double levels[] = {255 * tint.red, 255 * tint.green, 255 * tint.blue};
    VipsArrayDouble *background = vips_array_double_new(levels, 3);
    g_autoptr(TapulVipsImage) flat = NULL;
    gpointer bytes = NULL;
    gsize length = 0;
    int failed = vips_flatten(rgba, &flat, "background", background, NULL) ||
                 vips_jpegsave_buffer(flat, &bytes, &length, "Q", JPEG_QUALITY, NULL);
    g_assert(!failed);
    vips_area_unref(VIPS_AREA(background));
    char *href = as_href("jpeg", bytes, length);
    g_free(bytes);
    return href;
}

static gboolean is_opaque(const guint8 *rgba, gsize n) {
    for (gsize i = 0; i < n; i++)
        if (rgba[4 * i + 3] < 255)
            return FALSE;
    return TRUE;
}

static char *alpha_href(VipsImage *rgba) {
    g_autoptr(TapulVipsImage) alpha = NULL;
    int failed = vips_extract_band(rgba, &alpha, 3, NULL);
    g_assert(!failed);
    return png_href(alpha);
}

static void append_image(GString *out, const char *more, const char *href) {
    g_string_append_printf(
        out, "<image%s width=\"1\" height=\"1\" preserveAspectRatio=\"none\"", more);
    g_string_append_printf(out, "%s/>", href);
}

/* JPEG has no alpha: it goes beside it as a mask. */
void tapul_html_picture(GString *out, const char *id, int width_px, int height_px,
                        const guint8 *rgba) {
    gsize n = (gsize)width_px * (gsize)height_px;
    tapul_picture_start_vips();
    g_autoptr(TapulVipsImage) plain =
        vips_image_new_from_memory(rgba, 4 * n, width_px, height_px, 4, VIPS_FORMAT_UCHAR);
    g_autoptr(TapulVipsImage) image = NULL;
    int failed = vips_copy(plain, &image, "interpretation", VIPS_INTERPRETATION_sRGB, NULL);
    g_assert(!failed);
    g_autofree char *png = png_href(image);
    g_autofree char *jpeg = jpeg_href(image);
    g_autofree char *alpha = is_opaque(rgba, n) ? g_strdup("") : alpha_href(image);
    gboolean masked = *alpha && strlen(jpeg) + strlen(alpha) < strlen(png);
    g_autofree char *name = g_strdup_printf(" id=\"%s\"", id);
    g_autofree char *name_masked = g_strdup_printf(" id=\"%s\" mask=\"url(#%s-mask)\"", id, id);
    g_string_append(out, "<defs>");
    if (masked) {
        g_string_append_printf(out,
                               "<mask id=\"%s-mask\" maskUnits=\"userSpaceOnUse\" x=\"0\" "
                               "y=\"0\" width=\"1\" height=\"1\">",
                               id);
        append_image(out, "", alpha);
        g_string_append(out, "</mask>");
        append_image(out, name_masked, jpeg);
    } else {
        append_image(out, name, *alpha || strlen(png) < strlen(jpeg) ? png : jpeg);
    }
    g_string_append(out, "</defs>\n");
}
