/* The rectified sheet: a photograph brought on to the plate laid flat, at true scale, with the
 * prints laid over it.
 *
 * The `rectify` verb writes it, with the resolution sheet as its second page. What is not seen
 * well is hatched; print ink is vermilion.
 */
#include "sheet/carried.h"
#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/inking.h"
#include "sheet/page_items.h"
#include "sheet/plate_lines.h"
#include "sheet/rectified_parts.h"
#include "sheet/rows.h"

#define PAD_EMS 0.5
/* Finer than an engraving is printed from a photograph (common practice, no source), and so
 * much as files bear that are to be sent about. */
#define PICTURE_DPI 300.0
#define MOST_PIXELS 9e6

typedef struct {
    const TapulRectifiedSheet *told;
    const TapulPath *edge;
    int width_px, height_px; /* of the picture as printed */
    guint8 *rgba;
    int *picture; /* the page's number of it; -1 until it is drawn */
} Sheet;

/* --- The figure, and the photograph alone --- */

static int keep_picture(TapulPage *page, const Sheet *sheet) {
    if (*sheet->picture < 0)
        *sheet->picture =
            tapul_page_keep_picture(page, sheet->width_px, sheet->height_px, sheet->rgba);
    return *sheet->picture;
}

static void draw_picture(TapulPage *page, const Sheet *sheet) {
    tapul_page_path(page, sheet->edge, &(TapulPen){.fill = TAPUL_PLATE_TINT});
    tapul_page_begin_group(page, "photograph", "The photograph, rectified", NULL);
    tapul_page_begin_clip(page, sheet->edge);
    tapul_page_draw_picture(page, sheet->told->rectified->box_mm, keep_picture(page, sheet));
    tapul_page_end_clip(page);
    tapul_page_end_group(page);
}

static void draw_layings(TapulPage *page, const Sheet *sheet) {
    TapulInking inking = {.ink = TAPUL_PRINT_INK,
                          .ground = TAPUL_WARM_WHITE,
                          .least_width_mm = TAPUL_LEAST_INK_MM,
                          .most_width_mm = TAPUL_OVER_PICTURE_MM,
                          .picture = -1};
    tapul_page_begin_clip(page, sheet->edge);
    for (int i = 0; i < sheet->told->n_layings; i++) {
        const TapulOverlayLaying *laying = &sheet->told->layings[i];
        tapul_page_begin_group(page, laying->name, laying->caption, NULL);
        tapul_inking_draw(page, laying->laid->marks, NULL,
                          laying->ink ? laying->ink->motifs : NULL, laying->name, &inking);
        tapul_page_end_group(page);
    }
    tapul_page_end_clip(page);
}

static void draw_figure(TapulPage *page, const Sheet *sheet, const TapulFormat *format) {
    TapulVec2 pad = {PAD_EMS * format->text_mm, PAD_EMS * format->text_mm};
    TapulBox box = tapul_path_box(sheet->edge);
    TapulBox room = {tapul_vec2_sub(box.min, pad), tapul_vec2_add(box.max, pad)};
    draw_picture(page, sheet);
    tapul_page_begin_clip(page, sheet->edge);
    tapul_draw_unseen(page, sheet->told->rectified, 1);
    tapul_page_end_clip(page);
    draw_layings(page, sheet);
    tapul_page_begin_group(page, "plate", "The plate's own lines", NULL);
    tapul_plate_lines(page, sheet->told->ground, sheet->edge, TAPUL_BLACK);
    tapul_page_end_group(page);
    tapul_draw_sights(page, sheet->told, room, format);
}

/* Beside prints, which cover what they are compared with. */
static void draw_alone(TapulPage *page, int inset, TapulVec2 at, double scale,
                       gconstpointer data) {
    const Sheet *sheet = data;
    TapulBox box = tapul_path_box(sheet->edge);
    TapulAffine place = {
        scale, 0, 0, scale, at.x - scale * box.min.x, at.y - scale * box.min.y};
    (void)inset;
    tapul_page_begin_group(page, "alone", "The photograph without the prints", &place);
    draw_picture(page, sheet);
    tapul_page_path(page, sheet->edge,
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM / scale});
    tapul_page_end_group(page);
}

/* --- Words --- */

static double prints_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulRectifiedSheet *sheet = ((const Sheet *)data)->told;
    double em = format->text_mm;
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    double y = tapul_set_heading(page, at, width_mm,
                                 sheet->n_layings == 1 ? "The print" : "The prints", format);
    for (int i = 0; i < sheet->n_layings; i++) {
        g_autofree char *caption = tapul_minus_signs(sheet->layings[i].caption);
        g_autofree char *text = g_strdup_printf("%s: %s", sheet->layings[i].name, caption);
        y = tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, text, &type);
    }
    return y;
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulRectifiedSheet *sheet = ((const Sheet *)data)->told;
    TapulSample print = {.kind = TAPUL_SAMPLE_FLOURISH,
                         .pen = {.stroke = TAPUL_PRINT_INK, .width_mm = 0.35},
                         .text = "the print as laid, drawn thin"};
    TapulSample point = {.kind = TAPUL_SAMPLE_PAIR,
                         .pen = {.stroke = TAPUL_PLATE_INK},
                         .text = "point the camera was found from, its number in the table"};
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    if (sheet->n_layings > 0)
        y = tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, print, format);
    y = tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, point, format);
    y = tapul_unseen_legend(page, tapul_vec2(at.x, y), width_mm, format, sheet->rectified);
    return tapul_plate_legend(page, tapul_vec2(at.x, y), width_mm, format, sheet->ground,
                              TAPUL_BLACK, TAPUL_NO_COLOUR);
}

static double cameras_block(TapulPage *page, TapulVec2 at, double width_mm,
                            const TapulFormat *format, gconstpointer data) {
    return tapul_cameras_block(page, at, width_mm, format, ((const Sheet *)data)->told);
}

static double seen_block(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, gconstpointer data) {
    return tapul_seen_block(page, at, width_mm, format, ((const Sheet *)data)->told);
}

static TapulFit words(TapulPage *page, TapulBox space, const TapulFormat *format,
                      gconstpointer data) {
    static const TapulBlock with_prints[] = {cameras_block, seen_block, prints_block,
                                             legend_block};
    static const TapulBlock without[] = {cameras_block, seen_block, legend_block};
    gboolean prints = ((const Sheet *)data)->told->n_layings > 0;
    return tapul_set_columns(page, space, format, prints ? with_prints : without,
                             prints ? 4 : 3, data);
}

/* --- The sheet --- */

static TapulPage *compose(const Sheet *sheet, const char *subtitle) {
    TapulBox box = tapul_path_box(sheet->edge);
    TapulComposition composition = {
        .title = sheet->told->title,
        .subtitle = subtitle,
        .description = subtitle,
        .figure = sheet->edge,
        .figure_pad_ems = PAD_EMS,
        .n_insets = sheet->told->n_layings > 0 ? 1 : 0,
        .insets = {{tapul_vec2_sub(box.max, box.min), "The photograph alone"}},
        .draw_inset = draw_alone,
        .words = words,
        .data = sheet};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "development", "The development at 1 : 1", &place);
    draw_figure(page, sheet, &format);
    tapul_page_end_group(page);
    return page;
}

TapulPage *tapul_sheet_rectified(const TapulRectifiedSheet *told) {
    int picture = -1;
    g_autoptr(TapulPath) edge = tapul_carried_edge(told->ground);
    g_autoptr(GString) subtitle = g_string_new(NULL);
    Sheet sheet = {.told = told, .edge = edge, .picture = &picture};
    sheet.rgba = tapul_rectified_reduced(told->rectified, PICTURE_DPI, MOST_PIXELS,
                                         &sheet.width_px, &sheet.height_px);
    g_string_printf(subtitle, "%s laid flat at true scale (1 : 1), as photographed%s",
                    tapul_plate_name(told->ground->plate),
                    told->n_layings > 0 ? ", with the prints" : "");
    if (told->credit && *told->credit)
        g_string_append_printf(subtitle, ". %s", told->credit);
    TapulPage *page = compose(&sheet, subtitle->str);
    g_free(sheet.rgba);
    return page;
}
