/* Plates for tests, written as descriptions to a temporary folder and loaded from there. */
#ifndef TAPUL_TESTS_PLATES_FOR_TESTS_H
#define TAPUL_TESTS_PLATES_FOR_TESTS_H

#include <check.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <tapul/plate.h>

/* A plate from the text under "surface:", e.g. "{ kind: sphere, radius_mm: 150, half_angle_deg:
 * 60 }", and more lines of the description, or "". NULL with an error, or a plate. */
static inline TapulPlate *plate_from_text(const char *surface, const char *more,
                                          GError **error) {
    g_autofree char *text =
        g_strdup_printf("tapul: plate/1\nname: for a test\nsurface: %s\n%s", surface, more);
    g_autofree char *path = NULL;
    int handle = g_file_open_tmp("tapul-XXXXXX.yaml", &path, NULL);
    ck_assert_int_ge(handle, 0);
    g_close(handle, NULL);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
    TapulPlate *plate = tapul_plate_load(path, NULL, error);
    g_unlink(path);
    return plate;
}

/* The same, for descriptions that must load. */
static inline TapulPlate *good_plate(const char *surface, const char *more) {
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = plate_from_text(surface, more, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "no plate and no error");
    return plate;
}

#endif
