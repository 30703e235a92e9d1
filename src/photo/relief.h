/* Photometric stereo: how the metal lies at each place, from photographs under several lamps.
 * Internal to photo/. */
#ifndef TAPUL_PHOTO_RELIEF_H
#define TAPUL_PHOTO_RELIEF_H

#include "base/picture.h"
#include "photo/look_grid.h"

/* Three lamps make the three unknowns; with more than a dozen the choice of samples would need
 * more memory than it is worth. */
#define TAPUL_RELIEF_LEAST_LAMPS 3
#define TAPUL_RELIEF_MOST_LAMPS  12

typedef struct TapulRelief TapulRelief;

/* towards[n]: unit, from the plate to each lamp. Error FILE (the message without a file's
 * name): too few, too many, or all in one plane with the plate. */
TapulRelief *tapul_relief_new(const TapulVec3 *towards, int n, GError **error);
void tapul_relief_free(TapulRelief *relief);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRelief, tapul_relief_free)

/* The normal (unit, in the lamps' frame) and albedo (light sent back where a lamp stands
 * upright over the metal) that light[n] tells, linear from 0 to 1 (saturated). Shadowed and
 * saturated samples are left out; FALSE where fewer than three lamps in different directions
 * are left. Woodham, Optical Engineering 19(1), 1980, 139-144. */
gboolean tapul_relief_solve(const TapulRelief *relief, const float *light, TapulVec3 *normal,
                            double *albedo);

/* Draws over picture (RGBA, as large as the grid's frame): white where the found normal is the
 * plate's own, the darker the larger the angle between them; clear where nothing is found.
 * coded[n][height][width]: the lamps' photographs on the same development, grey, 8 bit. */
void tapul_relief_draw(const TapulRelief *relief, guint8 *const *coded, int n,
                       const guint8 *seen, const TapulLookGrid *grid, TapulPixels *picture);

#endif
