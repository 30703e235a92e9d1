/* The view (see camera_view.h): what it sees, and how that changes with its parameters. The
 * turn is the exponential map's; its left Jacobian is in closed form (Chirikjian 2012, 10.86).
 */
#include "photo/camera_view.h"

#include <gsl/gsl_blas.h>
#include <string.h>

/* Nearer than this share of the centroid's depth a point counts as behind the camera: the
 * picture of it would be a hundred times larger than its neighbours'. */
#define LEAST_DEPTH 0.01
/* What a point behind the camera is off by, in half diagonals: more than any picture can be. */
#define BEHIND 1e3
/* Below this angle (radians) the turn's series are cut after two terms: exact to 1e-17. */
#define SMALL_TURN_RAD 1e-4

/* --- Points --- */

TapulViewPoints *tapul_view_points_new(const TapulSight *sights, int n, int width_px,
                                       int height_px, double focal_px) {
    TapulViewPoints *points = g_new0(TapulViewPoints, 1);
    *points = (TapulViewPoints){.n = n,
                                .point = g_new0(TapulVec3, n),
                                .seen = g_new0(TapulVec2, n),
                                .width_px = width_px,
                                .height_px = height_px,
                                .centre_px = {width_px / 2.0, height_px / 2.0},
                                .size_px = hypot(width_px, height_px) / 2};
    points->focal = focal_px / points->size_px;
    for (int i = 0; i < n; i++)
        points->centroid_mm =
            tapul_vec3_add(points->centroid_mm, tapul_vec3_scale(sights[i].xyz_mm, 1.0 / n));
    for (int i = 0; i < n; i++) {
        points->point[i] = tapul_vec3_sub(sights[i].xyz_mm, points->centroid_mm);
        points->size_mm += tapul_vec3_dot(points->point[i], points->point[i]) / n;
    }
    points->size_mm = sqrt(points->size_mm);
    for (int i = 0; i < n; i++) {
        points->point[i] = tapul_vec3_scale(points->point[i], 1 / points->size_mm);
        points->seen[i] = tapul_vec2_scale(tapul_vec2_sub(sights[i].px, points->centre_px),
                                           1 / points->size_px);
    }
    return points;
}

static TapulViewPoints *points_copy(const TapulViewPoints *points) {
    TapulViewPoints *copy = g_memdup2(points, sizeof *points);
    copy->point = g_memdup2(points->point, (gsize)points->n * sizeof *points->point);
    copy->seen = g_memdup2(points->seen, (gsize)points->n * sizeof *points->seen);
    return copy;
}

TapulViewPoints *tapul_view_points_without(const TapulViewPoints *points, int i, int j) {
    TapulViewPoints *rest = points_copy(points);
    rest->n = 0;
    for (int k = 0; k < points->n; k++) {
        if (k == i || k == j)
            continue;
        rest->point[rest->n] = points->point[k];
        rest->seen[rest->n++] = points->seen[k];
    }
    return rest;
}

TapulViewPoints *tapul_view_points_exchanged(const TapulViewPoints *points, int i, int j) {
    TapulViewPoints *exchanged = points_copy(points);
    exchanged->seen[i] = points->seen[j];
    exchanged->seen[j] = points->seen[i];
    return exchanged;
}

void tapul_view_points_free(TapulViewPoints *points) {
    if (!points)
        return;
    g_free(points->point);
    g_free(points->seen);
    g_free(points);
}

/* --- Turns --- */

/* I + a [w] + b [w]^2, [w] the cross product's matrix. */
static void turn_series(TapulVec3 w, double a, double b, double out[3][3]) {
    const double v[3] = {w.x, w.y, w.z};
    const double cross[3][3] = {{0, -w.z, w.y}, {w.z, 0, -w.x}, {-w.y, w.x, 0}};
    double squared = tapul_vec3_dot(w, w);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out[i][j] = (i == j) * (1 - b * squared) + a * cross[i][j] + b * v[i] * v[j];
}

/* The turn by |w| about w, and the rate of its own axis by w: d exp(w) = [jacobian dw] exp(w).
 */
static void turn_matrices(TapulVec3 w, double turn[3][3], double jacobian[3][3]) {
    double t = tapul_vec3_length(w), t2 = t * t;
    gboolean small = t < SMALL_TURN_RAD;
    double sine = small ? 1 - t2 / 6 : sin(t) / t;
    double cosine = small ? 0.5 - t2 / 24 : (1 - cos(t)) / t2;
    double rest = small ? 1.0 / 6 - t2 / 120 : (1 - sine) / t2;
    turn_series(w, sine, cosine, turn);
    turn_series(w, cosine, rest, jacobian);
}

/* --- Parameters --- */

int tapul_view_n_parameters(const TapulViewPoints *points, gboolean bent) {
    return TAPUL_VIEW_STRENGTH + !(points->focal > 0) + (bent ? 1 : 0);
}

static void view_step(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                      const double *parameters, TapulView *view, double jacobian[3][3]) {
    double turn[3][3];
    turn_matrices(tapul_vec3(parameters[0], parameters[1], parameters[2]), turn, jacobian);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            view->rotation[i][j] = 0;
            for (int k = 0; k < 3; k++)
                view->rotation[i][j] += turn[i][k] * base->rotation[k][j];
        }
    view->shift = tapul_vec2(parameters[TAPUL_VIEW_SHIFT_X], parameters[TAPUL_VIEW_SHIFT_Y]);
    view->scale = parameters[TAPUL_VIEW_SCALE];
    int next = TAPUL_VIEW_STRENGTH;
    view->strength = points->focal > 0 ? view->scale / points->focal : parameters[next++];
    view->bend = bent ? parameters[next] : 0;
}

TapulView tapul_view_step(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                          const double *parameters) {
    TapulView view;
    double jacobian[3][3];
    view_step(points, bent, base, parameters, &view, jacobian);
    return view;
}

void tapul_view_parameters(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                           double *parameters) {
    parameters[0] = parameters[1] = parameters[2] = 0;
    parameters[TAPUL_VIEW_SHIFT_X] = base->shift.x;
    parameters[TAPUL_VIEW_SHIFT_Y] = base->shift.y;
    parameters[TAPUL_VIEW_SCALE] = base->scale;
    int next = TAPUL_VIEW_STRENGTH;
    if (!(points->focal > 0))
        parameters[next++] = base->strength;
    if (bent)
        parameters[next] = base->bend;
}

/* --- What is seen --- */

static TapulVec3 turned(const TapulView *view, TapulVec3 p) {
    double out[3];
    for (int i = 0; i < 3; i++)
        out[i] = view->rotation[i][0] * p.x + view->rotation[i][1] * p.y +
                 view->rotation[i][2] * p.z;
    return tapul_vec3(out[0], out[1], out[2]);
}

/* The straight place of a turned point; FALSE behind the camera. */
static gboolean straight(const TapulView *view, TapulVec3 p, TapulVec2 *d) {
    double depth = 1 + view->strength * p.z;
    if (!(depth > LEAST_DEPTH))
        return FALSE;
    *d = tapul_vec2((view->scale * p.x + view->shift.x) / depth,
                    (view->scale * p.y + view->shift.y) / depth);
    return TRUE;
}

static void set_pair(gsl_matrix *derivatives, size_t row, size_t column, TapulVec2 value) {
    gsl_matrix_set(derivatives, row, column, value.x);
    gsl_matrix_set(derivatives, row + 1, column, value.y);
}

/* The change of what is seen where the turned point changes by dp, the depth by dw besides, for
 * a straight place d. */
static TapulVec2 seen_rate(const TapulView *view, TapulVec3 p, TapulVec2 d, TapulVec3 dp,
                           double dw) {
    double depth = 1 + view->strength * p.z;
    dw += view->strength * dp.z;
    TapulVec2 rate = tapul_vec2((view->scale * dp.x - d.x * dw) / depth,
                                (view->scale * dp.y - d.y * dw) / depth);
    TapulVec2 radial = tapul_vec2_scale(d, 2 * view->bend * tapul_vec2_dot(d, rate));
    return tapul_vec2_add(tapul_vec2_scale(rate, 1 + view->bend * tapul_vec2_dot(d, d)),
                          radial);
}

static void point_derivatives(const TapulViewPoints *points, gboolean bent,
                              const TapulView *view, double jacobian[3][3], TapulVec3 p,
                              TapulVec2 d, gsl_matrix *derivatives, size_t row) {
    const TapulVec3 still = {0, 0, 0};
    for (size_t k = 0; k < 3; k++) {
        TapulVec3 axis = tapul_vec3(jacobian[0][k], jacobian[1][k], jacobian[2][k]);
        set_pair(derivatives, row, k, seen_rate(view, p, d, tapul_vec3_cross(axis, p), 0));
    }
    /* A shift by 1 is a motion by 1 / scale, a larger scale a motion outward. */
    double unit = 1 / view->scale;
    set_pair(derivatives, row, TAPUL_VIEW_SHIFT_X,
             seen_rate(view, p, d, tapul_vec3(unit, 0, 0), 0));
    set_pair(derivatives, row, TAPUL_VIEW_SHIFT_Y,
             seen_rate(view, p, d, tapul_vec3(0, unit, 0), 0));
    TapulVec3 outward = tapul_vec3(p.x * unit, p.y * unit, 0);
    size_t next = TAPUL_VIEW_STRENGTH;
    if (points->focal > 0)
        set_pair(derivatives, row, TAPUL_VIEW_SCALE,
                 seen_rate(view, p, d, outward, p.z / points->focal));
    else {
        set_pair(derivatives, row, TAPUL_VIEW_SCALE, seen_rate(view, p, d, outward, 0));
        set_pair(derivatives, row, next++, seen_rate(view, p, d, still, p.z));
    }
    if (bent)
        set_pair(derivatives, row, next, tapul_vec2_scale(d, tapul_vec2_dot(d, d)));
}

void tapul_view_residuals(const TapulViewPoints *points, gboolean bent, const TapulView *base,
                          const double *parameters, gsl_vector *residuals,
                          gsl_matrix *derivatives) {
    TapulView view;
    double jacobian[3][3];
    view_step(points, bent, base, parameters, &view, jacobian);
    if (derivatives)
        gsl_matrix_set_zero(derivatives);
    for (int i = 0; i < points->n; i++) {
        size_t row = 2 * (size_t)i;
        TapulVec3 p = turned(&view, points->point[i]);
        TapulVec2 d, off = {BEHIND, BEHIND};
        if (straight(&view, p, &d)) {
            double grown = 1 + view.bend * tapul_vec2_dot(d, d);
            off = tapul_vec2_sub(tapul_vec2_scale(d, grown), points->seen[i]);
            if (derivatives)
                point_derivatives(points, bent, &view, jacobian, p, d, derivatives, row);
        }
        if (residuals) {
            gsl_vector_set(residuals, row, off.x);
            gsl_vector_set(residuals, row + 1, off.y);
        }
    }
}

void tapul_view_distances_px(const TapulViewPoints *points, const TapulView *view,
                             double *distances_px) {
    double parameters[TAPUL_VIEW_MOST_PARAMETERS];
    g_autoptr(gsl_vector) residuals = gsl_vector_alloc(2 * (size_t)points->n);
    tapul_view_parameters(points, TRUE, view, parameters);
    tapul_view_residuals(points, TRUE, view, parameters, residuals, NULL);
    for (int i = 0; i < points->n; i++) {
        size_t row = 2 * (size_t)i;
        distances_px[i] = points->size_px * hypot(gsl_vector_get(residuals, row),
                                                  gsl_vector_get(residuals, row + 1));
    }
}

gboolean tapul_view_sees_all(const TapulViewPoints *points, const TapulView *view) {
    for (int i = 0; i < points->n; i++) {
        TapulVec2 d;
        if (!straight(view, turned(view, points->point[i]), &d) ||
            !(1 + 3 * view->bend * tapul_vec2_dot(d, d) > 0))
            return FALSE;
    }
    return TRUE;
}

TapulCamera tapul_view_camera(const TapulViewPoints *points, const TapulView *view) {
    g_assert(view->strength > 0);
    double focal = view->scale / view->strength, depth_mm = points->size_mm / view->strength;
    TapulCamera camera = {.width_px = points->width_px,
                          .height_px = points->height_px,
                          .focal_px = focal * points->size_px,
                          .k1 = view->bend * focal * focal,
                          .centre_px = points->centre_px};
    memcpy(camera.rotation, view->rotation, sizeof camera.rotation);
    /* The centroid in the camera frame, turned back, leads from the eye to the centroid. */
    double at[3] = {view->shift.x / focal * depth_mm, view->shift.y / focal * depth_mm,
                    depth_mm};
    double back[3] = {0, 0, 0};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            back[j] += view->rotation[i][j] * at[i];
    camera.eye_mm = tapul_vec3_sub(points->centroid_mm, tapul_vec3(back[0], back[1], back[2]));
    return camera;
}
