/* The engraver's hand: a seeded source of chance and of slow, smooth unsteadiness.
 * Everything is derived from the seed alone, so a print comes out the same every run. */
#ifndef ENGRAVER_HAND_H
#define ENGRAVER_HAND_H

#include <stdint.h>

typedef struct Point {
    double x;
    double y;
} Point;

typedef struct Hand {
    uint64_t state;
    uint64_t seed;
    Point origin; /* unsteadiness is measured from here, so that a repeat can repeat it */
} Hand;

void hand_start(Hand *hand, uint64_t seed);

/* A number in [0, 1). */
double hand_random(Hand *hand);

double hand_between(Hand *hand, double low, double high);

/* Begins a repeat of a motif: the same chance and the same unsteadiness as in every other. */
void hand_repeat(Hand *hand, Point origin, uint64_t part);

/* A point as the unsteadiness sees it. */
Point hand_place(const Hand *hand, Point point);

/* Smooth noise in [-1, 1] with features about one unit across. */
double hand_noise(const Hand *hand, double x, double y, uint64_t layer);

/* Moves a point by a slow drift: neighbouring points move together, as a hand would. */
Point hand_drift(const Hand *hand, Point point, double wavelength, double amplitude,
                 uint64_t layer);

#endif
