/* tapul develop FILE: lays a plate flat, or that of a case, opened along its cuts; and draws it
 * with its stretch. */
#include "base/document.h"
#include "cli/verbs.h"

#include <tapul/case.h>
#include <tapul/sheets.h>

static char *rule_name, *mesh_file;

static const GOptionEntry entries[] = {
    {"rule", 0, 0, G_OPTION_ARG_STRING, &rule_name,
     "conformal, least-stretch (default) or evened; over the case's own", "R"},
    {"mesh", 0, 0, G_OPTION_ARG_FILENAME, &mesh_file,
     "write an OBJ: v the plate, vt the development, in mm", "OUT.obj"},
    {0},
};

static void add_stretch(JsonBuilder *builder, const TapulStretchSummary *stretch) {
    json_builder_set_member_name(builder, "stretch");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "min", stretch->min, 6);
    tapul_report_number(builder, "mean", stretch->mean, 6);
    tapul_report_number(builder, "p95", stretch->p95, 6);
    tapul_report_number(builder, "p999", stretch->p999, 6);
    tapul_report_number(builder, "max", stretch->max, 6);
    json_builder_end_object(builder);
}

static void add_worst(JsonBuilder *builder, const TapulDevelopment *development) {
    TapulSpot middle = {development->stretch.worst_triangle, {1 / 3.0, 1 / 3.0, 1 / 3.0}};
    TapulVec3 plate = tapul_mesh_flat_position_mm(development->mesh, middle);
    TapulVec2 flat = tapul_development_point_mm(development, middle);
    json_builder_set_member_name(builder, "worst");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "x_mm", plate.x, 2);
    tapul_report_number(builder, "y_mm", plate.y, 2);
    tapul_report_number(builder, "z_mm", plate.z, 2);
    tapul_report_number(builder, "dev_x_mm", flat.x, 2);
    tapul_report_number(builder, "dev_y_mm", flat.y, 2);
    json_builder_end_object(builder);
}

static JsonNode *report(const TapulDevelopment *development, char *const *files) {
    JsonBuilder *builder = tapul_report_begin("develop");
    tapul_report_text(builder, "rule", tapul_development_rule_name(development->rule));
    tapul_report_number(builder, "area_mm2", development->area_mm2, 2);
    tapul_report_number(builder, "developed_area_mm2", development->developed_area_mm2, 2);
    tapul_report_integer(builder, "flipped", development->flipped);
    tapul_report_integer(builder, "overlaps", development->overlaps);
    add_stretch(builder, &development->stretch);
    add_worst(builder, development);
    json_builder_set_member_name(builder, "angle_deg");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "mean", development->angle_mean_rad * 180 / G_PI, 6);
    tapul_report_number(builder, "max", development->angle_max_rad * 180 / G_PI, 6);
    json_builder_end_object(builder);
    tapul_report_number(builder, "energy", development->energy, 8);
    tapul_report_number(builder, "seconds", development->seconds, 3);
    tapul_report_files(builder, files);
    return tapul_report_end(builder);
}

/* Draws both sheets into the folder; the files' names are added to the list. */
static gboolean draw(const TapulGround *ground, const char *folder, GPtrArray *files,
                     GError **error) {
    g_autoptr(TapulPage) outline = tapul_sheet_development(ground);
    g_autoptr(TapulPage) stretch = tapul_sheet_stretch(ground);
    TapulPage *pages[] = {outline, stretch};
    static const char *const names[] = {"development.svg", "stretch.svg", "development.pdf"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        g_ptr_array_add(files, g_build_filename(folder, names[i], NULL));
    return tapul_pages_write(pages, (const char *const *)files->pdata, 2,
                             g_ptr_array_index(files, 2), error);
}

/* What was developed: a case's plate, which the case owns, or a plate by itself. */
typedef struct {
    TapulCase *question;
    TapulPlate *plate;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
    TapulGround ground;
} Developed;

static void developed_clear(Developed *developed) {
    tapul_case_free(developed->question);
    tapul_development_finder_free(developed->finder);
    tapul_development_free(developed->development);
    tapul_plate_free(developed->plate);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Developed, developed_clear)

static gboolean is_case(const char *path) {
    if (!g_str_has_suffix(path, ".yaml") && !g_str_has_suffix(path, ".yml"))
        return FALSE;
    g_autoptr(TapulDocument) document = tapul_document_load(path, NULL);
    const char *kind = document ? tapul_node_text(tapul_document_get(
                                      document, tapul_document_root(document), "tapul"))
                                : NULL;
    return kind && g_str_has_prefix(kind, "case/");
}

/* The plate of a case, opened along its cuts. */
static gboolean develop_case(const char *path, const TapulDevelopOptions *options,
                             Developed *developed, GError **error) {
    TapulCaseOptions case_options = tapul_case_options_defaults();
    case_options.ground_only = TRUE;
    case_options.rule = rule_name ? &options->rule : NULL;
    case_options.progress = options->progress;
    developed->question = tapul_case_load(path, &case_options, error);
    if (!developed->question)
        return FALSE;
    developed->ground = developed->question->ground;
    return TRUE;
}

static gboolean develop_plate(const char *path, const TapulDevelopOptions *options,
                              Developed *developed, GError **error) {
    developed->plate = tapul_plate_load(path, NULL, error);
    if (!developed->plate)
        return FALSE;
    developed->development = tapul_develop(tapul_plate_mesh(developed->plate), options, error);
    if (!developed->development) {
        g_prefix_error(error, "%s: ", path);
        return FALSE;
    }
    tapul_ground_place(developed->plate, developed->development);
    developed->finder = tapul_development_finder_new(developed->development);
    developed->ground =
        (TapulGround){developed->plate, developed->development, developed->finder};
    return TRUE;
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulDevelopOptions options = tapul_develop_options_defaults();
    options.progress = tapul_show_progress;
    if (rule_name && !tapul_development_rule_from_name(rule_name, &options.rule)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--rule '%s' is none of: conformal, least-stretch, evened", rule_name);
        return NULL;
    }
    g_auto(Developed) developed = {0};
    gboolean done = is_case(call->file)
                        ? develop_case(call->file, &options, &developed, error)
                        : develop_plate(call->file, &options, &developed, error);
    g_autofree char *folder = done ? tapul_output_folder(call, error) : NULL;
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    if (!folder || !draw(&developed.ground, folder, files, error))
        return NULL;
    const TapulDevelopment *development = developed.ground.development;
    if (mesh_file) {
        g_ptr_array_add(files, g_strdup(mesh_file));
        if (!tapul_mesh_write_obj(development->mesh, development->flat_mm, mesh_file, error))
            return NULL;
    }
    g_ptr_array_add(files, NULL);
    return report(development, (char *const *)files->pdata);
}

const TapulVerbEntry tapul_verb_develop = {"develop", "FILE", "lays a plate flat", entries,
                                           run};
