/* The smooth surface a plate's mesh is drawn from: two halves, right (side +1) and left (side
 * -1) of the medial plane, each a map from the unit square. u runs from the medial line (0)
 * outward to the edge (1), v up. */
#ifndef TAPUL_PLATE_SURFACE_H
#define TAPUL_PLATE_SURFACE_H

#include <tapul/vec.h>

G_BEGIN_DECLS

typedef struct TapulSurface TapulSurface;

struct TapulSurface {
    /* The point at (u, v) of one side. */
    TapulVec3 (*evaluate)(const TapulSurface *surface, int side, double u, double v);
    /* How far, in mm, (u, v) lies within the part of the square that is used; NULL: all of it
     * is. */
    double (*inside_mm)(const TapulSurface *surface, double u, double v);
    void (*free)(TapulSurface *surface);
    gboolean mirrored; /* the left half is the mirror image of the right */
    gboolean closed;   /* u = 1 of both sides meet: a seam */
    gboolean ruled;    /* straight along v: a grid of rulings is exactly developable */
    double size_mm;    /* the larger of the sheet's extents, roughly */
};

/* From stations: level cuts at y_mm[n], ascending. sections[i] holds x, z points (TapulVec2)
 * from left to right, or from x = 0 outward where the left half is to be mirrored. With ridge
 * the halves are fitted apart, so that the medial line may be a crease. Interpolating cubic
 * splines (not-a-knot), chord-length parameters. Returns NULL with a message of what is wrong
 * in *fault and the station's index in *fault_station. */
TapulSurface *tapul_surface_from_stations(int n, const double *y_mm, GArray *const *sections,
                                          gboolean ridge, char **fault, int *fault_station);

/* A profile (radius, y) turned about the y axis through sweep_rad, its middle facing the
 * viewer. A profile of two points is a cylinder or cone; of more, a cubic spline through them.
 */
TapulSurface *tapul_surface_revolved(int n, const TapulVec2 *profile_mm, double sweep_rad);

/* A spherical cap whose pole faces the viewer, its lower edge at y = 0. */
TapulSurface *tapul_surface_sphere(double radius_mm, double half_angle_rad);

void tapul_surface_free(TapulSurface *surface);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSurface, tapul_surface_free)

/* First derivatives by central differences, one-sided at the square's edges. */
void tapul_surface_derivatives(const TapulSurface *surface, int side, double u, double v,
                               TapulVec3 *by_u, TapulVec3 *by_v);
/* Outward unit normal; zero where the surface degenerates. */
TapulVec3 tapul_surface_normal(const TapulSurface *surface, int side, double u, double v);
/* Larger principal curvature, absolute, 1/mm. */
double tapul_surface_curvature(const TapulSurface *surface, int side, double u, double v);

G_END_DECLS

#endif
