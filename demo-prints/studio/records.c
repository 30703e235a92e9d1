#include "records.h"

#include "chance.h"
#include "landmarks.h"
#include "marks.h"
#include "print.h"
#include "scan.h"

#define PICK_SD_PX        0.5
#define PAIR_SD_MM        0.3  /* of a tape along the metal to a place of the design */
#define MOST_SLANT_COSINE 0.35 /* no one picks a mark seen at more than 70 degrees */

static const Mark *mark_number(int i) {
    return i < MARK_N_RIVETS ? &mark_rivets[i] : &mark_punches[i - MARK_N_RIVETS];
}

static gboolean plainly_seen(const Camera *camera, Vec3 normal) {
    Vec3 sight = vec3_unit(vec3_sub(camera->eye_mm, cap_point_mm(normal)));
    return vec3_dot(sight, normal) > MOST_SLANT_COSINE;
}

gboolean records_write_points(const Camera *camera, guint64 seed, const char *path,
                              GError **error) {
    g_autoptr(GString) table = g_string_new("name,px_x,px_y,plate_across_mm,plate_up_mm\n");
    for (int i = 0; i < MARK_N_RIVETS + MARK_N_PUNCHES; i++) {
        Vec3 normal = mark_normal(mark_number(i));
        if (!plainly_seen(camera, normal))
            continue;
        Vec2 px = camera_pixel(camera, cap_point_mm(normal));
        Tape tape = cap_tape(normal);
        g_string_append_printf(table, "\"%s\",%.1f,%.1f,%.1f,%.1f\n", mark_number(i)->name,
                               px.x + PICK_SD_PX * chance_normal(seed, i, 0),
                               px.y + PICK_SD_PX * chance_normal(seed, i, 1), tape.across_mm,
                               tape.up_mm);
    }
    return g_file_set_contents(path, table->str, (gssize)table->len, error);
}

gboolean records_write_pairs(const char *path, GError **error) {
    g_autoptr(GString) table =
        g_string_new("print,name,print_x_mm,print_y_mm,plate_across_mm,plate_up_mm\n");
    Sheet sheet = adaptation_sheet();
    for (int i = 0; i < N_LANDMARKS; i++) {
        Tape tape = cap_tape(landmark_normal(&sheet, &landmarks[i]));
        g_string_append_printf(table, "mask,\"%s\",%.1f,%.1f,%.1f,%.1f\n", landmarks[i].name,
                               landmarks[i].print_mm.x, landmarks[i].print_mm.y,
                               tape.across_mm + PAIR_SD_MM * chance_normal(61, i, 0),
                               tape.up_mm + PAIR_SD_MM * chance_normal(61, i, 1));
    }
    return g_file_set_contents(path, table->str, (gssize)table->len, error);
}

/* --- The truth --- */

static void put_vec2(GString *text, const char *key, Vec2 v) {
    g_string_append_printf(text, "%s: [%.3f, %.3f]", key, v.x, v.y);
}

static void put_vec3(GString *text, const char *before, Vec3 v) {
    g_string_append_printf(text, "%s[%.9f, %.9f, %.9f]", before, v.x, v.y, v.z);
}

static void put_scan(GString *text) {
    g_string_append_printf(text, "scan:\n  dpi: %d\n  skew_deg: %.3f # clockwise as seen\n",
                           SCAN_DPI, SCAN_SKEW_DEG);
    put_vec2(text, "  mark_lower_left_px", scan_pixel((Vec2){0, 0}));
    put_vec2(text, "\n  mark_lower_right_px", scan_pixel((Vec2){PRINT_MM, 0}));
    put_vec2(text, "\n  mark_upper_right_px", scan_pixel((Vec2){PRINT_MM, PRINT_MM}));
    put_vec2(text, "\n  mark_upper_left_px", scan_pixel((Vec2){0, PRINT_MM}));
    g_string_append(text, "\n");
}

static void put_laying(GString *text) {
    Sheet sheet = adaptation_sheet();
    g_string_append_printf(text,
                           "laying:\n  rule: rolled\n  reversed: true\n  scale: 1\n"
                           "  anchor_across_mm: %.3f\n  anchor_up_mm: %.3f\n"
                           "  print_anchor_mm: [%.3f, %.3f]\n  turn_deg: %.3f\n",
                           sheet.anchor.across_mm, sheet.anchor.up_mm, sheet.print_anchor_mm.x,
                           sheet.print_anchor_mm.y, sheet.turn_deg);
    g_string_append(text, "  left_out: [" ADAPTATION_LEFT_OUT ", border, ground]\n"
                          "  moved: { motif: " ADAPTATION_MOVED);
    put_vec2(text, ", print_by_mm", adaptation_moved_mm);
    g_string_append(text, " }\n");
}

static void put_camera(GString *text, const Exposure *exposure) {
    const Camera *camera = &exposure->camera;
    g_string_append_printf(
        text, "  %s:\n    size_px: [%d, %d]\n    focal_px: %.3f\n    k1: %.4f\n",
        exposure->name, camera->width_px, camera->height_px, camera->focal_px, camera->k1);
    put_vec3(text, "    eye_mm: ", camera->eye_mm);
    put_vec3(text, "\n    rotation: [", camera->right);
    put_vec3(text, ",\n               ", camera->down);
    put_vec3(text, ",\n               ", camera->forward);
    g_string_append(text, "]\n");
}

/* Where a place of the plate is, and where each camera that sees it plainly has it. */
static void put_place(GString *text, Vec3 normal, const Exposure *exposures, int n) {
    put_vec3(text, "xyz_mm: ", cap_point_mm(normal));
    for (int i = 0; i < n; i++) {
        if (!plainly_seen(&exposures[i].camera, normal))
            continue;
        g_autofree char *key = g_strdup_printf(", %s_px", exposures[i].name);
        put_vec2(text, key, camera_pixel(&exposures[i].camera, cap_point_mm(normal)));
    }
    g_string_append(text, " }\n");
}

static void put_marks(GString *text, const Exposure *exposures, int n) {
    g_string_append(text, "marks: # in the tables of points\n");
    for (int i = 0; i < MARK_N_RIVETS + MARK_N_PUNCHES; i++) {
        g_string_append_printf(text, "  - { name: \"%s\", ", mark_number(i)->name);
        put_place(text, mark_normal(mark_number(i)), exposures, n);
    }
}

static void put_landmarks(GString *text, const Exposure *exposures, int n) {
    Sheet sheet = adaptation_sheet();
    g_string_append(text, "landmarks: # of the design\n");
    for (int i = 0; i < N_LANDMARKS; i++) {
        g_string_append_printf(text, "  - { name: \"%s\", moved: %s, ", landmarks[i].name,
                               landmarks[i].moved ? "true" : "false");
        put_vec2(text, "print_mm", landmarks[i].print_mm);
        g_string_append(text, ", ");
        put_place(text, landmark_normal(&sheet, &landmarks[i]), exposures, n);
    }
}

static const char truth_head[] =
    "# What was put into the invented scan and photographs: for tests; nothing else reads it.\n"
    "# Pixels: x right, y down, the first one's centre at 0.5, 0.5. Rotation: rows are the "
    "camera's right,\n# down and forward in the plate's frame.\n";

gboolean records_write_truth(const Exposure *exposures, int n, const char *path,
                             GError **error) {
    g_autoptr(GString) text = g_string_new(truth_head);
    put_scan(text);
    put_laying(text);
    g_string_append(text, "cameras:\n");
    for (int i = 0; i < n; i++)
        put_camera(text, &exposures[i]);
    put_marks(text, exposures, n);
    put_landmarks(text, exposures, n);
    return g_file_set_contents(path, text->str, (gssize)text->len, error);
}
