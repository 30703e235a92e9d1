/* Pictures: scans and photographs as pixels, read through libvips and warped by a map.
 *
 * Pixel frame: x right, y down, the first pixel's centre at (0.5, 0.5), so that the picture
 * covers [0, width] x [0, height]. */
#ifndef TAPUL_BASE_PICTURE_H
#define TAPUL_BASE_PICTURE_H

#include <tapul/vec.h>
#include <vips/vips.h>

G_BEGIN_DECLS

#define TAPUL_PICTURE_ERROR (tapul_picture_error_quark())
GQuark tapul_picture_error_quark(void);

typedef enum {
    TAPUL_PICTURE_ERROR_FILE,   /* missing, unreadable */
    TAPUL_PICTURE_ERROR_FORMAT, /* not a PNG, JPEG or TIFF, or a kind of one that is not read */
    TAPUL_PICTURE_ERROR_SIZE,   /* no pixels, or more than the stated limit */
    TAPUL_PICTURE_ERROR_DATA    /* truncated or damaged */
} TapulPictureError;

/* What is read at most: an A2 sheet at 600 dpi. Larger ones are refused before they are
 * decoded. */
#define TAPUL_PICTURE_MOST_PIXELS  150e6
#define TAPUL_PICTURE_MOST_SIDE_PX 60000

/* A picture opened but not yet decoded. */
typedef struct {
    char *path;
    const char *kind; /* "PNG", "JPEG", "TIFF" */
    VipsImage *image; /* upright by its orientation tag; grey or sRGB, 1 or 3 bands, 8 or 16
                         bit; alpha laid over white, palette, CMYK and 1 bit turned into these.
                         To be read once, from the top: it is decoded as it is read */
    int width_px, height_px; /* of the upright picture */
    double dpi_x, dpi_y;     /* as the file says; 0: it does not, or not believably */
    const char *converted;   /* "CMYK", "palette", ...: what the file held; NULL: as it is */
    int pages;               /* in the file; the first is read */
} TapulPicture;

/* Told apart by content; the name does not matter. Errors: one line, file first. */
TapulPicture *tapul_picture_open(const char *path, GError **error);
void tapul_picture_free(TapulPicture *picture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPicture, tapul_picture_free)
/* TRUE where the file begins as a PNG, JPEG or TIFF does. */
gboolean tapul_picture_is_one(const char *path);

/* Pixels in memory, 8 bit. */
typedef struct {
    int width_px, height_px;
    int bands;    /* 1 grey, 3 RGB, 4 RGBA (not premultiplied) */
    guint8 *data; /* [height_px][width_px][bands], rows from the top */
} TapulPixels;

TapulPixels *tapul_pixels_new(int width_px, int height_px, int bands); /* all zero */
void tapul_pixels_free(TapulPixels *pixels);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPixels, tapul_pixels_free)
/* Decodes an opened picture, once: 1 or 3 bands. Half a picture is an error (DATA), never grey.
 */
TapulPixels *tapul_picture_decode(const TapulPicture *picture, GError **error);
/* Opens and decodes. Errors of TAPUL_PICTURE_ERROR. */
TapulPixels *tapul_pixels_load(const char *path, GError **error);
/* Writes PNG (RGBA or RGB or grey) with its resolution; whole or not at all. */
gboolean tapul_pixels_write_png(const TapulPixels *pixels, double dpi, const char *path,
                                GError **error);
gboolean tapul_pixels_write_tiff(const TapulPixels *pixels, double dpi, const char *path,
                                 GError **error);

/* --- libvips --- */

/* A name of ours to clean up by: some versions of libvips define that of VipsImage, some do
 * not. */
typedef VipsImage TapulVipsImage;
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulVipsImage, g_object_unref)

/* Starts it, once for all threads; before any of its functions is called. Opening and writing
 * do it themselves. */
void tapul_picture_start_vips(void);
/* Sets an error from what libvips complained of first: "path: what (complaint)". */
void tapul_picture_set_vips_error(GError **error, TapulPictureError code, const char *path,
                                  const char *what);

/* --- Warping (picture_warp.c) --- */

typedef enum { TAPUL_KERNEL_LINEAR, TAPUL_KERNEL_CUBIC, TAPUL_KERNEL_LANCZOS3 } TapulKernel;

/* Where a place of the new picture comes from in the old one; FALSE: from nowhere. Called from
 * several threads. */
typedef gboolean (*TapulPictureMap)(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data);

typedef struct {
    TapulKernel kernel;  /* TAPUL_KERNEL_CUBIC */
    double tolerance_px; /* 0.05 of the old picture: the map is taken on a grid and halved until
                            linear between */
    void (*progress)(double fraction, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulWarpOptions;

TapulWarpOptions tapul_warp_options_defaults(void);

/* A new RGBA picture: each pixel sampled from source where the map says, clear where it comes
 * from nowhere or from beyond the source's edge. Where the map shrinks the picture the source
 * is first blurred to match, so that fine lines do not alias. The result does not depend on the
 * number of threads. */
TapulPixels *tapul_pixels_warp(const TapulPixels *source, int width_px, int height_px,
                               TapulPictureMap map, gconstpointer data,
                               const TapulWarpOptions *options);

G_END_DECLS

#endif
