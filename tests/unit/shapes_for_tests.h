/* Meshes with known developments, made by code, for tests and benchmarks. All are discs in mm,
 * wound counter-clockwise seen from outside; free with tapul_mesh_free. */
#ifndef SHAPES_FOR_TESTS_H
#define SHAPES_FOR_TESTS_H

#include <tapul/mesh.h>

typedef enum {
    SHAPE_REGULAR, /* rings of 6, 12, 18, ... vertices about the middle */
    SHAPE_JITTERED /* the same with inner vertices moved by up to a fifth of their spacing,
                      always the same way */
} ShapeTriangulation;

/* A disc of about n_triangles (6 n^2 of them) over rho in [0, 1] and angle. */
typedef TapulVec3 (*ShapeOverDisc)(double rho, double angle_rad, const double *parameter);
TapulMesh *shape_over_disc(ShapeOverDisc point, const double *parameter, int n_triangles,
                           ShapeTriangulation triangulation);

/* A flat disc in the plane z = 0. */
TapulMesh *shape_flat_disc(double radius_mm, int n_triangles, ShapeTriangulation triangulation);
/* A sphere's cap of angular radius alpha_rad about the pole (0, 0, radius); rings lie at even
 * steps of angle. */
TapulMesh *shape_cap(double radius_mm, double alpha_rad, int n_triangles,
                     ShapeTriangulation triangulation);
/* Half a spheroid: x^2 + y^2 = across^2 at z = 0, its pole at z = up. */
TapulMesh *shape_half_spheroid(double across_mm, double up_mm, int n_triangles,
                               ShapeTriangulation triangulation);
/* A flat disc with n_bumps by n_bumps waves of the given height. */
TapulMesh *shape_bumpy_disc(double radius_mm, double height_mm, double n_bumps, int n_triangles,
                            ShapeTriangulation triangulation);

/* A frustum about the y axis, its sweep facing +z, cut in steps along its rulings: n_around by
 * n_up quads. A cylinder has both radii alike; a cone's upper radius must be above 0. */
TapulMesh *shape_frustum(double lower_radius_mm, double upper_radius_mm, double height_mm,
                         double sweep_rad, int n_around, int n_up);
/* A piece of a torus about the z axis: around_rad of its ring, about_rad of its tube centred on
 * the outer equator. */
TapulMesh *shape_torus(double ring_radius_mm, double tube_radius_mm, double around_rad,
                       double about_rad, int n_around, int n_about);

#endif
