/* Scales of comparison pages: the round ones that figures are drawn at, their words, and bars
 * to measure by.
 *
 * Bars are filled areas without outlines: their ends are true, not half a line too far out.
 */
#include "sheet/leaf_parts.h"

/* --- Round scales --- */

/* From the largest: page mm to mm of the figure's own. Those below go on in steps of
 * SMALL_STEP to 1 : SMALL_LAST, and in steps of SMALLER_STEP from
 * there. */
static const struct {
    double page, own;
} scales[] = {
    {10, 1}, {8, 1}, {6, 1}, {5, 1}, {4, 1},  {3, 1},  {2, 1},   {3, 2},
    {1, 1},  {4, 5}, {3, 4}, {2, 3}, {3, 5},  {1, 2},  {1, 2.5}, {1, 3},
    {1, 4},  {1, 5}, {1, 6}, {1, 8}, {1, 10}, {1, 12}, {1, 15},  {1, 20},
};

#define SMALL_STEP   5.0
#define SMALL_LAST   50.0
#define SMALLER_STEP 10.0

/* What fits but for rounding fits; a share of the scale, which 0.1 % on paper never sees. */
#define SCALE_ROUNDING 1e-9
/* The smallest: a page too small for its words leaves no room at all. */
#define LEAST_SCALE (1 / 1000.0)

/* How much of a length stands for one of room. */
static double own_for(double size_mm, double room_mm) {
    return room_mm > LEAST_SCALE * size_mm ? size_mm / room_mm : 1 / LEAST_SCALE;
}

double tapul_leaf_scale(TapulVec2 size_mm, TapulVec2 room_mm) {
    double own = fmax(own_for(size_mm.x, room_mm.x), own_for(size_mm.y, room_mm.y)) *
                 (1 - SCALE_ROUNDING);
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++)
        if (scales[i].own / scales[i].page >= own)
            return scales[i].page / scales[i].own;
    double small = SMALL_STEP * ceil(own / SMALL_STEP);
    return 1 / (small <= SMALL_LAST ? small : SMALLER_STEP * ceil(own / SMALLER_STEP));
}

char *tapul_leaf_scale_words(double scale) {
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++)
        if (fabs(scale * scales[i].own / scales[i].page - 1) < SCALE_ROUNDING)
            return g_strdup_printf("%g\u00a0:\u00a0%g", scales[i].page, scales[i].own);
    return scale > 1 ? g_strdup_printf("%.4g\u00a0:\u00a01", scale)
                     : g_strdup_printf("1\u00a0:\u00a0%.4g", 1 / scale);
}

char *tapul_leaf_scale_sentence(const TapulLeaf *leaf, const char *label, double scale) {
    g_autofree char *ratio = tapul_leaf_scale_words(scale);
    return leaf->paper == TAPUL_PAPER_SCREEN ? g_strdup("")
                                             : g_strdup_printf("%s\u00a0%s.", label, ratio);
}

/* --- Bars --- */

#define MM_PER_INCH 25.4

/* A bar comes to at most this share of its room, and to no less than a quarter of it where a
 * round length does. */
#define MOST_SHARE 0.6
/* Parts shorter than this on the page run together. */
#define LEAST_PART_MM 1.2

#define BAR_EMS     0.36
#define FIGURE_EMS  0.42 /* between bar and the baseline of the figures above it */
#define BELOW_EMS   1.0  /* from the bar of inches to the baseline below it */
#define BETWEEN_EMS 0.5  /* between the bar of millimetres and that of inches */

/* A length that a bar may have: in how many parts it is divided if they are long enough, and
 * else; the words at its middle (NULL: none) and end. */
typedef struct {
    double length; /* in the bar's unit */
    int fine, coarse;
    const char *middle, *end;
} BarLength;

static const BarLength mm_lengths[] = {
    {1, 10, 2, NULL, "1"},     {2, 10, 2, "1", "2"},       {5, 10, 5, NULL, "5"},
    {10, 10, 2, "5", "10"},    {20, 10, 2, "10", "20"},    {50, 10, 2, "25", "50"},
    {100, 10, 2, "50", "100"}, {200, 10, 2, "100", "200"}, {500, 10, 2, "250", "500"},
};
static const BarLength inch_lengths[] = {
    {0.25, 4, 2, NULL, "\u00bc"}, {0.5, 8, 2, "\u00bc", "\u00bd"}, {1, 8, 2, "\u00bd", "1"},
    {2, 8, 2, "1", "2"},          {5, 10, 5, NULL, "5"},           {10, 10, 2, "5", "10"},
};

typedef struct {
    BarLength length;
    double part_mm, whole_mm; /* on the page */
    int parts;
    const char *unit;
} Bar;

static Bar choose_bar(const BarLength *lengths, int n, double unit_mm, double width_mm,
                      const char *unit) {
    int chosen = 0;
    while (chosen + 1 < n && lengths[chosen + 1].length * unit_mm <= MOST_SHARE * width_mm)
        chosen++;
    Bar bar = {.length = lengths[chosen], .unit = unit};
    bar.whole_mm = bar.length.length * unit_mm;
    bar.parts =
        bar.whole_mm / bar.length.fine < LEAST_PART_MM ? bar.length.coarse : bar.length.fine;
    bar.part_mm = bar.whole_mm / bar.parts;
    return bar;
}

static void add_box(TapulPath *path, double left, double bottom, double right, double top) {
    tapul_path_move(path, tapul_vec2(left, bottom));
    tapul_path_line(path, tapul_vec2(right, bottom));
    tapul_path_line(path, tapul_vec2(right, top));
    tapul_path_line(path, tapul_vec2(left, top));
    tapul_path_close(path);
}

/* Every other part is filled, the rest is held by lines that lie within. */
static void draw_bar(TapulPage *page, TapulVec2 lower_left, const Bar *bar, double height_mm) {
    double left = lower_left.x, bottom = lower_left.y, top = bottom + height_mm;
    double right = left + bar->whole_mm, line_mm = TAPUL_HAIRLINE_MM;
    g_autoptr(TapulPath) path = tapul_path_new();
    for (int i = 0; i < bar->parts; i += 2)
        add_box(path, left + i * bar->part_mm, bottom, left + (i + 1) * bar->part_mm, top);
    add_box(path, left, bottom, right, bottom + line_mm);
    add_box(path, left, top - line_mm, right, top);
    add_box(path, right - line_mm, bottom, right, top);
    tapul_page_path(page, path, &(TapulPen){.fill = TAPUL_BLACK});
}

static void draw_figures(TapulPage *page, TapulVec2 left, const Bar *bar, TapulType type) {
    double middle_mm = bar->whole_mm / 2;
    tapul_page_text(page, left, "0", &type);
    type.align = TAPUL_ALIGN_CENTRE;
    /* Where three figures have room. */
    if (bar->length.middle && middle_mm > 2.2 * type.size_mm)
        tapul_page_text(page, tapul_vec2(left.x + middle_mm, left.y), bar->length.middle,
                        &type);
    tapul_page_text(page, tapul_vec2(left.x + bar->whole_mm, left.y), bar->length.end, &type);
    double beside = tapul_page_text_width_mm(bar->length.end, &type) / 2 + 0.3 * type.size_mm;
    type.align = TAPUL_ALIGN_LEFT;
    type.italic = TRUE;
    tapul_page_text(page, tapul_vec2(left.x + bar->whole_mm + beside, left.y), bar->unit,
                    &type);
}

double tapul_leaf_scale_bar(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at,
                            double width_mm, double scale, gboolean inches) {
    double em = leaf->label_mm, height_mm = BAR_EMS * em;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    Bar mm = choose_bar(mm_lengths, G_N_ELEMENTS(mm_lengths), scale, width_mm, "mm");
    Bar in = choose_bar(inch_lengths, G_N_ELEMENTS(inch_lengths), scale * MM_PER_INCH, width_mm,
                        "in");
    double figures = at.y - TAPUL_LEAF_ASCENT * em;
    double bottom = figures - FIGURE_EMS * em - height_mm;
    double inch_bottom = bottom - BETWEEN_EMS * em - height_mm;
    double inch_figures = inch_bottom - BELOW_EMS * em;
    if (page) {
        g_autofree char *title = g_strdup_printf("Scale bar, %g mm", mm.length.length);
        tapul_page_begin_group(page, "scale-bar", title, NULL);
        draw_bar(page, tapul_vec2(at.x, bottom), &mm, height_mm);
        draw_figures(page, tapul_vec2(at.x, figures), &mm, type);
        if (inches) {
            draw_bar(page, tapul_vec2(at.x, inch_bottom), &in, height_mm);
            draw_figures(page, tapul_vec2(at.x, inch_figures), &in, type);
        }
        tapul_page_end_group(page);
    }
    return inches ? inch_figures - TAPUL_LEAF_DESCENT * em : bottom;
}
