/* A mesh while lines are drawn into it: triangles that can be divided. Internal to imprint.c
 * and imprint_draft.c. */
#ifndef TAPUL_PLATE_IMPRINT_DRAFT_H
#define TAPUL_PLATE_IMPRINT_DRAFT_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

typedef struct {
    int corner[3], across[3];
    int parent;
    double weight[3][3]; /* of each corner, in the parent */
    TapulVec3 normal[3];
} TapulCell;

typedef struct {
    GArray *position_mm;  /* of TapulVec3 */
    GArray *cells;        /* of TapulCell */
    GArray *home;         /* of int: a cell at each vertex */
    GArray *first, *next; /* of int: the first cell of each parent, the next of each cell; -1 */
    GHashTable *drawn;    /* edges (tapul_edge_key) along lines */
    GHashTable *middle;   /* edges that were divided -> the vertex there */
} TapulDraft;

/* One number for an edge, whichever way it runs. */
static inline gint64 tapul_edge_key(int a, int b) {
    return (gint64)MIN(a, b) << 32 | MAX(a, b);
}

TapulDraft *tapul_draft_new(const TapulMesh *mesh);
void tapul_draft_free(TapulDraft *draft);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDraft, tapul_draft_free)

static inline TapulCell *tapul_draft_cell(const TapulDraft *draft, int t) {
    return &g_array_index(draft->cells, TapulCell, t);
}
static inline TapulVec3 tapul_draft_position(const TapulDraft *draft, int v) {
    return g_array_index(draft->position_mm, TapulVec3, v);
}

/* A new vertex on the edge opposite corner k of cell t, at share of the way from corner k + 1
 * to corner k + 2; it is joined to corner k, and over the edge. */
int tapul_draft_split_edge(TapulDraft *draft, int t, int k, double share);
/* A new vertex inside cell t at barycentric weights of the cell. */
int tapul_draft_split_cell(TapulDraft *draft, int t, const double weight[3]);

/* Marks an edge as part of a line; its halves are too when it is divided. */
void tapul_draft_draw(TapulDraft *draft, int from, int to);
gboolean tapul_draft_is_drawn(const TapulDraft *draft, int from, int to);
/* The vertices of a line whose edges later lines may have divided: a GArray of int. */
GArray *tapul_draft_resolve(const TapulDraft *draft, const GArray *chain);

/* The corner of vertex v in cell t. */
int tapul_draft_corner(const TapulDraft *draft, int t, int v);
/* The cells around a vertex: a GArray of int. */
GArray *tapul_draft_fan(const TapulDraft *draft, int v);

G_END_DECLS

#endif
