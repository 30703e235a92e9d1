/* Print and plate side by side on the comparison's page for a browser, and the motifs that
 * light up on both.
 *
 * How they light up is the script's part (html/comparison.js): here stand the drawings once
 * more, the places of motifs for a pointer to find, and a list of buttons for everybody.
 */
#include "sheet/html_section.h"

#include "sheet/comparison_words.h"
#include "sheet/leaf.h"

/* About a motif's place, on the canvas: the ring that is drawn there stays clear of its lines.
 */
#define PLACE_PAD_MM 1.0

/* --- Places --- */

static TapulBox drawn_box(TapulBox box, TapulVec2 origin_mm, double scale) {
    TapulVec2 pad = {PLACE_PAD_MM, PLACE_PAD_MM};
    TapulVec2 min = tapul_vec2_scale(tapul_vec2_sub(box.min, origin_mm), scale);
    TapulVec2 max = tapul_vec2_scale(tapul_vec2_sub(box.max, origin_mm), scale);
    return (TapulBox){tapul_vec2_sub(min, pad), tapul_vec2_add(max, pad)};
}

static TapulBox box_on_print(const TapulHtmlSection *section, const TapulShownMotif *motif) {
    TapulBox box = motif->print_mm;
    if (section->place.reversed)
        box = (TapulBox){{section->ink->width_mm - box.max.x, box.min.y},
                         {section->ink->width_mm - box.min.x, box.max.y}};
    return drawn_box(box, section->print_box_mm.min, section->scale * section->place.scale);
}

static TapulBox box_on_plate(const TapulHtmlSection *section, const TapulShownMotif *motif) {
    return drawn_box(motif->developed_mm, section->box_mm.min, section->scale);
}

static double area_of(const TapulShownMotif *motif) {
    TapulVec2 size = tapul_vec2_sub(motif->print_mm.max, motif->print_mm.min);
    return size.x * size.y;
}

static int larger_first(gconstpointer a, gconstpointer b) {
    double first = area_of(*(const TapulShownMotif *const *)a);
    double second = area_of(*(const TapulShownMotif *const *)b);
    return (first < second) - (first > second);
}

/* The largest first, so that a pointer comes to the small ones that lie on them. */
static void append_places(TapulHtmlDocument *document, const TapulHtmlSection *section,
                          gboolean on_plate) {
    GString *out = document->body;
    g_autofree const TapulShownMotif **sorted =
        g_new(const TapulShownMotif *, MAX(section->motifs->len, 1));
    for (guint i = 0; i < section->motifs->len; i++)
        sorted[i] = section->motifs->pdata[i];
    qsort(sorted, section->motifs->len, sizeof *sorted, larger_first);
    for (guint i = 0; i < section->motifs->len; i++) {
        const TapulShownMotif *motif = sorted[i];
        if (on_plate && tapul_box_is_empty(motif->developed_mm))
            continue;
        g_string_append_printf(out, "<rect class=\"place\" data-motif=\"%d\"", motif->motif);
        tapul_html_box(out,
                       on_plate ? box_on_plate(section, motif) : box_on_print(section, motif));
        g_string_append(out, "><title>");
        tapul_html_text(out, motif->name);
        g_string_append(out, "</title></rect>\n");
    }
}

/* --- Figures --- */

static void append_caption(TapulHtmlDocument *document, const TapulHtmlSection *section,
                           gboolean on_plate) {
    GString *out = document->body;
    const TapulComparison *comparison = document->comparison;
    const char *label = on_plate                  ? tapul_comparison_found_word(comparison)
                        : section->place.reversed ? "reversed"
                                                  : "as engraved";
    g_autofree char *text = on_plate
                                ? tapul_comparison_change_words(comparison, section->laying)
                                : tapul_leaf_print_words(comparison, section->print);
    g_string_append_printf(out, "<div class=\"%s\">\n", on_plate ? "plate" : "print");
    if (on_plate)
        tapul_html_bar(document, section);
    g_string_append(out, "<p><b>");
    tapul_html_word(document, on_plate ? "plate" : "print", TRUE);
    g_string_append(out, "</b>, <span dir=\"auto\">");
    tapul_html_word(document, label, FALSE);
    g_string_append(out, ".</span> <span dir=\"auto\">");
    tapul_html_text(out, text);
    g_string_append(out, "</span>");
    if (!on_plate) {
        g_autofree char *scale =
            tapul_comparison_sentence(comparison, "here at the plate's scale");
        g_string_append(out, " <span dir=\"auto\">");
        tapul_html_text(out, scale);
        g_string_append(out, "</span>");
    }
    g_string_append(out, "</p>\n</div>\n");
}

static void append_side(TapulHtmlDocument *document, const TapulHtmlSection *section,
                        gboolean on_plate) {
    GString *out = document->body;
    const TapulCase *question = document->comparison->question;
    const char *part = on_plate ? "plate" : "print";
    gboolean dark = on_plate && section->shown == TAPUL_SHOWN_ETCHED;
    g_autofree char *id = g_strdup_printf("beside-%s", part);
    g_autofree char *print = tapul_comparison_print_name(document->comparison, section->print);
    g_string_append_printf(out, "<div class=\"drawn %s%s\" data-drawing=\"%s-%d\">\n", part,
                           dark ? " dark" : "", part, section->number);
    tapul_html_begin_svg(document, section, id, "side",
                         on_plate ? section->plate_size_mm : section->print_size_mm, part,
                         on_plate ? tapul_plate_name(question->plate) : print);
    g_string_append_printf(out, "<use href=\"#%s-%d\"/>\n<g class=\"lamp\"></g>\n", part,
                           section->number);
    append_places(document, section, on_plate);
    g_string_append(out, "</svg>\n</div>\n");
}

/* What stays in view while the list of motifs goes by, and its captions, which do not. */
static void append_pair(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    g_string_append(out, "<figure class=\"shown\">\n<div class=\"in-view\">\n"
                         "<p class=\"lit-name\" aria-hidden=\"true\" dir=\"auto\"></p>\n"
                         "<div class=\"pair\">\n");
    append_side(document, section, FALSE);
    append_side(document, section, TRUE);
    g_string_append(out, "</div>\n</div>\n<figcaption class=\"captions\">\n");
    append_caption(document, section, FALSE);
    append_caption(document, section, TRUE);
    g_string_append(out, "</figcaption>\n</figure>\n");
}

/* --- Motifs --- */

static void append_motif(TapulHtmlDocument *document, const TapulShownMotif *motif) {
    GString *out = document->body;
    g_autofree char *fate = tapul_motif_fate_words(document->comparison, motif);
    g_string_append_printf(out,
                           "<li><button type=\"button\" aria-pressed=\"false\" "
                           "data-motif=\"%d\"><span dir=\"auto\">",
                           motif->motif);
    tapul_html_text(out, motif->name);
    g_string_append(out, "</span>");
    if (fate) {
        g_string_append(out, "<span class=\"fate\">, <span dir=\"auto\">");
        tapul_html_text(out, fate);
        g_string_append(out, "</span></span>");
    }
    g_string_append(out, "</button></li>\n");
}

static void append_motifs(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    g_autofree char *fates = tapul_comparison_fates_words(document->comparison, section->print);
    g_autofree char *hint = tapul_comparison_sentence(
        document->comparison, "choose a motif to see where it stands on both");
    if (section->motifs->len == 0)
        return;
    g_string_append_printf(out, "<div class=\"list\">\n<h4 id=\"motifs-%d\">", section->number);
    tapul_html_word(document, "motifs", TRUE);
    g_string_append(out, "</h4>\n");
    tapul_html_line(out, "p", "note", fates);
    tapul_html_line(out, "p", "hint", hint);
    g_string_append_printf(out, "<ul class=\"motifs\" aria-labelledby=\"motifs-%d\">\n",
                           section->number);
    for (guint i = 0; i < section->motifs->len; i++)
        append_motif(document, section->motifs->pdata[i]);
    g_string_append(out, "</ul>\n</div>\n");
}

void tapul_html_beside(TapulHtmlDocument *document, const TapulHtmlSection *section) {
    GString *out = document->body;
    const TapulCaseSheet *sheet = &document->comparison->question->sheet;
    g_string_append(out, "<h3>");
    tapul_html_word(document, "side by side", TRUE);
    g_string_append(out, "</h3>\n");
    tapul_html_line(out, "p", "note", g_hash_table_lookup(sheet->captions, "beside"));
    g_string_append(out, "<div class=\"beside\">\n");
    append_pair(document, section);
    append_motifs(document, section);
    g_string_append(out, "</div>\n");
}
