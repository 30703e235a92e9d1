/* Captions: the figure's number, bold, its label in italics and its text upright, running on as
 * one paragraph.
 *
 * Pango breaks the lines of the mixed paragraph; each line is then set run by run, measured one
 * after the other, since a page's text is of one type each.
 */
#include "sheet/leaf_parts.h"
#include "sheet/page_text.h"

#include <string.h>

/* Whole millimetres are said where a size is them to a tenth of this. */
#define WHOLE_MM 0.5

/* --- The paragraph --- */

typedef struct {
    glong end; /* in characters of the paragraph */
    gboolean bold, italic;
} Span;

typedef struct {
    GString *text;
    Span spans[3]; /* number, label, text; any may be empty */
    int n_spans;
    gboolean left; /* runs to the left */
} Paragraph;

/* A line's characters. */
typedef struct {
    glong from, end;
} Line;

static void add_span(Paragraph *paragraph, const char *text, gboolean bold, gboolean italic) {
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    g_string_append(paragraph->text, g_strdelimit(valid, "\n\r\t", ' '));
    paragraph->spans[paragraph->n_spans++] =
        (Span){g_utf8_strlen(paragraph->text->str, -1), bold, italic};
}

static gboolean ends_a_sentence(const char *text) {
    return *text && strchr(".!?:", text[strlen(text) - 1]) != NULL;
}

static Paragraph compose(const char *number, const char *label, const char *text) {
    Paragraph paragraph = {.text = g_string_new(NULL)};
    gboolean labelled = label && *label, told = text && *text;
    g_autofree char *numbered =
        g_strconcat(number ? number : "", labelled || told ? "\u2002" : "", NULL);
    g_autofree char *named =
        g_strconcat(labelled ? label : "", labelled && !ends_a_sentence(label) ? "." : "",
                    labelled && told ? " " : "", NULL);
    add_span(&paragraph, number && *number ? numbered : "", TRUE, FALSE);
    gsize number_bytes = paragraph.text->len;
    add_span(&paragraph, named, FALSE, TRUE);
    add_span(&paragraph, told ? text : "", FALSE, FALSE);
    paragraph.left = tapul_page_text_runs_left(paragraph.text->str + number_bytes);
    /* Scripts that run to the left have no italics. */
    paragraph.spans[1].italic = !paragraph.left;
    return paragraph;
}

static TapulType type_of(const TapulLeaf *leaf, const Span *span) {
    return (TapulType){.size_mm = leaf->format.text_mm,
                       .bold = span->bold,
                       .italic = span->italic,
                       .colour = TAPUL_BLACK};
}

/* --- Lines --- */

/* What pango_layout takes for one span, as tapul_text_layout has it for a whole text. */
static void add_attributes(PangoAttrList *list, const Span *span, guint start, guint end) {
    PangoAttribute *attributes[] = {
        span->bold ? pango_attr_weight_new(PANGO_WEIGHT_BOLD) : NULL,
        span->italic ? pango_attr_style_new(PANGO_STYLE_ITALIC) : NULL,
        span->italic ? pango_attr_font_features_new("lnum=1,liga=0") : NULL,
    };
    for (guint i = 0; i < G_N_ELEMENTS(attributes); i++)
        if (attributes[i]) {
            attributes[i]->start_index = start;
            attributes[i]->end_index = end;
            pango_attr_list_change(list, attributes[i]);
        }
}

static void set_attributes(PangoLayout *layout, const Paragraph *paragraph) {
    const char *shown = pango_layout_get_text(layout);
    PangoAttrList *list = pango_attr_list_copy(pango_layout_get_attributes(layout));
    glong start = 0;
    for (int i = 0; i < paragraph->n_spans; i++) {
        const Span *span = &paragraph->spans[i];
        add_attributes(list, span, (guint)(g_utf8_offset_to_pointer(shown, start) - shown),
                       (guint)(g_utf8_offset_to_pointer(shown, span->end) - shown));
        start = span->end;
    }
    pango_layout_set_attributes(layout, list);
    pango_attr_list_unref(list);
}

/* A GArray of Line. */
static GArray *break_lines(const TapulLeaf *leaf, const Paragraph *paragraph, double width_mm) {
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(Line));
    Span plain = {0};
    TapulType type = type_of(leaf, &plain);
    PangoLayout *layout = tapul_text_layout(NULL, paragraph->text->str, &type);
    set_attributes(layout, paragraph);
    pango_layout_set_width(layout,
                           (int)(fmax(width_mm, 0) * TAPUL_LAYOUT_UNITS_PER_MM * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    const char *shown = pango_layout_get_text(layout);
    for (GSList *l = pango_layout_get_lines_readonly(layout); l; l = l->next) {
        const PangoLayoutLine *broken = l->data;
        const char *from = shown + broken->start_index;
        Line line = {g_utf8_pointer_to_offset(shown, from),
                     g_utf8_pointer_to_offset(shown, from + broken->length)};
        g_array_append_val(lines, line);
    }
    g_object_unref(layout);
    return lines;
}

/* --- Runs --- */

/* The run with a mark before it where its own letters do not say that it runs as its paragraph
 * does (Unicode annex 9, 2.6). */
static char *running_as(gboolean left, char *run) {
    if (tapul_page_text_runs_left(run) == left)
        return run;
    char *marked = g_strconcat(left ? "\u200f" : "\u200e", run, NULL);
    g_free(run);
    return marked;
}

/* Sets characters from to end of one span and returns the x beyond them. */
static double set_run(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at,
                      const Paragraph *paragraph, const Span *span, glong from, glong end,
                      gboolean last) {
    char *part = g_utf8_substring(paragraph->text->str, from, end);
    g_autofree char *run = running_as(paragraph->left, last ? g_strchomp(part) : part);
    TapulType type = type_of(leaf, span);
    double width_mm = tapul_page_text_width_mm(run, &type);
    double left = paragraph->left ? at.x - width_mm : at.x;
    tapul_page_text(page, tapul_vec2(left, at.y), run, &type);
    return paragraph->left ? left : at.x + width_mm;
}

static void set_line(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at,
                     const Paragraph *paragraph, const Line *line) {
    glong start = 0;
    for (int i = 0; i < paragraph->n_spans; i++) {
        const Span *span = &paragraph->spans[i];
        glong first = MAX(start, line->from), beyond = MIN(span->end, line->end);
        if (first < beyond)
            at.x = set_run(leaf, page, at, paragraph, span, first, beyond, beyond == line->end);
        start = span->end;
    }
}

double tapul_leaf_caption(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                          const char *number, const char *label, const char *text) {
    Paragraph paragraph = compose(number, label, text);
    g_autoptr(GArray) lines = break_lines(leaf, &paragraph, width_mm);
    gboolean begun = page && tapul_leaf_begin_part(page, TAPUL_PART_CAPTION);
    double x = at.x + (paragraph.left ? width_mm : 0);
    double baseline = at.y - TAPUL_LEAF_ASCENT * leaf->format.text_mm;
    for (guint i = 0; page && i < lines->len; i++)
        set_line(leaf, page, tapul_vec2(x, baseline - i * leaf->step_mm), &paragraph,
                 &g_array_index(lines, Line, i));
    if (begun)
        tapul_page_end_part(page);
    g_string_free(paragraph.text, TRUE);
    return at.y - lines->len * leaf->step_mm;
}

/* --- What a print is --- */

static void append_mm(GString *words, double length_mm) {
    gboolean whole = fabs(length_mm - round(length_mm)) < WHOLE_MM / 10;
    g_string_append_printf(words, whole ? "%.0f" : "%.1f", length_mm);
}

/* An id with spaces for hyphens and a capital. */
static void append_id(GString *words, const char *id) {
    g_autofree char *spaced = g_strdelimit(g_utf8_make_valid(id, -1), "-_", ' ');
    if (!*spaced)
        return;
    g_string_append_unichar(words, g_unichar_toupper(g_utf8_get_char(spaced)));
    g_string_append(words, g_utf8_next_char(spaced));
}

char *tapul_leaf_print_words(const TapulComparison *comparison, int print) {
    const TapulPrint *source = g_ptr_array_index(comparison->question->prints, print);
    GString *words = g_string_new(NULL);
    if (source->title && *source->title)
        g_string_append(words, source->title);
    else
        append_id(words, source->id);
    g_string_append(words, ends_a_sentence(words->str) ? " " : ". ");
    /* Among words that run to the left the measures keep their order (Unicode Annex 9). */
    gboolean isolated = tapul_page_text_runs_left(words->str);
    if (isolated)
        g_string_append(words, "\u2066");
    append_mm(words, source->ink->width_mm);
    g_string_append(words, "\u00a0\u00d7\u00a0");
    append_mm(words, source->ink->height_mm);
    g_string_append(words, isolated ? "\u00a0mm\u2069." : "\u00a0mm.");
    if (source->credit && *source->credit)
        g_string_append_printf(words, " %s%s", source->credit,
                               ends_a_sentence(source->credit) ? "" : ".");
    return g_string_free(words, FALSE);
}
