/* The plate as the rest of the library sees it: what it is, and points given as seen from the
 * front or in space. */
#include "plate/plate_private.h"

G_DEFINE_QUARK(tapul - plate - error - quark, tapul_plate_error)

/* A point of space further than this from the metal is taken for a slip. */
#define XYZ_REACH_MM 5.0
/* Corrections of a front view point for the bulge of the triangle it lies in; each gains two
 * digits. */
#define FRONT_STEPS 4

static void field_free(TapulField *field) {
    g_free(field->id);
    g_free(field->outline_mm);
    g_free(field);
}

void tapul_plate_free(TapulPlate *plate) {
    if (!plate)
        return;
    g_free(plate->name);
    g_free(plate->kind);
    g_free(plate->source);
    for (guint i = 0; i < plate->fields->len; i++)
        field_free(g_ptr_array_index(plate->fields, i));
    g_ptr_array_unref(plate->fields);
    g_ptr_array_unref(plate->problems);
    g_clear_pointer(&plate->section_y_mm, g_array_unref);
    g_clear_pointer(&plate->sections, g_ptr_array_unref);
    g_clear_pointer(&plate->medial, g_array_unref);
    g_free(plate->fitted);
    tapul_cut_free(plate->medial_cut);
    tapul_mesh_tree_free(plate->tree);
    tapul_mesh_free(plate->mesh);
    tapul_mesh_free(plate->whole);
    g_free(plate);
}

const char *tapul_plate_name(const TapulPlate *plate) {
    return plate->name;
}

const char *tapul_plate_kind(const TapulPlate *plate) {
    return plate->kind;
}

const char *tapul_plate_source(const TapulPlate *plate) {
    return plate->source;
}

double tapul_plate_thickness_mm(const TapulPlate *plate) {
    return plate->thickness_mm;
}

const TapulMesh *tapul_plate_mesh(const TapulPlate *plate) {
    return plate->mesh;
}

const TapulMeshTree *tapul_plate_tree(const TapulPlate *plate) {
    return plate->tree;
}

int tapul_plate_n_fields(const TapulPlate *plate) {
    return (int)plate->fields->len;
}

const TapulField *tapul_plate_field(const TapulPlate *plate, int i) {
    return g_ptr_array_index(plate->fields, i);
}

void tapul_plate_extent_mm(const TapulPlate *plate, TapulVec3 *low, TapulVec3 *high) {
    const TapulMesh *mesh = plate->mesh;
    *low = *high = mesh->position_mm[0];
    for (int v = 1; v < mesh->n_vertices; v++) {
        TapulVec3 p = mesh->position_mm[v];
        *low = tapul_vec3(fmin(low->x, p.x), fmin(low->y, p.y), fmin(low->z, p.z));
        *high = tapul_vec3(fmax(high->x, p.x), fmax(high->y, p.y), fmax(high->z, p.z));
    }
}

const TapulPlateFitted *tapul_plate_fitted(const TapulPlate *plate) {
    return plate->fitted;
}

const GArray *tapul_plate_station_heights_mm(const TapulPlate *plate) {
    return plate->section_y_mm;
}

gboolean tapul_plate_has_ridge(const TapulPlate *plate) {
    return plate->ridge;
}

gboolean tapul_plate_has_seam(const TapulPlate *plate) {
    return plate->seam;
}

gboolean tapul_plate_is_opened(const TapulPlate *plate) {
    return plate->whole != NULL;
}

const GPtrArray *tapul_plate_problems(const TapulPlate *plate) {
    return plate->problems;
}

gboolean tapul_plate_spot_from_front(const TapulPlate *plate, double x_mm, double y_mm,
                                     TapulSpot *spot, GError **error) {
    TapulVec3 eye = {x_mm, y_mm, plate->eye_z_mm};
    TapulVec3 inward = {0, 0, -1};
    double t;
    if (!tapul_mesh_tree_first_hit(plate->tree, eye, inward, spot, &t)) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_OFF_PLATE,
                    "x_mm %g, y_mm %g is off the plate as seen from the front", x_mm, y_mm);
        return FALSE;
    }
    /* The metal bulges over its flat triangles: go on until the bulged point is the one seen.
     */
    for (int step = 0; step < FRONT_STEPS; step++) {
        TapulVec3 seen = tapul_mesh_smooth_position_mm(plate->mesh, *spot);
        eye.x += x_mm - seen.x;
        eye.y += y_mm - seen.y;
        TapulSpot next;
        if (!tapul_mesh_tree_first_hit(plate->tree, eye, inward, &next, &t))
            break;
        *spot = next;
    }
    return TRUE;
}

gboolean tapul_plate_spot_from_xyz(const TapulPlate *plate, TapulVec3 xyz_mm, TapulSpot *spot,
                                   GError **error) {
    double distance_mm = tapul_mesh_tree_nearest(plate->tree, xyz_mm, spot);
    if (distance_mm <= XYZ_REACH_MM)
        return TRUE;
    g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_OFF_PLATE,
                "xyz_mm [%g, %g, %g] is %.1f mm from the plate; at most %g mm is permitted",
                xyz_mm.x, xyz_mm.y, xyz_mm.z, distance_mm, XYZ_REACH_MM);
    return FALSE;
}
