/* Ink: contour lines as tapered filled outlines, strokes as plain lines, both cut where a
 * nearer form hides them. */
#include "ink.h"

#include <math.h>

#include "fit.h"

#define CONTOUR_TOLERANCE 0.012
#define CONTOUR_DECIMALS  3
#define STROKE_DECIMALS                                                                        \
    2 /* a hundredth of a millimetre is less than a burin's unsteadiness                       \
       */
#define HEAVIEST_LINE    0.35 /* mm; a burin on a small plate cuts no wider */
#define STROKE_TOLERANCE 0.02
#define SHORTEST_PIECE   0.03 /* mm; shorter than a burin's point is wide */
#define CORNER_COSINE                                                                          \
    0.72 /* turns sharper than this end one burin stroke and begin another                     \
          */

typedef struct Weight {
    double light_width;
    double dark_width;
    double outward;     /* +1 or -1: which side of travel faces out; 0: swell by position */
    double taper_start; /* millimetres */
    double taper_end;
} Weight;

static const Point away_from_light = {0.66, 0.75};

static double ease(double value) {
    value = CLAMP(value, 0, 1);
    return value * value * (3 - 2 * value);
}

static double width_at(const Sheet *sheet, const Weight *weight, const Curve *line, guint index,
                       double travelled, double length) {
    Point here = hand_place(&sheet->hand, curve_point(line, index));
    double width;
    if (weight->outward == 0) {
        double share = length > 0 ? travelled / length : 0;
        width = weight->light_width + (weight->dark_width - weight->light_width) *
                                          pow(fmax(0, sin(G_PI * share)), 0.6);
    } else {
        Point tangent = curve_tangent_at_index(line, index);
        Point normal = {tangent.y * weight->outward, -tangent.x * weight->outward};
        double shade = 0.5 + 0.5 * point_dot(normal, away_from_light);
        width = weight->light_width + (weight->dark_width - weight->light_width) * ease(shade);
    }
    width *= 1 + 0.16 * hand_noise(&sheet->hand, here.x * 0.9, here.y * 0.9, 5);
    width = fmin(width, HEAVIEST_LINE);
    double start = weight->taper_start > 0 ? ease(travelled / weight->taper_start) : 1;
    double end = weight->taper_end > 0 ? ease((length - travelled) / weight->taper_end) : 1;
    return width * (0.12 + 0.88 * start * end);
}

static void append_side(GString *path, const GArray *side, bool first) {
    const Point *points = (const Point *)(const void *)side->data;
    g_string_append_c(path, first ? 'M' : 'L');
    fit_append_point(path, points[0], CONTOUR_DECIMALS);
    fit_append_curve(path, points, side->len, CONTOUR_TOLERANCE, CONTOUR_DECIMALS);
}

static bool runs_out(const Sheet *sheet, const GArray *points) {
    for (guint i = 0; i < points->len; i++) {
        double x = g_array_index(points, Point, i).x;
        if (x < 0 || x > sheet->width)
            return true;
    }
    return false;
}

/* Where the way from one point to the next crosses an upright line. */
static Point at_upright(Point from, Point to, double x) {
    return point_mix(from, to, (x - from.x) / (to.x - from.x));
}

/* The part of a ring on one side of an upright line (Sutherland and Hodgman 1974). */
static GArray *cut_ring(const GArray *ring, double x, double side) {
    GArray *kept = g_array_new(FALSE, FALSE, sizeof(Point));
    for (guint i = 0; i < ring->len; i++) {
        Point here = g_array_index(ring, Point, i);
        Point before = g_array_index(ring, Point, (i + ring->len - 1) % ring->len);
        bool holds = (here.x - x) * side >= 0;
        if (holds != ((before.x - x) * side >= 0)) {
            Point crossing = at_upright(before, here, x);
            g_array_append_val(kept, crossing);
        }
        if (holds)
            g_array_append_val(kept, here);
    }
    return kept;
}

/* A filled line that runs off the sheet is cut where the sheet ends. */
static void append_cut_ring(const Sheet *sheet, GString *path, const GArray *ring) {
    GArray *right_of_start = cut_ring(ring, 0, 1);
    GArray *kept = cut_ring(right_of_start, sheet->width, -1);
    for (guint i = 0; kept->len > 2 && i < kept->len; i++) {
        g_string_append_c(path, i == 0 ? 'M' : 'L');
        fit_append_point(path, g_array_index(kept, Point, i), CONTOUR_DECIMALS);
    }
    if (kept->len > 2)
        g_string_append_c(path, 'Z');
    g_array_free(right_of_start, TRUE);
    g_array_free(kept, TRUE);
}

/* Long straight spans need points along them, or a taper would thin the whole of them. */
static Curve *closely_spaced(const Curve *line) {
    const double farthest = 0.16;
    Curve *close = curve_new(false);
    for (guint i = 0; i + 1 < curve_count(line); i++) {
        Point from = curve_point(line, i), to = curve_point(line, i + 1);
        int parts = (int)fmax(1, ceil(point_distance(from, to) / farthest));
        for (int k = 0; k < parts; k++)
            curve_append(close, point_mix(from, to, (double)k / parts));
    }
    curve_append(close, curve_point(line, curve_count(line) - 1));
    return close;
}

/* Lays a line of changing width down as one closed outline. */
static void lay_tapered(Sheet *sheet, const Curve *sparse, const Weight *weight) {
    if (curve_count(sparse) < 2)
        return;
    const Curve *line = closely_spaced(sparse);
    guint count = curve_count(line);
    double length = curve_length(line), travelled = 0;
    if (count < 2 || length < 0.08)
        return;
    GArray *left = g_array_new(FALSE, FALSE, sizeof(Point));
    GArray *right = g_array_new(FALSE, FALSE, sizeof(Point));
    for (guint i = 0; i < count; i++) {
        Point here = curve_point(line, i);
        if (i > 0)
            travelled += point_distance(here, curve_point(line, i - 1));
        Point tangent = curve_tangent_at_index(line, i);
        double half = width_at(sheet, weight, line, i, travelled, length) / 2;
        Point side = {tangent.y * half, -tangent.x * half};
        Point outer = point_add(here, side), inner = point_subtract(here, side);
        g_array_append_val(left, outer);
        g_array_prepend_val(right, inner);
    }
    GString *path = g_string_new(NULL);
    if (runs_out(sheet, left) || runs_out(sheet, right)) {
        g_array_append_vals(left, right->data, right->len);
        append_cut_ring(sheet, path, left);
    } else {
        append_side(path, left, true);
        append_side(path, right, false);
        g_string_append_c(path, 'Z');
    }
    if (path->len > 0)
        sheet_add_fill(sheet, path->str);
    g_string_free(path, TRUE);
    g_array_free(left, TRUE);
    g_array_free(right, TRUE);
}

static bool is_corner(const Curve *line, guint index) {
    Point before =
        point_unit(point_subtract(curve_point(line, index), curve_point(line, index - 1)));
    Point after =
        point_unit(point_subtract(curve_point(line, index + 1), curve_point(line, index)));
    return point_dot(before, after) < CORNER_COSINE;
}

/* A line is cut into separate strokes at its corners, each lightly tapered, as a burin is
 * lifted and set down again. */
static void lay_strokes(Sheet *sheet, const Curve *line, Weight weight) {
    guint count = curve_count(line), start = 0;
    double natural_start = weight.taper_start, natural_end = weight.taper_end;
    for (guint i = 1; i < count; i++) {
        bool last = i == count - 1;
        if (!last && !is_corner(line, i))
            continue;
        Curve *stroke = curve_new(false);
        for (guint j = start; j <= i; j++)
            curve_append(stroke, curve_point(line, j));
        weight.taper_start = start == 0 ? natural_start : 0.25;
        weight.taper_end = last ? natural_end : 0.25;
        lay_tapered(sheet, stroke, &weight);
        start = i;
    }
}

static void lay_visible(Sheet *sheet, const Curve *line, const Weight *weight, double taper) {
    GPtrArray *pieces = sheet_visible_pieces(sheet, line);
    for (guint i = 0; i < pieces->len; i++) {
        Curve *piece = g_ptr_array_index(pieces, i);
        Weight own = *weight;
        own.taper_start = piece->start_cut ? 0.15 : taper;
        own.taper_end = piece->end_cut ? 0.15 : taper;
        lay_strokes(sheet, piece, own);
    }
    g_ptr_array_free(pieces, TRUE);
}

/* Starts a closed line somewhere else than it was plotted, and lets its ends overlap. */
static Curve *opened_ring(Sheet *sheet, const Curve *ring) {
    guint count = curve_count(ring);
    guint start = (guint)(hand_random(&sheet->hand) * count);
    guint best = start;
    for (guint i = 1; i + 1 < count; i++)
        if (is_corner(ring, i)) {
            best = i;
            break;
        }
    Curve *line = curve_new(false);
    guint overlap = best == start ? MIN(3u, count - 1) : 0;
    for (guint i = 0; i <= count + overlap; i++)
        curve_append(line, curve_point(ring, (best + i) % count));
    return line;
}

void ink_contour(Sheet *sheet, const Shape *shape, double light_width, double dark_width) {
    for (guint i = 0; i < shape->rings->len; i++) {
        Curve *ring = g_ptr_array_index(shape->rings, i);
        double outward = curve_signed_area(ring) > 0 ? 1 : -1;
        Weight weight = {light_width, dark_width, i == 0 ? outward : -outward, 0, 0};
        lay_visible(sheet, opened_ring(sheet, ring), &weight, 0.3);
    }
}

void ink_edge(Sheet *sheet, const Curve *curve, double light_width, double dark_width,
              double outward) {
    Weight weight = {light_width, dark_width, outward, 0, 0};
    lay_visible(sheet, curve, &weight, 0.3);
}

void ink_edge_running(Sheet *sheet, const Curve *curve, double light_width, double dark_width,
                      double outward) {
    Weight weight = {light_width, dark_width, outward, 0, 0};
    lay_visible(sheet, curve, &weight, 0);
}

void ink_line(Sheet *sheet, const Curve *curve, double width) {
    Weight weight = {width * 0.35, width, 0, 0, 0};
    lay_visible(sheet, curve, &weight, MIN(1.0, curve_length(curve) * 0.3));
}

void ink_flick(Sheet *sheet, const Curve *curve, double width) {
    GPtrArray *pieces = sheet_visible_pieces(sheet, curve);
    double whole = curve_length(curve);
    for (guint i = 0; i < pieces->len; i++) {
        Curve *piece = g_ptr_array_index(pieces, i);
        Weight weight = {width, width, 0, 0.1, piece->end_cut ? 0.15 : whole * 0.8};
        lay_tapered(sheet, piece, &weight);
    }
    g_ptr_array_free(pieces, TRUE);
}

static void append_whole_piece(Stroke *stroke, const Curve *piece) {
    guint count = curve_count(piece);
    if (count < 2 || curve_length(piece) < SHORTEST_PIECE)
        return;
    const Point *points = (const Point *)(const void *)piece->points->data;
    if (stroke->path->len == 0) {
        stroke->ends[0] = points[0];
        stroke->outward[0] = point_scale(curve_direction(piece, 0), -1);
    }
    stroke->ends[1] = points[count - 1];
    stroke->outward[1] = curve_direction(piece, 1);
    g_string_append_c(stroke->path, 'M');
    fit_append_point(stroke->path, points[0], STROKE_DECIMALS);
    fit_append_curve(stroke->path, points, count, STROKE_TOLERANCE, STROKE_DECIMALS);
}

void ink_append_piece(const Sheet *sheet, Stroke *stroke, const Curve *piece) {
    if (sheet->beyond <= 0) {
        append_whole_piece(stroke, piece);
        return;
    }
    const double ends[2] = {0, sheet->width};
    Curve *part = curve_new(false);
    for (guint i = 0; i < curve_count(piece); i++) {
        Point here = curve_point(piece, i);
        bool inside = here.x >= 0 && here.x <= sheet->width;
        for (int end = 0; i > 0 && end < 2; end++) {
            Point before = curve_point(piece, i - 1);
            if ((before.x < ends[end]) == (here.x < ends[end]))
                continue;
            curve_append(part, at_upright(before, here, ends[end]));
            if (!inside) {
                append_whole_piece(stroke, part);
                part = curve_new(false);
            }
        }
        if (inside)
            curve_append(part, here);
    }
    append_whole_piece(stroke, part);
}

void ink_stroke(Sheet *sheet, const Curve *curve, double width) {
    GPtrArray *pieces = sheet_visible_pieces(sheet, curve);
    Stroke stroke = stroke_new(width);
    for (guint i = 0; i < pieces->len; i++)
        ink_append_piece(sheet, &stroke, g_ptr_array_index(pieces, i));
    sheet_take_stroke(sheet, stroke);
    g_ptr_array_free(pieces, TRUE);
}

static void append_ring(const Sheet *sheet, GString *path, const Curve *ring) {
    if (runs_out(sheet, ring->points)) {
        append_cut_ring(sheet, path, ring->points);
        return;
    }
    const Point *points = (const Point *)(const void *)ring->points->data;
    g_string_append_c(path, 'M');
    fit_append_point(path, points[0], CONTOUR_DECIMALS);
    fit_append_curve(path, points, curve_count(ring), CONTOUR_TOLERANCE, CONTOUR_DECIMALS);
    g_string_append_c(path, 'Z');
}

void ink_solid_with_light(Sheet *sheet, const Curve *outline, const Curve *light) {
    if (!sheet_shows(sheet, curve_at(outline, 0.5)))
        return;
    GString *path = g_string_new(NULL);
    append_ring(sheet, path, outline);
    if (light != NULL)
        append_ring(sheet, path, curve_reversed(light));
    if (path->len > 0)
        sheet_add_fill(sheet, path->str);
    g_string_free(path, TRUE);
}

void ink_solid(Sheet *sheet, const Curve *outline) {
    ink_solid_with_light(sheet, outline, NULL);
}
