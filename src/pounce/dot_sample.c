/* Blue noise on the metal: R. Bridson, Fast Poisson Disk Sampling in Arbitrary Dimensions,
 * SIGGRAPH 2007 sketches, with places drawn in the base and distances taken in space. The whole
 * plate is filled first, so that dots run evenly under lines and over seams; those that are not
 * allowed go, and where one went others are tried. */
#include "pounce/dot_sample.h"

/* New places tried about each (Bridson: typically 30). */
#define TRIES 30
/* Where the base is pressed together, places are tried this much further off in it. */
#define FURTHEST 2.0
#define SEED     1

typedef struct {
    TapulVec2 base_mm;
    TapulVec3 at_mm;
} Dot;

typedef struct {
    const TapulGround *ground;
    double spacing_mm;
    GRand *random;
    GArray *dots; /* of Dot */
    GHashTable
        *cells; /* of the dots in a cube of the spacing's width: key -> GArray of guint */
} Sampling;

/* --- The cubes --- */

/* 21 bits a direction: plates are far smaller than a million spacings. */
static gint64 cell_key(int x, int y, int z) {
    return ((gint64)(x & 0x1fffff) << 42) | ((gint64)(y & 0x1fffff) << 21) |
           (gint64)(z & 0x1fffff);
}

static int cell_of(const Sampling *sampling, double mm) {
    return (int)floor(mm / sampling->spacing_mm);
}

static GHashTable *cells_new(void) {
    return g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free,
                                 (GDestroyNotify)g_array_unref);
}

static void add_dot(Sampling *sampling, Dot dot) {
    gint64 key = cell_key(cell_of(sampling, dot.at_mm.x), cell_of(sampling, dot.at_mm.y),
                          cell_of(sampling, dot.at_mm.z));
    GArray *cell = g_hash_table_lookup(sampling->cells, &key);
    if (!cell) {
        cell = g_array_new(FALSE, FALSE, sizeof(guint));
        g_hash_table_insert(sampling->cells, g_memdup2(&key, sizeof key), cell);
    }
    g_array_append_val(cell, sampling->dots->len);
    g_array_append_val(sampling->dots, dot);
}

static gboolean cell_is_clear(const Sampling *sampling, gint64 key, TapulVec3 at_mm) {
    const GArray *cell = g_hash_table_lookup(sampling->cells, &key);
    for (guint i = 0; cell && i < cell->len; i++) {
        guint index = g_array_index(cell, guint, i);
        if (tapul_vec3_distance(g_array_index(sampling->dots, Dot, index).at_mm, at_mm) <
            sampling->spacing_mm)
            return FALSE;
    }
    return TRUE;
}

static gboolean is_clear(const Sampling *sampling, TapulVec3 at_mm) {
    int x = cell_of(sampling, at_mm.x), y = cell_of(sampling, at_mm.y);
    int z = cell_of(sampling, at_mm.z);
    for (int i = 0; i < 27; i++)
        if (!cell_is_clear(sampling, cell_key(x + i % 3 - 1, y + i / 3 % 3 - 1, z + i / 9 - 1),
                           at_mm))
            return FALSE;
    return TRUE;
}

/* --- Sampling --- */

/* A dot at a place of the base; FALSE beside the plate. */
static gboolean dot_at(const Sampling *sampling, TapulVec2 base_mm, Dot *dot) {
    TapulSpot spot;
    if (!tapul_development_finder_spot(sampling->ground->finder, base_mm, &spot))
        return FALSE;
    dot->base_mm = base_mm;
    dot->at_mm = tapul_mesh_flat_position_mm(sampling->ground->development->mesh, spot);
    return TRUE;
}

/* A place about another, from a least to a largest distance, evenly by area. */
static TapulVec2 place_about(Sampling *sampling, TapulVec2 middle, double from_mm,
                             double to_mm) {
    double square = g_rand_double_range(sampling->random, from_mm * from_mm, to_mm * to_mm);
    double angle_rad = g_rand_double_range(sampling->random, 0, 2 * G_PI);
    return tapul_vec2_add(middle, tapul_vec2_turn(tapul_vec2(sqrt(square), 0), angle_rad));
}

static gboolean add_beside(Sampling *sampling, TapulVec2 middle) {
    double spacing_mm = sampling->spacing_mm;
    for (int i = 0; i < TRIES; i++) {
        Dot dot;
        TapulVec2 base_mm =
            place_about(sampling, middle, spacing_mm / FURTHEST, FURTHEST * spacing_mm);
        if (dot_at(sampling, base_mm, &dot) && is_clear(sampling, dot.at_mm)) {
            add_dot(sampling, dot);
            return TRUE;
        }
    }
    return FALSE;
}

/* Fills the whole plate from one dot on: a place about which nothing more was found is done. */
static void fill_plate(Sampling *sampling) {
    const TapulDevelopment *development = sampling->ground->development;
    g_autoptr(GArray) active = g_array_new(FALSE, FALSE, sizeof(guint));
    Dot first;
    TapulSpot middle = {0, {1. / 3, 1. / 3, 1. / 3}};
    if (!dot_at(sampling, tapul_development_point_mm(development, middle), &first))
        return;
    add_dot(sampling, first);
    guint start = 0;
    g_array_append_val(active, start);
    while (active->len > 0) {
        guint i = (guint)g_rand_int_range(sampling->random, 0, (gint32)active->len);
        guint index = g_array_index(active, guint, i);
        guint added = sampling->dots->len;
        if (add_beside(sampling, g_array_index(sampling->dots, Dot, index).base_mm))
            g_array_append_val(active, added);
        else
            g_array_remove_index_fast(active, i);
    }
}

/* Keeps what is allowed, and tries others where one went. */
static GArray *keep_allowed(Sampling *sampling, TapulDotAllowed allowed, gpointer data) {
    g_autoptr(GArray) all = g_steal_pointer(&sampling->dots);
    g_autoptr(GArray) gone = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    sampling->dots = g_array_new(FALSE, FALSE, sizeof(Dot));
    g_hash_table_remove_all(sampling->cells);
    for (guint i = 0; i < all->len; i++) {
        Dot dot = g_array_index(all, Dot, i);
        if (allowed(dot.base_mm, data))
            add_dot(sampling, dot);
        else
            g_array_append_val(gone, dot.base_mm);
    }
    for (guint i = 0; i < gone->len * TRIES; i++) {
        Dot dot;
        TapulVec2 base_mm = place_about(sampling, g_array_index(gone, TapulVec2, i / TRIES), 0,
                                        FURTHEST * sampling->spacing_mm);
        if (dot_at(sampling, base_mm, &dot) && is_clear(sampling, dot.at_mm) &&
            allowed(base_mm, data))
            add_dot(sampling, dot);
    }
    GArray *kept = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = 0; i < sampling->dots->len; i++)
        g_array_append_val(kept, g_array_index(sampling->dots, Dot, i).base_mm);
    return kept;
}

GArray *tapul_dots_sample(const TapulGround *ground, double spacing_mm, TapulDotAllowed allowed,
                          gpointer data) {
    Sampling sampling = {.ground = ground,
                         .spacing_mm = spacing_mm,
                         .random = g_rand_new_with_seed(SEED),
                         .dots = g_array_new(FALSE, FALSE, sizeof(Dot)),
                         .cells = cells_new()};
    fill_plate(&sampling);
    GArray *kept = keep_allowed(&sampling, allowed, data);
    g_array_unref(sampling.dots);
    g_hash_table_unref(sampling.cells);
    g_rand_free(sampling.random);
    return kept;
}
