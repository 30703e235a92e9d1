/* One triangle of a mesh as a piece of the smooth surface: what a geodesic needs of it.
 *
 * The surface is the cubic patch that tapul_mesh_smooth_position_mm gives points of, so that
 * lengths along a geodesic are lengths between those points. */
#include "laying/facet.h"

void tapul_facet_set(TapulFacet *facet, const TapulMesh *mesh, int triangle) {
    tapul_mesh_patch_set(&facet->surface, mesh, triangle);
    for (int i = 0; i < 3; i++)
        facet->normal[i] = mesh->normal[triangle][i];
}

TapulVec3 tapul_facet_normal(const TapulFacet *facet, const double weight[3]) {
    TapulVec3 sum = tapul_vec3_scale(facet->normal[0], weight[0]);
    sum = tapul_vec3_add(sum, tapul_vec3_scale(facet->normal[1], weight[1]));
    sum = tapul_vec3_add(sum, tapul_vec3_scale(facet->normal[2], weight[2]));
    return tapul_vec3_unit(sum);
}

/* The cubic's partial derivative by weight[i], the three weights taken as independent. */
static TapulVec3 partial(const TapulMeshPatch *surface, const double weight[3], int i) {
    int j = (i + 1) % 3, k = (i + 2) % 3;
    double a = weight[i], b = weight[j], c = weight[k];
    TapulVec3 sum = tapul_vec3_scale(surface->edge[i][i], 3 * a * a);
    sum = tapul_vec3_add(sum, tapul_vec3_scale(surface->edge[i][j], 6 * a * b));
    sum = tapul_vec3_add(sum, tapul_vec3_scale(surface->edge[i][k], 6 * a * c));
    sum = tapul_vec3_add(sum, tapul_vec3_scale(surface->edge[j][i], 3 * b * b));
    sum = tapul_vec3_add(sum, tapul_vec3_scale(surface->edge[k][i], 3 * c * c));
    return tapul_vec3_add(sum, tapul_vec3_scale(surface->centre, 6 * b * c));
}

TapulVec3 tapul_facet_tangent(const TapulFacet *facet, const double weight[3],
                              const double rate[3]) {
    TapulVec3 sum = {0, 0, 0};
    for (int k = 0; k < 3; k++)
        sum =
            tapul_vec3_add(sum, tapul_vec3_scale(partial(&facet->surface, weight, k), rate[k]));
    return sum;
}

void tapul_facet_rates(const TapulFacet *facet, const double weight[3], TapulVec3 normal,
                       TapulVec3 tangent, double rate[3]) {
    TapulVec3 first = partial(&facet->surface, weight, 0);
    TapulVec3 u = tapul_vec3_sub(partial(&facet->surface, weight, 1), first);
    TapulVec3 v = tapul_vec3_sub(partial(&facet->surface, weight, 2), first);
    TapulVec3 across = tapul_vec3_cross(normal, u);
    double determinant = tapul_vec3_dot(across, v);
    rate[1] = tapul_vec3_dot(tapul_vec3_cross(v, normal), tangent) / determinant;
    rate[2] = tapul_vec3_dot(across, tangent) / determinant;
    rate[0] = -rate[1] - rate[2];
}

void tapul_facet_spot_rates(const TapulMesh *mesh, TapulSpot spot, TapulVec3 tangent,
                            double rates[3]) {
    TapulFacet facet;
    tapul_facet_set(&facet, mesh, spot.triangle);
    tapul_facet_rates(&facet, spot.weight, tapul_facet_normal(&facet, spot.weight), tangent,
                      rates);
}
