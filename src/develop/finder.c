/* The way back from the development to the plate: a grid of even cells over the flat triangles,
 * each cell listing those that touch it. Layings and sheets ask here for every point. */
#include <tapul/development.h>

/* Cells a triangle; more cost memory, fewer cost time. */
#define CELLS_PER_TRIANGLE 1.0
/* A point this far outside its triangle, as a share of the development's width, is on its edge:
 * no rounding may open a gap between two triangles. */
#define EDGE_SHARE 1e-12

struct TapulDevelopmentFinder {
    const TapulDevelopment *development; /* borrowed */
    TapulBox box;
    double cell_mm, edge_mm;
    int columns, rows;
    int *start;    /* [columns * rows + 1] */
    int *triangle; /* [start[columns * rows]] */
};

typedef struct {
    int left, right, low, high;
} CellRange;

static int cell_along(double distance_mm, double cell_mm, int n) {
    return (int)CLAMP(floor(distance_mm / cell_mm), 0, n - 1);
}

/* The cells that a triangle's box touches. */
static CellRange triangle_cells(const TapulDevelopmentFinder *finder, int triangle) {
    const TapulDevelopment *development = finder->development;
    TapulBox box = tapul_box_empty();
    for (int k = 0; k < 3; k++)
        tapul_box_add(&box, development->flat_mm[development->mesh->corner[triangle][k]]);
    double x = finder->box.min.x, y = finder->box.min.y, edge = finder->edge_mm;
    return (CellRange){
        cell_along(box.min.x - x - edge, finder->cell_mm, finder->columns),
        cell_along(box.max.x - x + edge, finder->cell_mm, finder->columns),
        cell_along(box.min.y - y - edge, finder->cell_mm, finder->rows),
        cell_along(box.max.y - y + edge, finder->cell_mm, finder->rows),
    };
}

/* Counts the triangles of each cell (list NULL), or lists them where count says. */
static void visit_cells(const TapulDevelopmentFinder *finder, int *count, int *list) {
    for (int t = 0; t < finder->development->mesh->n_triangles; t++) {
        CellRange range = triangle_cells(finder, t);
        for (int row = range.low; row <= range.high; row++)
            for (int column = range.left; column <= range.right; column++) {
                int place = count[row * finder->columns + column]++;
                if (list)
                    list[place] = t;
            }
    }
}

static void list_triangles(TapulDevelopmentFinder *finder) {
    int n_cells = finder->columns * finder->rows;
    finder->start = g_new0(int, (gsize)n_cells + 1);
    visit_cells(finder, finder->start + 1, NULL);
    for (int i = 0; i < n_cells; i++)
        finder->start[i + 1] += finder->start[i];
    finder->triangle = g_new(int, finder->start[n_cells]);
    g_autofree int *next = g_memdup2(finder->start, sizeof(int) * (gsize)n_cells);
    visit_cells(finder, next, finder->triangle);
}

TapulDevelopmentFinder *tapul_development_finder_new(const TapulDevelopment *development) {
    TapulDevelopmentFinder *finder = g_new0(TapulDevelopmentFinder, 1);
    finder->development = development;
    finder->box = tapul_box_empty();
    for (int v = 0; v < development->mesh->n_vertices; v++)
        tapul_box_add(&finder->box, development->flat_mm[v]);
    double width_mm = finder->box.max.x - finder->box.min.x;
    double height_mm = finder->box.max.y - finder->box.min.y;
    double n_wanted = CELLS_PER_TRIANGLE * development->mesh->n_triangles;
    finder->edge_mm = EDGE_SHARE * fmax(width_mm, height_mm);
    /* A strip much longer than wide gets one row of cells, not more cells than wanted. */
    finder->cell_mm =
        fmax(sqrt(width_mm * height_mm / n_wanted), fmax(width_mm, height_mm) / n_wanted);
    finder->columns = (int)ceil(width_mm / finder->cell_mm) + 1;
    finder->rows = (int)ceil(height_mm / finder->cell_mm) + 1;
    list_triangles(finder);
    return finder;
}

void tapul_development_finder_free(TapulDevelopmentFinder *finder) {
    if (!finder)
        return;
    g_free(finder->start);
    g_free(finder->triangle);
    g_free(finder);
}

/* Weights of a point in a triangle, and how far inside it lies: the least distance to an edge's
 * line, negative outside. */
static double weigh_corners(const TapulDevelopment *development, int triangle, TapulVec2 point,
                            double weight[3]) {
    const int *corner = development->mesh->corner[triangle];
    double area[3], sum = 0, inside_mm = INFINITY;
    for (int k = 0; k < 3; k++) {
        TapulVec2 from = development->flat_mm[corner[(k + 1) % 3]];
        TapulVec2 to = development->flat_mm[corner[(k + 2) % 3]];
        TapulVec2 along = tapul_vec2_sub(to, from);
        area[k] = tapul_vec2_cross(along, tapul_vec2_sub(point, from));
        inside_mm = fmin(inside_mm, area[k] / tapul_vec2_length(along));
        sum += area[k];
    }
    for (int k = 0; k < 3; k++)
        weight[k] = area[k] / sum;
    return inside_mm;
}

/* Takes weights below 0, which are rounding, to 0. */
static void clamp_weights(double weight[3]) {
    double sum = 0;
    for (int k = 0; k < 3; k++) {
        weight[k] = fmax(0, weight[k]);
        sum += weight[k];
    }
    for (int k = 0; k < 3; k++)
        weight[k] /= sum;
}

gboolean tapul_development_finder_spot(const TapulDevelopmentFinder *finder, TapulVec2 point_mm,
                                       TapulSpot *spot) {
    TapulVec2 from_corner = tapul_vec2_sub(point_mm, finder->box.min);
    double edge = finder->edge_mm;
    if (!(from_corner.x >= -edge && from_corner.y >= -edge &&
          point_mm.x <= finder->box.max.x + edge && point_mm.y <= finder->box.max.y + edge))
        return FALSE;
    int cell = cell_along(from_corner.y, finder->cell_mm, finder->rows) * finder->columns +
               cell_along(from_corner.x, finder->cell_mm, finder->columns);
    /* The triangle that holds the point best: on a shared edge any one does. */
    double best_mm = -INFINITY;
    for (int i = finder->start[cell]; i < finder->start[cell + 1]; i++) {
        double weight[3];
        double inside_mm =
            weigh_corners(finder->development, finder->triangle[i], point_mm, weight);
        if (!(inside_mm > best_mm))
            continue;
        best_mm = inside_mm;
        *spot = (TapulSpot){finder->triangle[i], {weight[0], weight[1], weight[2]}};
        if (best_mm > 0)
            break;
    }
    if (!(best_mm >= -edge))
        return FALSE;
    clamp_weights(spot->weight);
    return TRUE;
}
