/* How a print, its overlay and the plate are arranged on a page: every arrangement of the grid
 * that leaves captions legible is tried, and the one taken that gives the figures, all at one
 * scale, the largest round one. */
#include "sheet/comparison_beside_parts.h"

/* Three in a row are compared at a glance: in landscape that is given up only for figures so
 * many times as large, as in portrait the wider captions of other arrangements are. */
#define WORTH_MORE 1.6

typedef struct {
    const TapulComparisonBook *book;
    const TapulBesidePage *beside;
    TapulBox body;
    TapulBesidePlan *best; /* scale 0: none yet */
} Search;

/* --- One plan --- */

static TapulRowExtra extra_of(TapulBesideFigure shown) {
    switch (shown) {
    case BESIDE_PRINT:
        return TAPUL_ROW_SCALE_BAR;
    case BESIDE_OVERLAY:
        return TAPUL_ROW_LEGEND;
    default:
        return TAPUL_ROW_LOCATOR;
    }
}

/* Puts a figure last into a row, in columns of the grid, its words below or in columns beside
 * it. */
static void add_cell(const TapulBesidePage *beside, TapulBesidePlan *plan, int row,
                     TapulBesideFigure shown, int first, int columns, int words_columns) {
    TapulRowCell *cell = &plan->cells[row][plan->n_cells[row]];
    TapulBox box = tapul_figure_box_mm(beside->figure[shown]);
    plan->shown[row][plan->n_cells[row]++] = shown;
    plan->n_rows = MAX(plan->n_rows, row + 1);
    *cell = (TapulRowCell){
        .size_mm = tapul_vec2_sub(box.max, box.min),
        .first = first,
        .columns = columns,
        .words_beside = words_columns > 0,
        .words_first = words_columns > 0 ? first + columns : first,
        .words_columns = words_columns > 0 ? words_columns : columns,
        .label = beside->label[shown],
        .text = beside->text[shown],
        .scale_label = shown == BESIDE_PRINT ? beside->scale_label : NULL,
        .alternative = beside->alternative[shown],
        .extra = extra_of(shown),
        .region_mm = beside->region_mm,
    };
}

static gboolean words_are_legible(const TapulLeaf *leaf, const TapulBesidePlan *plan) {
    for (int row = 0; row < plan->n_rows; row++)
        for (int i = 0; i < plan->n_cells[row]; i++)
            if (tapul_leaf_columns_mm(leaf, plan->cells[row][i].words_columns) <
                TAPUL_ROW_LEAST_WORDS_EMS * leaf->format.text_mm)
                return FALSE;
    return TRUE;
}

/* The largest round scale at which every figure fits its columns. */
static double scale_across(const Search *search, const TapulBesidePlan *plan) {
    TapulVec2 room = {0, search->body.max.y - search->body.min.y};
    double scale = INFINITY;
    for (int row = 0; row < plan->n_rows; row++)
        for (int i = 0; i < plan->n_cells[row]; i++) {
            const TapulRowCell *cell = &plan->cells[row][i];
            room.x = tapul_leaf_columns_mm(&search->book->leaf, cell->columns);
            scale = fmin(scale, tapul_leaf_scale(cell->size_mm, room));
        }
    return scale;
}

static double height_mm(const Search *search, TapulBesidePlan *plan, double scale) {
    TapulComparisonBook numbered = *search->book; /* rows number their own figures */
    double height = (plan->n_rows - 1) * tapul_row_gap_mm(&search->book->leaf);
    plan->scale = scale;
    for (int row = 0; row < plan->n_rows; row++) {
        for (int i = 0; i < plan->n_cells[row]; i++)
            plan->cells[row][i].scale = scale;
        height += tapul_row_height_mm(&numbered, plan->cells[row], plan->n_cells[row]);
        numbered.figures += plan->n_cells[row];
    }
    return height;
}

/* Takes the plan if it is better than the best so far. */
static void try_plan(Search *search, TapulBesidePlan *plan) {
    double room_mm = search->body.max.y - search->body.min.y;
    if (!words_are_legible(&search->book->leaf, plan))
        return;
    double scale = scale_across(search, plan);
    while (scale > search->best->scale && scale >= TAPUL_ROW_LEAST_SCALE) {
        if (height_mm(search, plan, scale) <= room_mm) {
            *search->best = *plan;
            return;
        }
        scale = tapul_row_smaller_scale(scale);
    }
}

/* --- All of them --- */

/* The three in a row, the two of the plate equally wide; the most even first. */
static void try_rows(Search *search) {
    int columns = search->book->leaf.columns;
    for (int uneven = 0; uneven <= columns / 3; uneven++)
        for (int side = -1; side <= 1; side += 2) {
            int print = columns / 3 + side * uneven, plate = (columns - print) / 2;
            TapulBesidePlan plan = {0};
            if (print < 1 || plate < 1 || print + 2 * plate != columns)
                continue;
            add_cell(search->beside, &plan, 0, BESIDE_PRINT, 0, print, 0);
            add_cell(search->beside, &plan, 0, BESIDE_OVERLAY, print, plate, 0);
            add_cell(search->beside, &plan, 0, BESIDE_PLATE, print + plate, plate, 0);
            try_plan(search, &plan);
        }
}

/* The overlay below print and plate, its words below it (words_columns 0) or beside it. */
static void try_pair(Search *search, int print, int words_columns) {
    int columns = search->book->leaf.columns;
    TapulBesidePlan plan = {0};
    add_cell(search->beside, &plan, 0, BESIDE_PRINT, 0, print, 0);
    add_cell(search->beside, &plan, 0, BESIDE_PLATE, print, columns - print, 0);
    add_cell(search->beside, &plan, 1, BESIDE_OVERLAY, 0, columns - words_columns,
             words_columns);
    try_plan(search, &plan);
}

/* Print and plate above, the overlay below: its words stand under the plate, else further to
 * the right, else below it. */
static void try_pairs(Search *search) {
    int columns = search->book->leaf.columns;
    for (int uneven = 0; uneven < columns / 2; uneven++)
        for (int side = -1; side <= 1; side += 2) {
            int print = columns / 2 + side * uneven;
            try_pair(search, print, columns - print);
            try_pair(search, print, columns / 3);
            try_pair(search, print, 0);
        }
}

/* One below the other, their words beside them. */
static void try_stacks(Search *search) {
    static const TapulBesideFigure order[] = {BESIDE_PRINT, BESIDE_OVERLAY, BESIDE_PLATE};
    int columns = search->book->leaf.columns;
    for (int words = columns / 2; words >= columns / 6; words -= columns / 6) {
        TapulBesidePlan plan = {0};
        for (int row = 0; row < BESIDE_FIGURES; row++)
            add_cell(search->beside, &plan, row, order[row], 0, columns - words, words);
        try_plan(search, &plan);
    }
}

gboolean tapul_beside_plan(const TapulComparisonBook *book, const TapulBesidePage *beside,
                           TapulBox body, TapulBesidePlan *plan) {
    gboolean landscape = book->leaf.format.width_mm >= book->leaf.format.height_mm;
    TapulBesidePlan rows = {0}, others = {0};
    Search search = {book, beside, body, &rows};
    try_rows(&search);
    search.best = &others;
    /* Of plans that reach the same scale the first stays. */
    try_pairs(&search);
    try_stacks(&search);
    *plan =
        others.scale > (landscape ? WORTH_MORE : 1 / WORTH_MORE) * rows.scale ? others : rows;
    return plan->scale > 0;
}
