/* A camera while it is being found, in units that keep every number near 1.
 *
 * A view maps a point X (from the points' centroid, in their own size) to the picture (from its
 * middle, in half diagonals):
 *
 *   d = (scale R1 X + shift_x, scale R2 X + shift_y) / (1 + strength R3 X)
 *   seen = d (1 + bend |d|^2)
 *
 * This is the camera of photo.h with scale = focal / depth of the centroid, strength = 1 /
 * depth and bend = k1 / focal^2. So written a distant camera (strength near 0, focal without
 * bound) is a place like any other, not the end of a valley along which focal and distance grow
 * together.
 */
#ifndef TAPUL_PHOTO_CAMERA_VIEW_H
#define TAPUL_PHOTO_CAMERA_VIEW_H

#include <gsl/gsl_matrix.h>
#include <gsl/gsl_vector.h>
#include <tapul/photo.h>

G_BEGIN_DECLS

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_vector, gsl_vector_free)

/* The direct linear start has 11 freedoms, and each point gives two equations. */
#define TAPUL_CAMERA_LEAST_POINTS 6
/* The radial term is tried from here on: one more freedom must not eat the last check. */
#define TAPUL_CAMERA_BENT_POINTS 8
/* Nobody picks more by hand; each is left out in turn. */
#define TAPUL_CAMERA_MOST_POINTS 200
/* No lens and sensor give as much: a camera at infinity, to any eye. */
#define TAPUL_CAMERA_LARGEST_FOCAL_PX 1e6
/* A misfit below this, in pixels, is the arithmetic's: no sum of squares is taken for less. */
#define TAPUL_CAMERA_ROUNDING_PX 1e-6

typedef struct {
    int n;
    TapulVec3 *point; /* [n] */
    TapulVec2 *seen;  /* [n] */
    TapulVec3 centroid_mm;
    double size_mm; /* rms distance of the points from it */
    int width_px, height_px;
    TapulVec2 centre_px;
    double size_px;
    double focal; /* in size_px; 0: not known */
} TapulViewPoints;

TapulViewPoints *tapul_view_points_new(const TapulSight *sights, int n, int width_px,
                                       int height_px, double focal_px);
/* The others, in their order; j may be -1. */
TapulViewPoints *tapul_view_points_without(const TapulViewPoints *points, int i, int j);
/* All, with the places of i and j in the picture exchanged. */
TapulViewPoints *tapul_view_points_exchanged(const TapulViewPoints *points, int i, int j);
void tapul_view_points_free(TapulViewPoints *points);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulViewPoints, tapul_view_points_free)

typedef struct {
    double rotation[3][3];
    TapulVec2 shift;
    double scale, strength, bend;
} TapulView;

/* The fit's parameters: a turn applied after the rotation (its axis times its angle), shift_x,
 * shift_y, scale, strength unless the focal is known, bend if the view is bent. */
enum { TAPUL_VIEW_SHIFT_X = 3, TAPUL_VIEW_SHIFT_Y, TAPUL_VIEW_SCALE, TAPUL_VIEW_STRENGTH };
#define TAPUL_VIEW_MOST_PARAMETERS 8
int tapul_view_n_parameters(const TapulViewPoints *points, gboolean bent);

/* The view that parameters[n] make of a base view, of which only the rotation counts. */
TapulView tapul_view_step(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                          const double *parameters);
/* The parameters of the base view itself: no turn. */
void tapul_view_parameters(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                           double *parameters);
/* Seen less where it should be, x and y of each point: residuals[2 n]; behind the camera a
 * constant far beyond any picture. derivatives (or NULL): [2 n][parameters], by the parameters.
 */
void tapul_view_residuals(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                          const double *parameters, gsl_vector *residuals,
                          gsl_matrix *derivatives);
/* How far each point is seen from where it should be. */
void tapul_view_distances_px(const TapulViewPoints *points, const TapulView *view,
                             double *distances_px);
/* Every point in front of the camera, none beyond the fold of the radial term. */
gboolean tapul_view_sees_all(const TapulViewPoints *points, const TapulView *view);
/* The camera of a view of strength > 0. */
TapulCamera tapul_view_camera(const TapulViewPoints *points, const TapulView *view);

/* --- Starts (camera_dlt.c) --- */

/* What the direct linear solution says: the picture is a mirror image; points[n] lie behind. */
typedef struct {
    double sum_px2; /* of squared distances */
    gboolean mirrored;
    int n_behind, one_behind; /* fewer than half the points; one of them */
} TapulDirect;

/* Direct linear solution, forced to square pixels about the picture's middle; needs 6 points.
 * FALSE where it is no camera: the view is not set. direct may be NULL. */
gboolean tapul_view_direct(const TapulViewPoints *points, TapulView *view, TapulDirect *direct);
/* The two views of scaled orthography, strength 0: side 0 or 1. */
TapulView tapul_view_distant(const TapulViewPoints *points, int side);

/* --- Fits (camera_fit.c); all return the sum of squared distances in px^2, INFINITY if none
 * was found --- */

/* Refines a view. covariance (or NULL): [parameters][parameters], for residuals of unit
 * variance, about the view itself. */
double tapul_view_refine(const TapulViewPoints *points, gboolean bent, TapulView *view,
                         gsl_matrix *covariance);
/* The best view from all starts, and from near unless NULL. */
double tapul_view_search(const TapulViewPoints *points, gboolean bent, const TapulView *near,
                         TapulView *view);
/* Standard deviations by first-order propagation from the covariance; residuals of
 * variance_px2. */
void tapul_view_spread(const TapulViewPoints *points, const TapulView *view,
                       const gsl_matrix *covariance, double variance_px2, TapulCameraFit *fit);

/* --- Refusals (camera_check.c) --- */

/* Errors of what is given: count, names, values, places alike, all on one line or plane. */
gboolean tapul_camera_check(const TapulSight *sights, int n, int width_px, int height_px,
                            const TapulCameraOptions *options, GError **error);
/* The last of these alone: points that leave one line, and one plane, by too little for how
 * they are picked. */
gboolean tapul_camera_check_spread(const TapulViewPoints *points, double pick_sd_px,
                                   GError **error);

/* The rms misfit beyond which no camera is said to fit. */
double tapul_camera_most_misfit_px(const TapulViewPoints *points);

/* --- Bad points (camera_robust.c) --- */

/* Names the one point that does not fit with the rest, -1 for none. Errors: two of them, two
 * exchanged, a known focal that is not theirs. */
gboolean tapul_camera_find_bad(const TapulSight *sights, const TapulViewPoints *points,
                               double pick_sd_px, int *bad, GError **error);

G_END_DECLS

#endif
