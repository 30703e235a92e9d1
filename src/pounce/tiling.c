/* The papers' places on one large sheet, and the tiles or the roll it is printed on. Last step
 * of the maker's papers (parts.h): boxes are packed in several ways (packing.c), the tiles that
 * each needs are counted (tiles_needed.c), and the one that needs fewest is taken. */
#include "pounce/packing.h"
#include "pounce/parts.h"
#include "pounce/tiles_needed.h"

#include <string.h>

/* What printers leave white at the paper's edge; most manage with half of it (common practice,
 * no source). */
#define MARGIN_MM 10.0
/* Between pieces: room to cut. */
#define GAP_MM 8.0
/* ISO 216:2007. */
#define A4_WIDTH_MM  210.0
#define A4_HEIGHT_MM 297.0
#define A3_HEIGHT_MM 420.0
/* More columns are tried only where a piece is wider: a table ends somewhere. */
#define MOST_COLUMNS 12
/* The longest page of a PDF with plain units, 14,400 of 1/72 inch (ISO 32000-1, annex C). */
#define LONGEST_PAGE_MM 5080.0
/* Tiles so tall that a roll is one. */
#define ENDLESS_MM 1e6

/* A way of laying the pieces out. */
typedef struct {
    TapulTileGrid strip;
    TapulSheetGrid grid;
    TapulPackedBox *box;     /* [n] */
    TapulPlacedShape *shape; /* [n] */
    GArray *used;
} Plan;

typedef struct {
    const TapulCasePounce *asked;
    int n;
    const TapulPouncePiece **piece; /* [n] by number */
    int *index;                     /* [n] of each in the caller's order */
    TapulBox *box;                  /* [n] of the cut, mirrored where papers lie face down */
    TapulTilesNeeded *needed;
} Layout;

/* --- Pieces --- */

static int by_number(gconstpointer a, gconstpointer b, gpointer pieces) {
    int p = *(const int *)a, q = *(const int *)b;
    const TapulPouncePiece *first = g_ptr_array_index((GPtrArray *)pieces, p);
    const TapulPouncePiece *second = g_ptr_array_index((GPtrArray *)pieces, q);
    return first->number != second->number ? first->number - second->number : p - q;
}

static void layout_set(Layout *layout, const TapulCasePounce *asked, const GPtrArray *pieces) {
    int n = (int)pieces->len;
    *layout = (Layout){.asked = asked, .n = n};
    layout->index = g_new(int, n);
    layout->piece = g_new(const TapulPouncePiece *, n);
    layout->box = g_new(TapulBox, n);
    for (int i = 0; i < n; i++)
        layout->index[i] = i;
    g_qsort_with_data(layout->index, n, sizeof(int), by_number, (gpointer)pieces);
    g_autofree TapulPlacedShape *shape = g_new0(TapulPlacedShape, n);
    for (int i = 0; i < n; i++) {
        layout->piece[i] = g_ptr_array_index(pieces, layout->index[i]);
        shape[i].path = layout->piece[i]->cut;
        TapulBox box = tapul_path_box(shape[i].path);
        layout->box[i] = asked->face_down
                             ? (TapulBox){{-box.max.x, box.min.y}, {-box.min.x, box.max.y}}
                             : box;
    }
    layout->needed = tapul_tiles_needed_new(shape, n);
}

static void layout_clear(Layout *layout) {
    tapul_tiles_needed_free(layout->needed);
    g_free(layout->piece);
    g_free(layout->index);
    g_free(layout->box);
}

static TapulVec2 size_of(const Layout *layout, int i) {
    return tapul_vec2_sub(layout->box[i].max, layout->box[i].min);
}

/* --- Plans --- */

static void plan_free(Plan *plan) {
    if (!plan)
        return;
    g_free(plan->box);
    g_free(plan->shape);
    if (plan->used)
        g_array_unref(plan->used);
    g_free(plan);
}

G_DEFINE_AUTOPTR_CLEANUP_FUNC(Plan, plan_free)

static TapulVec2 packed_size(const TapulPackedBox *box) {
    return box->turned ? tapul_vec2(box->size_mm.y, box->size_mm.x) : box->size_mm;
}

/* How far right and down the packed boxes reach. */
static TapulVec2 reach_of(const Layout *layout, const Plan *plan) {
    TapulVec2 reach = {0, 0};
    for (int i = 0; i < layout->n; i++) {
        TapulVec2 end = tapul_vec2_add(plan->box[i].at_mm, packed_size(&plan->box[i]));
        reach = tapul_vec2(fmax(reach.x, end.x), fmax(reach.y, end.y));
    }
    return reach;
}

/* Sets the pieces on the sheet, all moved right and down by shift, and counts tiles. */
static void plan_place(const Layout *layout, Plan *plan, TapulVec2 shift) {
    double height_mm =
        tapul_tiles_span_mm(plan->grid.tile_mm.y, plan->grid.step_mm.y, plan->grid.rows);
    for (int i = 0; i < layout->n; i++) {
        const TapulPackedBox *box = &plan->box[i];
        TapulVec2 low = layout->box[i].min;
        if (box->turned)
            low = tapul_vec2(-layout->box[i].max.y, layout->box[i].min.x);
        TapulVec2 corner = tapul_vec2_add(box->at_mm, shift);
        corner.y = height_mm - corner.y - packed_size(box).y;
        plan->shape[i] = (TapulPlacedShape){layout->piece[i]->cut, layout->asked->face_down,
                                            box->turned, tapul_vec2_sub(corner, low)};
    }
    if (plan->used)
        g_array_unref(plan->used);
    plan->used = tapul_tiles_needed(layout->needed, &plan->grid, plan->shape);
}

/* NULL where a piece is wider than the strip. */
static Plan *plan_new(const Layout *layout, TapulTileGrid strip, gboolean may_turn) {
    g_autoptr(Plan) plan = g_new0(Plan, 1);
    plan->strip = strip;
    plan->box = g_new0(TapulPackedBox, layout->n);
    plan->shape = g_new0(TapulPlacedShape, layout->n);
    for (int i = 0; i < layout->n; i++)
        plan->box[i].size_mm = size_of(layout, i);
    if (!tapul_boxes_pack(&strip, plan->box, layout->n, GAP_MM, may_turn))
        return NULL;
    TapulVec2 reach = reach_of(layout, plan);
    plan->grid =
        (TapulSheetGrid){strip.tile_mm, strip.step_mm,
                         tapul_tiles_for_mm(strip.tile_mm.x, strip.step_mm.x, reach.x),
                         tapul_tiles_for_mm(strip.tile_mm.y, strip.step_mm.y, reach.y)};
    plan_place(layout, plan, tapul_vec2(0, 0));
    return g_steal_pointer(&plan);
}

/* Fewer tiles, then a smaller table. */
static gboolean is_better(const Plan *plan, const Plan *best) {
    if (!best || plan->used->len != best->used->len)
        return !best || plan->used->len < best->used->len;
    return plan->grid.columns * plan->grid.rows < best->grid.columns * best->grid.rows;
}

/* What is left over of the last tiles is shared out where that spares a tile, and else so that
 * the papers lie in the middle. */
static void settle(const Layout *layout, Plan *plan) {
    static const TapulVec2 shares[] = {{0, 0},   {1, 0},   {0, 1},   {1, 1},    {0.5, 0},
                                       {0, 0.5}, {1, 0.5}, {0.5, 1}, {0.5, 0.5}};
    TapulVec2 reach = reach_of(layout, plan), best = {0, 0};
    TapulVec2 free_mm = {
        tapul_tiles_span_mm(plan->grid.tile_mm.x, plan->grid.step_mm.x, plan->grid.columns) -
            reach.x,
        tapul_tiles_span_mm(plan->grid.tile_mm.y, plan->grid.step_mm.y, plan->grid.rows) -
            reach.y};
    guint fewest = plan->used->len;
    for (guint i = 0; i < G_N_ELEMENTS(shares); i++) {
        TapulVec2 shift = {shares[i].x * free_mm.x, shares[i].y * free_mm.y};
        plan_place(layout, plan, shift);
        if (plan->used->len > fewest)
            continue;
        fewest = plan->used->len;
        best = shift;
    }
    plan_place(layout, plan, best);
}

/* --- Tiles and rolls --- */

static int most_columns(const Layout *layout, double tile_mm, double step_mm) {
    double row_mm = -GAP_MM, widest_mm = 0;
    for (int i = 0; i < layout->n; i++) {
        TapulVec2 size = size_of(layout, i);
        row_mm += fmax(size.x, size.y) + GAP_MM;
        widest_mm = fmax(widest_mm, fmax(size.x, size.y));
    }
    int widest = tapul_tiles_for_mm(tile_mm, step_mm, widest_mm);
    return MIN(tapul_tiles_for_mm(tile_mm, step_mm, row_mm), MAX(widest, MOST_COLUMNS));
}

/* All ways with the paper as it lies: pieces upright before turned ones. */
static Plan *best_on(const Layout *layout, TapulVec2 paper_mm, Plan *best) {
    TapulVec2 tile = tapul_vec2_sub(paper_mm, tapul_vec2(2 * MARGIN_MM, 2 * MARGIN_MM));
    double overlap_mm = layout->asked->overlap_mm;
    TapulVec2 step = tapul_vec2_sub(tile, tapul_vec2(overlap_mm, overlap_mm));
    int most = most_columns(layout, tile.x, step.x);
    for (int columns = 1; columns <= most; columns++)
        for (int may_turn = 0; may_turn < 2; may_turn++) {
            Plan *plan = plan_new(layout, (TapulTileGrid){tile, step, columns}, may_turn != 0);
            if (plan && is_better(plan, best)) {
                plan_free(best);
                best = plan;
            } else {
                plan_free(plan);
            }
        }
    return best;
}

static Plan *plan_tiles(const Layout *layout) {
    gboolean a3 = g_strcmp0(layout->asked->paper, "A3") == 0;
    TapulVec2 upright = {a3 ? A4_HEIGHT_MM : A4_WIDTH_MM, a3 ? A3_HEIGHT_MM : A4_HEIGHT_MM};
    Plan *best = best_on(layout, upright, NULL);
    best = best_on(layout, tapul_vec2(upright.y, upright.x), best);
    settle(layout, best);
    return best;
}

static gboolean check_roll(const Layout *layout, double width_mm, GError **error) {
    for (int i = 0; i < layout->n; i++) {
        TapulVec2 size = size_of(layout, i);
        double over_mm = fmin(size.x, size.y) - width_mm;
        if (over_mm <= 0)
            continue;
        g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_PAPER,
                    "piece %d, %.1f x %.1f mm, is %.1f mm too wide for a roll of %g mm, of "
                    "which %g mm can be printed",
                    layout->piece[i]->number, size.x, size.y, over_mm,
                    layout->asked->roll_width_mm, width_mm);
        return FALSE;
    }
    return TRUE;
}

static Plan *plan_roll(const Layout *layout, GError **error) {
    double width_mm = layout->asked->roll_width_mm - 2 * MARGIN_MM;
    if (!check_roll(layout, width_mm, error))
        return NULL;
    TapulVec2 tile = {width_mm, ENDLESS_MM};
    g_autoptr(Plan) upright = plan_new(layout, (TapulTileGrid){tile, tile, 1}, FALSE);
    g_autoptr(Plan) turned = plan_new(layout, (TapulTileGrid){tile, tile, 1}, TRUE);
    double turned_mm = reach_of(layout, turned).y;
    gboolean turn = !upright || turned_mm < reach_of(layout, upright).y;
    Plan *best = turn ? g_steal_pointer(&turned) : g_steal_pointer(&upright);
    double length_mm = reach_of(layout, best).y;
    if (length_mm + 2 * MARGIN_MM > LONGEST_PAGE_MM) {
        g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_PAPER,
                    "the papers need %.0f mm of a roll of %g mm; a page ends at %.0f mm: take "
                    "a wider roll, or tiles",
                    length_mm + 2 * MARGIN_MM, layout->asked->roll_width_mm, LONGEST_PAGE_MM);
        plan_free(best);
        return NULL;
    }
    best->grid.tile_mm.y = best->grid.step_mm.y = length_mm;
    plan_place(layout, best, tapul_vec2(0, 0));
    return best;
}

/* --- The result --- */

static TapulTiling *tiling_of(const Layout *layout, Plan *plan) {
    const TapulSheetGrid *grid = &plan->grid;
    TapulTiling *tiling = g_new0(TapulTiling, 1);
    *tiling = (TapulTiling){
        .width_mm = tapul_tiles_span_mm(grid->tile_mm.x, grid->step_mm.x, grid->columns),
        .height_mm = tapul_tiles_span_mm(grid->tile_mm.y, grid->step_mm.y, grid->rows),
        .offset_mm = g_new(TapulVec2, layout->n),
        .turn_rad = g_new(double, layout->n),
        .mirrored = layout->asked->face_down,
        .tile_width_mm = grid->tile_mm.x + 2 * MARGIN_MM,
        .tile_height_mm = grid->tile_mm.y + 2 * MARGIN_MM,
        .margin_mm = MARGIN_MM,
        .overlap_mm = grid->tile_mm.x - grid->step_mm.x,
        .columns = grid->columns,
        .rows = grid->rows,
        .used = g_steal_pointer(&plan->used)};
    for (int i = 0; i < layout->n; i++) {
        tiling->offset_mm[layout->index[i]] = plan->shape[i].offset_mm;
        tiling->turn_rad[layout->index[i]] = plan->shape[i].turned ? G_PI / 2 : 0;
    }
    return tiling;
}

TapulTiling *tapul_pounce_tiling(const TapulCasePounce *asked, const GPtrArray *pieces,
                                 GError **error) {
    Layout layout;
    layout_set(&layout, asked, pieces);
    gboolean roll = g_strcmp0(asked->paper, "roll") == 0;
    g_autoptr(Plan) plan = roll ? plan_roll(&layout, error) : plan_tiles(&layout);
    TapulTiling *tiling = plan ? tiling_of(&layout, plan) : NULL;
    layout_clear(&layout);
    return tiling;
}

void tapul_tiling_free(TapulTiling *tiling) {
    if (!tiling)
        return;
    g_free(tiling->offset_mm);
    g_free(tiling->turn_rad);
    if (tiling->used)
        g_array_unref(tiling->used);
    g_free(tiling);
}

TapulVec2 tapul_tiling_place(const TapulTiling *tiling, int piece, TapulVec2 own_mm) {
    if (tiling->mirrored)
        own_mm.x = -own_mm.x;
    return tapul_vec2_add(tapul_vec2_turn(own_mm, tiling->turn_rad[piece]),
                          tiling->offset_mm[piece]);
}

TapulBox tapul_tiling_tile_mm(const TapulTiling *tiling, int tile) {
    TapulVec2 shown = {tiling->tile_width_mm - 2 * tiling->margin_mm,
                       tiling->tile_height_mm - 2 * tiling->margin_mm};
    TapulSheetGrid grid = {
        shown, tapul_vec2_sub(shown, tapul_vec2(tiling->overlap_mm, tiling->overlap_mm)),
        tiling->columns, tiling->rows};
    return tapul_sheet_grid_tile_mm(&grid, tile % tiling->columns, tile / tiling->columns);
}
