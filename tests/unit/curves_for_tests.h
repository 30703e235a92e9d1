/* Curves to lay, and the distance of a laid curve from the map it was laid by. */
#ifndef CURVES_FOR_TESTS_H
#define CURVES_FOR_TESTS_H

#include <tapul/laying.h>

/* A wandering line of curves with fair bends, starting within a square of half_side_mm. */
static inline TapulPath *random_path(GRand *random, double half_side_mm, int n_curves) {
    TapulPath *path = tapul_path_new();
    TapulVec2 p = {g_rand_double_range(random, -half_side_mm, half_side_mm),
                   g_rand_double_range(random, -half_side_mm, half_side_mm)};
    double heading_rad = g_rand_double_range(random, 0, 2 * G_PI);
    tapul_path_move(path, p);
    for (int i = 0; i < n_curves; i++) {
        TapulVec2 next[3];
        double step_mm = g_rand_double_range(random, 0.5, 6);
        for (int k = 0; k < 3; k++) {
            heading_rad += g_rand_double_range(random, -0.6, 0.6);
            p = tapul_vec2_add(p, tapul_vec2_turn(tapul_vec2(step_mm, 0), heading_rad));
            next[k] = p;
        }
        tapul_path_curve(path, next[0], next[1], next[2]);
    }
    return path;
}

/* The path as points, n on each piece. */
static inline GArray *path_points(const TapulPath *path, int n) {
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece))
        for (int i = 0; i <= n; i++) {
            TapulVec2 at = tapul_cubic_point(piece.p, (double)i / n);
            g_array_append_val(points, at);
        }
    return points;
}

static inline double distance_to_segment(TapulVec2 p, TapulVec2 a, TapulVec2 b) {
    TapulVec2 along = tapul_vec2_sub(b, a), apart = tapul_vec2_sub(p, a);
    double squared = tapul_vec2_dot(along, along);
    double t = squared > 0 ? CLAMP(tapul_vec2_dot(apart, along) / squared, 0, 1) : 0;
    return tapul_vec2_distance(apart, tapul_vec2_scale(along, t));
}

/* The largest distance of the map's own points, 200 a piece of the source, from the laid path.
 */
static inline double worst_distance(const TapulPath *path, TapulPlaneMap map, gpointer data,
                                    const TapulPath *laid) {
    g_autoptr(GArray) source = path_points(path, 200), found = path_points(laid, 200);
    double worst_mm = 0;
    for (guint i = 0; i < source->len; i++) {
        TapulVec2 to;
        double nearest_mm = INFINITY;
        if (!map(g_array_index(source, TapulVec2, i), &to, data))
            continue;
        for (guint k = 0; k + 1 < found->len; k++)
            nearest_mm =
                fmin(nearest_mm, distance_to_segment(to, g_array_index(found, TapulVec2, k),
                                                     g_array_index(found, TapulVec2, k + 1)));
        worst_mm = fmax(worst_mm, nearest_mm);
    }
    return worst_mm;
}

#endif
