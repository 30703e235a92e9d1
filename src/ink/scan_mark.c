/* The plate mark in a scan: the faint rectangle that the copper's edge pressed into the paper,
 * around all the ink, somewhat turned. The straightest faint edges are put together to
 * rectangles; of those that enclose the ink and whose sides end at their corners, the smallest
 * is the plate mark: what lies around it may be the paper's own edge. Its sides are then placed
 * in the full picture by scan_side.c. Stands between the picture and the print frame. */
#include "ink/scan.h"
#include "ink/scan_steps.h"

#include <stdlib.h>

/* Edges of each direction that are tried. */
#define EDGES_MOST 48
/* Lines nearer to a better one show the same edge: pixels of the reduced picture, and of
 * slopes. */
#define SAME_EDGE_PX     3
#define SAME_EDGE_SLOPES 24
/* Share of the paper's tone that a dent's step takes at most; an inked line and the edge
 * against a dark bed take more. */
#define FAINT_MOST 0.2
/* So far beside a line, in the reduced picture, its blurred flanks still reach; and paper is
 * looked for from there on. */
#define NEAR_PX 5
/* A film of ink makes a plate's paper darker, by so much of its tone at most; never lighter,
 * but for the unevenness of the lamp. An edge that does is the sheet's, on the scanner's lid or
 * bed. */
#define FILM_MOST    0.1
#define LIGHTER_MOST 0.04
/* Coppers are out of square by less: sides against each other, rad. */
#define SQUARE_TOLERANCE 0.012
/* Of a side so much must be seen, 1 being a clear edge from corner to corner. By chance, among
 * all lines, a short one shows nearly CHANCE / sqrt(length in px). */
#define SEEN_LEAST 0.35
#define CHANCE     8.0
/* And so much more than of the edge beyond the corners: one that runs on is no side. */
#define CLEAR_LEAST 0.3
/* Share of the length of a side beyond its corners from which on it counts that the edge goes
 * on there. */
#define BEYOND_LEAST 0.03
/* A rectangle whose worst side is seen this well in comparison with the best's is as good. */
#define AS_GOOD 0.75
/* Corners of the same rectangle lie no further apart, in the reduced picture. */
#define SAME_CORNER_PX 12.0
/* Share of the ink that may lie outside: a collector's stamp, a number. */
#define OUTSIDE_MOST 0.03
/* A plate mark less wide or high than this share of the picture is some motif. */
#define SIDE_LEAST 0.25
/* Share of the paper's tone under which a pixel is inked, or bed. */
#define INK_MOST         0.6
#define ASPECT_TOLERANCE 0.03
/* Pixels of the scan, for each one of the reduced picture, in which a dent's width is reckoned.
 */
#define DENT_UNIT 0.4
/* Ink is counted on so many pixels at most. */
#define INK_SAMPLES 20000

typedef struct {
    double middle, slope; /* x = middle + slope (y - height / 2) */
    float *seen;          /* [height + 1]: steps summed from the top, 1 for a clear one */
    double ink_before, ink_behind; /* shares of the ink at smaller and greater x */
} Edge;

typedef struct {
    const TapulSteps *steps;
    const float *grey; /* [height][width], of the reduced picture */
    float paper;       /* its paper's tone */
    Edge edges[EDGES_MOST];
    int n;
} Edges;

typedef struct {
    TapulVec2 px[4];       /* reduced picture, as TapulCorners */
    double quality, worst; /* of its sides together, and of the one seen worst */
    double area;
} Rectangle;

/* --- Ink --- */

static float paper_tone(const TapulReduced *reduced) {
    gsize n = (gsize)reduced->width * (gsize)reduced->height, histogram[256] = {0}, above = 0;
    for (gsize i = 0; i < n; i++)
        histogram[(guint8)reduced->grey[i]]++;
    int tone = 255;
    /* Margins take a fifth of most sheets; the white lid beside them seldom takes as much. */
    while (tone > 1 && (above += histogram[tone]) < n / 5)
        tone--;
    return (float)tone;
}

/* Dark pixels, but for what hangs together with the picture's rim: that is the scanner's bed.
 */
static GArray *ink_pixels(const TapulReduced *reduced, float paper) {
    gsize n = (gsize)reduced->width * (gsize)reduced->height;
    int width = reduced->width, height = reduced->height, regions = 0;
    g_autofree guint8 *dark = g_new(guint8, n);
    for (gsize i = 0; i < n; i++)
        dark[i] = reduced->grey[i] < INK_MOST * paper ? 255 : 0;
    g_autoptr(TapulVipsImage) image =
        vips_image_new_from_memory(dark, n, width, height, 1, VIPS_FORMAT_UCHAR);
    VipsImage *labelled = NULL;
    vips_labelregions(image, &labelled, "segments", &regions, NULL);
    size_t size;
    g_autofree gint32 *labels = vips_image_write_to_memory(labelled, &size);
    g_object_unref(labelled);
    g_autofree gboolean *at_rim = g_new0(gboolean, regions);
    for (int x = 0; x < width; x++)
        at_rim[labels[x]] = at_rim[labels[(height - 1) * width + x]] = TRUE;
    for (int y = 0; y < height; y++)
        at_rim[labels[y * width]] = at_rim[labels[y * width + width - 1]] = TRUE;
    GArray *pixels = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (gsize i = 0; i < n; i++)
        if (dark[i] && !at_rim[labels[i]]) {
            TapulVec2 px = {(double)(i % (gsize)width) + 0.5, (double)(i / (gsize)width) + 0.5};
            g_array_append_val(pixels, px);
        }
    return pixels;
}

/* --- Edges --- */

static int edge_x(const Edges *edges, const Edge *edge, int y) {
    int x = (int)floor(edge->middle + edge->slope * (y + 0.5 - edges->steps->height / 2.0));
    return CLAMP(x, 1, edges->steps->width - 2);
}

static void count_ink(const Edges *edges, Edge *edge, const GArray *ink, gboolean turned) {
    guint stride = MAX(1, ink->len / INK_SAMPLES), n = 0, before = 0;
    for (guint i = 0; i < ink->len; i += stride, n++) {
        TapulVec2 px = g_array_index(ink, TapulVec2, i);
        double across = turned ? px.y : px.x, down = turned ? px.x : px.y;
        before += across < edge->middle + edge->slope * (down - edges->steps->height / 2.0);
    }
    edge->ink_before = n > 0 ? (double)before / n : 0;
    edge->ink_behind = n > 0 ? 1 - edge->ink_before : 0;
}

static int compare(const void *a, const void *b) {
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

static float strongest_step(const TapulSteps *steps, int x, int y) {
    float most = 0;
    for (int k = MAX(0, x - NEAR_PX); k <= MIN(steps->width - 1, x + NEAR_PX); k++)
        most = fmaxf(most, fabsf(steps->step[(gsize)y * (gsize)steps->width + (gsize)k]));
    return most;
}

/* The lightest from near to far of x, which is the paper if there is any. */
static float paper_beside(const Edges *edges, int x, int y, int side) {
    float most = 0;
    for (int k = NEAR_PX; k <= 2 * NEAR_PX; k++) {
        int at = CLAMP(x + side * k, 0, edges->steps->width - 1);
        most = fmaxf(most, edges->grey[(gsize)y * (gsize)edges->steps->width + (gsize)at]);
    }
    return most;
}

static float middle_of(float *values, int n) {
    qsort(values, (gsize)n, sizeof *values, compare);
    return n > 0 ? values[n / 2] : 0;
}

/* TRUE where an edge is faint from one row to another: the strongest step close to it, in the
 * middle of the rows that show one. side: where the plate is, 1 behind it, -1 before it, 0 not
 * known; its paper is not lighter than the margin's then, nor much darker. */
static gboolean is_faint(const Edges *edges, const Edge *edge, int from, int to, int side) {
    const TapulSteps *steps = edges->steps;
    g_autofree float *strongest = g_new(float, steps->height),
                     *tone = g_new(float, steps->height);
    int n = 0;
    for (int y = MAX(0, from); y < MIN(to, steps->height); y++) {
        int x = edge_x(edges, edge, y);
        float most = strongest_step(steps, x, y);
        if (most < steps->most / 2)
            continue;
        strongest[n] = most;
        tone[n++] = paper_beside(edges, x, y, side) - paper_beside(edges, x, y, -side);
    }
    float film = -middle_of(tone, n) / edges->paper;
    return middle_of(strongest, n) < FAINT_MOST * edges->paper && film <= FILM_MOST &&
           film >= -LIGHTER_MOST;
}

static void add_edge(Edges *edges, int x, int slope, const GArray *ink, gboolean turned) {
    const TapulSteps *steps = edges->steps;
    Edge *edge = &edges->edges[edges->n];
    *edge = (Edge){.middle = x + 0.5, .slope = tapul_steps_slope(steps, slope)};
    if (!is_faint(edges, edge, 0, steps->height, 0))
        return;
    edge->seen = g_new(float, steps->height + 1);
    edge->seen[0] = 0;
    for (int y = 0; y < steps->height; y++)
        edge->seen[y + 1] =
            edge->seen[y] + tapul_steps_cut(steps, edge_x(edges, edge, y), y) / steps->most;
    count_ink(edges, edge, ink, turned);
    edges->n++;
}

/* The best lines, one after the other, those of the same edge put aside. */
static void find_edges(Edges *edges, const GArray *ink, gboolean turned) {
    const TapulSteps *steps = edges->steps;
    gsize n = (gsize)steps->slopes * (gsize)steps->width;
    g_autofree float *left = g_new(float, n);
    for (gsize i = 0; i < n; i++)
        left[i] = fabsf(steps->sum[i]);
    /* Inked lines are passed over, and may be many. */
    for (int tries = 0; tries < 4 * EDGES_MOST && edges->n < EDGES_MOST; tries++) {
        gsize best = 0;
        for (gsize i = 1; i < n; i++)
            best = left[i] > left[best] ? i : best;
        int slope = (int)(best / (gsize)steps->width), x = (int)(best % (gsize)steps->width);
        if (left[best] < SEEN_LEAST * SIDE_LEAST * steps->most * (float)steps->height)
            return;
        add_edge(edges, x, slope, ink, turned);
        for (int s = MAX(0, slope - SAME_EDGE_SLOPES);
             s <= MIN(steps->slopes - 1, slope + SAME_EDGE_SLOPES); s++)
            for (int k = MAX(0, x - SAME_EDGE_PX); k <= MIN(steps->width - 1, x + SAME_EDGE_PX);
                 k++)
                left[(gsize)s * (gsize)steps->width + (gsize)k] = 0;
    }
}

static void clear_edges(Edges *edges) {
    for (int i = 0; i < edges->n; i++)
        g_free(edges->edges[i].seen);
}

/* --- Rectangles --- */

/* Where an upright edge meets a level one, whose x and y have changed places. */
static TapulVec2 meet(const Edges *upright, const Edge *a, const Edges *level, const Edge *b) {
    double a_middle = a->middle - a->slope * upright->steps->height / 2.0;
    double b_middle = b->middle - b->slope * level->steps->height / 2.0;
    double x = (a_middle + a->slope * b_middle) / (1 - a->slope * b->slope);
    return tapul_vec2(x, b_middle + b->slope * x);
}

static double seen_between(const Edges *edges, const Edge *edge, double from, double to) {
    int height = edges->steps->height;
    int a = CLAMP((int)lround(from), 0, height), b = CLAMP((int)lround(to), 0, height);
    return b > a ? fabs(edge->seen[b] - edge->seen[a]) / (b - a) : 0;
}

/* Adds how well a side is seen from corner to corner, less how well it goes on beyond them;
 * FALSE where it is not seen, or is no dent's. */
static gboolean add_quality(const Edges *edges, const Edge *edge, double from, double to,
                            int side, Rectangle *rectangle) {
    int height = edges->steps->height;
    double length = to - from, seen = seen_between(edges, edge, from, to),
           least = BEYOND_LEAST * length;
    if (seen < fmax(SEEN_LEAST, CHANCE / sqrt(length)) ||
        !is_faint(edges, edge, (int)from, (int)to, side))
        return FALSE;
    double before = from > least ? seen_between(edges, edge, 0, from) : 0;
    double behind = height - to > least ? seen_between(edges, edge, to, height) : 0;
    double quality = seen - fmax(before, behind);
    if (quality < CLEAR_LEAST)
        return FALSE;
    rectangle->quality += quality;
    rectangle->worst = fmin(rectangle->worst, quality);
    return TRUE;
}

static gboolean are_square(const Edge *left, const Edge *right, const Edge *top,
                           const Edge *bottom) {
    return fabs(left->slope - right->slope) < SQUARE_TOLERANCE &&
           fabs(top->slope - bottom->slope) < SQUARE_TOLERANCE &&
           fabs(left->slope + top->slope) < SQUARE_TOLERANCE &&
           fabs(right->slope + bottom->slope) < SQUARE_TOLERANCE;
}

static gboolean is_within(const Rectangle *rectangle, int width, int height) {
    for (int i = 0; i < 4; i++)
        if (rectangle->px[i].x < 0 || rectangle->px[i].y < 0 || rectangle->px[i].x > width ||
            rectangle->px[i].y > height)
            return FALSE;
    return TRUE;
}

/* FALSE where the four cannot be a plate mark. */
static gboolean make_rectangle(const Edges *upright, const Edges *level,
                               const Edge *const side[4], double aspect, Rectangle *rectangle) {
    const Edge *left = side[0], *right = side[1], *top = side[2], *bottom = side[3];
    int width = upright->steps->width, height = level->steps->width;
    if (!are_square(left, right, top, bottom) ||
        left->ink_before + right->ink_behind + top->ink_before + bottom->ink_behind >
            OUTSIDE_MOST)
        return FALSE;
    TapulVec2 *px = rectangle->px;
    px[0] = meet(upright, left, level, bottom);
    px[1] = meet(upright, right, level, bottom);
    px[2] = meet(upright, right, level, top);
    px[3] = meet(upright, left, level, top);
    double across = (tapul_vec2_distance(px[0], px[1]) + tapul_vec2_distance(px[3], px[2])) / 2;
    double up = (tapul_vec2_distance(px[0], px[3]) + tapul_vec2_distance(px[1], px[2])) / 2;
    if (px[1].x - px[0].x < SIDE_LEAST * width || px[0].y - px[3].y < SIDE_LEAST * height ||
        !is_within(rectangle, width, height) ||
        (aspect > 0 && fabs(across / up / aspect - 1) > ASPECT_TOLERANCE))
        return FALSE;
    rectangle->area = across * up;
    rectangle->quality = 0;
    rectangle->worst = 1;
    return add_quality(upright, left, px[3].y, px[0].y, 1, rectangle) &&
           add_quality(upright, right, px[2].y, px[1].y, -1, rectangle) &&
           add_quality(level, top, px[3].x, px[2].x, 1, rectangle) &&
           add_quality(level, bottom, px[0].x, px[1].x, -1, rectangle);
}

static void try_all(const Edges *upright, const Edges *level, double aspect,
                    GArray *rectangles) {
    Rectangle rectangle;
    for (int l = 0; l < upright->n; l++)
        for (int r = 0; r < upright->n; r++)
            for (int t = 0; t < level->n && upright->edges[l].middle < upright->edges[r].middle;
                 t++)
                for (int b = 0; b < level->n; b++) {
                    const Edge *const side[4] = {&upright->edges[l], &upright->edges[r],
                                                 &level->edges[t], &level->edges[b]};
                    if (side[2]->middle < side[3]->middle &&
                        make_rectangle(upright, level, side, aspect, &rectangle))
                        g_array_append_val(rectangles, rectangle);
                }
}

static gboolean are_same(const Rectangle *a, const Rectangle *b) {
    for (int i = 0; i < 4; i++)
        if (tapul_vec2_distance(a->px[i], b->px[i]) > SAME_CORNER_PX)
            return FALSE;
    return TRUE;
}

static const Rectangle *choose(const GArray *rectangles) {
    const Rectangle *all = (const Rectangle *)rectangles->data, *smallest = NULL;
    double best = 0;
    for (guint i = 0; i < rectangles->len; i++)
        best = fmax(best, all[i].worst);
    for (guint i = 0; i < rectangles->len; i++)
        if (all[i].worst >= AS_GOOD * best && (!smallest || all[i].area < smallest->area))
            smallest = &all[i];
    /* The same may have been found several times, with one side or another a little askew. */
    const Rectangle *chosen = smallest;
    for (guint i = 0; i < rectangles->len; i++)
        if (are_same(&all[i], smallest) && all[i].quality > chosen->quality)
            chosen = &all[i];
    return chosen;
}

static gboolean place(const TapulPixels *pixels, const Rectangle *rough, int times,
                      TapulCorners *corners) {
    TapulVec2 side[4][2];
    for (int i = 0; i < 4; i++) {
        side[i][0] = tapul_vec2_scale(rough->px[i], times);
        side[i][1] = tapul_vec2_scale(rough->px[(i + 1) % 4], times);
        if (!tapul_scan_refine_side(pixels, fmax(1, DENT_UNIT * times), side[i]))
            return FALSE;
    }
    for (int i = 0; i < 4; i++) {
        const TapulVec2 *a = side[(i + 3) % 4], *b = side[i];
        TapulVec2 along_a = tapul_vec2_sub(a[1], a[0]), along_b = tapul_vec2_sub(b[1], b[0]);
        double t = tapul_vec2_cross(tapul_vec2_sub(b[0], a[0]), along_b) /
                   tapul_vec2_cross(along_a, along_b);
        corners->px[i] = tapul_vec2_mix(a[0], a[1], t);
    }
    return TRUE;
}

gboolean tapul_scan_find_mark(const TapulPixels *pixels, double aspect, TapulCorners *corners) {
    g_autoptr(TapulReduced) reduced = tapul_reduced_new(pixels),
                            turned = tapul_reduced_turned(reduced);
    g_autoptr(TapulSteps) down = tapul_steps_new(reduced), across = tapul_steps_new(turned);
    float paper = paper_tone(reduced);
    Edges upright = {.steps = down, .grey = reduced->grey, .paper = paper};
    Edges level = {.steps = across, .grey = turned->grey, .paper = paper};
    g_autoptr(GArray) ink = ink_pixels(reduced, paper);
    g_autoptr(GArray) rectangles = g_array_new(FALSE, FALSE, sizeof(Rectangle));
    find_edges(&upright, ink, FALSE);
    find_edges(&level, ink, TRUE);
    try_all(&upright, &level, aspect, rectangles);
    const Rectangle *rough = choose(rectangles);
    gboolean found = rough && place(pixels, rough, reduced->times, corners);
    clear_edges(&upright);
    clear_edges(&level);
    return found;
}
