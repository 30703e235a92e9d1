/* Builds a plate: from a description, or from a bare mesh. */
#include "plate/description.h"
#include "plate/fit.h"

#include <string.h>

#define LEAST_PLATE_MM   1.0
#define LARGEST_PLATE_MM 10000.0

TapulPlateOptions tapul_plate_options_defaults(void) {
    return (TapulPlateOptions){.chord_error_mm = 0.05};
}

static TapulSurface *make_surface(TapulDescription *description) {
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

/* A plate far too small or too large is most likely a slip of the unit. */
static gboolean check_size(const TapulMesh *mesh, GError **error) {
    TapulVec3 low = mesh->position_mm[0], high = low;
    for (int v = 1; v < mesh->n_vertices; v++) {
        TapulVec3 p = mesh->position_mm[v];
        low = tapul_vec3(fmin(low.x, p.x), fmin(low.y, p.y), fmin(low.z, p.z));
        high = tapul_vec3(fmax(high.x, p.x), fmax(high.y, p.y), fmax(high.z, p.z));
    }
    double size_mm = tapul_vec3_distance(low, high);
    if (size_mm >= LEAST_PLATE_MM && size_mm <= LARGEST_PLATE_MM)
        return TRUE;
    g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_SHAPE,
                "the mesh is %g mm across; permitted: %g to %g mm. Is its unit right?", size_mm,
                LEAST_PLATE_MM, LARGEST_PLATE_MM);
    return FALSE;
}

/* A plate must be a disc, or is to be opened into one. */
static gboolean check_form(const TapulMesh *mesh, const TapulPlateOptions *options,
                           GError **error) {
    return options->to_be_opened || tapul_mesh_check_disc(mesh, error);
}

static TapulMesh *load_mesh(const char *path, double mm_per_unit, const GArray *outline_mm,
                            const TapulPlateOptions *options, GError **error) {
    g_autoptr(TapulMesh) mesh = tapul_mesh_read(path, mm_per_unit, error);
    if (!mesh)
        return NULL;
    if (outline_mm) {
        TapulMesh *trimmed = tapul_plate_trim_mesh(mesh, outline_mm, error);
        tapul_mesh_free(mesh);
        mesh = trimmed;
    }
    if (mesh && !(check_size(mesh, error) && check_form(mesh, options, error))) {
        g_prefix_error(error, "%s: ", path);
        return NULL;
    }
    return g_steal_pointer(&mesh);
}

static TapulMesh *build(TapulDescription *description, const TapulPlateOptions *options,
                        TapulPlate *plate) {
    static const double mm_per_unit[] = {1, 10, 1000, 25.4};
    g_autoptr(GError) cause = NULL;
    if (description->kind == TAPUL_SURFACE_MESH) {
        g_autofree char *path =
            tapul_document_resolve(description->document, description->mesh_file);
        TapulMesh *mesh = load_mesh(path, mm_per_unit[description->unit],
                                    description->outline_mm, options, &cause);
        if (!mesh)
            tapul_document_fault(description->document, description->surface_node, "%s",
                                 cause->message);
        return mesh;
    }
    g_autoptr(TapulSurface) surface = make_surface(description);
    if (!surface)
        return NULL;
    char *fault = NULL;
    plate->seam = surface->closed;
    TapulMesh *mesh = tapul_plate_build_mesh(
        surface, description->outline_mm, description->ridge, options->chord_error_mm, &fault);
    if (mesh && !check_form(mesh, options, &cause)) {
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

static void finish(TapulPlate *plate, TapulMesh *mesh, const TapulPlateFit *fit) {
    plate->mesh = mesh;
    tapul_plate_apply_fit(plate, fit);
    plate->tree = tapul_mesh_tree_new(mesh);
    plate->eye_z_mm = -INFINITY;
    for (int v = 0; v < mesh->n_vertices; v++)
        plate->eye_z_mm = fmax(plate->eye_z_mm, mesh->position_mm[v].z + 1);
    tapul_plate_find_medial_line(plate);
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

static TapulPlate *load_description(const char *path, const TapulPlateOptions *options,
                                    GError **error) {
    TapulDescription description = {0};
    g_autoptr(TapulPlate) plate = plate_alloc();
    TapulMesh *mesh = NULL;

    description.document = tapul_document_load(path, error);
    if (description.document) {
        tapul_description_read(&description, plate);
        if (tapul_document_check(description.document, error)) {
            plate->kind = g_strdup(tapul_surface_kind_names[description.kind]);
            mesh = build(&description, options, plate);
            if (!mesh)
                tapul_document_check(description.document, error);
        }
    }
    if (mesh && description.kind == TAPUL_SURFACE_STATIONS) {
        plate->section_y_mm = g_steal_pointer(&description.y_mm);
        plate->sections = g_steal_pointer(&description.sections);
    }
    TapulPlateFit fit =
        tapul_plate_fit_is_asked(&options->fit) ? options->fit : description.fit;
    tapul_description_clear(&description);
    if (!mesh)
        return NULL;
    finish(plate, mesh, &fit);
    note_stray_fields(plate);
    return g_steal_pointer(&plate);
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
    if (!options)
        options = &defaults;
    if (!is_mesh_name(path))
        return load_description(path, options, error);
    TapulMesh *mesh = load_mesh(path, 1, NULL, options, error);
    if (!mesh)
        return NULL;
    TapulPlate *plate = plate_alloc();
    plate->name = g_path_get_basename(path);
    plate->kind = g_strdup("mesh");
    plate->source = g_strdup("");
    finish(plate, mesh, &options->fit);
    return plate;
}
