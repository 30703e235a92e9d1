/* The plate's metal drawn in grey wash: bright and polished, or blackened as an etched ground
 * is.
 *
 * Views hand it to the rasteriser, which asks it for each pixel's colour. Smooth corner normals
 * carry the form; creases stay crisp.
 */
#include "sheet/metal.h"

static double smooth_step(double from, double to, double x) {
    double t = CLAMP((x - from) / (to - from), 0, 1);
    return t * t * (3 - 2 * t);
}

static double bump(double x, double centre, double width) {
    double d = (x - centre) / width;
    return exp(-d * d);
}

/* Polished steel shows its surroundings: a tall window to the left, a thin one far right, a
 * dark floor, a dim wall behind the viewer. The mirror direction chooses among them; a soft
 * diffuse share holds the form together as a wash does, and edges turning away go darker. Set
 * by eye; no source. */
double tapul_metal_tone(TapulVec3 normal) {
    static const TapulVec3 key = {-0.4396, 0.5275, 0.7271}; /* unit: upper left, in front */
    double facing = CLAMP(normal.z, 0, 1);
    TapulVec3 mirror = {2 * facing * normal.x, 2 * facing * normal.y, 2 * facing * facing - 1};
    double diffuse = (fmax(tapul_vec3_dot(normal, key), -0.3) + 0.3) / 1.3;
    double window = bump(mirror.x, -0.52, 0.30) * smooth_step(-0.75, 0.25, mirror.y);
    double far_window = bump(mirror.x, 0.82, 0.16);
    double floor_shade = smooth_step(0.10, -0.70, mirror.y);
    double turning = (1 - facing) * (1 - facing);
    return 0.565 + 0.30 * diffuse + 0.15 * window + 0.10 * far_window - 0.12 * floor_shade -
           0.34 * turning;
}

static TapulRgb mix_rgb(TapulRgb a, TapulRgb b, double t) {
    return (TapulRgb){a.red + t * (b.red - a.red), a.green + t * (b.green - a.green),
                      a.blue + t * (b.blue - a.blue)};
}

/* The inner side is duller: hammered and left black from the forge. */
static TapulRgb metal_colour(TapulMetal metal, TapulVec3 normal) {
    static const TapulRgb ramps[][2] = {
        [TAPUL_METAL_BRIGHT] = {{0.30, 0.285, 0.27}, {0.985, 0.98, 0.965}},
        [TAPUL_METAL_PALE] = {{0.82, 0.81, 0.795}, {0.99, 0.985, 0.972}},
        [TAPUL_METAL_BLACKENED] = {{0.06, 0.055, 0.05}, {0.30, 0.285, 0.265}}};
    const TapulRgb *ramp = ramps[metal];
    if (normal.z >= 0)
        return mix_rgb(ramp[0], ramp[1], CLAMP(tapul_metal_tone(normal), 0, 1));
    TapulVec3 turned = tapul_vec3_scale(normal, -1);
    double tone = 0.42 + 0.16 * fmax(turned.y, 0) + 0.10 * turned.z;
    return mix_rgb(ramp[0], ramp[1], CLAMP(tone, 0, 1));
}

/* a + bx x + by y over the seen plane */
typedef struct {
    double a, bx, by;
} Plane;

typedef struct {
    TapulMetal metal;
    Plane (*normal)[3]; /* [n_triangles] the seen normal over each triangle */
} Look;

static Plane plane_through(const TapulVec3 p[3], double v0, double v1, double v2) {
    double e1x = p[1].x - p[0].x, e1y = p[1].y - p[0].y, e2x = p[2].x - p[0].x,
           e2y = p[2].y - p[0].y;
    double area = e1x * e2y - e1y * e2x;
    if (area == 0) /* seen edge-on: never asked */
        return (Plane){v0, 0, 0};
    Plane plane = {.bx = ((v1 - v0) * e2y - (v2 - v0) * e1y) / area,
                   .by = ((v2 - v0) * e1x - (v1 - v0) * e2x) / area};
    plane.a = v0 - plane.bx * p[0].x - plane.by * p[0].y;
    return plane;
}

static void set_normals(Look *look, const TapulMesh *mesh, const TapulVec3 *seen_mm,
                        const TapulVec3 axis[3]) {
    look->normal = g_malloc_n((gsize)mesh->n_triangles, sizeof *look->normal);
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulVec3 p[3];
        const TapulVec3 *n = mesh->normal[t];
        for (int k = 0; k < 3; k++)
            p[k] = seen_mm[mesh->corner[t][k]];
        for (int i = 0; i < 3; i++)
            look->normal[t][i] =
                plane_through(p, tapul_vec3_dot(n[0], axis[i]), tapul_vec3_dot(n[1], axis[i]),
                              tapul_vec3_dot(n[2], axis[i]));
    }
}

static double plane_at(const Plane *plane, TapulVec2 at) {
    return plane->a + plane->bx * at.x + plane->by * at.y;
}

/* A corner normal may lean away while its triangle still faces the eye (and the other way
 * about); it is held to the triangle's side. */
static TapulRgb triangle_colour(int triangle, TapulVec2 at_mm, gboolean back,
                                gconstpointer data) {
    const Look *look = data;
    const Plane *plane = look->normal[triangle];
    TapulVec3 n = {plane_at(&plane[0], at_mm), plane_at(&plane[1], at_mm),
                   plane_at(&plane[2], at_mm)};
    n = tapul_vec3_unit(n);
    n.z = back ? fmin(n.z, -1e-6) : fmax(n.z, 0);
    return metal_colour(look->metal, n);
}

TapulRaster *tapul_metal_draw(const TapulMesh *mesh, const TapulVec3 *seen_mm,
                              const TapulVec3 axis[3], double pixel_mm, TapulMetal metal) {
    Look look = {.metal = metal};
    set_normals(&look, mesh, seen_mm, axis);
    TapulRaster *raster = tapul_raster_new(mesh, seen_mm, pixel_mm, triangle_colour, &look);
    g_free(look.normal);
    return raster;
}
