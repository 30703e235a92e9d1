/* The stretched fit: affine, by the six normal equations of the metric-weighted misfit. */
#include "evidence/plane_fit_parts.h"

#include <gsl/gsl_linalg.h>

/* Print points whose spread across their best line is less than this share of their spread
 * along it lie on a line: 0.1 mm of 100, less than is picked. */
#define ON_A_LINE 1e-3

/* Whether the chosen print points lie on one line, by the eigenvalues of their scatter. */
static gboolean on_one_line(const TapulFitPairs *pairs) {
    double xx = 0, xy = 0, yy = 0;
    for (int k = 0; k < pairs->m; k++) {
        TapulVec2 d = tapul_vec2_sub(tapul_fit_print(pairs, k), pairs->print_mean_mm);
        xx += d.x * d.x;
        xy += d.x * d.y;
        yy += d.y * d.y;
    }
    double spread = hypot((xx - yy) / 2, xy), along = (xx + yy) / 2 + spread;
    return !((xx + yy) / 2 - spread > ON_A_LINE * ON_A_LINE * along);
}

enum { UNKNOWNS = 6 }; /* shift x, y; by_x x, y; by_y x, y */

static void add_pair(gsl_matrix *normal, gsl_vector *right, TapulVec2 u, TapulVec2 q,
                     TapulPlaneMetric g) {
    const double factor[] = {1, u.x, u.y};
    const double pulled[] = {g.xx * q.x + g.xy * q.y, g.xy * q.x + g.yy * q.y};
    const double metric[2][2] = {{g.xx, g.xy}, {g.xy, g.yy}};
    for (size_t i = 0; i < UNKNOWNS; i++) {
        *gsl_vector_ptr(right, i) += factor[i / 2] * pulled[i % 2];
        for (size_t j = 0; j < UNKNOWNS; j++)
            *gsl_matrix_ptr(normal, i, j) +=
                factor[i / 2] * factor[j / 2] * metric[i % 2][j % 2];
    }
}

gboolean tapul_fit_affine(const TapulFitPairs *pairs, TapulPlaneFit *fit) {
    double normal_room[UNKNOWNS * UNKNOWNS] = {0}, right_room[UNKNOWNS] = {0};
    gsl_matrix_view normal = gsl_matrix_view_array(normal_room, UNKNOWNS, UNKNOWNS);
    gsl_vector_view right = gsl_vector_view_array(right_room, UNKNOWNS);
    if (pairs->m < 3 || on_one_line(pairs))
        return FALSE;
    for (int k = 0; k < pairs->m; k++)
        add_pair(&normal.matrix, &right.vector,
                 tapul_vec2_sub(tapul_fit_print(pairs, k), pairs->print_mean_mm),
                 tapul_vec2_sub(tapul_fit_plane(pairs, k), pairs->plane_mean_mm),
                 tapul_fit_metric(pairs, k));
    gsl_linalg_cholesky_decomp1(&normal.matrix);
    gsl_linalg_cholesky_svx(&normal.matrix, &right.vector);
    fit->by_x = tapul_vec2(right_room[2], right_room[3]);
    fit->by_y = tapul_vec2(right_room[4], right_room[5]);
    tapul_fit_set_shift(pairs, tapul_vec2(right_room[0], right_room[1]), fit);
    fit->parameters = UNKNOWNS;
    return TRUE;
}
