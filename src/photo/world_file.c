/* A rectified photograph as a picture file that knows its size and its place on the
 * development.
 *
 * The `rectify` verb ends with it. The world file's six lines are ESRI's, as GDAL documents
 * them (gdal.org, 'WLD -- ESRI World File'): pixel width, two terms of rotation, pixel height
 * (negative: rows run down), x and y of the upper left pixel's centre.
 */
#include "base/picture.h"

#include <tapul/photo.h>

#include <glib/gstdio.h>
#include <string.h>

static const struct {
    const char *ending, *world;
    gboolean (*write)(const TapulPixels *, double dpi, const char *path, GError **);
} formats[] = {
    {".png", ".pgw", tapul_pixels_write_png},
    {".tiff", ".tfw", tapul_pixels_write_tiff},
    {".tif", ".tfw", tapul_pixels_write_tiff},
};

static char *world_text(const TapulRectified *rectified) {
    double pixel_mm = rectified->pixel_mm;
    const double lines[] = {pixel_mm,
                            0,
                            0,
                            -pixel_mm,
                            rectified->box_mm.min.x + pixel_mm / 2,
                            rectified->box_mm.max.y - pixel_mm / 2};
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < G_N_ELEMENTS(lines); i++) {
        char digits[G_ASCII_DTOSTR_BUF_SIZE];
        g_string_append_printf(text, "%s\n",
                               g_ascii_formatd(digits, sizeof digits, "%.9f", lines[i]));
    }
    return g_string_free(text, FALSE);
}

gboolean tapul_rectified_write(const TapulRectified *rectified, const char *path,
                               GError **error) {
    const TapulPixels pixels = {rectified->width_px, rectified->height_px, 4, rectified->rgba};
    for (guint i = 0; i < G_N_ELEMENTS(formats); i++) {
        if (!g_str_has_suffix(path, formats[i].ending))
            continue;
        g_autofree char *stem = g_strndup(path, strlen(path) - strlen(formats[i].ending));
        g_autofree char *world_path = g_strconcat(stem, formats[i].world, NULL);
        g_autofree char *text = world_text(rectified);
        if (!formats[i].write(&pixels, 25.4 / rectified->pixel_mm, path, error))
            return FALSE;
        if (g_file_set_contents(world_path, text, -1, error))
            return TRUE;
        g_unlink(path); /* a picture without its place would mislead */
        return FALSE;
    }
    g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE,
                "%s: the name must end in .png, .tif or .tiff", path);
    return FALSE;
}
