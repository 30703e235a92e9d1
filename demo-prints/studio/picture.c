#include "picture.h"

#include "chance.h"

#include <gio/gio.h>
#include <math.h>
#include <vips/vips.h>

Picture *picture_new(int width_px, int height_px) {
    Picture *picture = g_new0(Picture, 1);
    picture->width_px = width_px;
    picture->height_px = height_px;
    picture->rgb = g_new0(float, 3 * (gsize)width_px * (gsize)height_px);
    return picture;
}

void picture_free(Picture *picture) {
    if (!picture)
        return;
    g_free(picture->rgb);
    g_free(picture);
}

/* The noise of neighbouring pixels hangs together a little, since two colours of each are
 * guessed from the neighbours'. */
static void add_noise(float *rgb, int width_px, int height_px, const PictureSensor *sensor) {
#pragma omp parallel for
    for (int row = 0; row < height_px; row++)
        for (int column = 0; column < width_px; column++) {
            float *at = rgb + 3 * ((gsize)row * (gsize)width_px + (gsize)column);
            double grey = chance_normal(sensor->seed, column, row);
            for (int band = 0; band < 3; band++) {
                double own =
                    chance_normal(sensor->seed + 1 + (guint64)band, column / 2, row / 2);
                double light = fmax((double)at[band], 0);
                double sd = sensor->read_noise + sensor->shot_noise * sqrt(light);
                at[band] = (float)(light + sd * (0.85 * grey + 0.5 * own));
            }
        }
}

static VipsImage *image_of(void *rgb, const Picture *picture) {
    return vips_image_new_from_memory(
        rgb, 3 * (gsize)picture->width_px * (gsize)picture->height_px * sizeof(float),
        picture->width_px, picture->height_px, 3, VIPS_FORMAT_FLOAT);
}

/* What falls on the sensor; to be freed with g_free. */
static float *through_lens(const Picture *picture, double blur_px) {
    VipsImage *light = image_of(picture->rgb, picture), *soft = NULL;
    float *exposed = NULL;
    if (!vips_gaussblur(light, &soft, blur_px, "precision", VIPS_PRECISION_FLOAT, NULL)) {
        gsize size;
        exposed = vips_image_write_to_memory(soft, &size);
        g_object_unref(soft);
    }
    g_object_unref(light);
    return exposed;
}

/* sRGB, sharpened as a maker's software does, with what a reader is to know in its head. */
static int encode(VipsImage *light, const PictureSensor *sensor, const PictureFile *file,
                  void **jpeg, gsize *size) {
    VipsObject *scope = VIPS_OBJECT(vips_image_new());
    VipsImage **step = (VipsImage **)vips_object_local_array(scope, 4);
    double px_per_mm = file->dpi / 25.4;
    int failed =
        vips_copy(light, &step[0], "interpretation", VIPS_INTERPRETATION_scRGB, NULL) ||
        vips_colourspace(step[0], &step[1], VIPS_INTERPRETATION_sRGB, NULL) ||
        vips_sharpen(step[1], &step[2], "sigma", 0.8, "m1", 0.0, "m2", sensor->sharpen, NULL) ||
        vips_copy(step[2], &step[3], "xres", px_per_mm, "yres", px_per_mm, NULL);
    if (!failed) {
        vips_image_set_int(step[3], VIPS_META_ORIENTATION, 1);
        vips_image_set_string(step[3], "exif-ifd0-ImageDescription", file->note);
        failed = vips_jpegsave_buffer(step[3], jpeg, size, "Q", file->quality,
                                      "optimize_coding", TRUE, NULL);
    }
    g_object_unref(scope);
    return failed;
}

/* The comment's segment goes behind the two bytes that begin every JPEG; vips 8.14 writes none.
 */
static gboolean write_with_comment(const char *jpeg, gsize size, const char *note,
                                   const char *path, GError **error) {
    gsize length = strlen(note) + 2;
    g_assert(size > 2 && length < 65536);
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    guint8 segment[] = {0xff, 0xfe, (guint8)(length >> 8), (guint8)(length & 255)};
    g_byte_array_append(bytes, (const guint8 *)jpeg, 2);
    g_byte_array_append(bytes, segment, sizeof segment);
    g_byte_array_append(bytes, (const guint8 *)note, (guint)strlen(note));
    g_byte_array_append(bytes, (const guint8 *)jpeg + 2, (guint)(size - 2));
    return g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len, error);
}

gboolean picture_write(const Picture *picture, const PictureSensor *sensor,
                       const PictureFile *file, const char *path, GError **error) {
    g_autofree float *exposed = through_lens(picture, sensor->blur_px);
    g_autofree void *jpeg = NULL;
    gsize size = 0;
    int failed = !exposed;
    if (!failed) {
        add_noise(exposed, picture->width_px, picture->height_px, sensor);
        VipsImage *light = image_of(exposed, picture);
        failed = encode(light, sensor, file, &jpeg, &size);
        g_object_unref(light);
    }
    if (failed) {
        g_set_error(error, G_IO_ERROR, G_IO_ERROR_FAILED, "%s: %s", path, vips_error_buffer());
        return FALSE;
    }
    return write_with_comment(jpeg, size, file->note, path, error);
}
