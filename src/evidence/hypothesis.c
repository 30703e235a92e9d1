/* One hypothesis and its figures: residuals over the metal, with and without each pair, the
 * score, and what the placement is in words of scale, turn and stretch. */
#include "evidence/hypothesis.h"
#include "evidence/plane_fit_parts.h"
#include "evidence/residual.h"
#include "evidence/score.h"
#include "evidence/sittings.h"

static double rms(int n, const double *residual_mm) {
    double sum = 0;
    for (int k = 0; k < n; k++)
        sum += residual_mm[k] * residual_mm[k];
    return sqrt(sum / n);
}

/* The linear part, of a spline at the print points' middle. */
static void linear_part(const TapulPairSet *pairs, const TapulPlaneFit *fit, TapulVec2 *by_x,
                        TapulVec2 *by_y) {
    *by_x = fit->by_x;
    *by_y = fit->by_y;
    if (!fit->spline)
        return;
    TapulVec2 middle = {0, 0};
    for (int k = 0; k < pairs->n; k++)
        middle = tapul_vec2_add(middle, tapul_vec2_scale(pairs->print_mm[k], 1.0 / pairs->n));
    tapul_spline_differential(fit->spline, middle, by_x, by_y);
}

/* Every linear map is a similarity and a mirrored one together; the nearer to it is the one of
 * its own hand, and the stretches are the sum and the difference of the two scales. */
static void describe_placement(const TapulPairSet *pairs, const TapulPlaneFit *fit,
                               TapulHypothesis *made) {
    TapulVec2 by_x, by_y;
    linear_part(pairs, fit, &by_x, &by_y);
    double direct = hypot(by_x.x + by_y.y, by_x.y - by_y.x) / 2;
    double mirrored = hypot(by_x.x - by_y.y, by_x.y + by_y.x) / 2;
    made->stretch_1 = direct + mirrored;
    made->stretch_2 = fabs(direct - mirrored);
    double hand = fit->reversed ? -1 : 1;
    double along = (hand * fit->by_x.x + fit->by_y.y) / 2;
    double across = (hand * fit->by_x.y - fit->by_y.x) / 2;
    made->scale = hypot(along, across);
    made->turn_rad = atan2(across, along);
}

static void measure(const TapulPairSet *pairs, const TapulPlane *plane,
                    const TapulSitting *sitting, const TapulPlaneFit *fit,
                    TapulHypothesis *made) {
    made->residual_mm = g_new(double, pairs->n);
    made->put_developed_mm = g_new(TapulVec2, pairs->n);
    for (int k = 0; k < pairs->n; k++) {
        gboolean off;
        made->residual_mm[k] = tapul_pair_residual_mm(
            pairs, plane, sitting, k, tapul_plane_fit_point(fit, pairs->print_mm[k]), &off,
            &made->put_developed_mm[k]);
        made->n_off += off;
    }
    made->rms_mm = rms(pairs->n, made->residual_mm);
}

/* Each pair against the fit without it, in the same plane, a spline with the same smoothing.
 * INFINITY where the others do not
 * determine the fit. */
static void leave_each_out(const TapulPairSet *pairs, const TapulPlane *plane,
                           const TapulSitting *sitting, const TapulPlaneFit *whole,
                           TapulHypothesis *made) {
    int n = pairs->n;
    g_assert(n > 0);
    g_autofree int *others = g_new(int, n);
    for (int k = 0; k < n; k++)
        others[k] = k + 1;
    for (int k = 0; k < n; others[k] = k, k++) {
        TapulPlaneFit fit;
        gboolean off;
        TapulVec2 developed_mm;
        made->loo_residual_mm[k] = INFINITY;
        if (!tapul_plane_refit(sitting, whole, n - 1, others, others, &fit))
            continue;
        made->loo_residual_mm[k] = tapul_pair_residual_mm(
            pairs, plane, sitting, k, tapul_plane_fit_point(&fit, pairs->print_mm[k]), &off,
            &developed_mm);
        tapul_plane_fit_clear(&fit);
    }
}

TapulHypothesis *tapul_hypothesis_new_take(const TapulPairSet *pairs, const TapulPlane *plane,
                                           const TapulSitting *sitting, TapulPlaneFit *fit,
                                           int extra_parameters) {
    TapulHypothesis *made = g_new0(TapulHypothesis, 1);
    made->geometry = plane->geometry;
    made->freedom = fit->freedom;
    made->reversed = fit->reversed;
    made->pressing_free = extra_parameters > 0;
    made->parameters = fit->parameters + extra_parameters;
    describe_placement(pairs, fit, made);
    measure(pairs, plane, sitting, fit, made);
    made->loo_residual_mm = g_new(double, pairs->n);
    leave_each_out(pairs, plane, sitting, fit, made);
    made->loo_mm = rms(pairs->n, made->loo_residual_mm);
    double pick_sd_mm = fmax(pairs->pick_sd_mm, TAPUL_LEAST_PICK_SD_MM);
    made->aicc = tapul_score_aicc(2 * pairs->n, made->rms_mm * made->rms_mm * pairs->n,
                                  pick_sd_mm * pick_sd_mm, made->parameters + 1);
    made->placement = tapul_placement_new_take(plane, fit);
    return made;
}

void tapul_hypothesis_free(TapulHypothesis *hypothesis) {
    if (!hypothesis)
        return;
    g_free(hypothesis->residual_mm);
    g_free(hypothesis->loo_residual_mm);
    g_free(hypothesis->put_developed_mm);
    tapul_placement_free(hypothesis->placement);
    g_free(hypothesis);
}
