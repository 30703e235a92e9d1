/* Reads a case file: its plate first, which is developed, then prints, pairs, layings and the
 * tracing, each of which may name points of the plate. */
#include "laying/case_internal.h"
#include "plate/fit.h"

#include <string.h>

G_DEFINE_QUARK(tapul - case -error - quark, tapul_case_error)

#define DEFAULT_PICK_SD_MM 0.5

TapulCaseOptions tapul_case_options_defaults(void) {
    return (TapulCaseOptions){.plate = tapul_plate_options_defaults()};
}

static void print_free(gpointer data) {
    TapulPrint *print = data;
    g_free(print->id);
    g_free(print->file);
    g_free(print->title);
    g_free(print->credit);
    tapul_ink_free(print->ink);
    g_free(print);
}

static void laying_free(gpointer data) {
    TapulCaseLaying *laying = data;
    g_free((TapulVec2 *)laying->options.pin_print_mm);
    g_free((TapulVec2 *)laying->options.pin_developed_mm);
    g_free((TapulSpot *)laying->options.border.points);
    g_free((TapulVec2 *)laying->options.fill.frame_mm);
    g_free(laying->place);
    g_free(laying);
}

static void pair_free(gpointer data) {
    TapulPair *pair = data;
    g_free(pair->name);
    g_free(pair);
}

static TapulCase *case_alloc(const char *path) {
    TapulCase *made = g_new0(TapulCase, 1);
    made->path = g_strdup(path);
    made->prints = g_ptr_array_new_with_free_func(print_free);
    made->layings = g_ptr_array_new_with_free_func(laying_free);
    made->pairs = g_ptr_array_new_with_free_func(pair_free);
    made->photos = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_photo_free);
    made->pick_sd_mm = DEFAULT_PICK_SD_MM;
    made->cuts = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    made->opening_mm = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    tapul_case_sheet_init(&made->sheet);
    tapul_case_pounce_init(&made->pounce);
    return made;
}

void tapul_case_free(TapulCase *question) {
    if (!question)
        return;
    g_free(question->path);
    g_free(question->title);
    g_free(question->credit);
    g_ptr_array_unref(question->prints);
    g_ptr_array_unref(question->layings);
    g_ptr_array_unref(question->pairs);
    g_ptr_array_unref(question->photos);
    tapul_ink_free(question->found);
    g_free(question->lift.place);
    tapul_path_free(question->lift.region);
    g_free(question->lift.region_name);
    g_ptr_array_unref(question->cuts);
    g_ptr_array_unref(question->opening_mm);
    tapul_case_sheet_clear(&question->sheet);
    tapul_case_pounce_clear(&question->pounce);
    tapul_development_finder_free(question->finder);
    tapul_development_free(question->development);
    tapul_plate_free(question->plate);
    g_free(question);
}

int tapul_case_print_index(const TapulCase *question, const char *id) {
    for (guint i = 0; id && i < question->prints->len; i++)
        if (strcmp(((TapulPrint *)g_ptr_array_index(question->prints, i))->id, id) == 0)
            return (int)i;
    return -1;
}

/* The lowest point of the plate's edge, for plates the medial plane misses. */
static TapulSpot lowest_corner(const TapulMesh *mesh) {
    TapulSpot lowest = {.triangle = 0, .weight = {1, 0, 0}};
    double y_mm = INFINITY;
    for (int t = 0; t < mesh->n_triangles; t++) {
        for (int k = 0; k < 3; k++) {
            if (mesh->position_mm[mesh->corner[t][k]].y >= y_mm)
                continue;
            y_mm = mesh->position_mm[mesh->corner[t][k]].y;
            lowest = (TapulSpot){.triangle = t};
            lowest.weight[k] = 1;
        }
    }
    return lowest;
}

/* The mesh vertex nearest to straight above a point at half the plate's height. */
static TapulSpot spot_above(const TapulPlate *plate, TapulSpot origin) {
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    TapulVec3 start = tapul_mesh_flat_position_mm(mesh, origin);
    double top_mm = -INFINITY;
    for (int v = 0; v < mesh->n_vertices; v++)
        top_mm = fmax(top_mm, mesh->position_mm[v].y);
    TapulSpot above;
    tapul_mesh_tree_nearest(tapul_plate_tree(plate),
                            tapul_vec3(start.x, (start.y + top_mm) / 2, start.z), &above);
    return above;
}

void tapul_ground_place(const TapulPlate *plate, TapulDevelopment *development) {
    const GArray *medial = tapul_plate_medial_line(plate);
    TapulSpot origin =
        medial ? g_array_index(medial, TapulSpot, 0) : lowest_corner(tapul_plate_mesh(plate));
    TapulSpot above =
        medial ? g_array_index(medial, TapulSpot, medial->len - 1) : spot_above(plate, origin);
    tapul_development_place(development, origin, above);
}

static void read_plate(TapulCaseReading *reading, const TapulCaseOptions *options) {
    g_autoptr(GError) error = NULL;
    const char *file = tapul_document_text(reading->document, reading->root, "plate", TRUE);
    if (!file)
        return;
    g_autofree char *path = tapul_document_resolve(reading->document, file);
    TapulPlateOptions plate_options = options->plate;
    tapul_plate_fit_read(reading->document, reading->root, &plate_options.fit);
    plate_options.to_be_opened = tapul_case_has_cuts(reading);
    reading->made->plate = tapul_plate_load(path, &plate_options, &error);
    if (error) {
        /* The plate file's own lines are kept apart: each already names its file and line. */
        g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
        for (guint i = 0; lines[i]; i++)
            tapul_document_fault(reading->document,
                                 tapul_document_get(reading->document, reading->root, "plate"),
                                 "plate: %s", lines[i]);
    }
}

static TapulDevelopmentRule read_rule(TapulCaseReading *reading) {
    static const char *const keys[] = {"rule", "cuts", NULL};
    static const char *const rules[] = {"conformal", "least-stretch", "evened", NULL};
    const TapulNode *map = tapul_document_get(reading->document, reading->root, "development");
    TapulDevelopmentRule rule = TAPUL_DEVELOP_LEAST_STRETCH;

    tapul_document_expect_keys(reading->document, map, keys);
    int choice = tapul_document_choice(reading->document, map, "rule", FALSE, rules);
    if (choice >= 0)
        tapul_development_rule_from_name(rules[choice], &rule);
    return rule;
}

static void develop(TapulCaseReading *reading, TapulDevelopmentRule rule,
                    const TapulCaseOptions *options) {
    TapulCase *made = reading->made;
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions develop_options = tapul_develop_options_defaults();
    develop_options.rule = rule;
    develop_options.progress = options->progress;
    develop_options.progress_data = options->progress_data;
    made->development = tapul_develop(tapul_plate_mesh(made->plate), &develop_options, &error);
    if (!made->development) {
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, reading->root, "plate"),
                             "plate: %s", error->message);
        return;
    }
    tapul_ground_place(made->plate, made->development);
    made->finder = tapul_development_finder_new(made->development);
    made->ground = (TapulGround){made->plate, made->development, made->finder};
}

static void read_case(TapulCaseReading *reading, const TapulCaseOptions *options) {
    static const char *const keys[] = {
        "tapul",   "title", "credit",     "plate",  "development", "prints",
        "layings", "pairs", "pick_sd_mm", "found",  "photo",       "photos",
        "fit",     "lift",  "sheet",      "pounce", NULL};
    TapulDocument *document = reading->document;
    TapulCase *made = reading->made;

    const char *kind = tapul_document_text(document, reading->root, "tapul", TRUE);
    if (kind && strcmp(kind, "case/1") != 0) {
        /* Of another kind of file no other fault is worth telling. */
        tapul_document_fault(document, tapul_document_get(document, reading->root, "tapul"),
                             "tapul: '%s' where 'case/1' was expected", kind);
        return;
    }
    tapul_document_expect_keys(document, reading->root, keys);
    made->title = g_strdup(tapul_document_text(document, reading->root, "title", TRUE));
    const char *credit = tapul_document_text(document, reading->root, "credit", FALSE);
    made->credit = g_strdup(credit ? credit : "");
    tapul_document_number(document, reading->root, "pick_sd_mm", FALSE, 0, 50,
                          &made->pick_sd_mm);
    TapulDevelopmentRule rule = read_rule(reading);
    read_plate(reading, options);
    gboolean cut = tapul_case_read_cuts(reading, options->leave_cuts);
    if (!options->ground_only) {
        tapul_case_read_photos(reading);
        tapul_case_read_prints(reading);
    }
    if (made->plate && cut)
        develop(reading, options->rule ? *options->rule : rule, options);
    if (options->ground_only)
        return;
    tapul_case_read_pairs(reading);
    tapul_case_read_layings(reading);
    tapul_case_read_found(reading);
    tapul_case_read_lift(reading);
    tapul_case_read_sheet(reading);
    tapul_case_read_pounce(reading);
}

TapulCase *tapul_case_load(const char *path, const TapulCaseOptions *options, GError **error) {
    TapulCaseOptions defaults = tapul_case_options_defaults();
    g_autoptr(TapulDocument) document = tapul_document_load(path, error);
    if (!document)
        return NULL;
    g_autoptr(TapulCase) made = case_alloc(path);
    TapulCaseReading reading = {document, tapul_document_root(document), made};
    g_autoptr(GError) faults = NULL;

    read_case(&reading, options ? options : &defaults);
    if (!tapul_document_check(document, &faults)) {
        g_set_error_literal(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE, faults->message);
        return NULL;
    }
    return g_steal_pointer(&made);
}
