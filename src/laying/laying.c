/* Laying: a print placed on a plate by a rule. Here the print's placement, the choice of rule,
 * and the figures that are the same for every rule; each rule has its own file. */
#include "laying/facet.h"
#include "laying/rule.h"

/* Step of the differences: a hundredth of a triangle, a thousand times what a spot's rounding
 * moves it. */
#define DIFFERENCE_STEP_MM 0.1
/* A scale outside these is a slip of the pen: a 300 mm print would be laid less than 1 mm or
 * over 30 m wide. */
#define SCALE_MIN 0.001
#define SCALE_MAX 100.0

GQuark tapul_laying_error_quark(void) {
    return g_quark_from_static_string("tapul-laying-error-quark");
}

static const TapulLayingMethods *const rules[] = {
    [TAPUL_LAYING_ROLLED] = &tapul_laying_rolled,
    [TAPUL_LAYING_DEVELOPED] = &tapul_laying_developed_rule,
    [TAPUL_LAYING_VIEWED] = &tapul_laying_viewed,
    [TAPUL_LAYING_PINNED] = &tapul_laying_pinned,
    [TAPUL_LAYING_BORDERED] = &tapul_laying_bordered,
    [TAPUL_LAYING_FILLED] = &tapul_laying_filled,
};

const char *tapul_laying_rule_name(TapulLayingRule rule) {
    return (guint)rule < G_N_ELEMENTS(rules) ? rules[rule]->name : NULL;
}

gboolean tapul_laying_rule_from_name(const char *name, TapulLayingRule *rule) {
    for (guint i = 0; name && i < G_N_ELEMENTS(rules); i++) {
        if (strcmp(rules[i]->name, name) != 0)
            continue;
        *rule = (TapulLayingRule)i;
        return TRUE;
    }
    return FALSE;
}

static gboolean spot_is_on(const TapulMesh *mesh, TapulSpot spot) {
    const double rounding = 1e-6; /* of weights that sum to 1 */
    if (spot.triangle < 0 || spot.triangle >= mesh->n_triangles)
        return FALSE;
    double sum = spot.weight[0] + spot.weight[1] + spot.weight[2];
    return fabs(sum - 1) < rounding && spot.weight[0] > -rounding &&
           spot.weight[1] > -rounding && spot.weight[2] > -rounding;
}

gboolean tapul_laying_check_scale(double scale, GError **error) {
    if (scale >= SCALE_MIN && scale <= SCALE_MAX)
        return TRUE;
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                "scale %g: expected a number from %g to %g", scale, SCALE_MIN, SCALE_MAX);
    return FALSE;
}

static gboolean check_placement(const TapulGround *ground, const TapulLayingOptions *options,
                                GError **error) {
    if (!tapul_laying_check_scale(options->scale, error))
        return FALSE;
    if (!isfinite(options->turn_rad) || !isfinite(options->print_anchor_mm.x) ||
        !isfinite(options->print_anchor_mm.y)) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "turn %g rad, print anchor %g, %g mm: expected finite numbers",
                    options->turn_rad, options->print_anchor_mm.x, options->print_anchor_mm.y);
        return FALSE;
    }
    if (!spot_is_on(tapul_plate_mesh(ground->plate), options->anchor)) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                    "the laying's anchor is not on the plate (triangle %d of %d)",
                    options->anchor.triangle, tapul_plate_mesh(ground->plate)->n_triangles);
        return FALSE;
    }
    return TRUE;
}

static void place_print(TapulLaying *laying) {
    const TapulLayingOptions *options = &laying->options;
    double x_scale = options->reversed ? -options->scale : options->scale;
    laying->print_anchor_mm = options->print_anchor_mm;
    laying->plane_by_x = tapul_vec2_turn(tapul_vec2(x_scale, 0), options->turn_rad);
    laying->plane_by_y = tapul_vec2_turn(tapul_vec2(0, options->scale), options->turn_rad);
}

TapulLaying *tapul_laying_new(const TapulGround *ground, const TapulLayingOptions *options,
                              GError **error) {
    g_assert((guint)options->rule < G_N_ELEMENTS(rules));
    g_autoptr(TapulLaying) laying = g_new0(TapulLaying, 1);
    laying->ground = *ground;
    laying->options = *options;
    laying->methods = rules[options->rule];
    laying->repeat = -1;
    laying->plane_by_x = tapul_vec2(1, 0);
    laying->plane_by_y = tapul_vec2(0, 1);
    if (laying->methods->places) {
        if (!check_placement(ground, options, error))
            return NULL;
        place_print(laying);
    }
    if (laying->methods->prepare && !laying->methods->prepare(laying, error))
        return NULL;
    laying->options.pin_print_mm = laying->options.pin_developed_mm = NULL;
    laying->options.border.points = NULL;
    laying->options.fill.frame_mm = NULL;
    return g_steal_pointer(&laying);
}

void tapul_laying_free(TapulLaying *laying) {
    if (!laying)
        return;
    tapul_spline_free(laying->spline);
    tapul_border_free(laying->border);
    tapul_fill_free(laying->fill);
    g_free(laying);
}

TapulLayingRun tapul_laying_run(const TapulLaying *laying) {
    return laying->border ? tapul_border_figures(laying->border) : (TapulLayingRun){1, 0, 1, 0};
}

static TapulVec2 plane_from_print(const TapulLaying *laying, TapulVec2 print_mm) {
    TapulVec2 p = tapul_vec2_sub(print_mm, laying->print_anchor_mm);
    return tapul_vec2_add(tapul_vec2_scale(laying->plane_by_x, p.x),
                          tapul_vec2_scale(laying->plane_by_y, p.y));
}

static TapulVec2 print_from_plane(const TapulLaying *laying, TapulVec2 plane_mm) {
    double determinant = tapul_vec2_cross(laying->plane_by_x, laying->plane_by_y);
    TapulVec2 p = {tapul_vec2_cross(plane_mm, laying->plane_by_y) / determinant,
                   tapul_vec2_cross(laying->plane_by_x, plane_mm) / determinant};
    return tapul_vec2_add(p, laying->print_anchor_mm);
}

gboolean tapul_laying_spot(const TapulLaying *laying, TapulVec2 print_mm, TapulSpot *spot) {
    TapulLaidPoint point;
    if (!laying->methods->forward(laying, plane_from_print(laying, print_mm), &point))
        return FALSE;
    *spot = point.spot;
    return TRUE;
}

gboolean tapul_laying_developed(const TapulLaying *laying, TapulVec2 print_mm,
                                TapulVec2 *developed_mm) {
    TapulLaidPoint point;
    if (!laying->methods->forward(laying, plane_from_print(laying, print_mm), &point))
        return FALSE;
    *developed_mm = point.developed_mm;
    return TRUE;
}

gboolean tapul_laying_print(const TapulLaying *laying, TapulSpot spot, TapulVec2 *print_mm) {
    TapulVec2 plane_mm;
    if (!laying->methods->inverse(laying, spot, &plane_mm))
        return FALSE;
    *print_mm = print_from_plane(laying, plane_mm);
    return TRUE;
}

TapulVec2 tapul_laying_develop_vector(const TapulDevelopment *development, TapulSpot spot,
                                      TapulVec3 tangent) {
    double rate[3];
    tapul_facet_spot_rates(development->mesh, spot, tangent, rate);
    TapulVec2 sum = {0, 0};
    for (int k = 0; k < 3; k++) {
        TapulVec2 flat_mm = development->flat_mm[development->mesh->corner[spot.triangle][k]];
        sum = tapul_vec2_add(sum, tapul_vec2_scale(flat_mm, rate[k]));
    }
    return sum;
}

/* One column of the differential, by a step to whichever side is on the plate. */
static gboolean difference(const TapulLaying *laying, TapulVec2 plane_mm, TapulVec2 direction,
                           const TapulLaidPoint *here, TapulVec3 *metal, TapulVec2 *developed) {
    const TapulMesh *mesh = laying->ground.development->mesh;
    TapulLaidPoint there;
    double step_mm = DIFFERENCE_STEP_MM;
    TapulVec2 beside = tapul_vec2_add(plane_mm, tapul_vec2_scale(direction, step_mm));
    if (!laying->methods->forward(laying, beside, &there)) {
        step_mm = -step_mm;
        beside = tapul_vec2_add(plane_mm, tapul_vec2_scale(direction, step_mm));
        if (!laying->methods->forward(laying, beside, &there))
            return FALSE;
    }
    TapulVec3 moved = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, there.spot),
                                     tapul_mesh_smooth_position_mm(mesh, here->spot));
    *metal = tapul_vec3_scale(moved, 1 / step_mm);
    *developed =
        tapul_vec2_scale(tapul_vec2_sub(there.developed_mm, here->developed_mm), 1 / step_mm);
    return TRUE;
}

gboolean tapul_laying_differences(const TapulLaying *laying, TapulVec2 plane_mm,
                                  TapulLaidJet *jet) {
    return laying->methods->forward(laying, plane_mm, &jet->at) &&
           difference(laying, plane_mm, tapul_vec2(1, 0), &jet->at, &jet->metal_by_x,
                      &jet->developed_by_x) &&
           difference(laying, plane_mm, tapul_vec2(0, 1), &jet->at, &jet->metal_by_y,
                      &jet->developed_by_y);
}

static TapulVec3 combine3(TapulVec3 by_x, TapulVec3 by_y, TapulVec2 along) {
    return tapul_vec3_add(tapul_vec3_scale(by_x, along.x), tapul_vec3_scale(by_y, along.y));
}

static TapulVec2 combine2(TapulVec2 by_x, TapulVec2 by_y, TapulVec2 along) {
    return tapul_vec2_add(tapul_vec2_scale(by_x, along.x), tapul_vec2_scale(by_y, along.y));
}

gboolean tapul_laying_jet(const TapulLaying *laying, TapulVec2 print_mm, TapulLaidJet *jet) {
    TapulLaidJet plane;
    if (!laying->methods->differential(laying, plane_from_print(laying, print_mm), &plane))
        return FALSE;
    TapulVec2 x = laying->plane_by_x, y = laying->plane_by_y;
    jet->at = plane.at;
    jet->metal_by_x = combine3(plane.metal_by_x, plane.metal_by_y, x);
    jet->metal_by_y = combine3(plane.metal_by_x, plane.metal_by_y, y);
    jet->developed_by_x = combine2(plane.developed_by_x, plane.developed_by_y, x);
    jet->developed_by_y = combine2(plane.developed_by_x, plane.developed_by_y, y);
    return TRUE;
}

TapulLaidMetric tapul_laying_metric(const TapulLaying *laying, const TapulLaidJet *jet) {
    TapulVec3 normal = tapul_mesh_smooth_normal(laying->ground.development->mesh, jet->at.spot);
    TapulVec3 turned = tapul_vec3_cross(jet->metal_by_x, jet->metal_by_y);
    gboolean mirrored = tapul_vec3_dot(turned, normal) < 0;
    return (TapulLaidMetric){tapul_vec3_dot(jet->metal_by_x, jet->metal_by_x),
                             tapul_vec3_dot(jet->metal_by_x, jet->metal_by_y),
                             tapul_vec3_dot(jet->metal_by_y, jet->metal_by_y),
                             mirrored != (laying->options.reversed != FALSE)};
}

void tapul_laid_metric_stretch(const TapulLaidMetric *metric, double *s1, double *s2) {
    double mean = (metric->xx + metric->yy) / 2;
    double spread = hypot((metric->xx - metric->yy) / 2, metric->xy);
    *s1 = sqrt(mean + spread);
    *s2 = sqrt(fmax(mean - spread, 0));
}

gboolean tapul_laying_stretch(const TapulLaying *laying, TapulVec2 print_mm, double *s1,
                              double *s2, gboolean *folded) {
    TapulLaidJet jet;
    if (!tapul_laying_jet(laying, print_mm, &jet))
        return FALSE;
    TapulLaidMetric metric = tapul_laying_metric(laying, &jet);
    tapul_laid_metric_stretch(&metric, s1, s2);
    *folded = metric.folded;
    return TRUE;
}

void tapul_laying_placement(const TapulLaying *laying, double *scale, double *turn_rad,
                            gboolean *reversed) {
    *scale = laying->options.scale;
    *turn_rad = laying->options.turn_rad;
    *reversed = laying->options.reversed;
}
