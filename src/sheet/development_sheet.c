/* The development sheet: the plate laid flat at true scale, with its edge, ridge, fields, seam
 * and tape grid.
 *
 * The `develop` verb writes it. What is drawn on it comes from carried.c; layout.c finds the
 * page.
 */
#include "sheet/carried.h"
#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/labels.h"
#include "sheet/plate_lines.h"

#include <tapul/sheets.h>

#define GRID_STEP_MM 50.0
#define PAD_EMS      TAPUL_LABEL_REACH_EMS
#define GRID_COLOUR  ((TapulColour){0.55, 0.53, 0.50, 1})

/* --- Words --- */

static double plate_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    return tapul_plate_block(page, at, width_mm, format, data);
}

static double stretch_block(TapulPage *page, TapulVec2 at, double width_mm,
                            const TapulFormat *format, gconstpointer data) {
    return tapul_stretch_block(page, at, width_mm, format, data);
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    TapulSample grid = {.pen = {.stroke = GRID_COLOUR, .width_mm = TAPUL_HAIRLINE_MM},
                        .text =
                            "tape grid, every 50 mm over the metal: up the medial line, and "
                            "along the level cuts from it"};
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    y = tapul_plate_legend(page, tapul_vec2(at.x, y), width_mm, format, data, TAPUL_BLACK,
                           TAPUL_NO_COLOUR);
    return tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, grid, format);
}

static TapulFit words(TapulPage *page, TapulBox space, const TapulFormat *format,
                      gconstpointer data) {
    static const TapulBlock blocks[] = {plate_block, stretch_block, legend_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}

/* --- The figure --- */

static void draw_grid(TapulPage *page, const TapulGround *ground, TapulLabels *labels) {
    g_autoptr(GPtrArray) grid = tapul_carried_grid(ground, GRID_STEP_MM);
    TapulPen pen = {.stroke = GRID_COLOUR, .width_mm = TAPUL_HAIRLINE_MM};
    tapul_page_begin_group(page, "tape-grid", "Tape grid, every 50 mm over the metal", NULL);
    for (guint i = 0; i < grid->len; i++) {
        const TapulGridLine *line = grid->pdata[i];
        g_autofree char *text =
            g_strdup_printf("%s%.0f", line->at_mm < 0 ? "−" : "", fabs(line->at_mm));
        tapul_page_path(page, line->path, &pen);
        tapul_labels_line(labels, line->path, text);
    }
    tapul_page_end_group(page);
}

static void label_fields(TapulPage *page, const TapulGround *ground, TapulLabels *labels) {
    int n = tapul_plate_n_fields(ground->plate);
    g_autoptr(TapulPath) medial = tapul_carried_medial(ground);
    g_autoptr(GPtrArray) fields =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_path_free);
    tapul_labels_avoid(labels, medial);
    for (int i = 0; i < n; i++) {
        TapulPath *path = tapul_carried_field(ground, i);
        g_ptr_array_add(fields, path);
        tapul_labels_avoid(labels, path);
    }
    tapul_page_begin_group(page, "field-names", "Names of the fields", NULL);
    for (int i = 0; i < n; i++)
        tapul_labels_field(labels, fields->pdata[i], tapul_plate_field(ground->plate, i)->id);
    tapul_page_end_group(page);
}

static void draw_figure(TapulPage *page, const TapulGround *ground, const TapulPath *edge,
                        const TapulFormat *format) {
    g_autoptr(TapulLabels) labels =
        tapul_labels_new(page, fmax(0.8 * format->text_mm, TAPUL_LEAST_TEXT_MM), edge);
    tapul_page_path(page, edge, &(TapulPen){.fill = TAPUL_PLATE_TINT});
    draw_grid(page, ground, labels);
    tapul_plate_lines(page, ground, edge, TAPUL_BLACK);
    label_fields(page, ground, labels);
}

/* --- The sheet --- */

TapulPage *tapul_sheet_development(const TapulGround *ground) {
    g_autofree char *subtitle =
        g_strdup_printf("The plate laid flat at true scale (1 : 1); rule of development: %s",
                        tapul_development_rule_name(ground->development->rule));
    g_autoptr(TapulPath) edge = tapul_carried_edge(ground);
    TapulComposition composition = {.title = tapul_plate_name(ground->plate),
                                    .subtitle = subtitle,
                                    .description = subtitle,
                                    .figure = edge,
                                    .figure_pad_ems = PAD_EMS,
                                    .words = words,
                                    .data = ground};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "development", "The development at 1 : 1", &place);
    draw_figure(page, ground, edge, &format);
    tapul_page_end_group(page);
    return page;
}
