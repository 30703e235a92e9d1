/* A section of the comparison's page for a browser: a print and the plate that it is laid on,
 * over one another here, side by side in html_beside.c.
 *
 * The drawings stand in the first figure; the figures side by side use them again, so that the
 * file holds each line once.
 */
#include "sheet/html_section.h"

#include "sheet/comparison_words.h"
#include "sheet/page_svg.h"

/* The longer side of a figure on the canvas: its lines are as fine as a screen of some 700
 * pixels shows them. */
#define DRAWN_MM 100.0
/* Of the plate shown about the print, a share of the longer side. */
#define ABOUT_SHARE 0.04
/* Of a figure's width, at most, that its scale bar takes. */
#define BAR_SHARE 0.4
/* How much of the print is drawn over the plate at first, in hundredths. */
#define FIRST_SHARE 50

/* --- Words --- */

void tapul_html_text(GString *out, const char *text) {
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    for (char *c = valid; *c; c++)
        if ((guchar)*c < 0x20 || *c == 0x7f)
            *c = ' ';
    g_autofree char *escaped = g_markup_escape_text(valid, -1);
    g_string_append(out, escaped);
}

void tapul_html_line(GString *out, const char *element, const char *class, const char *text) {
    if (!text || !*text)
        return;
    g_string_append_printf(out, "<%s class=\"%s\" dir=\"auto\">", element, class);
    tapul_html_text(out, text);
    g_string_append_printf(out, "</%s>\n", element);
}

void tapul_html_word(TapulHtmlDocument *document, const char *word, gboolean capital) {
    g_autofree char *set =
        capital ? tapul_comparison_capital(document->comparison, word)
                : g_strdup(tapul_case_word(document->comparison->question, word));
    tapul_html_text(document->body, set);
}

/* --- What is shown --- */

static TapulVec2 size_of(TapulBox box, double scale) {
    return tapul_vec2_scale(tapul_vec2_sub(box.max, box.min), scale);
}

/* The part of the plate that the print covers, flat and as laid, and a little about it. */
static TapulBox part_of_plate(const TapulComparison *comparison,
                              const TapulHtmlSection *section) {
    TapulBox box = tapul_laid_box_mm(comparison, section->laying);
    for (int i = 0; i < 4; i++) {
        const TapulBox *print = &section->print_box_mm;
        TapulVec2 corner = {i & 1 ? print->max.x : print->min.x,
                            i & 2 ? print->max.y : print->min.y};
        tapul_box_add(&box, tapul_flat_point(&section->place, corner));
    }
    TapulVec2 size = size_of(box, 1);
    double about_mm = ABOUT_SHARE * fmax(size.x, size.y);
    box.min = tapul_vec2_sub(box.min, tapul_vec2(about_mm, about_mm));
    box.max = tapul_vec2_add(box.max, tapul_vec2(about_mm, about_mm));
    return box;
}

static TapulHtmlSection section_of(const TapulComparison *comparison, int laying, int number) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, asked->print);
    TapulHtmlSection section = {.number = number,
                                .laying = laying,
                                .print = asked->print,
                                .ink = print->ink,
                                .motifs = tapul_shown_motifs(comparison, laying),
                                .place = tapul_flat_place(comparison, laying)};
    g_autoptr(TapulFigure) figure =
        tapul_figure_print(comparison, section.print, section.place.reversed);
    section.print_box_mm = tapul_figure_box_mm(figure);
    gboolean found = comparison->rectified || comparison->question->found;
    section.shown = found ? TAPUL_SHOWN_FOUND : TAPUL_SHOWN_ETCHED;
    section.box_mm = part_of_plate(comparison, &section);
    TapulVec2 size = size_of(section.box_mm, 1);
    section.scale = DRAWN_MM / fmax(size.x, size.y);
    section.plate_size_mm = size_of(section.box_mm, section.scale);
    section.print_size_mm = size_of(section.print_box_mm, section.scale * section.place.scale);
    return section;
}

/* --- Parts of figures --- */

void tapul_html_begin_svg(TapulHtmlDocument *document, const TapulHtmlSection *section,
                          const char *part, const char *class, TapulVec2 size_mm,
                          const char *word, const char *name) {
    GString *out = document->body;
    g_string_append_printf(out,
                           "<svg class=\"%s\" role=\"img\" aria-labelledby=\"%s-%d-title\"",
                           class, part, section->number);
    tapul_html_view_box(out, size_mm);
    g_string_append_printf(out, ">\n<title id=\"%s-%d-title\">", part, section->number);
    tapul_html_word(document, word, TRUE);
    g_string_append(out, ": ");
    tapul_html_text(out, name);
    g_string_append(out, "</title>\n");
}

/* The largest of 1, 2, 5, 10, ... mm that is no more than most_mm. */
static double round_length_mm(double most_mm) {
    double length_mm = pow(10, floor(log10(most_mm)));
    return length_mm * (5 * length_mm <= most_mm ? 5 : 2 * length_mm <= most_mm ? 2 : 1);
}

/* The bar is of the figure's scale at any width of the window. */
void tapul_html_bar(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    double length_mm = round_length_mm(BAR_SHARE * size_of(section->box_mm, 1).x);
    g_string_append(out, "<div class=\"bar\"><svg aria-hidden=\"true\" viewBox=\"0 0 ");
    tapul_svg_number(out, section->plate_size_mm.x);
    g_string_append(out, " 3\" preserveAspectRatio=\"none\"><path d=\"M0 0V3M0 1.5H");
    tapul_svg_number(out, section->scale * length_mm);
    g_string_append(out, "M");
    tapul_svg_number(out, section->scale * length_mm);
    g_string_append(out, " 0V3\"/></svg><p>");
    tapul_html_word(document, "scale", TRUE);
    g_string_append(out, ": ");
    tapul_svg_number(out, length_mm);
    g_string_append(out, "\u00a0mm</p></div>\n");
}

/* --- One over the other --- */

static void append_share_text(TapulHtmlDocument *document) {
    g_string_append_printf(document->body, "%d %% ", FIRST_SHARE);
    tapul_html_word(document, "print", FALSE);
    g_string_append_printf(document->body, ", %d %% ", 100 - FIRST_SHARE);
    tapul_html_word(document, "plate", FALSE);
}

static void append_choice(TapulHtmlDocument *document, const TapulHtmlSection *section,
                          const char *name, const char *word) {
    g_string_append_printf(document->body,
                           "<label class=\"choice\" for=\"%s-%d\">"
                           "<input type=\"checkbox\" class=\"%s\" id=\"%s-%d\"> ",
                           name, section->number, name, name, section->number);
    tapul_html_word(document, word, TRUE);
    g_string_append(document->body, "</label>\n");
}

/* Hidden until the script, without which they do nothing, shows them. */
static void append_controls(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    int n = section->number;
    g_string_append_printf(out, "<div class=\"controls\" hidden>\n<label for=\"wipe-%d\">", n);
    tapul_html_word(document, "from plate to print", TRUE);
    g_string_append_printf(out,
                           "</label>\n<input type=\"range\" id=\"wipe-%d\" min=\"0\" "
                           "max=\"100\" value=\"%d\" aria-valuetext=\"",
                           n, FIRST_SHARE);
    append_share_text(document);
    g_string_append(out, "\" data-print=\"");
    tapul_html_word(document, "print", FALSE);
    g_string_append(out, "\" data-plate=\"");
    tapul_html_word(document, "plate", FALSE);
    g_string_append(out, "\">\n");
    append_choice(document, section, "both", "both at once");
    append_choice(document, section, "flat", "show the print flat, before it was bent");
    g_string_append(out, "</div>\n");
}

/* The print bent over the metal, alone. */
static void draw_laid(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    TapulCase untraced = *document->comparison->question;
    TapulComparison laid = {&untraced, document->comparison->laid, NULL, NULL};
    untraced.found = NULL;
    g_autofree char *id = g_strdup_printf("laid-%d", section->number);
    g_autoptr(TapulFigure) figure =
        tapul_figure_development(&laid, section->box_mm, TAPUL_SHOWN_FOUND, section->laying);
    tapul_html_draw(document->canvas, document->body, figure, section->scale, id, section->ink,
                    section->motifs);
}

/* A plate that bears no design of its own is drawn as etched with the print: that drawing is
 * used again, its dark and bright exchanged. */
static void append_laid_layer(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    g_autofree char *name = tapul_comparison_print_name(document->comparison, section->print);
    tapul_html_begin_svg(document, section, "over-laid", "print laid", section->plate_size_mm,
                         "print as laid", name);
    if (section->shown == TAPUL_SHOWN_ETCHED)
        g_string_append_printf(document->body,
                               "<g filter=\"url(#exchanged)\"><use href=\"#plate-%d\"/></g>\n",
                               section->number);
    else
        draw_laid(document, section);
    g_string_append(document->body, "</svg>\n");
}

static void append_flat_layer(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    g_autofree char *id = g_strdup_printf("print-%d", section->number);
    g_autoptr(TapulFigure) figure =
        tapul_figure_print(document->comparison, section->print, section->place.reversed);
    g_autofree char *name = tapul_comparison_print_name(document->comparison, section->print);
    tapul_html_begin_svg(document, section, "over-print", "print flat", section->plate_size_mm,
                         "print", name);
    g_string_append(out, "<g");
    tapul_html_place(out, &section->place, section->scale, section->print_box_mm.min,
                     section->box_mm.min);
    g_string_append(out, ">\n");
    tapul_html_draw(document->canvas, out, figure, section->scale * section->place.scale, id,
                    section->ink, section->motifs);
    g_string_append(out, "</g>\n</svg>\n");
}

static void append_plate_layer(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    g_autofree char *id = g_strdup_printf("plate-%d", section->number);
    g_autoptr(TapulFigure) figure = tapul_figure_development(
        document->comparison, section->box_mm, section->shown, section->laying);
    /* A tracing's own groups are no motifs of the print. */
    const TapulInk *ink = section->shown == TAPUL_SHOWN_ETCHED ? section->ink : NULL;
    tapul_html_begin_svg(document, section, "over-plate", "plate", section->plate_size_mm,
                         "plate", tapul_plate_name(document->comparison->question->plate));
    tapul_html_draw(document->canvas, out, figure, section->scale, id, ink, section->motifs);
    g_string_append(out, "</svg>\n");
}

static void append_over(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    g_autofree char *laid = tapul_comparison_sentence(
        document->comparison, "the print as laid over the plate, at one scale");
    g_autofree char *flat = tapul_comparison_sentence(
        document->comparison, "the print laid flat over the plate, at one scale");
    g_string_append_printf(out, "<figure class=\"over\" id=\"over-%d\">\n", section->number);
    append_controls(document, section);
    g_string_append(out, "<div class=\"stage\">\n");
    append_plate_layer(document, section);
    append_laid_layer(document, section);
    append_flat_layer(document, section);
    g_string_append(out, "<span class=\"edge\"></span>\n</div>\n<figcaption>");
    tapul_html_bar(document, section);
    tapul_html_line(out, "p", "laid", laid);
    tapul_html_line(out, "p", "flat", flat);
    g_string_append(out, "</figcaption>\n</figure>\n");
}

/* Side by side, print and plate at one scale, the print at its own size: their widths are to
 * one another as their millimetres. */
static void append_rules(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    TapulVec2 plate = section->plate_size_mm;
    TapulVec2 print = size_of(section->print_box_mm, section->scale);
    const struct {
        const char *name, *unit;
        double value;
    } rules[] = {
        {"shape", "", plate.x / plate.y},
        {"shape-beside", "", (print.x + plate.x) / fmax(print.y, plate.y)},
        {"print", "fr", print.x},
        {"plate", "fr", plate.x},
        {"plate-share", "", plate.x / (print.x + plate.x)},
    };
    g_string_append_printf(document->rules, "#laying-%d {", section->number);
    for (guint i = 0; i < G_N_ELEMENTS(rules); i++) {
        g_string_append_printf(document->rules, " --%s: ", rules[i].name);
        tapul_svg_number(document->rules, rules[i].value);
        g_string_append_printf(document->rules, "%s;", rules[i].unit);
    }
    g_string_append(document->rules, " }\n");
}

void tapul_html_section(TapulHtmlDocument *document, int laying, int number) {
    GString *out = document->body;
    const TapulComparison *comparison = document->comparison;
    TapulHtmlSection section = section_of(comparison, laying, number);
    g_autofree char *name = tapul_comparison_print_name(comparison, section.print);
    g_autofree char *laid = tapul_comparison_laying_words(comparison, laying);
    g_string_append_printf(out,
                           "<section id=\"laying-%d\" aria-labelledby=\"heading-%d\">\n"
                           "<h2 id=\"heading-%d\" dir=\"auto\">",
                           number, number, number);
    tapul_html_text(out, name);
    g_string_append(out, "</h2>\n");
    tapul_html_line(out, "p", "laid", laid);
    append_over(document, &section);
    tapul_html_beside(document, &section);
    g_string_append(out, "</section>\n");
    append_rules(document, &section);
    g_ptr_array_unref(section.motifs);
}
