/* The match curves of the evidence sheet: the share of line that is found within so many mm,
 * the print's on the plate and the plate's in the print, over the band that random places give.
 */
#include "sheet/evidence_parts.h"

#include "sheet/furniture.h"
#include "sheet/page_items.h"

#define LEFT_MM   9.0 /* for the figures at the axis */
#define RIGHT_MM  1.0 /* for half of the last figure */
#define BOTTOM_MM 8.0
#define TOP_MM    5.5 /* for the title */
#define GAP_MM    8.0
#define DOT_MM    0.55
#define BAND      ((TapulColour){0.86, 0.85, 0.82, 1})

typedef struct {
    TapulBox frame_mm;
    double most_mm; /* tolerance at the right end */
    gboolean plate; /* the plate's line, explained by the print */
} Chart;

static TapulVec2 at(const Chart *chart, double tolerance_mm, double share) {
    TapulVec2 size = tapul_vec2_sub(chart->frame_mm.max, chart->frame_mm.min);
    return tapul_vec2(chart->frame_mm.min.x + size.x * tolerance_mm / chart->most_mm,
                      chart->frame_mm.min.y + size.y * CLAMP(share, 0, 1));
}

static double share_of(const Chart *chart, const TapulMatchPoint *point) {
    return chart->plate ? point->plate_share : point->print_share;
}

static TapulInterval chance_of(const Chart *chart, const TapulMatchPoint *point) {
    return chart->plate ? point->chance_plate : point->chance_print;
}

static void draw_axes(TapulPage *page, const Chart *chart) {
    TapulType type = {
        .size_mm = TAPUL_LEAST_TEXT_MM, .align = TAPUL_ALIGN_RIGHT, .colour = TAPUL_BLACK};
    g_autoptr(TapulPath) grid = tapul_path_new();
    for (int share = 0; share <= 100; share += 25) {
        TapulVec2 left = at(chart, 0, share / 100.0);
        g_autofree char *figure = g_strdup_printf("%d", share);
        tapul_path_move(grid, left);
        tapul_path_line(grid, at(chart, chart->most_mm, share / 100.0));
        tapul_page_text(page, tapul_vec2(left.x - 1, left.y - 0.33 * type.size_mm), figure,
                        &type);
    }
    tapul_page_path(page, grid, &(TapulPen){.stroke = BAND, .width_mm = TAPUL_HAIRLINE_MM});
    type.align = TAPUL_ALIGN_CENTRE;
    for (int mm = 0; mm <= (int)chart->most_mm; mm++) {
        g_autofree char *figure = g_strdup_printf("%d", mm);
        TapulVec2 foot = at(chart, mm, 0);
        g_autoptr(TapulPath) tick = tapul_path_new();
        tapul_path_move(tick, foot);
        tapul_path_line(tick, tapul_vec2(foot.x, foot.y - 0.8));
        tapul_page_path(page, tick,
                        &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM});
        tapul_page_text(page, tapul_vec2(foot.x, foot.y - 1.2 - 0.75 * type.size_mm), figure,
                        &type);
    }
    g_autoptr(TapulPath) axes = tapul_path_new();
    tapul_path_move(axes, at(chart, 0, 1));
    tapul_path_line(axes, at(chart, 0, 0));
    tapul_path_line(axes, at(chart, chart->most_mm, 0));
    tapul_page_path(page, axes,
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM});
}

static void draw_words(TapulPage *page, const Chart *chart) {
    TapulType type = {.size_mm = TAPUL_TABLE_TEXT_MM, .colour = TAPUL_BLACK};
    TapulVec2 top = {chart->frame_mm.min.x, chart->frame_mm.max.y + 2.2};
    tapul_page_text(page, top,
                    chart->plate ? "The plate’s line that the print explains, %"
                                 : "The print’s line found on the plate, %",
                    &type);
    type.italic = TRUE;
    type.align = TAPUL_ALIGN_RIGHT;
    tapul_page_text(page,
                    tapul_vec2(chart->frame_mm.max.x, chart->frame_mm.min.y - BOTTOM_MM + 1.2),
                    "within, mm", &type);
}

/* The band, its edges dashed so that it is seen without its grey. */
static void draw_band(TapulPage *page, const Chart *chart, const GArray *match) {
    g_autoptr(TapulPath) band = tapul_path_new();
    g_autoptr(TapulPath) edges = tapul_path_new();
    for (guint i = 0; i < match->len; i++) {
        const TapulMatchPoint *point = &g_array_index(match, TapulMatchPoint, i);
        TapulVec2 high = at(chart, point->tolerance_mm, chance_of(chart, point).high);
        (i == 0 ? tapul_path_move : tapul_path_line)(band, high);
        (i == 0 ? tapul_path_move : tapul_path_line)(edges, high);
    }
    for (guint i = match->len; i-- > 0;) {
        const TapulMatchPoint *point = &g_array_index(match, TapulMatchPoint, i);
        TapulVec2 low = at(chart, point->tolerance_mm, chance_of(chart, point).low);
        tapul_path_line(band, low);
        (i + 1 == match->len ? tapul_path_move : tapul_path_line)(edges, low);
    }
    tapul_path_close(band);
    tapul_page_path(page, band, &(TapulPen){.fill = BAND});
    tapul_page_path(page, edges,
                    &(TapulPen){.stroke = TAPUL_QUIET,
                                .width_mm = TAPUL_HAIRLINE_MM,
                                .n_dash = 2,
                                .dash_mm = {1, 0.7}});
}

static void draw_curve(TapulPage *page, const Chart *chart, const GArray *match) {
    g_autoptr(TapulPath) curve = tapul_path_new();
    g_autoptr(TapulPath) dots = tapul_path_new();
    for (guint i = 0; i < match->len; i++) {
        const TapulMatchPoint *point = &g_array_index(match, TapulMatchPoint, i);
        TapulVec2 place = at(chart, point->tolerance_mm, share_of(chart, point));
        (i == 0 ? tapul_path_move : tapul_path_line)(curve, place);
        tapul_path_move(dots, place);
        tapul_path_line(dots, place);
    }
    tapul_page_path(page, curve, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.35});
    tapul_page_path(
        page, dots,
        &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 2 * DOT_MM, .cap = TAPUL_CAP_ROUND});
}

static void draw_chart(TapulPage *page, const Chart *chart, const GArray *match) {
    tapul_page_begin_group(page, chart->plate ? "plate-curve" : "print-curve",
                           chart->plate ? "Share of the plate's line that the print explains"
                                        : "Share of the print's line found on the plate",
                           NULL);
    draw_band(page, chart, match);
    draw_axes(page, chart);
    draw_curve(page, chart, match);
    draw_words(page, chart);
    tapul_page_end_group(page);
}

static double set_key(TapulPage *page, TapulBox room, const TapulFormat *format) {
    TapulFormat small = *format;
    small.text_mm = TAPUL_TABLE_TEXT_MM;
    double width_mm = (room.max.x - room.min.x) / 2;
    TapulSample curve = {.pen = {.stroke = TAPUL_BLACK, .width_mm = 0.35},
                         .text = "as the preferred hypothesis lays it"};
    TapulSample band = {.pen = {.stroke = TAPUL_QUIET,
                                .width_mm = TAPUL_HAIRLINE_MM,
                                .n_dash = 2,
                                .dash_mm = {1, 0.7}},
                        .ground = BAND,
                        .text = "what 95 of 100 random places give"};
    double y = room.min.y;
    tapul_set_sample(page, tapul_vec2(room.min.x, y), width_mm, curve, &small);
    return tapul_set_sample(page, tapul_vec2(room.min.x + width_mm, y), width_mm, band, &small);
}

double tapul_evidence_curves(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts) {
    const GArray *match = parts->found->match;
    double width_mm = room.max.x - room.min.x;
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_mm,
                                 "How much of the lines is found", &parts->format);
    double half_mm = (width_mm - GAP_MM) / 2, most_mm = 0;
    for (guint i = 0; i < match->len; i++)
        most_mm = fmax(most_mm, g_array_index(match, TapulMatchPoint, i).tolerance_mm);
    for (int plate = 0; plate < 2; plate++) {
        double left = room.min.x + plate * (half_mm + GAP_MM);
        Chart chart = {.frame_mm = {{left + LEFT_MM, room.min.y + BOTTOM_MM},
                                    {left + half_mm - RIGHT_MM, y - TOP_MM}},
                       .most_mm = ceil(most_mm),
                       .plate = plate};
        draw_chart(page, &chart, match);
    }
    return set_key(page, room, &parts->format);
}
