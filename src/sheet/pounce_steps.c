/* What to do with the papers, step by step: the summary's. */
#include "sheet/pounce_summary.h"

#define NUMBER_MM      5.0 /* of a step, before its text */
#define STEP_AFTER_EMS 0.35
#define AFTER_EMS      0.9 /* below the last */

void tapul_summary_step(TapulPounceSummary *summary, int number, const char *text) {
    TapulType type = {.size_mm = summary->format.text_mm, .colour = TAPUL_WORK_BLACK};
    double width_mm = tapul_summary_width_mm(summary) - NUMBER_MM;
    if (-tapul_set_paragraph(NULL, tapul_vec2(0, 0), width_mm, text, &type) >
        tapul_summary_room_mm(summary))
        tapul_summary_turn(summary, "What to do");
    TapulPage *page = tapul_summary_page(summary);
    TapulVec2 at = {summary->format.margin_mm, summary->y};
    g_autofree char *figure = g_strdup_printf("%d", number);
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_set_paragraph(page, at, NUMBER_MM, figure, &type);
    at.x += NUMBER_MM;
    summary->y =
        tapul_set_paragraph(page, at, width_mm, text, &type) - STEP_AFTER_EMS * type.size_mm;
    tapul_page_end_part(page);
}

/* --- Seams --- */

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

static void say_darts(GString *text, const GArray *order, guint n_darts) {
    if (n_darts == 0)
        return;
    g_string_append(text, n_darts > 1 ? "Close the darts first: seams "
                                      : "Close the dart first: seam ");
    for (guint i = 0; i < n_darts; i++) {
        g_autofree char *name = tapul_pounce_seam_name(g_array_index(order, int, i));
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "", name);
    }
    g_string_append(text, ". ");
}

static void say_seams(GString *text, const TapulPattern *pattern) {
    guint n_darts;
    g_autoptr(GArray) order = order_of_seams(pattern, &n_darts);
    say_darts(text, order, n_darts);
    for (guint i = n_darts; i < order->len; i++) {
        int seam = g_array_index(order, int, i);
        const TapulSeam *joined = pattern->seams->pdata[seam];
        const char *first = n_darts > 0 ? "Then join" : "Join";
        g_autofree char *name = tapul_pounce_seam_name(seam);
        g_string_append_printf(text, "%s piece %d to %d by seam %s", i > n_darts ? "," : first,
                               joined->piece[0] + 1, joined->piece[1] + 1, name);
    }
    if (order->len > n_darts)
        g_string_append(text, ". ");
    g_string_append(text,
                    "Notches of the same name meet, a1 on a1, and the neighbour\u2019s edge "
                    "lies along the line of dashes and dots: the allowance beyond it goes "
                    "under, and shows the design that it will lie under.");
}

/* --- Steps --- */

static char *resist_in_short(const TapulResist *resist) {
    return g_strdup_printf(
        "For etching there %s, of pages of %s own that begin with what to do and all "
        "cautions: black is resist and stays, white within the outlines is bare metal and is "
        "bitten. Cover the "
        "back, the edges and everything off the papers with resist too, and try on scrap "
        "first.",
        resist->bites->len > 1 ? "is a resist for each bite" : "is a resist",
        resist->bites->len > 1 ? "their" : "its");
}

void tapul_summary_steps(TapulPounceSummary *summary) {
    const TapulPounce *pounce = summary->pages->pounce;
    int step = 1;
    tapul_summary_heading(summary, "What to do");
    tapul_summary_step(
        summary, step++,
        "Print at 100 %, without fitting to the page. Measure the bar and the square of "
        "every page: 100 mm, and 50 mm both ways. If they differ, print anew: nothing else "
        "will fit.");
    if (pounce->tiling->used->len > 1)
        tapul_summary_step(
            summary, step++,
            "Join the tiles of a row, then the rows: trim a tile at its thick ticks, lay "
            "the edge on the thin ticks and the broken line of its neighbour to the left, "
            "or above, and glue.");
    tapul_summary_step(
        summary, step++,
        "Cut along the full lines. Crosses of one number are one place of the metal: prick "
        "their middles before all else.");
    if (pounce->pattern->seams->len > 0) {
        g_autoptr(GString) text = g_string_new(NULL);
        say_seams(text, pounce->pattern);
        tapul_summary_step(summary, step++, text->str);
    }
    tapul_summary_step(
        summary, step++,
        summary->pages->question->pounce.face_down
            ? "Tape the paper to the metal face down, the arrows to the plate\u2019s upper "
              "edge. Lay a tape over the metal between the crosses: it must show the "
              "lengths of the table."
            : "Tape the paper to the metal, this side up, the arrows to the plate\u2019s "
              "upper edge. Lay a tape over the metal between the crosses: it must show the "
              "lengths of the table.");
    if (pounce->resist) {
        g_autofree char *text = resist_in_short(pounce->resist);
        tapul_summary_step(summary, step, text);
    }
    summary->y -= AFTER_EMS * summary->format.text_mm;
}
