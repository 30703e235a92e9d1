/* The photographs of a case: each with points whose place on the plate is known, from which its
 * camera is found. */
#include "laying/case_internal.h"

#define LARGEST_FOCAL_PX 1e6

static void add_faults(TapulCaseReading *reading, const TapulNode *node, const GError *error) {
    g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
    for (guint i = 0; lines[i]; i++)
        tapul_document_fault(reading->document, node, "photo: %s", lines[i]);
}

/* An existing file named by a key, as a path; NULL with a fault. */
static char *read_file_name(TapulCaseReading *reading, const TapulNode *node, const char *key) {
    TapulDocument *document = reading->document;
    const char *file = tapul_document_text(document, node, key, TRUE);
    g_autofree char *path = file ? tapul_document_resolve(document, file) : NULL;
    if (!path || g_file_test(path, G_FILE_TEST_IS_REGULAR))
        return g_steal_pointer(&path);
    tapul_document_fault(document, tapul_document_get(document, node, key),
                         "%s: %s: there is no such file", key, path);
    return NULL;
}

/* The same view lit from elsewhere; `towards` points from the plate to the lamp. */
static void read_lamp(TapulCaseReading *reading, const TapulNode *node, TapulPhoto *photo) {
    static const char *const keys[] = {"file", "towards", NULL};
    TapulDocument *document = reading->document;
    double way[3] = {0};
    tapul_document_expect_keys(document, node, keys);
    g_autofree char *file = read_file_name(reading, node, "file");
    const TapulNode *list = tapul_document_get(document, node, "towards");
    if (tapul_document_list_length(document, list, "towards") != 3) {
        tapul_document_fault(
            document, node,
            "towards: three numbers were expected: the direction from the "
            "plate to the lamp, x to the viewer's right, y up, z to the viewer");
        return;
    }
    for (int k = 0; k < 3; k++)
        tapul_document_scalar(document, tapul_document_list_item(document, list, k), "towards",
                              -1e6, 1e6, &way[k]);
    TapulVec3 towards = tapul_vec3_unit(tapul_vec3(way[0], way[1], way[2]));
    if (!(towards.z > 0))
        tapul_document_fault(document, list,
                             "towards: [%g, %g, %g] is not in front of the plate: z must be "
                             "above 0",
                             way[0], way[1], way[2]);
    if (!file || !photo)
        return;
    TapulLamp *lamp = g_new0(TapulLamp, 1);
    lamp->file = g_steal_pointer(&file);
    lamp->towards = towards;
    g_ptr_array_add(photo->lamps, lamp);
}

static void read_photo(TapulCaseReading *reading, const TapulNode *node) {
    static const char *const keys[] = {"file",       "points", "focal_px",
                                       "pick_sd_px", "lamps",  NULL};
    TapulDocument *document = reading->document;
    TapulCameraOptions options = tapul_camera_options_defaults();
    g_autoptr(GError) error = NULL;

    tapul_document_expect_keys(document, node, keys);
    g_autofree char *file = read_file_name(reading, node, "file");
    g_autofree char *points = read_file_name(reading, node, "points");
    tapul_document_number(document, node, "focal_px", FALSE, 1, LARGEST_FOCAL_PX,
                          &options.focal_px);
    tapul_document_number(document, node, "pick_sd_px", FALSE, 0.01, 100, &options.pick_sd_px);
    TapulPhoto *photo =
        file && points && reading->made->plate
            ? tapul_photo_load(file, points, reading->made->plate, &options, &error)
            : NULL;
    if (error)
        add_faults(reading, node, error);
    const TapulNode *lamps = tapul_document_get(document, node, "lamps");
    int n = tapul_document_list_length(document, lamps, "lamps");
    for (int i = 0; i < n; i++)
        read_lamp(reading, tapul_document_list_item(document, lamps, i), photo);
    if (photo)
        g_ptr_array_add(reading->made->photos, photo);
}

void tapul_case_read_photos(TapulCaseReading *reading) {
    TapulDocument *document = reading->document;
    const TapulNode *one = tapul_document_get(document, reading->root, "photo");
    const TapulNode *list = tapul_document_get(document, reading->root, "photos");
    if (one && list)
        tapul_document_fault(
            document, list,
            "photos: the case has the key 'photo' as well; put all in one list");
    if (one)
        read_photo(reading, one);
    int n = tapul_document_list_length(document, list, "photos");
    for (int i = 0; i < n; i++)
        read_photo(reading, tapul_document_list_item(document, list, i));
}
