/* Paths in the plane: lines and cubic Bezier curves, as a pen draws them.
 *
 * The common coin of the flow: prints are read into paths, laid as paths, and drawn as paths.
 */
#include <tapul/path.h>

#include <gsl/gsl_integration.h>
#include <gsl/gsl_poly.h>

/* 1e-6 is promised for the whole length; each piece is held to this share of its own length. */
#define LENGTH_RELATIVE_TOLERANCE 1e-7
/* A cusp needs about two halvings for each digit; this many put the rest below 1e-6 of the
 * piece. */
#define LENGTH_MAX_HALVINGS 24

TapulPath *tapul_path_new(void) {
    TapulPath *path = g_new(TapulPath, 1);
    path->verbs = g_array_new(FALSE, FALSE, sizeof(guint8));
    path->points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    return path;
}

TapulPath *tapul_path_copy(const TapulPath *path) {
    TapulPath *copy = g_new(TapulPath, 1);
    copy->verbs = g_array_copy(path->verbs);
    copy->points = g_array_copy(path->points);
    return copy;
}

void tapul_path_free(TapulPath *path) {
    if (!path)
        return;
    g_array_unref(path->verbs);
    g_array_unref(path->points);
    g_free(path);
}

static void append_verb(TapulPath *path, TapulVerb verb) {
    guint8 byte = (guint8)verb;
    g_array_append_val(path->verbs, byte);
}

void tapul_path_move(TapulPath *path, TapulVec2 to) {
    append_verb(path, TAPUL_VERB_MOVE);
    g_array_append_val(path->points, to);
}

/* A drawing verb on an empty path starts a subpath where it first knows a point. */
static void ensure_start(TapulPath *path, TapulVec2 start) {
    if (path->verbs->len == 0)
        tapul_path_move(path, start);
}

void tapul_path_line(TapulPath *path, TapulVec2 to) {
    ensure_start(path, to);
    append_verb(path, TAPUL_VERB_LINE);
    g_array_append_val(path->points, to);
}

void tapul_path_curve(TapulPath *path, TapulVec2 control_1, TapulVec2 control_2, TapulVec2 to) {
    ensure_start(path, control_1);
    append_verb(path, TAPUL_VERB_CURVE);
    g_array_append_val(path->points, control_1);
    g_array_append_val(path->points, control_2);
    g_array_append_val(path->points, to);
}

void tapul_path_close(TapulPath *path) {
    if (path->verbs->len > 0)
        append_verb(path, TAPUL_VERB_CLOSE);
}

gboolean tapul_path_is_empty(const TapulPath *path) {
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    return !tapul_path_walk_next(&walk, &piece);
}

TapulPathWalk tapul_path_walk(const TapulPath *path) {
    return (TapulPathWalk){.path = path};
}

static void set_line(TapulPathPiece *piece, TapulVec2 from, TapulVec2 to) {
    piece->p[0] = from;
    piece->p[1] = tapul_vec2_mix(from, to, 1.0 / 3);
    piece->p[2] = tapul_vec2_mix(from, to, 2.0 / 3);
    piece->p[3] = to;
}

gboolean tapul_path_walk_next(TapulPathWalk *walk, TapulPathPiece *piece) {
    const TapulPath *path = walk->path;
    piece->starts_subpath = walk->verb == 0;
    while (walk->verb < path->verbs->len) {
        piece->verb = (TapulVerb)g_array_index(path->verbs, guint8, walk->verb++);
        const TapulVec2 *next = &g_array_index(path->points, TapulVec2, walk->point);
        switch (piece->verb) {
        case TAPUL_VERB_MOVE:
            walk->start = walk->current = next[0];
            walk->point += 1;
            piece->starts_subpath = TRUE;
            continue;
        case TAPUL_VERB_LINE:
            set_line(piece, walk->current, next[0]);
            walk->point += 1;
            break;
        case TAPUL_VERB_CURVE:
            piece->p[0] = walk->current;
            piece->p[1] = next[0];
            piece->p[2] = next[1];
            piece->p[3] = next[2];
            walk->point += 3;
            break;
        case TAPUL_VERB_CLOSE:
            set_line(piece, walk->current, walk->start);
            break;
        }
        /* What follows a CLOSE starts anew from the subpath's start, as pens do. */
        if (walk->verb >= 2 && piece->verb != TAPUL_VERB_MOVE)
            piece->starts_subpath |=
                g_array_index(path->verbs, guint8, walk->verb - 2) == TAPUL_VERB_CLOSE;
        walk->current = piece->p[3];
        return TRUE;
    }
    return FALSE;
}

TapulVec2 tapul_cubic_point(const TapulVec2 p[4], double t) {
    double s = 1 - t;
    double b0 = s * s * s, b1 = 3 * s * s * t, b2 = 3 * s * t * t, b3 = t * t * t;
    return (TapulVec2){b0 * p[0].x + b1 * p[1].x + b2 * p[2].x + b3 * p[3].x,
                       b0 * p[0].y + b1 * p[1].y + b2 * p[2].y + b3 * p[3].y};
}

TapulVec2 tapul_cubic_derivative(const TapulVec2 p[4], double t) {
    double s = 1 - t;
    double b0 = 3 * s * s, b1 = 6 * s * t, b2 = 3 * t * t;
    return (TapulVec2){b0 * (p[1].x - p[0].x) + b1 * (p[2].x - p[1].x) + b2 * (p[3].x - p[2].x),
                       b0 * (p[1].y - p[0].y) + b1 * (p[2].y - p[1].y) +
                           b2 * (p[3].y - p[2].y)};
}

/* Gauss-Legendre nodes and weights on [0, 1], made once: GSL's table is meant to be asked point
 * by point. */
#define GAUSS_POINTS 16
typedef struct {
    double t[GAUSS_POINTS], weight[GAUSS_POINTS];
} GaussRule;

static gpointer make_gauss_rule(gpointer unused) {
    (void)unused;
    static GaussRule rule;
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(GAUSS_POINTS);
    for (size_t i = 0; i < GAUSS_POINTS; i++)
        gsl_integration_glfixed_point(0, 1, i, &rule.t[i], &rule.weight[i], table);
    gsl_integration_glfixed_table_free(table);
    return &rule;
}

static double gauss_length(const GaussRule *rule, const TapulVec2 p[4], double from,
                           double to) {
    double sum = 0;
    for (int i = 0; i < GAUSS_POINTS; i++)
        sum += rule->weight[i] *
               tapul_vec2_length(tapul_cubic_derivative(p, from + (to - from) * rule->t[i]));
    return (to - from) * sum;
}

/* One 16-point rule settles any fair curve; near a cusp the speed is not smooth, and halves are
 * taken until whole and halves agree. `whole` is the rule's value on [from, to]. */
static double length_between(const GaussRule *rule, const TapulVec2 p[4], double from,
                             double to, double whole, double tolerance, int halvings) {
    double middle = (from + to) / 2;
    double first = gauss_length(rule, p, from, middle);
    double second = gauss_length(rule, p, middle, to);
    if (halvings == 0 || !(fabs(first + second - whole) > tolerance))
        return first + second;
    return length_between(rule, p, from, middle, first, tolerance / 2, halvings - 1) +
           length_between(rule, p, middle, to, second, tolerance / 2, halvings - 1);
}

double tapul_cubic_length(const TapulVec2 p[4]) {
    static GOnce once = G_ONCE_INIT;
    const GaussRule *rule = g_once(&once, make_gauss_rule, NULL);
    double whole = gauss_length(rule, p, 0, 1);
    return length_between(rule, p, 0, 1, whole, whole * LENGTH_RELATIVE_TOLERANCE,
                          LENGTH_MAX_HALVINGS);
}

double tapul_path_length(const TapulPath *path) {
    double length = 0;
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece))
        length += piece.verb == TAPUL_VERB_CURVE ? tapul_cubic_length(piece.p)
                                                 : tapul_vec2_distance(piece.p[0], piece.p[3]);
    return length;
}

/* The integral of (x dy - y dx) / 2 along a cubic, exact: a bilinear form in the controls. */
static double cubic_area(const TapulVec2 p[4]) {
    return (6 * tapul_vec2_cross(p[0], p[1]) + 3 * tapul_vec2_cross(p[0], p[2]) +
            tapul_vec2_cross(p[0], p[3]) + 3 * tapul_vec2_cross(p[1], p[2]) +
            3 * tapul_vec2_cross(p[1], p[3]) + 6 * tapul_vec2_cross(p[2], p[3])) /
           20;
}

double tapul_path_area(const TapulPath *path) {
    double area = 0;
    TapulVec2 origin = {0, 0};
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        /* Seen from the subpath's start its closing line sweeps nothing, drawn or not. */
        if (piece.starts_subpath)
            origin = piece.p[0];
        for (int i = 0; i < 4; i++)
            piece.p[i] = tapul_vec2_sub(piece.p[i], origin);
        area += cubic_area(piece.p);
    }
    return area;
}

/* Adds the points of a cubic where one coordinate turns back: the roots of its derivative, a
 * quadratic. */
static void add_turns(TapulBox *box, const TapulVec2 p[4], double c0, double c1, double c2,
                      double c3) {
    double t[2];
    int n = gsl_poly_solve_quadratic(c3 - 3 * c2 + 3 * c1 - c0, 2 * (c2 - 2 * c1 + c0), c1 - c0,
                                     &t[0], &t[1]);
    for (int i = 0; i < n; i++)
        if (t[i] > 0 && t[i] < 1)
            tapul_box_add(box, tapul_cubic_point(p, t[i]));
}

TapulBox tapul_path_box(const TapulPath *path) {
    TapulBox box = tapul_box_empty();
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        const TapulVec2 *p = piece.p;
        tapul_box_add(&box, p[0]);
        tapul_box_add(&box, p[3]);
        if (piece.verb != TAPUL_VERB_CURVE)
            continue;
        add_turns(&box, p, p[0].x, p[1].x, p[2].x, p[3].x);
        add_turns(&box, p, p[0].y, p[1].y, p[2].y, p[3].y);
    }
    return box;
}
