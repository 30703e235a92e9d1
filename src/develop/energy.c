/* The stretch energy of a development: what the descent makes least. Gradient and curvature
 * come from the principal stretches; of the four modes of a triangle's curvature only the turn
 * can be negative, and is then left out. Smith & Schaefer, ACM TOG 34(4), 2015 (energy,
 * flip-free step); Smith, De Goes & Kim, ACM TOG 38(1), 2019 (eigensystem). */
#include "develop/energy.h"

#include <string.h>

/* Stretches nearer to each other than this share share one slope: their difference quotient
 * would be rounding. */
#define EQUAL_STRETCH_SHARE 1e-6
/* Smaller meshes are done before the other threads wake. */
#define PARALLEL_TRIANGLES 20000

TapulStretchEnergy *tapul_stretch_energy_new(const TapulRest *rest) {
    TapulStretchEnergy *energy = g_new0(TapulStretchEnergy, 1);
    gsize n = (gsize)rest->mesh->n_triangles;
    energy->rest = rest;
    energy->doublings = 1;
    energy->unit = 1;
    energy->share = g_new(double, n);
    energy->pull = g_malloc_n(n, sizeof *energy->pull);
    return energy;
}

void tapul_stretch_energy_free(TapulStretchEnergy *energy) {
    if (!energy)
        return;
    g_free(energy->share);
    g_free(energy->pull);
    g_free(energy);
}

/* What one principal stretch s adds: value, slope and bend of (s / unit)^p + (s unit)^-p. */
typedef struct {
    double value, slope, bend;
} StretchTerm;

static inline StretchTerm stretch_term(const TapulStretchEnergy *energy, double s) {
    double longer = s / energy->unit, shorter = 1 / (s * energy->unit);
    double power = (double)(1 << energy->doublings);
    for (int i = 0; i < energy->doublings; i++) {
        longer *= longer;
        shorter *= shorter;
    }
    return (StretchTerm){longer + shorter, power / s * (longer - shorter),
                         power / (s * s) * ((power - 1) * longer + (power + 1) * shorter)};
}

/* A triangle's map by its two parts, as directions and principal stretches. */
typedef struct {
    TapulVec2 similar, mirrored; /* unit */
    double s1, s2;
} Stretched;

static inline Stretched stretched(const TapulRest *rest, int t, const TapulVec2 *flat_mm) {
    TapulJacobian jacobian = tapul_rest_jacobian(rest, t, flat_mm);
    Stretched map = {tapul_complex_unit(jacobian.similar),
                     tapul_complex_unit(jacobian.mirrored), 0, 0};
    tapul_jacobian_stretches(jacobian, &map.s1, &map.s2);
    return map;
}

/* The triangle's share of the energy and, where wanted, its pull on its corners. */
static double triangle_value(const TapulStretchEnergy *energy, int t, const TapulVec2 *flat_mm,
                             TapulVec2 pull[3]) {
    const TapulRestTriangle *triangle = &energy->rest->triangle[t];
    Stretched map = stretched(energy->rest, t, flat_mm);
    if (!(map.s2 > 0))
        return INFINITY;
    double weight = triangle->area_mm2 / energy->rest->area_mm2;
    StretchTerm first = stretch_term(energy, map.s1), second = stretch_term(energy, map.s2);
    if (!pull)
        return weight * (first.value + second.value);
    TapulVec2 similar =
        tapul_vec2_scale(map.similar, 0.5 * weight * (first.slope + second.slope));
    TapulVec2 mirrored =
        tapul_vec2_scale(map.mirrored, 0.5 * weight * (first.slope - second.slope));
    for (int k = 0; k < 3; k++)
        pull[k] =
            tapul_vec2_add(tapul_complex_times(similar, triangle->gradient[k]),
                           tapul_complex_times_conjugate(mirrored, triangle->gradient[k]));
    return weight * (first.value + second.value);
}

double tapul_stretch_energy_value(TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                  TapulVec2 *gradient) {
    const TapulMesh *mesh = energy->rest->mesh;
#pragma omp parallel for schedule(static) if (mesh->n_triangles > PARALLEL_TRIANGLES)
    for (int t = 0; t < mesh->n_triangles; t++)
        energy->share[t] =
            triangle_value(energy, t, flat_mm, gradient ? energy->pull[t] : NULL);
    /* Summed in one order, so that the threads do not show. */
    double sum = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        sum += energy->share[t];
    if (!isfinite(sum))
        return sum;
    if (gradient)
        memset(gradient, 0, sizeof *gradient * (gsize)mesh->n_vertices);
    sum += tapul_held_edges_value(energy, flat_mm, gradient);
    if (!gradient)
        return sum;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec2 *at = &gradient[mesh->corner[t][k]];
            *at = tapul_vec2_add(*at, energy->pull[t][k]);
        }
    return sum;
}

TapulSparse *tapul_stretch_energy_pattern(const TapulEdges *edges) {
    gsize n_pairs = 4 * (gsize)edges->n_edges + (gsize)edges->n_vertices;
    int(*pairs)[2] = g_malloc_n(n_pairs, sizeof *pairs);
    int n = 0;
    for (int v = 0; v < edges->n_vertices; v++, n++) {
        pairs[n][0] = 2 * v;
        pairs[n][1] = 2 * v + 1;
    }
    for (int e = 0; e < edges->n_edges; e++)
        for (int c = 0; c < 4; c++, n++) {
            pairs[n][0] = 2 * edges->edge[e][0] + c / 2;
            pairs[n][1] = 2 * edges->edge[e][1] + c % 2;
        }
    TapulSparse *pattern = tapul_sparse_new(2 * edges->n_vertices, n, (const int(*)[2])pairs);
    g_free(pairs);
    return pattern;
}

TapulBlockPlace (*tapul_stretch_energy_places(const TapulRest *rest,
                                              const TapulSparse *pattern))[3] {
    const TapulMesh *mesh = rest->mesh;
    TapulBlockPlace(*place)[3] = g_malloc_n((gsize)mesh->n_triangles, sizeof *place);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int a = mesh->corner[t][(k + 1) % 3], b = mesh->corner[t][(k + 2) % 3];
            int row = MAX(a, b), column = MIN(a, b);
            place[t][k].transposed = a > b;
            for (int c = 0; c < 2; c++)
                place[t][k].column[c] = tapul_sparse_index(pattern, 2 * row, 2 * column + c);
        }
    return place;
}

/* The curvature of a triangle as a sum of four outer products: mode[m][k] is what mode m moves
 * at corner k, scaled by the root of its curvature. */
static void triangle_modes(const TapulStretchEnergy *energy, int t, const TapulVec2 *flat_mm,
                           TapulVec2 mode[4][3]) {
    const TapulRestTriangle *triangle = &energy->rest->triangle[t];
    Stretched map = stretched(energy->rest, t, flat_mm);
    double weight = triangle->area_mm2 / energy->rest->area_mm2, s1 = map.s1, s2 = map.s2;
    StretchTerm first = stretch_term(energy, s1), second = stretch_term(energy, s2);
    double turning = fmax(0, (first.slope + second.slope) / (s1 + s2));
    double flipping = s1 - s2 > EQUAL_STRETCH_SHARE * s1
                          ? (first.slope - second.slope) / (s1 - s2)
                          : 0.5 * (first.bend + second.bend);
    double root[4] = {0.5 * sqrt(weight * first.bend), 0.5 * sqrt(weight * second.bend),
                      sqrt(0.5 * weight * turning), sqrt(0.5 * weight * flipping)};
    for (int k = 0; k < 3; k++) {
        TapulVec2 a = tapul_complex_times(map.similar, triangle->gradient[k]);
        TapulVec2 b = tapul_complex_times_conjugate(map.mirrored, triangle->gradient[k]);
        mode[0][k] = tapul_vec2_scale(tapul_vec2_add(a, b), root[0]);
        mode[1][k] = tapul_vec2_scale(tapul_vec2_sub(a, b), root[1]);
        mode[2][k] = tapul_vec2_scale(tapul_vec2(-a.y, a.x), root[2]);
        mode[3][k] = tapul_vec2_scale(tapul_vec2(-b.y, b.x), root[3]);
    }
}

static inline void add_diagonal(TapulVec2 mode[4][3], int k, int vertex,
                                TapulSparse *curvature) {
    double *x = &curvature->value[curvature->column_start[2 * vertex]];
    double *y = &curvature->value[curvature->column_start[2 * vertex + 1]];
    for (int m = 0; m < 4; m++) {
        TapulVec2 d = mode[m][k];
        x[0] += d.x * d.x;
        x[1] += d.x * d.y;
        y[0] += d.y * d.y;
    }
}

static inline void add_block(TapulVec2 mode[4][3], int row, int column, const int place[2],
                             TapulSparse *curvature) {
    double *x = &curvature->value[place[0]], *y = &curvature->value[place[1]];
    for (int m = 0; m < 4; m++) {
        TapulVec2 r = mode[m][row], c = mode[m][column];
        x[0] += r.x * c.x;
        x[1] += r.y * c.x;
        y[0] += r.x * c.y;
        y[1] += r.y * c.y;
    }
}

void tapul_stretch_energy_curvature(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                    const TapulBlockPlace (*place)[3], TapulSparse *curvature) {
    const TapulMesh *mesh = energy->rest->mesh;
    memset(curvature->value, 0, sizeof(double) * (gsize)curvature->column_start[curvature->n]);
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulVec2 mode[4][3];
        triangle_modes(energy, t, flat_mm, mode);
        for (int k = 0; k < 3; k++) {
            int a = (k + 1) % 3, b = (k + 2) % 3;
            gboolean transposed = place[t][k].transposed;
            add_diagonal(mode, k, mesh->corner[t][k], curvature);
            add_block(mode, transposed ? a : b, transposed ? b : a, place[t][k].column,
                      curvature);
        }
    }
    tapul_held_edges_curvature(energy, flat_mm, curvature);
}

/* The least root > 0 of c + b t + a t^2, with c > 0; INFINITY if there is none. */
static double least_positive_root(double c, double b, double a) {
    double discriminant = b * b - 4 * a * c;
    if (discriminant < 0)
        return INFINITY;
    /* Both roots without cancellation: half = a t1, c = a t1 t2. */
    double half = -0.5 * (b + copysign(sqrt(discriminant), b));
    double t1 = half / a, t2 = c / half;
    double least = INFINITY;
    if (t1 > 0)
        least = t1;
    if (t2 > 0)
        least = fmin(least, t2);
    return least;
}

double tapul_rest_flat_step(const TapulRest *rest, const TapulVec2 *flat_mm,
                            const TapulVec2 *direction_mm) {
    int n_triangles = rest->mesh->n_triangles;
    double least = INFINITY;
#pragma omp parallel for reduction(min : least) if (n_triangles > PARALLEL_TRIANGLES)
    for (int t = 0; t < n_triangles; t++) {
        TapulJacobian at = tapul_rest_jacobian(rest, t, flat_mm);
        TapulJacobian by = tapul_rest_jacobian(rest, t, direction_mm);
        double c =
            tapul_vec2_dot(at.similar, at.similar) - tapul_vec2_dot(at.mirrored, at.mirrored);
        double b = 2 * (tapul_vec2_dot(at.similar, by.similar) -
                        tapul_vec2_dot(at.mirrored, by.mirrored));
        double a =
            tapul_vec2_dot(by.similar, by.similar) - tapul_vec2_dot(by.mirrored, by.mirrored);
        least = fmin(least, least_positive_root(c, b, a));
    }
    return least;
}
