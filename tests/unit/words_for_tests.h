/* The words of a page as its SVG file holds them: the file must be well-formed, and no word may
 * leave the margins or touch another. */
#ifndef TAPUL_TESTS_WORDS_FOR_TESTS_H
#define TAPUL_TESTS_WORDS_FOR_TESTS_H

#include <check.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>
#include <tapul/page.h>

typedef struct {
    double x, y, size_mm; /* baseline from the page's upper left */
    double width_mm;
    char *text;
} Word;

typedef struct {
    GArray *words; /* of Word */
    Word word;
    TapulType type;
    GString *text; /* NULL outside of a text element */
    int moved;     /* open groups that have a transform */
    GArray *open;  /* of gboolean: whether each open element has one */
} WordReader;

static inline const char *attribute(const char **names, const char **values, const char *name) {
    for (int i = 0; names[i]; i++)
        if (strcmp(names[i], name) == 0)
            return values[i];
    return NULL;
}

static inline void start_element(GMarkupParseContext *context, const char *element,
                                 const char **names, const char **values, gpointer data,
                                 GError **error) {
    WordReader *reader = data;
    gboolean moved = strcmp(element, "g") == 0 && attribute(names, values, "transform");
    (void)context;
    (void)error;
    g_array_append_val(reader->open, moved);
    reader->moved += moved;
    if (strcmp(element, "text") != 0)
        return;
    ck_assert_msg(reader->moved == 0, "words stand in a scaled group");
    const char *style = attribute(names, values, "font-style");
    const char *anchor = attribute(names, values, "text-anchor");
    const char *variant = attribute(names, values, "font-variant");
    reader->word =
        (Word){.x = g_ascii_strtod(attribute(names, values, "x"), NULL),
               .y = g_ascii_strtod(attribute(names, values, "y"), NULL),
               .size_mm = g_ascii_strtod(attribute(names, values, "font-size"), NULL)};
    reader->type = (TapulType){.size_mm = reader->word.size_mm,
                               .italic = style != NULL,
                               .small_capitals = variant != NULL};
    reader->type.align = !anchor                      ? TAPUL_ALIGN_LEFT
                         : strcmp(anchor, "end") == 0 ? TAPUL_ALIGN_RIGHT
                                                      : TAPUL_ALIGN_CENTRE;
    reader->text = g_string_new(NULL);
}

static inline void end_element(GMarkupParseContext *context, const char *element, gpointer data,
                               GError **error) {
    WordReader *reader = data;
    (void)context;
    (void)error;
    reader->moved -= g_array_index(reader->open, gboolean, reader->open->len - 1);
    g_array_set_size(reader->open, reader->open->len - 1);
    if (strcmp(element, "text") != 0)
        return;
    Word *word = &reader->word;
    word->text = g_string_free(reader->text, FALSE);
    reader->text = NULL;
    word->width_mm = tapul_page_text_width_mm(word->text, &reader->type);
    word->x -= word->width_mm * (reader->type.align == TAPUL_ALIGN_RIGHT    ? 1
                                 : reader->type.align == TAPUL_ALIGN_CENTRE ? 0.5
                                                                            : 0);
    g_array_append_val(reader->words, *word);
}

static inline void add_text(GMarkupParseContext *context, const char *text, gsize length,
                            gpointer data, GError **error) {
    WordReader *reader = data;
    (void)context;
    (void)error;
    if (reader->text)
        g_string_append_len(reader->text, text, (gssize)length);
}

static inline void free_word(gpointer word) {
    g_free(((Word *)word)->text);
}

/* The SVG file a page is written as; the caller frees it. */
static inline char *page_as_svg(const TapulPage *page) {
    g_autofree char *path = NULL;
    char *text = NULL;
    int handle = g_file_open_tmp("tapul-page-XXXXXX.svg", &path, NULL);
    ck_assert_int_ge(handle, 0);
    g_close(handle, NULL);
    ck_assert(tapul_page_write_svg(page, path, NULL));
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    g_unlink(path);
    return text;
}

/* Its words, of Word; fails where the file is not well-formed XML. */
static inline GArray *words_of_page(const TapulPage *page) {
    static const GMarkupParser parser = {
        .start_element = start_element, .end_element = end_element, .text = add_text};
    WordReader reader = {.words = g_array_new(FALSE, FALSE, sizeof(Word)),
                         .open = g_array_new(FALSE, FALSE, sizeof(gboolean))};
    g_autoptr(GError) error = NULL;
    g_autofree char *svg = page_as_svg(page);
    GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, &reader, NULL);
    g_array_set_clear_func(reader.words, free_word);
    ck_assert_msg(g_markup_parse_context_parse(context, svg, -1, &error) &&
                      g_markup_parse_context_end_parse(context, &error),
                  "%s", error ? error->message : "");
    g_markup_parse_context_free(context);
    g_array_unref(reader.open);
    return reader.words;
}

static inline gboolean page_has_word(const TapulPage *page, const char *text) {
    g_autoptr(GArray) words = words_of_page(page);
    for (guint i = 0; i < words->len; i++)
        if (strcmp(g_array_index(words, Word, i).text, text) == 0)
            return TRUE;
    return FALSE;
}

/* Every word within the margins, its letters (to the height of an x) off all others, and of a
 * size that can be read. */
static inline void check_words_of_page(const TapulPage *page, double margin_mm) {
    const double slack_mm = 0.01; /* files hold thousandths */
    g_autoptr(GArray) words = words_of_page(page);
    ck_assert_uint_gt(words->len, 3);
    for (guint i = 0; i < words->len; i++) {
        Word a = g_array_index(words, Word, i);
        ck_assert_msg(a.x >= margin_mm - slack_mm &&
                          a.x + a.width_mm <=
                              tapul_page_width_mm(page) - margin_mm + slack_mm &&
                          a.y - 0.6 * a.size_mm >= margin_mm - slack_mm &&
                          a.y <= tapul_page_height_mm(page) - margin_mm + slack_mm,
                      "'%s' at %g, %g mm leaves the margins", a.text, a.x, a.y);
        ck_assert_double_ge(a.size_mm, 2.5 - 1e-9);
        for (guint j = 0; j < i; j++) {
            Word b = g_array_index(words, Word, j);
            ck_assert_msg(a.x >= b.x + b.width_mm || b.x >= a.x + a.width_mm ||
                              a.y <= b.y - 0.4 * b.size_mm || b.y <= a.y - 0.4 * a.size_mm,
                          "'%s' and '%s' collide at %g, %g mm", a.text, b.text, a.x, a.y);
        }
    }
}

#endif
