/* What every sheet shows of the plate's development: its own lines, their legend, its figures.
 *
 * One place, so that a line means the same on all sheets.
 */
#include "sheet/plate_lines.h"

#include "sheet/carried.h"

/* Line widths of ISO 128; a chain line for the medial plane and dashes for a cut are
 * drawing-office custom. */
static const TapulPen edge_pen = {
    .stroke = {0.08, 0.07, 0.06, 1}, .width_mm = 0.35, .join = TAPUL_JOIN_ROUND};
static const TapulPen seam_pen = {
    .stroke = {0.08, 0.07, 0.06, 1}, .width_mm = 0.7, .n_dash = 2, .dash_mm = {3, 2}};

static TapulPen medial_pen(const TapulGround *ground, TapulColour colour) {
    if (tapul_plate_has_ridge(ground->plate))
        return (TapulPen){.stroke = colour, .width_mm = 0.18};
    return (TapulPen){
        .stroke = colour, .width_mm = 0.13, .n_dash = 4, .dash_mm = {8, 1.2, 1.2, 1.2}};
}

static TapulPen field_pen(TapulColour colour) {
    return (TapulPen){.stroke = colour,
                      .width_mm = 0.3,
                      .cap = TAPUL_CAP_ROUND,
                      .n_dash = 2,
                      .dash_mm = {0, 0.9}};
}

/* A pen of page mm in the units of a group. */
static TapulPen pen_at(TapulPen pen, double scale) {
    pen.width_mm /= scale;
    for (int i = 0; i < pen.n_dash; i++)
        pen.dash_mm[i] /= scale;
    return pen;
}

static void draw_group(TapulPage *page, const char *id, const char *title,
                       const TapulPath *path, TapulPen pen, double scale) {
    if (tapul_path_is_empty(path))
        return;
    pen = pen_at(pen, scale);
    tapul_page_begin_group(page, id, title, NULL);
    tapul_page_path(page, path, &pen);
    tapul_page_end_group(page);
}

void tapul_plate_lines_at(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                          TapulColour inner, double scale, gboolean fields) {
    gboolean ridge = tapul_plate_has_ridge(ground->plate);
    g_autoptr(TapulPath) medial = tapul_carried_medial(ground);
    g_autoptr(TapulPath) seam = tapul_carried_seam(ground);
    draw_group(page, ridge ? "ridge" : "medial-line", ridge ? "Ridge" : "Medial line", medial,
               medial_pen(ground, inner), scale);
    for (int i = 0; fields && i < tapul_plate_n_fields(ground->plate); i++) {
        const char *name = tapul_plate_field(ground->plate, i)->id;
        g_autofree char *id = g_strconcat("field-", name, NULL);
        g_autoptr(TapulPath) field = tapul_carried_field(ground, i);
        draw_group(page, id, name, field, field_pen(inner), scale);
    }
    draw_group(page, "edge", "Edge of the plate", edge, edge_pen, scale);
    draw_group(page, "seam", "Seam", seam, seam_pen, scale);
}

void tapul_plate_lines(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                       TapulColour inner) {
    tapul_plate_lines_at(page, ground, edge, inner, 1, TRUE);
}

int tapul_plate_samples(const TapulGround *ground, TapulColour inner, TapulColour under,
                        TapulSample *samples) {
    gboolean ridge = tapul_plate_has_ridge(ground->plate);
    int n = 0;
    if (tapul_plate_medial_line(ground->plate))
        samples[n++] = (TapulSample){.pen = medial_pen(ground, inner),
                                     .ground = under,
                                     .text = ridge ? "ridge" : "medial line"};
    if (tapul_plate_n_fields(ground->plate) > 0)
        samples[n++] = (TapulSample){.pen = field_pen(inner), .ground = under, .text = "field"};
    if (tapul_plate_has_seam(ground->plate))
        samples[n++] = (TapulSample){
            .pen = seam_pen,
            .text = tapul_plate_is_opened(ground->plate) ? "seam" : "seam, along the back"};
    samples[n++] = (TapulSample){.pen = edge_pen, .text = "edge of the plate"};
    return n;
}

double tapul_plate_legend(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, const TapulGround *ground,
                          TapulColour inner, TapulColour under) {
    TapulSample samples[TAPUL_MOST_PLATE_SAMPLES];
    int n = tapul_plate_samples(ground, inner, under, samples);
    double y = at.y;
    for (int i = 0; i < n; i++)
        y = tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, samples[i], format);
    return y;
}

double tapul_stretch_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, const TapulGround *ground) {
    const TapulDevelopment *development = ground->development;
    const TapulStretchSummary *s = &development->stretch;
    double degrees = 180 / G_PI, x = at.x;
    double y = tapul_set_heading(page, at, width_mm, "Stretch, plate to plane", format);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "least", "%.4f", s->min);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "mean", "%.4f", s->mean);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "95 parts in 100 are below",
                         "%.4f", s->p95);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format,
                         "999 parts in 1000 are below", "%.4f", s->p999);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "greatest", "%.4f", s->max);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "error of angles, mean",
                         "%.2f°", development->angle_mean_rad * degrees);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "error of angles, greatest",
                         "%.2f°", development->angle_max_rad * degrees);
    return tapul_set_figure(page, tapul_vec2(x, y), width_mm, format,
                            "energy (4 where nothing stretches)", "%.5f", development->energy);
}

double tapul_fit_caution(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, const TapulPlate *plate) {
    const TapulPlateFitted *fitted = tapul_plate_fitted(plate);
    if (!fitted)
        return at.y;
    TapulType type = {.size_mm = format->text_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    g_autofree char *text = g_strdup_printf("Not read from a plate: a type stretched to the "
                                            "measures given. Another type so fitted may "
                                            "lie %.0f\u00a0mm from this one.",
                                            fitted->uncertain_mm);
    return tapul_set_paragraph(page, at, width_mm, text, &type);
}

double tapul_plate_block(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, const TapulGround *ground) {
    const TapulDevelopment *development = ground->development;
    double x = at.x;
    double y = tapul_set_heading(page, at, width_mm, "The plate", format);
    const char *source = tapul_plate_source(ground->plate);
    if (source && *source) {
        TapulType type = {.size_mm = format->text_mm, .italic = TRUE, .colour = TAPUL_QUIET};
        y = tapul_set_paragraph(page, tapul_vec2(x, y), width_mm, source, &type);
    }
    y = tapul_fit_caution(page, tapul_vec2(x, y), width_mm, format, ground->plate);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "area of metal", "%.1f cm²",
                         development->area_mm2 / 100);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "area laid flat", "%.1f cm²",
                         development->developed_area_mm2 / 100);
    if (tapul_plate_thickness_mm(ground->plate) > 0)
        y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "thickness", "%.1f mm",
                             tapul_plate_thickness_mm(ground->plate));
    return tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "triangles", "%d",
                            development->mesh->n_triangles);
}
