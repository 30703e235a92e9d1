/* A laying taken on a lattice of its print. The forward maps are quick and sure, so the lattice
 * is carried forward and the way back is found in it: its squares, cut into triangles, are a
 * mesh with a development, and the finder of developments finds the print point at any place of
 * the plate laid flat. Squares that the
 * plate's edge, a seam or a cleft runs through, or where the map has a kink as over a ridge,
 * are taken finer. */
#include "laying/lattice.h"
#include "laying/rule.h"

#include <gsl/gsl_sort.h>
#include <omp.h>

/* Between nodes, on the metal. A print rolled on to metal that bends by a 50 mm radius is off
 * by less than 0.001 mm between them, and a development's triangles are 10 times larger. */
#define STEP_MM 0.5
/* A larger print has wider squares rather than more nodes. */
#define MOST_NODES 1e6
/* A square is off by a quarter of the second difference at most: by 0.002 mm, a twentieth of a
 * pixel at 600 dpi. */
#define MOST_KINK_MM 0.008
/* Other squares are cut into so many each way: 0.06 mm at the plate's edge. */
#define BROKEN_PARTS 8
/* Neighbours in the print that lie further apart have a gap between them, as in warp.c; or that
 * are so many steps apart, where steps are long. */
#define JUMP_MM    3.0
#define JUMP_STEPS 6.0
/* Nodes each way from which the step is chosen. */
#define TRIAL_NODES 24
/* Triangles that are asked which part of the print the plate shows, and by how much of what
 * they span that part may be larger. */
#define REACH_SAMPLES 400
#define REACH_MARGIN  0.15

struct TapulLattice {
    TapulMesh mesh; /* of the lattice's triangles; no positions: they are print_mm */
    TapulDevelopment development;
    TapulDevelopmentFinder *finder; /* NULL: nothing laid */
    GArray *print_mm, *flat_mm;     /* of TapulVec2, the vertices */
    GArray *corners;                /* of int[3] */
    TapulBox box_mm;
    double ratio;
};

typedef enum { NOWHERE, BROKEN, WHOLE } Square;

/* One repeat while it is being carried. x of an undefined node is NAN. */
typedef struct {
    TapulLaying of_repeat;
    TapulVec2 from_mm, size_mm; /* the part of the print that is carried */
    int columns, rows;          /* of squares */
    TapulVec2 *node;            /* [rows + 1][columns + 1] developed */
    double jump_mm;
    guint8 *kind; /* [rows][columns] Square */
} Sheet;

static TapulVec2 carry(const TapulLaying *laying, TapulVec2 print_mm) {
    TapulVec2 developed_mm;
    return tapul_laying_developed(laying, print_mm, &developed_mm) ? developed_mm
                                                                   : tapul_vec2(NAN, NAN);
}

static TapulVec2 node_print(const Sheet *sheet, double column, double row) {
    return tapul_vec2(sheet->from_mm.x + sheet->size_mm.x * column / sheet->columns,
                      sheet->from_mm.y + sheet->size_mm.y * row / sheet->rows);
}

static TapulVec2 *node_at(const Sheet *sheet, int column, int row) {
    return sheet->node + (gsize)row * (gsize)(sheet->columns + 1) + column;
}

static void carry_nodes(Sheet *sheet) {
    sheet->node = g_new(TapulVec2, (gsize)(sheet->columns + 1) * (gsize)(sheet->rows + 1));
#pragma omp parallel for schedule(dynamic)
    for (int row = 0; row <= sheet->rows; row++)
        for (int column = 0; column <= sheet->columns; column++)
            *node_at(sheet, column, row) =
                carry(&sheet->of_repeat, node_print(sheet, column, row));
}

/* --- How far apart --- */

/* The median of developed over print length, from steps to the right and up; 0 where nothing is
 * laid. */
static double median_ratio(const Sheet *sheet) {
    g_autoptr(GArray) ratios = g_array_new(FALSE, FALSE, sizeof(double));
    TapulVec2 step = tapul_vec2_sub(node_print(sheet, 1, 1), sheet->from_mm);
    for (int row = 0; row < sheet->rows; row++)
        for (int column = 0; column < sheet->columns; column++) {
            TapulVec2 at = *node_at(sheet, column, row);
            double right = tapul_vec2_distance(at, *node_at(sheet, column + 1, row)) / step.x;
            double up = tapul_vec2_distance(at, *node_at(sheet, column, row + 1)) / step.y;
            if (!isnan(right))
                g_array_append_val(ratios, right);
            if (!isnan(up))
                g_array_append_val(ratios, up);
        }
    if (ratios->len == 0)
        return 0;
    gsl_sort((double *)(gpointer)ratios->data, 1, ratios->len);
    return g_array_index(ratios, double, ratios->len / 2);
}

/* The part of a print from (0, 0) to size_mm that the plate may show: about what the print
 * points of some of its vertices span. A print far larger than its plate is carried no further.
 */
static TapulBox part_on_plate(const TapulLaying *laying, TapulVec2 size_mm) {
    const TapulMesh *mesh = tapul_plate_mesh(laying->ground.plate);
    TapulBox whole = {{0, 0}, size_mm}, part = tapul_box_empty();
    int stride = MAX(1, mesh->n_triangles / REACH_SAMPLES);
    for (int t = 0; t < mesh->n_triangles; t += stride) {
        TapulVec2 print_mm;
        if (tapul_laying_print(laying, (TapulSpot){t, {1, 0, 0}}, &print_mm))
            tapul_box_add(&part, print_mm);
    }
    if (tapul_box_is_empty(part))
        return whole;
    TapulVec2 margin = tapul_vec2_scale(tapul_vec2_sub(part.max, part.min), REACH_MARGIN);
    part = (TapulBox){tapul_vec2_sub(part.min, margin), tapul_vec2_add(part.max, margin)};
    TapulBox shown = {{fmax(part.min.x, 0), fmax(part.min.y, 0)},
                      {fmin(part.max.x, size_mm.x), fmin(part.max.y, size_mm.y)}};
    return tapul_box_is_empty(shown) ? whole : shown;
}

/* Of the first repeat that reaches the plate. */
static double find_ratio(const TapulLaying *laying, TapulBox part_mm, int repeats) {
    double ratio = 0;
    for (int i = 0; i < repeats && ratio == 0; i++) {
        Sheet trial = {.of_repeat = *laying,
                       .from_mm = part_mm.min,
                       .size_mm = tapul_vec2_sub(part_mm.max, part_mm.min),
                       .columns = TRIAL_NODES,
                       .rows = TRIAL_NODES};
        trial.of_repeat.repeat = i;
        carry_nodes(&trial);
        ratio = median_ratio(&trial);
        g_free(trial.node);
    }
    return ratio;
}

static void choose_step(Sheet *sheet, double ratio, int repeats) {
    double step_mm = STEP_MM / ratio;
    double nodes = repeats * sheet->size_mm.x * sheet->size_mm.y / (step_mm * step_mm);
    if (nodes > MOST_NODES)
        step_mm *= sqrt(nodes / MOST_NODES);
    sheet->columns = (int)ceil(sheet->size_mm.x / step_mm);
    sheet->rows = (int)ceil(sheet->size_mm.y / step_mm);
    sheet->jump_mm = fmax(JUMP_MM, JUMP_STEPS * step_mm * ratio);
}

/* --- Triangles --- */

typedef struct {
    TapulVec2 print_mm, flat_mm;
} Vertex;

static void add_triangle(TapulLattice *lattice, Vertex a, Vertex b, Vertex c, double jump_mm) {
    double longest_mm = fmax(tapul_vec2_distance(a.flat_mm, b.flat_mm),
                             fmax(tapul_vec2_distance(b.flat_mm, c.flat_mm),
                                  tapul_vec2_distance(c.flat_mm, a.flat_mm)));
    double turn = tapul_vec2_cross(tapul_vec2_sub(b.flat_mm, a.flat_mm),
                                   tapul_vec2_sub(c.flat_mm, a.flat_mm));
    /* fmax passes NAN over, the product does not. */
    if (!(longest_mm <= jump_mm) || turn == 0 || isnan(turn))
        return;
    /* The finder takes what winds counter-clockwise; a reversed print is turned over. */
    Vertex corner[3] = {a, turn > 0 ? b : c, turn > 0 ? c : b};
    int first = (int)lattice->print_mm->len, index[3] = {first, first + 1, first + 2};
    for (int k = 0; k < 3; k++) {
        g_array_append_val(lattice->print_mm, corner[k].print_mm);
        g_array_append_val(lattice->flat_mm, corner[k].flat_mm);
        tapul_box_add(&lattice->box_mm, corner[k].flat_mm);
    }
    g_array_append_vals(lattice->corners, index, 1);
}

/* Corners in order round the square. */
static void add_square(TapulLattice *lattice, const Vertex corner[4], double jump_mm) {
    add_triangle(lattice, corner[0], corner[1], corner[2], jump_mm);
    add_triangle(lattice, corner[0], corner[2], corner[3], jump_mm);
}

static const int round_square[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};

static void square_corners(const Sheet *sheet, int column, int row, Vertex corner[4]) {
    for (int k = 0; k < 4; k++) {
        int x = column + round_square[k][0], y = row + round_square[k][1];
        corner[k] = (Vertex){node_print(sheet, x, y), *node_at(sheet, x, y)};
    }
}

/* Whether the map has a kink at a node; not known at the rim. */
static gboolean has_kink(const Sheet *sheet, int column, int row) {
    TapulVec2 twice = tapul_vec2_scale(*node_at(sheet, column, row), 2);
    for (int way = 0; way < 2; way++) {
        int x = way == 0, y = way == 1;
        if (column < x || column + x > sheet->columns || row < y || row + y > sheet->rows)
            continue;
        TapulVec2 sides = tapul_vec2_add(*node_at(sheet, column - x, row - y),
                                         *node_at(sheet, column + x, row + y));
        if (tapul_vec2_distance(sides, twice) > MOST_KINK_MM)
            return TRUE;
    }
    return FALSE;
}

static Square square_kind(const Sheet *sheet, int column, int row) {
    Vertex corner[4];
    square_corners(sheet, column, row, corner);
    int defined = 0;
    gboolean uneven = FALSE;
    for (int k = 0; k < 4; k++) {
        TapulVec2 next = corner[(k + 1) % 4].flat_mm;
        defined += !isnan(corner[k].flat_mm.x);
        uneven = uneven || tapul_vec2_distance(corner[k].flat_mm, next) > sheet->jump_mm ||
                 has_kink(sheet, column + round_square[k][0], row + round_square[k][1]);
    }
    return defined == 0 ? NOWHERE : defined == 4 && !uneven ? WHOLE : BROKEN;
}

/* --- Broken squares --- */

typedef struct {
    int column, row;
    TapulVec2 flat_mm[BROKEN_PARTS + 1][BROKEN_PARTS + 1];
} Broken;

static gboolean is_whole(const Sheet *sheet, int column, int row) {
    return column >= 0 && row >= 0 && column < sheet->columns && row < sheet->rows &&
           sheet->kind[(gsize)row * (gsize)sheet->columns + (gsize)column] == WHOLE;
}

/* A side is kept straight where the square beyond it has it so: no crack may open between. */
static void carry_broken(const Sheet *sheet, Broken *broken) {
    int column = broken->column, row = broken->row;
    for (int j = 0; j <= BROKEN_PARTS; j++)
        for (int i = 0; i <= BROKEN_PARTS; i++) {
            double x = (double)i / BROKEN_PARTS, y = (double)j / BROKEN_PARTS;
            int right = i == BROKEN_PARTS, up = j == BROKEN_PARTS;
            TapulVec2 *at = &broken->flat_mm[j][i];
            if (j % BROKEN_PARTS == 0 && is_whole(sheet, column, up ? row + 1 : row - 1))
                *at = tapul_vec2_mix(*node_at(sheet, column, row + up),
                                     *node_at(sheet, column + 1, row + up), x);
            else if (i % BROKEN_PARTS == 0 &&
                     is_whole(sheet, right ? column + 1 : column - 1, row))
                *at = tapul_vec2_mix(*node_at(sheet, column + right, row),
                                     *node_at(sheet, column + right, row + 1), y);
            else
                *at = carry(&sheet->of_repeat, node_print(sheet, column + x, row + y));
        }
}

static void add_broken(TapulLattice *lattice, const Sheet *sheet, const Broken *broken) {
    for (int j = 0; j < BROKEN_PARTS; j++)
        for (int i = 0; i < BROKEN_PARTS; i++) {
            Vertex corner[4];
            for (int k = 0; k < 4; k++) {
                int x = i + round_square[k][0], y = j + round_square[k][1];
                corner[k].print_mm =
                    node_print(sheet, broken->column + (double)x / BROKEN_PARTS,
                               broken->row + (double)y / BROKEN_PARTS);
                corner[k].flat_mm = broken->flat_mm[y][x];
            }
            add_square(lattice, corner, sheet->jump_mm);
        }
}

/* Adds the whole squares, and returns the broken ones: of Broken, not yet carried. */
static GArray *sort_squares(TapulLattice *lattice, Sheet *sheet) {
    GArray *list = g_array_new(FALSE, FALSE, sizeof(Broken));
    for (int row = 0; row < sheet->rows; row++)
        for (int column = 0; column < sheet->columns; column++) {
            Square kind = square_kind(sheet, column, row);
            sheet->kind[(gsize)row * (gsize)sheet->columns + (gsize)column] = (guint8)kind;
            Vertex corner[4];
            square_corners(sheet, column, row, corner);
            if (kind == WHOLE)
                add_square(lattice, corner, sheet->jump_mm);
            if (kind != BROKEN)
                continue;
            Broken broken = {.column = column, .row = row};
            g_array_append_val(list, broken);
        }
    return list;
}

static void add_sheet(TapulLattice *lattice, Sheet *sheet) {
    g_autofree guint8 *kind = g_new(guint8, (gsize)sheet->rows * (gsize)sheet->columns);
    sheet->kind = kind;
    g_autoptr(GArray) list = sort_squares(lattice, sheet);
    Broken *broken = (Broken *)(void *)list->data;
#pragma omp parallel for schedule(dynamic)
    for (guint i = 0; i < list->len; i++)
        carry_broken(sheet, &broken[i]);
    for (guint i = 0; i < list->len; i++)
        add_broken(lattice, sheet, &broken[i]);
}

/* --- The whole --- */

static TapulLattice *lattice_new(void) {
    TapulLattice *lattice = g_new0(TapulLattice, 1);
    lattice->print_mm = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    lattice->flat_mm = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    lattice->corners = g_array_new(FALSE, FALSE, 3 * sizeof(int));
    lattice->box_mm = tapul_box_empty();
    return lattice;
}

static void make_finder(TapulLattice *lattice) {
    if (lattice->corners->len == 0)
        return;
    lattice->mesh.n_vertices = (int)lattice->print_mm->len;
    lattice->mesh.n_triangles = (int)lattice->corners->len;
    lattice->mesh.corner = (int(*)[3])(void *)lattice->corners->data;
    lattice->development.mesh = &lattice->mesh;
    lattice->development.flat_mm = (TapulVec2 *)(void *)lattice->flat_mm->data;
    lattice->finder = tapul_development_finder_new(&lattice->development);
}

TapulLattice *tapul_lattice_new(const TapulLaying *laying, TapulVec2 size_mm,
                                void (*progress)(double fraction, gpointer data),
                                gpointer progress_data) {
    TapulLattice *lattice = lattice_new();
    gboolean bordered = laying->options.rule == TAPUL_LAYING_BORDERED;
    int repeats = tapul_laying_run(laying).repeats;
    if (bordered)
        size_mm.x = fmin(size_mm.x, laying->border->repeat_mm);
    TapulBox part_mm = bordered ? (TapulBox){{0, 0}, size_mm} : part_on_plate(laying, size_mm);
    Sheet sheet = {.of_repeat = *laying,
                   .from_mm = part_mm.min,
                   .size_mm = tapul_vec2_sub(part_mm.max, part_mm.min)};
    lattice->ratio = find_ratio(laying, part_mm, repeats);
    if (lattice->ratio > 0)
        choose_step(&sheet, lattice->ratio, repeats);
    for (int i = 0; i < repeats && lattice->ratio > 0; i++) {
        sheet.of_repeat.repeat = bordered ? i : -1;
        carry_nodes(&sheet);
        add_sheet(lattice, &sheet);
        g_free(sheet.node);
        if (progress)
            progress((i + 1.0) / repeats, progress_data);
    }
    make_finder(lattice);
    return lattice;
}

void tapul_lattice_free(TapulLattice *lattice) {
    if (!lattice)
        return;
    tapul_development_finder_free(lattice->finder);
    g_array_unref(lattice->print_mm);
    g_array_unref(lattice->flat_mm);
    g_array_unref(lattice->corners);
    g_free(lattice);
}

TapulBox tapul_lattice_box_mm(const TapulLattice *lattice) {
    return lattice->box_mm;
}

double tapul_lattice_ratio(const TapulLattice *lattice) {
    return lattice->ratio;
}

gboolean tapul_lattice_print(const TapulLattice *lattice, TapulVec2 developed_mm,
                             TapulVec2 *print_mm) {
    TapulSpot spot;
    if (!lattice->finder ||
        !tapul_development_finder_spot(lattice->finder, developed_mm, &spot))
        return FALSE;
    *print_mm = tapul_vec2(0, 0);
    for (int k = 0; k < 3; k++) {
        int vertex = lattice->mesh.corner[spot.triangle][k];
        TapulVec2 corner = g_array_index(lattice->print_mm, TapulVec2, vertex);
        *print_mm = tapul_vec2_add(*print_mm, tapul_vec2_scale(corner, spot.weight[k]));
    }
    return TRUE;
}
