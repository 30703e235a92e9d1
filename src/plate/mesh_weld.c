/* Making one vertex of corners that lie together: STL gives each facet its own. Stands between
 * the reader of STL and the mesh. Corners are filed by the cell of a grid they lie in. */
#include "plate/mesh_read.h"

#include <string.h>

/* Of the bounding box's diagonal: ten units in the last place of the 24-bit numbers STL
 * carries. */
#define WELD_RATIO 1e-6
/* Cells wider than the reach of a weld: most corners need to look into one cell only. */
#define CELL_OVER_REACH 4

typedef struct {
    const TapulVec3 *position;
    TapulVec3 origin;
    double reach, cell;
    GHashTable *last_in_cell; /* gint64 cell -> number of a kept vertex + 1 */
    gint64 *key;              /* [kept] the keys of that table */
    int *previous_in_cell;    /* [kept] -1: none */
    int *original;            /* [kept] corner the vertex was taken from */
    int n_kept;
} Welding;

static double set_bounds(Welding *welding, int n) {
    TapulVec3 low = welding->position[0], high = low;
    for (int v = 1; v < n; v++) {
        TapulVec3 p = welding->position[v];
        low = tapul_vec3(fmin(low.x, p.x), fmin(low.y, p.y), fmin(low.z, p.z));
        high = tapul_vec3(fmax(high.x, p.x), fmax(high.y, p.y), fmax(high.z, p.z));
    }
    welding->origin = low;
    return tapul_vec3_distance(low, high);
}

/* 21 bits an axis; there are at most 1 / (WELD_RATIO * CELL_OVER_REACH) = 250,000 cells along
 * one. */
static gint64 cell_key(gint64 x, gint64 y, gint64 z) {
    return x << 42 | y << 21 | z;
}

/* Offset by one, so that a reach below the lowest cell stays positive. */
static gint64 cell_along(const Welding *welding, double offset) {
    return (gint64)floor(offset / welding->cell) + 1;
}

static int find_in_cell(const Welding *welding, gint64 key, TapulVec3 p) {
    gpointer found = g_hash_table_lookup(welding->last_in_cell, &key);
    for (int kept = GPOINTER_TO_INT(found) - 1; kept >= 0;
         kept = welding->previous_in_cell[kept])
        if (tapul_vec3_distance(welding->position[welding->original[kept]], p) <=
            welding->reach)
            return kept;
    return -1;
}

/* A kept vertex within reach, or -1. */
static int find_kept(const Welding *welding, TapulVec3 p) {
    TapulVec3 from = tapul_vec3_sub(p, welding->origin);
    double offset[3] = {from.x, from.y, from.z};
    gint64 low[3], high[3];
    for (int axis = 0; axis < 3; axis++) {
        low[axis] = cell_along(welding, offset[axis] - welding->reach);
        high[axis] = cell_along(welding, offset[axis] + welding->reach);
    }
    for (gint64 x = low[0]; x <= high[0]; x++)
        for (gint64 y = low[1]; y <= high[1]; y++)
            for (gint64 z = low[2]; z <= high[2]; z++) {
                int kept = find_in_cell(welding, cell_key(x, y, z), p);
                if (kept >= 0)
                    return kept;
            }
    return -1;
}

static int keep(Welding *welding, int vertex) {
    TapulVec3 from = tapul_vec3_sub(welding->position[vertex], welding->origin);
    int kept = welding->n_kept++;
    welding->original[kept] = vertex;
    welding->key[kept] = cell_key(cell_along(welding, from.x), cell_along(welding, from.y),
                                  cell_along(welding, from.z));
    gpointer last = g_hash_table_lookup(welding->last_in_cell, &welding->key[kept]);
    welding->previous_in_cell[kept] = GPOINTER_TO_INT(last) - 1;
    g_hash_table_insert(welding->last_in_cell, &welding->key[kept], GINT_TO_POINTER(kept + 1));
    return kept;
}

/* Cell numbers of neighbours differ in few bits; the golden ratio's multiple spreads them. */
static guint hash_cell(gconstpointer key) {
    guint64 bits;
    memcpy(&bits, key, sizeof bits);
    return (guint)(bits * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15) >> 32);
}

static void weld(Welding *welding, TapulSoup *soup) {
    int n = (int)soup->position->len;
    g_autofree int *kept_as = g_new(int, n);
    for (int v = 0; v < n; v++) {
        int kept = find_kept(welding, welding->position[v]);
        kept_as[v] = kept >= 0 ? kept : keep(welding, v);
    }
    for (guint i = 0; i < soup->index->len; i++) {
        int *index = &g_array_index(soup->index, int, i);
        *index = kept_as[*index];
    }
    /* Kept vertices never stand before their place among the kept. */
    TapulVec3 *position = (TapulVec3 *)soup->position->data;
    for (int kept = 0; kept < welding->n_kept; kept++)
        position[kept] = position[welding->original[kept]];
    g_array_set_size(soup->position, (guint)welding->n_kept);
}

void tapul_soup_weld(TapulSoup *soup) {
    gsize n = soup->position->len;
    if (n == 0)
        return;
    Welding welding = {.position = (const TapulVec3 *)soup->position->data};
    double diagonal = set_bounds(&welding, (int)n);
    if (!(diagonal > 0))
        return;
    welding.reach = WELD_RATIO * diagonal;
    welding.cell = CELL_OVER_REACH * welding.reach;
    welding.last_in_cell = g_hash_table_new(hash_cell, g_int64_equal);
    welding.key = g_new(gint64, n);
    welding.previous_in_cell = g_new(int, n);
    welding.original = g_new(int, n);
    weld(&welding, soup);
    g_hash_table_unref(welding.last_in_cell);
    g_free(welding.key);
    g_free(welding.previous_in_cell);
    g_free(welding.original);
}
