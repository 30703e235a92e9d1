/* A photograph of a case: its picture's size, the table of its points, its camera. Where the
 * points of a table become sights, and pixels become spots of the plate. */
#include "base/picture.h"
#include "plate/point.h"

#include <tapul/photo.h>

/* The line of sight is taken to meet the smooth surface at this distance from it: far below
 * what any plate is known to. */
#define MEETING_PRECISION_MM 1e-6
#define MEETING_STEPS        8

static void sight_clear(gpointer data) {
    g_free(((TapulSight *)data)->name);
}

static void lamp_free(gpointer data) {
    TapulLamp *lamp = data;
    g_free(lamp->file);
    g_free(lamp);
}

static TapulPhoto *photo_new(const char *file, const TapulCameraOptions *options) {
    TapulPhoto *photo = g_new0(TapulPhoto, 1);
    photo->file = g_strdup(file);
    photo->sights = g_array_new(FALSE, TRUE, sizeof(TapulSight));
    g_array_set_clear_func(photo->sights, sight_clear);
    photo->lamps = g_ptr_array_new_with_free_func(lamp_free);
    photo->options = options ? *options : tapul_camera_options_defaults();
    return photo;
}

void tapul_photo_free(TapulPhoto *photo) {
    if (!photo)
        return;
    g_free(photo->file);
    g_array_unref(photo->sights);
    g_ptr_array_unref(photo->lamps);
    g_free(photo);
}

/* Gives an error of a lower layer, whose domain callers cannot see, this module's. */
static void pass_on(GError **error, const GError *cause) {
    g_set_error_literal(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE, cause->message);
}

/* --- The table of points --- */

static void read_sight(TapulPhoto *photo, TapulTable *table, int row, const TapulPlate *plate,
                       GHashTable *line_of_name) {
    TapulSight sight = {.residual_px = NAN, .loo_px = NAN, .loo_mm = NAN};
    const char *name = tapul_table_text(table, row, tapul_table_column(table, "name"));
    int x = tapul_table_column(table, "px_x"), y = tapul_table_column(table, "px_y");
    gpointer earlier = g_hash_table_lookup(line_of_name, name);

    if (*name == '\0')
        tapul_table_fault(table, row, "name: the point has none");
    else if (earlier)
        tapul_table_fault(table, row, "name: '%s' is the point of line %d already", name,
                          GPOINTER_TO_INT(earlier));
    else
        g_hash_table_insert(line_of_name, g_strdup(name),
                            GINT_TO_POINTER(tapul_table_line(table, row)));
    gboolean good = tapul_table_number(table, row, x, 0, photo->width_px, &sight.px.x);
    good = tapul_table_number(table, row, y, 0, photo->height_px, &sight.px.y) && good;
    good = tapul_point_read_row(table, row, plate, &sight.spot) && good;
    if (!good)
        return;
    sight.name = g_strdup(name);
    sight.xyz_mm = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), sight.spot);
    g_array_append_val(photo->sights, sight);
}

static gboolean read_sights(TapulPhoto *photo, const char *points_file, const TapulPlate *plate,
                            GError **error) {
    static const char *const columns[] = {
        "name",       "px_x",       "px_y", "plate_across_mm", "plate_up_mm", "plate_x_mm",
        "plate_y_mm", "plate_z_mm", NULL};
    const int n_needed = 3;
    g_autoptr(TapulTable) table = tapul_table_load(points_file, error);
    if (!table)
        return FALSE;
    tapul_table_expect_columns(table, columns);
    for (int k = 0; k < n_needed; k++)
        if (tapul_table_column(table, columns[k]) < 0)
            tapul_table_fault(table, -1, "the column '%s' is missing", columns[k]);
    if (!tapul_table_check(table, error))
        return FALSE;
    g_autoptr(GHashTable) line_of_name =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (int row = 0; row < tapul_table_n_rows(table); row++)
        read_sight(photo, table, row, plate, line_of_name);
    return tapul_table_check(table, error);
}

/* --- The camera --- */

/* A mirror image is, but for its perspective, what a camera behind the metal would see. */
static gboolean check_facing(const TapulPhoto *photo, const TapulPlate *plate, GError **error) {
    guint n_away = 0;
    for (guint i = 0; i < photo->sights->len; i++) {
        const TapulSight *sight = &g_array_index(photo->sights, TapulSight, i);
        TapulVec3 normal = tapul_mesh_smooth_normal(tapul_plate_mesh(plate), sight->spot);
        TapulVec3 to_eye = tapul_vec3_sub(photo->fit.camera.eye_mm, sight->xyz_mm);
        n_away += tapul_vec3_dot(normal, to_eye) < 0;
    }
    if (2 * n_away <= photo->sights->len)
        return TRUE;
    g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS,
                "%u of the %u points would be seen from behind the metal: is the picture a "
                "mirror image, or are its points named in mirror order?",
                n_away, photo->sights->len);
    return FALSE;
}

TapulPhoto *tapul_photo_load(const char *file, const char *points_file, const TapulPlate *plate,
                             const TapulCameraOptions *options, GError **error) {
    g_autoptr(GError) cause = NULL;
    g_autoptr(TapulPhoto) photo = photo_new(file, options);
    g_autoptr(TapulPicture) picture = tapul_picture_open(file, &cause);
    if (!picture) {
        pass_on(error, cause);
        return NULL;
    }
    photo->width_px = picture->width_px;
    photo->height_px = picture->height_px;
    if (!read_sights(photo, points_file, plate, &cause)) {
        pass_on(error, cause);
        return NULL;
    }
    photo->fitted = tapul_camera_fit((TapulSight *)(gpointer)photo->sights->data,
                                     (int)photo->sights->len, photo->width_px, photo->height_px,
                                     &photo->options, &photo->fit, error) &&
                    check_facing(photo, plate, error);
    if (!photo->fitted) {
        g_prefix_error(error, "%s: ", points_file);
        return NULL;
    }
    return g_steal_pointer(&photo);
}

/* --- Spots --- */

/* The ray meets a flat triangle; the smooth surface lies a little off it. The ray is moved back
 * by as much until the smooth point comes to lie on the line of sight. */
gboolean tapul_photo_spot(const TapulPhoto *photo, const TapulPlate *plate, TapulVec2 px,
                          TapulSpot *spot) {
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    const TapulMeshTree *tree = tapul_plate_tree(plate);
    TapulVec3 eye = photo->fit.camera.eye_mm;
    TapulVec3 ray = tapul_camera_ray(&photo->fit.camera, px);
    double t;
    if (!photo->fitted || !tapul_mesh_tree_first_hit(tree, eye, ray, spot, &t) ||
        tapul_vec3_dot(tapul_mesh_face_normal(mesh, spot->triangle), ray) >= 0)
        return FALSE;
    for (int step = 0; step < MEETING_STEPS; step++) {
        TapulVec3 smooth = tapul_mesh_smooth_position_mm(mesh, *spot);
        TapulVec3 off = tapul_vec3_cross(ray, tapul_vec3_sub(smooth, eye));
        if (tapul_vec3_length(off) <= MEETING_PRECISION_MM)
            break;
        TapulVec3 bulge = tapul_vec3_sub(smooth, tapul_mesh_flat_position_mm(mesh, *spot));
        TapulSpot nearer;
        /* At the plate's very edge the moved ray may pass it: the flat point stands. */
        if (!tapul_mesh_tree_first_hit(tree, tapul_vec3_sub(eye, bulge), ray, &nearer, &t))
            break;
        *spot = nearer;
    }
    return TRUE;
}
