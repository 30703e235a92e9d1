/* tapul plate FILE: measures a plate, and prints a form for measuring another of its type.
 * tapul plate FOLDER: draws all plates of a folder on one sheet. */
#include "cli/verbs.h"

#include <glib/gstdio.h>
#include <string.h>
#include <tapul/case.h>
#include <tapul/sheets.h>

#define GIRTH_STEP_MM 50.0
#define PNG_DPI       200.0

static double chord_error_mm = 0.05;
static char *measuring_file, *contact_file;

static const GOptionEntry entries[] = {
    {"chord-error", 0, 0, G_OPTION_ARG_DOUBLE, &chord_error_mm,
     "how far the flat triangles may lie from the surface, mm (default 0.05)", "MM"},
    {"measuring-sheet", 0, 0, G_OPTION_ARG_FILENAME, &measuring_file,
     "also write a form for measuring a real plate of this type; pdf, or svg (its first page)",
     "OUT.pdf"},
    {"contact-sheet", 0, 0, G_OPTION_ARG_FILENAME, &contact_file,
     "FILE is a folder: draw all its plates at one scale; pdf, svg or png", "OUT.pdf"},
    {0},
};

/* --- One plate --- */

static double boundary_length_mm(const TapulMesh *mesh) {
    double sum = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->across[t][k] < 0)
                sum += tapul_vec3_distance(mesh->position_mm[mesh->corner[t][(k + 1) % 3]],
                                           mesh->position_mm[mesh->corner[t][(k + 2) % 3]]);
    return sum;
}

static void add_extents(JsonBuilder *builder, const TapulPlate *plate) {
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
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
        tapul_report_number(builder, "y_mm", y_mm, 3);
        tapul_report_number(builder, "girth_mm", right_mm - left_mm, 3);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

/* How far each reading is from the surface that the others make. */
static void add_readings(JsonBuilder *builder, const GArray *readings) {
    json_builder_set_member_name(builder, "readings");
    json_builder_begin_array(builder);
    for (guint i = 0; i < readings->len; i++) {
        const TapulReading *reading = &g_array_index(readings, TapulReading, i);
        json_builder_begin_object(builder);
        tapul_report_number(builder, "y_mm", reading->y_mm, 3);
        tapul_report_number(builder, "x_mm", reading->x_mm, 3);
        tapul_report_number(builder, "z_mm", reading->z_mm, 3);
        tapul_report_number(builder, "off_mm", reading->off_mm, 2);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static void add_slips(JsonBuilder *builder, const GArray *readings) {
    for (guint i = 0; i < readings->len; i++) {
        const TapulReading *reading = &g_array_index(readings, TapulReading, i);
        g_autofree char *text = g_strdup_printf(
            "the reading x %g, z %g at y %g mm is %.1f mm from the surface that the "
            "others make: a slip of the pen?",
            reading->x_mm, reading->z_mm, reading->y_mm, reading->off_mm);
        if (reading->likely_slip)
            json_builder_add_string_value(builder, text);
    }
}

static void add_names(JsonBuilder *builder, const TapulPlate *plate, const GArray *readings) {
    const GPtrArray *problems = tapul_plate_problems(plate);
    json_builder_set_member_name(builder, "fields");
    json_builder_begin_array(builder);
    for (int i = 0; i < tapul_plate_n_fields(plate); i++)
        json_builder_add_string_value(builder, tapul_plate_field(plate, i)->id);
    json_builder_end_array(builder);
    json_builder_set_member_name(builder, "problems");
    json_builder_begin_array(builder);
    for (guint i = 0; i < problems->len; i++)
        json_builder_add_string_value(builder, g_ptr_array_index(problems, i));
    add_slips(builder, readings);
    json_builder_end_array(builder);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    tapul_note_fit(notes, plate);
    tapul_report_notes(builder, notes);
}

static JsonNode *report(const TapulPlate *plate, char *const *files) {
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    JsonBuilder *builder = tapul_report_begin("plate");
    tapul_report_text(builder, "name", tapul_plate_name(plate));
    tapul_report_text(builder, "kind", tapul_plate_kind(plate));
    tapul_report_text(builder, "source", tapul_plate_source(plate));
    tapul_report_integer(builder, "vertices", mesh->n_vertices);
    tapul_report_integer(builder, "triangles", mesh->n_triangles);
    tapul_report_number(builder, "area_mm2", tapul_mesh_area_mm2(mesh), 2);
    tapul_report_number(builder, "boundary_mm", boundary_length_mm(mesh), 3);
    add_extents(builder, plate);
    add_girths(builder, plate);
    tapul_report_fit(builder, plate);
    tapul_report_number(builder, "total_curvature_rad", tapul_mesh_total_curvature_rad(mesh),
                        6);
    g_autoptr(GArray) readings = tapul_plate_check_readings(plate);
    add_readings(builder, readings);
    add_names(builder, plate, readings);
    tapul_report_files(builder, files);
    return tapul_report_end(builder);
}

static JsonNode *measure(const TapulCall *call, const TapulPlateOptions *options,
                         GError **error) {
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(TapulPlate) plate = tapul_plate_load(call->file, options, error);
    if (!plate)
        return NULL;
    if (measuring_file) {
        g_autoptr(GPtrArray) pages = tapul_sheet_measuring(plate, error);
        TapulPage *const *page = pages ? (TapulPage *const *)pages->pdata : NULL;
        if (!page ||
            !(g_str_has_suffix(measuring_file, ".svg")
                  ? tapul_page_write_svg(page[0], measuring_file, error)
                  : tapul_page_write_pdf(page, (int)pages->len, measuring_file, error)))
            return NULL;
        g_ptr_array_add(files, g_strdup(measuring_file));
    }
    g_ptr_array_add(files, NULL);
    return report(plate, (char *const *)files->pdata);
}

/* --- A folder of plates --- */

/* A plate with all that drawing it asks for. */
typedef struct {
    char *file;
    TapulPlate *plate;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
} Drawn;

static void drawn_free(Drawn *drawn) {
    tapul_development_finder_free(drawn->finder);
    tapul_development_free(drawn->development);
    tapul_plate_free(drawn->plate);
    g_free(drawn->file);
    g_free(drawn);
}

static int compare_paths(gconstpointer a, gconstpointer b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* The folder's plate descriptions, by name; NULL with an error where there are none. */
static GPtrArray *list_plates(const char *folder, GError **error) {
    g_autoptr(GDir) directory = g_dir_open(folder, 0, error);
    if (!directory)
        return NULL;
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    for (const char *name; (name = g_dir_read_name(directory));)
        if (name[0] != '.' && g_str_has_suffix(name, ".yaml"))
            g_ptr_array_add(paths, g_build_filename(folder, name, NULL));
    g_ptr_array_sort(paths, compare_paths);
    if (paths->len == 0) {
        g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_NOENT,
                    "%s: the folder holds no plate (*.yaml)", folder);
        return NULL;
    }
    return g_steal_pointer(&paths);
}

/* The first of a message's lines, and how many more there are: a folder's fault is one line. */
static void shorten_message(GError *error) {
    g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
    guint n = g_strv_length(lines);
    if (n < 2)
        return;
    g_free(error->message);
    error->message = g_strdup_printf("%s (and %u more of this file)", lines[0], n - 1);
}

static Drawn *prepare(const char *path, const TapulPlateOptions *options, GError **error) {
    TapulDevelopOptions develop = tapul_develop_options_defaults();
    Drawn *drawn = g_new0(Drawn, 1);
    drawn->file = g_strdup(path);
    drawn->plate = tapul_plate_load(path, options, error);
    if (drawn->plate)
        drawn->development = tapul_develop(tapul_plate_mesh(drawn->plate), &develop, error);
    if (!drawn->development) {
        if (drawn->plate)
            g_prefix_error(error, "%s: ", path);
        drawn_free(drawn);
        return NULL;
    }
    tapul_ground_place(drawn->plate, drawn->development);
    drawn->finder = tapul_development_finder_new(drawn->development);
    return drawn;
}

static GPtrArray *prepare_all(const char *folder, const TapulPlateOptions *options,
                              GError **error) {
    g_autoptr(GPtrArray) paths = list_plates(folder, error);
    g_autoptr(GPtrArray) plates = g_ptr_array_new_with_free_func((GDestroyNotify)drawn_free);
    for (guint i = 0; paths && i < paths->len; i++) {
        GError *fault = NULL;
        tapul_show_progress((double)i / paths->len, "plates", NULL);
        Drawn *drawn = prepare(paths->pdata[i], options, &fault);
        if (!drawn) {
            shorten_message(fault);
            g_propagate_error(error, fault);
            return NULL;
        }
        g_ptr_array_add(plates, drawn);
    }
    return paths ? g_steal_pointer(&plates) : NULL;
}

/* "plates.svg", then "plates-2.svg" and on. */
static char *numbered_path(const char *path, guint number) {
    if (number == 1)
        return g_strdup(path);
    const char *dot = strrchr(path, '.');
    return g_strdup_printf("%.*s-%u%s", (int)(dot - path), path, number, dot);
}

/* A picture for each page; all of them or none. */
static gboolean write_pictures(const GPtrArray *pages, GPtrArray *files, GError **error) {
    for (guint i = 0; i < pages->len; i++) {
        char *path = numbered_path(contact_file, i + 1);
        gboolean written = g_str_has_suffix(path, ".png")
                               ? tapul_page_write_png(pages->pdata[i], PNG_DPI, path, error)
                               : tapul_page_write_svg(pages->pdata[i], path, error);
        if (!written) {
            for (guint k = 0; k < files->len; k++)
                g_remove(files->pdata[k]);
            g_free(path);
            return FALSE;
        }
        g_ptr_array_add(files, path);
    }
    return TRUE;
}

static gboolean write_contact(const GPtrArray *plates, const char *folder, GPtrArray *files,
                              GError **error) {
    g_autofree TapulGround *grounds = g_new(TapulGround, plates->len);
    for (guint i = 0; i < plates->len; i++) {
        const Drawn *drawn = plates->pdata[i];
        grounds[i] = (TapulGround){drawn->plate, drawn->development, drawn->finder};
    }
    g_autofree char *whole = g_canonicalize_filename(folder, NULL);
    g_autofree char *name = g_path_get_basename(whole);
    g_autofree char *title = g_strdup_printf("Plates: %s", name);
    g_autoptr(GPtrArray) pages = tapul_sheet_contact(title, (int)plates->len, grounds);
    if (!g_str_has_suffix(contact_file, ".pdf"))
        return write_pictures(pages, files, error);
    g_ptr_array_add(files, g_strdup(contact_file));
    return tapul_page_write_pdf((TapulPage *const *)pages->pdata, (int)pages->len, contact_file,
                                error);
}

static JsonNode *survey(const TapulCall *call, const TapulPlateOptions *options,
                        GError **error) {
    g_autoptr(GPtrArray) plates = prepare_all(call->file, options, error);
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    if (!plates || !write_contact(plates, call->file, files, error))
        return NULL;
    g_ptr_array_add(files, NULL);
    JsonBuilder *builder = tapul_report_begin("plate");
    json_builder_set_member_name(builder, "plates");
    json_builder_begin_array(builder);
    for (guint i = 0; i < plates->len; i++) {
        const Drawn *drawn = plates->pdata[i];
        json_builder_begin_object(builder);
        tapul_report_text(builder, "name", tapul_plate_name(drawn->plate));
        tapul_report_text(builder, "file", drawn->file);
        add_extents(builder, drawn->plate);
        tapul_report_number(builder, "area_mm2",
                            tapul_mesh_area_mm2(tapul_plate_mesh(drawn->plate)), 2);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

/* --- Options --- */

static gboolean check_ending(const char *option, const char *path, const char *const *endings,
                             GError **error) {
    for (guint i = 0; endings[i]; i++)
        if (g_str_has_suffix(path, endings[i]))
            return TRUE;
    g_autofree char *permitted = g_strjoinv(", ", (char **)endings);
    g_set_error(error, TAPUL_USAGE_ERROR, 0, "--%s %s: the name's ending is none of: %s",
                option, path, permitted);
    return FALSE;
}

static gboolean check_options(const TapulCall *call, gboolean folder, GError **error) {
    static const char *const page_endings[] = {".pdf", ".svg", NULL};
    static const char *const picture_endings[] = {".pdf", ".svg", ".png", NULL};
    if (!(chord_error_mm >= 0.001 && chord_error_mm <= 5)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--chord-error %g is not between 0.001 and 5 mm", chord_error_mm);
        return FALSE;
    }
    if (contact_file && !folder) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "%s: --contact-sheet draws the plates of a folder, and this is none",
                    call->file);
        return FALSE;
    }
    if (folder && (!contact_file || measuring_file)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "%s is a folder: give it with --contact-sheet alone, or name one plate's "
                    "file",
                    call->file);
        return FALSE;
    }
    return (!measuring_file ||
            check_ending("measuring-sheet", measuring_file, page_endings, error)) &&
           (!contact_file ||
            check_ending("contact-sheet", contact_file, picture_endings, error));
}

static JsonNode *run(const TapulCall *call, GError **error) {
    gboolean folder = g_file_test(call->file, G_FILE_TEST_IS_DIR);
    if (!check_options(call, folder, error))
        return NULL;
    TapulPlateOptions options = tapul_plate_options_defaults();
    options.chord_error_mm = chord_error_mm;
    return folder ? survey(call, &options, error) : measure(call, &options, error);
}

const TapulVerbEntry tapul_verb_plate = {"plate", "FILE", "measures a plate", entries, run};
