/* The true outlines of marks: a stroke becomes bands of its width, each of a few of its points,
 * and beside them its caps and its mitred corners; what they cover together is the stroke as a
 * pen draws it (caps, joins and mitre limit as in SVG 2, chapter 13). Bands overlap by one
 * stretch, so that no join is lost between them. */
#include "pounce/outlines.h"

/* Curves become chords this near to them; lines are simplified by as little again. */
#define FLAT_MM 0.005
/* No curve of a design needs more chords; a wild control point must not take all memory. */
#define MOST_CHORDS 2000
/* Points nearer than this are one. */
#define SAME_POINT_MM 1e-5
/* Points of a band: GEOS takes time with the square of what crosses in one. */
#define BAND_POINTS 48
/* A stroke of more dashes than this is drawn without them: the finest pen dots 1 m so. */
#define MOST_DASHES 20000

typedef struct {
    TapulShapes *shapes;
    const TapulMark *mark;
    GPtrArray *parts;
    double longer_mm; /* at open ends */
    gboolean failed;
} Stroke;

#define POINT(line, i) g_array_index(line, TapulVec2, i)

static void add_part(Stroke *stroke, GEOSGeometry *part) {
    if (part)
        g_ptr_array_add(stroke->parts, part);
    else
        stroke->failed = TRUE;
}

/* --- Flat lines --- */

static void add_point(GArray *line, TapulVec2 p) {
    if (line->len == 0 || tapul_vec2_distance(POINT(line, line->len - 1), p) > SAME_POINT_MM)
        g_array_append_val(line, p);
}

static void add_curve(GArray *line, const TapulVec2 p[4]) {
    /* Chord error of a cubic, as in ink/region.c: n^2 = 6/8 |second difference| / tolerance. */
    double first = hypot(p[0].x - 2 * p[1].x + p[2].x, p[0].y - 2 * p[1].y + p[2].y);
    double second = hypot(p[1].x - 2 * p[2].x + p[3].x, p[1].y - 2 * p[2].y + p[3].y);
    int n = (int)CLAMP(ceil(sqrt(0.75 * fmax(first, second) / FLAT_MM)), 1, MOST_CHORDS);
    for (int i = 1; i <= n; i++)
        add_point(line, i == n ? p[3] : tapul_cubic_point(p, (double)i / n));
}

/* --- Corners and ends --- */

/* What a mitre adds to a bevelled corner. */
static void add_mitre(Stroke *stroke, TapulVec2 before, TapulVec2 at, TapulVec2 after) {
    double half_mm = stroke->mark->width_mm / 2;
    TapulVec2 in = tapul_vec2_sub(at, before), out = tapul_vec2_sub(after, at);
    double side = tapul_vec2_cross(in, out) > 0 ? 1 : -1;
    TapulVec2 normal[2] = {{side * in.y, -side * in.x}, {side * out.y, -side * out.x}};
    for (int i = 0; i < 2; i++)
        normal[i] = tapul_vec2_scale(normal[i], 1 / tapul_vec2_length(normal[i]));
    TapulVec2 middle = tapul_vec2_scale(tapul_vec2_add(normal[0], normal[1]), 0.5);
    double cosine = tapul_vec2_length(middle); /* of half the turn; the mitre is 1 / cosine */
    if (cosine * stroke->mark->mitre_limit < 1 ||
        half_mm * (1 / cosine - cosine) < TAPUL_SHAPE_FINE_MM)
        return;
    const TapulVec2 wedge[4] = {
        at, tapul_vec2_add(at, tapul_vec2_scale(normal[0], half_mm)),
        tapul_vec2_add(at, tapul_vec2_scale(middle, half_mm / (cosine * cosine))),
        tapul_vec2_add(at, tapul_vec2_scale(normal[1], half_mm))};
    add_part(stroke, tapul_shape_ring(stroke->shapes, wedge, 4));
}

static void add_cap(Stroke *stroke, TapulVec2 before, TapulVec2 end) {
    double half_mm = stroke->mark->width_mm / 2;
    if (stroke->mark->cap == TAPUL_CAP_ROUND)
        add_part(stroke, tapul_shape_disc(stroke->shapes, end, half_mm));
    if (stroke->mark->cap != TAPUL_CAP_SQUARE)
        return;
    TapulVec2 along = tapul_vec2_sub(end, before);
    along = tapul_vec2_scale(along, half_mm / tapul_vec2_length(along));
    const TapulVec2 line[2] = {end, tapul_vec2_add(end, along)};
    add_part(stroke, tapul_shape_band(stroke->shapes, line, 2,
                                      (TapulBand){2 * half_mm, TAPUL_CAP_BUTT, FALSE}));
}

/* --- Lines --- */

static void add_mitres(Stroke *stroke, const GArray *line) {
    for (guint i = 1; i + 1 < line->len; i++)
        add_mitre(stroke, POINT(line, i - 1), POINT(line, i), POINT(line, i + 1));
}

/* An open line, or a closed one whose first two points are given again at its end. Only what
 * is one band has its caps from it; of several each would have its own. */
static void add_line(Stroke *stroke, const GArray *line, gboolean closed) {
    const TapulVec2 *p = (const TapulVec2 *)(const void *)line->data;
    const TapulMark *mark = stroke->mark;
    guint n = line->len;
    gboolean whole = !closed && n <= BAND_POINTS;
    TapulBand band = {mark->width_mm, whole ? mark->cap : TAPUL_CAP_BUTT,
                      mark->join == TAPUL_JOIN_ROUND};
    for (guint from = 0; from + 1 < n;) {
        guint to = MIN(from + BAND_POINTS, n - 1);
        add_part(stroke, tapul_shape_band(stroke->shapes, p + from, to - from + 1, band));
        from = to == n - 1 ? to : to - 1;
    }
    if (mark->join == TAPUL_JOIN_MITRE)
        add_mitres(stroke, line);
    if (!closed && !whole) {
        add_cap(stroke, p[1], p[0]);
        add_cap(stroke, p[n - 2], p[n - 1]);
    }
}

static void lengthen(TapulVec2 *end, TapulVec2 before, double by_mm) {
    TapulVec2 along = tapul_vec2_sub(*end, before);
    *end = tapul_vec2_add(*end, tapul_vec2_scale(along, by_mm / tapul_vec2_length(along)));
}

/* A line without length is a dot if it has caps. */
static void add_open_line(Stroke *stroke, GArray *line) {
    if (line->len == 1 && stroke->mark->cap != TAPUL_CAP_BUTT) {
        TapulVec2 beside = tapul_vec2_add(POINT(line, 0), tapul_vec2(TAPUL_SHAPE_FINE_MM, 0));
        g_array_append_val(line, beside);
    }
    if (line->len < 2)
        return;
    lengthen(&POINT(line, 0), POINT(line, 1), stroke->longer_mm);
    lengthen(&POINT(line, line->len - 1), POINT(line, line->len - 2), stroke->longer_mm);
    add_line(stroke, line, FALSE);
}

/* --- Dashes --- */

/* Where a pen that draws dashes is: in which of them, and how much of it is left. */
typedef struct {
    const GArray *dash_mm;
    guint index;
    double left_mm;
} Dashing;

static void next_dash(Dashing *dashing) {
    dashing->index++;
    dashing->left_mm =
        g_array_index(dashing->dash_mm, double, dashing->index % dashing->dash_mm->len);
}

static gboolean is_down(const Dashing *dashing) {
    return dashing->index % 2 == 0;
}

/* dash_mm's sum; an odd number of dashes changes places with the gaps each time round. */
static double period_mm(const GArray *dash_mm) {
    double sum_mm = 0;
    for (guint i = 0; dash_mm && i < dash_mm->len; i++)
        sum_mm += g_array_index(dash_mm, double, i);
    return sum_mm;
}

static Dashing start_dashing(const TapulMark *mark) {
    Dashing dashing = {mark->dash_mm, 0, g_array_index(mark->dash_mm, double, 0)};
    double whole_mm = 2 * period_mm(mark->dash_mm);
    double left_mm = fmod(fmod(mark->dash_offset_mm, whole_mm) + whole_mm, whole_mm);
    while (left_mm >= dashing.left_mm && left_mm > 0) {
        left_mm -= dashing.left_mm;
        next_dash(&dashing);
    }
    dashing.left_mm -= left_mm;
    return dashing;
}

static void lift_pen(Stroke *stroke, GArray *drawn) {
    add_open_line(stroke, drawn);
    g_array_set_size(drawn, 0);
}

static void add_dashed(Stroke *stroke, const GArray *line) {
    g_autoptr(GArray) drawn = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    Dashing dashing = start_dashing(stroke->mark);
    if (is_down(&dashing))
        add_point(drawn, POINT(line, 0));
    for (guint i = 1; i < line->len; i++) {
        TapulVec2 a = POINT(line, i - 1), b = POINT(line, i);
        double length_mm = tapul_vec2_distance(a, b), done_mm = 0;
        while (length_mm - done_mm > dashing.left_mm) {
            done_mm += dashing.left_mm;
            gboolean was_down = is_down(&dashing);
            add_point(drawn, tapul_vec2_mix(a, b, done_mm / length_mm));
            if (was_down)
                lift_pen(stroke, drawn);
            next_dash(&dashing);
        }
        dashing.left_mm -= length_mm - done_mm;
        if (is_down(&dashing))
            add_point(drawn, b);
    }
    if (drawn->len > 0)
        lift_pen(stroke, drawn);
}

/* --- Marks --- */

static double length_of(const GArray *line) {
    double length_mm = 0;
    for (guint i = 1; i < line->len; i++)
        length_mm += tapul_vec2_distance(POINT(line, i - 1), POINT(line, i));
    return length_mm;
}

/* A subpath; empties the line. */
static void end_subpath(Stroke *stroke, GArray *line, gboolean closed) {
    double dash_period_mm = period_mm(stroke->mark->dash_mm);
    if (line->len == 0)
        return;
    if (closed && line->len > 1 &&
        tapul_vec2_distance(POINT(line, 0), POINT(line, line->len - 1)) > SAME_POINT_MM)
        add_point(line, POINT(line, 0));
    if (dash_period_mm > 0 && line->len > 1 && length_of(line) < dash_period_mm * MOST_DASHES) {
        add_dashed(stroke, line);
    } else if (closed && line->len > 2) {
        add_point(line, POINT(line, 1));
        add_line(stroke, line, TRUE);
    } else {
        add_open_line(stroke, line);
    }
    g_array_set_size(line, 0);
}

static gboolean stroke_parts(Stroke *stroke) {
    g_autoptr(GArray) line = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulPathWalk walk = tapul_path_walk(stroke->mark->path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath) {
            end_subpath(stroke, line, FALSE);
            add_point(line, piece.p[0]);
        }
        if (piece.verb == TAPUL_VERB_CURVE)
            add_curve(line, piece.p);
        else
            add_point(line, piece.p[3]);
        if (piece.verb == TAPUL_VERB_CLOSE)
            end_subpath(stroke, line, TRUE);
    }
    end_subpath(stroke, line, FALSE);
    return !stroke->failed;
}

gboolean tapul_mark_parts(TapulShapes *shapes, const TapulMark *mark, double longer_mm,
                          GPtrArray *parts) {
    Stroke stroke = {shapes, mark, parts, mark->dash_mm ? 0 : longer_mm, FALSE};
    if (mark->kind == TAPUL_MARK_STROKE)
        return mark->width_mm <= 0 || stroke_parts(&stroke);
    add_part(&stroke, tapul_shape_simplify(
                          shapes, tapul_shape_of_path(shapes, mark->path, mark->even_odd)));
    return !stroke.failed;
}
