/* Developing a plate: the order of the stages, the frame of the result, and where a point of
 * the plate lies in it. From here the plate is flat for layings and sheets. */
#include <tapul/development.h>

#include <string.h>

#include "develop/held.h"
#include "develop/least_stretch.h"
#include "develop/report.h"

G_DEFINE_QUARK(tapul - develop - error - quark, tapul_develop_error)

static const char *const rule_names[] = {"conformal", "least-stretch", "evened"};

const char *tapul_development_rule_name(TapulDevelopmentRule rule) {
    guint index = (guint)rule;
    return index < G_N_ELEMENTS(rule_names) ? rule_names[index] : NULL;
}

gboolean tapul_development_rule_from_name(const char *name, TapulDevelopmentRule *rule) {
    for (guint i = 0; name && i < G_N_ELEMENTS(rule_names); i++)
        if (strcmp(name, rule_names[i]) == 0) {
            *rule = (TapulDevelopmentRule)i;
            return TRUE;
        }
    return FALSE;
}

TapulDevelopOptions tapul_develop_options_defaults(void) {
    return (TapulDevelopOptions){.rule = TAPUL_DEVELOP_LEAST_STRETCH};
}

static void tell(const TapulDevelopOptions *options, double fraction, const char *stage) {
    if (options->progress)
        options->progress(fraction, stage, options->progress_data);
}

static gboolean check_disc(const TapulMesh *mesh, GError **error) {
    g_autoptr(GError) why = NULL;
    if (tapul_mesh_check_disc(mesh, &why))
        return TRUE;
    g_set_error_literal(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_TOPOLOGY, why->message);
    return FALSE;
}

/* An unflipped map to start the descent: the conformal one, or Tutte's where the mesh makes it
 * flip. */
static gboolean find_start(TapulFlattening *flattening, TapulVec2 *flat_mm, GError **error) {
    if (tapul_flatten_conformal(flattening, flat_mm) &&
        tapul_rest_is_one_to_one(flattening->rest, flat_mm))
        return TRUE;
    if (tapul_flatten_tutte(flattening, flat_mm) &&
        tapul_rest_is_one_to_one(flattening->rest, flat_mm))
        return TRUE;
    g_set_error_literal(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                        "no flat map without turned-over triangles was found: the mesh has "
                        "triangles of almost no area");
    return FALSE;
}

static gboolean flatten_conformal(TapulFlattening *flattening, TapulVec2 *flat_mm,
                                  GError **error) {
    if (tapul_flatten_conformal(flattening, flat_mm) &&
        tapul_rest_is_one_to_one(flattening->rest, flat_mm))
        return TRUE;
    int flipped = tapul_rest_count_flipped(flattening->rest, flat_mm);
    g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                "the conformal development turns over %d of %d triangles: the mesh is too "
                "coarse or its triangles too thin for it; least-stretch or a finer mesh may do",
                flipped, flattening->rest->mesh->n_triangles);
    return FALSE;
}

static gboolean flatten_stretched(TapulFlattening *flattening,
                                  const TapulDevelopOptions *options, TapulVec2 *flat_mm,
                                  GError **error) {
    if (!find_start(flattening, flat_mm, error))
        return FALSE;
    tapul_rest_scale_to_least_energy(flattening->rest, flat_mm);
    tell(options, 0.2, "stretch");
    g_autofree int *order = g_new(int, flattening->rest->mesh->n_vertices);
    tapul_factor_order(flattening->laplacian->factor, order);
    g_autoptr(TapulDescent) descent =
        tapul_descent_new(flattening->rest, flattening->laplacian->edges, order);
    return tapul_flatten_least_stretch(flattening, descent, flat_mm, error) &&
           (options->rule == TAPUL_DEVELOP_LEAST_STRETCH ||
            tapul_flatten_evened(flattening, descent, options, flat_mm, error));
}

/* Refuses what is not one-to-one. */
static gboolean check_one_to_one(const TapulDevelopment *development, int overlap_vertex,
                                 GError **error) {
    if (development->flipped > 0) {
        g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                    "%d triangles of the development are turned over", development->flipped);
        return FALSE;
    }
    if (development->overlaps == 0)
        return TRUE;
    TapulVec2 flat = development->flat_mm[overlap_vertex];
    TapulVec3 plate = development->mesh->position_mm[overlap_vertex];
    g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_OVERLAP,
                "the development's edge runs over itself in %d places, first near "
                "(%.1f, %.1f) mm of the development, (%.1f, %.1f, %.1f) mm of the plate; "
                "the plate needs a cut there",
                development->overlaps, flat.x, flat.y, plate.x, plate.y, plate.z);
    return FALSE;
}

TapulDevelopment *tapul_develop(const TapulMesh *mesh, const TapulDevelopOptions *options,
                                GError **error) {
    gint64 begun_us = g_get_monotonic_time();
    if (!check_disc(mesh, error))
        return NULL;
    tell(options, 0, "flattening");
    g_autoptr(TapulFlattening) flattening = tapul_flattening_new(mesh);
    g_autoptr(TapulDevelopment) development = g_new0(TapulDevelopment, 1);
    development->rule = options->rule;
    development->mesh = mesh;
    development->flat_mm = g_new0(TapulVec2, mesh->n_vertices);
    gboolean flat = options->rule == TAPUL_DEVELOP_CONFORMAL
                        ? flatten_conformal(flattening, development->flat_mm, error)
                        : flatten_stretched(flattening, options, development->flat_mm, error);
    if (!flat)
        return NULL;
    if (options->rule == TAPUL_DEVELOP_EVENED)
        tapul_rest_scale_to_even(flattening->rest, development->flat_mm);
    else
        tapul_rest_scale_to_least_energy(flattening->rest, development->flat_mm);
    tapul_rest_centre(flattening->rest, development->flat_mm);
    int overlap_vertex;
    tapul_development_measure(development, flattening, &overlap_vertex);
    if (!check_one_to_one(development, overlap_vertex, error))
        return NULL;
    tell(options, 1, "done");
    development->seconds = (double)(g_get_monotonic_time() - begun_us) / G_USEC_PER_SEC;
    return g_steal_pointer(&development);
}

gboolean tapul_development_hold(TapulDevelopment *development, int n_held,
                                const TapulHeldEdge *held, GError **error) {
    const TapulMesh *mesh = development->mesh;
    TapulDevelopOptions options = {.rule = TAPUL_DEVELOP_EVENED};
    g_assert(development->rule == TAPUL_DEVELOP_EVENED);
    g_autoptr(TapulFlattening) flattening = tapul_flattening_new(mesh);
    g_autofree int *order = g_new(int, mesh->n_vertices);
    tapul_factor_order(flattening->laplacian->factor, order);
    g_autoptr(TapulDescent) descent =
        tapul_descent_new(flattening->rest, flattening->laplacian->edges, order);
    tapul_descent_hold(descent, n_held, held);
    if (!tapul_flatten_evened(flattening, descent, &options, development->flat_mm, error))
        return FALSE;
    int overlap_vertex;
    tapul_development_measure(development, flattening, &overlap_vertex);
    return check_one_to_one(development, overlap_vertex, error);
}

void tapul_development_free(TapulDevelopment *development) {
    if (!development)
        return;
    g_free(development->flat_mm);
    g_free(development);
}

void tapul_development_place(TapulDevelopment *development, TapulSpot origin, TapulSpot above) {
    TapulVec2 from = tapul_development_point_mm(development, origin);
    TapulVec2 up = tapul_vec2_sub(tapul_development_point_mm(development, above), from);
    double turn_rad = tapul_vec2_length(up) > 0 ? G_PI / 2 - atan2(up.y, up.x) : 0;
    for (int v = 0; v < development->mesh->n_vertices; v++)
        development->flat_mm[v] =
            tapul_vec2_turn(tapul_vec2_sub(development->flat_mm[v], from), turn_rad);
}

void tapul_development_stretch(const TapulDevelopment *development, int triangle, double *s1,
                               double *s2, TapulVec2 *axis_1) {
    const int *corner = development->mesh->corner[triangle];
    TapulRestTriangle at_rest = tapul_rest_triangle(development->mesh, triangle);
    TapulJacobian jacobian = tapul_triangle_jacobian(&at_rest, development->flat_mm[corner[0]],
                                                     development->flat_mm[corner[1]],
                                                     development->flat_mm[corner[2]]);
    tapul_jacobian_stretches(jacobian, s1, s2);
    if (!axis_1)
        return;
    /* similar w + mirrored conj(w) is longest where both point the same way, which is the half
     * of their angles' sum. */
    double angle_rad = 0.5 * (atan2(jacobian.similar.y, jacobian.similar.x) +
                              atan2(jacobian.mirrored.y, jacobian.mirrored.x));
    *axis_1 = tapul_vec2(cos(angle_rad), sin(angle_rad));
}

TapulVec2 tapul_development_point_mm(const TapulDevelopment *development, TapulSpot spot) {
    const int *corner = development->mesh->corner[spot.triangle];
    TapulVec2 sum = {0, 0};
    for (int k = 0; k < 3; k++)
        sum = tapul_vec2_add(sum,
                             tapul_vec2_scale(development->flat_mm[corner[k]], spot.weight[k]));
    return sum;
}
