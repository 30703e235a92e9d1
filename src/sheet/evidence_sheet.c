/* The evidence sheet: on one page the verdict and the print over the plate with the pairs'
 * residuals, on the other the figures it rests on.
 *
 * The `weigh` verb writes it. A4, so that it can go with a catalogue entry.
 */
#include "sheet/evidence_parts.h"

#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/rows.h"
#include "sheet/shortened.h"

#include <string.h>

/* A4, ISO 216. */
static const TapulFormat a4 = {210, 297, 15, 3.1};

#define GAP_MM          7.0 /* between parts */
#define FOOT_MM         6.0
#define SIDE_MM         58.0 /* beside the overlay: legend and pairs */
#define BELOW_MM        54.0 /* the same below it */
#define VERDICT_GAP_MM  6.0
#define LEAST_FIGURE_MM 90.0 /* height of the overlay; a longer verdict is cut for it */
#define CURVES_MM       52.0
#define LOWER_MM        58.0 /* for figures and motifs, below curves */

/* --- The page --- */

static TapulEvidenceParts parts_of(const TapulEvidenceSheet *sheet) {
    const TapulPrintEvidence *found =
        g_ptr_array_index(sheet->evidence->prints, (guint)sheet->print);
    g_assert(found->hypotheses->len > 0);
    return (TapulEvidenceParts){
        .sheet = sheet,
        .found = found,
        .print = g_ptr_array_index(sheet->question->prints, (guint)found->print),
        .best = g_ptr_array_index(found->hypotheses, 0),
        .format = a4,
        .magnification = 1};
}

static TapulBox inside(const TapulFormat *format) {
    return (TapulBox){
        {format->margin_mm, format->margin_mm + FOOT_MM},
        {format->width_mm - format->margin_mm, format->height_mm - format->margin_mm}};
}

static TapulPage *blank_page(const TapulEvidenceParts *parts, const char *description) {
    const TapulFormat *format = &parts->format;
    TapulPage *page = tapul_page_new(format->width_mm, format->height_mm,
                                     parts->sheet->question->title, description);
    g_autoptr(TapulPath) paper =
        tapul_box_path((TapulBox){{0, 0}, {format->width_mm, format->height_mm}});
    tapul_page_begin_group(page, "paper", "Paper", NULL);
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    tapul_page_end_group(page);
    return page;
}

/* Returns the y below title, subtitle and rule. */
static double set_title(TapulPage *page, const TapulEvidenceParts *parts, const char *what) {
    const TapulCase *question = parts->sheet->question;
    TapulBox room = inside(&parts->format);
    double em = parts->format.text_mm, width_mm = room.max.x - room.min.x;
    TapulType title = {.size_mm = 2.1 * em, .colour = TAPUL_BLACK};
    TapulType subtitle = {.size_mm = 1.15 * em, .italic = TRUE, .colour = TAPUL_BLACK};
    g_autofree char *words =
        g_strdup_printf("%s: the print %s and %s. %s", what, parts->print->id,
                        tapul_plate_name(question->plate), question->credit);
    g_autofree char *short_title = tapul_text_shortened(question->title, width_mm, 2, &title);
    g_autofree char *short_words = tapul_text_shortened(words, width_mm, 2, &subtitle);
    TapulVec2 at = {room.min.x, room.max.y};
    tapul_page_begin_group(page, "title", "Title", NULL);
    at.y = tapul_set_paragraph(page, at, width_mm, short_title, &title);
    at.y = tapul_set_paragraph(page, at, width_mm, short_words, &subtitle) - 0.6 * em;
    tapul_rule(page, at, width_mm);
    tapul_page_end_group(page);
    return at.y - 0.6 * GAP_MM;
}

static void set_foot(TapulPage *page, const TapulEvidenceParts *parts, int number) {
    TapulBox room = inside(&parts->format);
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .italic = TRUE, .colour = TAPUL_QUIET};
    g_autofree char *words =
        g_strdup_printf("Evidence sheet %d of 2, %s", number, parts->print->id);
    tapul_page_begin_group(page, "foot", "Foot", NULL);
    tapul_page_text(page, tapul_vec2(room.min.x, parts->format.margin_mm + 0.8), words, &type);
    tapul_page_end_group(page);
}

/* --- The verdict --- */

/* Figures stay on one line with their units and their names. */
static char *bound(const char *text) {
    g_autoptr(GRegex) blank = g_regex_new(" (?=mm\\b|%|= )|(?<= =) ", 0, 0, NULL);
    g_autofree char *minus = tapul_minus_signs(text);
    return g_regex_replace_literal(blank, minus, -1, 0, "\u00a0", 0, NULL);
}

/* In two columns, since a line of A4's width is hard to follow. Returns the y below. */
static double set_verdict(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts) {
    TapulType type = {.size_mm = parts->format.text_mm, .colour = TAPUL_BLACK};
    double width_mm = room.max.x - room.min.x;
    double column_mm = (width_mm - VERDICT_GAP_MM) / 2, line_mm = TAPUL_LEADING * type.size_mm;
    g_autofree char *whole = bound(parts->found->verdict);
    tapul_page_begin_group(page, "verdict", "Verdict", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_mm, "Verdict",
                                 &parts->format);
    guint most = (guint)fmax(floor((y - room.min.y - LEAST_FIGURE_MM) / line_mm), 4);
    g_autofree char *words = tapul_text_shortened(whole, column_mm, 2 * most, &type);
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(words, column_mm, &type);
    guint rows = (lines->len + 1) / 2;
    for (guint i = 0; i < lines->len; i++)
        tapul_set_paragraph(page,
                            tapul_vec2(room.min.x + (i < rows ? 0 : column_mm + VERDICT_GAP_MM),
                                       y - (i % rows) * line_mm),
                            2 * column_mm, lines->pdata[i], &type);
    tapul_page_end_group(page);
    return y - rows * line_mm;
}

/* --- The figure --- */

/* Legend and pairs beside the overlay. */
static void set_beside(TapulPage *page, TapulBox figure, TapulBox side,
                       TapulEvidenceParts *parts) {
    tapul_evidence_overlay(page, figure, parts);
    side.max.y = tapul_evidence_legend(page, side, parts) - GAP_MM;
    tapul_evidence_pairs(page, side, 1, parts);
}

/* Below it. */
static void set_below(TapulPage *page, TapulBox figure, TapulBox room,
                      TapulEvidenceParts *parts) {
    room.max.y = tapul_evidence_overlay(page, figure, parts) - GAP_MM;
    TapulBox left = room, right = room;
    left.max.x = left.min.x + SIDE_MM;
    right.min.x = left.max.x + GAP_MM;
    tapul_evidence_legend(page, left, parts);
    tapul_evidence_pairs(page, right, 2, parts);
}

/* Whichever way shows more. */
static void set_figure(TapulPage *page, TapulBox room, TapulEvidenceParts *parts) {
    TapulBox narrow = room, low = room, side = room;
    narrow.max.x -= SIDE_MM + GAP_MM;
    side.min.x = side.max.x - SIDE_MM;
    low.min.y += BELOW_MM + GAP_MM;
    if (tapul_evidence_scale(low, parts) > tapul_evidence_scale(narrow, parts))
        set_below(page, low, room, parts);
    else
        set_beside(page, narrow, side, parts);
}

/* --- The pages --- */

TapulPage *tapul_sheet_evidence(const TapulEvidenceSheet *sheet) {
    TapulEvidenceParts parts = parts_of(sheet);
    TapulPage *page = blank_page(&parts, parts.found->verdict);
    TapulBox room = inside(&parts.format);
    room.max.y = set_title(page, &parts, "The evidence");
    room.max.y = set_verdict(page, room, &parts) - GAP_MM;
    tapul_evidence_lay(&parts);
    set_figure(page, room, &parts);
    set_foot(page, &parts, 1);
    g_ptr_array_unref(parts.laid);
    return page;
}

TapulPage *tapul_sheet_evidence_figures(const TapulEvidenceSheet *sheet) {
    TapulEvidenceParts parts = parts_of(sheet);
    TapulPage *page = blank_page(&parts, "The figures that the verdict rests on");
    TapulBox room = inside(&parts.format);
    gboolean curves = parts.found->match->len > 0;
    room.max.y = set_title(page, &parts, "The figures");
    TapulBox upper = room;
    upper.min.y += LOWER_MM + GAP_MM + (curves ? CURVES_MM + GAP_MM : 0);
    room.max.y = tapul_evidence_hypotheses(page, upper, &parts) - GAP_MM;
    if (curves) {
        TapulBox middle = room;
        middle.min.y = middle.max.y - CURVES_MM;
        room.max.y = tapul_evidence_curves(page, middle, &parts) - GAP_MM;
    }
    TapulBox left = room, right = room;
    left.max.x = (room.min.x + room.max.x - GAP_MM) / 2;
    right.min.x = left.max.x + GAP_MM;
    tapul_evidence_figures(page, left, &parts);
    tapul_evidence_motifs(page, right, &parts);
    set_foot(page, &parts, 2);
    return page;
}
