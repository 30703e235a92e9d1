/* The leaf that comparison pages are composed on: paper, margins, columns and heading.
 *
 * Everything follows from the paper's shorter side and from one size of text. The side and top
 * margins are a twelfth of the shorter side, so that the air around a page looks alike on all
 * papers; the feet stand on a lower margin as wide. Baselines are one step apart, and gutters
 * are a step wide, so that figures stand as far from each other as lines do. No rules are
 * drawn: what belongs together is told by distance.
 */
#include "sheet/leaf_parts.h"

#include "sheet/shortened.h"

/* Of the paper's shorter side (by eye, no source). */
#define MARGIN_SHARE (1 / 12.0)

#define PORTRAIT_COLUMNS  6
#define LANDSCAPE_COLUMNS 12

/* Of the size of text. */
#define TITLE_EMS    2.2
#define SUBTITLE_EMS 1.2
/* A title's lines stand closer, in ems of its own, than those of running text. */
#define TITLE_LEADING 1.14

#define MOST_TITLE_LINES    3
#define MOST_SUBTITLE_LINES 2
/* Between title and subtitle; heading and body; body and feet: steps. */
#define BELOW_TITLE_STEPS   0.25
#define BELOW_HEADING_STEPS 1.25
#define ABOVE_FEET_STEPS    1.5

/* A5 to A2 of ISO 216; text grows slower than paper does up to A3, which is held in the hand,
 * and A2 hangs on a wall. A screen's text is read across a room: about a fortieth of its height
 * (common practice of slides, no source). */
static const struct {
    const char *name;
    TapulVec2 size_mm;
    double text_mm, label_mm;
} papers[] = {
    {"A5", {148, 210}, 2.65, 2.5},    {"A4", {210, 297}, 3.1, 2.6},
    {"A3", {297, 420}, 3.7, 3.1},     {"A2", {420, 594}, 5.5, 4.5},
    {"screen", {180, 320}, 4.2, 3.7},
};

TapulVec2 tapul_paper_mm(TapulPaper paper, gboolean landscape) {
    TapulVec2 size = papers[paper].size_mm;
    return landscape || paper == TAPUL_PAPER_SCREEN ? tapul_vec2(size.y, size.x) : size;
}

const char *tapul_paper_name(TapulPaper paper) {
    return papers[paper].name;
}

TapulLeaf tapul_leaf(TapulPaper paper, gboolean landscape) {
    TapulVec2 size = tapul_paper_mm(paper, landscape);
    double text_mm = papers[paper].text_mm;
    TapulLeaf leaf = {.paper = paper,
                      .format = {.width_mm = size.x,
                                 .height_mm = size.y,
                                 .margin_mm = MARGIN_SHARE * fmin(size.x, size.y),
                                 .text_mm = text_mm},
                      .title_mm = TITLE_EMS * text_mm,
                      .label_mm = papers[paper].label_mm,
                      .step_mm = TAPUL_LEADING * text_mm,
                      .columns = size.x > size.y ? LANDSCAPE_COLUMNS : PORTRAIT_COLUMNS,
                      .gutter_mm = TAPUL_LEADING * text_mm};
    leaf.column_mm =
        (tapul_leaf_width_mm(&leaf) - (leaf.columns - 1) * leaf.gutter_mm) / leaf.columns;
    return leaf;
}

double tapul_leaf_width_mm(const TapulLeaf *leaf) {
    return leaf->format.width_mm - 2 * leaf->format.margin_mm;
}

double tapul_leaf_column_x(const TapulLeaf *leaf, int first) {
    return leaf->format.margin_mm + first * (leaf->column_mm + leaf->gutter_mm);
}

double tapul_leaf_columns_mm(const TapulLeaf *leaf, int n) {
    return n * leaf->column_mm + (n - 1) * leaf->gutter_mm;
}

/* --- Parts --- */

/* The innermost part that is open; FALSE: none is. */
static gboolean open_part(const TapulPage *page, TapulPart *part) {
    for (guint i = page->open->len; i-- > 0;) {
        const TapulOpenItem *open = &g_array_index(page->open, TapulOpenItem, i);
        if (open->kind != TAPUL_ITEM_BEGIN_PART)
            continue;
        *part = open->part;
        return TRUE;
    }
    return FALSE;
}

gboolean tapul_leaf_begin_part(TapulPage *page, TapulPart part) {
    TapulPart open;
    if (open_part(page, &open) && !(part == TAPUL_PART_CAPTION && open == TAPUL_PART_FIGURE))
        return FALSE;
    tapul_page_begin_part(page, part, NULL);
    return TRUE;
}

/* --- Heading --- */

static double widest_word_mm(const char *text, const TapulType *type) {
    g_auto(GStrv) words = g_strsplit(text, " ", -1);
    double widest_mm = 0;
    for (int i = 0; words[i]; i++)
        widest_mm = fmax(widest_mm, tapul_page_text_width_mm(words[i], type));
    return widest_mm;
}

/* The text's lines, all about as long: no word is left alone on the last. */
static GPtrArray *balanced_lines(const char *text, double width_mm, const TapulType *type) {
    GPtrArray *lines = tapul_page_break_lines(text, width_mm, type);
    if (lines->len < 2)
        return lines;
    double narrow = fmin(fmax(width_mm / 2, widest_word_mm(text, type)), width_mm);
    double wide = width_mm;
    while (wide - narrow > type->size_mm / 4) {
        double middle = (narrow + wide) / 2;
        GPtrArray *tried = tapul_page_break_lines(text, middle, type);
        if (tried->len == lines->len) {
            GPtrArray *looser = lines;
            lines = tried;
            tried = looser;
            wide = middle;
        } else
            narrow = middle;
        g_ptr_array_unref(tried);
    }
    return lines;
}

/* Lines of at most so many from y down, from the right where they run to the left; returns the
 * y below. */
static double set_lines(const TapulLeaf *leaf, TapulPage *page, double y, const char *text,
                        guint most_lines, double leading, TapulType type) {
    double width_mm = tapul_leaf_width_mm(leaf);
    g_autofree char *shortened = tapul_text_shortened(text, width_mm, most_lines, &type);
    g_autoptr(GPtrArray) lines = balanced_lines(shortened, width_mm, &type);
    gboolean left = tapul_page_text_runs_left(shortened);
    type.align = left ? TAPUL_ALIGN_RIGHT : TAPUL_ALIGN_LEFT;
    type.italic = type.italic && !left; /* scripts that run to the left have no italics */
    double x = leaf->format.margin_mm + (left ? width_mm : 0);
    for (guint i = 0; page && i < lines->len; i++)
        tapul_page_text(page,
                        tapul_vec2(x, y - (TAPUL_LEAF_ASCENT + i * leading) * type.size_mm),
                        lines->pdata[i], &type);
    return y -
           (TAPUL_LEAF_ASCENT + TAPUL_LEAF_DESCENT + (lines->len - 1) * leading) * type.size_mm;
}

static void begin_heading_part(TapulPage *page, TapulPart part, const char *name) {
    if (!page)
        return;
    tapul_page_begin_part(page, part, NULL);
    g_autofree char *id = g_ascii_strdown(name, -1);
    tapul_page_begin_group(page, id, name, NULL);
}

static void end_heading_part(TapulPage *page) {
    if (!page)
        return;
    tapul_page_end_group(page);
    tapul_page_end_part(page);
}

/* Returns the y below. */
static double set_heading(const TapulLeaf *leaf, TapulPage *page, const char *title,
                          const char *subtitle) {
    TapulType type = {.size_mm = leaf->title_mm, .colour = TAPUL_BLACK};
    double y = leaf->format.height_mm - leaf->format.margin_mm;
    begin_heading_part(page, TAPUL_PART_TITLE, "Title");
    y = set_lines(leaf, page, y, title, MOST_TITLE_LINES, TITLE_LEADING, type);
    end_heading_part(page);
    if (!subtitle || !*subtitle)
        return y;
    type.size_mm = SUBTITLE_EMS * leaf->format.text_mm;
    type.italic = TRUE;
    begin_heading_part(page, TAPUL_PART_PARAGRAPH, "Subtitle");
    y = set_lines(leaf, page, y - BELOW_TITLE_STEPS * leaf->step_mm, subtitle,
                  MOST_SUBTITLE_LINES, TAPUL_LEADING, type);
    end_heading_part(page);
    return y;
}

TapulBox tapul_leaf_body(const TapulLeaf *leaf, const TapulComparison *comparison,
                         const char *title, const char *subtitle) {
    double top = set_heading(leaf, NULL, title, subtitle) - BELOW_HEADING_STEPS * leaf->step_mm;
    double bottom = tapul_leaf_feet_top_mm(leaf, comparison) + ABOVE_FEET_STEPS * leaf->step_mm;
    /* A whole number of steps: the baselines of all pages are the same. */
    double steps = floor((top - bottom) / leaf->step_mm + 1e-9);
    return (TapulBox){
        {leaf->format.margin_mm, bottom},
        {leaf->format.width_mm - leaf->format.margin_mm, bottom + steps * leaf->step_mm}};
}

TapulPage *tapul_leaf_page(const TapulLeaf *leaf, const TapulComparison *comparison,
                           const char *title, const char *subtitle, const char *description) {
    const TapulCaseSheet *sheet = &comparison->question->sheet;
    TapulVec2 size = {leaf->format.width_mm, leaf->format.height_mm};
    TapulPage *page = tapul_page_new(size.x, size.y, title, description);
    g_autoptr(TapulPath) paper = tapul_box_path((TapulBox){{0, 0}, size});
    tapul_page_set_language(page, sheet->language);
    tapul_page_set_author(page, sheet->author);
    tapul_page_set_outline(page, title);
    if (comparison->question->title)
        tapul_page_set_document(page, comparison->question->title);
    tapul_page_begin_group(page, "paper", "Paper", NULL);
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    tapul_page_end_group(page);
    set_heading(leaf, page, title, subtitle);
    return page;
}
