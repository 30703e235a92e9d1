#include "chance.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* The finaliser of SplitMix64 (Steele, Lea and Flood 2014). */
static uint64_t scramble(uint64_t value) {
    value += UINT64_C(0x9e3779b97f4a7c15);
    value = (value ^ (value >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    value = (value ^ (value >> 27)) * UINT64_C(0x94d049bb133111eb);
    return value ^ (value >> 31);
}

double chance(uint64_t seed, int64_t column, int64_t row) {
    uint64_t mixed = scramble(seed ^ ((uint64_t)column * UINT64_C(0x632be59bd9b4e019)));
    mixed = scramble(mixed ^ ((uint64_t)row * UINT64_C(0x2545f4914f6cdd1d)));
    return (double)(mixed >> 11) / 9007199254740992.0;
}

double chance_normal(uint64_t seed, int64_t column, int64_t row) {
    const double least = 1e-12; /* keeps the tail finite */
    return gsl_cdf_ugaussian_Pinv(least + (1 - 2 * least) * chance(seed, column, row));
}

double noise(uint64_t seed, double x, double y) {
    double column = floor(x), row = floor(y);
    double across = x - column, up = y - row;
    across *= across * (3 - 2 * across);
    up *= up * (3 - 2 * up);
    int64_t i = (int64_t)column, j = (int64_t)row;
    double lower = chance(seed, i, j) * (1 - across) + chance(seed, i + 1, j) * across;
    double upper = chance(seed, i, j + 1) * (1 - across) + chance(seed, i + 1, j + 1) * across;
    return 2 * (lower * (1 - up) + upper * up) - 1;
}

double noise_layers(uint64_t seed, double x, double y, int layers) {
    double sum = 0, weight = 1, total = 0;
    for (int layer = 0; layer < layers; layer++) {
        sum += weight * noise(seed + (uint64_t)layer, x, y);
        total += weight;
        weight /= 2;
        x = 2 * x + 17.3; /* off the coarser layer's lattice */
        y = 2 * y + 5.7;
    }
    return sum / total;
}
