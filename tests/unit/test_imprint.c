/* Lines drawn into meshes: in every order, over each other, through vertices, at random; and
 * what is refused. */
#include "cuts_for_tests.h"
#include "meshes_for_tests.h"
#include "plate/imprint.h"

#include <stdio.h>
#include <stdlib.h>

#define MESHES      "/work/shared/data/meshes/"
#define REACH_MM    TAPUL_CUT_REACH_MM
#define FUZZ_ROUNDS 40

static TapulVec3 on_hundred(double u, double v) {
    return tapul_vec3(100 * u, 100 * v, 4 * sin(5 * u) * cos(4 * v));
}
static TapulVec3 on_flat_hundred(double u, double v) {
    return tapul_vec3(100 * u, 100 * v, 0);
}
/* A flat ring, 20 to 60 mm. */
static TapulVec3 on_ring(double u, double v) {
    double r = 60 - 40 * v;
    return tapul_vec3(r * cos(2 * G_PI * u), r * sin(2 * G_PI * u), 0);
}

typedef struct {
    TapulMesh *mesh;
    TapulMeshTree *tree;
    GArray *lines;
} Sheet;

static Sheet sheet_of(TapulMesh *mesh_taken) {
    return (Sheet){mesh_taken, tapul_mesh_tree_new(mesh_taken), tapul_cut_lines_new()};
}

static Sheet sheet_new(ShapePoint point, int n_quads, gboolean closed) {
    Shape shape = shape_net(n_quads, n_quads, closed, FALSE, point);
    return sheet_of(shape_finish(&shape));
}

static void sheet_clear(Sheet *sheet) {
    g_array_unref(sheet->lines);
    tapul_mesh_tree_free(sheet->tree);
    tapul_mesh_free(sheet->mesh);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Sheet, sheet_clear)

static void draw(Sheet *sheet, double ax, double ay, double bx, double by) {
    add_straight(sheet->lines, sheet->tree, tapul_vec3(ax, ay, 0), tapul_vec3(bx, by, 0), 6);
}

static TapulImprint *imprint_of(const Sheet *sheet) {
    g_autoptr(GError) error = NULL;
    TapulImprint *imprint = tapul_mesh_imprint(sheet->mesh, lines_in(sheet->lines),
                                               (int)sheet->lines->len, REACH_MM, NULL, &error);
    ck_assert_msg(imprint != NULL, "%s", error ? error->message : "");
    return imprint;
}

/* The same surface: every triangle where its weights in its parent say, no area gained or lost,
 * parts together the whole. Returns how many parts. */
static guint check_imprint(const Sheet *sheet, const TapulImprint *imprint) {
    const TapulMesh *mesh = imprint->mesh;
    double part_area_mm2 = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulSpot spot = {.triangle = imprint->parent[t]};
            for (int i = 0; i < 3; i++) {
                spot.weight[i] = imprint->weight[t][k][i];
                ck_assert_double_ge(spot.weight[i], -1e-12);
            }
            TapulVec3 at = tapul_mesh_flat_position_mm(sheet->mesh, spot);
            ck_assert_double_lt(tapul_vec3_distance(at, mesh->position_mm[mesh->corner[t][k]]),
                                1e-9);
            ck_assert_double_eq_tol(tapul_vec3_length(mesh->normal[t][k]), 1, 1e-9);
        }
    check_area(tapul_mesh_area_mm2(mesh), tapul_mesh_area_mm2(sheet->mesh));
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) parts = tapul_imprint_parts(imprint, &error);
    ck_assert_msg(parts != NULL, "%s", error ? error->message : "");
    for (guint i = 0; i < parts->len; i++)
        part_area_mm2 +=
            tapul_mesh_area_mm2(((TapulMeshPart *)g_ptr_array_index(parts, i))->mesh);
    check_area(part_area_mm2, tapul_mesh_area_mm2(sheet->mesh));
    return parts->len;
}

static guint count_parts(const Sheet *sheet) {
    g_autoptr(TapulImprint) imprint = imprint_of(sheet);
    return check_imprint(sheet, imprint);
}

static void expect_refusal(const Sheet *sheet, int line, const char *words) {
    g_autoptr(GError) error = NULL;
    int at_fault = -7;
    g_autoptr(TapulImprint) imprint =
        tapul_mesh_imprint(sheet->mesh, lines_in(sheet->lines), (int)sheet->lines->len,
                           REACH_MM, &at_fault, &error);
    ck_assert_ptr_null(imprint);
    ck_assert_msg(strstr(error->message, words) != NULL, "%s", error->message);
    ck_assert_int_eq(at_fault, line);
}

/* --- What lines do --- */

START_TEST(a_line_across_makes_two_parts_and_a_dart_none) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 31, 100, 33, 40);
    ck_assert_uint_eq(count_parts(&sheet), 1);
    draw(&sheet, 0, 22, 100, 27);
    ck_assert_uint_eq(count_parts(&sheet), 2);
}
END_TEST

START_TEST(lines_that_cross_make_four_parts) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 0, 22, 100, 71);
    draw(&sheet, 37, 0, 44, 100);
    ck_assert_uint_eq(count_parts(&sheet), 4);
    /* A third through both, and a fourth at a very flat angle to the first. */
    draw(&sheet, 100, 3, 3, 100);
    draw(&sheet, 0, 23, 100, 68);
    g_autoptr(TapulImprint) imprint = imprint_of(&sheet);
    ck_assert_uint_ge(check_imprint(&sheet, imprint), 9);
    for (guint c = 0; c < imprint->chains->len; c++) {
        const GArray *chain = g_ptr_array_index(imprint->chains, c);
        for (guint i = 1; i < chain->len; i++) {
            TapulVec3 step =
                tapul_vec3_sub(imprint->mesh->position_mm[g_array_index(chain, int, i)],
                               imprint->mesh->position_mm[g_array_index(chain, int, i - 1)]);
            /* Divided edges are followed vertex by vertex: none is longer than a quad's. */
            ck_assert_double_lt(tapul_vec3_length(step), 1.5 * 100 / 12);
        }
    }
}
END_TEST

/* A line from edge to edge, one that ends on it, one that ends on that: in all six orders. */
static const int orders[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                 {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

START_TEST(lines_may_be_given_in_any_order) {
    static const double end_mm[3][4] = {{0, 51, 100, 48}, {47, 100, 45, 53}, {0, 77, 44, 78}};
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    for (int i = 0; i < 3; i++) {
        const double *end = end_mm[orders[_i][i]];
        draw(&sheet, end[0], end[1], end[2], end[3]);
    }
    ck_assert_uint_eq(count_parts(&sheet), 4);
}
END_TEST

START_TEST(the_same_line_twice_is_one) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 0, 22, 100, 71);
    draw(&sheet, 0, 22, 100, 71);
    draw(&sheet, 100, 71, 0, 22);
    g_autoptr(TapulImprint) imprint = imprint_of(&sheet);
    ck_assert_uint_eq(check_imprint(&sheet, imprint), 2);
    const GArray *first = g_ptr_array_index(imprint->chains, 0);
    for (guint c = 1; c < 3; c++) {
        const GArray *other = g_ptr_array_index(imprint->chains, c);
        ck_assert_uint_eq(other->len, first->len);
        for (guint i = 0; i < first->len; i++)
            ck_assert_int_eq(g_array_index(other, int, c == 1 ? i : first->len - 1 - i),
                             g_array_index(first, int, i));
    }
}
END_TEST

START_TEST(lines_along_edges_and_through_vertices_divide_nothing) {
    g_auto(Sheet) sheet = sheet_new(on_flat_hundred, 10, FALSE);
    draw(&sheet, 0, 30, 100, 30);
    draw(&sheet, 60, 0, 60, 100);
    /* Diagonals alternate, so that this one runs along edges too. */
    draw(&sheet, 0, 0, 100, 100);
    g_autoptr(TapulImprint) imprint = imprint_of(&sheet);
    ck_assert_int_eq(imprint->mesh->n_vertices, sheet.mesh->n_vertices);
    ck_assert_uint_eq(check_imprint(&sheet, imprint), 7);
}
END_TEST

START_TEST(ends_near_the_edge_are_carried_on_to_it) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 4.5, 52, 95.5, 52);
    ck_assert_uint_eq(count_parts(&sheet), 2);
    draw(&sheet, 50, 94, 50, 56);
    /* Six mm from the edge, four from the line: a dart from the line. */
    ck_assert_uint_eq(count_parts(&sheet), 2);
}
END_TEST

START_TEST(a_tube_is_opened_by_a_line_and_a_sphere_by_a_slit) {
    g_auto(Sheet) ring = sheet_new(on_ring, 24, TRUE);
    draw(&ring, 60, 0, 20, 0);
    g_autoptr(TapulImprint) imprint = imprint_of(&ring);
    ck_assert_uint_eq(check_imprint(&ring, imprint), 1);
    g_autoptr(GPtrArray) parts = tapul_imprint_parts(imprint, NULL);
    ck_assert(
        tapul_mesh_check_disc(((TapulMeshPart *)g_ptr_array_index(parts, 0))->mesh, NULL));

    g_auto(Sheet) ball = sheet_of(mesh_spheroid(3, 50, 50));
    TapulVec3 slit[] = {{0, 0, 50}, {35, 0, 35}, {50, 0, 0}, {35, 0, -35}};
    add_line(ball.lines, ball.tree, 4, slit);
    g_autoptr(TapulImprint) opened = imprint_of(&ball);
    g_autoptr(GPtrArray) one = tapul_imprint_parts(opened, NULL);
    ck_assert_uint_eq(one->len, 1);
    ck_assert(tapul_mesh_check_disc(((TapulMeshPart *)g_ptr_array_index(one, 0))->mesh, NULL));
}
END_TEST

/* --- What is refused --- */

START_TEST(a_slit_is_refused) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 0, 22, 100, 27);
    draw(&sheet, 30, 60, 70, 62);
    expect_refusal(&sheet, 1, "cut 2 ends inside the metal at both ends");
    /* A third that joins it to the edge makes it good. */
    draw(&sheet, 68, 100, 69, 63);
    ck_assert_uint_eq(count_parts(&sheet), 2);
}
END_TEST

START_TEST(a_line_that_crosses_itself_is_refused) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    TapulVec3 loop[] = {{0, 30, 0}, {70, 33, 0}, {60, 70, 0}, {41, 0, 0}};
    add_line(sheet.lines, sheet.tree, 4, loop);
    expect_refusal(&sheet, 0, "cut 1 crosses itself");
}
END_TEST

START_TEST(a_line_without_length_is_refused) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    draw(&sheet, 40, 40, 40, 40);
    expect_refusal(&sheet, 0, "cut 1 has no length");
}
END_TEST

START_TEST(a_line_over_a_hole_is_refused) {
    g_auto(Sheet) ring = sheet_new(on_ring, 24, TRUE);
    draw(&ring, 0, 60, 0, 20);
    add_straight(ring.lines, ring.tree, tapul_vec3(50, 3, 0), tapul_vec3(-50, 3, 0), 2);
    expect_refusal(&ring, 1, "cut 2 leaves the metal between (50.0, 3.0, 0.0)");
}
END_TEST

/* --- At random --- */

/* A triangle, most often one at the mesh's edge. */
static int random_triangle(const TapulMesh *mesh, GRand *random) {
    int t = 0;
    gboolean anywhere = g_rand_int_range(random, 0, 5) == 0;
    for (int i = 0; i < 2000; i++) {
        t = g_rand_int_range(random, 0, mesh->n_triangles);
        if (anywhere || mesh->across[t][0] < 0 || mesh->across[t][1] < 0 ||
            mesh->across[t][2] < 0)
            break;
    }
    return t;
}

/* Two to seven points, each some way on from the last. */
static void add_random(Sheet *sheet, GRand *random, double step_mm) {
    TapulSpot spot = {random_triangle(sheet->mesh, random), {0.2, 0.3, 0.5}};
    TapulVec3 at = tapul_mesh_flat_position_mm(sheet->mesh, spot), point_mm[7];
    int n = g_rand_int_range(random, 2, 8);
    TapulSpot other = {random_triangle(sheet->mesh, random), {0.2, 0.3, 0.5}};
    TapulVec3 way = tapul_vec3_sub(tapul_mesh_flat_position_mm(sheet->mesh, other), at);
    for (int i = 0; i < n; i++)
        point_mm[i] = tapul_vec3_add(at, tapul_vec3_scale(tapul_vec3_unit(way), i * step_mm));
    add_line(sheet->lines, sheet->tree, n, point_mm);
}

/* Random lines are drawn, and nothing of the metal is lost, or refused in words. Returns how
 * often they were drawn. */
static int fuzz(Sheet *sheet, guint32 seed, double size_mm) {
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    int drawn = 0;
    for (int round = 0; round < FUZZ_ROUNDS; round++) {
        g_autoptr(GError) error = NULL;
        g_array_set_size(sheet->lines, 0);
        for (int i = g_rand_int_range(random, 1, 5); i > 0; i--)
            add_random(sheet, random, size_mm * g_rand_double_range(random, 0.005, 0.15));
        g_autoptr(TapulImprint) imprint =
            tapul_mesh_imprint(sheet->mesh, lines_in(sheet->lines), (int)sheet->lines->len,
                               size_mm * 0.06, NULL, &error);
        if (imprint) {
            drawn++;
            check_imprint(sheet, imprint);
        } else {
            ck_assert_msg(g_str_has_prefix(error->message, "cut "), "%s", error->message);
        }
    }
    return drawn;
}

START_TEST(random_lines_lose_no_metal) {
    g_auto(Sheet) sheet = sheet_new(on_hundred, 12, FALSE);
    ck_assert_int_gt(fuzz(&sheet, 1550, 100), FUZZ_ROUNDS / 8);
}
END_TEST

static const char *const real_meshes[] = {"ode_demosthenes-low-res.obj", "ode_hand_lowres.obj",
                                          "ode_mountain.obj", "ode_sword.obj"};

START_TEST(random_lines_lose_no_metal_of_real_meshes) {
    g_autofree char *path = g_strconcat(MESHES, real_meshes[_i], NULL);
    if (!g_file_test(path, G_FILE_TEST_EXISTS)) {
        printf("SKIP: random_lines_lose_no_metal_of_real_meshes: %s is not there\n", path);
        return;
    }
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh = tapul_mesh_read(path, 1, &error);
    ck_assert_msg(mesh != NULL, "%s", error ? error->message : "");
    g_auto(Sheet) sheet = sheet_of(mesh);
    int drawn = fuzz(&sheet, 1550 + (guint32)_i, sqrt(tapul_mesh_area_mm2(mesh)));
    printf("%s: %d of %d random sets of lines drawn\n", real_meshes[_i], drawn, FUZZ_ROUNDS);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("imprint");
    TCase *tests = tcase_create("imprint");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_line_across_makes_two_parts_and_a_dart_none);
    tcase_add_test(tests, lines_that_cross_make_four_parts);
    tcase_add_loop_test(tests, lines_may_be_given_in_any_order, 0, 6);
    tcase_add_test(tests, the_same_line_twice_is_one);
    tcase_add_test(tests, lines_along_edges_and_through_vertices_divide_nothing);
    tcase_add_test(tests, ends_near_the_edge_are_carried_on_to_it);
    tcase_add_test(tests, a_tube_is_opened_by_a_line_and_a_sphere_by_a_slit);
    tcase_add_test(tests, a_slit_is_refused);
    tcase_add_test(tests, a_line_that_crosses_itself_is_refused);
    tcase_add_test(tests, a_line_without_length_is_refused);
    tcase_add_test(tests, a_line_over_a_hole_is_refused);
    tcase_add_test(tests, random_lines_lose_no_metal);
    tcase_add_loop_test(tests, random_lines_lose_no_metal_of_real_meshes, 0,
                        G_N_ELEMENTS(real_meshes));
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
