/* The nearest point of a mesh: down the tree of boxes (mesh_tree.h), nearer child first, to
 * triangles, whose nearest points follow Ericson 2005, Real-Time Collision Detection, 5.1.5. */
#include "plate/mesh_tree.h"

static double box_distance2(const TapulBox3 *box, const double p[3]) {
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

/* For needles, whose inside is lost in rounding: the nearest point of the three sides. */
static void nearest_on_sides(const TapulVec3 at[3], TapulVec3 p, double weight[3]) {
    double best2 = INFINITY;
    for (int i = 0; i < 3; i++) {
        int j = (i + 1) % 3;
        TapulVec3 side = tapul_vec3_sub(at[j], at[i]);
        double t = tapul_vec3_dot(tapul_vec3_sub(p, at[i]), side) / tapul_vec3_dot(side, side);
        t = CLAMP(t, 0, 1);
        double distance2 = pow(tapul_vec3_distance(tapul_vec3_mix(at[i], at[j], t), p), 2);
        if (distance2 >= best2)
            continue;
        best2 = distance2;
        weight[0] = weight[1] = weight[2] = 0;
        weight[i] = 1 - t;
        weight[j] = t;
    }
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
    else if (a > 0 && b > 0 && c > 0) {
        double sum = a + b + c;
        weight[0] = a / sum;
        weight[1] = b / sum;
        weight[2] = c / sum;
    } else
        nearest_on_sides(at, p, weight);
}

static void corners_of(const TapulMesh *mesh, int triangle, TapulVec3 at[3]) {
    for (int k = 0; k < 3; k++)
        at[k] = mesh->position_mm[mesh->corner[triangle][k]];
}

static double spot_distance2(const TapulMesh *mesh, TapulSpot spot, TapulVec3 point_mm) {
    TapulVec3 gap = tapul_vec3_sub(tapul_mesh_flat_position_mm(mesh, spot), point_mm);
    return tapul_vec3_dot(gap, gap);
}

static void nearest_in_leaf(const TapulMeshTree *tree, const TapulTreeNode *leaf,
                            TapulVec3 point_mm, TapulSpot *best, double *best2) {
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
    } stack[TAPUL_MESH_TREE_STACK];
    double p[3], best2 = INFINITY;
    tapul_vec3_unpack(point_mm, p);
    *spot = (TapulSpot){0, {1, 0, 0}};
    int n = 0;
    stack[n].node = 0;
    stack[n++].distance2 = 0;
    while (n > 0) {
        n--;
        if (stack[n].distance2 >= best2)
            continue;
        const TapulTreeNode *node = &tree->node[stack[n].node];
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
