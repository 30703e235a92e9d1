/* The border pages: a border's print as it is used, the border as laid where it runs
 * straightest and where it turns tightest, and where on the plate that is.
 *
 * comparison_border_line.c finds those places, comparison_border_page.c composes the page,
 * comparison_border_strip.c draws the strips.
 */
#include "sheet/comparison_border.h"

#define MOST_REPEATS 3
/* Rather than several repeats smaller than this, fewer are shown. */
#define SMALL_SCALE 1.0
/* Of the metal beside a border laid, so that the plate's edge is seen. */
#define MARGIN_MM 4.0
/* A corner is shown as far round as this many times the border's height; one that turns less
 * than this is none. */
#define CORNER_HEIGHTS   1.5
#define LEAST_CORNER_RAD (15 * G_PI / 180)
/* A view from the front must show this share of the border; else the development does. */
#define LEAST_SHOWN 0.6
/* --- What there is to show --- */

static gboolean is_border(const TapulComparison *comparison, guint i) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, i);
    return asked->options.rule == TAPUL_LAYING_BORDERED;
}

static int print_of(const TapulComparison *comparison, guint i) {
    return ((const TapulCaseLaying *)g_ptr_array_index(comparison->question->layings, i))
        ->print;
}

static GPtrArray *lines_of(const TapulComparison *comparison, guint first) {
    GPtrArray *lines = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_border_line_free);
    for (guint i = first; i < comparison->laid->len; i++)
        if (is_border(comparison, i) && print_of(comparison, i) == print_of(comparison, first))
            g_ptr_array_add(lines, tapul_border_line_new(comparison, (int)i));
    return lines;
}

/* Whether an earlier laying of the same print has made its page. */
static gboolean is_made(const TapulComparison *comparison, guint laying) {
    for (guint i = 0; i < laying; i++)
        if (is_border(comparison, i) && print_of(comparison, i) == print_of(comparison, laying))
            return TRUE;
    return FALSE;
}

static void find_stretch(TapulBorderEntry *border) {
    for (int n = border->repeats; n > 0 && border->stretch.n == 0; n--) {
        int first = tapul_border_straightest(border->line, n);
        if (first >= 0)
            border->stretch = tapul_border_stretch(border->line, first, n, MARGIN_MM);
    }
}

/* The border and its margin for so far round a point. */
static TapulBox corner_box(const TapulBorderLine *line, int point) {
    TapulVec2 at = tapul_border_point(line, point)->developed_mm, rim;
    double reach = CORNER_HEIGHTS * line->height_mm * line->scale;
    TapulBox box = tapul_box_empty(), most = tapul_box_about(at, tapul_vec2(reach, reach));
    for (int i = 0; i < line->n_points; i++)
        for (int side = 0; side <= 1; side++)
            if (tapul_border_rim(line, i, side, &rim) &&
                tapul_vec2_distance(rim, at) <= reach * G_SQRT2)
                tapul_box_add(&box, rim);
    return (TapulBox){
        {fmax(box.min.x - MARGIN_MM, most.min.x), fmax(box.min.y - MARGIN_MM, most.min.y)},
        {fmin(box.max.x + MARGIN_MM, most.max.x), fmin(box.max.y + MARGIN_MM, most.max.y)}};
}

static void find_corner(TapulBorderEntry *border) {
    const TapulBorderLine *line = border->line;
    border->corner = tapul_border_tightest(line, &border->corner_rad);
    if (border->corner >= 0 && border->corner_rad < LEAST_CORNER_RAD)
        border->corner = -1;
    if (border->corner >= 0)
        border->turn = tapul_figure_development(
            line->comparison, corner_box(line, border->corner), TAPUL_SHOWN_LAID, line->laying);
}

static void find_plate(TapulBorderEntry *border) {
    const TapulComparison *comparison = border->book->comparison;
    double share = 0;
    border->plate = tapul_figure_view(comparison, 0, 0, TAPUL_SHOWN_BARE, -1);
    for (guint i = 0; i < border->lines->len; i++)
        share += tapul_border_shown_share(g_ptr_array_index(border->lines, i), border->plate) /
                 border->lines->len;
    if (share >= LEAST_SHOWN)
        return;
    tapul_figure_free(border->plate);
    border->plate_flat = TRUE;
    border->plate =
        tapul_figure_development(comparison, tapul_box_empty(), TAPUL_SHOWN_BARE, -1);
}

/* As many repeats as are shown large enough, at least one. */
static void fit_repeats(TapulBorderEntry *border) {
    int most = MIN(border->line->repeats, MOST_REPEATS);
    for (border->repeats = most; border->repeats > 0; border->repeats--) {
        border->stretch.n = 0;
        find_stretch(border);
        if (border->repeats == 1 || tapul_border_page_scale(border) >= SMALL_SCALE)
            return;
    }
}

static void entry_init(TapulBorderEntry *border, TapulComparisonBook *book, guint laying) {
    *border = (TapulBorderEntry){.book = book, .lines = lines_of(book->comparison, laying)};
    border->line = g_ptr_array_index(border->lines, 0);
    find_corner(border);
    find_plate(border);
    fit_repeats(border);
}

static void entry_clear(TapulBorderEntry *border) {
    g_clear_pointer(&border->turn, tapul_figure_free);
    tapul_figure_free(border->plate);
    g_ptr_array_unref(border->lines);
}

void tapul_comparison_border(TapulComparisonBook *book) {
    const TapulComparison *comparison = book->comparison;
    const char *caption = g_hash_table_lookup(comparison->question->sheet.captions, "border");
    for (guint i = 0; i < comparison->laid->len; i++) {
        TapulBorderEntry border;
        if (!is_border(comparison, i) || is_made(comparison, i))
            continue;
        entry_init(&border, book, i);
        border.caption = caption;
        if (tapul_border_page_scale(&border) > 0) {
            tapul_border_page(&border);
            caption = NULL;
        }
        entry_clear(&border);
    }
}

/* Strips are long and low: a portrait page has room below them for the plate, a landscape page
 * beside them; both hold them well. */
double tapul_comparison_border_likes(const TapulComparison *comparison) {
    for (guint i = 0; i < comparison->laid->len; i++)
        if (is_border(comparison, i))
            return -0.1;
    return 0;
}
