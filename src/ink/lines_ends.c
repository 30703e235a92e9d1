/* Where measured lines end: a free end by the ink that is left past the last measured place, a
 * joined one by running on to its joint. */
#include "ink/lines_ends.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>

/* Past its last place a line's ink ends where less than this share of its width is left. */
#define END_SHARE   0.1
#define END_STEP_PX 0.5
/* A line's direction at its end is that of so many of its widths, or pixels, before. */
#define END_WIDTHS   2
#define END_LEAST_PX 10
/* Pruned corners and thinning leave the last place so far from the ink's end, in half widths
 * and pixels. */
#define END_RADII 3
#define END_PX    4
/* Samples whose median is a line's width at its end. */
#define END_PLACES 5

double tapul_line_median_width(const GArray *samples, int from, int end) {
    gsize n = (gsize)(end - from);
    double *width_px = g_new(double, n);
    for (gsize i = 0; i < n; i++)
        width_px[i] = TAPUL_LINE_SAMPLE(samples, from + (int)i)->width_px;
    gsl_sort(width_px, 1, n);
    double median_px = gsl_stats_median_from_sorted_data(width_px, 1, n);
    g_free(width_px);
    return median_px;
}

/* The straight line through the last samples, by least squares: single ones are a tenth of a
 * pixel off. */
typedef struct {
    TapulVec2 last_px; /* the last sample, moved on to the line */
    TapulVec2 along;   /* unit, outward */
} LastWay;

static LastWay last_way(const GArray *samples, double width_px) {
    TapulVec2 last = TAPUL_LINE_SAMPLE(samples, samples->len - 1)->at_px, mean = last;
    double reach_px = fmax(END_WIDTHS * width_px, END_LEAST_PX);
    guint first = samples->len - 1;
    while (first > 0 &&
           tapul_vec2_distance(TAPUL_LINE_SAMPLE(samples, first)->at_px, last) < reach_px) {
        first--;
        mean = tapul_vec2_add(mean, TAPUL_LINE_SAMPLE(samples, first)->at_px);
    }
    mean = tapul_vec2_scale(mean, 1.0 / (samples->len - first));
    double xx = 0, xy = 0, yy = 0;
    for (guint i = first; i < samples->len; i++) {
        TapulVec2 off = tapul_vec2_sub(TAPUL_LINE_SAMPLE(samples, i)->at_px, mean);
        xx += off.x * off.x;
        xy += off.x * off.y;
        yy += off.y * off.y;
    }
    /* The axis of greatest spread. */
    TapulVec2 along = tapul_vec2_turn(tapul_vec2(1, 0), atan2(2 * xy, xx - yy) / 2);
    if (tapul_vec2_dot(along, tapul_vec2_sub(last, mean)) < 0)
        along = tapul_vec2_scale(along, -1);
    double ahead_px = tapul_vec2_dot(along, tapul_vec2_sub(last, mean));
    return (LastWay){tapul_vec2_add(mean, tapul_vec2_scale(along, ahead_px)), along};
}

/* The ink past the last sample, as a length of the line's full width. */
static double ink_beyond_px(const TapulGreyImage *image, const TapulTones *tones,
                            TapulVec2 from_px, TapulVec2 along, double width_px) {
    TapulVec2 normal = {-along.y, along.x};
    double mass_px2 = 0, before_px = width_px;
    TapulProfile last;
    double full = tapul_profile_measure(image, tones, from_px, normal, width_px / 2, 0, &last)
                      ? last.full
                      : 1;
    for (double t = END_STEP_PX / 2; t < END_RADII * width_px / 2 + END_PX; t += END_STEP_PX) {
        TapulProfile profile;
        TapulVec2 at_px = tapul_vec2_add(from_px, tapul_vec2_scale(along, t));
        gboolean ink =
            tapul_profile_measure(image, tones, at_px, normal, width_px / 2, full, &profile);
        /* Growing again is other ink. */
        if (!ink || profile.width_px < END_SHARE * width_px ||
            (before_px < width_px / 2 && profile.width_px > before_px))
            break;
        before_px = fmin(profile.width_px, width_px);
        mass_px2 += before_px * END_STEP_PX;
    }
    return mass_px2 / width_px;
}

void tapul_line_end_freely(GArray *samples, const TapulGreyImage *image,
                           const TapulTones *tones) {
    int n = (int)samples->len;
    double width_px = tapul_line_median_width(samples, MAX(n - END_PLACES, 0), n);
    LastWay way = last_way(samples, width_px);
    TapulLineSample end = *TAPUL_LINE_SAMPLE(samples, n - 1);
    double beyond_px =
        ink_beyond_px(image, tones, way.last_px, way.along, width_px) - G_PI / 4 * width_px / 2;
    end.at_px = tapul_vec2_add(way.last_px, tapul_vec2_scale(way.along, beyond_px));
    /* The last sample's own noise would bend the line just before its end. */
    while (samples->len > 1) {
        TapulVec2 ahead =
            tapul_vec2_sub(end.at_px, TAPUL_LINE_SAMPLE(samples, samples->len - 1)->at_px);
        if (tapul_vec2_dot(ahead, way.along) > 1)
            break;
        g_array_set_size(samples, samples->len - 1);
    }
    g_array_append_val(samples, end);
}

/* The skeleton near a joint leans to the other line. */
void tapul_line_end_joined(GArray *samples, TapulVec2 at_px, double joint_radius_px) {
    TapulLineSample end = *TAPUL_LINE_SAMPLE(samples, samples->len - 1);
    LastWay way = last_way(samples, end.width_px);
    TapulVec2 to = tapul_vec2_sub(at_px, way.last_px);
    double ahead_px = tapul_vec2_dot(way.along, to),
           aside_px = fabs(tapul_vec2_cross(way.along, to));
    end.at_px = aside_px <= joint_radius_px && ahead_px > 0
                    ? tapul_vec2_add(way.last_px, tapul_vec2_scale(way.along, ahead_px))
                    : at_px;
    g_array_append_val(samples, end);
}
