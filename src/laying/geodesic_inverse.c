/* The inverse of the geodesic polar map: which way, and how far, from the anchor to a spot.
 * Newton's method on the forward map of geodesic.c; laying's rolled rule goes back by it. */
#include "laying/geodesic.h"

/* The inverse's promise, and where Newton may stop early. */
#define INVERSE_TOLERANCE_MM 0.005
#define INVERSE_GOAL_MM      1e-4
#define INVERSE_MAX_STEPS    40

TapulVec2 tapul_geodesic_newton_step(TapulVec3 by_x, TapulVec3 by_y, TapulVec3 gap) {
    double xx = tapul_vec3_dot(by_x, by_x), xy = tapul_vec3_dot(by_x, by_y);
    double yy = tapul_vec3_dot(by_y, by_y);
    double gx = tapul_vec3_dot(by_x, gap), gy = tapul_vec3_dot(by_y, gap);
    double determinant = xx * yy - xy * xy;
    /* Near a focus the map is flat across the geodesic; a small floor keeps the step finite. */
    double floor_value = 1e-6 * (xx + yy) * (xx + yy);
    determinant = fmax(determinant, floor_value);
    return (TapulVec2){(yy * gx - xy * gy) / determinant, (xx * gy - xy * gx) / determinant};
}

/* Newton's method from a guess, each step halved until it leads nearer. `best` and its gap are
 * improved on. */
static void search_from(const TapulGeodesicChart *chart, TapulVec3 target, TapulVec2 guess,
                        TapulVec2 *best, double *best_gap_mm) {
    TapulVec2 point = guess, step = tapul_vec2_sub(guess, *best), near = *best;
    double near_gap_mm = INFINITY;
    for (int i = 0; i<INVERSE_MAX_STEPS && * best_gap_mm> INVERSE_GOAL_MM; i++) {
        TapulGeodesicEnd end;
        TapulVec3 by_x, by_y, gap;
        gboolean nearer = tapul_geodesic_differential(chart, point, &end, &by_x, &by_y);
        if (nearer) {
            gap = tapul_vec3_sub(target, tapul_mesh_smooth_position_mm(chart->mesh, end.spot));
            nearer = tapul_vec3_length(gap) < near_gap_mm;
        }
        if (nearer) {
            near = point;
            near_gap_mm = tapul_vec3_length(gap);
            step = tapul_geodesic_newton_step(by_x, by_y, gap);
        } else {
            step = tapul_vec2_scale(step, 0.5);
        }
        if (near_gap_mm < *best_gap_mm) {
            *best = near;
            *best_gap_mm = near_gap_mm;
        }
        point = tapul_vec2_add(near, step);
    }
}

/* Over a ridge the map may fold, and Newton's method run up against a fold: then it starts anew
 * from around the guess, nearer first. */
static void search_around(const TapulGeodesicChart *chart, TapulVec3 target, TapulVec2 guess,
                          TapulVec2 *best, double *best_gap_mm) {
    const double rings[] = {0.01, 0.03, 0.1}; /* of the distance from the anchor */
    const int starts = 8;
    double reach_mm = tapul_vec2_length(guess);
    for (guint ring = 0; ring < G_N_ELEMENTS(rings); ring++)
        for (int i = 0; i<starts && * best_gap_mm> INVERSE_TOLERANCE_MM; i++) {
            TapulVec2 aside =
                tapul_vec2_turn(tapul_vec2(rings[ring] * reach_mm, 0), i * 2 * G_PI / starts);
            search_from(chart, target, tapul_vec2_add(guess, aside), best, best_gap_mm);
        }
}

gboolean tapul_geodesic_inverse(const TapulGeodesicChart *chart, TapulSpot spot,
                                TapulVec2 guess_mm, TapulVec2 *point_mm) {
    TapulVec3 target = tapul_mesh_smooth_position_mm(chart->mesh, spot);
    TapulVec3 start = tapul_mesh_smooth_position_mm(chart->mesh, chart->anchor);
    TapulVec2 best = {0, 0};
    double best_gap_mm = tapul_vec3_distance(target, start);
    search_from(chart, target, guess_mm, &best, &best_gap_mm);
    if (best_gap_mm > INVERSE_TOLERANCE_MM)
        search_around(chart, target, guess_mm, &best, &best_gap_mm);
    *point_mm = best;
    return best_gap_mm <= INVERSE_TOLERANCE_MM;
}
