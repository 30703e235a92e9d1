/* How good a fit is, with what it cost in parameters (Burnham & Anderson, Model Selection and
 * Multimodel Inference, 2002). */
#include "evidence/score.h"

#include <math.h>

double tapul_score_aicc(int n, double rss, double floor_variance, double k) {
    double left = n - k - 1, variance = fmax(rss / n, floor_variance);
    if (!(left > 0) || !isfinite(rss))
        return INFINITY;
    return n * log(2 * G_PI * variance) + rss / variance + 2 * k + 2 * k * (k + 1) / left;
}

void tapul_score_weights(int n, const double *aicc, double *weight) {
    double least = INFINITY, sum = 0;
    for (int i = 0; i < n; i++)
        least = fmin(least, aicc[i]);
    for (int i = 0; i < n; i++) {
        weight[i] = isfinite(aicc[i]) ? exp(-(aicc[i] - least) / 2) : 0;
        sum += weight[i];
    }
    for (int i = 0; i < n && sum > 0; i++)
        weight[i] /= sum;
}
