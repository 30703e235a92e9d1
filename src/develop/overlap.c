/* Where a development's edge runs over itself: the one way in which an unflipped map of a disc
 * can fail to be one-to-one. Last check of every development; a sweep over the edge's segments
 * by their left ends. */
#include "develop/overlap.h"

#include <stdlib.h>

/* Edges that run into each other by less than this share of the development's width touch: the
 * two sides of a cut through flat metal lie on each other to within the descent's tolerance. */
#define TOUCH_SHARE 1e-6
/* The metal's angle at a vertex of the edge may pass one round by this much, for the same
 * reason. */
#define TOUCH_RAD 1e-6

typedef struct {
    TapulVec2 from, to;
    int index; /* along the loop */
    double left, right;
} Segment;

static int compare_left(const void *a, const void *b) {
    const Segment *first = a, *second = b;
    if (first->left != second->left)
        return first->left < second->left ? -1 : 1;
    return first->index - second->index;
}

static Segment *sorted_segments(int n_loop, const int *loop, const TapulVec2 *flat_mm) {
    Segment *segment = g_new(Segment, n_loop);
    for (int i = 0; i < n_loop; i++) {
        TapulVec2 from = flat_mm[loop[i]], to = flat_mm[loop[(i + 1) % n_loop]];
        segment[i] = (Segment){from, to, i, fmin(from.x, to.x), fmax(from.x, to.x)};
    }
    qsort(segment, (gsize)n_loop, sizeof *segment, compare_left);
    return segment;
}

/* TRUE if the ends of b lie on two sides of a's line, each further than touch. */
static gboolean parts(const Segment *a, const Segment *b, double touch) {
    TapulVec2 along = tapul_vec2_sub(a->to, a->from);
    double length = tapul_vec2_length(along);
    double from = tapul_vec2_cross(along, tapul_vec2_sub(b->from, a->from));
    double to = tapul_vec2_cross(along, tapul_vec2_sub(b->to, a->from));
    return (from > touch * length && to < -touch * length) ||
           (from < -touch * length && to > touch * length);
}

static gboolean are_neighbours(int n_loop, int a, int b) {
    int apart = abs(a - b);
    return apart == 1 || apart == n_loop - 1;
}

int tapul_count_overlaps(int n_loop, const int *loop, const TapulVec2 *flat_mm,
                         const double *angle_rad, int *vertex) {
    g_autofree Segment *segment = sorted_segments(n_loop, loop, flat_mm);
    double right = -INFINITY;
    for (int i = 0; i < n_loop; i++)
        right = fmax(right, segment[i].right);
    double touch = TOUCH_SHARE * (right - segment[0].left);
    int overlaps = 0;
    *vertex = -1;
    for (int i = 0; i < n_loop; i++) {
        if (angle_rad[loop[i]] > 2 * G_PI + TOUCH_RAD && overlaps++ == 0)
            *vertex = loop[i];
        for (int j = i + 1; j < n_loop && segment[j].left <= segment[i].right; j++) {
            if (are_neighbours(n_loop, segment[i].index, segment[j].index) ||
                !parts(&segment[i], &segment[j], touch) ||
                !parts(&segment[j], &segment[i], touch))
                continue;
            if (overlaps++ == 0)
                *vertex = loop[segment[i].index];
        }
    }
    return overlaps;
}
