/* Where the lifted sheet depends on the rule: the sheets that several rules give of one design,
 * each turned and shifted to lie on the first as nearly as can be (a sheet is the same however
 * it lies), and how far they put each of the design's points apart. */
#include "laying/lift_parts.h"

/* Points put further apart than this are told one by one: less is within what a tracing's pen
 * and hand are off (common practice, no source). */
#define APART_MM 1.0

void tapul_lift_comparison_free(TapulLiftComparison *comparison) {
    if (!comparison)
        return;
    g_free(comparison->turn_rad);
    g_free(comparison->shift_mm);
    g_array_unref(comparison->apart);
    g_free(comparison);
}

/* Where each sheet puts each point, [n][points->len]; NAN where it does not have it. */
static TapulVec2 *all_places(const TapulGround *ground, const GArray *points, int n,
                             TapulLifted *const *lifted) {
    int n_points = (int)points->len;
    TapulVec2 *places = g_new(TapulVec2, MAX((gsize)n * points->len, 1));
#pragma omp parallel for schedule(dynamic, 16)
    for (int i = 0; i < n * n_points; i++) {
        TapulVec2 at = g_array_index(points, TapulVec2, i % n_points);
        if (!tapul_lift_point(ground, lifted[i / n_points]->laying, at, &places[i]))
            places[i] = tapul_vec2(NAN, NAN);
    }
    return places;
}

static gboolean is_there(TapulVec2 place) {
    return isfinite(place.x);
}

/* Umeyama 1991, scale and mirror left out. */
void tapul_fit_rigid(const TapulVec2 *from, const TapulVec2 *to, int n, double *turn_rad,
                     TapulVec2 *shift_mm) {
    TapulVec2 from_middle = {0, 0}, to_middle = {0, 0};
    double dot = 0, cross = 0;
    int both = 0;
    for (int i = 0; i < n; i++)
        if (is_there(from[i]) && is_there(to[i])) {
            from_middle = tapul_vec2_add(from_middle, from[i]);
            to_middle = tapul_vec2_add(to_middle, to[i]);
            both++;
        }
    *turn_rad = 0;
    *shift_mm = tapul_vec2(0, 0);
    if (both == 0)
        return;
    from_middle = tapul_vec2_scale(from_middle, 1.0 / both);
    to_middle = tapul_vec2_scale(to_middle, 1.0 / both);
    for (int i = 0; i < n; i++)
        if (is_there(from[i]) && is_there(to[i])) {
            TapulVec2 a = tapul_vec2_sub(from[i], from_middle);
            TapulVec2 b = tapul_vec2_sub(to[i], to_middle);
            dot += tapul_vec2_dot(a, b);
            cross += tapul_vec2_cross(a, b);
        }
    *turn_rad = atan2(cross, dot);
    *shift_mm = tapul_vec2_sub(to_middle, tapul_vec2_turn(from_middle, *turn_rad));
}

/* The two places of one point that are furthest apart, of those sheets that have it. */
static double furthest(const TapulVec2 *places, int n, int n_points, int point,
                       TapulLiftApart *apart) {
    double furthest_mm = 0;
    for (int i = 0; i < n; i++)
        for (int k = i + 1; k < n; k++) {
            TapulVec2 a = places[i * n_points + point], b = places[k * n_points + point];
            double away_mm = tapul_vec2_distance(a, b);
            if (away_mm > furthest_mm) {
                furthest_mm = away_mm;
                *apart = (TapulLiftApart){a, b};
            }
        }
    return furthest_mm;
}

TapulLiftComparison *tapul_lift_compare(const TapulGround *ground, const GArray *points, int n,
                                        TapulLifted *const *lifted) {
    g_assert(n >= 1);
    int n_points = (int)points->len;
    g_autofree TapulVec2 *places = all_places(ground, points, n, lifted);
    TapulLiftComparison *comparison = g_new0(TapulLiftComparison, 1);
    comparison->turn_rad = g_new0(double, (gsize)n);
    comparison->shift_mm = g_new0(TapulVec2, (gsize)n);
    comparison->apart = g_array_new(FALSE, FALSE, sizeof(TapulLiftApart));
    for (int i = 1; i < n; i++) {
        TapulVec2 *own = places + i * n_points;
        tapul_fit_rigid(own, places, n_points, &comparison->turn_rad[i],
                        &comparison->shift_mm[i]);
        for (int k = 0; k < n_points; k++)
            own[k] = tapul_vec2_add(tapul_vec2_turn(own[k], comparison->turn_rad[i]),
                                    comparison->shift_mm[i]);
    }
    for (int k = 0; k < n_points; k++) {
        TapulLiftApart apart;
        double away_mm = furthest(places, n, n_points, k, &apart);
        if (away_mm > APART_MM)
            g_array_append_val(comparison->apart, apart);
        if (away_mm <= comparison->max_mm)
            continue;
        comparison->max_mm = away_mm;
        comparison->at_developed_mm = g_array_index(points, TapulVec2, k);
        comparison->at_mm = apart.a;
    }
    return comparison;
}
