/* The paper of a piece in cells: what GEOS does takes longer than in proportion to what it is
 * given, and cells can be done side by side. Each cell sees the design a little way beyond
 * itself, so that growing is not felt at its edges. */
#include "pounce/resist_parts.h"

/* Larger cells take GEOS longer, smaller ones see more beyond themselves. */
#define CELL_MM 12.0
/* A cell that lacks no more than this is full of paper. */
#define FULL_MM2 1e-9
/* The ground of a stopped-out part of a design whose ground is bitten is what lies between its
 * lines where they are no further apart than this; our choice, common practice knows none. */
#define STOPPED_GAP_MM 5.0

/* --- The design near a cell --- */

/* A part of the design near the cell without what later paper covers. */
static GEOSGeometry *visible_part(const TapulCellDesign *found, const TapulDesignPart *part,
                                  const GPtrArray *papers) {
    GEOSGeometry *shape = tapul_shape_copy(found->shapes, part->shape);
    if (part->box.min.x < found->around.min.x || part->box.min.y < found->around.min.y ||
        part->box.max.x > found->around.max.x || part->box.max.y > found->around.max.y)
        shape = tapul_shape_clip(found->shapes, shape, found->around);
    for (guint i = 0; shape && i < papers->len; i++) {
        const TapulDesignPart *paper = g_ptr_array_index(papers, i);
        if (paper->order > part->order && tapul_boxes_overlap(paper->box, part->box)) {
            GEOSGeometry *cover = tapul_shape_copy(found->shapes, paper->shape);
            shape = tapul_shape_minus(found->shapes, shape, cover);
        }
    }
    return shape;
}

static GPtrArray *papers_of(const GPtrArray *near) {
    GPtrArray *papers = g_ptr_array_new();
    for (guint i = 0; i < near->len; i++)
        if (((const TapulDesignPart *)g_ptr_array_index(near, i))->paper)
            g_ptr_array_add(papers, g_ptr_array_index(near, i));
    return papers;
}

/* What is covered before a bite of the parts stopped out: their lines, and of a bitten ground
 * what lies between these. */
static gboolean find_stopped(const TapulResistPlan *plan, TapulCellDesign *found,
                             const GPtrArray *visible, const GArray *stopped) {
    for (int bite = 0; bite < plan->n_bites; bite++) {
        g_autoptr(GPtrArray) parts = g_ptr_array_new();
        for (guint i = 0; i < visible->len; i++)
            if (g_array_index(stopped, int, i) <= bite)
                g_ptr_array_add(parts, g_ptr_array_index(visible, i));
        if (parts->len == 0)
            continue;
        GEOSGeometry *all = tapul_shape_union(found->shapes, parts);
        if (plan->kind == TAPUL_RESIST_GROUND)
            all = tapul_shape_close(found->shapes, all, STOPPED_GAP_MM);
        found->stopped[bite] = all;
        if (!all)
            return FALSE;
    }
    return TRUE;
}

static gboolean find_design(const TapulResistPlan *plan, const GPtrArray *near,
                            TapulCellDesign *found) {
    g_autoptr(GPtrArray) papers = papers_of(near);
    g_autoptr(GPtrArray) visible = g_ptr_array_new();
    g_autoptr(GArray) stopped = g_array_new(FALSE, FALSE, sizeof(int));
    for (guint i = 0; i < near->len; i++) {
        const TapulDesignPart *part = g_ptr_array_index(near, i);
        if (part->paper)
            continue;
        g_ptr_array_add(visible, visible_part(found, part, papers));
        g_array_append_val(stopped, part->stopped);
    }
    found->design = tapul_shape_union(found->shapes, visible);
    return found->design && (!plan->stops || find_stopped(plan, found, visible, stopped));
}

/* --- A cell --- */

/* A box and what has to be known about it: by the resist, and before that to find what is
 * stopped out. */
static TapulBox beyond(TapulBox box, double reach_mm) {
    TapulVec2 reach = {reach_mm, reach_mm};
    return (TapulBox){tapul_vec2_sub(box.min, reach), tapul_vec2_add(box.max, reach)};
}

static TapulBox around(const TapulResistPlan *plan, TapulBox box) {
    gboolean gaps = plan->stops && plan->kind == TAPUL_RESIST_GROUND;
    return beyond(box, plan->reach_mm + (gaps ? STOPPED_GAP_MM : 0));
}

/* Forgets what only finding the stopped out asked for. FALSE if GEOS gives up. */
static gboolean draw_in(const TapulResistPlan *plan, TapulBox box, TapulCellDesign *found) {
    found->around = beyond(box, plan->reach_mm);
    found->design = tapul_shape_clip(found->shapes, found->design, found->around);
    gboolean known = found->design != NULL;
    for (int k = 0; k < plan->n_bites; k++)
        if (found->stopped[k]) {
            found->stopped[k] =
                tapul_shape_clip(found->shapes, found->stopped[k], found->around);
            known = known && found->stopped[k];
            if (known && GEOSisEmpty_r(found->shapes->regions.geos, found->stopped[k]) == 1)
                found->stopped[k] = NULL;
        }
    return known;
}

static void cell_free(gpointer data) {
    TapulResistCell *cell = data;
    tapul_shapes_free(cell->shapes);
    g_free(cell);
}

/* FALSE if GEOS gives up. A cell without paper has an empty one. near: the parts of the design
 * (TapulDesignPart*, in order) that it has to know. */
static gboolean fill_cell(const TapulResistPlan *plan, const TapulDesign *design,
                          const GPtrArray *near, TapulResistCell *cell) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    TapulCellDesign found = {.shapes = shapes, .around = around(plan, cell->box)};
    cell->paper = tapul_shape_both(cell->shapes, tapul_shape_copy(shapes, design->paper),
                                   tapul_shape_box(shapes, cell->box));
    if (!cell->paper || GEOSisEmpty_r(cell->shapes->regions.geos, cell->paper) == 1)
        return cell->paper != NULL;
    cell->is_full = tapul_shape_area_mm2(shapes, cell->paper) > CELL_MM * CELL_MM - FULL_MM2;
    if (!find_design(plan, near, &found) ||
        (plan->stops && !draw_in(plan, cell->box, &found)) ||
        !tapul_resist_compensate(plan, design, &found, cell))
        return FALSE;
    cell->design = tapul_shape_copy(cell->shapes, found.design);
    return cell->design != NULL;
}

/* --- All cells --- */

typedef struct {
    TapulVec2 origin_mm;
    int columns, rows;
    GPtrArray *cells; /* of TapulResistCell*, row by row */
    GPtrArray *near;  /* of GPtrArray of TapulDesignPart*, [cells] */
} Grid;

static Grid grid_new(TapulBox box) {
    Grid grid = {.origin_mm = {floor(box.min.x / CELL_MM) * CELL_MM,
                               floor(box.min.y / CELL_MM) * CELL_MM},
                 .cells = g_ptr_array_new_with_free_func(cell_free),
                 .near = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref)};
    grid.columns = (int)ceil((box.max.x - grid.origin_mm.x) / CELL_MM);
    grid.rows = (int)ceil((box.max.y - grid.origin_mm.y) / CELL_MM);
    for (int i = 0; i < grid.columns * grid.rows; i++) {
        TapulVec2 at = {(i % grid.columns) * CELL_MM, (i / grid.columns) * CELL_MM};
        TapulResistCell *cell = g_new0(TapulResistCell, 1);
        cell->shapes = tapul_shapes_new();
        cell->box.min = tapul_vec2_add(grid.origin_mm, at);
        cell->box.max = tapul_vec2_add(cell->box.min, tapul_vec2(CELL_MM, CELL_MM));
        g_ptr_array_add(grid.cells, cell);
        g_ptr_array_add(grid.near, g_ptr_array_new());
    }
    return grid;
}

static void add_near(const TapulResistPlan *plan, Grid *grid, TapulDesignPart *part) {
    TapulBox box = around(plan, part->box);
    int from_x = (int)floor((box.min.x - grid->origin_mm.x) / CELL_MM);
    int to_x = (int)floor((box.max.x - grid->origin_mm.x) / CELL_MM);
    int from_y = (int)floor((box.min.y - grid->origin_mm.y) / CELL_MM);
    int to_y = (int)floor((box.max.y - grid->origin_mm.y) / CELL_MM);
    for (int y = MAX(from_y, 0); y <= MIN(to_y, grid->rows - 1); y++)
        for (int x = MAX(from_x, 0); x <= MIN(to_x, grid->columns - 1); x++)
            g_ptr_array_add(g_ptr_array_index(grid->near, (guint)(y * grid->columns + x)),
                            part);
}

static void tell_cell(TapulResistWatch *watch, int n_cells) {
    const TapulPounceProgress *progress = watch->progress;
#pragma omp critical(tapul_resist_watch)
    {
        double done = (double)++watch->cells_done / n_cells;
        if (progress && progress->progress)
            progress->progress((watch->pieces_done + done) / watch->pieces,
                               "drawing the resist", progress->progress_data);
    }
}

static void drop_empty(GPtrArray *cells) {
    for (guint i = cells->len; i-- > 0;)
        if (!((const TapulResistCell *)g_ptr_array_index(cells, i))->design)
            g_ptr_array_remove_index(cells, i);
}

GPtrArray *tapul_resist_cells_new(const TapulResistPlan *plan, const TapulDesign *design) {
    Grid grid = grid_new(design->box);
    g_autoptr(GPtrArray) cells = grid.cells;
    g_autoptr(GPtrArray) near = grid.near;
    for (guint i = 0; i < design->parts->len; i++)
        add_near(plan, &grid, &g_array_index(design->parts, TapulDesignPart, i));
    int n = (int)cells->len;
    gboolean known = TRUE;
    plan->watch->cells_done = 0;
#pragma omp parallel for schedule(dynamic) reduction(&& : known)
    for (int i = 0; i < n; i++) {
        known =
            fill_cell(plan, design, g_ptr_array_index(near, i), g_ptr_array_index(cells, i)) &&
            known;
        tell_cell(plan->watch, n);
    }
    if (!known)
        return NULL;
    drop_empty(cells);
    return g_steal_pointer(&cells);
}
