/* The summary's tables: pieces, seams, and what a tape shows between crosses. */
#include "sheet/pounce_summary.h"

#include "sheet/page_items.h"

#define TEXT_MM    2.8
#define ASCENT_EMS 0.86
#define PAD_MM     4.0 /* between columns */
#define GAP_MM     7.0 /* between tables side by side */
#define AFTER_MM   3.0
/* A longer table than a page is begun where it has room for so many rows. */
#define LEAST_ROWS 4
/* What stands over the rows, in rows: a heading, a note, the heads of the columns. */
#define HEAD_ROWS 5
/* More rows stand in two columns. */
#define MOST_IN_ONE 4
/* Lists of tape lengths side by side. */
#define TAPES_BESIDE 4

static double step_mm(void) {
    return TAPUL_LEADING * TEXT_MM;
}

/* --- Setting --- */

static double table_mm(const TapulSummaryColumn *columns, int n) {
    double width_mm = 0;
    for (int i = 0; i < n; i++)
        width_mm += columns[i].width_mm;
    return width_mm;
}

static void set_row(TapulPage *page, TapulVec2 at, const TapulSummaryColumn *columns, int n,
                    const char *const *cells, gboolean head) {
    TapulType type = {.size_mm = TEXT_MM, .italic = head, .colour = TAPUL_WORK_BLACK};
    tapul_page_begin_part(page, TAPUL_PART_ROW, NULL);
    for (int i = 0; i < n; i++) {
        type.align = columns[i].align;
        double x = at.x + (type.align == TAPUL_ALIGN_RIGHT ? columns[i].width_mm - PAD_MM : 0);
        tapul_page_begin_part(page, TAPUL_PART_CELL, NULL);
        tapul_page_text(page, tapul_vec2(x, at.y - ASCENT_EMS * TEXT_MM), cells[i], &type);
        tapul_page_end_part(page);
        at.x += columns[i].width_mm;
    }
    tapul_page_end_part(page);
}

static double set_rows(TapulPage *page, TapulVec2 at, const TapulSummaryColumn *columns, int n,
                       const char *const *cells, int rows) {
    g_autofree const char **heads = g_new(const char *, n);
    for (int i = 0; i < n; i++)
        heads[i] = columns[i].head;
    tapul_page_begin_part(page, TAPUL_PART_TABLE, NULL);
    set_row(page, at, columns, n, heads, TRUE);
    at.y -= step_mm();
    tapul_rule(page, at, table_mm(columns, n) - PAD_MM);
    at.y -= 0.3 * TEXT_MM;
    for (int i = 0; i < rows; i++) {
        set_row(page, at, columns, n, cells + (gsize)i * (gsize)n, FALSE);
        at.y -= step_mm();
    }
    tapul_page_end_part(page);
    return at.y;
}

void tapul_summary_table(TapulPounceSummary *summary, const TapulSummaryColumn *columns,
                         int n_columns, const GPtrArray *cells, int side_by_side) {
    int left = (int)cells->len / n_columns;
    const char *const *next = (const char *const *)cells->pdata;
    while (left > 0) {
        int room = (int)(tapul_summary_room_mm(summary) / step_mm()) - 2;
        int rows = MIN((left + side_by_side - 1) / side_by_side, MAX(room, 1));
        double y = summary->y, lowest = y;
        for (int i = 0; i < side_by_side && left > 0; i++) {
            int here = MIN(rows, left);
            TapulVec2 at = {
                summary->format.margin_mm + i * (table_mm(columns, n_columns) + GAP_MM), y};
            lowest = fmin(lowest, set_rows(tapul_summary_page(summary), at, columns, n_columns,
                                           next, here));
            next += (gsize)here * (gsize)n_columns;
            left -= here;
        }
        summary->y = lowest - AFTER_MM;
        if (left > 0)
            tapul_summary_turn(summary, "Tables");
    }
}

static int rows_of(gsize entries, int side_by_side) {
    return ((int)entries + side_by_side - 1) / side_by_side;
}

/* A table that a page holds whole is not broken; of another a few rows at least stand with its
 * heading. */
static void begin_table(TapulPounceSummary *summary, const char *heading, int rows) {
    double whole_mm = (rows + HEAD_ROWS) * step_mm();
    double page_mm = summary->format.height_mm - 3 * summary->format.margin_mm;
    double least_mm = whole_mm < page_mm ? whole_mm : (LEAST_ROWS + HEAD_ROWS) * step_mm();
    if (tapul_summary_room_mm(summary) < least_mm)
        tapul_summary_turn(summary, "Tables");
    tapul_summary_heading(summary, heading);
}

static void add(GPtrArray *cells, const char *format, ...) G_GNUC_PRINTF(2, 3);

static void add(GPtrArray *cells, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_ptr_array_add(cells, g_strdup_vprintf(format, arguments));
    va_end(arguments);
}

/* --- Tables --- */

void tapul_summary_pieces(TapulPounceSummary *summary) {
    static const TapulSummaryColumn columns[] = {{"piece", 12, TAPUL_ALIGN_LEFT},
                                                 {"wide, mm", 17, TAPUL_ALIGN_RIGHT},
                                                 {"high, mm", 17, TAPUL_ALIGN_RIGHT},
                                                 {"stretch, %", 19, TAPUL_ALIGN_RIGHT},
                                                 {"shrink, %", 19, TAPUL_ALIGN_RIGHT}};
    const GPtrArray *pieces = summary->pages->pounce->pieces;
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < pieces->len; i++) {
        const TapulPouncePiece *piece = pieces->pdata[i];
        const TapulStretchSummary *stretch = &piece->piece->development->stretch;
        TapulBox box = tapul_path_box(piece->cut);
        add(cells, "%d", piece->number);
        add(cells, "%.0f", box.max.x - box.min.x);
        add(cells, "%.0f", box.max.y - box.min.y);
        add(cells, "%.2f", 100 * fmax(stretch->max - 1, 0));
        add(cells, "%.2f", 100 * fmax(1 - stretch->min, 0));
    }
    int beside = pieces->len > MOST_IN_ONE ? 2 : 1;
    begin_table(summary, "Pieces, and how much each asks of the paper",
                rows_of(pieces->len, beside));
    tapul_summary_table(summary, columns, (int)G_N_ELEMENTS(columns), cells, beside);
}

static double seam_mm(const TapulPattern *pattern, const TapulSeam *seam) {
    const TapulPiece *piece = pattern->pieces->pdata[seam->piece[0]];
    const TapulVec2 *flat = piece->development->flat_mm;
    double length_mm = 0;
    for (int i = 0; i + 1 < seam->n; i++)
        length_mm +=
            tapul_vec2_distance(flat[seam->vertex[0][i]], flat[seam->vertex[0][i + 1]]);
    return length_mm;
}

void tapul_summary_seams(TapulPounceSummary *summary) {
    static const TapulSummaryColumn columns[] = {{"seam", 12, TAPUL_ALIGN_LEFT},
                                                 {"joins", 31, TAPUL_ALIGN_LEFT},
                                                 {"long, mm", 18, TAPUL_ALIGN_RIGHT},
                                                 {"goes under", 23, TAPUL_ALIGN_LEFT}};
    const TapulPattern *pattern = summary->pages->pounce->pattern;
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < pattern->seams->len; i++) {
        const TapulSeam *seam = pattern->seams->pdata[i];
        int left = seam->piece[0] + 1, right = seam->piece[1] + 1;
        g_ptr_array_add(cells, tapul_pounce_seam_name((int)i));
        if (left == right)
            add(cells, "piece %d, a dart", left);
        else
            add(cells, "pieces %d and %d", left, right);
        add(cells, "%.1f", seam_mm(pattern, seam));
        if (left == right)
            add(cells, "its strip");
        else
            add(cells, "piece %d", left);
    }
    if (pattern->seams->len == 0)
        return;
    int beside = pattern->seams->len > MOST_IN_ONE ? 2 : 1;
    begin_table(summary, "Seams", rows_of(pattern->seams->len, beside));
    tapul_summary_table(summary, columns, (int)G_N_ELEMENTS(columns), cells, beside);
}

static TapulVec2 cross_mm(const TapulPouncePiece *piece, int name) {
    for (guint i = 0; i < piece->crosses->len; i++) {
        const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
        if (cross->name == name)
            return cross->at_mm;
    }
    g_assert_not_reached();
}

/* How far the flat paper shows other lengths than the tape: what it stretches or shrinks, and
 * where the straight way leaves a piece more. */
static double most_off_percent(const GPtrArray *pieces) {
    double most = 0;
    for (guint i = 0; i < pieces->len; i++) {
        const TapulPouncePiece *piece = pieces->pdata[i];
        for (guint k = 0; k < piece->tapes->len; k++) {
            const TapulTapeLength *tape = &g_array_index(piece->tapes, TapulTapeLength, k);
            double flat_mm =
                tapul_vec2_distance(cross_mm(piece, tape->from), cross_mm(piece, tape->to));
            most = fmax(most, fabs(flat_mm / tape->length_mm - 1));
        }
    }
    return 100 * most;
}

void tapul_summary_tapes(TapulPounceSummary *summary) {
    static const TapulSummaryColumn columns[] = {{"piece", 11, TAPUL_ALIGN_LEFT},
                                                 {"crosses", 14, TAPUL_ALIGN_LEFT},
                                                 {"mm", 15, TAPUL_ALIGN_RIGHT}};
    const GPtrArray *pieces = summary->pages->pounce->pieces;
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < pieces->len; i++) {
        const TapulPouncePiece *piece = pieces->pdata[i];
        for (guint k = 0; k < piece->tapes->len; k++) {
            const TapulTapeLength *tape = &g_array_index(piece->tapes, TapulTapeLength, k);
            add(cells, "%d", piece->number);
            add(cells, "%d \u2013 %d", tape->from, tape->to);
            add(cells, "%.1f", tape->length_mm);
        }
    }
    if (cells->len == 0)
        return;
    begin_table(summary, "What a tape laid over the metal shows between crosses",
                rows_of(cells->len / G_N_ELEMENTS(columns), TAPES_BESIDE));
    g_autofree char *note = g_strdup_printf(
        "The lengths are those over the metal. On the flat paper the same crosses lie "
        "nearer or further by at most %.1f %%.",
        ceil(10 * most_off_percent(pieces)) / 10);
    tapul_summary_paragraph(summary, note);
    tapul_summary_table(summary, columns, (int)G_N_ELEMENTS(columns), cells, TAPES_BESIDE);
}
