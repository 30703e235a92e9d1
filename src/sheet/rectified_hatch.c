/* Hatching over what a rectified photograph does not show well.
 *
 * Lines run over the picture's mask and are drawn where it says so: no outline of the parts is
 * needed, and none is drawn that would pass for one of the plate's.
 */
#include "sheet/furniture.h"
#include "sheet/rectified_parts.h"

#define SPACING_MM 2.2
#define STEP_MM    0.2 /* along a line: less than its width shows; on the page, as all here */
#define RISING     (G_PI / 4)
#define FALLING    (-G_PI / 4)

static const TapulPen hatch_pen = {.stroke = {0.40, 0.38, 0.36, 1}, .width_mm = 0.18};

static gboolean is_seen_so(const TapulRectified *rectified, TapulVec2 at_mm, TapulSeen seen) {
    int x = (int)floor((at_mm.x - rectified->box_mm.min.x) / rectified->pixel_mm);
    int y = (int)floor((rectified->box_mm.max.y - at_mm.y) / rectified->pixel_mm);
    return x >= 0 && y >= 0 && x < rectified->width_px && y < rectified->height_px &&
           rectified->seen[(gsize)y * (gsize)rectified->width_px + (gsize)x] == seen;
}

/* One line, drawn where the mask says so. */
static void hatch_line(TapulPath *path, const TapulRectified *rectified, TapulSeen seen,
                       TapulVec2 from, TapulVec2 along, double length_mm, double step_mm) {
    TapulVec2 last = from;
    gboolean drawing = FALSE;
    for (double t = 0; t <= length_mm; t += step_mm) {
        TapulVec2 at = tapul_vec2_add(from, tapul_vec2_scale(along, t));
        gboolean inside = is_seen_so(rectified, at, seen);
        if (inside && !drawing)
            tapul_path_move(path, at);
        else if (!inside && drawing)
            tapul_path_line(path, last);
        drawing = inside;
        last = at;
    }
    if (drawing)
        tapul_path_line(path, last);
}

static void add_hatch(TapulPath *path, const TapulRectified *rectified, TapulSeen seen,
                      double angle_rad, double scale) {
    TapulBox box = rectified->box_mm;
    double spacing_mm = SPACING_MM / scale;
    TapulVec2 along = {cos(angle_rad), sin(angle_rad)}, across = {-along.y, along.x};
    TapulVec2 middle = tapul_vec2_mix(box.min, box.max, 0.5);
    double reach_mm = tapul_vec2_distance(box.min, box.max) / 2;
    /* Counted from the developed frame's origin: crossed lines then meet alike on every page.
     */
    double offset_mm = tapul_vec2_dot(middle, across);
    for (double k = ceil((offset_mm - reach_mm) / spacing_mm);
         k * spacing_mm <= offset_mm + reach_mm; k++) {
        TapulVec2 nearest =
            tapul_vec2_add(middle, tapul_vec2_scale(across, k * spacing_mm - offset_mm));
        TapulVec2 from = tapul_vec2_sub(nearest, tapul_vec2_scale(along, reach_mm));
        hatch_line(path, rectified, seen, from, along, 2 * reach_mm, STEP_MM / scale);
    }
}

static void draw(TapulPage *page, const char *id, const char *title, const TapulPath *path,
                 double scale) {
    TapulPen pen = hatch_pen;
    if (tapul_path_is_empty(path))
        return;
    pen.width_mm /= scale;
    tapul_page_begin_group(page, id, title, NULL);
    tapul_page_path(page, path, &pen);
    tapul_page_end_group(page);
}

void tapul_draw_unseen(TapulPage *page, const TapulRectified *rectified, double scale) {
    g_autoptr(TapulPath) grazing = tapul_path_new();
    g_autoptr(TapulPath) hidden = tapul_path_new();
    add_hatch(grazing, rectified, TAPUL_SEEN_GRAZING, RISING, scale);
    add_hatch(hidden, rectified, TAPUL_SEEN_HIDDEN, RISING, scale);
    add_hatch(hidden, rectified, TAPUL_SEEN_HIDDEN, FALLING, scale);
    draw(page, "grazing", "Seen at a slant only", grazing, scale);
    draw(page, "hidden", "In no photograph", hidden, scale);
}

/* --- Samples --- */

/* As furniture.c sets its samples: width, and where the text begins, in ems. */
#define SAMPLE_EMS 3.6
#define INDENT_EMS 4.7

static void draw_patch(TapulPage *page, TapulVec2 at, double em, gboolean crossed) {
    TapulBox patch = {{at.x + 0.3 * em, at.y - 1.05 * em},
                      {at.x + (0.3 + SAMPLE_EMS) * em, at.y - 0.1 * em}};
    double height_mm = patch.max.y - patch.min.y;
    g_autoptr(TapulPath) frame = tapul_box_path(patch);
    g_autoptr(TapulPath) lines = tapul_path_new();
    for (double x = patch.min.x - height_mm; x < patch.max.x; x += SPACING_MM * G_SQRT2) {
        tapul_path_move(lines, tapul_vec2(x, patch.min.y));
        tapul_path_line(lines, tapul_vec2(x + height_mm, patch.max.y));
        if (!crossed)
            continue;
        tapul_path_move(lines, tapul_vec2(x, patch.max.y));
        tapul_path_line(lines, tapul_vec2(x + height_mm, patch.min.y));
    }
    tapul_page_begin_clip(page, frame);
    tapul_page_path(page, lines, &hatch_pen);
    tapul_page_end_clip(page);
}

static double set_patch(TapulPage *page, TapulVec2 at, double width_mm, gboolean crossed,
                        const char *text, const TapulFormat *format) {
    double em = format->text_mm;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    if (page)
        draw_patch(page, at, em, crossed);
    return tapul_set_paragraph(page, tapul_vec2(at.x + INDENT_EMS * em, at.y),
                               width_mm - INDENT_EMS * em, text, &type);
}

/* A share of the plate that would print as 0.0 % is not worth a sample. */
#define LEAST_SHARE 0.0005

double tapul_unseen_legend(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, const TapulRectified *rectified) {
    double y = at.y;
    if (rectified->grazing_share >= LEAST_SHARE)
        y = set_patch(page, tapul_vec2(at.x, y), width_mm, FALSE,
                      "seen at too great a slant to be relied on", format);
    if (1 - rectified->seen_share - rectified->grazing_share >= LEAST_SHARE)
        y = set_patch(page, tapul_vec2(at.x, y), width_mm, TRUE, "in no photograph", format);
    return y;
}
