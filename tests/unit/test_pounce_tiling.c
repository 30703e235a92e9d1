/* Papers on a sheet, and the tiles or the roll it is cut into. */
#include "pounce/parts.h"

#include "ink/region.h"

#include <check.h>
#include <stdlib.h>

#include "made_up_pieces_for_tests.h"

/* Between pieces, and white at the paper's edge. */
#define GAP_MM    8.0
#define MARGIN_MM 10.0
/* Rounding of places on a sheet of some metres. */
#define SAME_MM 1e-6

static const char *const papers[] = {"A4", "A3", "roll"};

static TapulCasePounce random_asked(GRand *random) {
    return (TapulCasePounce){.paper = (char *)papers[g_rand_int_range(random, 0, 3)],
                             .overlap_mm = g_rand_double_range(random, 0, 50),
                             .roll_width_mm = g_rand_double_range(random, 540, 1200),
                             .face_down = g_rand_boolean(random)};
}

static TapulCasePounce plain_asked(const char *paper) {
    return (TapulCasePounce){.paper = (char *)paper, .overlap_mm = 10, .roll_width_mm = 610};
}

static TapulTiling *tiling_of(const TapulCasePounce *asked, const GPtrArray *pieces) {
    g_autoptr(GError) error = NULL;
    TapulTiling *tiling = tapul_pounce_tiling(asked, pieces, &error);
    ck_assert_msg(tiling != NULL, "%s", error ? error->message : "no tiling and no error");
    return tiling;
}

static int tiles_for(const char *paper, const GPtrArray *pieces) {
    TapulCasePounce asked = plain_asked(paper);
    TapulTiling *tiling = tiling_of(&asked, pieces);
    int used = (int)tiling->used->len;
    tapul_tiling_free(tiling);
    return used;
}

/* A piece as it lies on the sheet. */
static TapulPath *placed(const TapulTiling *tiling, const GPtrArray *pieces, int i) {
    const TapulPouncePiece *piece = g_ptr_array_index(pieces, i);
    TapulPath *path = tapul_path_copy(piece->cut);
    for (guint k = 0; k < path->points->len; k++)
        g_array_index(path->points, TapulVec2, k) =
            tapul_tiling_place(tiling, i, g_array_index(path->points, TapulVec2, k));
    return path;
}

/* --- What holds of any pieces --- */

static void check_apart(const TapulTiling *tiling, const GPtrArray *pieces) {
    TapulRegions regions = tapul_regions_begin();
    g_autoptr(GPtrArray) areas = g_ptr_array_new();
    for (guint i = 0; i < pieces->len; i++) {
        g_autoptr(TapulPath) path = placed(tiling, pieces, (int)i);
        g_autoptr(GPtrArray) rings = tapul_rings_new(path);
        GEOSGeometry *area = tapul_rings_region(&regions, rings, FALSE);
        ck_assert_ptr_nonnull(area);
        for (guint k = 0; k < areas->len; k++) {
            double mm = 0;
            ck_assert_int_eq(
                GEOSDistance_r(regions.geos, area, g_ptr_array_index(areas, k), &mm), 1);
            ck_assert_double_ge(mm, GAP_MM - SAME_MM);
        }
        g_ptr_array_add(areas, area);
    }
    for (guint k = 0; k < areas->len; k++)
        GEOSGeom_destroy_r(regions.geos, g_ptr_array_index(areas, k));
    tapul_regions_end(&regions);
}

static gboolean holds(TapulBox box, TapulVec2 p) {
    return p.x >= box.min.x - SAME_MM && p.x <= box.max.x + SAME_MM &&
           p.y >= box.min.y - SAME_MM && p.y <= box.max.y + SAME_MM;
}

static gboolean is_shown(const TapulTiling *tiling, TapulVec2 p) {
    for (guint i = 0; i < tiling->used->len; i++)
        if (holds(tapul_tiling_tile_mm(tiling, g_array_index(tiling->used, int, i)), p))
            return TRUE;
    return FALSE;
}

/* Every place of every piece, its edge and its inside every 7 mm, lies within the printable
 * part of a tile. */
static void check_shown(const TapulTiling *tiling, const GPtrArray *pieces) {
    TapulBox sheet = {{0, 0}, {tiling->width_mm, tiling->height_mm}};
    for (guint i = 0; i < pieces->len; i++) {
        g_autoptr(TapulPath) path = placed(tiling, pieces, (int)i);
        g_autoptr(GPtrArray) rings = tapul_rings_new(path);
        const GArray *ring = g_ptr_array_index(rings, 0);
        for (guint k = 0; k < ring->len; k++)
            for (int part = 0; part < 50; part++) {
                TapulVec2 p = tapul_vec2_mix(
                    g_array_index(ring, TapulVec2, k),
                    g_array_index(ring, TapulVec2, (k + 1) % ring->len), part / 50.0);
                ck_assert(holds(sheet, p) && is_shown(tiling, p));
            }
        TapulBox box = tapul_path_box(path);
        for (double x = box.min.x; x < box.max.x; x += 7)
            for (double y = box.min.y; y < box.max.y; y += 7)
                if (tapul_rings_contain(rings, FALSE, tapul_vec2(x, y)))
                    ck_assert(is_shown(tiling, tapul_vec2(x, y)));
    }
}

/* What of a piece lies on a tile. */
static double shown_mm2(TapulRegions *regions, const TapulTiling *tiling, int tile,
                        const TapulPath *path) {
    TapulBox box = tapul_tiling_tile_mm(tiling, tile);
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    GEOSGeometry *area = tapul_rings_region(regions, rings, FALSE);
    GEOSGeometry *rectangle =
        GEOSGeom_createRectangle_r(regions->geos, box.min.x, box.min.y, box.max.x, box.max.y);
    GEOSGeometry *both = GEOSIntersection_r(regions->geos, area, rectangle);
    double mm2 = 0;
    ck_assert_int_eq(GEOSArea_r(regions->geos, both, &mm2), 1);
    GEOSGeom_destroy_r(regions->geos, area);
    GEOSGeom_destroy_r(regions->geos, rectangle);
    GEOSGeom_destroy_r(regions->geos, both);
    return mm2;
}

static void check_none_blank(const TapulTiling *tiling, const GPtrArray *pieces) {
    TapulRegions regions = tapul_regions_begin();
    for (guint t = 0; t < tiling->used->len; t++) {
        double mm2 = 0;
        for (guint i = 0; i < pieces->len; i++) {
            g_autoptr(TapulPath) path = placed(tiling, pieces, (int)i);
            mm2 += shown_mm2(&regions, tiling, g_array_index(tiling->used, int, t), path);
        }
        ck_assert_double_gt(mm2, 0);
    }
    tapul_regions_end(&regions);
}

static void check_grid(const TapulTiling *tiling) {
    double across = tiling->tile_width_mm - 2 * tiling->margin_mm;
    double down = tiling->tile_height_mm - 2 * tiling->margin_mm;
    ck_assert_double_eq(tiling->margin_mm, MARGIN_MM);
    ck_assert_double_eq_tol(tiling->width_mm,
                            across + (tiling->columns - 1) * (across - tiling->overlap_mm),
                            SAME_MM);
    ck_assert_double_eq_tol(tiling->height_mm,
                            down + (tiling->rows - 1) * (down - tiling->overlap_mm), SAME_MM);
    int last = -1;
    for (guint i = 0; i < tiling->used->len; i++) {
        int tile = g_array_index(tiling->used, int, i);
        TapulBox box = tapul_tiling_tile_mm(tiling, tile);
        ck_assert_int_gt(tile, last);
        ck_assert_int_lt(tile, tiling->columns * tiling->rows);
        ck_assert_double_eq_tol(box.max.x - box.min.x, across, SAME_MM);
        ck_assert_double_eq_tol(box.max.y - box.min.y, down, SAME_MM);
        last = tile;
    }
    /* Row 0 is at the top. */
    ck_assert_double_eq_tol(tapul_tiling_tile_mm(tiling, 0).max.y, tiling->height_mm, SAME_MM);
}

START_TEST(random_pieces_are_apart_and_shown) {
    g_autoptr(GRand) random = g_rand_new_with_seed((guint32)_i);
    for (int round = 0; round < 10; round++) {
        g_autoptr(GPtrArray) pieces = random_pieces(random);
        TapulCasePounce asked = random_asked(random);
        TapulTiling *tiling = tiling_of(&asked, pieces);
        check_apart(tiling, pieces);
        check_shown(tiling, pieces);
        check_none_blank(tiling, pieces);
        check_grid(tiling);
        tapul_tiling_free(tiling);
    }
}
END_TEST

/* Never more tiles than if each piece had a grid of its own, upright on upright paper. */
START_TEST(pieces_share_tiles) {
    g_autoptr(GRand) random = g_rand_new_with_seed(11);
    for (int round = 0; round < 20; round++) {
        g_autoptr(GPtrArray) pieces = random_pieces(random);
        int apart = 0;
        for (guint i = 0; i < pieces->len; i++) {
            TapulBox box =
                tapul_path_box(((const TapulPouncePiece *)g_ptr_array_index(pieces, i))->cut);
            int across = 1 + (int)ceil(fmax(0, box.max.x - box.min.x - 190) / 180);
            int down = 1 + (int)ceil(fmax(0, box.max.y - box.min.y - 277) / 267);
            apart += across * down;
        }
        ck_assert_int_le(tiles_for("A4", pieces), apart);
    }
}
END_TEST

START_TEST(tiling_does_not_depend_on_the_order_of_pieces) {
    g_autoptr(GRand) random = g_rand_new_with_seed(3);
    for (int round = 0; round < 20; round++) {
        g_autoptr(GPtrArray) pieces = random_pieces(random), against = g_ptr_array_new();
        TapulCasePounce asked = random_asked(random);
        int n = (int)pieces->len;
        for (int i = 0; i < n; i++)
            g_ptr_array_add(against, g_ptr_array_index(pieces, n - 1 - i));
        TapulTiling *one = tiling_of(&asked, pieces), *other = tiling_of(&asked, against);
        ck_assert_int_eq((int)one->used->len, (int)other->used->len);
        for (guint i = 0; i < one->used->len; i++)
            ck_assert_int_eq(g_array_index(one->used, int, i),
                             g_array_index(other->used, int, i));
        for (int i = 0; i < n; i++) {
            ck_assert_double_eq(one->offset_mm[i].x, other->offset_mm[n - 1 - i].x);
            ck_assert_double_eq(one->offset_mm[i].y, other->offset_mm[n - 1 - i].y);
            ck_assert_double_eq(one->turn_rad[i], other->turn_rad[n - 1 - i]);
        }
        tapul_tiling_free(one);
        tapul_tiling_free(other);
    }
}
END_TEST

/* --- Known cases --- */

/* ISO 216: A4 210 x 297 mm, A3 297 x 420 mm; upright or lying. */
START_TEST(tiles_are_iso_216) {
    const double sizes[2][2] = {{210, 297}, {297, 420}};
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int round = 0; round < 20; round++) {
        g_autoptr(GPtrArray) pieces = random_pieces(random);
        TapulCasePounce asked = plain_asked(papers[round % 2]);
        TapulTiling *tiling = tiling_of(&asked, pieces);
        ck_assert_double_eq(fmin(tiling->tile_width_mm, tiling->tile_height_mm),
                            sizes[round % 2][0]);
        ck_assert_double_eq(fmax(tiling->tile_width_mm, tiling->tile_height_mm),
                            sizes[round % 2][1]);
        tapul_tiling_free(tiling);
    }
}
END_TEST

typedef struct {
    const char *what, *paper;
    int n;
    double size_mm[4][2];
    int tiles;
} Known;

/* A4 shows 190 x 277 mm, A3 277 x 400 mm. */
static const Known known[] = {
    {"as large as a tile shows", "A4", 1, {{190, 277}}, 1},
    {"as large as a tile that lies", "A4", 1, {{277, 190}}, 1},
    {"wider by a hair", "A4", 1, {{190.01, 277}}, 2},
    {"two tiles and their overlap", "A4", 1, {{370, 277}}, 2},
    {"a hair more than that", "A4", 1, {{370.01, 277}}, 3},
    {"as large as a larger tile shows", "A3", 1, {{277, 400}}, 1},
    {"four quarters", "A4", 4, {{91, 134.5}, {91, 134.5}, {91, 134.5}, {91, 134.5}}, 1},
    {"one above the other if one is turned", "A4", 2, {{180, 130}, {130, 180}}, 1},
    {"a tile each", "A4", 3, {{150, 200}, {150, 200}, {150, 200}}, 3},
    {"a small one beside a large one", "A4", 2, {{300, 250}, {50, 240}}, 2},
};

START_TEST(known_pieces_take_known_numbers_of_tiles) {
    g_autoptr(GPtrArray) pieces = no_pieces();
    for (int i = 0; i < known[_i].n; i++)
        add_rectangle(pieces, known[_i].size_mm[i][0], known[_i].size_mm[i][1]);
    ck_assert_msg(tiles_for(known[_i].paper, pieces) == known[_i].tiles, "%s: %d tiles",
                  known[_i].what, tiles_for(known[_i].paper, pieces));
}
END_TEST

/* An angle leaves out the tiles within its bend. */
START_TEST(tiles_that_show_nothing_are_left_out) {
    const TapulVec2 angle[] = {{0, 0}, {720, 0}, {720, 100}, {100, 100}, {100, 780}, {0, 780}};
    g_autoptr(GPtrArray) pieces = no_pieces();
    add_piece(pieces, 6, angle);
    TapulCasePounce asked = plain_asked("A4");
    TapulTiling *tiling = tiling_of(&asked, pieces);
    check_shown(tiling, pieces);
    /* 720 mm need 3 or 4 columns, 780 mm 3 to 5 rows: not all of them. */
    ck_assert_int_lt((int)tiling->used->len, tiling->columns * tiling->rows);
    ck_assert_int_le((int)tiling->used->len, 6);
    tapul_tiling_free(tiling);
}
END_TEST

START_TEST(paper_face_down_is_mirrored_in_its_place) {
    g_autoptr(GPtrArray) pieces = no_pieces();
    const TapulVec2 triangle[] = {{0, 0}, {100, 0}, {0, 60}};
    add_piece(pieces, 3, triangle);
    TapulCasePounce asked = plain_asked("A4");
    asked.face_down = TRUE;
    TapulTiling *tiling = tiling_of(&asked, pieces);
    ck_assert(tiling->mirrored);
    g_autoptr(TapulPath) path = placed(tiling, pieces, 0);
    ck_assert_double_eq_tol(tapul_path_area(path), -3000, 1e-6);
    check_shown(tiling, pieces);
    tapul_tiling_free(tiling);
}
END_TEST

START_TEST(a_roll_is_one_page_as_wide_as_the_roll) {
    g_autoptr(GPtrArray) pieces = no_pieces();
    add_rectangle(pieces, 500, 300);
    add_rectangle(pieces, 70, 290); /* beside it: 500 + 8 + 70 of 590 mm */
    TapulCasePounce asked = plain_asked("roll");
    TapulTiling *tiling = tiling_of(&asked, pieces);
    ck_assert_double_eq_tol(tiling->tile_width_mm, 610, SAME_MM);
    ck_assert_double_eq_tol(tiling->tile_height_mm, 320, SAME_MM);
    ck_assert_int_eq((int)tiling->used->len, 1);
    ck_assert(tiling->columns == 1 && tiling->rows == 1);
    tapul_tiling_free(tiling);
}
END_TEST

START_TEST(a_piece_wider_than_the_roll_goes_along_it) {
    g_autoptr(GPtrArray) pieces = no_pieces();
    add_rectangle(pieces, 900, 580);
    TapulCasePounce asked = plain_asked("roll");
    TapulTiling *tiling = tiling_of(&asked, pieces);
    ck_assert_double_eq_tol(tiling->turn_rad[0], G_PI / 2, 1e-12);
    ck_assert_double_eq_tol(tiling->tile_height_mm, 920, SAME_MM);
    tapul_tiling_free(tiling);
}
END_TEST

static void check_refused(const GPtrArray *pieces, const char *message) {
    g_autoptr(GError) error = NULL;
    TapulCasePounce asked = plain_asked("roll");
    ck_assert_ptr_null(tapul_pounce_tiling(&asked, pieces, &error));
    ck_assert(g_error_matches(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_PAPER));
    ck_assert_str_eq(error->message, message);
}

START_TEST(what_a_roll_cannot_take_is_refused) {
    g_autoptr(GPtrArray) wide = no_pieces();
    add_rectangle(wide, 100, 100);
    add_rectangle(wide, 700, 612.5);
    check_refused(wide, "piece 2, 700.0 x 612.5 mm, is 22.5 mm too wide for a roll of 610 mm, "
                        "of which 590 mm can be printed");
    g_autoptr(GPtrArray) lengthy = no_pieces();
    add_rectangle(lengthy, 580, 5100);
    check_refused(lengthy, "the papers need 5120 mm of a roll of 610 mm; a page ends at 5080 "
                           "mm: take a wider roll, or tiles");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce_tiling");
    TCase *tests = tcase_create("tiling");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, random_pieces_are_apart_and_shown, 0, 6);
    tcase_add_test(tests, pieces_share_tiles);
    tcase_add_test(tests, tiling_does_not_depend_on_the_order_of_pieces);
    tcase_add_test(tests, tiles_are_iso_216);
    tcase_add_loop_test(tests, known_pieces_take_known_numbers_of_tiles, 0,
                        G_N_ELEMENTS(known));
    tcase_add_test(tests, tiles_that_show_nothing_are_left_out);
    tcase_add_test(tests, paper_face_down_is_mirrored_in_its_place);
    tcase_add_test(tests, a_roll_is_one_page_as_wide_as_the_roll);
    tcase_add_test(tests, a_piece_wider_than_the_roll_goes_along_it);
    tcase_add_test(tests, what_a_roll_cannot_take_is_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
