/* One photograph brought on to the development, before it is blended with others. Internal to
 * photo/. */
#ifndef TAPUL_PHOTO_TAKEN_H
#define TAPUL_PHOTO_TAKEN_H

#include "base/picture.h"
#include "photo/look_grid.h"

typedef struct {
    const TapulPhoto *photo; /* borrowed */
    TapulLookGrid *grid;
    guint8 *seen;         /* [height][width] TapulSeen, by this photograph alone */
    float *px_per_mm;     /* [height][width]; NULL once it is no longer needed */
    TapulPixels *picture; /* RGBA; clear beyond the photograph */
} TapulTaken;

typedef struct {
    const TapulPlate *plate;
    const TapulDevelopmentFinder *finder;
    const TapulRectified *frame; /* box, pixel and size */
    const TapulRectifyOptions *options;
    /* Of the whole work: this photograph's part of it. */
    double progress_from, progress_to;
} TapulTaking;

/* Errors: those of reading a picture; FILE where a picture is not of the shape it must be, or
 * the lamps do not serve. */
TapulTaken *tapul_taken_new(const TapulPhoto *photo, const TapulTaking *taking, GError **error);
void tapul_taken_free(TapulTaken *taken);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulTaken, tapul_taken_free)

/* Blends n photographs into rectified->rgba, by weight where several see a place well, after
 * making them as bright as the first where they overlap (blend.c). */
void tapul_blend(TapulTaken *const *taken, int n, TapulRectified *rectified);

#endif
