/* The first triangle a ray meets: down the tree of boxes (mesh_tree.h) to triangles, met as by
 * Woop, Benthin & Wald 2013, Watertight ray/triangle intersection, J. Computer Graphics
 * Techniques 2(1). */
#include "plate/mesh_tree.h"

#include <float.h>

/* What a ray's passage through a box may err by, over the size of the numbers. */
#define BOX_ROUNDING (32 * DBL_EPSILON)

/* A ray, and the frame in which it runs along the third axis from the origin. */
typedef struct {
    double origin[3], direction[3], margin_mm;
    int axis[3];
    double shear[2], stretch;
} Ray;

static Ray ray_new(const TapulMeshTree *tree, TapulVec3 origin_mm, TapulVec3 direction) {
    Ray ray;
    tapul_vec3_unpack(origin_mm, ray.origin);
    tapul_vec3_unpack(direction, ray.direction);
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
static gboolean ray_enters(const Ray *ray, const TapulBox3 *box, double last, double *enter) {
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
    tapul_vec3_unpack(vertex, p);
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

static gboolean first_in_leaf(const TapulMeshTree *tree, const TapulTreeNode *leaf,
                              const Ray *ray, TapulSpot *best, double *best_t) {
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
    } stack[TAPUL_MESH_TREE_STACK];
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
        const TapulTreeNode *node = &tree->node[stack[n].node];
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
