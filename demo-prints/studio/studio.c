/* The studio makes the invented scan and photographs of the demonstration, and what goes with
 * them: tables of points, a tracing, and the truth that the tests compare with. Usage: studio
 * ../prints/mask-drapery.svg OUT_DIR [scan | photographs | records]; all three if none is
 * named. The same every time: all chance is seeded. */
#include "photo.h"
#include "records.h"
#include "scan.h"
#include "tracing.h"

#include <stdio.h>
#include <vips/vips.h>

#define FOCAL_PX   7950.0
#define K1         (-0.20)
#define N_LAMPS    3
#define LAMP_SHARE 0.5 /* size of the lamps' pictures against the first photograph */

enum { SEED_SCAN = 900, SEED_FRONT = 910, SEED_THREE_QUARTERS = 920, SEED_LAMPS = 930 };

static const char scan_note[] = "Invented for the demonstration: a print that never was, on "
                                "paper that never was. Not a scan.";
static const char photo_note[] = "Invented for the demonstration: a plate that never was, "
                                 "etched by no one. Not a photograph.";

/* The lamps' directions are also in case.yaml. */
static const Vec3 lamp_towards[N_LAMPS] = {
    {-0.60, 0.45, 0.66}, {0.62, 0.42, 0.66}, {0.03, -0.74, 0.67}};

typedef struct {
    const char *print_path, *directory;
    RsvgHandle *print;
    Metal *metal;
} Work;

static Camera front_camera(double size_share) {
    CameraStand stand = {{1.5, 65.2, 88.0}, 400, 6, 9, 1.2};
    return camera_set_up((int)(3000 * size_share), (int)(2800 * size_share),
                         FOCAL_PX * size_share, K1, stand);
}

static Camera three_quarters_camera(void) {
    CameraStand stand = {{1.0, 64.0, 84.0}, 425, 37, 13, -0.8};
    return camera_set_up(3000, 2700, FOCAL_PX, K1, stand);
}

static gboolean write_picture(const Work *work, const Picture *picture,
                              const PictureSensor *sensor, const PictureFile *file,
                              const char *name, GError **error) {
    g_autofree char *path = g_strdup_printf("%s/%s.jpg", work->directory, name);
    return picture_write(picture, sensor, file, path, error);
}

static gboolean make_scan(const Work *work, GError **error) {
    g_autoptr(Picture) scan = NULL;
    const PictureSensor sensor = {0.55, 0.006, 0.0012, 0.6, SEED_SCAN};
    const PictureFile file = {82, SCAN_DPI, scan_note};
    return scan_make(work->print, &scan, error) &&
           write_picture(work, scan, &sensor, &file, "scan", error);
}

static gboolean take(const Work *work, const Camera *camera, const Light *light, guint64 seed,
                     int quality, const char *name, GError **error) {
    g_autoptr(Picture) picture = photo_take(work->metal, camera, light);
    const PictureSensor sensor = {0.7, 0.007, 0.0012, 1.0, seed};
    const PictureFile file = {quality, 72, photo_note};
    return write_picture(work, picture, &sensor, &file, name, error);
}

/* Two soft boxes, and a white card below. */
static gboolean take_in_soft_light(const Work *work, GError **error) {
    const Lamp boxes[] = {photo_lamp(vec3(-0.75, 0.75, 0.80), 620, 170, 120, 13.0),
                          photo_lamp(vec3(0.95, 0.15, 0.62), 560, 80, 170, 6.5),
                          photo_lamp(vec3(-0.10, -0.95, 0.50), 450, 220, 100, 1.6)};
    const Light light = {boxes, G_N_ELEMENTS(boxes), 0.75, 0, 1.3, FALSE};
    Camera front = front_camera(1), aside = three_quarters_camera();
    return take(work, &front, &light, SEED_FRONT, 86, "front", error) &&
           take(work, &aside, &light, SEED_THREE_QUARTERS, 86, "three-quarters", error);
}

/* The same place, the room dark, one lamp at a time, the steel dulled against glare. */
static gboolean take_by_lamps(const Work *work, GError **error) {
    Camera camera = front_camera(LAMP_SHARE);
    for (int i = 0; i < N_LAMPS; i++) {
        const Lamp lamp = photo_lamp(lamp_towards[i], 1500, 60, 60, 330);
        const Light light = {&lamp, 1, 0.02, 0.95, 2.1, TRUE};
        g_autofree char *name = g_strdup_printf("lamp-%d", i + 1);
        if (!take(work, &camera, &light, SEED_LAMPS + 10 * (guint64)i, 80, name, error))
            return FALSE;
    }
    return TRUE;
}

static gboolean make_photographs(const Work *work, GError **error) {
    return take_in_soft_light(work, error) && take_by_lamps(work, error);
}

static gboolean make_records(const Work *work, GError **error) {
    const Exposure exposures[] = {{"front", front_camera(1)},
                                  {"three_quarters", three_quarters_camera()}};
    const char *names[] = {"photo-points.csv", "three-quarters-points.csv", "pairs.csv",
                           "tracing.svg", "truth.yaml"};
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        g_ptr_array_add(paths, g_build_filename(work->directory, names[i], NULL));
    return records_write_points(&exposures[0].camera, SEED_FRONT + 5, paths->pdata[0], error) &&
           records_write_points(&exposures[1].camera, SEED_THREE_QUARTERS + 5, paths->pdata[1],
                                error) &&
           records_write_pairs(paths->pdata[2], error) &&
           tracing_write(work->print_path, work->metal, &exposures[0].camera, paths->pdata[3],
                         error) &&
           records_write_truth(exposures, G_N_ELEMENTS(exposures), paths->pdata[4], error);
}

static gboolean prepare(Work *work, GError **error) {
    Etching etching = {0};
    work->print = rsvg_handle_new_from_file(work->print_path, error);
    if (!work->print)
        return FALSE;
    rsvg_handle_set_dpi(work->print, RASTER_PRINT_DPI);
    if (!adaptation_etch(work->print, &etching, error)) {
        g_prefix_error(error, "%s: ", work->print_path);
        return FALSE;
    }
    work->metal = metal_new(&etching);
    return TRUE;
}

static const struct {
    const char *name;
    gboolean (*make)(const Work *work, GError **error);
} parts[] = {{"records", make_records}, {"scan", make_scan}, {"photographs", make_photographs}};

static gboolean is_part(const char *name) {
    for (guint i = 0; i < G_N_ELEMENTS(parts); i++)
        if (g_str_equal(name, parts[i].name))
            return TRUE;
    return FALSE;
}

/* name NULL: all parts. */
static gboolean make(Work *work, const char *name, GError **error) {
    if (!prepare(work, error))
        return FALSE;
    for (guint i = 0; i < G_N_ELEMENTS(parts); i++)
        if ((!name || g_str_equal(name, parts[i].name)) && !parts[i].make(work, error))
            return FALSE;
    return TRUE;
}

int main(int argument_count, char **arguments) {
    const char *name = argument_count == 4 ? arguments[3] : NULL;
    if (argument_count < 3 || argument_count > 4 || (name && !is_part(name))) {
        fprintf(stderr, "usage: studio PRINT.svg OUT_DIR [scan | photographs | records]\n");
        return 2;
    }
    if (VIPS_INIT(arguments[0]))
        return 1;
    g_autoptr(GError) error = NULL;
    Work work = {.print_path = arguments[1], .directory = arguments[2]};
    gboolean done = make(&work, name, &error);
    if (!done)
        fprintf(stderr, "studio: %s\n", error->message);
    metal_free(work.metal);
    g_clear_object(&work.print);
    vips_shutdown();
    return done ? 0 : 1;
}
