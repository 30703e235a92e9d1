/* How far each reading is from the surface that the others make, so that a slip of the pen
 * shows. A reading is left out in two ways: from its own section, and with its whole section
 * from the plate, where only what it is off beyond its neighbours counts. The smaller of both
 * is told: a sharp feature that the neighbouring sections share is no slip, nor is a bump that
 * its section draws smoothly. */
#include "plate/plate_private.h"
#include "plate/section.h"

#define N_SAMPLES 512
#define N_COLUMNS TAPUL_SECTION_COLUMNS
/* A reading is called a likely slip when it is off by more than this, and by more than so many
 * times the median. */
#define SLIP_MM           3.0
#define SLIP_TIMES_MEDIAN 6.0
/* Ends of sections are held against the other stations only, which may miss a feature: this
 * many times as much. */
#define SLIP_TIMES_AT_ENDS 3.0
#define BISECTIONS         50

static double distance_to_segment(TapulVec2 p, TapulVec2 a, TapulVec2 b) {
    TapulVec2 edge = tapul_vec2_sub(b, a);
    double length2 = tapul_vec2_dot(edge, edge);
    double t = length2 > 0 ? tapul_vec2_dot(tapul_vec2_sub(p, a), edge) / length2 : 0;
    return tapul_vec2_distance(p, tapul_vec2_mix(a, b, CLAMP(t, 0.0, 1.0)));
}

/* From a reading to the spline through the others of its section; ends have no neighbours on
 * both sides. */
static double off_own_section(const GArray *section, guint i) {
    if (i == 0 || i + 1 == section->len || section->len < 4)
        return INFINITY;
    g_autoptr(GArray) others = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    g_array_append_vals(others, section->data, section->len);
    g_array_remove_index(others, i);
    double length_mm, nearest = INFINITY;
    g_autoptr(TapulCurve) curve =
        tapul_section_curve((int)others->len, (const TapulVec2 *)others->data, &length_mm);
    TapulVec2 reading = g_array_index(section, TapulVec2, i), last = {0, 0};
    for (int k = 0; k <= N_SAMPLES; k++) {
        TapulVec3 p = tapul_curve_point(curve, length_mm * k / N_SAMPLES);
        TapulVec2 here = {p.x, p.z};
        if (k > 0)
            nearest = fmin(nearest, distance_to_segment(reading, last, here));
        last = here;
    }
    return nearest;
}

/* The section at y_mm of splines up through n rows. */
static void section_between(int n, const double *parameter, TapulVec3 *const *row, double y_mm,
                            TapulVec3 *made) {
    g_autofree TapulVec3 *value = g_new0(TapulVec3, n);
    double low = 0, high = 0;
    for (int column = 0; column < N_COLUMNS; column++) {
        for (int i = 0; i < n; i++)
            value[i] = row[i][column];
        g_autoptr(TapulCurve) curve = tapul_curve_new(n, parameter, value);
        if (column == 0) {
            /* Heights are the same function of the parameter in every column. */
            high = parameter[n - 1];
            for (int k = 0; k < BISECTIONS; k++) {
                double middle = (low + high) / 2;
                *(tapul_curve_point(curve, middle).y < y_mm ? &low : &high) = middle;
            }
        }
        made[column] = tapul_curve_point(curve, low);
    }
}

/* All stations as rows, right and left. */
static GPtrArray *spread_all(const TapulPlate *plate) {
    GPtrArray *rows = g_ptr_array_new_with_free_func(g_free);
    for (guint k = 0; k < plate->sections->len; k++) {
        TapulVec3 *right = g_new0(TapulVec3, N_COLUMNS), *left = g_new0(TapulVec3, N_COLUMNS);
        tapul_section_spread(g_ptr_array_index(plate->sections, k), plate->ridge,
                             g_array_index(plate->section_y_mm, double, k), right, left);
        g_ptr_array_add(rows, right);
        g_ptr_array_add(rows, left);
    }
    return rows;
}

/* The polyline at station k's height, from left to right, that the other stations make; NULL
 * for the outer ones. */
static TapulVec2 *without_station(const TapulPlate *plate, const GPtrArray *rows, guint k) {
    int n = (int)plate->sections->len;
    if (k == 0 || (int)k + 1 == n || n < 4)
        return NULL;
    /* The other stations' right rows, then their left ones. */
    g_autofree TapulVec3 **others = g_new0(TapulVec3 *, 2 * (n - 1));
    g_autofree double *parameter = g_new0(double, n - 1);
    TapulVec3 made[N_COLUMNS];
    TapulVec2 *line = g_new0(TapulVec2, 2 * N_COLUMNS);
    for (int i = 0, j = 0; i < n; i++) {
        if (i == (int)k)
            continue;
        others[j] = g_ptr_array_index(rows, 2 * i);
        others[n - 1 + j++] = g_ptr_array_index(rows, 2 * i + 1);
    }
    tapul_section_parameters(n - 1, others, others + n - 1, parameter);
    for (int side = 0; side < 2; side++) {
        section_between(n - 1, parameter, others + side * (n - 1),
                        g_array_index(plate->section_y_mm, double, k), made);
        for (int c = 0; c < N_COLUMNS; c++)
            line[side == 0 ? N_COLUMNS + c : N_COLUMNS - 1 - c] =
                tapul_vec2(made[c].x, made[c].z);
    }
    return line;
}

static double off_line(const TapulVec2 *line, TapulVec2 reading) {
    double nearest = INFINITY;
    for (int c = 1; line && c < 2 * N_COLUMNS; c++)
        nearest = fmin(nearest, distance_to_segment(reading, line[c - 1], line[c]));
    return nearest;
}

/* How much farther a reading is from the plate drawn without its section than its neighbours
 * are: stations far apart miss a swell by as much at the readings beside it. */
static double off_other_stations(const TapulVec2 *line, const GArray *section, guint i) {
    double here = off_line(line, g_array_index(section, TapulVec2, i)), beside = INFINITY;
    if (i > 0)
        beside = fmin(beside, off_line(line, g_array_index(section, TapulVec2, i - 1)));
    if (i + 1 < section->len)
        beside = fmin(beside, off_line(line, g_array_index(section, TapulVec2, i + 1)));
    return isfinite(here) ? fmax(0, here - beside) : INFINITY;
}

static int compare_off(gconstpointer a, gconstpointer b) {
    double first = ((const TapulReading *)a)->off_mm,
           second = ((const TapulReading *)b)->off_mm;
    return (first > second) - (first < second);
}

static double median_off_mm(const GArray *readings) {
    g_autoptr(GArray) sorted = g_array_copy((GArray *)readings);
    g_array_sort(sorted, compare_off);
    return g_array_index(sorted, TapulReading, sorted->len / 2).off_mm;
}

GArray *tapul_plate_check_readings(const TapulPlate *plate) {
    GArray *readings = g_array_new(FALSE, FALSE, sizeof(TapulReading));
    if (!plate->sections)
        return readings;
    g_autoptr(GPtrArray) rows = spread_all(plate);
    for (guint k = 0; k < plate->sections->len; k++) {
        const GArray *section = g_ptr_array_index(plate->sections, k);
        g_autofree TapulVec2 *line = without_station(plate, rows, k);
        for (guint i = 0; i < section->len; i++) {
            TapulVec2 p = g_array_index(section, TapulVec2, i);
            double own_mm = off_own_section(section, i);
            double off_mm = fmin(own_mm, off_other_stations(line, section, i));
            TapulReading reading = {g_array_index(plate->section_y_mm, double, k),
                                    p.x,
                                    p.y,
                                    off_mm,
                                    !isfinite(own_mm),
                                    FALSE};
            /* The corners of the sheet of readings have nothing to be held against. */
            if (isfinite(off_mm))
                g_array_append_val(readings, reading);
        }
    }
    if (readings->len == 0)
        return readings;
    double limit_mm = fmax(SLIP_MM, SLIP_TIMES_MEDIAN * median_off_mm(readings));
    for (guint i = 0; i < readings->len; i++) {
        TapulReading *reading = &g_array_index(readings, TapulReading, i);
        double times = reading->at_end ? SLIP_TIMES_AT_ENDS : 1;
        reading->likely_slip = reading->off_mm > times * limit_mm;
    }
    return readings;
}
