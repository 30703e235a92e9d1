/* The stretch sheet: how much each part of the plate is stretched or squeezed when laid flat.
 *
 * The `develop` verb writes it beside the development sheet. Colour shows how much, crosses
 * which way.
 */
#include "sheet/carried.h"
#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"
#include "sheet/stretch_scale.h"

#include <tapul/sheets.h>

#define PICTURE_DPI 150.0
/* A picture of more pixels than this would swell the files without showing more. */
#define MOST_PIXELS 6e6
/* Crosses stand on a square grid with about this many along the longer side, at round steps. */
#define CROSSES_ALONG 26.0

static const TapulPen stretched_pen = {.stroke = {0.08, 0.07, 0.06, 1}, .width_mm = 0.45};
static const TapulPen squeezed_pen = {
    .stroke = {0.08, 0.07, 0.06, 1}, .width_mm = 0.25, .n_dash = 2, .dash_mm = {0.9, 0.6}};

typedef struct {
    const TapulGround *ground;
    TapulStretchScale scale;
    double step_mm; /* between crosses */
    double arm_mm;  /* an arm at the scale's limit */
} Sheet;

/* --- The map --- */

static TapulRgb triangle_colour(int triangle, TapulVec2 at_mm, gboolean back,
                                gconstpointer data) {
    const TapulRgb *colours = data;
    (void)at_mm;
    (void)back;
    return colours[triangle];
}

static void draw_map(TapulPage *page, const Sheet *sheet, const TapulPath *edge) {
    const TapulDevelopment *development = sheet->ground->development;
    const TapulMesh *mesh = development->mesh;
    g_autofree TapulVec3 *flat = g_new(TapulVec3, mesh->n_vertices);
    g_autofree TapulRgb *colours = g_new(TapulRgb, mesh->n_triangles);
    for (int i = 0; i < mesh->n_vertices; i++)
        flat[i] = tapul_vec3(development->flat_mm[i].x, development->flat_mm[i].y, 0);
    for (int t = 0; t < mesh->n_triangles; t++) {
        double s1, s2;
        tapul_development_stretch(development, t, &s1, &s2, NULL);
        colours[t] = tapul_stretch_colour(sheet->scale, s1, s2);
    }
    TapulBox box = tapul_path_box(edge);
    double pixel_mm = tapul_raster_pixel_mm(box, 25.4 / PICTURE_DPI, MOST_PIXELS);
    g_autoptr(TapulRaster) raster =
        tapul_raster_new(mesh, flat, pixel_mm, triangle_colour, colours);
    tapul_page_begin_group(page, "stretch", "Stretch, as colour", NULL);
    tapul_page_begin_clip(page, edge);
    tapul_page_picture(page, raster->box_mm, raster->width_px, raster->height_px, raster->rgba);
    tapul_page_end_clip(page);
    tapul_page_end_group(page);
}

/* --- Crosses --- */

static void add_arm(TapulPath *stretched, TapulPath *squeezed, const Sheet *sheet, TapulVec2 at,
                    TapulVec2 axis, double stretch) {
    double share = log(fmax(stretch, 1e-9)) / log(sheet->scale.limit);
    TapulVec2 arm = tapul_vec2_scale(axis, sheet->arm_mm * fmin(fabs(share), 1.25));
    TapulPath *path = share > 0 ? stretched : squeezed;
    tapul_path_move(path, tapul_vec2_sub(at, arm));
    tapul_path_line(path, tapul_vec2_add(at, arm));
}

static void draw_crosses(TapulPage *page, const Sheet *sheet, TapulBox box) {
    g_autoptr(TapulPath) stretched = tapul_path_new();
    g_autoptr(TapulPath) squeezed = tapul_path_new();
    double step = sheet->step_mm;
    for (double y = ceil(box.min.y / step) * step; y <= box.max.y; y += step)
        for (double x = ceil(box.min.x / step) * step; x <= box.max.x; x += step) {
            TapulVec2 at = {x, y}, axis;
            TapulSpot spot;
            double s1, s2;
            if (!tapul_development_finder_spot(sheet->ground->finder, at, &spot))
                continue;
            tapul_development_stretch(sheet->ground->development, spot.triangle, &s1, &s2,
                                      &axis);
            add_arm(stretched, squeezed, sheet, at, axis, s1);
            add_arm(stretched, squeezed, sheet, at, tapul_vec2(-axis.y, axis.x), s2);
        }
    tapul_page_begin_group(page, "crosses", "Principal stretches, as crosses", NULL);
    tapul_page_path(page, stretched, &stretched_pen);
    tapul_page_path(page, squeezed, &squeezed_pen);
    tapul_page_end_group(page);
}

static double round_step_mm(TapulBox box) {
    static const double steps[] = {1, 2, 2.5, 5, 10, 15, 20, 25, 40, 50, 100, 200};
    double wanted = fmax(box.max.x - box.min.x, box.max.y - box.min.y) / CROSSES_ALONG;
    guint i = 0;
    while (i + 1 < G_N_ELEMENTS(steps) && steps[i] < wanted)
        i++;
    return steps[i];
}

/* Where the stretch is farthest from 1: a ring around the triangle. */
static void draw_worst(TapulPage *page, const TapulDevelopment *development, double radius_mm) {
    const int *corner = development->mesh->corner[development->stretch.worst_triangle];
    TapulVec2 middle = {0, 0};
    for (int k = 0; k < 3; k++)
        middle =
            tapul_vec2_add(middle, tapul_vec2_scale(development->flat_mm[corner[k]], 1.0 / 3));
    tapul_page_begin_group(page, "worst", "Where the stretch is farthest from 1", NULL);
    tapul_draw_pair(page, middle, radius_mm, TAPUL_BLACK, TAPUL_WARM_WHITE);
    tapul_page_end_group(page);
}

/* --- Words --- */

static double scale_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    const Sheet *sheet = data;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    double x = at.x;
    double y = tapul_set_heading(page, at, width_mm, "Scale", format);
    y = tapul_stretch_scale_draw(page, tapul_vec2(x, y), width_mm, sheet->scale, format);
    g_autofree char *text = g_strdup_printf(
        "Colour: the principal stretch farther from 1, plate to plane; at 1.02 the paper is "
        "two "
        "parts in a hundred longer than the metal, and beyond the scale its end colours hold. "
        "Where a place is stretched one way as much as it is squeezed the other, the two "
        "colours "
        "mix. Crosses: both principal stretches and their directions; an arm of %g\u00a0mm "
        "stands "
        "for the end of the scale.",
        sheet->arm_mm);
    return tapul_set_paragraph(page, tapul_vec2(x, y), width_mm, text, &type);
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const Sheet *sheet = data;
    TapulSample stretched = {.pen = stretched_pen, .text = "stretched along this arm"};
    TapulSample squeezed = {.pen = squeezed_pen, .text = "squeezed along this arm"};
    TapulSample worst = {.kind = TAPUL_SAMPLE_PAIR,
                         .pen = {.stroke = TAPUL_BLACK},
                         .text = "where the stretch is farthest from 1"};
    double x = at.x;
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, stretched, format);
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, squeezed, format);
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, worst, format);
    return tapul_plate_legend(page, tapul_vec2(x, y), width_mm, format, sheet->ground,
                              TAPUL_BLACK, TAPUL_NO_COLOUR);
}

static double plate_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    return tapul_plate_block(page, at, width_mm, format, ((const Sheet *)data)->ground);
}

static double stretch_block(TapulPage *page, TapulVec2 at, double width_mm,
                            const TapulFormat *format, gconstpointer data) {
    return tapul_stretch_block(page, at, width_mm, format, ((const Sheet *)data)->ground);
}

static TapulFit words(TapulPage *page, TapulBox space, const TapulFormat *format,
                      gconstpointer data) {
    static const TapulBlock blocks[] = {scale_block, legend_block, plate_block, stretch_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}

/* --- The sheet --- */

TapulPage *tapul_sheet_stretch(const TapulGround *ground) {
    g_autofree char *subtitle =
        g_strdup_printf("Stretch of the plate laid flat, at true scale (1 : 1); rule of "
                        "development: %s",
                        tapul_development_rule_name(ground->development->rule));
    g_autoptr(TapulPath) edge = tapul_carried_edge(ground);
    TapulBox box = tapul_path_box(edge);
    Sheet sheet = {ground, tapul_stretch_scale_for(ground->development), round_step_mm(box), 0};
    sheet.arm_mm = 0.4 * sheet.step_mm;
    TapulComposition composition = {.title = tapul_plate_name(ground->plate),
                                    .subtitle = subtitle,
                                    .description = subtitle,
                                    .figure = edge,
                                    .figure_pad_ems = 0.5,
                                    .words = words,
                                    .data = &sheet};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "development", "The development at 1 : 1", &place);
    draw_map(page, &sheet, edge);
    tapul_page_begin_clip(page, edge);
    draw_crosses(page, &sheet, box);
    tapul_page_end_clip(page);
    tapul_plate_lines(page, ground, edge, TAPUL_BLACK);
    draw_worst(page, ground->development, 0.5 * format.text_mm);
    tapul_page_end_group(page);
    return page;
}
