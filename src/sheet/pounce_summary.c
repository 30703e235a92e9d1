/* The first pages of the maker's papers: what they are, how to join and use them, and the
 * figures to check them by. */
#include "sheet/pounce_summary.h"

#include "sheet/shortened.h"

#define FOOT_MM        6.0
#define FIGURES_MM     92.0 /* of the first page */
#define AFTER_EMS      0.9  /* below a part */
#define TITLE_EMS      2.1
#define SUBTITLE_EMS   1.1
#define BLOCK_AFTER_MM 5.0
#define NOTES_EMS      1.1

/* --- Setting --- */

TapulPage *tapul_summary_page(const TapulPounceSummary *summary) {
    return summary->made->pdata[summary->made->len - 1];
}

double tapul_summary_width_mm(const TapulPounceSummary *summary) {
    return summary->format.width_mm - 2 * summary->format.margin_mm;
}

double tapul_summary_room_mm(const TapulPounceSummary *summary) {
    return summary->y - summary->format.margin_mm - FOOT_MM;
}

void tapul_summary_part(TapulPounceSummary *summary, TapulPart part, const char *text,
                        const TapulType *type) {
    TapulPage *page = tapul_summary_page(summary);
    TapulVec2 at = {summary->format.margin_mm, summary->y};
    tapul_page_begin_part(page, part, NULL);
    summary->y = tapul_set_paragraph(page, at, tapul_summary_width_mm(summary), text, type);
    tapul_page_end_part(page);
}

/* Pages are laid apart on a bench: each says what it belongs to. */
static void set_running_head(TapulPounceSummary *summary) {
    const char *title = summary->pages->question->title;
    TapulType type = {.size_mm = SUBTITLE_EMS * summary->format.text_mm,
                      .italic = TRUE,
                      .colour = TAPUL_WORK_BLACK};
    g_autofree char *shown =
        tapul_text_shortened(title, tapul_summary_width_mm(summary), 1, &type);
    tapul_summary_part(summary, TAPUL_PART_TITLE, shown, &type);
    summary->y -= AFTER_EMS * type.size_mm;
}

void tapul_summary_turn(TapulPounceSummary *summary, const char *title) {
    const TapulCase *question = summary->pages->question;
    TapulVec2 size = {summary->format.width_mm, summary->format.height_mm};
    g_autofree char *whole = g_strdup_printf("%s: %s", question->title, title);
    TapulPage *page =
        tapul_page_new(size.x, size.y, whole, "How to use the maker\u2019s papers");
    g_autoptr(TapulPath) ground = tapul_box_path((TapulBox){{0, 0}, size});
    tapul_page_path(page, ground, &(TapulPen){.fill = TAPUL_WORK_WHITE});
    tapul_page_set_author(page, question->sheet.author);
    tapul_page_set_outline(page, title);
    g_ptr_array_add(summary->made, page);
    summary->y = size.y - summary->format.margin_mm;
    if (summary->made->len > 1)
        set_running_head(summary);
}

void tapul_summary_heading(TapulPounceSummary *summary, const char *text) {
    TapulPage *page = tapul_summary_page(summary);
    tapul_page_begin_part(page, TAPUL_PART_HEADING, NULL);
    TapulVec2 at = {summary->format.margin_mm, summary->y};
    summary->y =
        tapul_set_heading(page, at, tapul_summary_width_mm(summary), text, &summary->format);
    tapul_page_end_part(page);
}

void tapul_summary_paragraph(TapulPounceSummary *summary, const char *text) {
    TapulType type = {.size_mm = summary->format.text_mm, .colour = TAPUL_WORK_BLACK};
    tapul_summary_part(summary, TAPUL_PART_PARAGRAPH, text, &type);
    summary->y -= AFTER_EMS * type.size_mm;
}

void tapul_summary_block(TapulPounceSummary *summary, double text_mm, const char *heading,
                         const char *const *lines) {
    double width_mm = tapul_summary_width_mm(summary);
    if (-tapul_pounce_set_block(NULL, tapul_vec2(0, 0), width_mm, text_mm, heading, lines) >
        tapul_summary_room_mm(summary))
        tapul_summary_turn(summary, heading);
    TapulPage *page = tapul_summary_page(summary);
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    summary->y = tapul_pounce_set_block(page, tapul_vec2(summary->format.margin_mm, summary->y),
                                        width_mm, text_mm, heading, lines) -
                 BLOCK_AFTER_MM;
    tapul_page_end_part(page);
}

/* --- The head --- */

static void set_head(TapulPounceSummary *summary) {
    const TapulCase *question = summary->pages->question;
    const TapulPounce *pounce = summary->pages->pounce;
    double em = summary->format.text_mm, width_mm = tapul_summary_width_mm(summary);
    TapulType title = {.size_mm = TITLE_EMS * em, .colour = TAPUL_WORK_BLACK};
    TapulType subtitle = {
        .size_mm = SUBTITLE_EMS * em, .italic = TRUE, .colour = TAPUL_WORK_BLACK};
    g_autofree char *about = g_strdup_printf(
        "Papers for the plate: %s. %u %s on %u %s of %g \u00d7 %g mm, at full size; the design "
        "%s. The paper is asked to stretch by %.2f %% at most.",
        tapul_plate_name(question->plate), pounce->pieces->len,
        pounce->pieces->len == 1 ? "piece" : "pieces", pounce->tiling->used->len,
        pounce->tiling->used->len == 1 ? "page" : "pages", pounce->tiling->tile_width_mm,
        pounce->tiling->tile_height_mm,
        question->pounce.face_down ? "mirrored, to be laid face down" : "face up",
        100 * pounce->pattern->stretch);
    g_autofree char *short_title = tapul_text_shortened(question->title, width_mm, 2, &title);
    tapul_summary_part(summary, TAPUL_PART_TITLE, short_title, &title);
    tapul_summary_part(summary, TAPUL_PART_PARAGRAPH, about, &subtitle);
    summary->y -= AFTER_EMS * em;
}

/* --- Notes --- */

/* A report's lines begin small and end without a stop. */
static char *as_sentence(const char *note) {
    char first[8] = {0};
    g_unichar_to_utf8(g_unichar_totitle(g_utf8_get_char(note)), first);
    gboolean ended = g_str_has_suffix(note, ".");
    return g_strconcat(first, g_utf8_next_char(note), ended ? NULL : ".", NULL);
}

static void set_notes(TapulPounceSummary *summary) {
    char *const *notes = summary->pages->notes;
    g_autoptr(GPtrArray) sentences = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; notes && notes[i]; i++)
        if (notes[i][0])
            g_ptr_array_add(sentences, as_sentence(notes[i]));
    if (sentences->len == 0)
        return;
    g_ptr_array_add(sentences, NULL);
    tapul_summary_block(summary, NOTES_EMS * summary->format.text_mm, "Before you begin",
                        (const char *const *)sentences->pdata);
}

/* --- Pages --- */

void tapul_summary_feet(const TapulPounceSummary *summary, const char *name) {
    const TapulFormat *format = &summary->format;
    const char *credit = summary->pages->question->credit;
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .italic = TRUE, .colour = TAPUL_QUIET};
    double credit_mm = 0.8 * tapul_summary_width_mm(summary);
    g_autofree char *shown = tapul_text_shortened(credit ? credit : "", credit_mm, 1, &type);
    for (guint i = 0; i < summary->made->len; i++) {
        TapulPage *page = summary->made->pdata[i];
        g_autofree char *number =
            g_strdup_printf("%s, page %u of %u", name, i + 1, summary->made->len);
        type.align = TAPUL_ALIGN_LEFT;
        tapul_page_text(page, tapul_vec2(format->margin_mm, format->margin_mm), shown, &type);
        type.align = TAPUL_ALIGN_RIGHT;
        tapul_page_text(page,
                        tapul_vec2(format->width_mm - format->margin_mm, format->margin_mm),
                        number, &type);
    }
}

GPtrArray *tapul_sheet_pounce_summary(const TapulPouncePages *pages) {
    TapulPounceSummary summary = {
        pages, TAPUL_SUMMARY_FORMAT,
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free), 0};
    tapul_summary_turn(&summary, "Papers");
    set_head(&summary);
    tapul_summary_figures(&summary, FIGURES_MM);
    set_notes(&summary);
    tapul_summary_steps(&summary);
    tapul_summary_pieces(&summary);
    tapul_summary_seams(&summary);
    tapul_summary_tapes(&summary);
    if (pages->pounce->resist)
        tapul_summary_etching(&summary);
    tapul_summary_feet(&summary, "summary");
    return summary.made;
}
