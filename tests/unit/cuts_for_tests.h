/* Cuts through points of space, for tests of imprinting, opening and patterns. */
#ifndef TAPUL_TESTS_CUTS_FOR_TESTS_H
#define TAPUL_TESTS_CUTS_FOR_TESTS_H

#include <check.h>
#include <glib.h>
#include <tapul/pattern.h>

/* A line through the points of a mesh nearest to point_mm[n]. */
static inline TapulCutLine line_through(const TapulMeshTree *tree, int n,
                                        const TapulVec3 *point_mm) {
    TapulCutLine line = {n, g_new(TapulSpot, (guint)n)};
    for (int i = 0; i < n; i++)
        tapul_mesh_tree_nearest(tree, point_mm[i], &line.spot[i]);
    return line;
}

static inline void add_line(GArray *lines, const TapulMeshTree *tree, int n,
                            const TapulVec3 *point_mm) {
    TapulCutLine line = line_through(tree, n, point_mm);
    g_array_append_val(lines, line);
}

/* A line straight from a to b, with n points. */
static inline void add_straight(GArray *lines, const TapulMeshTree *tree, TapulVec3 a,
                                TapulVec3 b, int n) {
    g_autofree TapulVec3 *point_mm = g_new(TapulVec3, (gsize)n);
    for (int i = 0; i < n; i++)
        point_mm[i] = tapul_vec3_mix(a, b, (double)i / (n - 1));
    add_line(lines, tree, n, point_mm);
}

static inline const TapulCutLine *lines_in(const GArray *lines) {
    return (const TapulCutLine *)(const void *)lines->data;
}

/* Whether two areas are the same but for rounding. */
static inline void check_area(double is_mm2, double wanted_mm2) {
    ck_assert_double_eq_tol(is_mm2, wanted_mm2, 1e-9 * wanted_mm2);
}

#endif
