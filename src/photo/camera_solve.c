/* The whole fit of a camera: refusals, a bad point set aside, the radial term if the points
 * bear it, and how far all this is to be trusted: leave-one-out errors and standard deviations.
 */
#include "photo/camera_view.h"

/* The radial term must lower AICc by more than this (Burnham & Anderson 2002: models within 2
 * are as good). */
#define AICC_MARGIN 2.0
/* Perspective is the wrong way round when its strength is below nothing by more than this many
 * standard deviations, which chance does once in a thousand. */
#define REVERSED_SDS 3.0

typedef struct {
    TapulView view;
    gboolean bent;
    double sum_px2;
    gsl_matrix *covariance;
} Solved;

static void solved_clear(Solved *solved) {
    g_clear_pointer(&solved->covariance, gsl_matrix_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Solved, solved_clear)

static double aicc(double sum_px2, int n, int n_parameters) {
    int k = n_parameters + 1; /* the variance is one more */
    return n * log(sum_px2 / n) + 2 * k + 2.0 * k * (k + 1) / (n - k - 1);
}

static gboolean bears_bend(const TapulViewPoints *points, double plain_px2, double bent_px2) {
    int n = 2 * points->n, k = tapul_view_n_parameters(points, FALSE);
    return isfinite(bent_px2) && aicc(bent_px2, n, k + 1) < aicc(plain_px2, n, k) - AICC_MARGIN;
}

static void solve(const TapulViewPoints *points, Solved *solved) {
    solved->sum_px2 = tapul_view_search(points, FALSE, NULL, &solved->view);
    if (points->n >= TAPUL_CAMERA_BENT_POINTS) {
        TapulView bent;
        double bent_px2 = tapul_view_search(points, TRUE, NULL, &bent);
        solved->bent = bears_bend(points, solved->sum_px2, bent_px2);
        if (solved->bent) {
            solved->view = bent;
            solved->sum_px2 = bent_px2;
        }
    }
    if (!isfinite(solved->sum_px2))
        return;
    size_t n_parameters = (size_t)tapul_view_n_parameters(points, solved->bent);
    solved->covariance = gsl_matrix_calloc(n_parameters, n_parameters);
    tapul_view_refine(points, solved->bent, &solved->view, solved->covariance);
}

/* Why no camera fits, where the direct linear solution knows. */
static char *explain(const TapulSight *sights, const TapulViewPoints *points, double most_px) {
    TapulView view;
    TapulDirect direct;
    tapul_view_direct(points, &view, &direct);
    if (!(direct.sum_px2 < most_px * most_px * points->n))
        return g_strdup("");
    if (direct.n_behind > 0)
        return g_strdup_printf("; '%s' would lie behind the camera",
                               sights[direct.one_behind].name);
    return g_strdup(direct.mirrored ? "; they would fit a mirror image of the picture" : "");
}

static gboolean refuse_misfit(const TapulSight *sights, const TapulViewPoints *points,
                              const Solved *solved, GError **error) {
    int worst = 0;
    double off_px[TAPUL_CAMERA_MOST_POINTS], most_px = tapul_camera_most_misfit_px(points);
    tapul_view_distances_px(points, &solved->view, off_px);
    for (int i = 1; i < points->n; i++)
        if (off_px[i] > off_px[worst])
            worst = i;
    g_autofree char *why = explain(sights, points, most_px);
    g_set_error(
        error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
        "no camera fits the points: the nearest is %.3g px off (rms), at most %.3g px are "
        "permitted; worst is '%s', %.3g px off%s",
        sqrt(solved->sum_px2 / points->n), most_px, sights[worst].name, off_px[worst], why);
    return FALSE;
}

/* A finite focal length, or none that could be told from a camera at infinity. */
static gboolean has_perspective(const TapulViewPoints *points, const TapulView *view) {
    return view->strength * TAPUL_CAMERA_LARGEST_FOCAL_PX > view->scale * points->size_px;
}

/* What is nearer is seen smaller. */
static gboolean is_reversed(const TapulViewPoints *points, const Solved *solved) {
    if (points->focal > 0)
        return FALSE;
    int freedoms = 2 * points->n - tapul_view_n_parameters(points, solved->bent);
    double variance =
        gsl_matrix_get(solved->covariance, TAPUL_VIEW_STRENGTH, TAPUL_VIEW_STRENGTH) *
        solved->sum_px2 / freedoms;
    return solved->view.strength < -REVERSED_SDS * sqrt(variance);
}

static gboolean check_solved(const TapulSight *sights, const TapulViewPoints *points,
                             const Solved *solved, GError **error) {
    if (!isfinite(solved->sum_px2)) {
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
                    "no camera has all points in front of it");
        return FALSE;
    }
    if (sqrt(solved->sum_px2 / points->n) > tapul_camera_most_misfit_px(points))
        return refuse_misfit(sights, points, solved, error);
    if (has_perspective(points, &solved->view))
        return TRUE;
    if (is_reversed(points, solved))
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
                    "what is nearer is seen smaller: is the picture a mirror image, or are its "
                    "points named in mirror order?");
    else
        g_set_error(
            error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
            "the points show no perspective, so that the focal length cannot be found "
            "from them: focal_px must be given, or points that lie nearer to the camera "
            "and further from it");
    return FALSE;
}

static double residual_px(const TapulCamera *camera, const TapulSight *sight) {
    TapulVec2 px;
    return tapul_camera_pixel(camera, sight->xyz_mm, &px) ? tapul_vec2_distance(px, sight->px)
                                                          : NAN;
}

/* How far a point lies from the line on which it is seen. */
static double off_sight_mm(const TapulCamera *camera, const TapulSight *sight) {
    TapulVec3 from = tapul_vec3_sub(sight->xyz_mm, camera->eye_mm);
    return tapul_vec3_length(tapul_vec3_cross(tapul_camera_ray(camera, sight->px), from));
}

static void leave_one_out(const TapulViewPoints *points, const Solved *solved,
                          double pick_sd_px, int i, TapulSight *sight) {
    g_autoptr(TapulViewPoints) rest = tapul_view_points_without(points, i, -1);
    TapulView view = solved->view;
    sight->loo_px = sight->loo_mm = NAN;
    if (!tapul_camera_check_spread(rest, pick_sd_px, NULL) ||
        !isfinite(tapul_view_refine(rest, solved->bent, &view, NULL)) ||
        !has_perspective(rest, &view))
        return;
    TapulCamera camera = tapul_view_camera(rest, &view);
    sight->loo_px = residual_px(&camera, sight);
    if (!isnan(sight->loo_px))
        sight->loo_mm = off_sight_mm(&camera, sight);
}

/* rms of the values that are numbers; NAN if none is. */
static double rms_of_known(double sum_squares, int n) {
    return n > 0 ? sqrt(sum_squares / n) : NAN;
}

static void report(TapulSight *sights, const TapulViewPoints *points, const Solved *solved,
                   double pick_sd_px, TapulCameraFit *fit) {
    double sum_px2 = 0, sum_mm2 = 0;
    int known = 0, freedoms = 2 * points->n - tapul_view_n_parameters(points, solved->bent);
    fit->camera = tapul_view_camera(points, &solved->view);
    fit->has_k1 = solved->bent;
    fit->rms_px = sqrt(solved->sum_px2 / points->n);
    tapul_view_spread(points, &solved->view, solved->covariance, solved->sum_px2 / freedoms,
                      fit);
    for (int i = 0; i < points->n; i++) {
        sights[i].residual_px = residual_px(&fit->camera, &sights[i]);
        leave_one_out(points, solved, pick_sd_px, i, &sights[i]);
        if (isnan(sights[i].loo_px))
            continue;
        known++;
        sum_px2 += sights[i].loo_px * sights[i].loo_px;
        sum_mm2 += sights[i].loo_mm * sights[i].loo_mm;
    }
    fit->loo_px = rms_of_known(sum_px2, known);
    fit->loo_mm = rms_of_known(sum_mm2, known);
}

static void report_bad(TapulSight *bad, const TapulCamera *camera) {
    bad->set_aside = TRUE;
    bad->residual_px = bad->loo_px = residual_px(camera, bad);
    bad->loo_mm = off_sight_mm(camera, bad);
}

/* The sights but one, which may be -1; names are borrowed. */
static TapulSight *sights_without(const TapulSight *sights, int n, int bad) {
    TapulSight *kept = g_new0(TapulSight, n);
    for (int i = 0, k = 0; i < n; i++)
        if (i != bad) {
            kept[k] = sights[i];
            kept[k++].set_aside = FALSE;
        }
    return kept;
}

gboolean tapul_camera_fit(TapulSight *sights, int n, int width_px, int height_px,
                          const TapulCameraOptions *options, TapulCameraFit *fit,
                          GError **error) {
    TapulCameraOptions defaults = tapul_camera_options_defaults();
    options = options ? options : &defaults;
    *fit = (TapulCameraFit){.set_aside = -1};
    if (!tapul_camera_check(sights, n, width_px, height_px, options, error))
        return FALSE;
    g_autoptr(TapulViewPoints) all =
        tapul_view_points_new(sights, n, width_px, height_px, options->focal_px);
    int bad;
    if (!tapul_camera_find_bad(sights, all, options->pick_sd_px, &bad, error))
        return FALSE;
    g_autoptr(TapulViewPoints) points = tapul_view_points_without(all, bad, -1);
    g_autofree TapulSight *kept = sights_without(sights, n, bad);
    g_auto(Solved) solved = {.bent = FALSE};
    if (!tapul_camera_check_spread(points, options->pick_sd_px, error)) {
        g_prefix_error(error, "without '%s', which does not fit the others, ",
                       sights[bad].name);
        return FALSE;
    }
    solve(points, &solved);
    if (!check_solved(kept, points, &solved, error))
        return FALSE;
    report(kept, points, &solved, options->pick_sd_px, fit);
    for (int i = 0, k = 0; i < n; i++) {
        if (i == bad)
            report_bad(&sights[i], &fit->camera);
        else
            sights[i] = kept[k++];
    }
    fit->set_aside = bad;
    return TRUE;
}
