/* What is refused before a camera is looked for: too few points, points alike, points from
 * which no camera follows because they lie on one line or in one plane. */
#include "photo/camera_view.h"

#include <gsl/gsl_linalg.h>
#include <string.h>

/* How many standard deviations of picking the points must spread in their thinnest direction,
 * rms: then that direction is known to a tenth, and what is derived from it has its first
 * digit. */
#define LEAST_SPREAD_PICKS 10.0

/* A misfit of this share of the points' spread is no camera: 5 mm on a plate of 300 mm, whose
 * points spread by 100 mm, and no point of a plate may be given further off than 5 mm. */
#define MOST_MISFIT 0.05

#define LEAST_PICK_PX   0.01
#define LARGEST_PICK_PX 100.0

static gboolean refuse(GError **error, const char *format, ...) G_GNUC_PRINTF(2, 3);

static gboolean refuse(GError **error, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_set_error_literal(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS, message);
    return FALSE;
}

static gboolean check_options(const TapulCameraOptions *options, GError **error) {
    if (!(options->focal_px >= 0 && options->focal_px <= TAPUL_CAMERA_LARGEST_FOCAL_PX))
        return refuse(error, "focal_px: %g is not between 0 (not known) and %g",
                      options->focal_px, TAPUL_CAMERA_LARGEST_FOCAL_PX);
    if (!(options->pick_sd_px >= LEAST_PICK_PX && options->pick_sd_px <= LARGEST_PICK_PX))
        return refuse(error, "pick_sd_px: %g is not between %g and %g", options->pick_sd_px,
                      LEAST_PICK_PX, LARGEST_PICK_PX);
    return TRUE;
}

static gboolean check_values(const TapulSight *sight, int width_px, int height_px,
                             GError **error) {
    TapulVec2 px = sight->px;
    if (!isfinite(px.x) || !isfinite(px.y) || !isfinite(tapul_vec3_length(sight->xyz_mm)))
        return refuse(error, "'%s': its place is not a number", sight->name);
    if (px.x < 0 || px.y < 0 || px.x > width_px || px.y > height_px)
        return refuse(error, "'%s': px_x %g, px_y %g is outside the picture of %d x %d px",
                      sight->name, px.x, px.y, width_px, height_px);
    return TRUE;
}

static gboolean check_alike(const TapulSight *a, const TapulSight *b, GError **error) {
    if (strcmp(a->name, b->name) == 0)
        return refuse(error, "two points have the name '%s'", a->name);
    if (tapul_vec2_distance(a->px, b->px) == 0)
        return refuse(error, "'%s' and '%s' are one pixel of the picture: px_x %g, px_y %g",
                      a->name, b->name, a->px.x, a->px.y);
    if (tapul_vec3_distance(a->xyz_mm, b->xyz_mm) == 0)
        return refuse(error, "'%s' and '%s' are one point of the plate: %g, %g, %g mm", a->name,
                      b->name, a->xyz_mm.x, a->xyz_mm.y, a->xyz_mm.z);
    return TRUE;
}

/* The rms spread along each principal axis of the rows, the longest first. */
static void principal_spread(gsl_matrix *rows, double *spread) {
    size_t n = rows->size1, m = rows->size2;
    g_autoptr(gsl_matrix) axes = gsl_matrix_alloc(m, m);
    g_autoptr(gsl_vector) lengths = gsl_vector_alloc(m), work = gsl_vector_alloc(m);
    gsl_linalg_SV_decomp(rows, axes, lengths, work);
    for (size_t k = 0; k < m; k++)
        spread[k] = gsl_vector_get(lengths, k) / sqrt((double)n);
}

/* The points and what is seen of them, each about its middle, in mm and px. */
static void about_middle(const TapulViewPoints *points, gsl_matrix *places, gsl_matrix *seen) {
    TapulVec3 middle = {0, 0, 0};
    TapulVec2 middle_seen = {0, 0};
    double share = 1.0 / points->n;
    for (int i = 0; i < points->n; i++) {
        middle = tapul_vec3_add(middle, tapul_vec3_scale(points->point[i], share));
        middle_seen = tapul_vec2_add(middle_seen, tapul_vec2_scale(points->seen[i], share));
    }
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p = tapul_vec3_sub(points->point[i], middle);
        TapulVec2 s = tapul_vec2_sub(points->seen[i], middle_seen);
        size_t row = (size_t)i;
        gsl_matrix_set(places, row, 0, p.x * points->size_mm);
        gsl_matrix_set(places, row, 1, p.y * points->size_mm);
        gsl_matrix_set(places, row, 2, p.z * points->size_mm);
        gsl_matrix_set(seen, row, 0, s.x * points->size_px);
        gsl_matrix_set(seen, row, 1, s.y * points->size_px);
    }
}

static void spread_of(const TapulViewPoints *points, double across_mm[3], double across_px[2]) {
    size_t n = (size_t)points->n;
    g_autoptr(gsl_matrix) places = gsl_matrix_alloc(n, 3), seen = gsl_matrix_alloc(n, 2);
    about_middle(points, places, seen);
    principal_spread(places, across_mm);
    principal_spread(seen, across_px);
}

double tapul_camera_most_misfit_px(const TapulViewPoints *points) {
    double across_mm[3], across_px[2];
    spread_of(points, across_mm, across_px);
    return MOST_MISFIT * hypot(across_px[0], across_px[1]);
}

gboolean tapul_camera_check_spread(const TapulViewPoints *points, double pick_sd_px,
                                   GError **error) {
    double across_mm[3], across_px[2];
    spread_of(points, across_mm, across_px);
    double wanted_px = LEAST_SPREAD_PICKS * pick_sd_px;
    if (across_px[1] < wanted_px)
        return refuse(
            error,
            "the points are seen on one line of the picture: they leave it by %.1f px "
            "(rms), at least %.1f px are needed",
            across_px[1], wanted_px);
    /* Picking's error on the metal, by how large the picture shows the points over all. */
    double size_mm = hypot(hypot(across_mm[0], across_mm[1]), across_mm[2]);
    double wanted_mm = wanted_px * size_mm / hypot(across_px[0], across_px[1]);
    if (across_mm[1] < wanted_mm)
        return refuse(error,
                      "the points lie on one line of space: they leave it by %.3f mm (rms), at "
                      "least %.3f mm are needed",
                      across_mm[1], wanted_mm);
    if (across_mm[2] < wanted_mm)
        return refuse(error,
                      "the points lie in one plane: they leave it by %.3f mm (rms), at least "
                      "%.3f mm are needed",
                      across_mm[2], wanted_mm);
    return TRUE;
}

gboolean tapul_camera_check(const TapulSight *sights, int n, int width_px, int height_px,
                            const TapulCameraOptions *options, GError **error) {
    if (!check_options(options, error))
        return FALSE;
    if (n < TAPUL_CAMERA_LEAST_POINTS || n > TAPUL_CAMERA_MOST_POINTS)
        return refuse(error,
                      "%d points given whose place on the plate is known; permitted: %d to %d",
                      n, TAPUL_CAMERA_LEAST_POINTS, TAPUL_CAMERA_MOST_POINTS);
    for (int i = 0; i < n; i++) {
        if (!check_values(&sights[i], width_px, height_px, error))
            return FALSE;
        for (int j = 0; j < i; j++)
            if (!check_alike(&sights[j], &sights[i], error))
                return FALSE;
    }
    g_autoptr(TapulViewPoints) points =
        tapul_view_points_new(sights, n, width_px, height_px, options->focal_px);
    return tapul_camera_check_spread(points, options->pick_sd_px, error);
}
