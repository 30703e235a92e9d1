/* Finding triangles fast: a tree of axis-parallel boxes over a mesh, for the nearest point and
 * the first triangle a ray meets. Boxes are split by the surface area heuristic in bins (Wald
 * 2007, On fast construction of SAH-based bounding volume hierarchies); nearest points follow
 * Ericson 2005, Real-Time Collision Detection, 5.1.5; rays follow Woop, Benthin & Wald 2013,
 * Watertight ray/triangle intersection, J. Computer Graphics Techniques 2(1). */
#include <tapul/mesh.h>

#include <float.h>

#define BINS           16
#define LEAF_TRIANGLES 4
/* Beyond this depth nodes are halved by count, so that no mesh can make the tree deeper than
 * this plus the binary logarithm of its triangles. */
#define HEURISTIC_DEPTH 60
#define STACK_DEPTH     (HEURISTIC_DEPTH + 40)
/* Units in the last place that a ray's passage through a box may err by, over the size of the
 * numbers. */
#define BOX_ROUNDING (32 * DBL_EPSILON)

typedef struct {
    double min[3], max[3];
} Box3;

/* Inner nodes have n_triangles 0 and their children at first and first + 1; leaves name their
 * triangles order[first] to order[first + n_triangles - 1]. */
typedef struct {
    Box3 box;
    int first, n_triangles;
} Node;

struct TapulMeshTree {
    const TapulMesh *mesh;
    Node *node;
    int n_nodes;
    int *order;     /* [n_triangles] */
    double size_mm; /* the largest coordinate, without sign */
};

static inline void unpack(TapulVec3 p, double out[3]) {
    out[0] = p.x;
    out[1] = p.y;
    out[2] = p.z;
}

static inline Box3 box_empty(void) {
    return (Box3){{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
}

static inline void box_add(Box3 *box, const double p[3]) {
    for (int axis = 0; axis < 3; axis++) {
        box->min[axis] = MIN(box->min[axis], p[axis]);
        box->max[axis] = MAX(box->max[axis], p[axis]);
    }
}

static inline void box_join(Box3 *box, const Box3 *other) {
    box_add(box, other->min);
    box_add(box, other->max);
}

static double box_half_area(const Box3 *box) {
    double x = box->max[0] - box->min[0], y = box->max[1] - box->min[1],
           z = box->max[2] - box->min[2];
    return x * y + y * z + z * x;
}

/* --- Building --- */

typedef struct {
    TapulMeshTree *tree;
    Box3 *box;           /* [n_triangles] */
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

/* The cheapest split of n triangles, or FALSE if all middles lie together. */
static gboolean plan_split(const Building *building, const int *triangle, int n, Split *split) {
    Box3 middles = box_empty();
    for (int i = 0; i < n; i++)
        box_add(&middles, building->middle[triangle[i]]);
    *split = (Split){0, -1, 0, 0};
    for (int axis = 1; axis < 3; axis++)
        if (middles.max[axis] - middles.min[axis] >
            middles.max[split->axis] - middles.min[split->axis])
            split->axis = axis;
    double extent = middles.max[split->axis] - middles.min[split->axis];
    split->start = middles.min[split->axis];
    split->bins_per_mm = BINS / extent;
    if (!(extent > 0) || !isfinite(split->bins_per_mm))
        return FALSE;
    Box3 bin_box[BINS], right_box = box_empty();
    int bin_count[BINS] = {0};
    double right_cost[BINS];
    for (int b = 0; b < BINS; b++)
        bin_box[b] = box_empty();
    for (int i = 0; i < n; i++) {
        int b = bin_of(split, building->middle[triangle[i]]);
        box_join(&bin_box[b], &building->box[triangle[i]]);
        bin_count[b]++;
    }
    for (int b = BINS - 1, count = 0; b > 0; b--) {
        box_join(&right_box, &bin_box[b]);
        count += bin_count[b];
        right_cost[b] = count ? count * box_half_area(&right_box) : INFINITY;
    }
    Box3 left_box = box_empty();
    double least = INFINITY;
    for (int b = 0, count = 0; b < BINS - 1; b++) {
        box_join(&left_box, &bin_box[b]);
        count += bin_count[b];
        double cost = (count ? count * box_half_area(&left_box) : INFINITY) + right_cost[b + 1];
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
    Node *node = &tree->node[index];
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
    if (depth < HEURISTIC_DEPTH && plan_split(building, triangle, n, &split))
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
    tree->node = g_new(Node, 2 * n);
    g_autofree Box3 *box = g_new(Box3, n);
    g_autofree double(*middle)[3] = g_malloc_n(n, sizeof *middle);
    for (int t = 0; t < mesh->n_triangles; t++) {
        tree->order[t] = t;
        box[t] = box_empty();
        for (int k = 0; k < 3; k++) {
            double p[3];
            unpack(mesh->position_mm[mesh->corner[t][k]], p);
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
    tree->node = g_renew(Node, tree->node, tree->n_nodes);
    return tree;
}

void tapul_mesh_tree_free(TapulMeshTree *tree) {
    if (!tree)
        return;
    g_free(tree->node);
    g_free(tree->order);
    g_free(tree);
}

/* --- Nearest point --- */

static double box_distance2(const Box3 *box, const double p[3]) {
    double sum = 0;
    for (int axis = 0; axis < 3; axis++) {
        double outside = MAX(0, MAX(box->min[axis] - p[axis], p[axis] - box->max[axis]));
        sum += outside * outside;
    }
    return sum;
}

/* Weights of the point of side i-j nearest to where its end distances along the side say. */
static void on_side(double weight[3], int i, int j, double from_i, double from_j) {
    double t = from_i / (from_i + from_j);
    weight[i] = 1 - t;
    weight[j] = t;
}

/* Barycentric weights of the triangle's nearest point, region by region (Ericson 2005, 5.1.5).
 */
static void nearest_weights(const TapulVec3 at[3], TapulVec3 p, double weight[3]) {
    TapulVec3 ab = tapul_vec3_sub(at[1], at[0]), ac = tapul_vec3_sub(at[2], at[0]);
    double along_ab[3], along_ac[3];
    for (int k = 0; k < 3; k++) {
        TapulVec3 from = tapul_vec3_sub(p, at[k]);
        along_ab[k] = tapul_vec3_dot(ab, from);
        along_ac[k] = tapul_vec3_dot(ac, from);
    }
    double a = along_ab[1] * along_ac[2] - along_ab[2] * along_ac[1];
    double b = along_ab[2] * along_ac[0] - along_ab[0] * along_ac[2];
    double c = along_ab[0] * along_ac[1] - along_ab[1] * along_ac[0];
    double past_b = along_ac[1] - along_ab[1], past_c = along_ab[2] - along_ac[2];
    weight[0] = weight[1] = weight[2] = 0;
    if (along_ab[0] <= 0 && along_ac[0] <= 0)
        weight[0] = 1;
    else if (along_ab[1] >= 0 && past_b <= 0)
        weight[1] = 1;
    else if (along_ac[2] >= 0 && past_c <= 0)
        weight[2] = 1;
    else if (c <= 0 && along_ab[0] >= 0 && along_ab[1] <= 0)
        on_side(weight, 0, 1, along_ab[0], -along_ab[1]);
    else if (b <= 0 && along_ac[0] >= 0 && along_ac[2] <= 0)
        on_side(weight, 0, 2, along_ac[0], -along_ac[2]);
    else if (a <= 0 && past_b >= 0 && past_c >= 0)
        on_side(weight, 1, 2, past_b, past_c);
    else {
        double sum = a + b + c;
        weight[0] = a / sum;
        weight[1] = b / sum;
        weight[2] = c / sum;
    }
}

static void corners_of(const TapulMesh *mesh, int triangle, TapulVec3 at[3]) {
    for (int k = 0; k < 3; k++)
        at[k] = mesh->position_mm[mesh->corner[triangle][k]];
}

static double spot_distance2(const TapulMesh *mesh, TapulSpot spot, TapulVec3 point_mm) {
    TapulVec3 gap = tapul_vec3_sub(tapul_mesh_flat_position_mm(mesh, spot), point_mm);
    return tapul_vec3_dot(gap, gap);
}

static void nearest_in_leaf(const TapulMeshTree *tree, const Node *leaf, TapulVec3 point_mm,
                            TapulSpot *best, double *best2) {
    for (int i = 0; i < leaf->n_triangles; i++) {
        TapulSpot spot = {tree->order[leaf->first + i], {0, 0, 0}};
        TapulVec3 at[3];
        corners_of(tree->mesh, spot.triangle, at);
        nearest_weights(at, point_mm, spot.weight);
        double distance2 = spot_distance2(tree->mesh, spot, point_mm);
        if (distance2 < *best2) {
            *best2 = distance2;
            *best = spot;
        }
    }
}

double tapul_mesh_tree_nearest(const TapulMeshTree *tree, TapulVec3 point_mm, TapulSpot *spot) {
    struct {
        int node;
        double distance2;
    } stack[STACK_DEPTH];
    double p[3], best2 = INFINITY;
    unpack(point_mm, p);
    *spot = (TapulSpot){0, {1, 0, 0}};
    int n = 0;
    stack[n].node = 0;
    stack[n++].distance2 = 0;
    while (n > 0) {
        n--;
        if (stack[n].distance2 >= best2)
            continue;
        const Node *node = &tree->node[stack[n].node];
        if (node->n_triangles) {
            nearest_in_leaf(tree, node, point_mm, spot, &best2);
            continue;
        }
        double first2 = box_distance2(&tree->node[node->first].box, p);
        double second2 = box_distance2(&tree->node[node->first + 1].box, p);
        int far = first2 < second2 ? 1 : 0;
        stack[n].node = node->first + far;
        stack[n++].distance2 = MAX(first2, second2);
        stack[n].node = node->first + 1 - far;
        stack[n++].distance2 = MIN(first2, second2);
    }
    return sqrt(spot_distance2(tree->mesh, *spot, point_mm));
}

/* --- First hit of a ray --- */

/* A ray, and the frame in which it runs along the third axis from the origin. */
typedef struct {
    double origin[3], direction[3], margin_mm;
    int axis[3];
    double shear[2], stretch;
} Ray;

static Ray ray_new(const TapulMeshTree *tree, TapulVec3 origin_mm, TapulVec3 direction) {
    Ray ray;
    unpack(origin_mm, ray.origin);
    unpack(direction, ray.direction);
    int along = 0;
    double size_mm = tree->size_mm;
    for (int axis = 0; axis < 3; axis++) {
        if (fabs(ray.direction[axis]) > fabs(ray.direction[along]))
            along = axis;
        size_mm = fmax(size_mm, fabs(ray.origin[axis]));
    }
    ray.margin_mm = BOX_ROUNDING * size_mm;
    ray.axis[0] = (along + 1) % 3;
    ray.axis[1] = (along + 2) % 3;
    ray.axis[2] = along;
    ray.shear[0] = ray.direction[ray.axis[0]] / ray.direction[along];
    ray.shear[1] = ray.direction[ray.axis[1]] / ray.direction[along];
    ray.stretch = 1 / ray.direction[along];
    return ray;
}

/* TRUE if the ray may enter the box at or before t = last; sets where. */
static gboolean ray_enters(const Ray *ray, const Box3 *box, double last, double *enter) {
    double from = 0, to = last;
    for (int axis = 0; axis < 3; axis++) {
        double near_mm = box->min[axis] - ray->margin_mm - ray->origin[axis];
        double far_mm = box->max[axis] + ray->margin_mm - ray->origin[axis];
        double d = ray->direction[axis];
        if (d == 0) {
            if (near_mm > 0 || far_mm < 0)
                return FALSE;
            continue;
        }
        double t0 = near_mm / d, t1 = far_mm / d;
        from = MAX(from, MIN(t0, t1));
        to = MIN(to, MAX(t0, t1));
    }
    *enter = from;
    /* The last division may have rounded either bound by half a unit. */
    return from <= to * (1 + 4 * DBL_EPSILON);
}

/* A vertex in the ray's frame. Not inlined, so that two triangles get the same bits for one
 * vertex. */
static G_NO_INLINE void into_ray_frame(const Ray *ray, TapulVec3 vertex, double out[3]) {
    double p[3];
    unpack(vertex, p);
    for (int axis = 0; axis < 3; axis++)
        p[axis] -= ray->origin[axis];
    out[2] = p[ray->axis[2]];
    out[0] = p[ray->axis[0]] - ray->shear[0] * out[2];
    out[1] = p[ray->axis[1]] - ray->shear[1] * out[2];
}

/* On which side of the line a to b the ray passes. Rounding is monotonic, so the sign of the
 * difference of two rounded products is never wrong, at worst zero, and zero counts as met from
 * both sides: no ray slips through a shared side. `volatile` keeps compilers from fusing a
 * product with the subtraction, which would lose that. */
static double passing_side(const double a[3], const double b[3]) {
    volatile double first = a[0] * b[1], second = a[1] * b[0];
    return first - second;
}

static gboolean ray_meets(const Ray *ray, const TapulMesh *mesh, TapulSpot *spot, double *t) {
    double at[3][3];
    for (int k = 0; k < 3; k++)
        into_ray_frame(ray, mesh->position_mm[mesh->corner[spot->triangle][k]], at[k]);
    double side[3] = {passing_side(at[1], at[2]), passing_side(at[2], at[0]),
                      passing_side(at[0], at[1])};
    gboolean left = side[0] >= 0 && side[1] >= 0 && side[2] >= 0;
    gboolean right = side[0] <= 0 && side[1] <= 0 && side[2] <= 0;
    double sum = side[0] + side[1] + side[2];
    /* Edge on, the neighbours are met instead. */
    if (!(left || right) || sum == 0)
        return FALSE;
    double depth = 0;
    for (int k = 0; k < 3; k++) {
        spot->weight[k] = side[k] / sum;
        depth += spot->weight[k] * at[k][2];
    }
    *t = depth * ray->stretch;
    return *t >= 0;
}

static gboolean first_in_leaf(const TapulMeshTree *tree, const Node *leaf, const Ray *ray,
                              TapulSpot *best, double *best_t) {
    gboolean met = FALSE;
    for (int i = 0; i < leaf->n_triangles; i++) {
        TapulSpot spot = {tree->order[leaf->first + i], {0, 0, 0}};
        double t;
        if (!ray_meets(ray, tree->mesh, &spot, &t) || t >= *best_t)
            continue;
        *best = spot;
        *best_t = t;
        met = TRUE;
    }
    return met;
}

gboolean tapul_mesh_tree_first_hit(const TapulMeshTree *tree, TapulVec3 origin_mm,
                                   TapulVec3 direction, TapulSpot *spot, double *t) {
    struct {
        int node;
        double enter;
    } stack[STACK_DEPTH];
    Ray ray = ray_new(tree, origin_mm, direction);
    if (!isfinite(ray.stretch) || !isfinite(ray.margin_mm))
        return FALSE;
    gboolean met = FALSE;
    double best_t = INFINITY, enter;
    int n = 0;
    if (ray_enters(&ray, &tree->node[0].box, best_t, &enter)) {
        stack[n].node = 0;
        stack[n++].enter = enter;
    }
    while (n > 0) {
        n--;
        if (stack[n].enter > best_t)
            continue;
        const Node *node = &tree->node[stack[n].node];
        if (node->n_triangles) {
            met |= first_in_leaf(tree, node, &ray, spot, &best_t);
            continue;
        }
        double entry[2] = {0, 0};
        gboolean enters[2];
        for (int side = 0; side < 2; side++)
            enters[side] =
                ray_enters(&ray, &tree->node[node->first + side].box, best_t, &entry[side]);
        int near = enters[0] && (!enters[1] || entry[0] <= entry[1]) ? 0 : 1;
        for (int step = 0; step < 2; step++) {
            int side = step ? near : 1 - near;
            if (!enters[side])
                continue;
            stack[n].node = node->first + side;
            stack[n++].enter = entry[side];
        }
    }
    if (met)
        *t = best_t;
    return met;
}
