/* Each pixel is looked at in a few places, and from each the light is followed by way of a few
 * of the steel's facets, tilted by chance, to what they mirror (Cook and Torrance 1982, with
 * sampled facets). */
#include "photo.h"

#include "chance.h"

enum { SEED_FACET = 801, SEED_LAMP = 821, SEED_CLOTH = 831 };

#define SUBPIXELS     2   /* each way */
#define FACETS        4   /* looked at from each */
#define GROUND_GAP_MM 8.0 /* the plate is held this far before the ground */

typedef struct {
    const Metal *metal;
    const Camera *camera;
    const Light *light;
    double ground_z_mm;
} Studio;

Lamp photo_lamp(Vec3 towards, double distance_mm, double half_wide_mm, double half_high_mm,
                double light) {
    const double small = 0.1; /* rad: about the spread of the facets */
    Vec3 way = vec3_unit(towards);
    Vec3 wide = vec3_unit(vec3_cross(vec3(0, 1, 0), way));
    Vec3 high = vec3_cross(way, wide);
    Vec3 plate = cap_point_mm(vec3(0, 0, 1));
    return (Lamp){vec3_along(plate, distance_mm, way), vec3_scale(wide, half_wide_mm),
                  vec3_scale(high, half_high_mm), light, half_wide_mm < small * distance_mm};
}

/* --- What is mirrored --- */

/* A soft box is brightest in its middle and soft at its edge. */
static double lamp_seen(const Lamp *lamp, Vec3 from_mm, Vec3 ray) {
    Vec3 facing = vec3_cross(lamp->half_wide_mm, lamp->half_high_mm);
    Vec3 to = vec3_sub(lamp->middle_mm, from_mm);
    double along = vec3_dot(to, facing) / vec3_dot(ray, facing);
    if (!(along > 0))
        return 0;
    Vec3 at = vec3_sub(vec3_scale(ray, along), to);
    double wide =
        vec3_dot(at, lamp->half_wide_mm) / vec3_dot(lamp->half_wide_mm, lamp->half_wide_mm);
    double high =
        vec3_dot(at, lamp->half_high_mm) / vec3_dot(lamp->half_high_mm, lamp->half_high_mm);
    double edge = ease(1.06, 0.90, fabs(wide)) * ease(1.06, 0.90, fabs(high));
    return lamp->light * edge * (1 - 0.3 * fmin(1, (wide * wide + high * high) / 2));
}

/* A dim room: a pale ceiling, a dark floor, some furniture, the photographer. */
static double room_seen(const Studio *studio, Vec3 ray) {
    double up = ease(-0.7, 0.9, ray.y);
    double furniture =
        sin(5.1 * ray.x + 1.7 * ray.y + 0.6) * sin(6.3 * ray.y - 1.2 * ray.x + 1.9);
    double person = ease(0.80, 0.99, -vec3_dot(ray, studio->camera->forward));
    double light = 0.20 + 0.45 * up + 0.10 * furniture * (0.3 + up);
    return studio->light->room * fmax(0.02, light * (1 - 0.35 * person));
}

static double mirrored(const Studio *studio, Vec3 from_mm, Vec3 ray) {
    double sum = ray.z < -0.05 ? 0.32 * studio->light->room : room_seen(studio, ray);
    for (int i = 0; i < studio->light->n_lamps; i++)
        if (!studio->light->lamps[i].small)
            sum += lamp_seen(&studio->light->lamps[i], from_mm, ray);
    return sum;
}

/* --- What falls on a surface --- */

/* A place of a lamp drawn by chance; the lamp is seen from there under this solid angle. */
typedef struct {
    Vec3 way;
    double solid_angle;
} Gleam;

static Gleam gleam_of(const Lamp *lamp, Vec3 from_mm, uint64_t seed, int64_t i, int64_t j) {
    Vec3 at = vec3_along(lamp->middle_mm, 2 * chance(seed, i, j) - 1, lamp->half_wide_mm);
    at = vec3_along(at, 2 * chance(seed + 1, i, j) - 1, lamp->half_high_mm);
    Vec3 to = vec3_sub(at, from_mm);
    double far2_mm2 = vec3_dot(to, to);
    Vec3 way = vec3_scale(to, 1 / sqrt(far2_mm2));
    Vec3 quarter_mm2 = vec3_cross(lamp->half_wide_mm, lamp->half_high_mm);
    return (Gleam){way, 4 * fabs(vec3_dot(quarter_mm2, way)) / far2_mm2};
}

static double fallen(const Studio *studio, Vec3 from_mm, Vec3 normal, int64_t i, int64_t j) {
    double sum = studio->light->room * (0.13 + 0.08 * normal.y);
    for (int k = 0; k < studio->light->n_lamps; k++) {
        const Lamp *lamp = &studio->light->lamps[k];
        Gleam gleam = gleam_of(lamp, from_mm, SEED_LAMP + 2 * (uint64_t)k, i, j);
        double falls = vec3_dot(normal, gleam.way), along;
        Vec3 in_the_way;
        if (falls > 0 &&
            !cap_hit(vec3_along(from_mm, 0.01, normal), gleam.way, &along, &in_the_way))
            sum += 0.8 * lamp->light * falls * gleam.solid_angle / G_PI;
    }
    return sum;
}

/* --- Metal and ground --- */

typedef struct {
    Vec3 normal, along, across;
    double rough_along, rough_across; /* standard deviations of the tilt, rad */
} Facets;

static Facets facets_of(const Skin *skin, double matt) {
    return (Facets){skin->normal, skin->grain, vec3_cross(skin->normal, skin->grain),
                    skin->rough_along + 0.25 * matt, skin->rough_across + 0.25 * matt};
}

static Vec3 facet(const Facets *facets, int64_t i, int64_t j, uint64_t seed) {
    Vec3 tilted = vec3_along(facets->normal, facets->rough_along * chance_normal(seed, i, j),
                             facets->along);
    return vec3_unit(vec3_along(tilted, facets->rough_across * chance_normal(seed + 1, i, j),
                                facets->across));
}

/* What the facets that happen to lie right send on from the small lamps: their share by the
 * solid angle of the half-way direction, which is that of the lamp over 4 cos. */
static double glint(const Studio *studio, const Facets *facets, Vec3 at_mm, Vec3 ray, int64_t i,
                    int64_t j) {
    double sum = 0;
    for (int k = 0; k < studio->light->n_lamps; k++) {
        const Lamp *lamp = &studio->light->lamps[k];
        Gleam gleam = gleam_of(lamp, at_mm, SEED_LAMP + 2 * (uint64_t)k, i, j);
        Vec3 half = vec3_unit(vec3_sub(gleam.way, ray));
        double upright = vec3_dot(half, facets->normal);
        if (!lamp->small || upright <= 0 || vec3_dot(gleam.way, facets->normal) <= 0)
            continue;
        double along = vec3_dot(half, facets->along) / (upright * facets->rough_along);
        double across = vec3_dot(half, facets->across) / (upright * facets->rough_across);
        double share = exp(-0.5 * (along * along + across * across)) /
                       (2 * G_PI * facets->rough_along * facets->rough_across);
        sum += lamp->light * share * gleam.solid_angle /
               (4 * fmax(vec3_dot(gleam.way, half), 0.1));
    }
    return sum;
}

static Tint metal_seen(const Studio *studio, Vec3 at_mm, Vec3 normal, Vec3 ray, int64_t i,
                       int64_t j) {
    Skin skin = metal_skin(studio->metal, normal);
    double matt = studio->light->matt, shine = 0, edge_on = 0;
    Facets facets = facets_of(&skin, matt);
    for (int k = 0; k < FACETS; k++) {
        Vec3 tilted = facet(&facets, i, j, SEED_FACET + 2 * (uint64_t)k);
        double towards = -vec3_dot(ray, tilted);
        Vec3 way = vec3_along(ray, 2 * towards, tilted);
        shine += towards > 0 && vec3_dot(way, normal) > -0.1 ? mirrored(studio, at_mm, way) : 0;
        edge_on += pow(1 - clamp01(towards), 5) / FACETS; /* Schlick 1994 */
    }
    shine = skin.open * (shine / FACETS + glint(studio, &facets, at_mm, ray, i, j));
    double fall = skin.open * fallen(studio, at_mm, skin.normal, i, j);
    double bare = 1 - skin.coated;
    double mirror = bare * (1 - 0.75 * matt) + 0.03 * skin.coated;
    double dust = bare * (0.24 + 0.40 * matt); /* facets too fine to follow */
    return (Tint){shine * mirror * mix(skin.steel.red, 1, edge_on) +
                      fall * (dust * skin.steel.red + skin.coated * skin.coat.red),
                  shine * mirror * mix(skin.steel.green, 1, edge_on) +
                      fall * (dust * skin.steel.green + skin.coated * skin.coat.green),
                  shine * mirror * mix(skin.steel.blue, 1, edge_on) +
                      fall * (dust * skin.steel.blue + skin.coated * skin.coat.blue)};
}

static Tint ground_seen(const Studio *studio, Vec3 ray, int64_t i, int64_t j) {
    double along = (studio->ground_z_mm - studio->camera->eye_mm.z) / ray.z;
    Vec3 at = vec3_along(studio->camera->eye_mm, along, ray);
    double fall = fallen(studio, at, vec3(0, 0, 1), i, j);
    double cloth = 1 + 0.030 * noise_layers(SEED_CLOTH, at.x / 0.5, at.y / 0.5, 3) +
                   0.05 * noise_layers(SEED_CLOTH + 5, at.x / 45, at.y / 45, 3);
    return (Tint){0.31 * fall * cloth, 0.308 * fall * cloth, 0.305 * fall * cloth};
}

/* --- The picture --- */

/* Bright light comes to its end softly, and the dark is a little deepened, as makers' software
 * does. */
static float exposed(double light, gboolean plain) {
    const double white = 5.0;
    double deepened = pow(fmax(light, 0), 1.18);
    double bent = deepened * (1 + deepened / (white * white)) / (1 + 0.72 * deepened);
    return (float)(plain ? light : bent);
}

static void look(const Studio *studio, int column, int row, float rgb[3]) {
    const Camera *camera = studio->camera;
    Tint sum = {0, 0, 0};
    for (int k = 0; k < SUBPIXELS * SUBPIXELS; k++) {
        int64_t i = SUBPIXELS * (int64_t)column + k % SUBPIXELS;
        int64_t j = SUBPIXELS * (int64_t)row + k / SUBPIXELS;
        Vec2 px = {((double)i + 0.5) / SUBPIXELS, ((double)j + 0.5) / SUBPIXELS};
        Vec3 ray = camera_ray(camera, px), normal;
        double along;
        Tint seen =
            cap_hit(camera->eye_mm, ray, &along, &normal)
                ? metal_seen(studio, vec3_along(camera->eye_mm, along, ray), normal, ray, i, j)
                : ground_seen(studio, ray, i, j);
        sum = (Tint){sum.red + seen.red, sum.green + seen.green, sum.blue + seen.blue};
    }
    double x = (column - camera->width_px / 2.0) / camera->width_px;
    double y = (row - camera->height_px / 2.0) / camera->width_px;
    double lens = 1 - 0.35 * (x * x + y * y); /* the corners of the lens */
    double by = lens * studio->light->exposure / (SUBPIXELS * SUBPIXELS);
    gboolean plain = studio->light->plain;
    rgb[0] = exposed(sum.red * by * 1.02, plain);
    rgb[1] = exposed(sum.green * by, plain);
    rgb[2] = exposed(sum.blue * by * 0.965, plain);
}

Picture *photo_take(const Metal *metal, const Camera *camera, const Light *light) {
    Studio studio = {metal, camera, light,
                     CAP_RADIUS_MM * cos(CAP_HALF_ANGLE_DEG * G_PI / 180) - GROUND_GAP_MM};
    Picture *picture = picture_new(camera->width_px, camera->height_px);
#pragma omp parallel for schedule(dynamic, 8)
    for (int row = 0; row < camera->height_px; row++)
        for (int column = 0; column < camera->width_px; column++)
            look(&studio, column, row,
                 picture->rgb + 3 * ((gsize)row * (gsize)camera->width_px + (gsize)column));
    return picture;
}
