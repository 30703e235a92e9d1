/* Opening pictures, and writing them (see picture.h). libvips decodes; here is decided what it
 * is given: the loader by the file's first bytes, never by its name, and no decoding before the
 * size in the header is found bearable. Stands at the head of the roads from scans and
 * photographs. */
#include "base/picture.h"

#include <stdio.h>
#include <string.h>

/* Programs that know no resolution write 72 or 96 (EXIF 2.3's and screens' usual figures); no
 * flat-bed scanner is set as low. */
#define BELIEVABLE_DPI_LEAST 100.0
#define BELIEVABLE_DPI_MOST  10000.0
/* Fax machines scan twice as finely across as along; pixels longer than that are a slip. */
#define BELIEVABLE_DPI_RATIO 2.5

#define MM_PER_INCH 25.4

/* The bytes that tell the kinds apart; a PNG's bit depth and colour type are the last two. */
#define HEAD_BYTES    26
#define PNG_DEPTH_AT  24
#define PNG_COLOUR_AT 25
#define PNG_PALETTE   3

#define ORIENTATION_UPRIGHT 1
#define ORIENTATION_LYING                                                                      \
    5 /* from here on width and height change places (EXIF 2.3, tag 274) */

G_DEFINE_QUARK(tapul - picture - error - quark, tapul_picture_error)

static void drop_message(const char *domain, GLogLevelFlags level, const char *message,
                         gpointer unused) {
    (void)domain;
    (void)level;
    (void)message;
    (void)unused;
}

static gpointer start_vips(gpointer unused) {
    (void)unused;
    if (VIPS_INIT("tapul"))
        g_error("libvips cannot be started: %s", vips_error_buffer());
    /* Each picture is read once: a cache would only keep pixels alive. */
    vips_cache_set_max(0);
    vips_block_untrusted_set(TRUE);
    /* What matters of its warnings comes back as errors, by fail_on. */
    g_log_set_handler("VIPS",
                      G_LOG_LEVEL_WARNING | G_LOG_LEVEL_MESSAGE | G_LOG_LEVEL_INFO |
                          G_LOG_LEVEL_DEBUG,
                      drop_message, NULL);
    return NULL;
}

void tapul_picture_start_vips(void) {
    static GOnce once = G_ONCE_INIT;
    g_once(&once, start_vips, NULL);
}

void tapul_picture_set_vips_error(GError **error, TapulPictureError code, const char *path,
                                  const char *what) {
    g_autofree char *said = vips_error_buffer_copy();
    /* The first complaint is the cause; what follows comes of it. */
    said[strcspn(said, "\n")] = '\0';
    g_autofree char *named = g_strdup_printf("%s: ", path);
    const char *reason = g_str_has_prefix(said, named) ? said + strlen(named) : said;
    g_set_error(error, TAPUL_PICTURE_ERROR, code, *reason ? "%s: %s (%s)" : "%s: %s%s", path,
                what, reason);
}

/* --- Told apart by content --- */

static const struct {
    const char *bytes;
    gsize length;
    const char *kind;
} beginnings[] = {
    {"\x89PNG\r\n\x1a\n", 8, "PNG"},
    {"\xff\xd8\xff", 3, "JPEG"},
    {"II*\0", 4, "TIFF"},
    {"MM\0*", 4, "TIFF"},
    {"II+\0", 4, "TIFF"},
    {"MM\0+", 4, "TIFF"},
};

/* The kind by the first bytes; NULL: another. head is filled up with zeros. */
static const char *read_head(const char *path, guint8 head[HEAD_BYTES]) {
    memset(head, 0, HEAD_BYTES);
    FILE *file = g_file_test(path, G_FILE_TEST_IS_REGULAR) ? fopen(path, "rb") : NULL;
    if (!file)
        return NULL;
    gsize length = fread(head, 1, HEAD_BYTES, file);
    fclose(file);
    for (guint i = 0; i < G_N_ELEMENTS(beginnings); i++)
        if (length >= beginnings[i].length &&
            memcmp(head, beginnings[i].bytes, beginnings[i].length) == 0)
            return beginnings[i].kind;
    return NULL;
}

gboolean tapul_picture_is_one(const char *path) {
    guint8 head[HEAD_BYTES];
    return read_head(path, head) != NULL;
}

/* --- Opening --- */

static VipsImage *load_header(const char *path, const char *kind, gboolean any_order) {
    VipsImage *image = NULL;
    int access = any_order ? VIPS_ACCESS_RANDOM : VIPS_ACCESS_SEQUENTIAL;
    if (strcmp(kind, "PNG") == 0)
        vips_pngload(path, &image, "access", access, "memory", any_order, "fail_on",
                     VIPS_FAIL_ON_ERROR, NULL);
    else if (strcmp(kind, "TIFF") == 0)
        vips_tiffload(path, &image, "access", access, "memory", any_order, "fail_on",
                      VIPS_FAIL_ON_ERROR, NULL);
    else
        /* libjpeg calls it a warning when it makes up what is missing. */
        vips_jpegload(path, &image, "access", access, "memory", any_order, "fail_on",
                      VIPS_FAIL_ON_WARNING, NULL);
    return image;
}

static gboolean check_size(const VipsImage *image, const char *path, GError **error) {
    int width = vips_image_get_width(image), height = vips_image_get_height(image);
    if (width >= 1 && height >= 1 && width <= TAPUL_PICTURE_MOST_SIDE_PX &&
        height <= TAPUL_PICTURE_MOST_SIDE_PX &&
        (double)width * height <= TAPUL_PICTURE_MOST_PIXELS)
        return TRUE;
    g_set_error(error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_SIZE,
                "%s: %d x %d pixels; permitted: sides from 1 to %d, and at most %g million "
                "pixels in all",
                path, width, height, TAPUL_PICTURE_MOST_SIDE_PX,
                TAPUL_PICTURE_MOST_PIXELS / 1e6);
    return FALSE;
}

static gboolean check_samples(const VipsImage *image, const char *path, GError **error) {
    VipsBandFormat format = vips_image_get_format(image);
    int bands = vips_image_get_bands(image), most = 4;
    if (vips_image_get_interpretation(image) == VIPS_INTERPRETATION_CMYK)
        most = 5;
    if (format != VIPS_FORMAT_UCHAR && format != VIPS_FORMAT_USHORT)
        g_set_error(
            error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_FORMAT,
            "%s: its samples are of the type %s; permitted: whole numbers of 1 to 16 bits",
            path, vips_enum_nick(VIPS_TYPE_BAND_FORMAT, format));
    else if (bands > most)
        g_set_error(error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_FORMAT,
                    "%s: %d channels; permitted: grey, RGB or CMYK, with or without alpha",
                    path, bands);
    else
        return TRUE;
    return FALSE;
}

/* Puts what an operation made in the place of what it was made from; FALSE where it failed. */
static gboolean replace(VipsImage **image, VipsImage *made) {
    if (!made)
        return FALSE;
    g_object_unref(*image);
    *image = made;
    return TRUE;
}

static gboolean flatten(VipsImage **image) {
    const double white = vips_image_get_format(*image) == VIPS_FORMAT_USHORT ? 65535 : 255;
    VipsArrayDouble *background = vips_array_double_newv(1, white);
    VipsImage *made = NULL;
    vips_flatten(*image, &made, "background", background, "max_alpha", white, NULL);
    vips_area_unref(VIPS_AREA(background));
    return replace(image, made);
}

static gboolean to_rgb(VipsImage **image) {
    gboolean deep = vips_image_get_format(*image) == VIPS_FORMAT_USHORT;
    VipsImage *made = NULL;
    vips_colourspace(*image, &made, deep ? VIPS_INTERPRETATION_RGB16 : VIPS_INTERPRETATION_sRGB,
                     NULL);
    return replace(image, made);
}

/* Grey or sRGB without alpha, 8 or 16 bit. */
static gboolean convert(TapulPicture *picture) {
    VipsInterpretation is = vips_image_guess_interpretation(picture->image);
    gboolean grey = is == VIPS_INTERPRETATION_B_W || is == VIPS_INTERPRETATION_GREY16;
    gboolean rgb = is == VIPS_INTERPRETATION_sRGB || is == VIPS_INTERPRETATION_RGB16;
    if (!grey && !rgb) {
        picture->converted = is == VIPS_INTERPRETATION_CMYK ? "CMYK" : "another colour space";
        if (!to_rgb(&picture->image))
            return FALSE;
    }
    if (!vips_image_hasalpha(picture->image))
        return TRUE;
    if (!picture->converted)
        picture->converted = "alpha";
    return flatten(&picture->image);
}

static double believable_dpi(double per_mm) {
    double dpi = per_mm * MM_PER_INCH;
    return dpi >= BELIEVABLE_DPI_LEAST && dpi <= BELIEVABLE_DPI_MOST ? dpi : 0;
}

static void read_dpi(TapulPicture *picture, gboolean lying) {
    double across = believable_dpi(vips_image_get_xres(picture->image));
    double down = believable_dpi(vips_image_get_yres(picture->image));
    if (across == 0 || down == 0 || fmax(across / down, down / across) > BELIEVABLE_DPI_RATIO)
        across = down = 0;
    picture->dpi_x = lying ? down : across;
    picture->dpi_y = lying ? across : down;
}

static gboolean turn_upright(TapulPicture *picture) {
    VipsImage *made = NULL;
    vips_autorot(picture->image, &made, NULL);
    return replace(&picture->image, made);
}

static const char *png_held(const char *kind, const guint8 head[HEAD_BYTES]) {
    if (strcmp(kind, "PNG") != 0)
        return NULL;
    if (head[PNG_COLOUR_AT] == PNG_PALETTE)
        return "palette";
    return head[PNG_DEPTH_AT] == 1 ? "1 bit" : NULL;
}

static gboolean open_image(TapulPicture *picture, const guint8 head[HEAD_BYTES],
                           GError **error) {
    const char *path = picture->path;
    vips_error_clear();
    picture->image = load_header(path, picture->kind, FALSE);
    if (picture->image && (!check_size(picture->image, path, error) ||
                           !check_samples(picture->image, path, error)))
        return FALSE;
    int orientation =
        picture->image ? vips_image_get_orientation(picture->image) : ORIENTATION_UPRIGHT;
    if (orientation > ORIENTATION_UPRIGHT) {
        /* To turn it, pixels are asked for out of their order in the file. */
        g_clear_object(&picture->image);
        picture->image = load_header(path, picture->kind, TRUE);
    }
    picture->converted = png_held(picture->kind, head);
    if (picture->image) {
        picture->pages = vips_image_get_n_pages(picture->image);
        read_dpi(picture, orientation >= ORIENTATION_LYING);
    }
    if (!picture->image || !convert(picture) || !turn_upright(picture)) {
        g_autofree char *what =
            g_strdup_printf("begins as a %s, but its header is damaged", picture->kind);
        tapul_picture_set_vips_error(error, TAPUL_PICTURE_ERROR_DATA, path, what);
        return FALSE;
    }
    picture->width_px = vips_image_get_width(picture->image);
    picture->height_px = vips_image_get_height(picture->image);
    return TRUE;
}

TapulPicture *tapul_picture_open(const char *path, GError **error) {
    guint8 head[HEAD_BYTES];
    const char *kind = read_head(path, head);
    if (!kind) {
        gboolean is_file = g_file_test(path, G_FILE_TEST_IS_REGULAR);
        const char *why = !g_file_test(path, G_FILE_TEST_EXISTS) ? "there is no such file"
                          : !is_file                             ? "is not a file"
                                     : "is no picture that can be read; permitted: PNG, "
                                       "JPEG, TIFF";
        g_set_error(error, TAPUL_PICTURE_ERROR,
                    is_file ? TAPUL_PICTURE_ERROR_FORMAT : TAPUL_PICTURE_ERROR_FILE, "%s: %s",
                    path, why);
        return NULL;
    }
    tapul_picture_start_vips();
    g_autoptr(TapulPicture) picture = g_new0(TapulPicture, 1);
    picture->path = g_strdup(path);
    picture->kind = kind;
    return open_image(picture, head, error) ? g_steal_pointer(&picture) : NULL;
}

void tapul_picture_free(TapulPicture *picture) {
    if (!picture)
        return;
    g_clear_object(&picture->image);
    g_free(picture->path);
    g_free(picture);
}
