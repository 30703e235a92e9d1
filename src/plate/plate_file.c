/* Reads a plate description (tapul: plate/1) or a bare mesh, and builds the plate. */
#include "base/document.h"
#include "plate/plate_private.h"

#include <string.h>

#define LARGEST_LENGTH_MM 5000.0
#define LEAST_LENGTH_MM   1.0
#define MOST_STATIONS     500
#define MOST_POINTS       5000

static const char *const kind_names[] = {"stations", "cylinder", "cone", "sphere",
                                         "revolved", "mesh",     NULL};

/* Everything a description says, read before anything is built. */
typedef struct {
    TapulDocument *document;
    const TapulNode *surface_node;
    int kind;
    GArray *y_mm;          /* stations: of double */
    GPtrArray *sections;   /* stations: of GArray */
    GArray *station_lines; /* of const TapulNode* */
    GArray *profile_mm;
    double lower_radius_mm, upper_radius_mm, height_mm, radius_mm, sweep_deg, half_angle_deg;
    const char *mesh_file;
    int unit;
    gboolean ridge;
    GArray *outline_mm;
} Description;

TapulPlateOptions tapul_plate_options_defaults(void) {
    return (TapulPlateOptions){.chord_error_mm = 0.05};
}

static void description_clear(Description *description) {
    g_clear_pointer(&description->y_mm, g_array_unref);
    g_clear_pointer(&description->sections, g_ptr_array_unref);
    g_clear_pointer(&description->station_lines, g_array_unref);
    g_clear_pointer(&description->profile_mm, g_array_unref);
    g_clear_pointer(&description->outline_mm, g_array_unref);
    g_clear_pointer(&description->document, tapul_document_free);
}

static void read_polygon(Description *description, const TapulNode *map, const char *key,
                         gboolean required, GArray **polygon) {
    *polygon =
        tapul_document_points(description->document, map, key, required, 3, LARGEST_LENGTH_MM);
    if (!*polygon)
        return;
    /* A polygon written with its first point again at the end means the same. */
    GArray *points = *polygon;
    if (tapul_vec2_distance(g_array_index(points, TapulVec2, 0),
                            g_array_index(points, TapulVec2, points->len - 1)) < 1e-9)
        g_array_set_size(points, points->len - 1);
    g_autofree char *fault =
        points->len > MOST_POINTS
            ? g_strdup_printf("%u points are more than %d", points->len, MOST_POINTS)
        : points->len < 3 ? g_strdup("at least 3 points are needed")
                          : tapul_plate_polygon_fault(points);
    if (fault)
        tapul_document_fault(description->document,
                             tapul_document_get(description->document, map, key), "%s: %s", key,
                             fault);
}

static void read_stations(Description *description, const TapulNode *surface) {
    static const char *const keys[] = {"y_mm", "section_mm", NULL};
    TapulDocument *document = description->document;
    const TapulNode *list = tapul_document_get(document, surface, "stations");
    int n = tapul_document_list_length(document, list, "stations");

    description->y_mm = g_array_new(FALSE, FALSE, sizeof(double));
    description->sections = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    description->station_lines = g_array_new(FALSE, FALSE, sizeof(const TapulNode *));
    if (n < 2 || n > MOST_STATIONS) {
        tapul_document_fault(document, list ? list : surface,
                             "stations: %d given, between 2 and %d are needed", n,
                             MOST_STATIONS);
        return;
    }
    for (int i = 0; i < n; i++) {
        const TapulNode *station = tapul_document_list_item(document, list, i);
        double y_mm = 0;
        tapul_document_expect_keys(document, station, keys);
        gboolean good = tapul_document_number(document, station, "y_mm", TRUE,
                                              -LARGEST_LENGTH_MM, LARGEST_LENGTH_MM, &y_mm);
        GArray *section =
            tapul_document_points(document, station, "section_mm", TRUE, 2, LARGEST_LENGTH_MM);
        if (!section)
            continue;
        g_ptr_array_add(description->sections, section);
        double above = description->y_mm->len > 0 ? g_array_index(description->y_mm, double,
                                                                  description->y_mm->len - 1)
                                                  : -INFINITY;
        if (good && !(y_mm > above))
            tapul_document_fault(
                document, tapul_document_get(document, station, "y_mm"),
                "y_mm: stations run from the lower edge up, but %g is not above %g mm", y_mm,
                above);
        g_array_append_val(description->y_mm, y_mm);
        g_array_append_val(description->station_lines, station);
    }
}

static void read_profile(Description *description, const TapulNode *surface) {
    TapulDocument *document = description->document;
    GArray *profile =
        tapul_document_points(document, surface, "profile_mm", TRUE, 2, LARGEST_LENGTH_MM);
    description->profile_mm = profile;
    const TapulNode *node = tapul_document_get(document, surface, "profile_mm");
    for (guint i = 0; profile && i < profile->len; i++) {
        TapulVec2 p = g_array_index(profile, TapulVec2, i);
        double least = profile->len == 2 ? 0 : LEAST_LENGTH_MM;
        if (p.x < least)
            tapul_document_fault(
                document, node, "profile_mm: a radius of %g mm is less than %g mm", p.x, least);
        if (i > 0 && tapul_vec2_distance(p, g_array_index(profile, TapulVec2, i - 1)) < 1e-6)
            tapul_document_fault(document, node, "profile_mm: points %u and %u are the same", i,
                                 i + 1);
    }
    if (profile && profile->len == 2 &&
        g_array_index(profile, TapulVec2, 0).x < LEAST_LENGTH_MM &&
        g_array_index(profile, TapulVec2, 1).x < LEAST_LENGTH_MM)
        tapul_document_fault(document, node, "profile_mm: both radii are less than %g mm",
                             LEAST_LENGTH_MM);
}

static void read_mesh_source(Description *description, const TapulNode *surface) {
    static const char *const units[] = {"mm", "cm", "m", "in", NULL};
    TapulDocument *document = description->document;
    description->mesh_file = tapul_document_text(document, surface, "file", TRUE);
    if (tapul_document_get(document, surface, "unit"))
        description->unit = tapul_document_choice(document, surface, "unit", FALSE, units);
}

static void read_surface(Description *description, const TapulNode *root) {
    static const char *const station_keys[] = {"kind", "stations", NULL};
    static const char *const cylinder_keys[] = {"kind", "radius_mm", "height_mm", "sweep_deg",
                                                NULL};
    static const char *const cone_keys[] = {"kind",      "lower_radius_mm", "upper_radius_mm",
                                            "height_mm", "sweep_deg",       NULL};
    static const char *const sphere_keys[] = {"kind", "radius_mm", "half_angle_deg", NULL};
    static const char *const revolved_keys[] = {"kind", "profile_mm", "sweep_deg", NULL};
    static const char *const mesh_keys[] = {"kind", "file", "unit", NULL};
    static const char *const *const keys[] = {station_keys, cylinder_keys, cone_keys,
                                              sphere_keys,  revolved_keys, mesh_keys};
    TapulDocument *document = description->document;
    const TapulNode *surface = tapul_document_get(document, root, "surface");
    const double low = LEAST_LENGTH_MM, high = LARGEST_LENGTH_MM;

    description->surface_node = surface;
    description->sweep_deg = 180;
    if (!surface) {
        tapul_document_fault(document, root, "the key 'surface' is missing");
        return;
    }
    description->kind = tapul_document_choice(document, surface, "kind", TRUE, kind_names);
    if (description->kind < 0)
        return;
    tapul_document_expect_keys(document, surface, keys[description->kind]);
    switch ((TapulSurfaceKind)description->kind) {
    case TAPUL_SURFACE_STATIONS:
        read_stations(description, surface);
        return;
    case TAPUL_SURFACE_CYLINDER:
        tapul_document_number(document, surface, "radius_mm", TRUE, low, high,
                              &description->radius_mm);
        tapul_document_number(document, surface, "height_mm", TRUE, low, high,
                              &description->height_mm);
        break;
    case TAPUL_SURFACE_CONE:
        tapul_document_number(document, surface, "lower_radius_mm", TRUE, 0, high,
                              &description->lower_radius_mm);
        tapul_document_number(document, surface, "upper_radius_mm", TRUE, 0, high,
                              &description->upper_radius_mm);
        tapul_document_number(document, surface, "height_mm", TRUE, low, high,
                              &description->height_mm);
        if (!tapul_document_has_faults(document) &&
            fmax(description->lower_radius_mm, description->upper_radius_mm) < low)
            tapul_document_fault(document, surface, "a cone with both radii less than %g mm",
                                 low);
        break;
    case TAPUL_SURFACE_SPHERE:
        tapul_document_number(document, surface, "radius_mm", TRUE, low, high,
                              &description->radius_mm);
        tapul_document_number(document, surface, "half_angle_deg", TRUE, 1, 170,
                              &description->half_angle_deg);
        return;
    case TAPUL_SURFACE_REVOLVED:
        read_profile(description, surface);
        break;
    case TAPUL_SURFACE_MESH:
        read_mesh_source(description, surface);
        return;
    }
    tapul_document_number(document, surface, "sweep_deg", FALSE, 1, 360,
                          &description->sweep_deg);
}

static void read_fields(Description *description, const TapulNode *root, GPtrArray *fields) {
    static const char *const keys[] = {"id", "outline_mm", NULL};
    TapulDocument *document = description->document;
    const TapulNode *list = tapul_document_get(document, root, "fields");
    int n = tapul_document_list_length(document, list, "fields");

    for (int i = 0; i < n; i++) {
        const TapulNode *node = tapul_document_list_item(document, list, i);
        tapul_document_expect_keys(document, node, keys);
        const char *id = tapul_document_text(document, node, "id", TRUE);
        g_autoptr(GArray) outline = NULL;
        read_polygon(description, node, "outline_mm", TRUE, &outline);
        for (guint j = 0; id && j < fields->len; j++)
            if (strcmp(id, ((TapulField *)g_ptr_array_index(fields, j))->id) == 0)
                tapul_document_fault(document, node, "id: the field '%s' is named twice", id);
        if (!id || !outline)
            continue;
        TapulField *field = g_new0(TapulField, 1);
        field->id = g_strdup(id);
        field->n = (int)outline->len;
        field->outline_mm = g_memdup2(outline->data, outline->len * sizeof(TapulVec2));
        g_ptr_array_add(fields, field);
    }
}

static void read_description(Description *description, TapulPlate *plate) {
    static const char *const keys[] = {"tapul",   "name",         "source",
                                       "surface", "outline_mm",   "ridge",
                                       "fields",  "thickness_mm", NULL};
    TapulDocument *document = description->document;
    const TapulNode *root = tapul_document_root(document);

    tapul_document_expect_keys(document, root, keys);
    const char *kind = tapul_document_text(document, root, "tapul", TRUE);
    if (kind && strcmp(kind, "plate/1") != 0)
        tapul_document_fault(document, tapul_document_get(document, root, "tapul"),
                             "tapul: '%s' where 'plate/1' was expected", kind);
    const char *name = tapul_document_text(document, root, "name", TRUE);
    const char *source = tapul_document_text(document, root, "source", FALSE);
    plate->name = g_strdup(name);
    plate->source = g_strdup(source ? source : "");
    read_surface(description, root);
    read_polygon(description, root, "outline_mm", FALSE, &description->outline_mm);
    description->ridge = tapul_document_flag(document, root, "ridge", FALSE);
    plate->ridge = description->ridge;
    read_fields(description, root, plate->fields);
    tapul_document_number(document, root, "thickness_mm", FALSE, 0.1, 50, &plate->thickness_mm);
}

/* --- Building --- */

static TapulSurface *make_surface(Description *description) {
    const double to_rad = G_PI / 180;
    double sweep_rad = description->sweep_deg * to_rad;
    char *fault = NULL;
    int station = 0;

    switch ((TapulSurfaceKind)description->kind) {
    case TAPUL_SURFACE_STATIONS: {
        TapulSurface *surface = tapul_surface_from_stations(
            (int)description->y_mm->len, (const double *)description->y_mm->data,
            (GArray *const *)description->sections->pdata, description->ridge, &fault,
            &station);
        if (fault)
            tapul_document_fault(
                description->document,
                g_array_index(description->station_lines, const TapulNode *, station),
                "section_mm: %s", fault);
        g_free(fault);
        return surface;
    }
    case TAPUL_SURFACE_CYLINDER: {
        TapulVec2 profile[] = {{description->radius_mm, 0},
                               {description->radius_mm, description->height_mm}};
        return tapul_surface_revolved(2, profile, sweep_rad);
    }
    case TAPUL_SURFACE_CONE: {
        TapulVec2 profile[] = {{description->lower_radius_mm, 0},
                               {description->upper_radius_mm, description->height_mm}};
        return tapul_surface_revolved(2, profile, sweep_rad);
    }
    case TAPUL_SURFACE_SPHERE:
        return tapul_surface_sphere(description->radius_mm,
                                    description->half_angle_deg * to_rad);
    case TAPUL_SURFACE_REVOLVED:
        return tapul_surface_revolved((int)description->profile_mm->len,
                                      (const TapulVec2 *)description->profile_mm->data,
                                      sweep_rad);
    case TAPUL_SURFACE_MESH:
        break;
    }
    g_assert_not_reached();
}

static TapulMesh *load_mesh(const char *path, double mm_per_unit, const GArray *outline_mm,
                            GError **error) {
    g_autoptr(TapulMesh) mesh = tapul_mesh_read(path, mm_per_unit, error);
    if (!mesh)
        return NULL;
    if (outline_mm) {
        TapulMesh *trimmed = tapul_plate_trim_mesh(mesh, outline_mm, error);
        tapul_mesh_free(mesh);
        mesh = trimmed;
    }
    if (mesh && !tapul_mesh_check_disc(mesh, error)) {
        g_prefix_error(error, "%s: ", path);
        return NULL;
    }
    return g_steal_pointer(&mesh);
}

static TapulMesh *build(Description *description, const TapulPlateOptions *options,
                        TapulPlate *plate, GError **error) {
    static const double mm_per_unit[] = {1, 10, 1000, 25.4};
    if (description->kind == TAPUL_SURFACE_MESH) {
        g_autofree char *path =
            tapul_document_resolve(description->document, description->mesh_file);
        TapulMesh *mesh =
            load_mesh(path, mm_per_unit[description->unit], description->outline_mm, error);
        if (!mesh)
            g_prefix_error(error, "%s: ", plate->name);
        return mesh;
    }
    g_autoptr(TapulSurface) surface = make_surface(description);
    if (!surface)
        return NULL;
    char *fault = NULL;
    plate->seam = surface->closed;
    TapulMesh *mesh = tapul_plate_build_mesh(
        surface, description->outline_mm, description->ridge, options->chord_error_mm, &fault);
    g_autoptr(GError) cause = NULL;
    if (mesh && !tapul_mesh_check_disc(mesh, &cause)) {
        fault = g_strdup(cause->message);
        g_clear_pointer(&mesh, tapul_mesh_free);
    }
    if (!mesh)
        tapul_document_fault(description->document, description->surface_node, "surface: %s",
                             fault);
    g_free(fault);
    return mesh;
}

static TapulPlate *plate_alloc(void) {
    TapulPlate *plate = g_new0(TapulPlate, 1);
    plate->fields = g_ptr_array_new();
    plate->problems = g_ptr_array_new_with_free_func(g_free);
    return plate;
}

static void finish(TapulPlate *plate, TapulMesh *mesh) {
    plate->mesh = mesh;
    plate->tree = tapul_mesh_tree_new(mesh);
    plate->eye_z_mm = -INFINITY;
    for (int v = 0; v < mesh->n_vertices; v++)
        plate->eye_z_mm = fmax(plate->eye_z_mm, mesh->position_mm[v].z + 1);
    tapul_plate_find_medial_line(plate);
}

static TapulPlate *load_description(const char *path, const TapulPlateOptions *options,
                                    GError **error) {
    Description description = {0};
    g_autoptr(TapulPlate) plate = plate_alloc();
    TapulMesh *mesh = NULL;

    description.document = tapul_document_load(path, error);
    if (description.document) {
        read_description(&description, plate);
        if (tapul_document_check(description.document, error)) {
            plate->kind = g_strdup(kind_names[description.kind]);
            mesh = build(&description, options, plate, error);
            if (!mesh && !(error && *error))
                tapul_document_check(description.document, error);
        }
    }
    if (mesh && description.kind == TAPUL_SURFACE_STATIONS) {
        plate->section_y_mm = g_steal_pointer(&description.y_mm);
        plate->sections = g_steal_pointer(&description.sections);
    }
    description_clear(&description);
    if (!mesh)
        return NULL;
    finish(plate, mesh);
    note_stray_fields(plate);
    return g_steal_pointer(&plate);
}

/* A field that no corner, nor their middle, puts on the metal is likely a slip. */
static void note_stray_fields(TapulPlate *plate) {
    for (guint i = 0; i < plate->fields->len; i++) {
        const TapulField *field = g_ptr_array_index(plate->fields, i);
        TapulVec2 sum = {0, 0};
        TapulSpot spot;
        gboolean on_plate = FALSE;
        for (int k = 0; k < field->n && !on_plate; k++) {
            TapulVec2 p = field->outline_mm[k];
            sum = tapul_vec2_add(sum, p);
            on_plate = tapul_plate_spot_from_front(plate, p.x, p.y, &spot, NULL);
        }
        if (!on_plate && !tapul_plate_spot_from_front(plate, sum.x / field->n, sum.y / field->n,
                                                      &spot, NULL))
            g_ptr_array_add(
                plate->problems,
                g_strdup_printf("the field '%s' lies off the plate as seen from the front",
                                field->id));
    }
}

static gboolean is_mesh_name(const char *path) {
    static const char *const endings[] = {".obj", ".ply", ".stl", ".off"};
    g_autofree char *lower = g_ascii_strdown(path, -1);
    for (guint i = 0; i < G_N_ELEMENTS(endings); i++)
        if (g_str_has_suffix(lower, endings[i]))
            return TRUE;
    return FALSE;
}

TapulPlate *tapul_plate_load(const char *path, const TapulPlateOptions *options,
                             GError **error) {
    TapulPlateOptions defaults = tapul_plate_options_defaults();
    if (!is_mesh_name(path))
        return load_description(path, options ? options : &defaults, error);
    TapulMesh *mesh = load_mesh(path, 1, NULL, error);
    if (!mesh)
        return NULL;
    TapulPlate *plate = plate_alloc();
    plate->name = g_path_get_basename(path);
    plate->kind = g_strdup("mesh");
    plate->source = g_strdup("");
    finish(plate, mesh);
    return plate;
}
