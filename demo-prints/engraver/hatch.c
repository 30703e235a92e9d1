/* Hatching: builds each line of a family, looks where it shows and how dark the form is
 * there, and lays it down in pieces of fitting width with dots at the light end. */
#include "hatch.h"

#include <math.h>

#include "ink.h"

#define SAMPLE_STEP 0.11
#define NOT_SHOWN   (-10.0)
#define LIFTED      (-1.0) /* as light as can be: no line, and no touches */
/* mm of visible line; a shorter one is cut in one go and keeps one width */
#define LONGEST_EVEN 5.0

typedef struct Line {
    Curve *curve;
    double *surplus; /* tone above the threshold, or NOT_SHOWN */
    int *level;
    guint count;
    Stroke *strokes; /* one for each step of width: what is interrupted stays one line */
} Line;

Hatch hatch_plain(double spacing) {
    return (Hatch){.spacing = spacing,
                   .gather = 1,
                   .thin = 0.09,
                   .thick = 0.22,
                   .threshold = 0.2,
                   .full = 0.8,
                   .unsteady = 0.07,
                   .widths = 3,
                   .dots = 0.32};
}

void hatch_rule(Hatch *hatch, const Shape *shape, double degrees, double bow) {
    Point centre = {(shape->left + shape->right) / 2, (shape->top + shape->bottom) / 2};
    double reach = 0.52 * hypot(shape->right - shape->left, shape->bottom - shape->top);
    double angle = degrees * G_PI / 180;
    Point along = {cos(angle), sin(angle)}, aside = {-sin(angle), cos(angle)};
    Curve *guides[2];
    for (int side = 0; side < 2; side++) {
        guides[side] = curve_new(false);
        for (int i = -12; i <= 12; i++) {
            double share = i / 12.0;
            double away =
                (side == 0 ? -1 : 1) * (reach + fabs(bow)) + bow * (1 - share * share);
            Point at = point_add(centre, point_scale(along, share * reach));
            curve_append(guides[side], point_add(at, point_scale(aside, away)));
        }
    }
    hatch->first = guides[0];
    hatch->last = guides[1];
    hatch->across = false;
}

static Point along_line(const Hatch *hatch, double place, double share) {
    return point_mix(curve_at(hatch->first, share), curve_at(hatch->last, share), place);
}

/* Beyond its ends a guide runs straight on, so that leaning rungs do not crowd there. */
static Point beyond_ends(const Curve *guide, double share) {
    if (guide->closed)
        return curve_at(guide, share - floor(share));
    Point at = curve_at(guide, share);
    double excess = share < 0 ? share : (share > 1 ? share - 1 : 0);
    if (excess == 0)
        return at;
    return point_add(at, point_scale(curve_direction(guide, CLAMP(share, 0, 1)),
                                     excess * curve_length(guide)));
}

static Point rung(const Hatch *hatch, double place, double share) {
    Point from = beyond_ends(hatch->first, place);
    Point to = beyond_ends(hatch->last, place + hatch->lean);
    Point tangent = point_unit(
        point_add(curve_direction(hatch->first, place), curve_direction(hatch->last, place)));
    double bow = hatch->bulge * point_distance(from, to) * 4 * share * (1 - share);
    return point_add(point_mix(from, to, share), point_scale(tangent, bow));
}

/* Where a line ruled by hand runs: it sags a little, each in its own way. */
static Point ruled_place(const Sheet *sheet, Point at, uint64_t number) {
    at = hand_drift(&sheet->hand, at, 26, 0.34, 21);
    at = hand_drift(&sheet->hand, at, 15, 0.085, 100 + number);
    return hand_drift(&sheet->hand, at, 2.6, 0.022, 900 + number);
}

static Curve *family_line(Sheet *sheet, const Hatch *hatch, double place, uint64_t number) {
    Curve *coarse = curve_new(false);
    const int coarse_steps = 14;
    for (int i = 0; i <= coarse_steps; i++) {
        double share = (double)i / coarse_steps;
        curve_append(coarse, hatch->across ? rung(hatch, place, share)
                                           : along_line(hatch, place, share));
    }
    Curve *smooth = curve_through((const Point *)(const void *)coarse->points->data,
                                  curve_count(coarse), false);
    Curve *line = curve_new(false);
    for (guint i = 0; i < curve_count(smooth); i++) {
        if (hatch->ruled) {
            curve_append(line, ruled_place(sheet, curve_point(smooth, i), number));
            continue;
        }
        Point at = hand_drift(&sheet->hand, curve_point(smooth, i), 4.5, hatch->unsteady, 20);
        curve_append(line, hand_drift(&sheet->hand, at, 1.9, 0.018, 100 + number));
    }
    return line;
}

static double tone_surplus(const Sheet *sheet, const Shape *shape, const Tone *tone,
                           Point point, double threshold) {
    if (!shape_holds(shape, point) || !sheet_shows(sheet, point))
        return NOT_SHOWN;
    return tone_at(sheet, tone, point) - threshold;
}

static int level_for(const Hatch *hatch, double surplus) {
    double share = surplus / (hatch->full - hatch->threshold);
    return (int)CLAMP(floor(share * hatch->widths), 0, hatch->widths - 1);
}

/* A short line keeps one width, whatever interrupts it: the burin is not changed within it. */
static void even_out(Line *line) {
    guint shown = 0, sum = 0;
    for (guint i = 0; i < line->count; i++)
        if (line->surplus[i] > 0) {
            shown++;
            sum += (guint)line->level[i];
        }
    if (shown == 0 || shown * SAMPLE_STEP > LONGEST_EVEN)
        return;
    int middling = (int)((sum + shown / 2) / shown);
    for (guint i = 0; i < line->count; i++)
        line->level[i] = middling;
}

/* In a long line short changes of width are swallowed, so that a stroke is not chopped up
 * needlessly. */
static void settle_levels(Line *line, guint first, guint last) {
    const guint shortest = 14;
    guint start = first;
    for (guint i = first + 1; i <= last + 1; i++) {
        if (i <= last && line->level[i] == line->level[start])
            continue;
        if (i - start < shortest && start > first)
            for (guint j = start; j < i; j++)
                line->level[j] = line->level[start - 1];
        start = i;
    }
    guint lead = first;
    while (lead <= last && line->level[lead] == line->level[first])
        lead++;
    if (lead <= last && lead - first < shortest)
        for (guint j = first; j < lead; j++)
            line->level[j] = line->level[lead];
}

static Point hard_end(const Sheet *sheet, const Shape *shape, Point shown, Point hidden) {
    for (int i = 0; i < 9; i++) {
        Point middle = point_mix(shown, hidden, 0.5);
        if (shape_holds(shape, middle) && sheet_shows(sheet, middle))
            shown = middle;
        else
            hidden = middle;
    }
    return shown;
}

/* Touches beyond the end of a line, smaller and smaller as the light grows. */
static void touches(Sheet *sheet, const Line *line, guint end, int direction) {
    const guint gaps[] = {3, 2, 3, 1};
    gint64 at = end;
    for (int touch = 0; touch < 2; touch++) {
        gint64 from = at + direction * (gint64)gaps[touch * 2];
        gint64 to = from + direction * (gint64)gaps[touch * 2 + 1];
        if (from < 0 || to < 0 || from >= line->count || to >= line->count ||
            line->surplus[from] == NOT_SHOWN || line->surplus[to] == NOT_SHOWN ||
            line->surplus[to] < -0.22)
            return;
        Curve *dash = curve_new(false);
        curve_append(dash, curve_point(line->curve, (guint)from));
        curve_append(dash, touch == 0 ? curve_point(line->curve, (guint)to)
                                      : point_mix(curve_point(line->curve, (guint)from),
                                                  curve_point(line->curve, (guint)to), 0.4));
        ink_append_piece(sheet, &line->strokes[0], dash);
        at = to;
        if (hand_random(&sheet->hand) < 0.5)
            return;
    }
}

static void lay_pieces(const Sheet *sheet, const Line *line, guint first, guint last,
                       const Point *head, const Point *tail) {
    guint start = first;
    for (guint i = first + 1; i <= last + 1; i++) {
        if (i <= last && line->level[i] == line->level[start])
            continue;
        Curve *piece = curve_new(false);
        if (start == first && head != NULL)
            curve_append(piece, *head);
        for (guint j = start; j <= MIN(i, last); j++)
            curve_append(piece, curve_point(line->curve, j));
        if (i > last && tail != NULL)
            curve_append(piece, *tail);
        ink_append_piece(sheet, &line->strokes[line->level[start]], piece);
        start = i;
    }
}

static void lay_run(Sheet *sheet, const Shape *shape, const Hatch *hatch, Line *line,
                    guint first, guint last) {
    bool soft_start = first == 0 || line->surplus[first - 1] != NOT_SHOWN;
    bool soft_end = last + 1 == line->count || line->surplus[last + 1] != NOT_SHOWN;
    Point head, tail;
    if (!soft_start)
        head = hard_end(sheet, shape, curve_point(line->curve, first),
                        curve_point(line->curve, first - 1));
    if (!soft_end)
        tail = hard_end(sheet, shape, curve_point(line->curve, last),
                        curve_point(line->curve, last + 1));
    if (last - first < 4)
        return;
    settle_levels(line, first, last);
    lay_pieces(sheet, line, first, last, soft_start ? NULL : &head, soft_end ? NULL : &tail);
    if (soft_start && first > 0 && hand_random(&sheet->hand) < hatch->dots)
        touches(sheet, line, first, -1);
    if (soft_end && last + 1 < line->count && hand_random(&sheet->hand) < hatch->dots)
        touches(sheet, line, last, 1);
}

/* Lines farther apart are cut deeper, so that the tone stays the same. */
static Line line_new(const Hatch *hatch, Curve *curve, double coarseness) {
    Line line = {.curve = curve, .count = curve_count(curve)};
    line.surplus = g_new(double, line.count);
    line.level = g_new(int, line.count);
    line.strokes = g_new(Stroke, hatch->widths);
    for (int level = 0; level < hatch->widths; level++) {
        double share = (level + 0.25) / (hatch->widths - 0.5);
        double width = hatch->thin + (hatch->thick - hatch->thin) * share;
        line.strokes[level] = stroke_new(width * sqrt(coarseness));
    }
    return line;
}

static void line_finish(Sheet *sheet, const Hatch *hatch, Line *line) {
    for (int level = 0; level < hatch->widths; level++)
        sheet_take_stroke(sheet, line->strokes[level]);
    g_free(line->strokes);
    g_free(line->surplus);
    g_free(line->level);
}

/* The burin is lifted where the arm has come to its end and set in again a little further on,
 * not always quite in line; between, its pressure rises and falls. */
static void rule_by_hand(Sheet *sheet, const Hatch *hatch, Line *line, uint64_t number) {
    double next = hand_between(&sheet->hand, 4, 44), aside = 0;
    for (guint i = 0; i < line->count; i++) {
        double travelled = i * SAMPLE_STEP;
        Point *at = &g_array_index(line->curve->points, Point, i);
        double pressure = hand_noise(&sheet->hand, at->x * 0.06, at->y * 0.06, 300 + number);
        double share = line->surplus[i] / (hatch->full - hatch->threshold) + 0.45 * pressure;
        line->level[i] = (int)CLAMP(floor(share * hatch->widths), 0, hatch->widths - 1);
        at->y += aside;
        if (travelled < next || line->surplus[i] <= 0)
            continue;
        guint gap = (guint)hand_between(&sheet->hand, 1, 2.3);
        for (guint j = i; j < MIN(i + gap, line->count); j++)
            line->surplus[j] = MIN(line->surplus[j], LIFTED);
        aside = hand_between(&sheet->hand, -0.06, 0.06);
        next = travelled + hand_between(&sheet->hand, 18, 70);
    }
}

static void lay_line(Sheet *sheet, const Shape *coarse_shape, const Hatch *hatch,
                     const Tone *tone, Curve *curve, uint64_t number) {
    double threshold = hatch->threshold + hand_between(&sheet->hand, -0.04, 0.05);
    Line line = line_new(hatch, curve, sheet->coarseness);
    for (guint i = 0; i < line.count; i++) {
        line.surplus[i] =
            tone_surplus(sheet, coarse_shape, tone, curve_point(curve, i), threshold);
        line.level[i] = level_for(hatch, line.surplus[i]);
    }
    if (hatch->ruled)
        rule_by_hand(sheet, hatch, &line, number);
    even_out(&line);
    guint i = 0;
    while (i < line.count) {
        if (line.surplus[i] <= 0) {
            i++;
            continue;
        }
        guint first = i;
        while (i < line.count && line.surplus[i] > 0)
            i++;
        lay_run(sheet, coarse_shape, hatch, &line, first, i - 1);
    }
    line_finish(sheet, hatch, &line);
}

static double guide_gap(const Hatch *hatch) {
    if (hatch->across)
        return (curve_length(hatch->first) + curve_length(hatch->last)) / 2;
    double gap = 0;
    for (int i = 0; i <= 4; i++)
        gap += point_distance(curve_at(hatch->first, i / 4.0), curve_at(hatch->last, i / 4.0));
    return gap / 5;
}

void hatch_shape(Sheet *sheet, const Shape *shape, const Hatch *hatch, const Tone *tone) {
    Shape *coarse_shape = shape_simplified(shape, 0.015);
    Tone own = *tone;
    if (own.shape != NULL)
        own.shape = shape_simplified(own.shape, 0.03);
    double count = fmax(2, guide_gap(hatch) / (hatch->spacing * sheet->coarseness));
    /* Leaning rungs start beyond an end, so that its corner is not left bare. */
    bool leaning = hatch->across && !hatch->first->closed;
    int early = leaning ? (int)ceil(fmax(0, hatch->lean) * count) : 0;
    int late = (int)count + (leaning ? (int)ceil(fmax(0, -hatch->lean) * count) : 0);
    for (int number = -early; number < late; number++) {
        double place = (number + 0.5 + hand_between(&sheet->hand, -0.1, 0.1)) / count;
        if (place > 0 && place < 1)
            place = pow(place, hatch->gather);
        lay_line(sheet, coarse_shape, hatch, &own,
                 family_line(sheet, hatch, place, (uint64_t)(number + early)),
                 (uint64_t)(number + early));
    }
}
