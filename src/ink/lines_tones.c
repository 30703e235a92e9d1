/* The picture's tones, for the threshold's floor and for the widths of lines. */
#include "ink/lines_tones.h"

/* Ink three pixels from paper is wholly ink however the scanner blurs. */
#define DEEP_PX2 9
/* Fewer deep pixels than this tell no mean; then the darkest ink there is does, by this share
 * of it. */
#define DEEP_LEAST    1000
#define DARKEST_SHARE 0.01
/* A histogram's peak is told within this many greys of noise. */
#define PEAK_GREYS 3
/* Ink and paper that differ by less cannot be told apart. */
#define LEAST_CONTRAST 16

typedef struct {
    gint64 count[256];
} Histogram;

static Histogram histogram_of(const TapulGreyImage *image) {
    Histogram all = {{0}};
#pragma omp parallel
    {
        Histogram own = {{0}};
#pragma omp for schedule(static)
        for (int y = 0; y < image->height_px; y++) {
            const guint8 *row = image->grey + (gsize)y * (gsize)image->width_px;
            for (int x = 0; x < image->width_px; x++)
                own.count[row[x]]++;
        }
#pragma omp critical
        for (int g = 0; g < 256; g++)
            all.count[g] += own.count[g];
    }
    return all;
}

/* N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC 9, 1979,
 * eq. 18. Returns the first grey of the light class. */
static int otsu(const Histogram *histogram, double *dark_mean, double *light_mean) {
    double n = 0, sum = 0, n_dark = 0, sum_dark = 0, best = -1;
    int split = 0;
    for (int g = 0; g < 256; g++) {
        n += (double)histogram->count[g];
        sum += g * (double)histogram->count[g];
    }
    *dark_mean = *light_mean = sum / n;
    for (int g = 0; g < 255; g++) {
        n_dark += (double)histogram->count[g];
        sum_dark += g * (double)histogram->count[g];
        if (n_dark == 0 || n_dark == n)
            continue;
        double dark = sum_dark / n_dark, light = (sum - sum_dark) / (n - n_dark);
        double between = n_dark * (n - n_dark) * (light - dark) * (light - dark);
        if (between > best) {
            best = between;
            *dark_mean = dark;
            *light_mean = light;
            split = g + 1;
        }
    }
    return split;
}

/* The centre of the fullest band of greys. */
static double commonest(const Histogram *histogram, int from) {
    gint64 most = -1;
    double at = 255;
    for (int g = from; g < 256; g++) {
        gint64 count = 0;
        double sum = 0;
        for (int k = MAX(g - PEAK_GREYS, 0); k <= MIN(g + PEAK_GREYS, 255); k++) {
            count += histogram->count[k];
            sum += k * (double)histogram->count[k];
        }
        if (count > most) {
            most = count;
            at = count > 0 ? sum / (double)count : g;
        }
    }
    return at;
}

TapulGreyClasses tapul_grey_classes(const TapulGreyImage *image) {
    Histogram histogram = histogram_of(image);
    TapulGreyClasses classes;
    int split = otsu(&histogram, &classes.dark_mean, &classes.light_mean);
    classes.paper = commonest(&histogram, split);
    return classes;
}

static double darkest(const Histogram *ink) {
    gint64 n = 0, seen = 0;
    for (int g = 0; g < 256; g++)
        n += ink->count[g];
    int g = 0;
    for (; g < 255 && (double)seen < DARKEST_SHARE * (double)n; g++)
        seen += ink->count[g];
    return g;
}

TapulTones tapul_tones(const TapulGreyImage *image, const TapulGreyClasses *classes,
                       const TapulMap *map, const guint16 *distance_px2) {
    int factor = map->width_px / image->width_px;
    gint64 n_deep = 0, sum_deep = 0;
    Histogram ink = {{0}};
    for (int y = 0; y < image->height_px; y++) {
        const guint8 *row = image->grey + (gsize)y * (gsize)image->width_px;
        for (int x = 0; x < image->width_px; x++) {
            int squared = distance_px2[tapul_map_place(map, x * factor, y * factor)];
            if (squared == 0)
                continue;
            ink.count[row[x]]++;
            if (squared >= DEEP_PX2 * factor * factor) {
                n_deep++;
                sum_deep += row[x];
            }
        }
    }
    double dark = n_deep >= DEEP_LEAST ? (double)sum_deep / (double)n_deep : darkest(&ink);
    return (TapulTones){classes->paper, fmin(dark, classes->paper - LEAST_CONTRAST)};
}
