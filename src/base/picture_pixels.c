/* Pixels in memory: decoded from a picture, written as PNG or TIFF (see picture.h). */
#include "base/picture.h"

#define MM_PER_INCH 25.4

TapulPixels *tapul_pixels_new(int width_px, int height_px, int bands) {
    g_assert(width_px > 0 && height_px > 0 && (bands == 1 || bands == 3 || bands == 4));
    TapulPixels *pixels = g_new0(TapulPixels, 1);
    pixels->width_px = width_px;
    pixels->height_px = height_px;
    pixels->bands = bands;
    pixels->data = g_malloc0((gsize)width_px * (gsize)height_px * (gsize)bands);
    return pixels;
}

void tapul_pixels_free(TapulPixels *pixels) {
    if (!pixels)
        return;
    g_free(pixels->data);
    g_free(pixels);
}

/* The upper eight of sixteen bits, or the eight there are. */
static VipsImage *to_eight_bits(VipsImage *image) {
    VipsImage *eight = NULL;
    if (vips_image_get_format(image) == VIPS_FORMAT_UCHAR)
        return g_object_ref(image);
    vips_cast(image, &eight, VIPS_FORMAT_UCHAR, "shift", TRUE, NULL);
    return eight;
}

TapulPixels *tapul_picture_decode(const TapulPicture *picture, GError **error) {
    g_autoptr(TapulVipsImage) eight = to_eight_bits(picture->image);
    size_t size = 0;
    g_autofree guint8 *data = eight ? vips_image_write_to_memory(eight, &size) : NULL;
    /* Damaged lines of a fax are complained of, and made up all the same. */
    if (!data || *vips_error_buffer()) {
        tapul_picture_set_vips_error(error, TAPUL_PICTURE_ERROR_DATA, picture->path,
                                     "is truncated or damaged");
        return NULL;
    }
    TapulPixels *pixels = g_new0(TapulPixels, 1);
    *pixels = (TapulPixels){picture->width_px, picture->height_px, vips_image_get_bands(eight),
                            g_steal_pointer(&data)};
    g_assert(size == (gsize)pixels->width_px * (gsize)pixels->height_px * (gsize)pixels->bands);
    return pixels;
}

TapulPixels *tapul_pixels_load(const char *path, GError **error) {
    g_autoptr(TapulPicture) picture = tapul_picture_open(path, error);
    return picture ? tapul_picture_decode(picture, error) : NULL;
}

/* Borrows the pixels. */
static VipsImage *image_of(const TapulPixels *pixels, double dpi) {
    gsize size = (gsize)pixels->width_px * (gsize)pixels->height_px * (gsize)pixels->bands;
    g_autoptr(TapulVipsImage) bare =
        vips_image_new_from_memory(pixels->data, size, pixels->width_px, pixels->height_px,
                                   pixels->bands, VIPS_FORMAT_UCHAR);
    VipsImage *image = NULL;
    if (bare)
        vips_copy(bare, &image, "interpretation",
                  pixels->bands == 1 ? VIPS_INTERPRETATION_B_W : VIPS_INTERPRETATION_sRGB,
                  "xres", dpi / MM_PER_INCH, "yres", dpi / MM_PER_INCH, NULL);
    return image;
}

typedef int (*Pack)(VipsImage *image, void **packed, size_t *size);

static int pack_png(VipsImage *image, void **packed, size_t *size) {
    return vips_pngsave_buffer(image, packed, size, NULL);
}

static int pack_tiff(VipsImage *image, void **packed, size_t *size) {
    return vips_tiffsave_buffer(image, packed, size, "compression",
                                VIPS_FOREIGN_TIFF_COMPRESSION_DEFLATE, "predictor",
                                VIPS_FOREIGN_TIFF_PREDICTOR_HORIZONTAL, "resunit",
                                VIPS_FOREIGN_TIFF_RESUNIT_INCH, NULL);
}

static gboolean write_packed(const TapulPixels *pixels, double dpi, Pack pack, const char *path,
                             GError **error) {
    /* Renaming a new file onto a device or a folder would replace or fail, never write. */
    if (g_file_test(path, G_FILE_TEST_EXISTS) && !g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        g_set_error(error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_FILE,
                    "%s: cannot be written: is there already, and is no file", path);
        return FALSE;
    }
    tapul_picture_start_vips();
    vips_error_clear();
    g_autoptr(TapulVipsImage) image = image_of(pixels, dpi);
    g_autofree void *packed = NULL;
    size_t size;
    if (!image || pack(image, &packed, &size)) {
        tapul_picture_set_vips_error(error, TAPUL_PICTURE_ERROR_FILE, path, "cannot be packed");
        return FALSE;
    }
    g_autoptr(GError) refused = NULL;
    /* GLib writes to a temporary name and renames. */
    if (g_file_set_contents(path, packed, (gssize)size, &refused))
        return TRUE;
    g_set_error(error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_FILE,
                "%s: cannot be written: %s", path, refused->message);
    return FALSE;
}

gboolean tapul_pixels_write_png(const TapulPixels *pixels, double dpi, const char *path,
                                GError **error) {
    return write_packed(pixels, dpi, pack_png, path, error);
}

gboolean tapul_pixels_write_tiff(const TapulPixels *pixels, double dpi, const char *path,
                                 GError **error) {
    return write_packed(pixels, dpi, pack_tiff, path, error);
}
