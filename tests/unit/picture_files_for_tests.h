/* Picture files of every kind that is read, made of the same pixels. */
#ifndef PICTURE_FILES_FOR_TESTS_H
#define PICTURE_FILES_FOR_TESTS_H

#include "scans_for_tests.h"

typedef enum {
    PNG_8,
    PNG_16,
    PNG_GREY,
    PNG_PALETTE,
    PNG_ONE_BIT,
    PNG_ALPHA,
    JPEG_COLOUR,
    JPEG_GREY,
    JPEG_CMYK,
    TIFF_8,
    TIFF_16,
    TIFF_GREY,
    TIFF_ONE_BIT,
    TIFF_CMYK,
    TIFF_TILED,
    KINDS
} FileKind;

static const struct {
    const char *name, *kind, *converted;
} file_kinds[KINDS] = {
    {"png", "PNG", NULL},         {"16.png", "PNG", NULL},
    {"grey.png", "PNG", NULL},    {"palette.png", "PNG", "palette"},
    {"1.png", "PNG", "1 bit"},    {"alpha.png", "PNG", "alpha"},
    {"jpg", "JPEG", NULL},        {"grey.jpg", "JPEG", NULL},
    {"cmyk.jpg", "JPEG", "CMYK"}, {"tif", "TIFF", NULL},
    {"16.tif", "TIFF", NULL},     {"grey.tif", "TIFF", NULL},
    {"1.tif", "TIFF", NULL},      {"cmyk.tif", "TIFF", "CMYK"},
    {"tiled.tif", "TIFF", NULL},
};

/* Takes image. */
static inline VipsImage *made_of(VipsImage *image, FileKind kind) {
    VipsImage *made = NULL, *alpha = NULL;
    switch (kind) {
    case PNG_16:
    case TIFF_16:
        vips_colourspace(image, &made, VIPS_INTERPRETATION_RGB16, NULL);
        break;
    case PNG_GREY:
    case JPEG_GREY:
    case TIFF_GREY:
    case PNG_ONE_BIT:
    case TIFF_ONE_BIT:
        vips_colourspace(image, &made, VIPS_INTERPRETATION_B_W, NULL);
        break;
    case JPEG_CMYK:
    case TIFF_CMYK:
        vips_colourspace(image, &made, VIPS_INTERPRETATION_CMYK, NULL);
        break;
    case PNG_ALPHA:
        vips_black(&alpha, vips_image_get_width(image), vips_image_get_height(image), NULL);
        vips_invert(alpha, &made, NULL);
        g_object_unref(alpha);
        alpha = made;
        vips_bandjoin2(image, alpha, &made, NULL);
        g_object_unref(alpha);
        break;
    default:
        return image;
    }
    ck_assert_msg(made != NULL, "%s", vips_error_buffer());
    g_object_unref(image);
    return made;
}

static inline char *save_as(const TapulPixels *pixels, FileKind kind) {
    char *path = scan_path(file_kinds[kind].name);
    g_autoptr(TapulVipsImage) image = made_of(vips_of(pixels), kind);
    gboolean one_bit = kind == PNG_ONE_BIT || kind == TIFF_ONE_BIT;
    int failed;
    if (g_str_has_suffix(path, "png"))
        failed = kind == PNG_PALETTE ? vips_pngsave(image, path, "palette", TRUE, NULL)
                 : one_bit           ? vips_pngsave(image, path, "bitdepth", 1, NULL)
                                     : vips_pngsave(image, path, NULL);
    else if (g_str_has_suffix(path, "jpg"))
        failed = vips_jpegsave(image, path, "Q", 92, NULL);
    else
        failed = vips_tiffsave(image, path, "strip", kind == TIFF_CMYK, "bitdepth",
                               one_bit ? 1 : 0, "tile", kind == TIFF_TILED, "compression",
                               kind == TIFF_16 ? VIPS_FOREIGN_TIFF_COMPRESSION_LZW
                                               : VIPS_FOREIGN_TIFF_COMPRESSION_NONE,
                               NULL);
    ck_assert_msg(!failed, "%s: %s", path, vips_error_buffer());
    return path;
}

#endif
