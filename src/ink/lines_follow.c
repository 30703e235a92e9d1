/* From a run of skeleton pixels to strokes: middles and widths from the grey, ends where the
 * ink ends, one stroke for each stretch of about one width. */
#include "ink/lines_follow.h"

#include "ink/lines_ends.h"
#include "ink/lines_fit.h"

#include <gsl/gsl_movstat.h>

/* Pixels of the skeleton from one measured place to the next: nearer ones share most of their
 * grey. */
#define STEP_PX 2
/* The skeleton steps from pixel to pixel; its direction is that of its mean over some on each
 * side. */
#define SMOOTH_LEAST    2
#define SMOOTH_MOST     6
#define DIRECTION_LEAST 4
/* A stroke's width may change by a third from its least to its greatest; beyond that it is
 * split. */
#define WIDTH_RANGE (4.0 / 3)
/* The grain of a scan alone makes a fine line's width change by so much. */
#define WIDTH_NOISE_PX 0.6
/* Places on each side whose median steadies a width. */
#define MEDIAN_PLACES 4
/* A place that is wider or narrower than this share of its neighbours' median is disturbed by
 * other ink. */
#define DISTURBED 0.4
/* A joint hides a line for this many of its half widths and pixels; what is hidden for longer
 * has several. */
#define JOINED_RADII 4
#define JOINED_PX    2
/* Paler than this is paper rather than ink; a fine line's blurred middle is darker. */
#define LEAST_DARKNESS 0.3
/* Measured middles are good to a tenth of a pixel; curves keep within a quarter. */
#define FIT_PX 0.25

static TapulVec2 unit(TapulVec2 a) {
    double length = tapul_vec2_length(a);
    return length > 0 ? tapul_vec2_scale(a, 1 / length) : tapul_vec2(0, 0);
}

/* The mean of the skeleton around point i of a run, fewer points near its ends, the same on
 * both sides. */
static TapulVec2 smoothed(const GArray *points, const TapulLineRun *run, int i) {
    const TapulChainPoint *point = (const TapulChainPoint *)(const void *)points->data;
    int n = run->to - run->from;
    int reach = CLAMP((int)lround(point[i].radius_px), SMOOTH_LEAST, SMOOTH_MOST);
    if (!run->closed)
        reach = MIN(reach, MIN(i - run->from, run->to - 1 - i));
    reach = MIN(reach, (n - 1) / 2);
    TapulVec2 sum = {0, 0};
    for (int k = -reach; k <= reach; k++)
        sum = tapul_vec2_add(sum, point[run->from + (i - run->from + k + n) % n].at_px);
    return tapul_vec2_scale(sum, 1.0 / (2 * reach + 1));
}

/* Across the way from as far before point i to as far behind it; near an end both are moved
 * inward. */
static TapulVec2 normal_at(const GArray *points, const TapulLineRun *run, int i) {
    int n = run->to - run->from;
    int reach =
        MAX((int)lround(g_array_index(points, TapulChainPoint, i).radius_px), DIRECTION_LEAST);
    reach = MIN(reach, (n - 1) / 2);
    int before = i - reach, after = i + reach;
    if (run->closed) {
        before = run->from + (before - run->from + n) % n;
        after = run->from + (after - run->from) % n;
    } else {
        before = CLAMP(before, run->from, run->to - 1 - 2 * reach);
        after = before + 2 * reach;
    }
    TapulVec2 along =
        unit(tapul_vec2_sub(smoothed(points, run, after), smoothed(points, run, before)));
    return tapul_vec2(-along.y, along.x);
}

/* Twice: the second time across the middle that the first has found, as wide as it has found.
 */
static gboolean measure_place(const TapulGreyImage *image, const TapulTones *tones,
                              TapulVec2 at_px, TapulVec2 normal, double radius_px,
                              TapulLineSample *sample) {
    TapulProfile profile;
    for (int round = 0; round < 2; round++) {
        if (!tapul_profile_measure(image, tones, at_px, normal, radius_px, 0, &profile))
            return FALSE;
        at_px = tapul_vec2_add(at_px, tapul_vec2_scale(normal, profile.middle_px));
        radius_px = profile.width_px / 2;
    }
    *sample = (TapulLineSample){at_px, profile.width_px};
    return TRUE;
}

/* The widths of the samples from first on, each the median of some on both sides. */
static gsl_vector *steady_widths(const GArray *samples, guint first) {
    gsize n = samples->len - first;
    gsl_vector *steady_px = gsl_vector_alloc(n);
    for (gsize i = 0; i < n; i++)
        gsl_vector_set(steady_px, i, TAPUL_LINE_SAMPLE(samples, first + i)->width_px);
    gsl_movstat_workspace *space = gsl_movstat_alloc2(MEDIAN_PLACES, MEDIAN_PLACES);
    gsl_movstat_median(GSL_MOVSTAT_END_TRUNCATE, steady_px, steady_px, space);
    gsl_movstat_free(space);
    return steady_px;
}

static void drop_disturbed(GArray *samples, guint first) {
    if (samples->len == first)
        return;
    gsl_vector *steady_px = steady_widths(samples, first);
    guint kept = first;
    for (guint i = first; i < samples->len; i++) {
        double median_px = gsl_vector_get(steady_px, i - first);
        if (fabs(TAPUL_LINE_SAMPLE(samples, i)->width_px - median_px) <= DISTURBED * median_px)
            *TAPUL_LINE_SAMPLE(samples, kept++) = *TAPUL_LINE_SAMPLE(samples, i);
    }
    g_array_set_size(samples, kept);
    gsl_vector_free(steady_px);
}

/* Where other lines join for long there is no clear place between them; but over a crossing a
 * line runs straight, and so it does over one joint. */
static gboolean is_joined_for_long(const GArray *points, int from, int to) {
    const TapulChainPoint *point = (const TapulChainPoint *)(const void *)points->data;
    double sum_px = 0;
    for (int i = from; i < to; i++) {
        if (point[i].bridged)
            return FALSE;
        sum_px += point[i].radius_px;
    }
    double length_px = tapul_vec2_distance(point[from].at_px, point[to - 1].at_px);
    return length_px > JOINED_RADII * sum_px / (to - from) + JOINED_PX;
}

static int step_places(const TapulLineWork *work) {
    return (int)lround(STEP_PX / work->map_px);
}

/* Samples the skeleton itself, where the grey across is not the line's alone. */
static void sample_clouded(const TapulLineWork *work, const GArray *points,
                           const TapulLineRun *run, int from, int to, GArray *samples) {
    int step = step_places(work);
    for (int i = from; i < to; i += step) {
        TapulLineSample sample = {smoothed(points, run, i),
                                  2 * g_array_index(points, TapulChainPoint, i).radius_px};
        g_array_append_val(samples, sample);
    }
}

static void sample_clear(const TapulLineWork *work, const GArray *points,
                         const TapulLineRun *run, int from, int to, GArray *samples) {
    int step = step_places(work);
    guint before = samples->len;
    for (int i = from; i < to; i++) {
        if ((i - from) % step != 0 && i != to - 1)
            continue;
        TapulLineSample sample;
        if (measure_place(work->image, &work->tones, smoothed(points, run, i),
                          normal_at(points, run, i),
                          g_array_index(points, TapulChainPoint, i).radius_px, &sample))
            g_array_append_val(samples, sample);
    }
    drop_disturbed(samples, before);
}

/* TRUE where the straight way between two places is ink. */
static gboolean is_ink_between(const TapulLineWork *work, TapulVec2 from_px, TapulVec2 to_px) {
    int n = (int)ceil(tapul_vec2_distance(from_px, to_px));
    for (int i = 1; i < n; i++) {
        TapulVec2 at_px = tapul_vec2_mix(from_px, to_px, (double)i / n);
        if (tapul_profile_darkness(work->image, &work->tones, at_px) < LEAST_DARKNESS)
            return FALSE;
    }
    return TRUE;
}

/* TRUE where a line may run straight over a clouded stretch of points. */
static gboolean is_straight(const TapulLineWork *work, const GArray *points, int from, int to) {
    const TapulChainPoint *point = (const TapulChainPoint *)(const void *)points->data;
    return !is_joined_for_long(points, from, to) &&
           is_ink_between(work, point[from].at_px, point[to - 1].at_px);
}

static GArray *sample_run(const TapulLineWork *work, const GArray *points,
                          const TapulLineRun *run) {
    GArray *samples = g_array_new(FALSE, FALSE, sizeof(TapulLineSample));
    for (int i = run->from; i < run->to;) {
        int from = i;
        gboolean clouded = g_array_index(points, TapulChainPoint, i).clouded;
        while (i < run->to && g_array_index(points, TapulChainPoint, i).clouded == clouded)
            i++;
        if (!clouded)
            sample_clear(work, points, run, from, i, samples);
        else if (!is_straight(work, points, from, i))
            sample_clouded(work, points, run, from, i, samples);
    }
    if (samples->len < 2) {
        g_array_set_size(samples, 0);
        sample_clouded(work, points, run, run->from, run->to, samples);
    }
    return samples;
}

static void reverse(GArray *samples) {
    for (guint i = 0, k = samples->len - 1; i < k; i++, k--) {
        TapulLineSample held = *TAPUL_LINE_SAMPLE(samples, i);
        *TAPUL_LINE_SAMPLE(samples, i) = *TAPUL_LINE_SAMPLE(samples, k);
        *TAPUL_LINE_SAMPLE(samples, k) = held;
    }
}

/* Where a run that does not end freely ends: at its chain's joint, or at its last point before
 * an area. */
static TapulVec2 joint_px(const TapulLineWork *work, const TapulLineRun *run,
                          const GArray *points, gboolean end, double *radius_px) {
    const TapulLineChains *chains = work->chains;
    const TapulChainPoint *point =
        &g_array_index(points, TapulChainPoint, end ? run->to - 1 : run->from);
    *radius_px = point->radius_px;
    if (end ? run->to < (int)points->len : run->from > 0)
        return point->at_px;
    int k =
        g_array_index(chains->start, int, end ? run->chain + 1 : run->chain) - (end ? 1 : 0);
    int half = g_array_index(chains->half, int, k) ^ (end ? 1 : 0);
    const TapulLineEdge *edge = tapul_line_edge(work->graph, half / 2);
    /* A ring that is an area in part begins anywhere. */
    if (edge->node[half % 2] < 0)
        return point->at_px;
    const TapulLineNode *node = tapul_line_node(work->graph, edge->node[half % 2]);
    *radius_px = work->map_px * node->radius_px;
    return tapul_vec2_scale(node->at_px, work->map_px);
}

static void append_stroke(const GArray *samples, int from, int to, gboolean closed,
                          GArray *strokes) {
    int n = to - from + 1;
    TapulVec2 *at = g_new(TapulVec2, n);
    for (int i = 0; i < n; i++)
        at[i] = TAPUL_LINE_SAMPLE(samples, from + i)->at_px;
    TapulLineStroke stroke = {tapul_lines_fit(at, n, closed, FIT_PX),
                              tapul_line_median_width(samples, from, to + 1)};
    g_array_append_val(strokes, stroke);
    g_free(at);
}

static gboolean is_new_width(double least_px, double most_px) {
    return most_px > WIDTH_RANGE * least_px && most_px > least_px + WIDTH_NOISE_PX;
}

/* Parts the samples where the width leaves its range, but no shorter than the line is wide. */
static void split_by_width(const GArray *samples, gboolean closed, GArray *strokes) {
    gsl_vector *steady_px = steady_widths(samples, 0);
    int from = 0, n = (int)samples->len;
    double least_px = INFINITY, most_px = 0, length_px = 0;
    for (int i = 0; i < n; i++) {
        double width_px = gsl_vector_get(steady_px, (gsize)i);
        length_px += i > 0 ? tapul_vec2_distance(TAPUL_LINE_SAMPLE(samples, i)->at_px,
                                                 TAPUL_LINE_SAMPLE(samples, i - 1)->at_px)
                           : 0;
        if (i < n - 1 && is_new_width(fmin(least_px, width_px), fmax(most_px, width_px)) &&
            length_px > most_px && i > from) {
            append_stroke(samples, from, i, FALSE, strokes);
            from = i;
            least_px = INFINITY;
            most_px = length_px = 0;
        }
        least_px = fmin(least_px, width_px);
        most_px = fmax(most_px, width_px);
    }
    append_stroke(samples, from, n - 1, closed && from == 0, strokes);
    gsl_vector_free(steady_px);
}

void tapul_chain_strokes(const TapulLineWork *work, const TapulLineRun *run,
                         const GArray *points, GArray *strokes) {
    g_autoptr(GArray) samples = sample_run(work, points, run);
    if (run->closed) {
        TapulLineSample first = *TAPUL_LINE_SAMPLE(samples, 0);
        g_array_append_val(samples, first);
    } else {
        for (int end = 0; end < 2; end++) {
            /* Both ends are worked as the last sample. */
            reverse(samples);
            double radius_px;
            if (end ? run->ends_free : run->begins_free) {
                tapul_line_end_freely(samples, work->image, &work->tones);
            } else {
                TapulVec2 at_px = joint_px(work, run, points, end, &radius_px);
                tapul_line_end_joined(samples, at_px, radius_px);
            }
        }
    }
    if (samples->len >= 2)
        split_by_width(samples, run->closed, strokes);
}
