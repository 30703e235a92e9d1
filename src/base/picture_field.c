/* Where each pixel of a warped picture comes from: the map taken on a lattice of every 16th
 * pixel, and where it is not linear enough between these, on one halved until it is. Most maps
 * cost far more than a sample. */
#include "base/picture_warp.h"

#include <gsl/gsl_sort.h>
#include <omp.h>

/* Nodes lie on pixel centres, this far apart, three to a tile's side. */
#define NODE_PX (TAPUL_TILE_PX / 2)
/* A tile's own lattice, its last row and column those of the next tile. */
#define SIDE (TAPUL_TILE_PX + 1)

/* x is NAN where the map is not defined. */
typedef struct {
    float x, y;
} Place;

struct TapulField {
    int columns, rows;           /* of tiles */
    int node_columns, node_rows; /* 2 columns + 1, 2 rows + 1 */
    TapulPictureMap map;
    gconstpointer data;
    double tolerance_px;
    Place *node;  /* [node_rows][node_columns] */
    Place **fine; /* [rows][columns], each NULL: linear between its nodes, or
                     [TAPUL_TILE_PX][TAPUL_TILE_PX] */
};

static Place place_of(const TapulField *field, int x_px, int y_px) {
    TapulVec2 from_px;
    if (!field->map(tapul_vec2(x_px + 0.5, y_px + 0.5), &from_px, field->data) ||
        !isfinite(from_px.x) || !isfinite(from_px.y))
        return (Place){NAN, NAN};
    return (Place){(float)from_px.x, (float)from_px.y};
}

/* --- A tile's own lattice --- */

typedef struct {
    const TapulField *field;
    int x_px, y_px; /* the tile's first pixel */
    Place place[SIDE * SIDE];
    gboolean known[SIDE * SIDE];
} Lattice;

static Place lattice_place(Lattice *lattice, int x, int y) {
    int i = y * SIDE + x;
    if (!lattice->known[i]) {
        lattice->place[i] = place_of(lattice->field, lattice->x_px + x, lattice->y_px + y);
        lattice->known[i] = TRUE;
    }
    return lattice->place[i];
}

/* A square of the lattice, its corner at (x, y). */
typedef struct {
    int x, y, size;
} Cell;

static Place mix(Place a, Place b, float t) {
    return (Place){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

/* Whether the five nodes half-way are about where the corners say, or all nine are nowhere.
 * Between the nine the map then is within its tolerance: half as long squares halve what a kink
 * is off by, and quarter a bend. */
static gboolean is_even(Lattice *lattice, Cell cell) {
    int half = cell.size / 2, defined = 0;
    Place node[3][3];
    for (int j = 0; j < 3; j++)
        for (int i = 0; i < 3; i++) {
            node[j][i] = lattice_place(lattice, cell.x + i * half, cell.y + j * half);
            defined += !isnan(node[j][i].x);
        }
    if (defined < 9)
        return defined == 0;
    for (int j = 0; j < 3; j++)
        for (int i = 0; i < 3; i++) {
            Place top = mix(node[0][0], node[0][2], (float)i / 2);
            Place bottom = mix(node[2][0], node[2][2], (float)i / 2);
            Place expected = mix(top, bottom, (float)j / 2);
            if (hypot(node[j][i].x - expected.x, node[j][i].y - expected.y) >
                2 * lattice->field->tolerance_px)
                return FALSE;
        }
    return TRUE;
}

/* Bilinear between the corners of a cell. */
static void fill_cell(Lattice *lattice, Cell cell) {
    Place *at = lattice->place + cell.y * SIDE + cell.x;
    Place corner[4] = {at[0], at[cell.size], at[cell.size * SIDE],
                       at[cell.size * SIDE + cell.size]};
    for (int j = 0; j <= cell.size; j++) {
        Place left = mix(corner[0], corner[2], (float)j / (float)cell.size);
        Place right = mix(corner[1], corner[3], (float)j / (float)cell.size);
        for (int i = 0; i <= cell.size; i++)
            if (!lattice->known[(cell.y + j) * SIDE + cell.x + i])
                at[j * SIDE + i] = mix(left, right, (float)i / (float)cell.size);
    }
}

static void refine_cell(Lattice *lattice, Cell cell) {
    if (cell.size == 1) {
        for (int k = 0; k < 4; k++)
            lattice_place(lattice, cell.x + k % 2, cell.y + k / 2);
        return;
    }
    int half = cell.size / 2;
    gboolean even = is_even(lattice, cell);
    for (int k = 0; k < 4; k++) {
        Cell quarter = {cell.x + k % 2 * half, cell.y + k / 2 * half, half};
        if (even)
            fill_cell(lattice, quarter);
        else
            refine_cell(lattice, quarter);
    }
}

static Place *node_at(const TapulField *field, int column, int row) {
    return field->node + (gsize)row * (gsize)field->node_columns + column;
}

static void refine_tile(TapulField *field, Lattice *lattice, int column, int row) {
    *lattice =
        (Lattice){.field = field, .x_px = column * TAPUL_TILE_PX, .y_px = row * TAPUL_TILE_PX};
    for (int k = 0; k < 9; k++) {
        int i = k / 3 * NODE_PX * SIDE + k % 3 * NODE_PX;
        lattice->place[i] = *node_at(field, 2 * column + k % 3, 2 * row + k / 3);
        lattice->known[i] = TRUE;
    }
    Cell whole = {0, 0, TAPUL_TILE_PX};
    if (is_even(lattice, whole))
        return;
    refine_cell(lattice, whole);
    Place *fine = g_new(Place, TAPUL_TILE_PX * TAPUL_TILE_PX);
    for (int y = 0; y < TAPUL_TILE_PX; y++)
        memcpy(fine + y * TAPUL_TILE_PX, lattice->place + y * SIDE,
               TAPUL_TILE_PX * sizeof *fine);
    field->fine[(gsize)row * (gsize)field->columns + (gsize)column] = fine;
}

/* --- The whole field --- */

/* From one thread only, so that the caller's function need not be safe from several. */
static void tell(const TapulWarpOptions *options, double fraction) {
    if (options->progress && omp_get_thread_num() == 0)
        options->progress(fraction, options->progress_data);
}

TapulField *tapul_field_new(int width_px, int height_px, TapulPictureMap map,
                            gconstpointer data, const TapulWarpOptions *options) {
    TapulField *field = g_new0(TapulField, 1);
    field->columns = (width_px - 1) / TAPUL_TILE_PX + 1;
    field->rows = (height_px - 1) / TAPUL_TILE_PX + 1;
    field->node_columns = 2 * field->columns + 1;
    field->node_rows = 2 * field->rows + 1;
    field->map = map;
    field->data = data;
    field->tolerance_px = options->tolerance_px;
    field->node = g_new(Place, (gsize)field->node_columns * (gsize)field->node_rows);
    field->fine = g_new0(Place *, (gsize)field->columns * (gsize)field->rows);
#pragma omp parallel for schedule(dynamic)
    for (int row = 0; row < field->node_rows; row++) {
        for (int column = 0; column < field->node_columns; column++)
            *node_at(field, column, row) = place_of(field, column * NODE_PX, row * NODE_PX);
        tell(options, 0.5 * row / field->node_rows);
    }
#pragma omp parallel
    {
        Lattice *lattice = g_new(Lattice, 1);
#pragma omp for schedule(dynamic)
        for (int row = 0; row < field->rows; row++) {
            for (int column = 0; column < field->columns; column++)
                refine_tile(field, lattice, column, row);
            tell(options, 0.5 + 0.4 * row / field->rows);
        }
        g_free(lattice);
    }
    return field;
}

void tapul_field_free(TapulField *field) {
    if (!field)
        return;
    for (gsize i = 0; i < (gsize)field->columns * (gsize)field->rows; i++)
        g_free(field->fine[i]);
    g_free(field->fine);
    g_free(field->node);
    g_free(field);
}

/* --- Asking it --- */

static const Place *fine_of(const TapulField *field, int column, int row) {
    return field->fine[(gsize)row * (gsize)field->columns + (gsize)column];
}

/* A row of one quarter of a tile that is linear between its nodes. */
static void fill_row(const TapulField *field, int node_column, int y_px, float *x, float *y) {
    const Place *above = node_at(field, node_column, y_px / NODE_PX);
    const Place *below = above + field->node_columns;
    float down = (float)(y_px % NODE_PX) / NODE_PX;
    Place left = mix(above[0], below[0], down), right = mix(above[1], below[1], down);
    Place step = {(right.x - left.x) / NODE_PX, (right.y - left.y) / NODE_PX};
#pragma omp simd
    for (int i = 0; i < NODE_PX; i++) {
        x[i] = left.x + (float)i * step.x;
        y[i] = left.y + (float)i * step.y;
    }
}

void tapul_field_tile(const TapulField *field, int column, int row, TapulTilePlaces *places) {
    const Place *fine = fine_of(field, column, row);
    for (int i = 0; fine && i < TAPUL_TILE_PX * TAPUL_TILE_PX; i++) {
        places->x[i] = fine[i].x;
        places->y[i] = fine[i].y;
    }
    for (int y = 0; !fine && y < TAPUL_TILE_PX; y++)
        for (int half = 0; half < 2; half++) {
            int i = y * TAPUL_TILE_PX + half * NODE_PX;
            fill_row(field, 2 * column + half, row * TAPUL_TILE_PX + y, places->x + i,
                     places->y + i);
        }
}

static TapulVec2 inner_pixel(const TapulField *field, int x_px, int y_px) {
    const Place *fine = fine_of(field, x_px / TAPUL_TILE_PX, y_px / TAPUL_TILE_PX);
    if (fine) {
        const Place *at = fine + y_px % TAPUL_TILE_PX * TAPUL_TILE_PX + x_px % TAPUL_TILE_PX;
        return tapul_vec2(at->x, at->y);
    }
    float x[NODE_PX], y[NODE_PX];
    fill_row(field, x_px / NODE_PX, y_px, x, y);
    return tapul_vec2(x[x_px % NODE_PX], y[x_px % NODE_PX]);
}

/* Beyond the picture its edge is a point of symmetry. */
TapulVec2 tapul_field_pixel(const TapulField *field, int x_px, int y_px) {
    int last_x = field->columns * TAPUL_TILE_PX - 1, last_y = field->rows * TAPUL_TILE_PX - 1;
    int edge_x = CLAMP(x_px, 0, last_x), edge_y = CLAMP(y_px, 0, last_y);
    if (edge_x == x_px && edge_y == y_px)
        return inner_pixel(field, x_px, y_px);
    TapulVec2 edge = inner_pixel(field, edge_x, edge_y);
    TapulVec2 inside = inner_pixel(field, 2 * edge_x - x_px, 2 * edge_y - y_px);
    return tapul_vec2_sub(tapul_vec2_scale(edge, 2), inside);
}

/* The lower one of an even number: half the steps of a tile may lead over a jump. NAN where
 * none is known. */
static double median(double *value, int n) {
    int known = 0;
    for (int i = 0; i < n; i++)
        if (!isnan(value[i]))
            value[known++] = value[i];
    if (known == 0)
        return NAN;
    gsl_sort(value, 1, (gsize)known);
    return value[(known - 1) / 2];
}

void tapul_field_steps(const TapulField *field, int column, int row, double *right_px,
                       double *down_px) {
    double right[6], down[6];
    for (int k = 0; k < 6; k++) {
        const Place *a = node_at(field, 2 * column + k % 2, 2 * row + k / 2);
        right[k] = hypot(a[1].x - a[0].x, a[1].y - a[0].y) / NODE_PX;
        a = node_at(field, 2 * column + k % 3, 2 * row + k / 3);
        const Place *b = a + field->node_columns;
        down[k] = hypot(b->x - a->x, b->y - a->y) / NODE_PX;
    }
    *right_px = median(right, 6);
    *down_px = median(down, 6);
}
