/* tapul plate FILE: measures a plate. */
#include "cli/verbs.h"

#define GIRTH_STEP_MM 50.0

static double chord_error_mm = 0.05;

static const GOptionEntry entries[] = {
    {"chord-error", 0, 0, G_OPTION_ARG_DOUBLE, &chord_error_mm,
     "how far the flat triangles may lie from the surface, mm (default 0.05)", "MM"},
    {0},
};

static double boundary_length_mm(const TapulMesh *mesh) {
    double sum = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->across[t][k] < 0)
                sum += tapul_vec3_distance(mesh->position_mm[mesh->corner[t][(k + 1) % 3]],
                                           mesh->position_mm[mesh->corner[t][(k + 2) % 3]]);
    return sum;
}

static void add_extents(JsonBuilder *builder, const TapulMesh *mesh) {
    TapulVec3 low = {INFINITY, INFINITY, INFINITY}, high = {-INFINITY, -INFINITY, -INFINITY};
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulVec3 p = mesh->position_mm[v];
        low = tapul_vec3(fmin(low.x, p.x), fmin(low.y, p.y), fmin(low.z, p.z));
        high = tapul_vec3(fmax(high.x, p.x), fmax(high.y, p.y), fmax(high.z, p.z));
    }
    tapul_report_number(builder, "height_mm", high.y - low.y, 3);
    tapul_report_number(builder, "width_mm", high.x - low.x, 3);
    tapul_report_number(builder, "depth_mm", high.z - low.z, 3);
}

/* Girths over the metal at every step up the medial line. */
static void add_girths(JsonBuilder *builder, const TapulPlate *plate) {
    json_builder_set_member_name(builder, "girths");
    json_builder_begin_array(builder);
    for (double up_mm = 0; tapul_plate_medial_line(plate); up_mm += GIRTH_STEP_MM) {
        TapulSpot spot;
        double left_mm, right_mm;
        if (!tapul_plate_spot_from_tape(plate, 0, up_mm, &spot, NULL))
            break;
        double y_mm = tapul_mesh_flat_position_mm(tapul_plate_mesh(plate), spot).y;
        if (!tapul_plate_level_extent(plate, y_mm, &left_mm, &right_mm))
            continue;
        json_builder_begin_object(builder);
        tapul_report_number(builder, "up_mm", up_mm, 3);
        tapul_report_number(builder, "girth_mm", right_mm - left_mm, 3);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulPlateOptions options = tapul_plate_options_defaults();
    if (!(chord_error_mm >= 0.001 && chord_error_mm <= 5)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--chord-error %g is not between 0.001 and 5 mm", chord_error_mm);
        return NULL;
    }
    options.chord_error_mm = chord_error_mm;
    g_autoptr(TapulPlate) plate = tapul_plate_load(call->file, &options, error);
    if (!plate)
        return NULL;
    const TapulMesh *mesh = tapul_plate_mesh(plate);

    JsonBuilder *builder = tapul_report_begin("plate");
    tapul_report_text(builder, "name", tapul_plate_name(plate));
    tapul_report_text(builder, "kind", tapul_plate_kind(plate));
    tapul_report_text(builder, "source", tapul_plate_source(plate));
    tapul_report_integer(builder, "vertices", mesh->n_vertices);
    tapul_report_integer(builder, "triangles", mesh->n_triangles);
    tapul_report_number(builder, "area_mm2", tapul_mesh_area_mm2(mesh), 2);
    tapul_report_number(builder, "boundary_mm", boundary_length_mm(mesh), 3);
    add_extents(builder, mesh);
    add_girths(builder, plate);
    tapul_report_number(builder, "total_curvature_rad", tapul_mesh_total_curvature_rad(mesh),
                        6);
    json_builder_set_member_name(builder, "fields");
    json_builder_begin_array(builder);
    for (int i = 0; i < tapul_plate_n_fields(plate); i++)
        json_builder_add_string_value(builder, tapul_plate_field(plate, i)->id);
    json_builder_end_array(builder);
    json_builder_set_member_name(builder, "problems");
    json_builder_begin_array(builder);
    const GPtrArray *problems = tapul_plate_problems(plate);
    for (guint i = 0; i < problems->len; i++)
        json_builder_add_string_value(builder, g_ptr_array_index(problems, i));
    json_builder_end_array(builder);
    return tapul_report_end(builder);
}

const TapulVerbEntry tapul_verb_plate = {"plate", "FILE", "measures a plate", entries, run};
