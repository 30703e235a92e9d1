/* Chance that depends on a place alone, so that a picture comes out the same in whatever order,
 * and on however many cores, its pixels are made. */
#ifndef STUDIO_CHANCE_H
#define STUDIO_CHANCE_H

#include <stdint.h>

/* In [0, 1). */
double chance(uint64_t seed, int64_t column, int64_t row);

/* Mean 0, standard deviation 1. */
double chance_normal(uint64_t seed, int64_t column, int64_t row);

/* Smooth noise in [-1, 1] with features about one unit across. */
double noise(uint64_t seed, double x, double y);

/* The same with finer layers added, each half as wide and half as strong; in [-1, 1]. */
double noise_layers(uint64_t seed, double x, double y, int layers);

#endif
