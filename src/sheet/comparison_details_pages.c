/* How details fill pages: in rows over the grid's columns, at one round scale a page.
 *
 * Every division among up to three pages is weighed (R. Bellman's dynamic programming): the sum
 * of the logarithms of the scales at which the details are seen is to be as large as can be.
 */
#include "sheet/comparison_details.h"

#define MOST_PAGES 3
/* Larger than this, hatching looks coarse (judged by eye on the demonstration's prints). */
#define MOST_SCALE 3.0
/* A scale just below a round one, so that the next round one is found: they lie further apart.
 */
#define BELOW       0.98
#define LEAST_SCALE 0.02
/* A further page must enlarge the details by this, in the geometric mean. */
#define PAGE_WORTH 1.6
/* A page of several prints is as good as one at so much smaller a scale. */
#define MIXED_WORTH 1.25
/* In steps of the captions' lines. */
#define PAIR_GAP_STEPS    0.5
#define CAPTION_GAP_STEPS 0.7
#define ROW_GAP_STEPS     1.6
/* A caption is no narrower than this, in ems of its text. */
#define LEAST_CAPTION_EMS 10.0
/* For measuring: no figure's number is wider. */
#define WIDEST_NUMBER "88"

typedef struct {
    const TapulComparisonBook *book;
    const GPtrArray *details;
    double room_mm;
    double *captions_mm; /* [details][columns]: height over 1, 2, ... columns */
} Fitting;

int tapul_details_most(TapulPaper paper) {
    static const int most[] = {[TAPUL_PAPER_A5] = 6,
                               [TAPUL_PAPER_A4] = 12,
                               [TAPUL_PAPER_A3] = 16,
                               [TAPUL_PAPER_A2] = 20,
                               [TAPUL_PAPER_SCREEN] = 8};
    return most[paper];
}

double tapul_detail_gap_mm(const TapulComparisonBook *book) {
    return PAIR_GAP_STEPS * book->leaf.step_mm;
}

double tapul_details_caption_gap_mm(const TapulComparisonBook *book) {
    return CAPTION_GAP_STEPS * book->leaf.step_mm;
}

double tapul_details_row_gap_mm(const TapulComparisonBook *book) {
    return ROW_GAP_STEPS * book->leaf.step_mm;
}

TapulVec2 tapul_detail_size_mm(const TapulComparisonBook *book, const TapulDetail *detail,
                               double scale) {
    TapulVec2 print = tapul_vec2_sub(detail->print_mm.max, detail->print_mm.min);
    TapulVec2 plate = tapul_vec2_sub(detail->plate_mm.max, detail->plate_mm.min);
    if (tapul_box_is_empty(detail->plate_mm))
        return tapul_vec2_scale(print, scale);
    return tapul_vec2(scale * (print.x + plate.x) + tapul_detail_gap_mm(book),
                      scale * fmax(print.y, plate.y));
}

double tapul_details_rows_mm(const TapulComparisonBook *book, const GArray *rows) {
    double sum = 0;
    for (guint i = 0; i < rows->len; i++) {
        const TapulDetailRow *row = &g_array_index(rows, TapulDetailRow, i);
        sum += row->figures_mm + tapul_details_caption_gap_mm(book) + row->captions_mm +
               (i > 0 ? tapul_details_row_gap_mm(book) : 0);
    }
    return sum;
}

/* --- Rows --- */

static double *measure_captions(const TapulComparisonBook *book, const GPtrArray *details) {
    const TapulLeaf *leaf = &book->leaf;
    double *heights = g_new(double, details->len *(guint)leaf->columns);
    for (guint i = 0; i < details->len; i++)
        for (int columns = 1; columns <= leaf->columns; columns++) {
            const TapulDetail *detail = g_ptr_array_index(details, i);
            heights[(int)i * leaf->columns + columns - 1] = -tapul_leaf_caption(
                leaf, NULL, tapul_vec2(0, 0), tapul_leaf_columns_mm(leaf, columns),
                WIDEST_NUMBER, detail->label, detail->text);
        }
    return heights;
}

/* The columns that a detail takes at a scale; more than there are: it is too wide. */
static int columns_of(const Fitting *fitting, int i, double scale) {
    const TapulLeaf *leaf = &fitting->book->leaf;
    double caption = LEAST_CAPTION_EMS * leaf->format.text_mm;
    double least = fmax(
        tapul_detail_size_mm(fitting->book, g_ptr_array_index(fitting->details, i), scale).x,
        caption);
    int columns = 1;
    while (columns <= leaf->columns && tapul_leaf_columns_mm(leaf, columns) < least)
        columns++;
    return columns;
}

/* What columns are left are shared out evenly. */
static void spread(TapulDetailRow *row, int left) {
    for (int i = 0; i < row->n; i++)
        row->columns[i] += left / row->n;
}

static void measure_row(const Fitting *fitting, double scale, TapulDetailRow *row) {
    int all = fitting->book->leaf.columns;
    for (int i = 0; i < row->n; i++) {
        int detail = row->first + i;
        TapulVec2 size = tapul_detail_size_mm(
            fitting->book, g_ptr_array_index(fitting->details, detail), scale);
        row->figures_mm = fmax(row->figures_mm, size.y);
        row->captions_mm =
            fmax(row->captions_mm, fitting->captions_mm[detail * all + row->columns[i] - 1]);
    }
}

/* Takes as many of the details from row->first on as stand beside each other; FALSE where not
 * even one does. */
static gboolean take_row(const Fitting *fitting, int end, double scale, TapulDetailRow *row) {
    int left = fitting->book->leaf.columns;
    while (row->first + row->n < end) {
        int columns = columns_of(fitting, row->first + row->n, scale);
        if (columns > left)
            break;
        row->columns[row->n++] = columns;
        left -= columns;
    }
    if (row->n == 0)
        return FALSE;
    spread(row, left);
    measure_row(fitting, scale, row);
    return TRUE;
}

/* Sets details first to end - 1 in rows, each of as many as it takes; FALSE where they do not
 * fit. */
static gboolean set_rows(const Fitting *fitting, int first, int end, double scale,
                         GArray *rows) {
    g_array_set_size(rows, 0);
    while (first < end) {
        TapulDetailRow row = {.first = first};
        if (!take_row(fitting, end, scale, &row))
            return FALSE;
        g_array_append_val(rows, row);
        first += row.n;
    }
    return tapul_details_rows_mm(fitting->book, rows) <= fitting->room_mm;
}

/* The largest round scale up to one that need not be. */
static double round_scale(double most) {
    const double some_mm = 1000;
    return tapul_leaf_scale(tapul_vec2(some_mm, some_mm),
                            tapul_vec2(most * some_mm, most * some_mm));
}

/* The largest round scale for a page of them, 0: none. */
static double scale_of(const Fitting *fitting, int first, int end, GArray *rows) {
    double scale = round_scale(MOST_SCALE);
    while (scale >= LEAST_SCALE && !set_rows(fitting, first, end, scale, rows))
        scale = round_scale(BELOW * scale);
    return scale >= LEAST_SCALE ? scale : 0;
}

/* --- Pages --- */

static gboolean of_one_print(const Fitting *fitting, int first, int end) {
    const TapulDetail *one = g_ptr_array_index(fitting->details, first);
    const TapulDetail *other = g_ptr_array_index(fitting->details, end - 1);
    return one->motif->print == other->motif->print;
}

static double worth_of(const Fitting *fitting, int first, int end, GArray *rows) {
    double scale = scale_of(fitting, first, end, rows);
    if (scale == 0)
        return -INFINITY;
    return (end - first) * log(of_one_print(fitting, first, end) ? scale : scale / MIXED_WORTH);
}

/* worth[p][end] of details 0 to end - 1 on p + 1 pages, and where the last of them starts. */
static void weigh_divisions(const Fitting *fitting, double (*worth)[MOST_PAGES],
                            int (*start)[MOST_PAGES]) {
    int n = (int)fitting->details->len,
        most = tapul_details_most(fitting->book->options->paper);
    g_autoptr(GArray) rows = g_array_new(FALSE, FALSE, sizeof(TapulDetailRow));
    for (int end = 0; end <= n; end++)
        for (int p = 0; p < MOST_PAGES; p++)
            worth[end][p] = -INFINITY;
    for (int end = 1; end <= n; end++)
        for (int first = MAX(end - most, 0); first < end; first++) {
            double own = worth_of(fitting, first, end, rows);
            for (int p = 0; p < MOST_PAGES; p++) {
                double before = p > 0 ? worth[first][p - 1] : first == 0 ? 0 : -INFINITY;
                if (before + own > worth[end][p]) {
                    worth[end][p] = before + own;
                    start[end][p] = first;
                }
            }
        }
}

static int best_count(const double *worth, int n, int most) {
    int best = 0;
    for (int p = 1; p < most; p++)
        if (isinf(worth[best]) || worth[p] - worth[best] > (p - best) * n * log(PAGE_WORTH))
            best = p;
    return isinf(worth[best]) ? 0 : best + 1;
}

static void page_free(gpointer data) {
    TapulDetailPage *page = data;
    g_array_unref(page->rows);
    g_free(page);
}

static void add_page(const Fitting *fitting, GPtrArray *pages, int first, int end) {
    TapulDetailPage *page = g_new0(TapulDetailPage, 1);
    page->first = first;
    page->n = end - first;
    page->rows = g_array_new(FALSE, FALSE, sizeof(TapulDetailRow));
    page->scale = scale_of(fitting, first, end, page->rows);
    g_ptr_array_insert(pages, 0, page);
}

static GPtrArray *divided(const Fitting *fitting) {
    int n = (int)fitting->details->len;
    g_autofree double(*worth)[MOST_PAGES] = g_malloc_n((gsize)n + 1, sizeof *worth);
    g_autofree int(*start)[MOST_PAGES] = g_malloc0_n((gsize)n + 1, sizeof *start);
    weigh_divisions(fitting, worth, start);
    int most = tapul_details_only_laid(fitting->details) ? 1 : MOST_PAGES;
    int count = best_count(worth[n], n, most);
    GPtrArray *pages = count > 0 ? g_ptr_array_new_with_free_func(page_free) : NULL;
    for (int p = count - 1, end = n; p >= 0; p--) {
        add_page(fitting, pages, start[end][p], end);
        end = start[end][p];
    }
    return pages;
}

GPtrArray *tapul_details_divide(const TapulComparisonBook *book, const GPtrArray *details,
                                double room_mm) {
    g_autofree double *captions_mm = measure_captions(book, details);
    Fitting fitting = {book, details, room_mm, captions_mm};
    return divided(&fitting);
}
