/* Points and normals of a mesh, flat and smooth: what laying, sheets and plates ask of a spot.
 * The smooth surface is the curved PN triangle of Vlachos, Peters, Boyd & Mitchell 2001. */
#include "plate/mesh_patch.h"

#include "plate/mesh_internal.h"

/* Sine of the angle between two normals below which their common tangent line is ill-defined;
 * their mean plane is taken instead. About 11 degrees. */
#define LEAST_CREASE_SINE 0.2
/* A crease that leaves its chord by more than 60 degrees is noise in the normals: keep the
 * chord. */
#define LEAST_ALONG_CHORD 0.5

static TapulVec3 into_plane(TapulVec3 along, TapulVec3 normal) {
    return tapul_vec3_sub(along, tapul_vec3_scale(normal, tapul_vec3_dot(along, normal)));
}

/* The chord of a side, turned into the direction in which the side leaves a corner. Symmetric
 * in the two normals: both triangles of a side must find the same. */
static TapulVec3 crease_direction(TapulVec3 chord, TapulVec3 normal, TapulVec3 other) {
    TapulVec3 line = tapul_vec3_cross(normal, other);
    double sine = tapul_vec3_length(line);
    if (sine < LEAST_CREASE_SINE)
        return tapul_vec3_dot(normal, other) > 0
                   ? into_plane(chord, tapul_vec3_unit(tapul_vec3_add(normal, other)))
                   : chord;
    line = tapul_vec3_scale(line, 1 / sine);
    double along = tapul_vec3_dot(chord, line);
    if (fabs(along) < LEAST_ALONG_CHORD * tapul_vec3_length(chord))
        return chord;
    return tapul_vec3_scale(line, along);
}

/* The normal at corner i as the neighbour over the side i-j has it; our own at an edge of the
 * mesh. */
static TapulVec3 normal_across(const TapulMesh *mesh, int triangle, int i, int j) {
    TapulCorner corner = {triangle, i};
    corner = j == tapul_mesh_next_corner(i) ? tapul_mesh_turn_right(mesh, corner)
                                            : tapul_mesh_turn_left(mesh, corner);
    return corner.triangle < 0 ? mesh->normal[triangle][i]
                               : mesh->normal[corner.triangle][corner.k];
}

static TapulVec3 side_point(const TapulMesh *mesh, int triangle, int i, int j) {
    TapulVec3 from = mesh->position_mm[mesh->corner[triangle][i]];
    TapulVec3 chord = tapul_vec3_sub(mesh->position_mm[mesh->corner[triangle][j]], from);
    TapulVec3 normal = mesh->normal[triangle][i];
    TapulVec3 other = normal_across(mesh, triangle, i, j);
    gboolean smooth = normal.x == other.x && normal.y == other.y && normal.z == other.z;
    TapulVec3 along =
        smooth ? into_plane(chord, normal) : crease_direction(chord, normal, other);
    return tapul_vec3_add(from, tapul_vec3_scale(along, 1.0 / 3));
}

void tapul_mesh_patch_set(TapulMeshPatch *patch, const TapulMesh *mesh, int triangle) {
    TapulVec3 corner_sum = {0, 0, 0}, side_sum = {0, 0, 0};
    for (int i = 0; i < 3; i++) {
        patch->edge[i][i] = mesh->position_mm[mesh->corner[triangle][i]];
        corner_sum = tapul_vec3_add(corner_sum, patch->edge[i][i]);
        for (int step = 1; step < 3; step++) {
            int j = (i + step) % 3;
            patch->edge[i][j] = side_point(mesh, triangle, i, j);
            side_sum = tapul_vec3_add(side_sum, patch->edge[i][j]);
        }
    }
    /* E + (E - V) / 2 with E the mean of the six side points, V that of the corners. */
    patch->centre = tapul_vec3_sub(tapul_vec3_scale(side_sum, 1.0 / 4),
                                   tapul_vec3_scale(corner_sum, 1.0 / 6));
}

TapulVec3 tapul_mesh_patch_position_mm(const TapulMeshPatch *patch, const double weight[3]) {
    TapulVec3 sum = tapul_vec3_scale(patch->centre, 6 * weight[0] * weight[1] * weight[2]);
    for (int i = 0; i < 3; i++) {
        double w = weight[i];
        sum = tapul_vec3_add(sum, tapul_vec3_scale(patch->edge[i][i], w * w * w));
        for (int step = 1; step < 3; step++) {
            int j = (i + step) % 3;
            sum =
                tapul_vec3_add(sum, tapul_vec3_scale(patch->edge[i][j], 3 * w * w * weight[j]));
        }
    }
    return sum;
}

static TapulVec3 weighted(const TapulVec3 value[3], const double weight[3]) {
    return tapul_vec3(value[0].x * weight[0] + value[1].x * weight[1] + value[2].x * weight[2],
                      value[0].y * weight[0] + value[1].y * weight[1] + value[2].y * weight[2],
                      value[0].z * weight[0] + value[1].z * weight[1] + value[2].z * weight[2]);
}

TapulVec3 tapul_mesh_flat_position_mm(const TapulMesh *mesh, TapulSpot spot) {
    const int *corner = mesh->corner[spot.triangle];
    TapulVec3 at[3] = {mesh->position_mm[corner[0]], mesh->position_mm[corner[1]],
                       mesh->position_mm[corner[2]]};
    return weighted(at, spot.weight);
}

TapulVec3 tapul_mesh_smooth_position_mm(const TapulMesh *mesh, TapulSpot spot) {
    TapulMeshPatch patch;
    tapul_mesh_patch_set(&patch, mesh, spot.triangle);
    return tapul_mesh_patch_position_mm(&patch, spot.weight);
}

TapulVec3 tapul_mesh_smooth_normal(const TapulMesh *mesh, TapulSpot spot) {
    TapulVec3 normal = tapul_vec3_unit(weighted(mesh->normal[spot.triangle], spot.weight));
    /* Opposite corner normals can cancel at one point of a triangle that folds. */
    return tapul_vec3_dot(normal, normal) > 0 ? normal
                                              : tapul_mesh_face_normal(mesh, spot.triangle);
}
