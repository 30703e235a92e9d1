/* Building a tree of axis-parallel boxes over a mesh, in which mesh_nearest.c and mesh_ray.c
 * search. Boxes are split by the surface area heuristic in bins (Wald 2007, On fast
 * construction of SAH-based bounding volume hierarchies). */
#include "plate/mesh_tree.h"

#define BINS           16
#define LEAF_TRIANGLES 4

static inline TapulBox3 box_empty(void) {
    return (TapulBox3){{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
}

static inline void box_add(TapulBox3 *box, const double p[3]) {
    for (int axis = 0; axis < 3; axis++) {
        box->min[axis] = MIN(box->min[axis], p[axis]);
        box->max[axis] = MAX(box->max[axis], p[axis]);
    }
}

static inline void box_join(TapulBox3 *box, const TapulBox3 *other) {
    box_add(box, other->min);
    box_add(box, other->max);
}

static double box_half_area(const TapulBox3 *box) {
    double x = box->max[0] - box->min[0], y = box->max[1] - box->min[1],
           z = box->max[2] - box->min[2];
    return x * y + y * z + z * x;
}

typedef struct {
    TapulMeshTree *tree;
    TapulBox3 *box;      /* [n_triangles] */
    double (*middle)[3]; /* [n_triangles] centres of the boxes */
} Building;

/* A plan to part a node's triangles along an axis by the bin their middles fall in. */
typedef struct {
    int axis, bin;
    double start, bins_per_mm;
} Split;

static inline int bin_of(const Split *split, const double middle[3]) {
    return CLAMP((int)((middle[split->axis] - split->start) * split->bins_per_mm), 0, BINS - 1);
}

/* Bins along the widest extent of the middles; FALSE if all middles lie together. */
static gboolean plan_bins(const Building *building, const int *triangle, int n, Split *split) {
    TapulBox3 middles = box_empty();
    for (int i = 0; i < n; i++)
        box_add(&middles, building->middle[triangle[i]]);
    *split = (Split){0, -1, 0, 0};
    double extent = middles.max[0] - middles.min[0];
    for (int axis = 1; axis < 3; axis++)
        if (middles.max[axis] - middles.min[axis] > extent) {
            split->axis = axis;
            extent = middles.max[axis] - middles.min[axis];
        }
    split->start = middles.min[split->axis];
    split->bins_per_mm = BINS / extent;
    return extent > 0 && isfinite(split->bins_per_mm);
}

/* What it costs to search a part: triangles times half the area of their box; an empty part is
 * no split. */
static double part_cost(int count, const TapulBox3 *box) {
    return count ? count * box_half_area(box) : INFINITY;
}

/* The cheapest split of n triangles, or FALSE if all middles lie together. */
static gboolean plan_split(const Building *building, const int *triangle, int n, Split *split) {
    if (!plan_bins(building, triangle, n, split))
        return FALSE;
    TapulBox3 bin_box[BINS], right_box = box_empty(), left_box = box_empty();
    int bin_count[BINS] = {0};
    double right_cost[BINS], least = INFINITY;
    for (int b = 0; b < BINS; b++)
        bin_box[b] = box_empty();
    for (int i = 0; i < n; i++) {
        int b = bin_of(split, building->middle[triangle[i]]);
        box_join(&bin_box[b], &building->box[triangle[i]]);
        bin_count[b]++;
    }
    for (int b = BINS - 1, count = 0; b > 0; b--) {
        box_join(&right_box, &bin_box[b]);
        right_cost[b] = part_cost(count += bin_count[b], &right_box);
    }
    for (int b = 0, count = 0; b < BINS - 1; b++) {
        box_join(&left_box, &bin_box[b]);
        double cost = part_cost(count += bin_count[b], &left_box) + right_cost[b + 1];
        if (cost < least) {
            least = cost;
            split->bin = b;
        }
    }
    return split->bin >= 0;
}

/* Moves triangles of the left part to the front; returns how many. */
static int part(const Building *building, int *triangle, int n, const Split *split) {
    int n_left = 0;
    for (int i = 0; i < n; i++) {
        int t = triangle[i];
        if (bin_of(split, building->middle[t]) > split->bin)
            continue;
        triangle[i] = triangle[n_left];
        triangle[n_left++] = t;
    }
    return n_left;
}

static void build_node(const Building *building, int index, int first, int n, int depth) {
    TapulMeshTree *tree = building->tree;
    int *triangle = tree->order + first;
    TapulTreeNode *node = &tree->node[index];
    node->box = box_empty();
    for (int i = 0; i < n; i++)
        box_join(&node->box, &building->box[triangle[i]]);
    if (n <= LEAF_TRIANGLES) {
        node->first = first;
        node->n_triangles = n;
        return;
    }
    Split split;
    int n_left = n / 2;
    if (depth < TAPUL_MESH_TREE_SPLIT_DEPTH && plan_split(building, triangle, n, &split))
        n_left = part(building, triangle, n, &split);
    int child = tree->n_nodes;
    tree->n_nodes += 2;
    node->first = child;
    node->n_triangles = 0;
    build_node(building, child, first, n_left, depth + 1);
    build_node(building, child + 1, first + n_left, n - n_left, depth + 1);
}

TapulMeshTree *tapul_mesh_tree_new(const TapulMesh *mesh) {
    gsize n = (gsize)mesh->n_triangles;
    TapulMeshTree *tree = g_new0(TapulMeshTree, 1);
    tree->mesh = mesh;
    tree->order = g_new(int, n);
    tree->node = g_new(TapulTreeNode, 2 * n);
    g_autofree TapulBox3 *box = g_new(TapulBox3, n);
    g_autofree double(*middle)[3] = g_malloc_n(n, sizeof *middle);
    for (int t = 0; t < mesh->n_triangles; t++) {
        tree->order[t] = t;
        box[t] = box_empty();
        for (int k = 0; k < 3; k++) {
            double p[3];
            tapul_vec3_unpack(mesh->position_mm[mesh->corner[t][k]], p);
            box_add(&box[t], p);
        }
        for (int axis = 0; axis < 3; axis++) {
            middle[t][axis] = 0.5 * (box[t].min[axis] + box[t].max[axis]);
            tree->size_mm =
                fmax(tree->size_mm, fmax(fabs(box[t].min[axis]), fabs(box[t].max[axis])));
        }
    }
    Building building = {tree, box, middle};
    tree->n_nodes = 1;
    build_node(&building, 0, 0, mesh->n_triangles, 0);
    tree->node = g_renew(TapulTreeNode, tree->node, tree->n_nodes);
    return tree;
}

void tapul_mesh_tree_free(TapulMeshTree *tree) {
    if (!tree)
        return;
    g_free(tree->node);
    g_free(tree->order);
    g_free(tree);
}
