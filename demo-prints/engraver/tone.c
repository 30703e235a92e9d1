/* Tone: shading of a form rounded over at its edges, lit from the upper left.
 * Every hatching line asks here how dark it should be at each point of its way. */
#include "tone.h"

#include <math.h>

static const double light[3] = {-0.5, -0.6, 0.62};

/* Light falling on the rounded surface, relative to what falls on flat paper. */
static double rounded_shade(const Tone *tone, Point point) {
    Point nearest = point;
    double distance = shape_edge_within(tone->shape, point, tone->round, &nearest);
    if (distance >= tone->round)
        return 0;
    double lean = pow(1 - distance / tone->round, 1.15);
    Point outward = point_unit(point_subtract(nearest, point));
    double facing = outward.x * lean * light[0] + outward.y * lean * light[1] +
                    sqrt(1 - lean * lean) * light[2];
    double shade = light[2] - facing;
    /* The rim in shadow catches light thrown back from the ground. */
    if (shade > 0.5 && lean > 0.75)
        shade -= 0.55 * (lean - 0.75) / 0.25 * (shade - 0.5);
    return shade;
}

static double ramp_value(const Tone *tone, Point point) {
    Point along = point_subtract(tone->ramp_to, tone->ramp_from);
    double squared = point_dot(along, along);
    double share = point_dot(point_subtract(point, tone->ramp_from), along) / squared;
    share = CLAMP(share, 0, 1);
    share = share * share * (3 - 2 * share);
    return tone->ramp_start + (tone->ramp_end - tone->ramp_start) * share;
}

static double distance_to_curve(const Curve *curve, Point point) {
    double best = HUGE_VAL;
    for (guint i = 0; i < curve_count(curve); i++)
        best = fmin(best, point_distance(curve_point(curve, i), point));
    return best;
}

/* Light holds across most of a fold and falls away quickly at its far edge. */
static double rail_value(const Tone *tone, Point point) {
    double from = distance_to_curve(tone->rail_from, point);
    double to = distance_to_curve(tone->rail_to, point);
    double share = from / fmax(1e-6, from + to);
    return tone->rail_start + (tone->rail_end - tone->rail_start) * pow(share, 1.7);
}

static double spots_value(const Tone *tone, Point point) {
    double value = 0;
    for (guint i = 0; i < tone->spot_count; i++) {
        double share = point_distance(tone->spots[i].centre, point) / tone->spots[i].radius;
        if (share < 1)
            value += tone->spots[i].strength * (1 - share * share) * (1 - share * share);
    }
    return value;
}

double tone_at(const Sheet *sheet, const Tone *tone, Point point) {
    double value = tone->base + spots_value(tone, point);
    Point place = hand_place(&sheet->hand, point);
    if (tone->shape != NULL && tone->round > 0)
        value += tone->contrast * rounded_shade(tone, point);
    if (tone->ramped)
        value += ramp_value(tone, point);
    if (tone->rail_from != NULL)
        value += rail_value(tone, point);
    if (tone->shadow > 0)
        value += tone->shadow * sheet_cast_shadow(sheet, point);
    if (tone->streak > 0)
        value += tone->streak * hand_noise(&sheet->hand, place.x * 0.07, place.y * 0.75, 8);
    value += 0.05 * hand_noise(&sheet->hand, place.x * 0.35, place.y * 0.35, 7);
    return CLAMP(value, 0, 1);
}
