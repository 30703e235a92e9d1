/* Strips of a border: the print's repeats side by side, a stretch of the border as laid turned
 * level, its band on the whole plate, dimensions.
 *
 * comparison_border.c sets them on pages.
 */
#include "sheet/comparison_border.h"

#include "sheet/furniture.h"
#include "sheet/inking.h"

/* The paper of an impression, a little darker than the page. */
#define PAPER ((TapulColour){0.972, 0.955, 0.915, 1})
/* A dimension's line, its ends, and the air above it and its words; in ems of labels. */
#define DIMENSION_GAP_EMS  0.55
#define DIMENSION_END_EMS  0.7
#define DIMENSION_WORD_EMS 1.25
#define DIMENSION_LINE_MM  0.18

/* --- The print --- */

static const TapulPrint *print_of(const TapulBorderLine *line) {
    const TapulCase *question = line->comparison->question;
    const TapulCaseLaying *asked = g_ptr_array_index(question->layings, line->laying);
    return g_ptr_array_index(question->prints, asked->print);
}

/* Those of a print's marks that reach into its first repeat; borrowed. */
static GPtrArray *first_repeat(const TapulBorderLine *line) {
    const GPtrArray *marks = print_of(line)->ink->marks;
    TapulBox repeat = {{0, 0}, {line->repeat_mm, line->height_mm}};
    GPtrArray *own = g_ptr_array_new();
    for (guint i = 0; i < marks->len; i++) {
        TapulMark *mark = g_ptr_array_index(marks, i);
        TapulBox box = tapul_path_box(mark->path);
        double half = mark->width_mm / 2;
        box.min = tapul_vec2_sub(box.min, tapul_vec2(half, half));
        box.max = tapul_vec2_add(box.max, tapul_vec2(half, half));
        if (tapul_boxes_overlap(box, repeat))
            g_ptr_array_add(own, mark);
    }
    return own;
}

static void draw_repeat(const TapulBorderLine *line, TapulPage *page, const GPtrArray *marks,
                        int k, double scale) {
    const TapulPrint *print = print_of(line);
    TapulAffine along = {1, 0, 0, 1, k * line->repeat_mm, 0};
    TapulInking inking = {.ink = TAPUL_BLACK,
                          .ground = PAPER,
                          .least_width_mm = TAPUL_LEAST_INK_MM / scale,
                          .picture = -1};
    g_autofree char *id = g_strdup_printf("%s-repeat", print->id);
    g_autoptr(TapulPath) window =
        tapul_box_path((TapulBox){{0, 0}, {line->repeat_mm, line->height_mm}});
    tapul_page_begin_group(page, id, NULL, &along);
    tapul_page_begin_clip(page, window);
    tapul_inking_draw(page, marks, NULL, print->ink->motifs, id, &inking);
    tapul_page_end_clip(page);
    tapul_page_end_group(page);
}

void tapul_border_draw_print(const TapulBorderLine *line, TapulPage *page, TapulVec2 at, int n,
                             double scale, const char *id, const char *title) {
    g_autoptr(GPtrArray) marks = first_repeat(line);
    g_autoptr(TapulPath) paper =
        tapul_box_path((TapulBox){{0, 0}, {n * line->repeat_mm, line->height_mm}});
    tapul_page_begin_group(page, id, title, &(TapulAffine){scale, 0, 0, scale, at.x, at.y});
    tapul_page_path(page, paper, &(TapulPen){.fill = PAPER});
    for (int k = 0; k < n; k++)
        draw_repeat(line, page, marks, k, scale);
    tapul_page_end_group(page);
}

/* --- As laid --- */

static TapulVec2 turned(const TapulBorderStretch *stretch, TapulVec2 developed_mm) {
    return tapul_vec2_turn(tapul_vec2_sub(developed_mm, stretch->from_mm), stretch->turn_rad);
}

/* Its ends are cut square, where its first and last repeat end. */
TapulBorderStretch tapul_border_stretch(const TapulBorderLine *line, int first, int n,
                                        double margin_mm) {
    int last = first + n * line->per_repeat;
    TapulVec2 from = tapul_border_point(line, first)->developed_mm, at;
    TapulVec2 way = tapul_vec2_sub(tapul_border_point(line, last)->developed_mm, from);
    TapulBorderStretch stretch = {
        .turn_rad = -atan2(way.y, way.x), .from_mm = from, .first = first, .n = n};
    TapulBox box = tapul_box_empty();
    for (int i = first; i <= last; i++)
        for (int rim = 0; rim <= 1; rim++)
            if (tapul_border_rim(line, i, rim, &at))
                tapul_box_add(&box, turned(&stretch, at));
    stretch.box_mm =
        (TapulBox){{0, box.min.y - margin_mm}, {tapul_vec2_length(way), box.max.y + margin_mm}};
    return stretch;
}

TapulBox tapul_border_covered(const TapulBorderStretch *stretch) {
    TapulBox box = tapul_box_empty(), own = stretch->box_mm;
    const TapulVec2 corners[] = {
        own.min, {own.max.x, own.min.y}, own.max, {own.min.x, own.max.y}};
    for (guint i = 0; i < G_N_ELEMENTS(corners); i++)
        tapul_box_add(&box, tapul_vec2_add(stretch->from_mm,
                                           tapul_vec2_turn(corners[i], -stretch->turn_rad)));
    return box;
}

void tapul_border_draw_stretch(const TapulBorderLine *line, const TapulBorderStretch *stretch,
                               TapulPage *page, TapulVec2 at, double scale, const char *id,
                               const char *title) {
    TapulBox box = tapul_border_covered(stretch), own = stretch->box_mm;
    TapulVec2 size = tapul_vec2_scale(tapul_vec2_sub(own.max, own.min), scale);
    TapulVec2 zero = tapul_vec2_sub(at, tapul_vec2_scale(own.min, scale));
    TapulVec2 from =
        tapul_vec2_scale(tapul_vec2_turn(stretch->from_mm, stretch->turn_rad), scale);
    double c = cos(stretch->turn_rad), s = sin(stretch->turn_rad);
    TapulAffine level = {c, -s, s, c, zero.x - from.x, zero.y - from.y};
    g_autoptr(TapulFigure) figure =
        tapul_figure_development(line->comparison, box, TAPUL_SHOWN_LAID, line->laying);
    g_autoptr(TapulPath) window = tapul_box_path((TapulBox){at, tapul_vec2_add(at, size)});
    tapul_page_begin_clip(page, window);
    tapul_page_begin_group(page, id, title, &level);
    tapul_figure_draw(figure, page, tapul_vec2_scale(box.min, scale), scale, "laid", title);
    tapul_page_end_group(page);
    tapul_page_end_clip(page);
}

TapulVec2 tapul_border_stretch_point(const TapulBorderLine *line,
                                     const TapulBorderStretch *stretch, int point, TapulVec2 at,
                                     double scale) {
    TapulVec2 own = turned(stretch, tapul_border_point(line, point)->developed_mm);
    return tapul_vec2_add(at,
                          tapul_vec2_scale(tapul_vec2_sub(own, stretch->box_mm.min), scale));
}

/* --- Dimensions --- */

double tapul_border_dimension_mm(const TapulLeaf *leaf) {
    return (DIMENSION_GAP_EMS + DIMENSION_END_EMS / 2 + DIMENSION_WORD_EMS) * leaf->label_mm;
}

void tapul_border_dimension(TapulPage *page, const TapulLeaf *leaf, TapulVec2 from,
                            double width_mm, const char *text) {
    double em = leaf->label_mm, half = DIMENSION_END_EMS / 2 * em;
    double y = from.y - DIMENSION_GAP_EMS * em - half;
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(from.x, y + half));
    tapul_path_line(path, tapul_vec2(from.x, y - half));
    tapul_path_move(path, tapul_vec2(from.x, y));
    tapul_path_line(path, tapul_vec2(from.x + width_mm, y));
    tapul_path_move(path, tapul_vec2(from.x + width_mm, y + half));
    tapul_path_line(path, tapul_vec2(from.x + width_mm, y - half));
    tapul_page_path(page, path,
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = DIMENSION_LINE_MM});
    /* Words longer than the line do not reach left of it. */
    TapulType type = {.size_mm = em, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    double middle = fmax(width_mm, tapul_page_text_width_mm(text, &type)) / 2;
    tapul_page_text(page, tapul_vec2(from.x + middle, y - DIMENSION_WORD_EMS * em), text,
                    &type);
}

/* --- On the whole plate --- */

double tapul_border_shown_share(const TapulBorderLine *line, const TapulFigure *figure) {
    int shown = 0;
    TapulVec2 own;
    for (int i = 0; i < line->n_points; i++) {
        const TapulBorderPoint *point = tapul_border_point(line, i);
        shown += point->on_plate && tapul_figure_of_plate(figure, point->developed_mm, &own);
    }
    return (double)shown / line->n_points;
}

/* One side of the band at point i, on the page; FALSE where the figure does not show it. */
static gboolean rim_point(const TapulBorderLine *line, const TapulFigure *figure, int i,
                          int rim, TapulVec2 at, double scale, TapulVec2 *page_mm) {
    TapulVec2 developed, own;
    if (!tapul_border_rim(line, i, rim, &developed) ||
        !tapul_figure_of_plate(figure, developed, &own))
        return FALSE;
    TapulVec2 from = tapul_figure_box_mm(figure).min;
    *page_mm = tapul_vec2_add(at, tapul_vec2_scale(tapul_vec2_sub(own, from), scale));
    return TRUE;
}

static void close_band(TapulPage *page, GArray *lower, GArray *upper) {
    g_autoptr(TapulPath) band = tapul_path_new();
    for (guint i = 0; i < lower->len; i++) {
        TapulVec2 at = g_array_index(lower, TapulVec2, i);
        if (i == 0)
            tapul_path_move(band, at);
        else
            tapul_path_line(band, at);
    }
    for (guint i = upper->len; i > 0; i--)
        tapul_path_line(band, g_array_index(upper, TapulVec2, i - 1));
    if (lower->len > 1) {
        tapul_path_close(band);
        tapul_page_path(page, band, &(TapulPen){.fill = TAPUL_PRINT_INK});
    }
    g_array_set_size(lower, 0);
    g_array_set_size(upper, 0);
}

void tapul_border_draw_band(const TapulBorderLine *line, const TapulFigure *figure,
                            TapulPage *page, TapulVec2 at, double scale) {
    g_autoptr(GArray) lower = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    g_autoptr(GArray) upper = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    tapul_page_begin_group(page, "band", NULL, NULL);
    for (int i = 0; i < line->n_points; i++) {
        TapulVec2 low, high;
        gboolean shown = rim_point(line, figure, i, 0, at, scale, &low) &&
                         rim_point(line, figure, i, 1, at, scale, &high);
        if (!shown || !tapul_border_point(line, i)->joined)
            close_band(page, lower, upper);
        if (shown) {
            g_array_append_val(lower, low);
            g_array_append_val(upper, high);
        }
    }
    close_band(page, lower, upper);
    tapul_page_end_group(page);
}
