/* One level cut: readings x, z of the outer surface, checked, joined by a spline, and spread
 * into points at equal arc length on each side of the medial line. */
#include "plate/section.h"

/* Samples for the arc length of one section's half. */
#define N_ARC 1024
/* A section narrower than this makes no sheet. */
#define LEAST_WIDTH_MM 1.0
#define N_COLUMNS      TAPUL_SECTION_COLUMNS

/* A spline through a section's points, x and z, by chord length. */
TapulCurve *tapul_section_curve(int n, const TapulVec2 *point, double *length_mm) {
    g_autofree double *parameter = g_new0(double, n);
    g_autofree TapulVec3 *value = g_new0(TapulVec3, n);
    for (int i = 0; i < n; i++) {
        value[i] = tapul_vec3(point[i].x, 0, point[i].y);
        parameter[i] =
            i == 0 ? 0 : parameter[i - 1] + tapul_vec3_distance(value[i], value[i - 1]);
    }
    *length_mm = parameter[n - 1];
    return tapul_curve_new(n, parameter, value);
}

/* Places N_COLUMNS points at equal arc length on the curve between two parameters. */
static void spread_points(const TapulCurve *curve, double from, double to, double y_mm,
                          TapulVec3 *row) {
    g_autofree double *arc = g_new0(double, N_ARC + 1);
    TapulVec3 last = tapul_curve_point(curve, from);
    for (int i = 1; i <= N_ARC; i++) {
        TapulVec3 next = tapul_curve_point(curve, from + (to - from) * i / N_ARC);
        arc[i] = arc[i - 1] + tapul_vec3_distance(last, next);
        last = next;
    }
    for (int column = 0, i = 0; column < N_COLUMNS; column++) {
        double wanted = arc[N_ARC] * column / (N_COLUMNS - 1);
        while (i < N_ARC - 1 && arc[i + 1] < wanted)
            i++;
        double step = arc[i + 1] - arc[i];
        double t = (i + (step > 0 ? (wanted - arc[i]) / step : 0)) / N_ARC;
        row[column] = tapul_curve_point(curve, from + (to - from) * t);
        row[column].y = y_mm;
    }
    row[0].x = 0;
}

/* The parameter at which a section crosses x = 0 in front (the crossing of largest z). */
static gboolean medial_parameter(const TapulCurve *curve, double length_mm, double *parameter) {
    double best_z = -INFINITY;
    for (int i = 0; i < N_ARC; i++) {
        double low = length_mm * i / N_ARC, high = length_mm * (i + 1) / N_ARC;
        if (!(tapul_curve_point(curve, low).x <= 0 && tapul_curve_point(curve, high).x >= 0))
            continue;
        for (int step = 0; step < 60; step++) {
            double middle = (low + high) / 2;
            *(tapul_curve_point(curve, middle).x <= 0 ? &low : &high) = middle;
        }
        double z = tapul_curve_point(curve, low).z;
        if (z > best_z) {
            best_z = z;
            *parameter = low;
        }
    }
    return best_z > -INFINITY;
}

gboolean tapul_section_is_half(const GArray *section) {
    return fabs(g_array_index(section, TapulVec2, 0).x) < 1e-9;
}

const char *tapul_section_fault(const GArray *section) {
    double widest = 0;
    for (guint i = 0; i < section->len; i++) {
        TapulVec2 p = g_array_index(section, TapulVec2, i);
        widest = fmax(widest, fabs(p.x));
        if (i > 0 && tapul_vec2_distance(p, g_array_index(section, TapulVec2, i - 1)) < 1e-6)
            return "two neighbouring points are the same";
        if (tapul_section_is_half(section) && p.x < -1e-9)
            return "a half section starts at x = 0 and has no negative x";
    }
    if (widest < LEAST_WIDTH_MM)
        return "the section is less than 1 mm wide";
    if (!tapul_section_is_half(section) &&
        g_array_index(section, TapulVec2, 0).x *
                g_array_index(section, TapulVec2, section->len - 1).x >=
            0)
        return "a section starts at x = 0 (half, mirrored) or runs from negative to positive x "
               "(whole)";
    return NULL;
}

/* A half section and its mirror image as one whole section, from left to right. */
static GArray *mirrored_section(const GArray *half) {
    GArray *whole = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = half->len; i-- > 1;) {
        TapulVec2 p = g_array_index(half, TapulVec2, i);
        p.x = -p.x;
        g_array_append_val(whole, p);
    }
    return g_array_append_vals(whole, half->data, half->len);
}

/* A whole section, turned so that it runs from left to right. */
static GArray *ordered_section(const GArray *section) {
    GArray *whole = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    gboolean backward = g_array_index(section, TapulVec2, 0).x >
                        g_array_index(section, TapulVec2, section->len - 1).x;
    for (guint i = 0; i < section->len; i++)
        g_array_append_val(
            whole, g_array_index(section, TapulVec2, backward ? section->len - 1 - i : i));
    return whole;
}

/* The readings of one side, from the medial point outward; middle is the medial point's chord
 * length. */
static GArray *side_readings(const GArray *whole, int side, double middle, double medial_z) {
    GArray *readings = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulVec2 medial = {0, medial_z};
    double chord = 0;

    for (guint i = 0; i < whole->len; i++) {
        TapulVec2 p = g_array_index(whole, TapulVec2, i);
        if (i > 0)
            chord += tapul_vec2_distance(p, g_array_index(whole, TapulVec2, i - 1));
        if (side > 0 && chord > middle + 1e-6)
            g_array_append_val(readings, p);
        else if (side < 0 && chord < middle - 1e-6)
            g_array_prepend_val(readings, p);
    }
    g_array_prepend_val(readings, medial);
    return readings;
}

/* The crease: the two halves share the medial point and nothing else. */
static gboolean spread_creased(const GArray *whole, double middle, double medial_z, double y_mm,
                               TapulVec3 *right, TapulVec3 *left) {
    for (int side = -1; side <= 1; side += 2) {
        g_autoptr(GArray) readings = side_readings(whole, side, middle, medial_z);
        double length_mm;
        if (readings->len < 2)
            return FALSE;
        g_autoptr(TapulCurve) curve = tapul_section_curve(
            (int)readings->len, (const TapulVec2 *)readings->data, &length_mm);
        spread_points(curve, 0, length_mm, y_mm, side > 0 ? right : left);
    }
    return TRUE;
}

/* Splits a section at the medial plane; fits both halves at once, or apart where there is a
 * crease. */
gboolean tapul_section_spread(const GArray *section, gboolean ridge, double y_mm,
                              TapulVec3 *right, TapulVec3 *left) {
    g_autoptr(GArray) whole =
        tapul_section_is_half(section) ? mirrored_section(section) : ordered_section(section);
    double length_mm, middle = 0;
    g_autoptr(TapulCurve) curve =
        tapul_section_curve((int)whole->len, (const TapulVec2 *)whole->data, &length_mm);

    if (!medial_parameter(curve, length_mm, &middle))
        return FALSE;
    if (ridge)
        return spread_creased(whole, middle, tapul_curve_point(curve, middle).z, y_mm, right,
                              left);
    spread_points(curve, middle, length_mm, y_mm, right);
    spread_points(curve, middle, 0, y_mm, left);
    return TRUE;
}

void tapul_section_parameters(int n, TapulVec3 *const *right, TapulVec3 *const *left,
                              double *parameter) {
    parameter[0] = 0;
    for (int i = 1; i < n; i++) {
        double sum = 0;
        for (int column = 0; column < N_COLUMNS; column++)
            sum += tapul_vec3_distance(right[i][column], right[i - 1][column]) +
                   tapul_vec3_distance(left[i][column], left[i - 1][column]);
        parameter[i] = parameter[i - 1] + sum / (2 * N_COLUMNS);
    }
}
