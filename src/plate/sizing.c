/* Edge lengths from curvature and chord error, graded so that neighbouring triangles differ
 * little. */
#include "plate/sizing.h"

#define N 65 /* nodes along each side of the square */
/* An equilateral triangle of edge h inscribed in a sphere lies h^2 / (6 r) below it at its
 * centre; the factor is lowered for triangles larger than the mean: cutting leaves edges of up
 * to 4/3 of the wanted length. */
#define SAGITTA_FACTOR  4.8
#define LEAST_EDGE_MM   0.8
#define LARGEST_EDGE_MM 10.0
/* At the least, on any plate: stretch varies over a plate even where its curvature does not ask
 * for fine triangles. */
#define EDGES_ACROSS 80.0
/* Flat parts of very large plates need no more than this. */
#define MOST_EDGES_ACROSS 200.0
#define GRADING           0.25 /* growth of the edge length per mm of distance */

struct TapulSizing {
    gboolean mirrored;
    double edge_mm[2][N][N]; /* right, left; rows v, columns u */
};

static void measure_side(const TapulSurface *surface, int side, double chord_error_mm,
                         double edge_mm[N][N], TapulVec3 position[N][N]) {
    double largest = fmin(fmax(LARGEST_EDGE_MM, surface->size_mm / MOST_EDGES_ACROSS),
                          surface->size_mm / EDGES_ACROSS);
    for (int j = 0; j < N; j++) {
        for (int i = 0; i < N; i++) {
            double u = i / (N - 1.0), v = j / (N - 1.0);
            double curvature = tapul_surface_curvature(surface, side, u, v);
            double edge = sqrt(SAGITTA_FACTOR * chord_error_mm / fmax(curvature, 1e-9));
            edge_mm[j][i] = fmax(fmin(edge, largest), fmin(LEAST_EDGE_MM, largest));
            position[j][i] = surface->evaluate(surface, side, u, v);
        }
    }
}

static void limit_by(double edge_mm[N][N], TapulVec3 position[N][N], int i, int j, int di,
                     int dj) {
    int ni = i + di, nj = j + dj;
    if (ni < 0 || nj < 0 || ni >= N || nj >= N)
        return;
    double reach =
        edge_mm[nj][ni] + GRADING * tapul_vec3_distance(position[j][i], position[nj][ni]);
    edge_mm[j][i] = fmin(edge_mm[j][i], reach);
}

/* Two sweeps each way carry the limit across the whole square. */
static void grade(double edge_mm[N][N], TapulVec3 position[N][N]) {
    for (int sweep = 0; sweep < 4; sweep++) {
        int step = sweep % 2 == 0 ? 1 : -1;
        for (int b = 0; b < N; b++) {
            for (int a = 0; a < N; a++) {
                int i = step > 0 ? a : N - 1 - a, j = step > 0 ? b : N - 1 - b;
                for (int d = 0; d < 9; d++)
                    limit_by(edge_mm, position, i, j, d % 3 - 1, d / 3 - 1);
            }
        }
    }
}

TapulSizing *tapul_sizing_new(const TapulSurface *surface, double chord_error_mm) {
    TapulSizing *sizing = g_new0(TapulSizing, 1);
    g_autofree TapulVec3 *position = g_new0(TapulVec3, N * N);
    sizing->mirrored = surface->mirrored;
    for (int k = 0; k < (surface->mirrored ? 1 : 2); k++) {
        TapulVec3(*rows)[N] = (TapulVec3(*)[N])position;
        measure_side(surface, k == 0 ? 1 : -1, chord_error_mm, sizing->edge_mm[k], rows);
        grade(sizing->edge_mm[k], rows);
    }
    return sizing;
}

void tapul_sizing_free(TapulSizing *sizing) {
    g_free(sizing);
}

static double read_table(const double edge_mm[N][N], TapulVec2 uv) {
    double x = CLAMP(uv.x, 0.0, 1.0) * (N - 1), y = CLAMP(uv.y, 0.0, 1.0) * (N - 1);
    int i = MIN((int)x, N - 2), j = MIN((int)y, N - 2);
    x -= i;
    y -= j;
    return (1 - y) * ((1 - x) * edge_mm[j][i] + x * edge_mm[j][i + 1]) +
           y * ((1 - x) * edge_mm[j + 1][i] + x * edge_mm[j + 1][i + 1]);
}

double tapul_sizing_edge_mm(const TapulSizing *sizing, int side, TapulVec2 uv) {
    double right = read_table(sizing->edge_mm[0], uv);
    if (sizing->mirrored)
        return right;
    double left = read_table(sizing->edge_mm[1], uv);
    if (uv.x <= 0)
        return fmin(left, right);
    return side > 0 ? right : left;
}
