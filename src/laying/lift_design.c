/* A found design as points of the development, however it was found: what its middle is taken
 * from, and what sheets lifted by several rules are compared by. */
#include "laying/lift_parts.h"

#include "ink/region.h"

/* Points nearer than this to each other tell nothing more. */
#define SPACING_MM 2.0
/* More of them tell a mean and a greatest difference no better, and take their time. */
#define MOST_POINTS 2000.0
/* Along the rim of what is shown: half the least margin of a plate mark. */
#define RIM_SPACING_MM 1.0

static gboolean is_within(const GPtrArray *rings, TapulVec2 at) {
    return !rings || tapul_rings_contain(rings, FALSE, at);
}

static double design_length(const GPtrArray *marks) {
    double length_mm = 0;
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(marks, i);
        length_mm += mark->paper ? 0 : tapul_path_length(mark->path);
    }
    return length_mm;
}

/* Points along a mark, evenly by the parameter of each piece; no mark goes without. */
static void add_mark(GArray *points, const TapulMark *mark, double spacing_mm) {
    TapulPathWalk walk = tapul_path_walk(mark->path);
    TapulPathPiece piece;
    double since_mm = INFINITY;
    while (!mark->paper && tapul_path_walk_next(&walk, &piece)) {
        double length_mm = tapul_cubic_length(piece.p);
        int n = (int)ceil(length_mm / spacing_mm);
        for (int i = 0; i < n; i++) {
            /* The place nearest to where one is due. */
            if (since_mm + length_mm / n / 2 >= spacing_mm) {
                TapulVec2 at = tapul_cubic_point(piece.p, (double)i / n);
                g_array_append_val(points, at);
                since_mm = 0;
            }
            since_mm += length_mm / n;
        }
    }
}

static void add_ink(GArray *points, const TapulInk *found, const TapulPath *region) {
    double lost_mm = 0;
    g_autoptr(GPtrArray) marks = tapul_lift_design(found, region, &lost_mm);
    double spacing_mm = fmax(SPACING_MM, design_length(marks) / MOST_POINTS);
    for (guint i = 0; i < marks->len; i++)
        add_mark(points, g_ptr_array_index(marks, i), spacing_mm);
}

/* A photograph's pixels, every so many, and which of them are shown and within the region. */
typedef struct {
    int step_px, columns, rows;
    gboolean *shown; /* [rows][columns] */
} Shown;

/* How many of a side's pixels stand at half a step and whole ones from there. */
static int grid_count(int side_px, int step_px) {
    return side_px > step_px / 2 ? (side_px - 1 - step_px / 2) / step_px + 1 : 0;
}

static int grid_at(const Shown *grid, int i) {
    return grid->step_px / 2 + i * grid->step_px;
}

static Shown shown_grid(const TapulRectified *rectified, const TapulPath *region,
                        double spacing_mm) {
    g_autoptr(GPtrArray) rings = region ? tapul_rings_new(region) : NULL;
    Shown grid = {.step_px = (int)fmax(1, ceil(spacing_mm / rectified->pixel_mm))};
    grid.columns = grid_count(rectified->width_px, grid.step_px);
    grid.rows = grid_count(rectified->height_px, grid.step_px);
    grid.shown = g_new(gboolean, MAX((gsize)grid.columns * (gsize)grid.rows, 1));
    for (int i = 0; i < grid.columns * grid.rows; i++) {
        int x = grid_at(&grid, i % grid.columns), y = grid_at(&grid, i / grid.columns);
        grid.shown[i] = tapul_rectified_shows(rectified, x, y) &&
                        is_within(rings, tapul_rectified_place(rectified, x, y));
    }
    return grid;
}

static gboolean is_shown(const Shown *grid, int column, int row) {
    return column >= 0 && row >= 0 && column < grid->columns && row < grid->rows &&
           grid->shown[row * grid->columns + column];
}

static gboolean is_rim(const Shown *grid, int column, int row) {
    return !is_shown(grid, column - 1, row) || !is_shown(grid, column + 1, row) ||
           !is_shown(grid, column, row - 1) || !is_shown(grid, column, row + 1);
}

static void add_picture(GArray *points, const TapulRectified *rectified,
                        const TapulPath *region, double spacing_mm, gboolean rim_only) {
    Shown grid = shown_grid(rectified, region, spacing_mm);
    for (int row = 0; row < grid.rows; row++)
        for (int column = 0; column < grid.columns; column++) {
            if (!is_shown(&grid, column, row) || (rim_only && !is_rim(&grid, column, row)))
                continue;
            TapulVec2 at =
                tapul_rectified_place(rectified, grid_at(&grid, column), grid_at(&grid, row));
            g_array_append_val(points, at);
        }
    g_free(grid.shown);
}

GArray *tapul_lift_rim(const TapulRectified *rectified, const TapulPath *region) {
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    add_picture(points, rectified, region, RIM_SPACING_MM, TRUE);
    return points;
}

GArray *tapul_lift_points(const TapulInk *found, const TapulRectified *rectified,
                          const TapulPath *region) {
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    if (found) {
        add_ink(points, found, region);
    } else {
        TapulVec2 size = tapul_vec2_sub(rectified->box_mm.max, rectified->box_mm.min);
        add_picture(points, rectified, region,
                    fmax(SPACING_MM, sqrt(size.x * size.y / MOST_POINTS)), FALSE);
    }
    return points;
}

gboolean tapul_lift_middle(const TapulGround *ground, const GArray *points, TapulSpot *spot) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < points->len; i++)
        tapul_box_add(&box, g_array_index(points, TapulVec2, i));
    if (tapul_box_is_empty(box))
        return FALSE;
    TapulVec2 middle = tapul_vec2_mix(box.min, box.max, 0.5);
    if (tapul_development_finder_spot(ground->finder, middle, spot))
        return TRUE;
    TapulSpot at;
    double nearest_mm = INFINITY;
    for (guint i = 0; i < points->len; i++) {
        TapulVec2 point = g_array_index(points, TapulVec2, i);
        double away_mm = tapul_vec2_distance(point, middle);
        if (away_mm >= nearest_mm || !tapul_development_finder_spot(ground->finder, point, &at))
            continue;
        nearest_mm = away_mm;
        *spot = at;
    }
    return isfinite(nearest_mm);
}
