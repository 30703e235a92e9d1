/* The engraver's hand: seeded chance and smooth noise, without any platform randomness.
 * The same seed gives the same print on every machine with the same arithmetic. */
#include "hand.h"

#include <math.h>

static uint64_t scramble(uint64_t value) {
    value += UINT64_C(0x9e3779b97f4a7c15);
    value = (value ^ (value >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    value = (value ^ (value >> 27)) * UINT64_C(0x94d049bb133111eb);
    return value ^ (value >> 31);
}

void hand_start(Hand *hand, uint64_t seed) {
    hand->seed = scramble(seed);
    hand->state = hand->seed;
    hand->origin = (Point){0, 0};
}

void hand_repeat(Hand *hand, Point origin, uint64_t part) {
    hand->origin = origin;
    hand->state = hand->seed ^ scramble(part);
}

Point hand_place(const Hand *hand, Point point) {
    return (Point){point.x - hand->origin.x, point.y - hand->origin.y};
}

double hand_random(Hand *hand) {
    hand->state += UINT64_C(0x9e3779b97f4a7c15);
    return (double)(scramble(hand->state) >> 11) / 9007199254740992.0;
}

double hand_between(Hand *hand, double low, double high) {
    return low + (high - low) * hand_random(hand);
}

static double lattice_value(const Hand *hand, int64_t column, int64_t row, uint64_t layer) {
    uint64_t mixed = scramble(hand->seed ^ (layer * UINT64_C(0x632be59bd9b4e019)));
    mixed = scramble(mixed ^ (uint64_t)column);
    mixed = scramble(mixed ^ ((uint64_t)row * UINT64_C(0x2545f4914f6cdd1d)));
    return (double)(mixed >> 11) / 4503599627370496.0 - 1.0;
}

double hand_noise(const Hand *hand, double x, double y, uint64_t layer) {
    double column = floor(x), row = floor(y);
    double across = x - column, down = y - row;
    double ease_across = across * across * (3 - 2 * across);
    double ease_down = down * down * (3 - 2 * down);
    int64_t left = (int64_t)column, top = (int64_t)row;
    double upper = lattice_value(hand, left, top, layer) * (1 - ease_across) +
                   lattice_value(hand, left + 1, top, layer) * ease_across;
    double lower = lattice_value(hand, left, top + 1, layer) * (1 - ease_across) +
                   lattice_value(hand, left + 1, top + 1, layer) * ease_across;
    return upper * (1 - ease_down) + lower * ease_down;
}

Point hand_drift(const Hand *hand, Point point, double wavelength, double amplitude,
                 uint64_t layer) {
    Point place = hand_place(hand, point);
    double x = place.x / wavelength, y = place.y / wavelength;
    point.x += amplitude * hand_noise(hand, x, y, layer * 2 + 11);
    point.y += amplitude * hand_noise(hand, x, y, layer * 2 + 12);
    return point;
}
