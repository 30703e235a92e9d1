/* Which edges of paper come together on the metal: the two sides of every cut, in runs that
 * belong to the same two pieces. */
#include "develop/pattern_parts.h"

#include <string.h>

/* One side of an edge of a chain: the part there, and the edge's ends in it; part -1: none. */
typedef struct {
    int part, from, to;
} Side;

typedef struct {
    const TapulMesh *mesh;
    const GPtrArray *parts;
    int *part, *local;   /* [n_triangles] where each triangle has gone */
    GHashTable *left_of; /* directed edge -> the triangle on its left, plus 1 */
} Places;

static gint64 directed_key(int from, int to) {
    return (gint64)from << 32 | to;
}

static void places_set(Places *places, const TapulImprint *imprint, const GPtrArray *parts) {
    const TapulMesh *mesh = imprint->mesh;
    *places =
        (Places){mesh, parts, g_new(int, mesh->n_triangles), g_new(int, mesh->n_triangles),
                 g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL)};
    for (guint p = 0; p < parts->len; p++) {
        const TapulMeshPart *part = g_ptr_array_index(parts, p);
        for (int t = 0; t < part->mesh->n_triangles; t++) {
            places->part[part->triangle[t]] = (int)p;
            places->local[part->triangle[t]] = t;
        }
    }
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            gint64 key = directed_key(mesh->corner[t][k], mesh->corner[t][(k + 1) % 3]);
            g_hash_table_insert(places->left_of, g_memdup2(&key, sizeof key),
                                GINT_TO_POINTER(t + 1));
        }
}

static void places_clear(Places *places) {
    g_free(places->part);
    g_free(places->local);
    g_hash_table_unref(places->left_of);
}

static int local_vertex(const Places *places, int t, int v) {
    const TapulMeshPart *part = g_ptr_array_index(places->parts, places->part[t]);
    const int *corner = places->mesh->corner[t];
    int k = corner[0] == v ? 0 : corner[1] == v ? 1 : 2;
    return part->mesh->corner[places->local[t]][k];
}

/* The side to the left of the edge from -> to; its ends in the chain's own order where flipped.
 */
static Side side_of(const Places *places, int from, int to, gboolean flipped) {
    gint64 key = flipped ? directed_key(to, from) : directed_key(from, to);
    int t = GPOINTER_TO_INT(g_hash_table_lookup(places->left_of, &key)) - 1;
    if (t < 0)
        return (Side){-1, -1, -1};
    return (Side){places->part[t], local_vertex(places, t, from), local_vertex(places, t, to)};
}

/* Lines may run along each other: an edge belongs to the first of them, and to no seam again.
 */
static void take_edge(const Places *places, int from, int to) {
    gint64 there = directed_key(from, to), back = directed_key(to, from);
    g_hash_table_remove(places->left_of, &there);
    g_hash_table_remove(places->left_of, &back);
}

static void seam_free(gpointer data) {
    TapulSeam *seam = data;
    g_free(seam->vertex[0]);
    g_free(seam->vertex[1]);
    g_free(seam);
}

/* Whether an edge's sides go on where those of the edge before it ended. */
static gboolean goes_on(const Side was[2], const Side now[2]) {
    return was[0].part == now[0].part && was[1].part == now[1].part &&
           was[0].to == now[0].from && was[1].to == now[1].from;
}

static void reverse(int *vertex, int n) {
    for (int i = 0; i < n / 2; i++) {
        int swap = vertex[i];
        vertex[i] = vertex[n - 1 - i];
        vertex[n - 1 - i] = swap;
    }
}

/* A dart's tip comes last; turned round, left and right change places. */
static void put_tip_last(TapulSeam *seam) {
    int last = seam->n - 1;
    gboolean dart = seam->piece[0] == seam->piece[1];
    if (dart && seam->vertex[0][0] == seam->vertex[1][0]) {
        int *left = seam->vertex[0];
        seam->vertex[0] = seam->vertex[1];
        seam->vertex[1] = left;
        reverse(seam->vertex[0], seam->n);
        reverse(seam->vertex[1], seam->n);
    }
    seam->closed_end = dart && seam->vertex[0][last] == seam->vertex[1][last];
}

typedef struct {
    Side side[2];
} Edge;

static void add_seam(GPtrArray *seams, int cut, const GArray *run) {
    if (run->len == 0)
        return;
    TapulSeam *seam = g_new0(TapulSeam, 1);
    seam->cut = cut;
    seam->n = (int)run->len + 1;
    for (int side = 0; side < 2; side++) {
        seam->piece[side] = g_array_index(run, Edge, 0).side[side].part;
        seam->vertex[side] = g_new(int, seam->n);
        seam->vertex[side][0] = g_array_index(run, Edge, 0).side[side].from;
        for (guint i = 0; i < run->len; i++)
            seam->vertex[side][i + 1] = g_array_index(run, Edge, i).side[side].to;
    }
    put_tip_last(seam);
    g_ptr_array_add(seams, seam);
}

static void add_seams_of(GPtrArray *seams, const Places *places, int cut, const GArray *chain) {
    g_autoptr(GArray) run = g_array_new(FALSE, FALSE, sizeof(Edge));
    for (guint i = 1; i < chain->len; i++) {
        int from = g_array_index(chain, int, i - 1), to = g_array_index(chain, int, i);
        Edge edge = {{side_of(places, from, to, FALSE), side_of(places, from, to, TRUE)}};
        take_edge(places, from, to);
        gboolean seam = edge.side[0].part >= 0 && edge.side[1].part >= 0;
        if (run->len > 0 &&
            !(seam && goes_on(g_array_index(run, Edge, run->len - 1).side, edge.side))) {
            add_seam(seams, cut, run);
            g_array_set_size(run, 0);
        }
        if (seam)
            g_array_append_val(run, edge);
    }
    add_seam(seams, cut, run);
}

GPtrArray *tapul_pattern_seams(const TapulImprint *imprint, const GPtrArray *parts) {
    GPtrArray *seams = g_ptr_array_new_with_free_func(seam_free);
    Places places;
    places_set(&places, imprint, parts);
    for (guint c = 0; c < imprint->chains->len; c++)
        add_seams_of(seams, &places, (int)c, g_ptr_array_index(imprint->chains, c));
    places_clear(&places);
    return seams;
}
