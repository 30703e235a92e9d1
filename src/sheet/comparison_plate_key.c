/* The list of what the whole plate's page points to: numbers with their texts, in columns. */
#include "sheet/comparison_plate_parts.h"

#include "sheet/comparison_words.h"
#include "sheet/page_items.h"
#include "sheet/shortened.h"

/* All in ems of text. */
#define NUMBER_EMS       1.9 /* the numbers' own column */
#define BETWEEN_EMS      1.6 /* columns */
#define LEAST_COLUMN_EMS 13.0
#define ROW_AIR_EMS      0.12

#define MOST_COLUMNS 3
/* As many columns as leave entries no longer than this; and what no entry is longer than. */
#define EASY_LINES 2
#define MOST_LINES 12

typedef struct {
    const TapulLeaf *leaf;
    const TapulComparison *comparison;
    GPtrArray *entries; /* of TapulPlateCall* */
    int columns;
    double width_mm;   /* of a column */
    double *height_mm; /* [entries->len] of each entry in such a column */
} Key;

static TapulType text_type(const Key *key) {
    return (TapulType){.size_mm = key->leaf->format.text_mm, .colour = TAPUL_BLACK};
}

static double text_width_mm(const Key *key) {
    return key->width_mm - NUMBER_EMS * key->leaf->format.text_mm;
}

static char *text_of(const Key *key, const TapulPlateCall *call) {
    TapulType type = text_type(key);
    const TapulCase *question = key->comparison->question;
    g_autofree char *whole =
        call->seen ? g_strdup(call->text)
                   : g_strdup_printf("%s (%s)", call->text,
                                     tapul_case_word(question, "hidden from the front"));
    return tapul_text_shortened(whole, text_width_mm(key), MOST_LINES, &type);
}

/* A number and its text, from the right where the text runs that way. */
static void set_entry(const Key *key, TapulPage *page, TapulVec2 at,
                      const TapulPlateCall *call) {
    TapulType type = text_type(key), figures = type;
    double indent_mm = NUMBER_EMS * type.size_mm;
    g_autofree char *text = text_of(key, call);
    gboolean left = tapul_page_text_runs_left(text);
    char number[12];
    g_snprintf(number, sizeof number, "%d", call->number);
    figures.bold = TRUE;
    figures.align = left ? TAPUL_ALIGN_RIGHT : TAPUL_ALIGN_LEFT;
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_set_paragraph(page, tapul_vec2(at.x + (left ? key->width_mm : 0), at.y),
                        key->width_mm, number, &figures);
    tapul_set_paragraph(page, tapul_vec2(at.x + (left ? 0 : indent_mm), at.y),
                        text_width_mm(key), text, &type);
    tapul_page_end_part(page);
}

/* Entries from first down, as many as end above bottom; returns the next. With page NULL it
 * only measures. */
static guint set_column(const Key *key, TapulPage *page, TapulVec2 at, double bottom,
                        guint first) {
    guint i = first;
    for (; i < key->entries->len && at.y - key->height_mm[i] >= bottom; i++) {
        if (page)
            set_entry(key, page, at, g_ptr_array_index(key->entries, i));
        at.y -= key->height_mm[i];
    }
    return i;
}

/* Columns from the left, or from the right where the first text runs that way. */
static guint set_columns(const Key *key, TapulPage *page, TapulVec2 at, double height_mm,
                         guint first) {
    double step_mm = key->width_mm + BETWEEN_EMS * key->leaf->format.text_mm;
    const TapulPlateCall *call = g_ptr_array_index(key->entries, first);
    gboolean left = tapul_page_text_runs_left(call->text);
    guint next = first;
    for (int i = 0; i < key->columns; i++) {
        int place = left ? key->columns - 1 - i : i;
        next = set_column(key, page, tapul_vec2(at.x + place * step_mm, at.y), at.y - height_mm,
                          next);
    }
    return next;
}

/* The least height, in half lines, at which the columns hold the entries. */
static double least_height_mm(const Key *key) {
    double height_mm = 0;
    while (set_columns(key, NULL, tapul_vec2(0, 0), height_mm, 0) < key->entries->len)
        height_mm += key->leaf->step_mm / 2;
    return height_mm;
}

/* The entries' heights in the key's columns; FALSE where some entry is long for them. */
static gboolean measure_entries(Key *key) {
    TapulType type = text_type(key);
    guint most = 0;
    for (guint i = 0; i < key->entries->len; i++) {
        g_autofree char *text = text_of(key, g_ptr_array_index(key->entries, i));
        g_autoptr(GPtrArray) lines = tapul_page_break_lines(text, text_width_mm(key), &type);
        key->height_mm[i] = (lines->len * TAPUL_LEADING + ROW_AIR_EMS) * type.size_mm;
        most = MAX(most, lines->len);
    }
    return most <= EASY_LINES;
}

static void choose_columns(Key *key, double width_mm) {
    double em = key->leaf->format.text_mm, between_mm = BETWEEN_EMS * em;
    double fit = (width_mm + between_mm) / (LEAST_COLUMN_EMS * em + between_mm);
    key->height_mm = g_new(double, key->entries->len);
    key->columns = CLAMP((int)fit, 1, (int)MIN(MOST_COLUMNS, key->entries->len)) + 1;
    do {
        key->columns--;
        key->width_mm = (width_mm - (key->columns - 1) * between_mm) / key->columns;
    } while (!measure_entries(key) && key->columns > 1);
}

static double set_heading(const Key *key, TapulPage *page, TapulVec2 at, double width_mm) {
    g_autofree char *word = tapul_comparison_capital(key->comparison, "key");
    if (page)
        tapul_page_begin_part(page, TAPUL_PART_HEADING, NULL);
    double y = tapul_set_heading(page, at, width_mm, word, &key->leaf->format);
    if (page)
        tapul_page_end_part(page);
    return y;
}

double tapul_plate_key(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                       const TapulComparison *comparison, const GPtrArray *calls,
                       gboolean hidden_only) {
    g_autoptr(GPtrArray) entries = g_ptr_array_new();
    Key key = {.leaf = leaf, .comparison = comparison, .entries = entries};
    for (guint i = 0; i < calls->len; i++) {
        TapulPlateCall *call = g_ptr_array_index(calls, i);
        if (!hidden_only || !call->seen)
            g_ptr_array_add(entries, call);
    }
    if (entries->len == 0)
        return at.y;
    choose_columns(&key, width_mm);
    double y = set_heading(&key, page, at, width_mm), height_mm = least_height_mm(&key);
    if (page)
        set_columns(&key, page, tapul_vec2(at.x, y), height_mm, 0);
    g_free(key.height_mm);
    return y - height_mm;
}

guint tapul_plate_key_page(const TapulLeaf *leaf, TapulPage *page, TapulBox body,
                           const TapulComparison *comparison, GPtrArray *calls, guint first) {
    Key key = {.leaf = leaf, .comparison = comparison, .entries = calls};
    double width_mm = body.max.x - body.min.x;
    choose_columns(&key, width_mm);
    double y = set_heading(&key, page, tapul_vec2(body.min.x, body.max.y), width_mm);
    guint next = set_columns(&key, page, tapul_vec2(body.min.x, y), y - body.min.y, first);
    g_free(key.height_mm);
    return next;
}
