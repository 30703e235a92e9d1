/* Where the search for a camera starts: the direct linear solution (Abdel-Aziz & Karara 1971,
 * points normalised as in Hartley 1997), which is exact without noise, and the two views of
 * scaled orthography, which hold up where the points are shallow, few, or one of them is wrong.
 */
#include "photo/camera_view.h"

#include <complex.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

/* A row of the projection this small beside the others is a camera at infinity, whose focal
 * cannot be read. */
#define LEAST_STRENGTH 1e-9

/* A 3 x 4 projection of homogeneous points. */
typedef struct {
    double row[3][4];
} Projection;

static double product(const double row[4], TapulVec3 p) {
    return row[0] * p.x + row[1] * p.y + row[2] * p.z + row[3];
}

static TapulVec3 direction(const double row[4]) {
    return tapul_vec3(row[0], row[1], row[2]);
}

/* Hartley's: the origin in the points' middle, the rms distance from it sqrt 3 in space and
 * sqrt 2 in the picture. */
typedef struct {
    TapulVec3 middle;
    TapulVec2 seen_middle;
    double size, seen_size;
} Norm;

static Norm norm_of(const TapulViewPoints *points) {
    Norm norm = {.size = 0};
    double share = 1.0 / points->n;
    for (int i = 0; i < points->n; i++) {
        norm.middle = tapul_vec3_add(norm.middle, tapul_vec3_scale(points->point[i], share));
        norm.seen_middle =
            tapul_vec2_add(norm.seen_middle, tapul_vec2_scale(points->seen[i], share));
    }
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p = tapul_vec3_sub(points->point[i], norm.middle);
        TapulVec2 s = tapul_vec2_sub(points->seen[i], norm.seen_middle);
        norm.size += tapul_vec3_dot(p, p) * share;
        norm.seen_size += tapul_vec2_dot(s, s) * share;
    }
    norm.size = sqrt(norm.size / 3);
    norm.seen_size = sqrt(norm.seen_size / 2);
    return norm;
}

/* The projection of normalised points that leaves the equations' sum of squares least. */
static Projection solve_normalised(const TapulViewPoints *points, const Norm *norm) {
    size_t n = 2 * (size_t)points->n;
    g_autoptr(gsl_matrix) equations = gsl_matrix_calloc(n, 12);
    g_autoptr(gsl_matrix) right = gsl_matrix_alloc(12, 12);
    g_autoptr(gsl_vector) values = gsl_vector_alloc(12), work = gsl_vector_alloc(12);
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p =
            tapul_vec3_scale(tapul_vec3_sub(points->point[i], norm->middle), 1 / norm->size);
        TapulVec2 seen = tapul_vec2_scale(tapul_vec2_sub(points->seen[i], norm->seen_middle),
                                          1 / norm->seen_size);
        const double homogeneous[4] = {p.x, p.y, p.z, 1};
        for (size_t k = 0; k < 4; k++) {
            size_t row = 2 * (size_t)i;
            gsl_matrix_set(equations, row, k, homogeneous[k]);
            gsl_matrix_set(equations, row, 8 + k, -seen.x * homogeneous[k]);
            gsl_matrix_set(equations, row + 1, 4 + k, homogeneous[k]);
            gsl_matrix_set(equations, row + 1, 8 + k, -seen.y * homogeneous[k]);
        }
    }
    gsl_linalg_SV_decomp(equations, right, values, work);
    Projection solution;
    for (size_t k = 0; k < 12; k++)
        solution.row[k / 4][k % 4] = gsl_matrix_get(right, k, 11);
    return solution;
}

static void undo_norm(Projection *projection, const Norm *norm) {
    for (int k = 0; k < 4; k++) {
        projection->row[0][k] = norm->seen_size * projection->row[0][k] +
                                norm->seen_middle.x * projection->row[2][k];
        projection->row[1][k] = norm->seen_size * projection->row[1][k] +
                                norm->seen_middle.y * projection->row[2][k];
    }
    for (int i = 0; i < 3; i++) {
        double *row = projection->row[i];
        for (int k = 0; k < 3; k++)
            row[k] /= norm->size;
        row[3] -= tapul_vec3_dot(direction(row), norm->middle);
    }
}

/* Turns the projection's sign so that most points lie in front, and tells which do not. */
static void put_in_front(const TapulViewPoints *points, Projection *projection,
                         TapulDirect *direct) {
    int n_behind = 0;
    for (int i = 0; i < points->n; i++)
        n_behind += product(projection->row[2], points->point[i]) < 0;
    double sign = 2 * n_behind > points->n ? -1 : 1;
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 4; k++)
            projection->row[i][k] *= sign;
    direct->n_behind = MIN(n_behind, points->n - n_behind);
    direct->one_behind = -1;
    direct->sum_px2 = 0;
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p = points->point[i];
        double depth = product(projection->row[2], p);
        TapulVec2 seen = tapul_vec2(product(projection->row[0], p) / depth,
                                    product(projection->row[1], p) / depth);
        TapulVec2 off = tapul_vec2_sub(seen, points->seen[i]);
        direct->sum_px2 += tapul_vec2_dot(off, off) * points->size_px * points->size_px;
        if (depth < 0)
            direct->one_behind = i;
    }
}

/* The nearest view of square pixels about the picture's middle: the first two rows are freed of
 * the third, and made orthogonal evenly. FALSE if that is a mirror image or has no perspective.
 */
static gboolean nearest_view(Projection *projection, TapulView *view, gboolean *mirrored) {
    double unit = projection->row[2][3];
    *mirrored = FALSE;
    if (!(unit > 0))
        return FALSE;
    TapulVec3 third = tapul_vec3_scale(direction(projection->row[2]), 1 / unit);
    double strength = tapul_vec3_length(third), scale = 0;
    TapulVec3 axis = tapul_vec3_unit(third), even[2];
    for (int i = 0; i < 2; i++) {
        TapulVec3 d = tapul_vec3_scale(direction(projection->row[i]), 1 / unit);
        d = tapul_vec3_sub(d, tapul_vec3_scale(axis, tapul_vec3_dot(d, axis)));
        scale += tapul_vec3_length(d) / 2;
        even[i] = tapul_vec3_unit(d);
    }
    TapulVec3 half =
        tapul_vec3_scale(tapul_vec3_unit(tapul_vec3_add(even[0], even[1])), M_SQRT1_2);
    TapulVec3 apart =
        tapul_vec3_scale(tapul_vec3_unit(tapul_vec3_sub(even[0], even[1])), M_SQRT1_2);
    TapulVec3 first = tapul_vec3_add(half, apart), second = tapul_vec3_sub(half, apart);
    TapulVec3 rows[3] = {first, second, tapul_vec3_cross(first, second)};
    *mirrored = tapul_vec3_dot(rows[2], axis) < 0;
    if (*mirrored || !(strength > LEAST_STRENGTH * scale) || !isfinite(scale))
        return FALSE;
    for (int i = 0; i < 3; i++) {
        view->rotation[i][0] = rows[i].x;
        view->rotation[i][1] = rows[i].y;
        view->rotation[i][2] = rows[i].z;
    }
    view->shift = tapul_vec2(projection->row[0][3] / unit, projection->row[1][3] / unit);
    view->scale = scale;
    view->strength = strength;
    view->bend = 0;
    return TRUE;
}

gboolean tapul_view_direct(const TapulViewPoints *points, TapulView *view,
                           TapulDirect *direct) {
    g_assert(points->n >= TAPUL_CAMERA_LEAST_POINTS);
    TapulDirect unasked;
    direct = direct ? direct : &unasked;
    Norm norm = norm_of(points);
    Projection projection = solve_normalised(points, &norm);
    undo_norm(&projection, &norm);
    put_in_front(points, &projection, direct);
    return nearest_view(&projection, view, &direct->mirrored);
}

/* --- Scaled orthography --- */

/* The points' principal axes, the thinnest last, as columns of axes; along[n][3] (columns unit)
 * and lengths[3] say how far the points spread along them. */
static void principal_axes(const TapulViewPoints *points, const Norm *norm, gsl_matrix *along,
                           gsl_matrix *axes, gsl_vector *lengths) {
    g_autoptr(gsl_vector) work = gsl_vector_alloc(3);
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p = tapul_vec3_sub(points->point[i], norm->middle);
        gsl_matrix_set(along, (size_t)i, 0, p.x);
        gsl_matrix_set(along, (size_t)i, 1, p.y);
        gsl_matrix_set(along, (size_t)i, 2, p.z);
    }
    gsl_linalg_SV_decomp(along, axes, lengths, work);
}

/* The picture's x and y are fitted linearly over the two long axes; what they owe to the thin
 * one follows from both having to be of one scale and upright on each other, but for a sign:
 * the thin axis may point to or from the viewer (the two poses of Oberkampf, DeMenthon & Davis
 * 1996). */
TapulView tapul_view_distant(const TapulViewPoints *points, int side) {
    Norm norm = norm_of(points);
    g_autoptr(gsl_matrix) along = gsl_matrix_alloc((size_t)points->n, 3);
    g_autoptr(gsl_matrix) axes = gsl_matrix_alloc(3, 3);
    g_autoptr(gsl_vector) lengths = gsl_vector_alloc(3);
    principal_axes(points, &norm, along, axes, lengths);

    double by[2][3] = {{0}};
    for (size_t k = 0; k < 2; k++)
        for (int i = 0; i < points->n; i++) {
            double share = gsl_matrix_get(along, (size_t)i, k) / gsl_vector_get(lengths, k);
            by[0][k] += share * points->seen[i].x;
            by[1][k] += share * points->seen[i].y;
        }
    double first2 = by[0][0] * by[0][0] + by[0][1] * by[0][1];
    double second2 = by[1][0] * by[1][0] + by[1][1] * by[1][1];
    double common = by[0][0] * by[1][0] + by[0][1] * by[1][1];
    double complex thin = csqrt(second2 - first2 - 2 * I * common) * (side ? -1 : 1);
    by[0][2] = creal(thin);
    by[1][2] = cimag(thin);

    TapulView view = {.scale = sqrt(first2 + by[0][2] * by[0][2])};
    TapulVec3 row[3];
    for (size_t i = 0; i < 2; i++) {
        double in_plate[3] = {0, 0, 0};
        for (size_t j = 0; j < 3; j++)
            for (size_t k = 0; k < 3; k++)
                in_plate[j] += by[i][k] * gsl_matrix_get(axes, j, k) / view.scale;
        row[i] = tapul_vec3(in_plate[0], in_plate[1], in_plate[2]);
    }
    row[2] = tapul_vec3_cross(row[0], row[1]);
    for (int i = 0; i < 3; i++) {
        view.rotation[i][0] = row[i].x;
        view.rotation[i][1] = row[i].y;
        view.rotation[i][2] = row[i].z;
    }
    view.shift = tapul_vec2_sub(norm.seen_middle,
                                tapul_vec2(view.scale * tapul_vec3_dot(row[0], norm.middle),
                                           view.scale * tapul_vec3_dot(row[1], norm.middle)));
    return view;
}
