/* The fitting of a border's page: the scale of its strips, where their captions stand, and what
 * is said below each figure.
 *
 * comparison_border_page.c draws what was fitted.
 */
#include "sheet/comparison_border.h"

#include "sheet/comparison_words.h"

/* Larger than this, hatching looks coarse (as of the details). */
#define MOST_SCALE 3.0
/* The plate is there to find one's way only. */
#define MOST_PLATE_SCALE 0.5
#define MOST_PLATE_SHARE 0.3 /* of the body's height */
/* A scale just below a round one, so that the next round one is found: they lie further apart.
 */
#define BELOW       0.98
#define LEAST_SCALE 0.02
/* What the strips take of a portrait page's height, of a landscape page's columns; of those
 * their bar, and their captions when they stand beside them. */
#define STRIPS_HEIGHT       0.6
#define STRIPS_COLUMNS(all) ((all)*2 / 3)
#define BAR_COLUMNS(all)    ((all) / 3)
#define WORDS_COLUMNS(all)  ((all)*3 / 8)

static const TapulLeaf *leaf_of(const TapulBorderComposition *made) {
    return &made->entry->book->leaf;
}

static double steps_mm(const TapulBorderComposition *made, double steps) {
    return steps * leaf_of(made)->step_mm;
}

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

static double columns_mm(const TapulBorderComposition *made, int columns) {
    return tapul_leaf_columns_mm(leaf_of(made), columns);
}

static TapulBox figure_box(const TapulBorderEntry *entry, TapulBorderFigure figure) {
    return tapul_figure_box_mm(figure == TAPUL_BORDER_CORNER ? entry->turn : entry->plate);
}

/* --- Words --- */

static char *laid_text(const TapulBorderEntry *entry, double scale) {
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < entry->lines->len; i++)
        tapul_comparison_add_take(
            text, tapul_border_laid_words(g_ptr_array_index(entry->lines, i), i > 0));
    tapul_comparison_add_take(text,
                              tapul_border_scale_words(entry->line, &entry->book->leaf, scale));
    return g_string_free(text, FALSE);
}

static char *print_text(const TapulBorderEntry *entry, double scale) {
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(
        text, tapul_border_print_words(entry->line, &entry->book->leaf, entry->repeats, scale));
    tapul_comparison_add_take(text, g_strdup(entry->caption));
    return g_string_free(text, FALSE);
}

static char *plate_text(const TapulBorderEntry *entry, double scale) {
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(
        text, tapul_comparison_sentence(entry->book->comparison,
                                        entry->plate_flat ? "the plate laid flat"
                                                          : "the plate seen from the front"));
    tapul_comparison_add_take(text,
                              tapul_border_scale_words(entry->line, &entry->book->leaf, scale));
    return g_string_free(text, FALSE);
}

static void set_text(TapulBorderComposition *made, TapulBorderFigure figure, double scale) {
    const TapulBorderEntry *entry = made->entry;
    g_free(made->text[figure]);
    made->scale[figure] = scale;
    switch (figure) {
    case TAPUL_BORDER_PRINT:
        made->text[figure] = print_text(entry, scale);
        break;
    case TAPUL_BORDER_LAID:
        made->text[figure] = laid_text(entry, scale);
        break;
    case TAPUL_BORDER_CORNER:
        made->text[figure] = tapul_border_corner_words(entry->line, &entry->book->leaf,
                                                       entry->corner_rad, scale);
        break;
    default:
        made->text[figure] = plate_text(entry, scale);
    }
}

/* --- Room --- */

int tapul_border_columns(const TapulBorderComposition *made) {
    int all = leaf_of(made)->columns;
    return made->landscape ? STRIPS_COLUMNS(all) : all;
}

int tapul_border_words_columns(const TapulBorderComposition *made) {
    int all = tapul_border_columns(made);
    return made->words_beside ? WORDS_COLUMNS(all) : all;
}

int tapul_border_drawn_columns(const TapulBorderComposition *made) {
    int all = tapul_border_columns(made);
    return made->words_beside ? all - WORDS_COLUMNS(all) : all;
}

/* A caption and the air above it. */
double tapul_border_caption_mm(const TapulBorderComposition *made, TapulBorderFigure figure,
                               double width_mm) {
    return steps_mm(made, TAPUL_BORDER_CAPTION_GAP_STEPS) -
           tapul_leaf_caption(leaf_of(made), NULL, tapul_vec2(0, 0), width_mm, "88",
                              made->label[figure], made->text[figure]);
}

TapulVec2 tapul_border_strip_size(const TapulBorderEntry *entry, TapulBorderFigure figure) {
    return figure == TAPUL_BORDER_PRINT
               ? tapul_vec2(entry->repeats * entry->line->repeat_mm, entry->line->height_mm)
               : size_of(entry->stretch.box_mm);
}

gboolean tapul_border_has(const TapulBorderEntry *entry, TapulBorderFigure figure) {
    return figure == TAPUL_BORDER_LAID     ? entry->stretch.n > 0
           : figure == TAPUL_BORDER_CORNER ? entry->turn != NULL
                                           : TRUE;
}

/* What the figures of the border laid cover, developed frame; returns how many they are. */
static int list_shown(const TapulBorderEntry *entry, TapulBox *shown_mm) {
    int n = 0;
    if (entry->stretch.n > 0)
        shown_mm[n++] = tapul_border_covered(&entry->stretch);
    if (entry->turn)
        shown_mm[n++] = tapul_figure_box_mm(entry->turn);
    return n;
}

/* Bar and, beside it, the legend of a found design; from y down. Returns their height. */
double tapul_border_set_bar(const TapulBorderComposition *made, TapulPage *page, double y) {
    const TapulLeaf *leaf = leaf_of(made);
    const TapulComparison *comparison = made->entry->book->comparison;
    TapulBox shown_mm[2];
    int columns = BAR_COLUMNS(tapul_border_columns(made));
    int n_shown = list_shown(made->entry, shown_mm);
    double below = tapul_leaf_scale_bar(
        leaf, page, tapul_vec2(tapul_leaf_column_x(leaf, 0), y), columns_mm(made, columns),
        made->scale[TAPUL_BORDER_PRINT], made->entry->book->options->inches);
    if (comparison->question->found)
        below = fmin(below, tapul_leaf_legend_of(
                                leaf, page, tapul_vec2(tapul_leaf_column_x(leaf, columns), y),
                                columns_mm(made, tapul_border_columns(made) - columns),
                                comparison, shown_mm, n_shown));
    return y - below;
}

double tapul_border_strip_mm(const TapulBorderComposition *made, TapulBorderFigure figure) {
    double drawn = made->scale[figure] * tapul_border_strip_size(made->entry, figure).y +
                   tapul_border_dimension_mm(leaf_of(made));
    double words = tapul_border_caption_mm(made, figure,
                                           columns_mm(made, tapul_border_words_columns(made)));
    return (made->words_beside ? fmax(drawn, words) : drawn + words) +
           steps_mm(made, TAPUL_BORDER_ROW_GAP_STEPS);
}

static double strips_mm(const TapulBorderComposition *made) {
    double sum =
        steps_mm(made, TAPUL_BORDER_BAR_GAP_STEPS) + tapul_border_set_bar(made, NULL, 0);
    for (int figure = TAPUL_BORDER_PRINT; figure <= TAPUL_BORDER_LAID; figure++)
        if (tapul_border_has(made->entry, figure))
            sum += tapul_border_strip_mm(made, figure);
    return sum;
}

/* The largest round scale of both strips with their captions where they are, 0: none. */
static double fit_words(TapulBorderComposition *made, gboolean words_beside) {
    TapulVec2 print = tapul_border_strip_size(made->entry, TAPUL_BORDER_PRINT);
    double laid_mm = tapul_border_has(made->entry, TAPUL_BORDER_LAID)
                         ? tapul_border_strip_size(made->entry, TAPUL_BORDER_LAID).x
                         : 0;
    made->words_beside = words_beside;
    TapulVec2 size = {fmax(print.x, laid_mm), print.y};
    TapulVec2 most = {
        fmin(columns_mm(made, tapul_border_drawn_columns(made)), MOST_SCALE * size.x),
        MOST_SCALE * size.y};
    double room = size_of(made->body).y * (made->landscape ? 1 : STRIPS_HEIGHT);
    double scale = tapul_leaf_scale(size, most);
    for (; scale >= LEAST_SCALE;
         scale = tapul_leaf_scale(size, tapul_vec2_scale(size, BELOW * scale))) {
        set_text(made, TAPUL_BORDER_PRINT, scale);
        set_text(made, TAPUL_BORDER_LAID, scale);
        if (strips_mm(made) <= room)
            return scale;
    }
    return 0;
}

/* Captions beside the strips, where a landscape page shows them larger so. */
double tapul_border_fit_strips(TapulBorderComposition *made) {
    double beside = made->landscape ? fit_words(made, TRUE) : 0;
    double below = fit_words(made, FALSE);
    return beside > below ? fit_words(made, TRUE) : below;
}

/* As large as is round and fits, within bounds. */
void tapul_border_fit_cell(TapulBorderComposition *made, TapulBorderFigure figure,
                           TapulVec2 room) {
    double most = figure == TAPUL_BORDER_CORNER ? MOST_SCALE : MOST_PLATE_SCALE;
    double most_mm = MOST_PLATE_SHARE * size_of(made->body).y;
    TapulVec2 size = size_of(figure_box(made->entry, figure));
    set_text(made, figure, 1);
    room.y -= tapul_border_caption_mm(made, figure, room.x);
    if (figure == TAPUL_BORDER_PLATE)
        room.y = fmin(room.y, most_mm);
    set_text(made, figure,
             tapul_leaf_scale(
                 size, tapul_vec2(fmin(room.x, most * size.x), fmin(room.y, most * size.y))));
}

/* --- The composition --- */

void tapul_border_composition_init(TapulBorderComposition *made,
                                   const TapulBorderEntry *entry) {
    static const char *const labels[] = {"as engraved", "laid over the metal",
                                         "where it turns tightest", "where on the plate"};
    const TapulComparison *comparison = entry->book->comparison;
    const TapulLeaf *leaf = &entry->book->leaf;
    const TapulCaseLaying *asked =
        g_ptr_array_index(comparison->question->layings, entry->line->laying);
    g_autofree char *title = tapul_comparison_print_name(comparison, asked->print);
    *made = (TapulBorderComposition){.entry = entry};
    made->landscape = leaf->format.width_mm > leaf->format.height_mm;
    made->body = tapul_leaf_body(leaf, comparison, title, comparison->question->title);
    for (int i = 0; i < TAPUL_BORDER_FIGURES; i++)
        made->label[i] = tapul_comparison_capital(comparison, labels[i]);
}

void tapul_border_composition_clear(TapulBorderComposition *made) {
    for (int i = 0; i < TAPUL_BORDER_FIGURES; i++) {
        g_free(made->label[i]);
        g_free(made->text[i]);
    }
}

double tapul_border_page_scale(const TapulBorderEntry *entry) {
    TapulBorderComposition made;
    tapul_border_composition_init(&made, entry);
    double scale = tapul_border_fit_strips(&made);
    tapul_border_composition_clear(&made);
    return scale;
}
