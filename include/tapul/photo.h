/* Photographs: the camera that took them, found from points whose place on the plate is known, and the
 * photograph brought on to the plate's development.
 *
 * Pixel frame: x right, y down, the first pixel's centre at (0.5, 0.5). Camera frame: x right, y down, z
 * forward. The plate frame is right-handed with y up and z towards the viewer. */
#ifndef TAPUL_PHOTO_H
#define TAPUL_PHOTO_H

#include <tapul/development.h>
#include <tapul/plate.h>

G_BEGIN_DECLS

#define TAPUL_PHOTO_ERROR (tapul_photo_error_quark())
GQuark tapul_photo_error_quark(void);

typedef enum {
    TAPUL_PHOTO_ERROR_FILE,   /* the picture or its table of points cannot be used */
    TAPUL_PHOTO_ERROR_POINTS, /* too few, on one line, in one plane, or they do not fit one camera */
    TAPUL_PHOTO_ERROR_VIEW    /* nothing of the plate is seen */
} TapulPhotoError;

/* x_px = centre + focal (1 + k1 r^2) (X/Z, Y/Z), r^2 = (X/Z)^2 + (Y/Z)^2, (X, Y, Z) = rotation (p - eye). Square
 * pixels, no skew, centre in the picture's middle. */
typedef struct {
    int width_px, height_px;
    double focal_px, k1;
    TapulVec2 centre_px;
    double rotation[3][3]; /* plate frame -> camera frame */
    TapulVec3 eye_mm;      /* plate frame */
} TapulCamera;

/* Plate -> picture; FALSE behind the camera (or where the radial term folds). */
gboolean tapul_camera_pixel(const TapulCamera *camera, TapulVec3 point_mm, TapulVec2 *px);
/* The unit direction, in the plate frame, in which a pixel is seen from the eye; beyond the fold of the radial term,
 * where nothing is seen, that of the fold. */
TapulVec3 tapul_camera_ray(const TapulCamera *camera, TapulVec2 px);

/* A point seen in a photograph whose place on the plate is known. */
typedef struct {
    char *name;
    TapulVec2 px;
    TapulSpot spot;
    TapulVec3 xyz_mm; /* of the smooth surface at the spot */
    /* Set by the fit: */
    double residual_px;
    double loo_px, loo_mm; /* seen against the camera fitted without it; NAN where that cannot be fitted. In mm:
                              at the point, across the line of sight */
    gboolean set_aside;    /* a bad point, which the camera was fitted without */
} TapulSight;

typedef struct {
    double focal_px;     /* > 0: known, not fitted; 0: fitted */
    double pick_sd_px;   /* 0.5: how well a point can be picked in the picture */
} TapulCameraOptions;

TapulCameraOptions tapul_camera_options_defaults(void);

typedef struct {
    TapulCamera camera;
    gboolean has_k1;                /* the points bear a radial term: AICc lower by more than 2 with it */
    /* Standard deviations from the fit's covariance and misfit: of the focal (0 where it is known), of the turn
       and of the eye's place (root of the sum of the variances along three axes). They take the model for
       right: a bent lens whose term the points do not bear is not in them. */
    double focal_sd_px, turn_sd_rad, eye_sd_mm;
    double rms_px;                  /* over the points kept, both coordinates together: sqrt(sum d^2 / n) */
    double loo_px, loo_mm;          /* rms of the points' own */
    int set_aside;                  /* index of the bad point, -1: none */
} TapulCameraFit;

/* Fits a camera to sights[n], n from 6 to 200: direct linear start (Abdel-Aziz & Karara 1971, normalised as in
 * Hartley 1997) and starts from scaled orthography, Levenberg-Marquardt refinement of the distances in the
 * picture, the best kept. Where the misfit is more than picking explains (chi squared at 0.001) and n >= 7, one bad
 * point is set aside: the misfit without it must be lower than chance makes it (F test, 0.001 over all points).
 * Errors POINTS: too few or many; outside the picture; two names or two places alike; on one line or in one plane,
 * to within ten picking errors; two bad points; two points exchanged; a known focal that is not theirs; behind the
 * camera or a mirror image; no perspective (the focal must be given); or no camera fits (says which point is worst).
 * options NULL: defaults. */
gboolean tapul_camera_fit(TapulSight *sights, int n, int width_px, int height_px,
                          const TapulCameraOptions *options, TapulCameraFit *fit, GError **error);

/* --- Photographs of a case --- */

/* The same camera position lit by another lamp. */
typedef struct {
    char *file;
    TapulVec3 towards; /* unit, plate frame: from the plate to the lamp */
} TapulLamp;

typedef struct {
    char *file;
    int width_px, height_px;
    GArray *sights;      /* of TapulSight */
    GPtrArray *lamps;    /* of TapulLamp*; empty: none */
    TapulCameraOptions options;
    gboolean fitted;
    TapulCameraFit fit;
} TapulPhoto;

/* Reads a picture's size and a table of its points (name,px_x,px_y, and a plate point in any of the three ways),
 * and fits the camera. Errors name file, line and value. */
TapulPhoto *tapul_photo_load(const char *file, const char *points_file, const TapulPlate *plate,
                             const TapulCameraOptions *options, GError **error);
void tapul_photo_free(TapulPhoto *photo);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPhoto, tapul_photo_free)

/* The plate's spot seen at a pixel, on its smooth surface; FALSE beside the plate and where its back is seen. */
gboolean tapul_photo_spot(const TapulPhoto *photo, const TapulPlate *plate, TapulVec2 px, TapulSpot *spot);

/* --- Rectified --- */

typedef enum {
    TAPUL_SEEN_OFF,     /* off the plate */
    TAPUL_SEEN_HIDDEN,  /* in no photograph */
    TAPUL_SEEN_GRAZING, /* only at more than the grazing angle */
    TAPUL_SEEN_WELL
} TapulSeen;

/* Photographs on the development: what a flat-bed scan of the metal laid flat would show. */
typedef struct {
    TapulBox box_mm;         /* developed frame */
    double pixel_mm;
    int width_px, height_px; /* rows from the top */
    guint8 *rgba;            /* [height][width][4]; alpha 0 where not seen well */
    guint8 *seen;            /* [height][width] TapulSeen */
    float *px_per_mm;        /* [height][width] of the photograph that shows it best, in its worse direction; 0 unseen */
    double seen_share;       /* of the plate's area, over the metal */
    double grazing_share;
} TapulRectified;

typedef struct {
    double pixel_mm;         /* 0: as fine as the photographs bear; at most 60 megapixels */
    double grazing_rad;      /* 75 degrees: between the line of sight and the normal */
    gboolean enhance;        /* worn etching brought out: local contrast, or photometric stereo where there are lamps */
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulRectifyOptions;

TapulRectifyOptions tapul_rectify_options_defaults(void);

/* Several photographs are blended, the one that sees a place more from the front preferred.
 * Errors: FILE, VIEW. */
TapulRectified *tapul_rectify(const TapulPlate *plate, const TapulDevelopment *development,
                              const TapulDevelopmentFinder *finder, TapulPhoto *const *photos, int n_photos,
                              const TapulRectifyOptions *options, GError **error);
void tapul_rectified_free(TapulRectified *rectified);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRectified, tapul_rectified_free)

/* PNG or TIFF by the name's ending, with its resolution, and a world file beside it (.pgw, .tfw: six lines, mm). */
gboolean tapul_rectified_write(const TapulRectified *rectified, const char *path, GError **error);

G_END_DECLS

#endif
