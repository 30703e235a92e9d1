/* The first pages of the maker's papers: what they are, how to join and use them, and the
 * figures to check them by. */
#include "sheet/pounce_summary.h"

#include "sheet/shortened.h"

/* A4, ISO 216. */
static const TapulFormat a4 = {210, 297, 15, 3.1};

#define FOOT_MM        6.0
#define FIGURES_MM     104.0 /* of the first page */
#define AFTER_EMS      0.9   /* below a part */
#define TITLE_EMS      2.1
#define SUBTITLE_EMS   1.1
#define NUMBER_MM      5.0 /* of a step, before its text */
#define STEP_AFTER_EMS 0.35

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

static void set_part(TapulPounceSummary *summary, TapulPart part, const char *text,
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
    set_part(summary, TAPUL_PART_TITLE, shown, &type);
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
    set_part(summary, TAPUL_PART_PARAGRAPH, text, &type);
    summary->y -= AFTER_EMS * type.size_mm;
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
    set_part(summary, TAPUL_PART_TITLE, short_title, &title);
    set_part(summary, TAPUL_PART_PARAGRAPH, about, &subtitle);
    summary->y -= AFTER_EMS * em;
}

/* --- What to do --- */

/* Darts, then seams so that each joins a piece to those that hang together already, then what
 * is left: seams that close a ring. */
static GArray *order_of_seams(const TapulPattern *pattern, guint *n_darts) {
    GArray *order = g_array_new(FALSE, FALSE, sizeof(int));
    g_autofree gboolean *joined = g_new0(gboolean, MAX(pattern->pieces->len, 1));
    g_autofree gboolean *done = g_new0(gboolean, MAX(pattern->seams->len, 1));
    for (int i = 0; i < (int)pattern->seams->len; i++) {
        const TapulSeam *seam = pattern->seams->pdata[i];
        done[i] = seam->piece[0] == seam->piece[1];
        if (done[i])
            g_array_append_val(order, i);
    }
    *n_darts = order->len;
    joined[0] = TRUE;
    for (gboolean hangs = TRUE; order->len < pattern->seams->len;) {
        guint before = order->len;
        for (int i = 0; i < (int)pattern->seams->len; i++) {
            const TapulSeam *seam = pattern->seams->pdata[i];
            gboolean first = joined[seam->piece[0]], second = joined[seam->piece[1]];
            if (done[i] || (hangs && first == second))
                continue;
            joined[seam->piece[0]] = joined[seam->piece[1]] = done[i] = TRUE;
            g_array_append_val(order, i);
        }
        hangs = order->len > before;
    }
    return order;
}

static void say_seams(GString *text, const TapulPattern *pattern) {
    guint n_darts;
    g_autoptr(GArray) order = order_of_seams(pattern, &n_darts);
    if (n_darts > 0)
        g_string_append(text, n_darts > 1 ? "Close the darts first: seams "
                                          : "Close the dart first: seam ");
    for (guint i = 0; i < n_darts; i++)
        g_string_append_printf(text, "%s%d", i > 0 ? ", " : "",
                               g_array_index(order, int, i) + 1);
    if (n_darts > 0)
        g_string_append(text, ". ");
    for (guint i = n_darts; i < order->len; i++) {
        int seam = g_array_index(order, int, i);
        const TapulSeam *joined = pattern->seams->pdata[seam];
        const char *first = n_darts > 0 ? "Then join" : "Join";
        g_string_append_printf(text, "%s piece %d to %d by seam %d", i > n_darts ? "," : first,
                               joined->piece[0] + 1, joined->piece[1] + 1, seam + 1);
    }
    if (order->len > n_darts)
        g_string_append(text, ". ");
    g_string_append(text,
                    "Notches of the same name meet, 1a on 1a, and the neighbour\u2019s edge "
                    "lies along the line of dashes and dots: the allowance beyond it goes "
                    "under, and shows the design that it will lie under.");
}

static void set_step(TapulPounceSummary *summary, int number, const char *text) {
    TapulPage *page = tapul_summary_page(summary);
    TapulType type = {.size_mm = summary->format.text_mm, .colour = TAPUL_WORK_BLACK};
    TapulVec2 at = {summary->format.margin_mm, summary->y};
    g_autofree char *figure = g_strdup_printf("%d", number);
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_set_paragraph(page, at, NUMBER_MM, figure, &type);
    at.x += NUMBER_MM;
    summary->y = tapul_set_paragraph(page, at, tapul_summary_width_mm(summary) - NUMBER_MM,
                                     text, &type) -
                 STEP_AFTER_EMS * type.size_mm;
    tapul_page_end_part(page);
}

static void set_steps(TapulPounceSummary *summary) {
    const TapulPounce *pounce = summary->pages->pounce;
    int step = 1;
    tapul_summary_heading(summary, "What to do");
    set_step(
        summary, step++,
        "Print at 100 %, without fitting to the page. Measure the bar and the square of "
        "every page: 100 mm, and 50 mm both ways. If they differ, print anew: nothing else "
        "will fit.");
    if (pounce->tiling->used->len > 1)
        set_step(summary, step++,
                 "Join the tiles of a row, then the rows: trim a tile at its thick ticks, lay "
                 "the edge on the thin ticks and the broken line of its neighbour to the left, "
                 "or above, and glue.");
    set_step(
        summary, step++,
        "Cut along the full lines. Crosses of one number are one place of the metal: prick "
        "their middles before all else.");
    if (pounce->pattern->seams->len > 0) {
        g_autoptr(GString) text = g_string_new(NULL);
        say_seams(text, pounce->pattern);
        set_step(summary, step++, text->str);
    }
    set_step(
        summary, step,
        summary->pages->question->pounce.face_down
            ? "Tape the paper to the metal face down, the arrows to the plate\u2019s upper "
              "edge. Lay a tape over the metal between the crosses: it must show the "
              "lengths of the table."
            : "Tape the paper to the metal, this side up, the arrows to the plate\u2019s "
              "upper edge. Lay a tape over the metal between the crosses: it must show the "
              "lengths of the table.");
    summary->y -= AFTER_EMS * summary->format.text_mm;
}

/* --- Pages --- */

static void set_feet(const TapulPounceSummary *summary) {
    const TapulFormat *format = &summary->format;
    const char *credit = summary->pages->question->credit;
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .italic = TRUE, .colour = TAPUL_QUIET};
    double credit_mm = 0.8 * tapul_summary_width_mm(summary);
    g_autofree char *shown = tapul_text_shortened(credit ? credit : "", credit_mm, 1, &type);
    for (guint i = 0; i < summary->made->len; i++) {
        TapulPage *page = summary->made->pdata[i];
        g_autofree char *number =
            g_strdup_printf("summary, page %u of %u", i + 1, summary->made->len);
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
        pages, a4, g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free), 0};
    tapul_summary_turn(&summary, "Papers");
    set_head(&summary);
    tapul_summary_figures(&summary, FIGURES_MM);
    set_steps(&summary);
    tapul_summary_pieces(&summary);
    tapul_summary_seams(&summary);
    tapul_summary_tapes(&summary);
    if (pages->pounce->resist)
        tapul_summary_etching(&summary);
    set_feet(&summary);
    return summary.made;
}
