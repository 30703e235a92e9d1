/* The smooth surface through a plate's readings: each level cut is a spline, and splines run up
 * through the cuts (a lofted surface). It is tabulated once and read by cubic interpolation. */
#include "plate/curve.h"
#include "plate/surface.h"

/* Columns from the medial line outward and rows up: about 2 mm apart on a breastplate, where
 * cubic interpolation errs by less than 1e-4 mm. */
#define N_COLUMNS 129
#define N_ROWS    257
/* Samples for the arc length of one section's half. */
#define N_ARC 1024
/* A section narrower than this makes no sheet. */
#define LEAST_WIDTH_MM 1.0

typedef struct {
    TapulSurface base;
    TapulVec3 *table[2]; /* right, left: [N_ROWS][N_COLUMNS] */
} Stations;

/* Cubic Lagrange weights of four equally spaced nodes 0..3 at t. */
static void lagrange_weights(double t, double weight[4]) {
    weight[0] = -(t - 1) * (t - 2) * (t - 3) / 6;
    weight[1] = t * (t - 2) * (t - 3) / 2;
    weight[2] = -t * (t - 1) * (t - 3) / 2;
    weight[3] = t * (t - 1) * (t - 2) / 6;
}

static int stencil(double t, int n, double weight[4]) {
    double place = t * (n - 1);
    int first = CLAMP((int)floor(place) - 1, 0, n - 4);
    lagrange_weights(place - first, weight);
    return first;
}

static TapulVec3 stations_point(const TapulSurface *surface, int side, double u, double v) {
    const Stations *stations = (const Stations *)surface;
    const TapulVec3 *table = stations->table[side > 0 || surface->mirrored ? 0 : 1];
    double by_column[4], by_row[4];
    int column = stencil(u, N_COLUMNS, by_column), row = stencil(v, N_ROWS, by_row);
    TapulVec3 sum = {0, 0, 0};

    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++)
            sum =
                tapul_vec3_add(sum, tapul_vec3_scale(table[(row + i) * N_COLUMNS + column + j],
                                                     by_row[i] * by_column[j]));
    if (side < 0 && surface->mirrored)
        sum.x = -sum.x;
    return sum;
}

static void stations_free(TapulSurface *surface) {
    Stations *stations = (Stations *)surface;
    g_free(stations->table[0]);
    g_free(stations->table[1]);
    g_free(stations);
}

/* A spline through a section's points, x and z, by chord length. */
static TapulCurve *section_curve(int n, const TapulVec2 *point, double *length_mm) {
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

static gboolean is_half(const GArray *section) {
    return fabs(g_array_index(section, TapulVec2, 0).x) < 1e-9;
}

static const char *section_fault(const GArray *section) {
    double widest = 0;
    for (guint i = 0; i < section->len; i++) {
        TapulVec2 p = g_array_index(section, TapulVec2, i);
        widest = fmax(widest, fabs(p.x));
        if (i > 0 && tapul_vec2_distance(p, g_array_index(section, TapulVec2, i - 1)) < 1e-6)
            return "two neighbouring points are the same";
        if (is_half(section) && p.x < -1e-9)
            return "a half section starts at x = 0 and has no negative x";
    }
    if (widest < LEAST_WIDTH_MM)
        return "the section is less than 1 mm wide";
    if (!is_half(section) && g_array_index(section, TapulVec2, 0).x *
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
        g_autoptr(TapulCurve) curve =
            section_curve((int)readings->len, (const TapulVec2 *)readings->data, &length_mm);
        spread_points(curve, 0, length_mm, y_mm, side > 0 ? right : left);
    }
    return TRUE;
}

/* Splits a section at the medial plane; fits both halves at once, or apart where there is a
 * crease. */
static gboolean spread_section(const GArray *section, gboolean ridge, double y_mm,
                               TapulVec3 *right, TapulVec3 *left) {
    g_autoptr(GArray) whole =
        is_half(section) ? mirrored_section(section) : ordered_section(section);
    double length_mm, middle = 0;
    g_autoptr(TapulCurve) curve =
        section_curve((int)whole->len, (const TapulVec2 *)whole->data, &length_mm);

    if (!medial_parameter(curve, length_mm, &middle))
        return FALSE;
    if (ridge)
        return spread_creased(whole, middle, tapul_curve_point(curve, middle).z, y_mm, right,
                              left);
    spread_points(curve, middle, length_mm, y_mm, right);
    spread_points(curve, middle, 0, y_mm, left);
    return TRUE;
}

/* Splines up through the stations' rows, column by column. */
static TapulVec3 *loft(int n, TapulVec3 *const *row) {
    g_autofree double *parameter = g_new0(double, n);
    g_autofree TapulVec3 *value = g_new0(TapulVec3, n);
    TapulVec3 *table = g_new0(TapulVec3, N_ROWS * N_COLUMNS);

    for (int i = 1; i < n; i++) {
        double sum = 0;
        for (int column = 0; column < N_COLUMNS; column++)
            sum += tapul_vec3_distance(row[i][column], row[i - 1][column]);
        parameter[i] = parameter[i - 1] + sum / N_COLUMNS;
    }
    for (int column = 0; column < N_COLUMNS; column++) {
        for (int i = 0; i < n; i++)
            value[i] = row[i][column];
        g_autoptr(TapulCurve) curve = tapul_curve_new(n, parameter, value);
        for (int k = 0; k < N_ROWS; k++)
            table[k * N_COLUMNS + column] =
                tapul_curve_point(curve, parameter[n - 1] * k / (N_ROWS - 1));
    }
    return table;
}

static double extent_mm(const Stations *stations) {
    double widest = 0, tall = 0;
    for (int k = 1; k < N_ROWS; k++)
        tall += tapul_vec3_distance(stations->table[0][k * N_COLUMNS],
                                    stations->table[0][(k - 1) * N_COLUMNS]);
    for (int k = 0; k < N_ROWS; k++) {
        double girth = 0;
        for (int side = 0; side < 2; side++)
            for (int j = 1; j < N_COLUMNS; j++)
                girth += tapul_vec3_distance(stations->table[side][k * N_COLUMNS + j],
                                             stations->table[side][k * N_COLUMNS + j - 1]);
        widest = fmax(widest, girth);
    }
    return fmax(widest, tall);
}

/* TRUE if both sides' outer edges meet all the way up. */
static gboolean meets_itself(const Stations *stations) {
    for (int k = 0; k < N_ROWS; k += N_ROWS - 1) {
        int last = k * N_COLUMNS + N_COLUMNS - 1;
        if (tapul_vec3_distance(stations->table[0][last], stations->table[1][last]) > 1e-3)
            return FALSE;
    }
    return TRUE;
}

TapulSurface *tapul_surface_from_stations(int n, const double *y_mm, GArray *const *sections,
                                          gboolean ridge, char **fault, int *fault_station) {
    g_autoptr(GPtrArray) rows = g_ptr_array_new_with_free_func(g_free);
    gboolean mirrored = TRUE;

    for (int i = 0; i < n; i++) {
        TapulVec3 *right = g_new0(TapulVec3, N_COLUMNS), *left = g_new0(TapulVec3, N_COLUMNS);
        g_ptr_array_add(rows, right);
        g_ptr_array_add(rows, left);
        const char *wrong = section_fault(sections[i]);
        if (!wrong && !spread_section(sections[i], ridge, y_mm[i], right, left))
            wrong = "the section does not cross the medial plane x = 0";
        if (wrong) {
            *fault = g_strdup(wrong);
            *fault_station = i;
            return NULL;
        }
        mirrored = mirrored && is_half(sections[i]);
    }

    Stations *stations = g_new0(Stations, 1);
    g_autofree TapulVec3 **side_rows = g_new0(TapulVec3 *, n);
    for (int side = 0; side < 2; side++) {
        for (int i = 0; i < n; i++)
            side_rows[i] = g_ptr_array_index(rows, 2 * i + side);
        stations->table[side] = loft(n, side_rows);
    }
    stations->base = (TapulSurface){.evaluate = stations_point,
                                    .free = stations_free,
                                    .mirrored = mirrored,
                                    .closed = meets_itself(stations),
                                    .size_mm = extent_mm(stations)};
    return &stations->base;
}
