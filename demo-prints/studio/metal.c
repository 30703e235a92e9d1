#include "metal.h"

#include "chance.h"
#include "marks.h"

enum { SEED_GRAIN = 711, SEED_PIT = 751, SEED_SOOT = 761, SEED_ROPE = 771, SEED_RUST = 781 };

#define ROPE_FROM_MM 65.2 /* over the metal from the pole: the turned edge, filed like cord */
#define N_STRANDS    94
#define BITE_MM                                                                                \
    0.055 /* depth as the light shows it; the edges of a bitten line are rounded               \
           */

struct Metal {
    Etching etching;
    Raster *depth; /* the bitten, its edges rounded; print frame */
    Years years;
    Sheet sheet;
};

/* --- Making --- */

/* The acid widens a line while it deepens it. */
static void widen_lines(Raster *lines) {
    raster_blur(lines, 0.045);
    raster_sharpen_edges(lines, 0.16, 0.50);
}

Metal *metal_new(Etching *etching) {
    Metal *metal = g_new0(Metal, 1);
    metal->etching = *etching;
    *etching = (Etching){0};
    widen_lines(metal->etching.lines);
    metal->depth = raster_copy(metal->etching.lines);
    raster_join(metal->depth, metal->etching.ground);
    raster_blur(metal->depth, 0.035);
    metal->years = years_pass();
    metal->sheet = adaptation_sheet();
    return metal;
}

void metal_free(Metal *metal) {
    if (!metal)
        return;
    adaptation_clear(&metal->etching);
    raster_free(metal->depth);
    years_clear(&metal->years);
    g_free(metal);
}

double metal_line(const Metal *metal, Vec2 print_mm) {
    Vec2 at = cap_about_pole_mm(cap_from_sheet(&metal->sheet, print_mm));
    double wear = raster_at(metal->years.wear, at.x, at.y);
    return raster_at(metal->etching.lines, print_mm.x, print_mm.y) *
           (1 - ease(0.20, 1.0, wear));
}

/* --- The forms --- */

typedef struct {
    Vec3 normal, outward, around; /* outward: away from the pole; around: anticlockwise */
    Vec2 at_mm;                   /* about the pole */
    double distance_mm, angle_rad;
    double bitten, open;
    Vec3 tilt;
} Place;

static Place place_of(Vec3 normal) {
    Place place = {.normal = normal, .open = 1};
    place.at_mm = cap_about_pole_mm(normal);
    place.distance_mm = hypot(place.at_mm.x, place.at_mm.y);
    place.angle_rad = atan2(place.at_mm.y, place.at_mm.x);
    place.around = vec3(-sin(place.angle_rad), cos(place.angle_rad), 0);
    place.outward = vec3_cross(place.around, normal);
    return place;
}

static void tilt(Place *place, double outward, double around) {
    place->tilt = vec3_along(place->tilt, outward, place->outward);
    place->tilt = vec3_along(place->tilt, around, place->around);
}

/* The print's lines and the ground, with the slope of their edges. */
static void bite(const Metal *metal, Place *place, double wear) {
    const double step_mm = 0.03;
    Vec2 print = cap_to_sheet(&metal->sheet, place->normal);
    double within = ease(ADAPTATION_FIELD_MM, ADAPTATION_FIELD_MM - 0.2, place->distance_mm);
    if (within <= 0)
        return;
    double line = raster_at(metal->etching.lines, print.x, print.y);
    double ground = raster_at(metal->etching.ground, print.x, print.y);
    double broken = noise_layers(SEED_SOOT, place->at_mm.x / 0.35, place->at_mm.y / 0.35, 3);
    line *= 1 - ease(0.20, 1.0, wear + 0.30 * broken);
    ground *= 1 - 0.70 * ease(0.0, 1.2, wear + 0.25 * broken);
    place->bitten = within * fmax(line, ground);
    /* The soot goes before the depth does. */
    double slope = BITE_MM / (2 * step_mm) * (1 - 0.5 * wear) * within;
    double by_x = raster_at(metal->depth, print.x + step_mm, print.y) -
                  raster_at(metal->depth, print.x - step_mm, print.y);
    double by_y = raster_at(metal->depth, print.x, print.y + step_mm) -
                  raster_at(metal->depth, print.x, print.y - step_mm);
    if (by_x == 0 && by_y == 0)
        return;
    /* Downhill is where the depth grows; the normal leans there. */
    Vec3 x_way =
        vec3_sub(cap_from_sheet(&metal->sheet, (Vec2){print.x + 1, print.y}), place->normal);
    Vec3 y_way =
        vec3_sub(cap_from_sheet(&metal->sheet, (Vec2){print.x, print.y + 1}), place->normal);
    place->tilt = vec3_along(place->tilt, slope * by_x, vec3_unit(x_way));
    place->tilt = vec3_along(place->tilt, slope * by_y, vec3_unit(y_way));
}

/* Two bitten rules close the field. */
static void rule_border(Place *place, double wear) {
    double wander_mm = 0.10 * noise_layers(SEED_ROPE + 4, place->angle_rad * 9, 0.5, 3);
    double broad = exp(-pow((place->distance_mm - 58.3 - wander_mm) / 0.24, 4));
    double fine = exp(-pow((place->distance_mm - 59.3 + wander_mm) / 0.12, 4));
    place->bitten = fmax(place->bitten, fmax(broad, fine) * (1 - 0.8 * wear));
}

static void rope(Place *place) {
    if (place->distance_mm < ROPE_FROM_MM - 0.8)
        return;
    double across = (place->distance_mm - (ROPE_FROM_MM + CAP_EDGE_MM) / 2) /
                    ((CAP_EDGE_MM - ROPE_FROM_MM) / 2);
    double groove = exp(-pow((place->distance_mm - ROPE_FROM_MM) / 0.28, 2));
    place->open *= 1 - 0.75 * groove;
    if (across < -1)
        return;
    tilt(place, 0.85 * across * fabs(across) + 0.25 * across, 0);
    double uneven = 0.10 * noise_layers(SEED_ROPE, place->angle_rad * 14, 0, 2);
    double strand = place->angle_rad / (2 * G_PI) * N_STRANDS + 0.42 * across + uneven;
    double from = strand - floor(strand) - 0.5; /* from the strand's middle */
    tilt(place, -0.30 * from, 1.25 * from * (0.4 + 2.4 * from * from));
    place->open *= 1 - 0.8 * exp(-pow((0.5 - fabs(from)) / 0.085, 2));
}

/* How far the place lies from a mark, if within reach; the direction is along the metal. */
static double mark_near(const Place *place, const Mark *mark, double reach_mm, Vec3 *away) {
    Vec3 apart = vec3_sub(place->normal, mark_normal(mark));
    double apart_mm = CAP_RADIUS_MM * sqrt(vec3_dot(apart, apart));
    if (apart_mm > reach_mm)
        return reach_mm;
    *away = apart_mm > 1e-9 ? vec3_scale(apart, CAP_RADIUS_MM / apart_mm) : vec3(0, 0, 0);
    return apart_mm;
}

static void rivets(Place *place) {
    if (fabs(place->distance_mm - 62) > 3.5)
        return;
    for (int i = 0; i < MARK_N_RIVETS; i++) {
        Vec3 away;
        double from_mm = mark_near(place, &mark_rivets[i], 2.8, &away);
        if (from_mm >= 2.8)
            continue;
        double share = from_mm / MARK_RIVET_MM;
        if (share < 1) {
            place->tilt = vec3_scale(away, 0.80 * share * share + 0.15 * share);
            place->bitten = 0;
        }
        place->open *= 1 - 0.8 * exp(-pow((from_mm - MARK_RIVET_MM - 0.12) / 0.2, 2));
    }
}

static void punches(Place *place) {
    if (place->distance_mm > 55)
        return;
    for (int i = 0; i < MARK_N_PUNCHES; i++) {
        Vec3 away;
        double from_mm = mark_near(place, &mark_punches[i], 1.2, &away);
        if (from_mm >= 1.2)
            continue;
        double share = from_mm / MARK_PUNCH_MM;
        double hollow = ease(1.15, 0.75, share);
        place->bitten = mix(place->bitten, 0.85 * ease(0.9, 0.2, share), hollow);
        double lip = exp(-pow((share - 1.1) / 0.22, 2));
        place->tilt = vec3_along(vec3_scale(place->tilt, 1 - hollow),
                                 -0.75 * hollow * share + 0.5 * lip, away);
        place->bitten *= 1 - 0.8 * lip;
        place->open *= 1 - 0.45 * ease(0.8, 0.0, share);
    }
}

/* The strokes of the polish, some around the plate and some across it. */
static void polish(Place *place) {
    double x = place->at_mm.x, y = place->at_mm.y;
    double arc_mm = place->angle_rad * place->distance_mm;
    double ring = noise_layers(SEED_GRAIN, place->distance_mm / 0.09, arc_mm / 7, 2);
    double along = 0.80 * x + 0.60 * y, aside = -0.60 * x + 0.80 * y;
    double slant = noise_layers(SEED_GRAIN + 5, aside / 0.075, along / 9, 2);
    double patch = noise(SEED_GRAIN + 9, x / 12, y / 12);
    tilt(place, 0.050 * ring * (1 - patch) + 0.02 * slant, 0.030 * slant * (1 + patch));
}

/* What lies on the steel: soot and oil in what was bitten, rust where damp got at it. */
static void coat(Skin *skin, const Place *place, double rust, double bare) {
    double x = place->at_mm.x, y = place->at_mm.y;
    double soot = 0.88 * place->bitten * bare;
    double rusted = 0.85 * rust * (1 - 0.92 * soot);
    double brown = rusted / (rusted + soot + 1e-6);
    double grainy = 1 + 0.35 * noise_layers(SEED_RUST, x / 0.3, y / 0.3, 2);
    skin->coated = clamp01(soot + rusted);
    skin->coat = (Tint){mix(0.028, 0.150 * grainy, brown), mix(0.0260, 0.078 * grainy, brown),
                        mix(0.024, 0.040 * grainy, brown)};
}

Skin metal_skin(const Metal *metal, Vec3 normal) {
    Place place = place_of(normal);
    const Years *years = &metal->years;
    double x = place.at_mm.x, y = place.at_mm.y;
    double wear = raster_at(years->wear, x, y), rust = raster_at(years->rust, x, y);
    double patina = raster_at(years->patina, x, y), stain = raster_at(years->stain, x, y);
    double scratch = raster_at(years->scratches, x, y);
    rust *= 1 - 0.5 * wear;
    tilt(&place, raster_at(years->dent_x, x, y), raster_at(years->dent_y, x, y));
    polish(&place);
    bite(metal, &place, wear);
    rule_border(&place, wear);
    rope(&place);
    rivets(&place);
    punches(&place);

    double pit = ease(0.62, 0.80,
                      noise_layers(SEED_PIT, x / 0.33, y / 0.33, 2) +
                          0.25 * noise(SEED_PIT + 4, x / 6, y / 6));
    double bright = fmax(0, 1 - 0.24 * patina - 0.20 * stain) * (1 - 0.7 * pit);
    double dull = 0.20 * rust + 0.20 * place.bitten;
    Skin skin = {.normal = vec3_unit(vec3_add(normal, place.tilt)), .grain = place.around};
    skin.steel = tint_by((Tint){0.60, 0.585, 0.56}, bright, bright * (1 - 0.02 * stain),
                         bright * (1 - 0.07 * stain));
    skin.rough_along = 0.085 + 0.10 * patina * stain + 0.15 * scratch + dull;
    skin.rough_across = 0.15 + 0.08 * stain + 0.20 * scratch + dull;
    coat(&skin, &place, rust, 1 - 0.75 * scratch);
    skin.open = place.open * (1 - 0.25 * place.bitten);
    return skin;
}
