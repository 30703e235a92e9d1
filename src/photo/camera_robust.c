/* Points that do not belong: one is named and set aside, two are an error, and two whose names
 * are exchanged are told as that. A point is judged by how much the misfit falls when the
 * camera is fitted without it, against what chance does (the deleted residual's F test: Cook &
 * Weisberg 1982, 2.2.2; Bonferroni over the points). */
#include "photo/camera_view.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sort.h>

/* How often chance alone may make a point, of all of them together, look bad. */
#define FALSE_ALARM 0.001
/* Two bad points are looked for among this many: those without which the rest fit best. */
#define MOST_SUSPECTS 8

/* One point or two, and how the rest fit without. */
typedef struct {
    int first, second; /* second -1: one point */
    double rest_px2;   /* sum of squares without them, or with them exchanged */
    double p;          /* that chance does as much to one given point or pair */
} Suspicion;

typedef struct {
    const TapulSight *sights;
    const TapulViewPoints *points;
    gboolean bent;
    TapulView view;
    double sum_px2;
    int freedoms;                              /* residuals less parameters */
    double rest_px2[TAPUL_CAMERA_MOST_POINTS]; /* sums of squares without each point */
} Judged;

/* A lens that bends must not make good points at the picture's edge look bad: wherever the
 * points can bear it they are judged with the radial term. */
static void judged_set(Judged *judged, const TapulSight *sights,
                       const TapulViewPoints *points) {
    judged->sights = sights;
    judged->points = points;
    judged->bent = points->n - 1 >= TAPUL_CAMERA_BENT_POINTS;
    judged->sum_px2 = tapul_view_search(points, judged->bent, NULL, &judged->view);
    judged->freedoms = 2 * points->n - tapul_view_n_parameters(points, judged->bent);
}

/* The chance that freeing n residuals lowers the sum of squares as much; none where no camera
 * fitted before. */
static double chance_of(const Judged *judged, double rest_px2, int n) {
    int rest = judged->freedoms - n;
    if (!isfinite(rest_px2))
        return 1;
    if (!isfinite(judged->sum_px2))
        return 0;
    double ratio = (judged->sum_px2 - rest_px2) / n / (rest_px2 / rest);
    return gsl_cdf_fdist_Q(fmax(ratio, 0), n, rest);
}

static Suspicion without(const Judged *judged, int i, int j) {
    Suspicion suspicion = {i, j, INFINITY, 1};
    TapulView view;
    g_autoptr(TapulViewPoints) rest = tapul_view_points_without(judged->points, i, j);
    suspicion.rest_px2 = tapul_view_search(
        rest, judged->bent, isfinite(judged->sum_px2) ? &judged->view : NULL, &view);
    suspicion.p = chance_of(judged, suspicion.rest_px2, j < 0 ? 2 : 4);
    return suspicion;
}

static Suspicion worst_single(Judged *judged) {
    Suspicion worst = {-1, -1, INFINITY, 1};
    for (int i = 0; i < judged->points->n; i++) {
        Suspicion one = without(judged, i, -1);
        judged->rest_px2[i] = one.rest_px2;
        if (worst.first < 0 || one.rest_px2 < worst.rest_px2)
            worst = one;
    }
    return worst;
}

/* Better without than chance allows, and the rest do make a camera. */
static gboolean is_bad(const Judged *judged, const Suspicion *suspicion) {
    double n = judged->points->n, tried = suspicion->second < 0 ? n : n * (n - 1) / 2;
    double most_px = tapul_camera_most_misfit_px(judged->points);
    return suspicion->p * tried < FALSE_ALARM && suspicion->rest_px2 < n * most_px * most_px;
}

/* The points without which the rest fit best, the best first: a point that bends the whole fit
 * to itself is not far off, but the rest fit better without it. */
static int most_suspect(const Judged *judged, int out[MOST_SUSPECTS]) {
    int n = judged->points->n, found = 0;
    size_t best[MOST_SUSPECTS];
    gsl_sort_smallest_index(best, (size_t)MIN(n, MOST_SUSPECTS), judged->rest_px2, 1,
                            (size_t)n);
    for (; found < MIN(n, MOST_SUSPECTS); found++)
        out[found] = (int)best[found];
    return found;
}

/* With two of the names exchanged. */
static Suspicion exchanged(const Judged *judged, int i, int j) {
    Suspicion suspicion = {i, j, INFINITY, 1};
    TapulView view;
    g_autoptr(TapulViewPoints) other = tapul_view_points_exchanged(judged->points, i, j);
    suspicion.rest_px2 = tapul_view_search(other, judged->bent, NULL, &view);
    /* No freedom is spent: two variances of as many freedoms are compared. */
    if (isfinite(suspicion.rest_px2))
        suspicion.p = gsl_cdf_fdist_Q(judged->sum_px2 / suspicion.rest_px2, judged->freedoms,
                                      judged->freedoms);
    return suspicion;
}

/* The best of the pairs among the suspects, by leaving both out or by exchanging them. */
static Suspicion worst_pair(const Judged *judged,
                            Suspicion (*try)(const Judged *judged, int i, int j)) {
    Suspicion worst = {-1, -1, INFINITY, 1};
    int suspects[MOST_SUSPECTS], n = most_suspect(judged, suspects);
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++) {
            Suspicion pair = try(judged, suspects[i], suspects[j]);
            if (worst.first < 0 || pair.rest_px2 < worst.rest_px2)
                worst = pair;
        }
    return worst;
}

static gboolean refuse_pair(const Judged *judged, const Suspicion *pair, GError **error) {
    g_set_error(
        error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
        "two bad points, '%s' and '%s': only without both do the others fit one camera, "
        "to %.3g px (rms); one bad point can be set aside",
        judged->sights[pair->first].name, judged->sights[pair->second].name,
        sqrt(pair->rest_px2 / (judged->points->n - 2)));
    return FALSE;
}

static gboolean refuse_exchanged(const Judged *judged, const Suspicion *pair, GError **error) {
    g_set_error(
        error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
        "'%s' and '%s' look exchanged: only with the two changed over do the points fit "
        "one camera, to %.3g px (rms)",
        judged->sights[pair->first].name, judged->sights[pair->second].name,
        sqrt(pair->rest_px2 / judged->points->n));
    return FALSE;
}

/* TRUE where the misfit is no more than picking explains: then nothing is wrong, however
 * unevenly it is spread. */
static gboolean is_picking(double sum_px2, int freedoms, double pick_sd_px) {
    return isfinite(sum_px2) &&
           gsl_cdf_chisq_Q(sum_px2 / (pick_sd_px * pick_sd_px), freedoms) > FALSE_ALARM;
}

/* A wrong focal length spreads its misfit over all points; it is told before any of them is
 * blamed. */
static gboolean check_focal(const Judged *judged, double pick_sd_px, GError **error) {
    TapulViewPoints freed = *judged->points;
    TapulView view;
    freed.focal = 0;
    if (judged->points->focal == 0 ||
        !is_picking(tapul_view_search(&freed, judged->bent, NULL, &view), judged->freedoms - 1,
                    pick_sd_px) ||
        !(view.strength > 0))
        return TRUE;
    g_set_error(
        error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
        "focal_px: with %.0f px the points are %.3g px off (rms); they fit a focal length "
        "of %.0f px",
        judged->points->focal * freed.size_px, sqrt(judged->sum_px2 / judged->points->n),
        view.scale / view.strength * freed.size_px);
    return FALSE;
}

/* Two bad points hide each other from the test of one. */
static gboolean check_pairs(const Judged *judged, GError **error) {
    if (judged->points->n - 2 < TAPUL_CAMERA_LEAST_POINTS)
        return TRUE;
    Suspicion pair = worst_pair(judged, without);
    return !is_bad(judged, &pair) || refuse_pair(judged, &pair, error);
}

/* With one point set aside, whether a second is as bad. */
static gboolean check_rest(const Judged *judged, const Suspicion *one, GError **error) {
    if (judged->points->n - 2 < TAPUL_CAMERA_LEAST_POINTS)
        return TRUE;
    Judged rest;
    g_autoptr(TapulViewPoints) kept = tapul_view_points_without(judged->points, one->first, -1);
    judged_set(&rest, judged->sights, kept);
    Suspicion other = worst_single(&rest);
    if (!is_bad(&rest, &other))
        return TRUE;
    Suspicion pair = {one->first, other.first + (other.first >= one->first), other.rest_px2, 0};
    return refuse_pair(judged, &pair, error);
}

gboolean tapul_camera_find_bad(const TapulSight *sights, const TapulViewPoints *points,
                               double pick_sd_px, int *bad, GError **error) {
    Judged judged;
    *bad = -1;
    judged_set(&judged, sights, points);
    if (is_picking(judged.sum_px2, judged.freedoms, pick_sd_px))
        return TRUE;
    if (!check_focal(&judged, pick_sd_px, error))
        return FALSE;
    Suspicion one = worst_single(&judged);
    if (points->n - 1 >= TAPUL_CAMERA_LEAST_POINTS && is_bad(&judged, &one))
        *bad = one.first;
    if (*bad >= 0 && is_picking(one.rest_px2, judged.freedoms - 2, pick_sd_px))
        return TRUE;
    if (isfinite(judged.sum_px2)) {
        Suspicion swap = worst_pair(&judged, exchanged);
        if (is_bad(&judged, &swap))
            return refuse_exchanged(&judged, &swap, error);
        if (*bad < 0)
            return check_pairs(&judged, error);
    }
    return *bad < 0 || check_rest(&judged, &one, error);
}
