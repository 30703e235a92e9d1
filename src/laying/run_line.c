/* A line over the metal that a border runs along. Nothing here is measured in the development:
 * knots are joined by geodesics of the smooth surface, and the line between two knots is a
 * cubic in the frame of theirs, so that it crosses a ridge as unfolded metal does. The slopes
 * at the knots are those of the cubic spline, whose curvature has no jumps (de Boor, A
 * Practical Guide to Splines, IV): what is laid square to the line has none in its stretch. */
#include "laying/run_line.h"

#include <gsl/gsl_linalg.h>

/* A knot whose tangent turns from its chord by more than this (cosine; 72 degrees) goes back
 * on the line before it: the offset of a corner too tight for it. */
#define ONWARD_COSINE 0.3
/* Knots nearer than this to the one before say nothing that rounding does not blur. */
#define KNOT_APART_MM 0.3
/* The nearest point is looked for this far apart first, then between its neighbours. */
#define SEARCH_SPACING_MM 1.0
#define SEARCH_GOAL_MM    0.01

/* A segment in the making. */
typedef struct {
    TapulRunSegment segment;
    TapulVec3 arrival; /* direction of its geodesic at its end */
    guint from;        /* knot */
} Joint;

static TapulVec3 left_of(const TapulMesh *mesh, TapulGeodesicEnd at) {
    return tapul_vec3_cross(tapul_mesh_smooth_normal(mesh, at.spot), at.direction);
}

/* The mean of 1 + slope^2 / 2 over the cubic: its length by its chord's, to the fourth power of
 * the slopes. */
static double bent_length(double chord_mm, double slope_start, double slope_end) {
    return chord_mm * (1 + (slope_start * slope_start + slope_end * slope_end -
                            slope_start * slope_end / 2) /
                               15);
}

static gboolean join(const TapulMesh *mesh, const GArray *knots, guint first, guint second,
                     Joint *joint) {
    const TapulRunKnot *from = &g_array_index(knots, TapulRunKnot, first);
    const TapulRunKnot *to = &g_array_index(knots, TapulRunKnot, second);
    TapulGeodesicChart chart = tapul_geodesic_chart(mesh, from->spot);
    TapulVec3 apart = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, to->spot),
                                     tapul_mesh_smooth_position_mm(mesh, from->spot));
    TapulVec2 guess = {tapul_vec3_dot(apart, chart.x_axis),
                       tapul_vec3_dot(apart, chart.y_axis)};
    TapulVec2 way;
    TapulGeodesicEnd end;
    if (tapul_vec3_length(apart) < KNOT_APART_MM ||
        !tapul_geodesic_inverse(&chart, to->spot, guess, &way) ||
        !tapul_geodesic_forward(&chart, way, &end))
        return FALSE;
    TapulVec3 direction = tapul_vec3_unit(tapul_vec3_add(
        tapul_vec3_scale(chart.x_axis, way.x), tapul_vec3_scale(chart.y_axis, way.y)));
    joint->segment = (TapulRunSegment){.chord = {from->spot, direction},
                                       .chord_mm = tapul_vec2_length(way),
                                       .off_edge = from->off_edge || to->off_edge};
    joint->arrival = end.direction;
    joint->from = first;
    return tapul_vec3_dot(from->along, direction) > ONWARD_COSINE &&
           tapul_vec3_dot(to->along, end.direction) > ONWARD_COSINE;
}

/* Joins the end of a loop to its start; knots of its end that stand in the way are left out. */
static gboolean close_line(const TapulMesh *mesh, const GArray *knots, GArray *joints,
                           guint last) {
    Joint joint;
    while (!join(mesh, knots, last, 0, &joint)) {
        if (joints->len < 3)
            return FALSE;
        last = g_array_index(joints, Joint, joints->len - 1).from;
        g_array_set_size(joints, joints->len - 1);
    }
    g_array_append_val(joints, joint);
    return joints->len >= 3;
}

static gboolean join_all(const TapulMesh *mesh, const GArray *knots, gboolean closed,
                         GArray *joints) {
    guint last = 0;
    for (guint i = 1; i < knots->len; i++) {
        Joint joint;
        if (!join(mesh, knots, last, i, &joint))
            continue;
        g_array_append_val(joints, joint);
        last = i;
    }
    return joints->len > 0 && (!closed || close_line(mesh, knots, joints, last));
}

/* By how much the line turns from one geodesic to the next. */
static double turn_between(const TapulMesh *mesh, const Joint *before, const Joint *after) {
    TapulVec3 out = after->segment.chord.direction;
    TapulVec3 left = tapul_vec3_cross(tapul_mesh_smooth_normal(mesh, after->segment.chord.spot),
                                      before->arrival);
    return atan2(tapul_vec3_dot(out, left), tapul_vec3_dot(out, before->arrival));
}

/* One row of the spline's equations for the angles between line and geodesics at the knots,
 * each counted from the geodesic that leaves its knot: the curvature before knot i equals that
 * behind it. turn_rad[] are the geodesics' turns at the knots. */
typedef struct {
    gsl_vector *low, *middle, *high, *known, *angle_rad;
} Equations;

static void set_row(Equations *equations, guint i, guint low_row, double before_mm,
                    double after_mm, double turn_here_rad, double turn_next_rad) {
    gsl_vector_set(equations->low, low_row, 2 / before_mm);
    gsl_vector_set(equations->middle, i, 4 / before_mm + 4 / after_mm);
    if (i < equations->high->size)
        gsl_vector_set(equations->high, i, 2 / after_mm);
    gsl_vector_set(equations->known, i,
                   -4 * turn_here_rad / before_mm - 2 * turn_next_rad / after_mm);
}

static double joint_mm(const GArray *joints, guint i) {
    return g_array_index(joints, Joint, i % joints->len).segment.chord_mm;
}

/* A loop: the last knot is followed by the first. */
static void solve_loop(Equations *equations, const GArray *joints, const double *turn_rad) {
    guint n = joints->len;
    for (guint i = 0; i < n; i++)
        set_row(equations, i, (i + n - 1) % n, joint_mm(joints, i + n - 1), joint_mm(joints, i),
                turn_rad[i], turn_rad[(i + 1) % n]);
    gsl_linalg_solve_cyc_tridiag(equations->middle, equations->high, equations->low,
                                 equations->known, equations->angle_rad);
}

/* An open line: its first and last segments are arcs of circles. */
static void solve_open(Equations *equations, const GArray *joints, const double *turn_rad) {
    guint n = joints->len;
    for (guint i = 1; i < n; i++)
        set_row(equations, i, i - 1, joint_mm(joints, i - 1), joint_mm(joints, i), turn_rad[i],
                i + 1 < n ? turn_rad[i + 1] : 0);
    gsl_vector_set(equations->middle, 0, 1);
    gsl_vector_set(equations->high, 0, 1);
    gsl_vector_set(equations->known, 0, n > 1 ? -turn_rad[1] : 0);
    gsl_vector_set(equations->low, n - 1, 1);
    gsl_vector_set(equations->middle, n, 1);
    gsl_vector_set(equations->known, n, 0);
    gsl_linalg_solve_tridiag(equations->middle, equations->high, equations->low,
                             equations->known, equations->angle_rad);
}

static void bend(TapulRunLine *line, GArray *joints) {
    guint n = joints->len, n_knots = line->closed ? n : n + 1;
    g_autofree double *turn_rad = g_new0(double, n);
    for (guint i = line->closed ? 0 : 1; i < n; i++)
        turn_rad[i] = turn_between(line->mesh, &g_array_index(joints, Joint, (i + n - 1) % n),
                                   &g_array_index(joints, Joint, i));
    Equations equations = {gsl_vector_calloc(n), gsl_vector_calloc(n_knots),
                           gsl_vector_calloc(n), gsl_vector_calloc(n_knots),
                           gsl_vector_calloc(n_knots)};
    if (line->closed)
        solve_loop(&equations, joints, turn_rad);
    else if (n > 1)
        solve_open(&equations, joints, turn_rad);
    for (guint i = 0; i < n; i++) {
        TapulRunSegment segment = g_array_index(joints, Joint, i).segment;
        guint next = line->closed ? (i + 1) % n : i + 1;
        double turn_next_rad = next < n ? turn_rad[next] : 0;
        segment.slope_start = tan(gsl_vector_get(equations.angle_rad, i));
        segment.slope_end = tan(gsl_vector_get(equations.angle_rad, next) + turn_next_rad);
        segment.length_mm =
            bent_length(segment.chord_mm, segment.slope_start, segment.slope_end);
        segment.before_mm = line->length_mm;
        line->length_mm += segment.length_mm;
        g_array_append_val(line->segments, segment);
    }
    gsl_vector_free(equations.low);
    gsl_vector_free(equations.middle);
    gsl_vector_free(equations.high);
    gsl_vector_free(equations.known);
    gsl_vector_free(equations.angle_rad);
}

TapulRunLine *tapul_run_line_new(const TapulMesh *mesh, const GArray *knots, gboolean closed) {
    g_autoptr(GArray) joints = g_array_new(FALSE, FALSE, sizeof(Joint));
    if (!join_all(mesh, knots, closed, joints))
        return NULL;
    TapulRunLine *line = g_new0(TapulRunLine, 1);
    line->mesh = mesh;
    line->closed = closed;
    line->segments = g_array_new(FALSE, FALSE, sizeof(TapulRunSegment));
    bend(line, joints);
    return line;
}

void tapul_run_line_free(TapulRunLine *line) {
    if (!line)
        return;
    g_array_unref(line->segments);
    g_free(line);
}

static const TapulRunSegment *segment_at(const TapulRunLine *line, double along_mm) {
    guint low = 0, high = line->segments->len;
    while (high - low > 1) {
        guint middle = (low + high) / 2;
        if (g_array_index(line->segments, TapulRunSegment, middle).before_mm <= along_mm)
            low = middle;
        else
            high = middle;
    }
    return &g_array_index(line->segments, TapulRunSegment, low);
}

gboolean tapul_run_line_square(const TapulRunLine *line, double along_mm,
                               TapulGeodesicEnd *square, double *aside_mm) {
    const TapulRunSegment *segment = segment_at(line, along_mm);
    double u = CLAMP((along_mm - segment->before_mm) / segment->length_mm, 0, 1);
    TapulGeodesicEnd on = segment->chord;
    if (u > 0 && !tapul_geodesic_trace(line->mesh, segment->chord, u * segment->chord_mm, &on))
        return FALSE;
    double a = segment->slope_start, b = segment->slope_end;
    double slope = a * (1 - u) * (1 - 3 * u) + b * u * (3 * u - 2);
    double height_mm = segment->chord_mm * u * (1 - u) * (a * (1 - u) - b * u);
    double cosine = 1 / sqrt(1 + slope * slope);
    square->spot = on.spot;
    square->direction = tapul_vec3_unit(
        tapul_vec3_sub(left_of(line->mesh, on), tapul_vec3_scale(on.direction, slope)));
    *aside_mm = height_mm * cosine;
    return TRUE;
}

static double distance_at(const TapulRunLine *line, double along_mm, TapulVec3 point_mm) {
    TapulGeodesicEnd square;
    double aside_mm;
    if (!tapul_run_line_square(line, along_mm, &square, &aside_mm))
        return INFINITY;
    TapulVec3 beside = tapul_mesh_smooth_position_mm(line->mesh, square.spot);
    TapulVec3 at = tapul_vec3_add(beside, tapul_vec3_scale(square.direction, aside_mm));
    return tapul_vec3_distance(at, point_mm);
}

double tapul_run_line_nearest(const TapulRunLine *line, TapulVec3 point_mm) {
    int n = (int)ceil(line->length_mm / SEARCH_SPACING_MM) + 1;
    double spacing_mm = line->length_mm / (n - 1), best = 0, best_mm = INFINITY;
    for (int i = 0; i < n; i++) {
        double distance_mm = distance_at(line, i * spacing_mm, point_mm);
        if (distance_mm >= best_mm)
            continue;
        best = i * spacing_mm;
        best_mm = distance_mm;
    }
    for (double step_mm = spacing_mm / 2; step_mm > SEARCH_GOAL_MM / 2; step_mm /= 2)
        for (int side = -1; side <= 1; side += 2) {
            double beside = CLAMP(best + side * step_mm, 0, line->length_mm);
            double distance_mm = distance_at(line, beside, point_mm);
            if (distance_mm >= best_mm)
                continue;
            best = beside;
            best_mm = distance_mm;
        }
    return best;
}
