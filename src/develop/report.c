/* The figures of a development: stretch, angles, energy, flipped triangles, overlaps. Every
 * rule ends here, and none is returned unmeasured. */
#include "develop/report.h"

#include <stdlib.h>

#include "develop/overlap.h"

typedef struct {
    double stretch, area_mm2;
} Weighted;

static int compare_stretch(const void *a, const void *b) {
    const Weighted *first = a, *second = b;
    return (first->stretch > second->stretch) - (first->stretch < second->stretch);
}

/* The least stretch that at least this share of the area does not pass. */
static double quantile(int n, const Weighted *sorted, double area_mm2, double share) {
    double sum_mm2 = 0;
    for (int i = 0; i < n; i++) {
        sum_mm2 += sorted[i].area_mm2;
        if (sum_mm2 >= share * area_mm2)
            return sorted[i].stretch;
    }
    return sorted[n - 1].stretch;
}

static void summarise(int n, Weighted *value, TapulStretchSummary *summary) {
    double area_mm2 = 0, sum = 0;
    qsort(value, (gsize)n, sizeof *value, compare_stretch);
    for (int i = 0; i < n; i++) {
        area_mm2 += value[i].area_mm2;
        sum += value[i].area_mm2 * value[i].stretch;
    }
    summary->min = value[0].stretch;
    summary->mean = sum / area_mm2;
    summary->p95 = quantile(n, value, area_mm2, 0.95);
    summary->p999 = quantile(n, value, area_mm2, 0.999);
    summary->max = value[n - 1].stretch;
}

static void measure_stretch(TapulDevelopment *development, const TapulRest *rest) {
    int n = rest->mesh->n_triangles;
    g_autofree Weighted *value = g_new(Weighted, 2 * (gsize)n);
    double worst = 0, energy_mm2 = 0, developed_mm2 = 0;
    for (int t = 0; t < n; t++) {
        double s1, s2, area_mm2 = rest->triangle[t].area_mm2;
        tapul_jacobian_stretches(tapul_rest_jacobian(rest, t, development->flat_mm), &s1, &s2);
        value[2 * t] = (Weighted){s1, area_mm2};
        value[2 * t + 1] = (Weighted){s2, area_mm2};
        energy_mm2 += area_mm2 * (s1 * s1 + s2 * s2 + 1 / (s1 * s1) + 1 / (s2 * s2));
        developed_mm2 += area_mm2 * s1 * s2;
        double here = fmax(s1, 1 / s2);
        if (here > worst) {
            worst = here;
            development->stretch.worst_triangle = t;
        }
    }
    development->area_mm2 = rest->area_mm2;
    development->developed_area_mm2 = developed_mm2;
    development->energy = energy_mm2 / rest->area_mm2;
    summarise(2 * n, value, &development->stretch);
}

static double angle_between_rad(TapulVec2 a, TapulVec2 b) {
    return atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b));
}

/* Angles of the flat triangles against those of the plate. angle_rad[n_vertices] receives the
 * sums of flat angles. */
static void measure_angles(TapulDevelopment *development, const TapulRest *rest,
                           double *angle_rad) {
    double sum = 0;
    development->angle_max_rad = 0;
    for (int t = 0; t < rest->mesh->n_triangles; t++) {
        const TapulRestTriangle *triangle = &rest->triangle[t];
        const int *corner = rest->mesh->corner[t];
        for (int k = 0; k < 3; k++) {
            int a = (k + 1) % 3, b = (k + 2) % 3;
            TapulVec2 apex = development->flat_mm[corner[k]];
            double flat_rad =
                angle_between_rad(tapul_vec2_sub(development->flat_mm[corner[a]], apex),
                                  tapul_vec2_sub(development->flat_mm[corner[b]], apex));
            double plate_rad =
                G_PI - angle_between_rad(triangle->gradient[a], triangle->gradient[b]);
            double error_rad = fabs(flat_rad - plate_rad);
            angle_rad[corner[k]] += flat_rad;
            sum += triangle->area_mm2 * error_rad / 3;
            development->angle_max_rad = fmax(development->angle_max_rad, error_rad);
        }
    }
    development->angle_mean_rad = sum / rest->area_mm2;
}

void tapul_development_measure(TapulDevelopment *development, const TapulFlattening *flattening,
                               int *overlap_vertex) {
    const TapulRest *rest = flattening->rest;
    g_autofree double *angle_rad = g_new0(double, rest->mesh->n_vertices);
    measure_stretch(development, rest);
    measure_angles(development, rest, angle_rad);
    development->flipped = tapul_rest_count_flipped(rest, development->flat_mm);
    development->overlaps = tapul_count_overlaps(
        flattening->n_loop, flattening->loop, development->flat_mm, angle_rad, overlap_vertex);
}
