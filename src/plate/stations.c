/* The smooth surface through a plate's readings: each level cut is a spline, and splines run up
 * through the cuts (a lofted surface). It is tabulated once and read by cubic interpolation. */
#include "plate/plate_private.h"
#include "plate/section.h"
#include "plate/surface.h"

/* Rows up: as close together as the columns. */
#define N_ROWS    257
#define N_COLUMNS TAPUL_SECTION_COLUMNS

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

/* Splines up through the stations' rows, column by column. */
static TapulVec3 *loft(int n, const double *parameter, TapulVec3 *const *row) {
    g_autofree TapulVec3 *value = g_new0(TapulVec3, n);
    TapulVec3 *table = g_new0(TapulVec3, N_ROWS * N_COLUMNS);

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

    for (int i = 0; i < 2 * n; i++)
        g_ptr_array_add(rows, g_new0(TapulVec3, N_COLUMNS));
    TapulVec3 *const *all =
        (TapulVec3 *const *)rows->pdata; /* the right sides, then the left */
    for (int i = 0; i < n; i++) {
        const char *wrong = tapul_section_fault(sections[i]);
        if (!wrong && !tapul_section_spread(sections[i], ridge, y_mm[i], all[i], all[n + i]))
            wrong = "the section does not cross the medial plane x = 0";
        g_autofree char *crossing = wrong ? NULL : tapul_plate_line_fault(sections[i]);
        wrong = crossing ? crossing : wrong;
        if (wrong) {
            *fault = g_strdup(wrong);
            *fault_station = i;
            return NULL;
        }
        mirrored = mirrored && tapul_section_is_half(sections[i]);
    }

    Stations *stations = g_new0(Stations, 1);
    g_autofree double *parameter = g_new0(double, n);
    tapul_section_parameters(n, all, all + n, parameter);
    for (int side = 0; side < 2; side++)
        stations->table[side] = loft(n, parameter, all + side * n);
    stations->base = (TapulSurface){.evaluate = stations_point,
                                    .free = stations_free,
                                    .mirrored = mirrored,
                                    .closed = meets_itself(stations),
                                    .size_mm = extent_mm(stations)};
    return &stations->base;
}
