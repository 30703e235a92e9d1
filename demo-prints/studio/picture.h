/* The finished picture: what a sensor makes of light, and a JPEG of it. */
#ifndef STUDIO_PICTURE_H
#define STUDIO_PICTURE_H

#include <glib.h>

typedef struct {
    int width_px, height_px;
    float *rgb; /* [height_px][width_px][3], linear light, 1 white; rows from the top */
} Picture;

Picture *picture_new(int width_px, int height_px);
void picture_free(Picture *picture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Picture, picture_free)

typedef struct {
    double blur_px;    /* of lens and filter, before the noise */
    double shot_noise; /* standard deviation at white, of 1; falls with the root of the light */
    double read_noise; /* at black */
    double sharpen;    /* as the maker's software does: 0 none */
    guint64 seed;
} PictureSensor;

typedef struct {
    int quality;      /* of JPEG, 1 to 100 */
    double dpi;       /* 0: unknown */
    const char *note; /* what the picture is: the JPEG's comment and description */
} PictureFile;

/* Blur, noise, sRGB curve, and a JPEG written whole or not at all. */
gboolean picture_write(const Picture *picture, const PictureSensor *sensor,
                       const PictureFile *file, const char *path, GError **error);

#endif
