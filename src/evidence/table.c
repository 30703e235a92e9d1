/* The grid of hypotheses of one print: every geometry, freedom and hand, in the order of their
 * support. */
#include "evidence/hypothesis.h"
#include "evidence/rolled_fit.h"
#include "evidence/score.h"

static void add_row(GPtrArray *rows, const TapulPairSet *pairs, const TapulPlane *plane,
                    const TapulSitting *sitting, TapulPlaneFit *fit, int extra_parameters) {
    gboolean bends = fit->freedom != TAPUL_FREEDOM_BENT || fit->spline;
    if (bends)
        g_ptr_array_add(
            rows, tapul_hypothesis_new_take(pairs, plane, sitting, fit, extra_parameters));
    tapul_plane_fit_clear(fit);
}

static void add_fit(GPtrArray *rows, const TapulPairSet *pairs, const TapulPlane *plane,
                    const TapulSitting *sitting, TapulFreedom freedom, gboolean reversed) {
    TapulPlaneFit fit;
    if (tapul_plane_fit(sitting, freedom, reversed, pairs->n, NULL, NULL, pairs->pick_sd_mm,
                        &fit))
        add_row(rows, pairs, plane, sitting, &fit, 0);
}

/* Viewed and developed: closed forms in one plane. */
static void add_flat(GPtrArray *rows, const TapulPairSet *pairs, TapulLayingRule geometry) {
    TapulPlane plane = tapul_plane(pairs->ground, geometry, (TapulSpot){0});
    g_autoptr(TapulSitting) sitting = tapul_sitting_in(pairs, &plane);
    for (int reversed = 0; reversed < 2; reversed++)
        for (int freedom = 0; freedom <= TAPUL_FREEDOM_BENT; freedom++)
            add_fit(rows, pairs, &plane, sitting, (TapulFreedom)freedom, reversed);
}

/* Rolled, of one hand. The spline is fitted in the chart of the last fit with the pressing
 * point given, and has no row with it estimated: it takes up what that would change. */
static void add_rolled(GPtrArray *rows, const TapulPairSet *pairs, gboolean reversed) {
    TapulRolledFit start, best;
    if (!tapul_rolled_start(pairs, reversed, &start))
        return;
    for (int pressing_free = 0; pressing_free < 2; pressing_free++) {
        TapulFreedom freedom = TAPUL_FREEDOM_TRACED;
        for (; freedom <= TAPUL_FREEDOM_STRETCHED; freedom++) {
            if (tapul_rolled_fit(pairs, &start, freedom, reversed, pressing_free, &best)) {
                /* The point's two coordinates are counted apart, as those of every plane. */
                best.fit.parameters -= pressing_free ? 2 : 0;
                if (!pressing_free && freedom == TAPUL_FREEDOM_STRETCHED)
                    add_fit(rows, pairs, &best.plane, best.sitting, TAPUL_FREEDOM_BENT,
                            reversed);
                add_row(rows, pairs, &best.plane, best.sitting, &best.fit,
                        pressing_free ? 2 : 0);
            }
            tapul_rolled_fit_clear(&best);
        }
    }
    tapul_rolled_fit_clear(&start);
}

static const TapulHypothesis *row(const GPtrArray *rows, guint i) {
    return g_ptr_array_index(rows, i);
}

static int by_aicc(gconstpointer a, gconstpointer b) {
    const TapulHypothesis *one = *(TapulHypothesis *const *)a;
    const TapulHypothesis *other = *(TapulHypothesis *const *)b;
    if (one->aicc != other->aicc)
        return one->aicc < other->aicc ? -1 : 1;
    return (one->parameters > other->parameters) - (one->parameters < other->parameters);
}

/* In order of AICc: the first of the fewest parameters. */
static guint preferred_of(const GPtrArray *rows) {
    guint preferred = 0;
    for (guint i = 1; i < rows->len; i++)
        if (row(rows, i)->aicc - row(rows, 0)->aicc <= TAPUL_AICC_UNTOLD &&
            row(rows, i)->parameters < row(rows, preferred)->parameters)
            preferred = i;
    return preferred;
}

void tapul_hypotheses_sort(GPtrArray *hypotheses) {
    guint n = hypotheses->len;
    if (n == 0)
        return;
    g_autofree double *aicc = g_new(double, n), *weight = g_new(double, n);
    g_ptr_array_sort(hypotheses, by_aicc);
    for (guint i = 0; i < n; i++)
        aicc[i] = row(hypotheses, i)->aicc;
    tapul_score_weights((int)n, aicc, weight);
    for (guint i = 0; i < n; i++)
        ((TapulHypothesis *)g_ptr_array_index(hypotheses, i))->weight = weight[i];
    guint preferred = preferred_of(hypotheses);
    g_ptr_array_insert(hypotheses, 0, g_ptr_array_steal_index(hypotheses, preferred));
}

GArray *tapul_hypotheses_equal(const GPtrArray *hypotheses) {
    GArray *equal = g_array_new(FALSE, FALSE, sizeof(int));
    double least = INFINITY;
    for (guint i = 0; i < hypotheses->len; i++)
        least = fmin(least, row(hypotheses, i)->aicc);
    for (int i = 0; i < (int)hypotheses->len; i++)
        if (row(hypotheses, (guint)i)->aicc - least <= TAPUL_AICC_UNTOLD)
            g_array_append_val(equal, i);
    return equal;
}

static void free_row(gpointer data) {
    tapul_hypothesis_free(data);
}

GPtrArray *tapul_hypotheses_new(const TapulPairSet *pairs) {
    GPtrArray *rows = g_ptr_array_new_with_free_func(free_row);
    add_flat(rows, pairs, TAPUL_LAYING_VIEWED);
    add_flat(rows, pairs, TAPUL_LAYING_DEVELOPED);
    add_rolled(rows, pairs, FALSE);
    add_rolled(rows, pairs, TRUE);
    tapul_hypotheses_sort(rows);
    return rows;
}
