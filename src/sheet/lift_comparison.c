/* The comparison of rules: the sheets that several rules give of one design, one over the other
 * at true scale, with bars where they put a point of it apart.
 *
 * The `lift` verb writes it as its last page.
 */
#include "sheet/lift_parts.h"

#include "sheet/furniture.h"

#define PAD_EMS 1.0
/* Bars nearer to each other than this would hide the lines they join. */
#define BAR_SPACING_MM 5.0

/* A sheet in the first one's frame. */
static TapulAffine place_of(const TapulLiftSheet *sheet, int i) {
    double c = cos(sheet->comparison->turn_rad[i]), s = sin(sheet->comparison->turn_rad[i]);
    TapulVec2 shift = sheet->comparison->shift_mm[i];
    return (TapulAffine){c, -s, s, c, shift.x, shift.y};
}

/* The outline of all plate marks, each as it lies. */
static TapulPath *marks_path(const TapulLiftSheet *sheet) {
    TapulPath *path = tapul_path_new();
    for (int i = 0; i < sheet->n; i++) {
        const TapulLifted *lifted = sheet->lifted[i];
        TapulAffine place = place_of(sheet, i);
        const TapulVec2 corners[] = {{0, 0},
                                     {lifted->width_mm, 0},
                                     {lifted->width_mm, lifted->height_mm},
                                     {0, lifted->height_mm}};
        for (int k = 0; k < 4; k++) {
            TapulVec2 c = corners[k];
            TapulVec2 at = {place.xx * c.x + place.xy * c.y + place.dx,
                            place.yx * c.x + place.yy * c.y + place.dy};
            if (k == 0)
                tapul_path_move(path, at);
            else
                tapul_path_line(path, at);
        }
        tapul_path_close(path);
    }
    return path;
}

/* All of its ink as lines, which show through each other: no wider than they are, so that dense
 * hatching stays apart. */
static void draw_rule(TapulPage *page, const TapulLiftSheet *sheet, int i) {
    const TapulLifted *lifted = sheet->lifted[i];
    TapulAffine place = place_of(sheet, i);
    TapulPen pen = tapul_lift_rule_line(lifted->rule)->pen;
    double widest_mm = pen.width_mm;
    if (!lifted->ink)
        return;
    tapul_page_begin_group(page, tapul_laying_rule_name(lifted->rule), NULL, &place);
    for (guint k = 0; k < lifted->ink->marks->len; k++) {
        const TapulMark *mark = g_ptr_array_index(lifted->ink->marks, k);
        pen.width_mm = CLAMP(mark->width_mm, TAPUL_HAIRLINE_MM, widest_mm);
        if (!mark->paper)
            tapul_page_path(page, mark->path, &pen);
    }
    tapul_page_end_group(page);
}

/* Without ink the first sheet's picture stands under the bars. */
static void draw_picture(TapulPage *page, const TapulLifted *lifted) {
    if (lifted->ink || !lifted->rgba)
        return;
    TapulBox box = {{0, lifted->height_mm - lifted->height_px * lifted->pixel_mm},
                    {lifted->width_px * lifted->pixel_mm, lifted->height_mm}};
    tapul_page_picture(page, box, lifted->width_px, lifted->height_px, lifted->rgba);
}

static gboolean is_free(const GArray *drawn, TapulVec2 at) {
    for (guint i = 0; i < drawn->len; i++)
        if (tapul_vec2_distance(g_array_index(drawn, TapulVec2, i), at) < BAR_SPACING_MM)
            return FALSE;
    return TRUE;
}

static void draw_bars(TapulPage *page, const GArray *apart) {
    g_autoptr(TapulPath) bars = tapul_path_new();
    g_autoptr(GArray) drawn = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = 0; i < apart->len; i++) {
        const TapulLiftApart *bar = &g_array_index(apart, TapulLiftApart, i);
        if (!is_free(drawn, bar->a))
            continue;
        g_array_append_val(drawn, bar->a);
        tapul_path_move(bars, bar->a);
        tapul_path_line(bars, bar->b);
    }
    if (apart->len == 0)
        return;
    tapul_page_begin_group(page, "apart", "Points put more than 1 mm apart", NULL);
    tapul_page_path(page, bars, &tapul_lift_apart_pen);
    tapul_page_end_group(page);
}

TapulPage *tapul_sheet_lift_comparison(const TapulLiftSheet *sheet) {
    const TapulLifted *first = sheet->lifted[0];
    TapulLiftWords words = {sheet, -1};
    static const char subtitle[] = "Where the sheet to look for depends on the rule";
    g_autoptr(TapulPath) figure = marks_path(sheet);
    TapulComposition composition = {.title = sheet->title,
                                    .subtitle = subtitle,
                                    .description = subtitle,
                                    .figure = figure,
                                    .figure_pad_ems = PAD_EMS,
                                    .words = tapul_lift_comparison_words,
                                    .data = &words};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    g_autoptr(TapulPath) mark =
        tapul_box_path((TapulBox){{0, 0}, {first->width_mm, first->height_mm}});
    tapul_page_begin_group(page, "sheets", "The sheets at 1 : 1, one over the other", &place);
    tapul_page_path(page, mark, &(TapulPen){.fill = TAPUL_SHEET_PAPER});
    draw_picture(page, first);
    draw_bars(page, sheet->comparison->apart);
    for (int i = 0; i < sheet->n; i++)
        draw_rule(page, sheet, i);
    tapul_page_path(page, mark, &tapul_lift_mark_pen);
    tapul_page_end_group(page);
    return page;
}
