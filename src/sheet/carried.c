/* Lines of the plate carried to its development: edge, seam, medial line, fields, and the tape
 * grid.
 *
 * The sheets draw them; each point goes plate -> spot -> development.
 */
#include "sheet/carried.h"

#define TOLERANCE_MM                                                                           \
    0.02 /* how far a carried curve may be from the true one, as for laid ink */
/* Lines are offered to the map in pieces this long, so that a gap in the metal is not stepped
 * over. */
#define PIECE_MM 5.0

static void line_in_pieces(TapulPath *path, TapulVec2 from, TapulVec2 to) {
    int n = MAX((int)ceil(tapul_vec2_distance(from, to) / PIECE_MM), 1);
    for (int i = 1; i <= n; i++)
        tapul_path_line(path, tapul_vec2_mix(from, to, (double)i / n));
}

/* --- Edge, seam, medial line --- */

TapulPath *tapul_carried_edge(const TapulGround *ground) {
    const TapulDevelopment *development = ground->development;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(development->mesh);
    TapulPath *path = tapul_path_new();
    for (guint i = 0; i < loops->len; i++) {
        const GArray *loop = loops->pdata[i];
        for (guint j = 0; j < loop->len; j++) {
            TapulVec2 at = development->flat_mm[g_array_index(loop, int, j)];
            if (j == 0)
                tapul_path_move(path, at);
            else
                tapul_path_line(path, at);
        }
        tapul_path_close(path);
    }
    return path;
}

/* Two vertices of the edge are one point of the metal when they are this near: rounding, no
 * more. */
#define TWIN_MM 1e-6

static int compare_heights(const void *a, const void *b, void *data) {
    const TapulVec3 *place = data;
    double p = place[*(const int *)a].y, q = place[*(const int *)b].y;
    return (p > q) - (p < q);
}

/* Vertices of the edge that share their place with another: the two sides of a seam. */
static gboolean *find_twins(const TapulMesh *mesh, const GPtrArray *loops) {
    const TapulVec3 *place = mesh->position_mm;
    gboolean *twin = g_new0(gboolean, mesh->n_vertices);
    g_autoptr(GArray) edge = g_array_new(FALSE, FALSE, sizeof(int));
    for (guint i = 0; i < loops->len; i++) {
        const GArray *loop = loops->pdata[i];
        g_array_append_vals(edge, loop->data, loop->len);
    }
    g_qsort_with_data(edge->data, (int)edge->len, sizeof(int), compare_heights,
                      mesh->position_mm);
    for (guint i = 0; i < edge->len; i++) {
        int a = g_array_index(edge, int, i);
        for (guint j = i + 1; j < edge->len; j++) {
            int b = g_array_index(edge, int, j);
            if (place[b].y - place[a].y > TWIN_MM)
                break;
            if (tapul_vec3_distance(place[a], place[b]) <= TWIN_MM)
                twin[a] = twin[b] = TRUE;
        }
    }
    return twin;
}

TapulPath *tapul_carried_seam(const TapulGround *ground) {
    const TapulMesh *mesh = ground->development->mesh;
    TapulPath *path = tapul_path_new();
    if (!tapul_plate_has_seam(ground->plate))
        return path;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    g_autofree gboolean *twin = find_twins(mesh, loops);
    for (guint i = 0; i < loops->len; i++) {
        const GArray *loop = loops->pdata[i];
        gboolean drawing = FALSE;
        for (guint j = 0; j < loop->len; j++) {
            int a = g_array_index(loop, int, j),
                b = g_array_index(loop, int, (j + 1) % loop->len);
            if (!twin[a] || !twin[b]) {
                drawing = FALSE;
                continue;
            }
            if (!drawing)
                tapul_path_move(path, ground->development->flat_mm[a]);
            tapul_path_line(path, ground->development->flat_mm[b]);
            drawing = TRUE;
        }
    }
    return path;
}

TapulPath *tapul_carried_medial(const TapulGround *ground) {
    TapulPath *path = tapul_path_new();
    const GArray *line = tapul_plate_medial_line(ground->plate);
    for (guint i = 0; line && i < line->len; i++) {
        TapulVec2 at =
            tapul_development_point_mm(ground->development, g_array_index(line, TapulSpot, i));
        if (i == 0)
            tapul_path_move(path, at);
        else
            tapul_path_line(path, at);
    }
    return path;
}

/* --- Fields --- */

static gboolean front_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    const TapulGround *ground = data;
    TapulSpot spot;
    if (!tapul_plate_spot_from_front(ground->plate, from.x, from.y, &spot, NULL))
        return FALSE;
    *to = tapul_development_point_mm(ground->development, spot);
    return TRUE;
}

TapulPath *tapul_carried_field(const TapulGround *ground, int number) {
    const TapulField *field = tapul_plate_field(ground->plate, number);
    g_autoptr(TapulPath) outline = tapul_path_new();
    tapul_path_move(outline, field->outline_mm[0]);
    for (int i = 0; i < field->n; i++)
        line_in_pieces(outline, field->outline_mm[i], field->outline_mm[(i + 1) % field->n]);
    return tapul_path_warp(outline, front_map, (gpointer)ground, TOLERANCE_MM, FALSE, NULL);
}

/* --- The tape grid --- */

static gboolean tape_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    const TapulGround *ground = data;
    TapulSpot spot;
    if (!tapul_plate_spot_from_tape(ground->plate, from.x, from.y, &spot, NULL))
        return FALSE;
    *to = tapul_development_point_mm(ground->development, spot);
    return TRUE;
}

static void add_grid_line(GPtrArray *grid, const TapulGround *ground, gboolean level,
                          double at_mm, TapulVec2 from, TapulVec2 to) {
    g_autoptr(TapulPath) tape = tapul_path_new();
    tapul_path_move(tape, from);
    line_in_pieces(tape, from, to);
    TapulPath *path =
        tapul_path_warp(tape, tape_map, (gpointer)ground, TOLERANCE_MM, FALSE, NULL);
    if (tapul_path_is_empty(path)) {
        tapul_path_free(path);
        return;
    }
    TapulGridLine *line = g_new(TapulGridLine, 1);
    *line = (TapulGridLine){level, at_mm, path};
    g_ptr_array_add(grid, line);
}

static void free_grid_line(gpointer data) {
    TapulGridLine *line = data;
    tapul_path_free(line->path);
    g_free(line);
}

/* How far the level cut at a tape height reaches to each side. */
static gboolean level_reach(const TapulGround *ground, double up_mm, double *left_mm,
                            double *right_mm) {
    TapulSpot spot;
    if (!tapul_plate_spot_from_tape(ground->plate, 0, up_mm, &spot, NULL))
        return FALSE;
    TapulVec3 at = tapul_mesh_flat_position_mm(tapul_plate_mesh(ground->plate), spot);
    return tapul_plate_level_extent(ground->plate, at.y, left_mm, right_mm);
}

static double medial_length_mm(const TapulGround *ground) {
    const TapulMesh *mesh = tapul_plate_mesh(ground->plate);
    const GArray *line = tapul_plate_medial_line(ground->plate);
    double length_mm = 0;
    for (guint i = 1; line && i < line->len; i++)
        length_mm += tapul_vec3_distance(
            tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, i - 1)),
            tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, i)));
    return length_mm;
}

GPtrArray *tapul_carried_grid(const TapulGround *ground, double step_mm) {
    GPtrArray *grid = g_ptr_array_new_with_free_func(free_grid_line);
    double height_mm = medial_length_mm(ground), widest_left_mm = 0, widest_right_mm = 0;
    for (double up_mm = step_mm; up_mm < height_mm; up_mm += step_mm) {
        double left_mm, right_mm;
        if (!level_reach(ground, up_mm, &left_mm, &right_mm))
            continue;
        widest_left_mm = fmin(widest_left_mm, left_mm);
        widest_right_mm = fmax(widest_right_mm, right_mm);
        add_grid_line(grid, ground, TRUE, up_mm, tapul_vec2(left_mm, up_mm),
                      tapul_vec2(right_mm, up_mm));
    }
    double first_mm = ceil(widest_left_mm / step_mm) * step_mm;
    for (double across_mm = first_mm; across_mm < widest_right_mm; across_mm += step_mm)
        add_grid_line(grid, ground, FALSE, across_mm, tapul_vec2(across_mm, 0),
                      tapul_vec2(across_mm, height_mm));
    return grid;
}
