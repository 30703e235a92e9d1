/* Reads a plate description (tapul: plate/1). plate_load.c builds the plate from it. */
#include "plate/description.h"
#include "plate/fit.h"

#include <string.h>

#define LARGEST_LENGTH_MM 5000.0
#define LEAST_LENGTH_MM   1.0
#define LEAST_STEP_MM     0.5
#define MOST_STATIONS     500
#define MOST_POINTS       5000

const char *const tapul_surface_kind_names[] = {"stations", "cylinder", "cone", "sphere",
                                                "revolved", "mesh",     NULL};

void tapul_description_clear(TapulDescription *description) {
    g_clear_pointer(&description->y_mm, g_array_unref);
    g_clear_pointer(&description->sections, g_ptr_array_unref);
    g_clear_pointer(&description->station_lines, g_array_unref);
    g_clear_pointer(&description->profile_mm, g_array_unref);
    g_clear_pointer(&description->outline_mm, g_array_unref);
    g_clear_pointer(&description->document, tapul_document_free);
}

static void read_polygon(TapulDescription *description, const TapulNode *map, const char *key,
                         gboolean required, GArray **polygon) {
    *polygon =
        tapul_document_points(description->document, map, key, required, 3, LARGEST_LENGTH_MM);
    if (!*polygon)
        return;
    /* A polygon written with a point twice, or its first again at the end, means the same. */
    GArray *points = *polygon;
    for (guint i = points->len; i-- > 0 && points->len > 1;)
        if (tapul_vec2_distance(g_array_index(points, TapulVec2, i),
                                g_array_index(points, TapulVec2, (i + 1) % points->len)) < 1e-9)
            g_array_remove_index(points, i);
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

static void read_stations(TapulDescription *description, const TapulNode *surface) {
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
        if (good && !(y_mm >= above + LEAST_STEP_MM))
            tapul_document_fault(document, tapul_document_get(document, station, "y_mm"),
                                 "y_mm: stations run from the lower edge up by at least %g mm, "
                                 "but %g is not above %g mm",
                                 LEAST_STEP_MM, y_mm, above);
        g_array_append_val(description->y_mm, y_mm);
        g_array_append_val(description->station_lines, station);
    }
}

static void read_profile(TapulDescription *description, const TapulNode *surface) {
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
    g_autofree char *crossing = profile ? tapul_plate_line_fault(profile) : NULL;
    if (crossing)
        tapul_document_fault(document, node, "profile_mm: %s", crossing);
    if (profile && profile->len == 2 &&
        g_array_index(profile, TapulVec2, 0).x < LEAST_LENGTH_MM &&
        g_array_index(profile, TapulVec2, 1).x < LEAST_LENGTH_MM)
        tapul_document_fault(document, node, "profile_mm: both radii are less than %g mm",
                             LEAST_LENGTH_MM);
}

static void read_mesh_source(TapulDescription *description, const TapulNode *surface) {
    static const char *const units[] = {"mm", "cm", "m", "in", NULL};
    TapulDocument *document = description->document;
    description->mesh_file = tapul_document_text(document, surface, "file", TRUE);
    if (tapul_document_get(document, surface, "unit"))
        description->unit = tapul_document_choice(document, surface, "unit", FALSE, units);
}

static void read_surface(TapulDescription *description, const TapulNode *root) {
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
    description->kind =
        tapul_document_choice(document, surface, "kind", TRUE, tapul_surface_kind_names);
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
        tapul_document_number(document, surface, "half_angle_deg", TRUE, 1, 150,
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

static void read_fields(TapulDescription *description, const TapulNode *root,
                        GPtrArray *fields) {
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

void tapul_description_read(TapulDescription *description, TapulPlate *plate) {
    static const char *const keys[] = {"tapul",      "name",  "source", "surface",
                                       "outline_mm", "ridge", "fields", "thickness_mm",
                                       "fit",        NULL};
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
    tapul_plate_fit_read(document, root, &description->fit);
}
