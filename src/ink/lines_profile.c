/* Step 7 from grey to lines: the centroid and the mass of the ink across a line. Both are
 * unmoved by an even blur, so a line drawn 3.4 px wide measures 3.4 px however soft the scan.
 * The profile ends at the lightest place between the line and its neighbour: there as much of
 * the neighbour's blur comes in as of the line's goes out. */
#include "ink/lines_profile.h"

#define STEP_PX 0.5
/* How far past its edge a line's blur is looked for: scanners' points are about 0.6 px wide
 * (one deviation). */
#define BLUR_PX 2.5
/* Middles nearer than this to an edge are not wholly ink in a blurred scan. */
#define EDGE_PX 1.5
/* Lines with this half width show their own tone in their middle; up to the second one it
 * counts in part. */
#define TONED_FROM_PX   2.25
#define TONED_WHOLLY_PX 3.25
/* Wider lines are areas long before this. */
#define MOST_SAMPLES 513
/* Ink of less than this across is noise. */
#define LEAST_WIDTH_PX 0.1

double tapul_profile_darkness(const TapulGreyImage *image, const TapulTones *tones,
                              TapulVec2 at_px) {
    double x = CLAMP(at_px.x - 0.5, 0, image->width_px - 1),
           y = CLAMP(at_px.y - 0.5, 0, image->height_px - 1);
    int left = (int)x, top = (int)y;
    int right = MIN(left + 1, image->width_px - 1), bottom = MIN(top + 1, image->height_px - 1);
    double tx = x - left, ty = y - top;
    const guint8 *upper = image->grey + (gsize)top * (gsize)image->width_px;
    const guint8 *lower = image->grey + (gsize)bottom * (gsize)image->width_px;
    double grey = (1 - ty) * (upper[left] + tx * (upper[right] - upper[left])) +
                  ty * (lower[left] + tx * (lower[right] - lower[left]));
    return (tones->paper - grey) / (tones->paper - tones->ink);
}

/* The lightest place from one edge of the line outward, as a sample's index and a part: samples
 * are coarse against the gap of a fine hatching. step is 1 or -1. */
static double lightest(const double *dark, int from, int step, int end) {
    int best = from;
    for (int i = from; i != end + step; i += step)
        if (dark[i] < dark[best])
            best = i;
    if (best == from || best == end)
        return best;
    /* The vertex of the parabola through three samples. */
    double bend = dark[best - 1] - 2 * dark[best] + dark[best + 1];
    return bend > 0 ? best + 0.5 * (dark[best - 1] - dark[best + 1]) / bend : best;
}

/* Mass and moment about sample n of the samples between two places, by trapezia. */
static void sum_between(const double *dark, int n, double from, double to, double *mass,
                        double *moment) {
    *mass = *moment = 0;
    for (int i = (int)floor(from); i < to; i++) {
        double low = fmax(from - i, 0), high = fmin(to - i, 1), middle = (low + high) / 2;
        double piece = (high - low) * (dark[i] + middle * (dark[i + 1] - dark[i]));
        *mass += piece;
        *moment += piece * (i + middle - n);
    }
}

/* What stands for ink alone here: pale lines that are wide enough show it themselves. */
static double full_tone(const double *dark, int n, double radius_px) {
    int core = (int)((radius_px - EDGE_PX) / STEP_PX);
    if (radius_px <= TONED_FROM_PX || core < 1)
        return 1;
    double sum = 0;
    for (int i = -core; i <= core; i++)
        sum += dark[n + i];
    double own = sum / (2 * core + 1);
    double share = fmin((radius_px - TONED_FROM_PX) / (TONED_WHOLLY_PX - TONED_FROM_PX), 1);
    return fmax(1 + share * (own - 1), 0.1);
}

gboolean tapul_profile_measure(const TapulGreyImage *image, const TapulTones *tones,
                               TapulVec2 at_px, TapulVec2 normal, double radius_px, double full,
                               TapulProfile *profile) {
    double dark[MOST_SAMPLES];
    int n = MIN((int)ceil((radius_px + BLUR_PX) / STEP_PX), (MOST_SAMPLES - 1) / 2);
    int edge = MIN((int)ceil(fmax(radius_px, STEP_PX) / STEP_PX), n);
    for (int i = -n; i <= n; i++)
        dark[n + i] = tapul_profile_darkness(
            image, tones, tapul_vec2_add(at_px, tapul_vec2_scale(normal, i * STEP_PX)));
    double mass, moment;
    sum_between(dark, n, lightest(dark, n - edge, -1, 0), lightest(dark, n + edge, 1, 2 * n),
                &mass, &moment);
    profile->full = full > 0 ? full : full_tone(dark, n, radius_px);
    profile->width_px = mass * STEP_PX / profile->full;
    if (!(profile->width_px >= LEAST_WIDTH_PX))
        return FALSE;
    profile->middle_px = moment * STEP_PX / mass;
    return fabs(profile->middle_px) <= radius_px + 1;
}
