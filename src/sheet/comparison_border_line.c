/* A border's middle line, point by point: where it is straightest, where it turns tightest.
 *
 * comparison_border.c shows those places.
 */
#include "sheet/comparison_border.h"

/* Points lie about so far apart on the metal, and no repeat has fewer or more than this. */
#define POINT_STEP_MM    1.5
#define LEAST_PER_REPEAT 6
#define MOST_PER_REPEAT  80
/* So many repeats are followed over the start of a run that comes round: a stretch or a turn
 * may lie there. */
#define OVER_START 3
/* Neighbours further apart than this many steps have a seam, or the end of a run, between them.
 */
#define JUMP_STEPS 3.0
/* Stretches that turn no more than this beyond the straightest are as straight to the eye. */
#define AS_STRAIGHT_RAD (3 * G_PI / 180)

static const TapulCaseLaid *laid_of(const TapulBorderLine *line) {
    return g_ptr_array_index(line->comparison->laid, line->laying);
}

const TapulBorderPoint *tapul_border_point(const TapulBorderLine *line, int i) {
    return &g_array_index(line->points, TapulBorderPoint, i);
}

/* A reversed print runs from the end of its run: its points are taken the other way, so that
 * the border's top is always to the left of them. */
static TapulVec2 print_point(const TapulBorderLine *line, int i, double share) {
    int from_start = line->reversed ? line->n_points - 1 - i : i;
    return tapul_vec2(line->repeat_mm * from_start / line->per_repeat, share * line->height_mm);
}

gboolean tapul_border_rim(const TapulBorderLine *line, int i, double share,
                          TapulVec2 *developed_mm) {
    return tapul_laying_developed(laid_of(line)->map, print_point(line, i, share),
                                  developed_mm);
}

static TapulBorderPoint point_at(const TapulBorderLine *line, int i) {
    const TapulCase *question = line->comparison->question;
    TapulBorderPoint point = {0};
    TapulSpot spot;
    if (!tapul_laying_spot(laid_of(line)->map, print_point(line, i, 0.5), &spot))
        return point;
    point.on_plate = TRUE;
    point.developed_mm = tapul_development_point_mm(question->development, spot);
    point.facing = tapul_mesh_smooth_normal(tapul_plate_mesh(question->plate), spot).z;
    return point;
}

/* From one direction to the next, in (-pi, pi]. */
static double turn_between(TapulVec2 a, TapulVec2 b) {
    return atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b));
}

static void join(TapulBorderLine *line) {
    double step_mm = line->repeat_mm * line->scale / line->per_repeat;
    TapulVec2 before = {0, 0};
    for (guint i = 1; i < line->points->len; i++) {
        TapulBorderPoint *one = &g_array_index(line->points, TapulBorderPoint, i - 1);
        TapulBorderPoint *next = &g_array_index(line->points, TapulBorderPoint, i);
        TapulVec2 way = tapul_vec2_sub(next->developed_mm, one->developed_mm);
        next->joined =
            one->on_plate && next->on_plate && tapul_vec2_length(way) <= JUMP_STEPS * step_mm;
        next->turned_rad = one->turned_rad;
        if (next->joined && one->joined)
            next->turned_rad += turn_between(before, way);
        before = way;
    }
}

TapulBorderLine *tapul_border_line_new(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulBorderOptions *border = &asked->options.border;
    TapulBorderLine *line = g_new0(TapulBorderLine, 1);
    line->comparison = comparison;
    line->laying = laying;
    line->repeat_mm = border->repeat_mm > 0 ? border->repeat_mm : border->width_mm;
    line->height_mm = border->height_mm;
    line->scale = asked->options.scale;
    line->reversed = asked->options.reversed;
    line->repeats = tapul_laying_run(laid_of(line)->map).repeats;
    line->per_repeat = (int)CLAMP(ceil(line->repeat_mm * line->scale / POINT_STEP_MM),
                                  LEAST_PER_REPEAT, MOST_PER_REPEAT);
    line->points = g_array_new(FALSE, FALSE, sizeof(TapulBorderPoint));
    line->n_points = line->repeats * line->per_repeat + 1;
    for (int i = 0; i < line->n_points + OVER_START * line->per_repeat; i++) {
        TapulBorderPoint point = point_at(line, i);
        g_array_append_val(line->points, point);
    }
    join(line);
    return line;
}

void tapul_border_line_free(TapulBorderLine *line) {
    g_array_unref(line->points);
    g_free(line);
}

/* --- Places --- */

typedef struct {
    double bend_rad; /* between the directions furthest from each other */
    double facing;   /* in the mean */
} Stretch;

static gboolean measure_stretch(const TapulBorderLine *line, int first, int n,
                                Stretch *stretch) {
    double least = INFINITY, most = -INFINITY, facing = 0;
    int last = first + n * line->per_repeat;
    if (last >= (int)line->points->len)
        return FALSE;
    for (int i = first; i <= last; i++) {
        const TapulBorderPoint *point = tapul_border_point(line, i);
        if (!point->on_plate || (i > first && !point->joined))
            return FALSE;
        /* The direction into the first point is not of the stretch. */
        if (i > first) {
            least = fmin(least, point->turned_rad);
            most = fmax(most, point->turned_rad);
        }
        facing += point->facing / (last - first + 1);
    }
    *stretch = (Stretch){most - least, facing};
    return TRUE;
}

int tapul_border_straightest(const TapulBorderLine *line, int n) {
    double straightest = INFINITY, best = -INFINITY;
    int chosen = -1;
    Stretch stretch;
    for (int k = 0; k < line->repeats; k++)
        if (measure_stretch(line, k * line->per_repeat, n, &stretch))
            straightest = fmin(straightest, stretch.bend_rad);
    for (int k = 0; k < line->repeats; k++)
        if (measure_stretch(line, k * line->per_repeat, n, &stretch) &&
            stretch.bend_rad <= straightest + AS_STRAIGHT_RAD && stretch.facing > best) {
            best = stretch.facing;
            chosen = k * line->per_repeat;
        }
    return chosen;
}

static gboolean joined_between(const TapulBorderLine *line, int first, int last) {
    for (int i = first + 1; i <= last; i++)
        if (!tapul_border_point(line, i)->joined)
            return FALSE;
    return TRUE;
}

int tapul_border_tightest(const TapulBorderLine *line, double *turn_rad) {
    double step_mm = line->repeat_mm / line->per_repeat;
    int half = MAX((int)lround(line->height_mm / step_mm / 2), 1), tightest = -1;
    *turn_rad = 0;
    for (int i = half; i + half < (int)line->points->len; i++) {
        double turn = fabs(tapul_border_point(line, i + half)->turned_rad -
                           tapul_border_point(line, i - half)->turned_rad);
        if ((tightest < 0 || turn > *turn_rad) && joined_between(line, i - half, i + half)) {
            *turn_rad = turn;
            tightest = i;
        }
    }
    return tightest;
}
