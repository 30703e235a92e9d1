/* What goes with the pictures: tables as a person would have picked them, and the truth for the
 * tests. */
#ifndef STUDIO_RECORDS_H
#define STUDIO_RECORDS_H

#include "camera.h"

#include <glib.h>

typedef struct {
    const char *name; /* of the picture, without its ending */
    Camera camera;
} Exposure;

/* Marks in a picture: picked with 0.5 px of error, measured with a tape read to 0.1 mm. */
gboolean records_write_points(const Camera *camera, guint64 seed, const char *path,
                              GError **error);
/* Features of the print and where they are on the plate, as a researcher would measure them. */
gboolean records_write_pairs(const char *path, GError **error);
gboolean records_write_truth(const Exposure *exposures, int n, const char *path,
                             GError **error);

#endif
