/* The rectified sheets' words: the cameras, what is seen, the table of points.
 *
 * Set by rectified_sheet.c and resolution_sheet.c.
 */
#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"
#include "sheet/rectified_parts.h"

/* --- Cameras --- */

static char *lens_text(const TapulPhoto *photo) {
    const TapulCameraFit *fit = &photo->fit;
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, "%d × %d px; focal length %.0f px", photo->width_px,
                           photo->height_px, fit->camera.focal_px);
    if (photo->options.focal_px > 0)
        g_string_append(text, " as given");
    else
        g_string_append_printf(text, " ± %.0f", fit->focal_sd_px);
    if (!fit->has_k1)
        g_string_append(text, "; no radial term, which the points do not bear");
    else
        g_string_append_printf(text, "; radial term %s%.3f", fit->camera.k1 < 0 ? "−" : "",
                               fabs(fit->camera.k1));
    return g_string_free(text, FALSE);
}

/* How far the eye was from the nearest of the points: what the reader pictures as the distance.
 */
static double distance_mm(const TapulPhoto *photo) {
    double nearest = INFINITY;
    for (guint i = 0; i < photo->sights->len; i++) {
        TapulVec3 at = g_array_index(photo->sights, TapulSight, i).xyz_mm;
        nearest = fmin(nearest, tapul_vec3_distance(photo->fit.camera.eye_mm, at));
    }
    return nearest;
}

static char *fit_text(const TapulPhoto *photo) {
    const TapulCameraFit *fit = &photo->fit;
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, "Taken from %.2f\u00a0m. %u points agree to %.2f\u00a0px",
                           distance_mm(photo) / 1000,
                           photo->sights->len - (fit->set_aside >= 0), fit->rms_px);
    if (isfinite(fit->loo_px))
        g_string_append_printf(text,
                               "; each left out in turn, they are missed by %.2f\u00a0px, "
                               "%.2f\u00a0mm on the plate",
                               fit->loo_px, fit->loo_mm);
    g_string_append_c(text, '.');
    if (fit->set_aside >= 0)
        g_string_append_printf(
            text, " The point \u2018%s\u2019 does not agree with the others and was set aside.",
            g_array_index(photo->sights, TapulSight, fit->set_aside).name);
    return g_string_free(text, FALSE);
}

double tapul_cameras_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulRectifiedSheet *sheet = data;
    double em = format->text_mm;
    TapulType name = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    TapulType text = {.size_mm = em, .colour = TAPUL_BLACK};
    double y =
        tapul_set_heading(page, at, width_mm,
                          sheet->n_photos == 1 ? "The photograph" : "The photographs", format);
    for (int i = 0; i < sheet->n_photos; i++) {
        const TapulPhoto *photo = sheet->photos[i];
        g_autofree char *base = g_path_get_basename(photo->file);
        g_autofree char *lens = lens_text(photo);
        g_autofree char *title = g_strdup_printf("%s: %s", base, lens);
        g_autofree char *fit = fit_text(photo);
        y = tapul_set_paragraph(page, tapul_vec2(at.x, y - (i > 0 ? 0.6 * em : 0)), width_mm,
                                title, &name);
        y = tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, fit, &text);
    }
    return y;
}

/* --- What is seen --- */

#define CAUTION                                                                                \
    "The picture is as true as the plate's readings and the points are: a place off the "      \
    "plate's described surface is shown beside where it lies."

double tapul_seen_block(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, gconstpointer data) {
    const TapulRectifiedSheet *sheet = data;
    const TapulRectified *rectified = sheet->rectified;
    double hidden = 1 - rectified->seen_share - rectified->grazing_share;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    g_autofree char *text = g_strdup_printf(
        "Of the metal's area %.1f\u00a0%% is seen well, %.1f\u00a0%% at too great a slant, and "
        "%.1f\u00a0%% in no photograph. A pixel of the picture is %g\u00a0mm.%s",
        100 * rectified->seen_share, 100 * rectified->grazing_share, 100 * fmax(hidden, 0),
        rectified->pixel_mm,
        sheet->n_photos > 1
            ? " Where several photographs show a place, the one that sees it more "
              "from the front is preferred."
            : "");
    double y = tapul_set_heading(page, at, width_mm, "What is seen", format);
    y = tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, text, &type);
    if (sheet->enhanced)
        y = tapul_set_paragraph(
            page, tapul_vec2(at.x, y), width_mm,
            "Worn lines are brought out: the greys are not the metal's own.", &type);
    y = tapul_fit_caution(page, tapul_vec2(at.x, y), width_mm, format, sheet->ground->plate);
    type.italic = TRUE;
    return tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, CAUTION, &type);
}

/* --- The table of points --- */

#define FIGURE_EMS 4.6 /* width of a column of figures */

/* One row: a name and three figures, or their heads. */
static double set_sight_row(TapulPage *page, TapulVec2 at, double width_mm, const char *name,
                            const char *const figures[3], gboolean head,
                            const TapulFormat *format) {
    double em = format->text_mm;
    TapulType left = {.size_mm = em, .italic = head, .colour = TAPUL_BLACK};
    TapulType right = {
        .size_mm = em, .italic = head, .align = TAPUL_ALIGN_RIGHT, .colour = TAPUL_BLACK};
    double y = tapul_set_paragraph(page, at, width_mm - 3 * FIGURE_EMS * em, name, &left);
    for (int k = 0; page && k < 3; k++)
        tapul_page_text(
            page, tapul_vec2(at.x + width_mm - (2 - k) * FIGURE_EMS * em, at.y - 0.86 * em),
            figures[k], &right);
    return y;
}

static char *figure_text(double value) {
    return isfinite(value) ? g_strdup_printf("%.2f", value) : g_strdup("–");
}

static double set_sight(TapulPage *page, TapulVec2 at, double width_mm, const TapulSight *sight,
                        int number, const TapulFormat *format) {
    g_autofree char *name = g_strdup_printf("%d  %s%s", number, sight->name,
                                            sight->set_aside ? " (set aside)" : "");
    g_autofree char *residual = figure_text(sight->residual_px);
    g_autofree char *loo_px = figure_text(sight->loo_px);
    g_autofree char *loo_mm = figure_text(sight->loo_mm);
    const char *const figures[3] = {residual, loo_px, loo_mm};
    return set_sight_row(page, at, width_mm, name, figures, FALSE, format);
}

double tapul_sights_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    static const char *const heads[3] = {"off, px", "left out, px", "mm"};
    const TapulRectifiedSheet *sheet = data;
    double em = format->text_mm;
    double y = tapul_set_heading(page, at, width_mm, "Points", format);
    for (int i = 0; i < sheet->n_photos; i++) {
        const TapulPhoto *photo = sheet->photos[i];
        g_autofree char *base = g_path_get_basename(photo->file);
        y -= i > 0 ? 0.6 * em : 0;
        y = set_sight_row(page, tapul_vec2(at.x, y), width_mm,
                          sheet->n_photos > 1 ? base : "point", heads, TRUE, format);
        tapul_rule(page, tapul_vec2(at.x, y), width_mm);
        y -= 0.2 * em;
        for (guint k = 0; k < photo->sights->len; k++)
            y = set_sight(
                page, tapul_vec2(at.x, y), width_mm,
                &g_array_index(photo->sights, TapulSight, k),
                tapul_sight_number(sheet, g_array_index(photo->sights, TapulSight, k).name),
                format);
    }
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_QUIET};
    return tapul_set_paragraph(
        page, tapul_vec2(at.x, y - 0.3 * em), width_mm,
        "Off: from where the camera sees the point to where it was picked. Left out: the same "
        "for "
        "the camera found without it, in the picture and across the line of sight.",
        &type);
}
