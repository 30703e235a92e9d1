/* The way back: lifting a design undoes laying it, within its promise, for every rule and on
 * several plates; and its sheet is the one that closed forms and PROJ give. */
#include "curves_for_tests.h"
#include "grounds_for_tests.h"

#include <proj.h>
#include <stdlib.h>
#include <tapul/lift.h>

/* What is promised of laying what was lifted. */
#define AGAIN_MM 0.05
/* One width stands for a stroke's: within half of the 10 % at which it would be cut, and what
 * is between. */
#define WIDTH_SHARE 0.06

static gboolean same_place(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = from;
    return TRUE;
}

static TapulPath *all_paths(const GPtrArray *marks) {
    TapulPath *whole = tapul_path_new();
    for (guint i = 0; i < marks->len; i++) {
        const TapulPath *part = ((const TapulMark *)g_ptr_array_index(marks, i))->path;
        g_array_append_vals(whole->verbs, part->verbs->data, part->verbs->len);
        g_array_append_vals(whole->points, part->points->data, part->points->len);
    }
    return whole;
}

static TapulLifted *lift_by(const TestGround *made, const TapulInk *found, TapulLayingRule rule,
                            TapulSpot anchor, double turn_rad, const TapulPath *region) {
    g_autoptr(GError) error = NULL;
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.rule = rule;
    options.anchor = anchor;
    options.turn_rad = turn_rad;
    options.region = region;
    TapulLifted *lifted = tapul_lift(&made->ground, found, NULL, &options, &error);
    ck_assert_msg(lifted != NULL, "%s", error ? error->message : "nothing lifted, no error");
    return lifted;
}

static TapulLaidInk *lay_again(const TapulLifted *lifted) {
    g_autoptr(GError) error = NULL;
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    TapulLaidInk *laid = tapul_lay_ink(lifted->laying, lifted->ink, &options, &error);
    ck_assert_msg(laid != NULL, "%s", error ? error->message : "nothing laid, no error");
    return laid;
}

/* --- Round trips --- */

typedef struct {
    double worst_mm; /* laid again from the design, and the design from it where all of it came
                        back */
    double lost_mm, all_mm;
} Round;

static void go_round(const TestGround *made, TapulLayingRule rule, GRand *random,
                     TapulVec2 middle, double half_side_mm, Round *round) {
    TapulInk *found = test_ink_new();
    TapulPath *path = random_path(random, half_side_mm, 3);
    for (guint i = 0; i < path->points->len; i++) {
        TapulVec2 *p = &g_array_index(path->points, TapulVec2, i);
        *p = tapul_vec2_add(*p, middle);
    }
    test_ink_take(found, TAPUL_MARK_STROKE, path);
    g_autoptr(TapulLifted) lifted =
        lift_by(made, found, rule, made->middle, g_rand_double_range(random, -3, 3), NULL);
    g_autoptr(TapulLaidInk) laid = lay_again(lifted);
    g_autoptr(TapulPath) again = all_paths(laid->marks);
    double away_mm = worst_distance(again, same_place, NULL, path);
    if (lifted->lost_mm == 0)
        away_mm = fmax(away_mm, worst_distance(path, same_place, NULL, again));
    round->worst_mm = fmax(round->worst_mm, away_mm);
    round->lost_mm += lifted->lost_mm;
    round->all_mm += tapul_path_length(path);
    test_ink_free(found);
}

static void check_rounds(const TestGround *made, const char *name, TapulVec2 middle,
                         double half_side_mm, double lost_share) {
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        GRand *random = g_rand_new_with_seed(7);
        Round round = {0};
        for (int i = 0; i < 40; i++)
            go_round(made, (TapulLayingRule)rule, random, middle, half_side_mm, &round);
        g_rand_free(random);
        const char *word = tapul_laying_rule_name((TapulLayingRule)rule);
        ck_assert_msg(round.worst_mm <= AGAIN_MM, "%s, %s: %.4f mm", name, word,
                      round.worst_mm);
        ck_assert_msg(round.lost_mm <= lost_share * round.all_mm,
                      "%s, %s: %.1f of %.1f mm lost", name, word, round.lost_mm, round.all_mm);
    }
}

START_TEST(lifted_design_is_laid_again_on_a_sphere) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    check_rounds(made, "sphere", tapul_vec2(0, 0), 80, 0);
}
END_TEST

START_TEST(lifted_design_is_laid_again_on_a_cone) {
    g_autoptr(TestGround) made =
        test_ground_new("{ kind: cone, lower_radius_mm: 95, upper_radius_mm: 65, height_mm: "
                        "160, sweep_deg: 150 }",
                        80);
    check_rounds(made, "cone", tapul_vec2(0, 0), 25, 0);
}
END_TEST

START_TEST(lifted_design_is_laid_again_on_a_breastplate) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 240);
    check_rounds(made, "breastplate over the ridge", tapul_vec2(0, 0), 80, 0.02);
    check_rounds(made, "breastplate beside the ridge", tapul_vec2(80, 0), 45, 0);
}
END_TEST

/* --- Print to plate to print --- */

START_TEST(laid_print_is_lifted_again) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        g_autoptr(GError) error = NULL;
        TapulLayingOptions options = {.rule = (TapulLayingRule)rule,
                                      .anchor = made->middle,
                                      .print_anchor_mm = {30, 40},
                                      .scale = 1,
                                      .turn_rad = 0.4};
        g_autoptr(TapulLaying) laying = tapul_laying_new(&made->ground, &options, &error);
        ck_assert_ptr_nonnull(laying);
        TapulInk *print = test_ink_new(), *found = test_ink_new();
        TapulMark *mark = test_ink_take(print, TAPUL_MARK_STROKE, test_line(0, 0, 80, 70));
        TapulLayInkOptions lay = tapul_lay_ink_options_defaults();
        g_autoptr(TapulLaidInk) laid = tapul_lay_ink(laying, print, &lay, &error);
        ck_assert_ptr_nonnull(laid);
        for (guint i = 0; i < laid->marks->len; i++)
            g_ptr_array_add(found->marks, tapul_mark_copy(g_ptr_array_index(laid->marks, i)));
        g_autoptr(TapulLifted) lifted =
            lift_by(made, found, (TapulLayingRule)rule, made->middle, 0.4, NULL);
        g_autoptr(TapulPath) back = all_paths(lifted->ink->marks);
        TapulVec2 moved = tapul_vec2_sub(options.print_anchor_mm, lifted->anchor_mm);
        for (guint i = 0; i < back->points->len; i++) {
            TapulVec2 *p = &g_array_index(back->points, TapulVec2, i);
            *p = tapul_vec2_add(*p, moved);
        }
        ck_assert_double_le(worst_distance(mark->path, same_place, NULL, back), AGAIN_MM);
        ck_assert_double_le(worst_distance(back, same_place, NULL, mark->path), AGAIN_MM);
        ck_assert_double_eq_tol(lifted->ink->ink_length_mm, hypot(80, 70), AGAIN_MM);
        for (guint i = 0; i < lifted->ink->marks->len; i++) {
            const TapulMark *again = g_ptr_array_index(lifted->ink->marks, i);
            ck_assert_double_eq_tol(again->width_mm, 0.4, WIDTH_SHARE * 0.4);
        }
        test_ink_free(print);
        test_ink_free(found);
    }
}
END_TEST

/* --- Closed forms --- */

/* Short strokes that start at points seen at x, y from the middle of the plate's front; the
 * first at the middle itself. */
static TapulInk *strokes_at(const TestGround *made, double middle_mm, const TapulVec2 *front_mm,
                            guint n) {
    TapulInk *found = test_ink_new();
    for (guint i = 0; i < n; i++) {
        TapulSpot spot = front_spot(made->plate, front_mm[i].x, middle_mm + front_mm[i].y);
        TapulVec2 at = tapul_development_point_mm(made->development, spot);
        test_ink_take(found, TAPUL_MARK_STROKE, test_line(at.x, at.y, at.x + 0.5, at.y + 0.5));
    }
    return found;
}

static TapulVec2 start_of(const TapulLifted *lifted, guint i) {
    const TapulMark *mark = g_ptr_array_index(lifted->ink->marks, i);
    return g_array_index(mark->path->points, TapulVec2, 0);
}

static const TapulVec2 seen_mm[] = {{0, 0},    {30, 20},  {-45, 60}, {80, -30},
                                    {-90, 40}, {10, 110}, {70, 70}};

/* The sheet of a design on a sphere is its azimuthal equidistant projection where it was rolled
 * on, and its orthographic one where it was viewed (Snyder 1987, 191 and 145), by PROJ. */
static void check_sphere(TapulLayingRule rule, const char *projection) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    TapulInk *found = strokes_at(made, SPHERE_MIDDLE_MM, seen_mm, G_N_ELEMENTS(seen_mm));
    g_autoptr(TapulLifted) lifted = lift_by(made, found, rule, made->middle, 0, NULL);
    PJ_CONTEXT *context = proj_context_create();
    PJ *map = proj_create(context, projection);
    ck_assert_ptr_nonnull(map);
    for (guint i = 0; i < G_N_ELEMENTS(seen_mm); i++) {
        double x = seen_mm[i].x, y = seen_mm[i].y, z = sqrt(150 * 150 - x * x - y * y);
        PJ_COORD flat = proj_trans(map, PJ_FWD, proj_coord(atan2(x, z), asin(y / 150), 0, 0));
        TapulVec2 at = tapul_vec2_sub(start_of(lifted, i), start_of(lifted, 0));
        ck_assert_double_eq_tol(at.x, flat.xy.x, AGAIN_MM);
        ck_assert_double_eq_tol(at.y, flat.xy.y, AGAIN_MM);
    }
    proj_destroy(map);
    proj_context_destroy(context);
    test_ink_free(found);
}

START_TEST(rolled_sheet_of_a_sphere_is_azimuthal_equidistant) {
    check_sphere(TAPUL_LAYING_ROLLED, "+proj=aeqd +R=150 +lat_0=0 +lon_0=0");
}
END_TEST

START_TEST(viewed_sheet_of_a_sphere_is_orthographic) {
    check_sphere(TAPUL_LAYING_VIEWED, "+proj=ortho +R=150 +lat_0=0 +lon_0=0");
}
END_TEST

/* A cylinder unrolled: what is seen at x was R asin(x / R) along the sheet. */
START_TEST(sheet_of_a_cylinder_is_unrolled) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulInk *found = strokes_at(made, CYLINDER_MIDDLE_MM, seen_mm, G_N_ELEMENTS(seen_mm));
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_DEVELOPED; rule++) {
        g_autoptr(TapulLifted) lifted =
            lift_by(made, found, (TapulLayingRule)rule, made->middle, 0, NULL);
        for (guint i = 0; i < G_N_ELEMENTS(seen_mm); i++) {
            TapulVec2 at = tapul_vec2_sub(start_of(lifted, i), start_of(lifted, 0));
            ck_assert_double_eq_tol(at.x, 100 * asin(seen_mm[i].x / 100), AGAIN_MM);
            ck_assert_double_eq_tol(at.y, seen_mm[i].y, AGAIN_MM);
        }
        ck_assert_double_eq_tol(lifted->stretch_min, 1, 2e-3);
        ck_assert_double_eq_tol(lifted->stretch_max, 1, 2e-3);
    }
    test_ink_free(found);
}
END_TEST

/* --- The sheet's frame --- */

START_TEST(plate_mark_is_the_design_and_a_margin) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    const struct { double side_mm, margin_mm; } cases[] = {{20, 2}, {100, 0.03 * 100.4}};
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        double half_mm = cases[i].side_mm / 2, margin_mm = cases[i].margin_mm;
        TapulInk *found = test_ink_new();
        test_ink_take(found, TAPUL_MARK_STROKE, test_line(-half_mm, -10, half_mm, 10));
        g_autoptr(TapulLifted) lifted =
            lift_by(made, found, TAPUL_LAYING_DEVELOPED, made->middle, 0, NULL);
        /* The stroke is 0.4 mm wide. */
        ck_assert_double_eq_tol(lifted->margin_mm, margin_mm, 1e-3);
        ck_assert_double_eq_tol(lifted->width_mm, cases[i].side_mm + 0.4 + 2 * margin_mm, 2e-3);
        ck_assert_double_eq_tol(lifted->height_mm, 20.4 + 2 * margin_mm, 2e-3);
        ck_assert_double_eq_tol(start_of(lifted, 0).x, margin_mm + 0.2, 1e-3);
        ck_assert_double_eq_tol(start_of(lifted, 0).y, margin_mm + 0.2, 1e-3);
        TapulInk *mirrored = tapul_lifted_reversed(lifted);
        const TapulMark *first = g_ptr_array_index(mirrored->marks, 0);
        ck_assert_double_eq_tol(g_array_index(first->path->points, TapulVec2, 0).x,
                                lifted->width_mm - margin_mm - 0.2, 1e-3);
        ck_assert_double_eq_tol(mirrored->ink_length_mm, lifted->ink->ink_length_mm, 1e-9);
        tapul_ink_free(mirrored);
        test_ink_free(found);
    }
}
END_TEST

/* --- Regions --- */

static TapulPath *rectangle(double x0, double y0, double x1, double y1) {
    TapulPath *path = test_line(x0, y0, x1, y0);
    tapul_path_line(path, tapul_vec2(x1, y1));
    tapul_path_line(path, tapul_vec2(x0, y1));
    tapul_path_close(path);
    return path;
}

static TapulPath *region_on(const TestGround *made, double x0, double y0, double x1,
                            double y1) {
    const TapulVec2 outline[] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    g_autoptr(GError) error = NULL;
    TapulPath *region = tapul_lift_region(&made->ground, outline, 4, &error);
    ck_assert_msg(region != NULL, "%s", error ? error->message : "no region, no error");
    return region;
}

/* An area and a line over most of a cylinder; of both only what lies between x -30 and 50 and
 * within 40 mm of the middle. */
START_TEST(region_keeps_what_is_within) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulInk *found = test_ink_new();
    test_ink_take(found, TAPUL_MARK_FILL, rectangle(-120, -100, 120, 100));
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(-120, 5, 120, 5));
    g_autoptr(TapulPath) region =
        region_on(made, -30, CYLINDER_MIDDLE_MM - 40, 50, CYLINDER_MIDDLE_MM + 40);
    g_autoptr(TapulLifted) lifted =
        lift_by(made, found, TAPUL_LAYING_DEVELOPED, made->middle, 0, region);
    double wide_mm = 100 * (asin(0.5) - asin(-0.3));
    const TapulMark *area = g_ptr_array_index(lifted->ink->marks, 0);
    ck_assert_int_eq(area->kind, TAPUL_MARK_FILL);
    /* All around, 0.05 mm. */
    ck_assert_double_eq_tol(fabs(tapul_path_area(area->path)), wide_mm * 80,
                            AGAIN_MM * 2 * (wide_mm + 80));
    ck_assert_double_eq_tol(lifted->ink->ink_length_mm, wide_mm, 2 * AGAIN_MM);
    ck_assert_double_eq(lifted->lost_mm, 0);
    test_ink_free(found);
}
END_TEST

/* Drawn far beyond the plate's edge, a region is all that is seen of the plate. */
START_TEST(region_beyond_the_edge_ends_at_it) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TapulPath) region = region_on(made, -400, -400, 400, 400);
    double area_mm2 = made->development->developed_area_mm2;
    ck_assert_double_eq_tol(fabs(tapul_path_area(region)), area_mm2, 1e-3 * area_mm2);
    g_autoptr(TapulPath) half = region_on(made, 0, -400, 400, 400);
    ck_assert_double_eq_tol(fabs(tapul_path_area(half)), area_mm2 / 2, 1e-3 * area_mm2);
}
END_TEST

/* A tube's back is not seen from the front. Seen is half of 300 degrees' 180; within 0.01 mm of
 * the outline 1.4 mm of the metal lie on each side. */
START_TEST(region_is_of_the_metal_that_is_seen) {
    g_autoptr(TestGround) made = test_ground_new(
        "{ kind: cylinder, radius_mm: 100, height_mm: 100, sweep_deg: 300 }", 50);
    g_autoptr(TapulPath) region = region_on(made, -400, -400, 400, 400);
    double seen_mm2 = G_PI * 100 * 100;
    ck_assert_double_le(fabs(tapul_path_area(region)), 1.001 * seen_mm2);
    ck_assert_double_ge(fabs(tapul_path_area(region)), 0.97 * seen_mm2);
}
END_TEST

START_TEST(region_beside_the_plate_or_the_design_is_refused) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    const TapulVec2 beside[] = {{200, 0}, {300, 0}, {300, 100}};
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_lift_region(&made->ground, beside, 3, &error));
    ck_assert(g_error_matches(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE));
    ck_assert_ptr_nonnull(strstr(error->message, "x 200 to 300"));
    g_clear_error(&error);
    TapulInk *found = test_ink_new();
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(-20, 100, 20, 100));
    g_autoptr(TapulPath) region = region_on(made, -20, 20, 20, 60);
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.anchor = made->middle;
    options.region = region;
    ck_assert_ptr_null(tapul_lift(&made->ground, found, NULL, &options, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "within the region"));
    test_ink_free(found);
}
END_TEST

/* --- Photographs --- */

#define PIXEL_MM 0.25
#define DOT_MM   1.5 /* radius */

/* Dots of the sheet, from its anchor. */
static const TapulVec2 dots_mm[] = {{0, 0}, {60, 10}, {-50, 45}, {20, -70}, {-75, -40}};

/* The place of the rolled sheet that lies at a spot of the sphere, by closed form (azimuthal
 * equidistant, Snyder 1987, 195). */
static TapulVec2 sphere_sheet(const TestGround *made, TapulSpot spot) {
    TapulVec3 at = spot_mm(made, spot);
    TapulVec2 aside = {at.x, at.y - SPHERE_MIDDLE_MM};
    double length_mm = tapul_vec2_length(aside);
    double arc_mm = 150 * atan2(length_mm, at.z);
    return length_mm > 0 ? tapul_vec2_scale(aside, arc_mm / length_mm) : aside;
}

/* What a perfect rectified photograph of the dots, rolled on, shows: green metal, black dots.
 */
static TapulRectified *photograph_dots(const TestGround *made) {
    TapulRectified *rectified = g_new0(TapulRectified, 1);
    rectified->box_mm = (TapulBox){{-100, -100}, {100, 100}};
    rectified->pixel_mm = PIXEL_MM;
    rectified->width_px = rectified->height_px = (int)(200 / PIXEL_MM);
    int side = rectified->width_px;
    rectified->rgba = g_malloc0(4 * (gsize)side * (gsize)side);
    for (int i = 0; i < side * side; i++) {
        TapulVec2 at = {-100 + (i % side + 0.5) * PIXEL_MM, 100 - (i / side + 0.5) * PIXEL_MM};
        TapulSpot spot;
        if (!tapul_development_finder_spot(made->finder, at, &spot))
            continue;
        TapulVec2 sheet_mm = sphere_sheet(made, spot);
        double away_mm = INFINITY;
        for (guint k = 0; k < G_N_ELEMENTS(dots_mm); k++)
            away_mm = fmin(away_mm, tapul_vec2_distance(sheet_mm, dots_mm[k]));
        /* Grey over a pixel at the dot's rim, as a lens gives it. */
        double bright = CLAMP((away_mm - DOT_MM) / PIXEL_MM + 0.5, 0, 1);
        rectified->rgba[4 * i + 1] = (guint8)lround(200 * bright);
        rectified->rgba[4 * i + 3] = 255;
    }
    return rectified;
}

/* The middle of what is dark around a place of the sheet; its darkness in pixels. */
static TapulVec2 dark_middle(const TapulLifted *lifted, TapulVec2 about_mm, double *dark_px) {
    TapulVec2 sum = {0, 0};
    *dark_px = 0;
    for (int y = 0; y < lifted->height_px; y++)
        for (int x = 0; x < lifted->width_px; x++) {
            TapulVec2 at = {(x + 0.5) * lifted->pixel_mm,
                            lifted->height_mm - (y + 0.5) * lifted->pixel_mm};
            const guint8 *pixel =
                lifted->rgba + 4 * ((gsize)y * (gsize)lifted->width_px + (gsize)x);
            if (tapul_vec2_distance(at, about_mm) > 2.5 * DOT_MM || pixel[3] == 0)
                continue;
            double dark = 1 - pixel[1] / 200.0;
            sum = tapul_vec2_add(sum, tapul_vec2_scale(at, dark));
            *dark_px += dark;
        }
    return tapul_vec2_scale(sum, 1 / *dark_px);
}

START_TEST(photographed_dots_lie_on_the_sheet_where_they_were) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    TapulRectified *rectified = photograph_dots(made);
    g_autoptr(GError) error = NULL;
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.anchor = made->middle;
    g_autoptr(TapulLifted) lifted =
        tapul_lift(&made->ground, NULL, rectified, &options, &error);
    ck_assert_msg(lifted != NULL, "%s", error ? error->message : "nothing lifted");
    ck_assert_ptr_null(lifted->ink);
    ck_assert_double_eq(lifted->pixel_mm, PIXEL_MM);
    for (guint i = 0; i < G_N_ELEMENTS(dots_mm); i++) {
        TapulVec2 expected = tapul_vec2_add(lifted->anchor_mm, dots_mm[i]);
        double dark_px;
        TapulVec2 at = dark_middle(lifted, expected, &dark_px);
        ck_assert_msg(tapul_vec2_distance(at, expected) <= AGAIN_MM, "dot %u: %.4f mm off", i,
                      tapul_vec2_distance(at, expected));
        ck_assert_double_eq_tol(dark_px * PIXEL_MM * PIXEL_MM, G_PI * DOT_MM * DOT_MM, 0.1);
    }
    tapul_rectified_free(rectified);
}
END_TEST

/* Of a region's photograph the rest is clear, and its plate mark is the region's own. */
START_TEST(photograph_is_lifted_within_its_region) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulRectified *rectified = photograph_dots(made);
    g_autoptr(TapulPath) region =
        region_on(made, -20, CYLINDER_MIDDLE_MM - 30, 20, CYLINDER_MIDDLE_MM + 30);
    g_autoptr(GError) error = NULL;
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.rule = TAPUL_LAYING_DEVELOPED;
    options.anchor = made->middle;
    options.region = region;
    g_autoptr(TapulLifted) lifted =
        tapul_lift(&made->ground, NULL, rectified, &options, &error);
    ck_assert_msg(lifted != NULL, "%s", error ? error->message : "nothing lifted");
    double shown_px = 0;
    for (int i = 0; i < lifted->width_px * lifted->height_px; i++)
        shown_px += lifted->rgba[4 * i + 3] / 255.0;
    double wide_mm = 200 * asin(0.2), rim_mm = 2 * (wide_mm + 60);
    ck_assert_double_eq_tol(shown_px * PIXEL_MM * PIXEL_MM, wide_mm * 60, rim_mm * PIXEL_MM);
    tapul_rectified_free(rectified);
}
END_TEST

/* --- What cannot be brought back --- */

START_TEST(hidden_ink_is_counted) {
    g_autoptr(TestGround) made = test_ground_new(
        "{ kind: cylinder, radius_mm: 100, height_mm: 100, sweep_deg: 300 }", 50);
    TapulInk *found = test_ink_new();
    /* Over 2 rad, of which the front shows up to a quarter turn. */
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(50, 0, 250, 0));
    g_autoptr(TapulLifted) viewed =
        lift_by(made, found, TAPUL_LAYING_VIEWED, made->middle, 0, NULL);
    /* Metal seen at less than 0.6 degrees is no more seen, over 1 mm. */
    ck_assert_double_eq_tol(viewed->lost_mm, 250 - 100 * G_PI / 2, 1.5);
    ck_assert_double_eq_tol(viewed->ink->ink_length_mm, 100 * (1 - sin(0.5)), AGAIN_MM);
    g_autoptr(TapulLifted) rolled =
        lift_by(made, found, TAPUL_LAYING_ROLLED, made->middle, 0, NULL);
    ck_assert_double_eq(rolled->lost_mm, 0);
    g_autoptr(GError) error = NULL;
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.rule = TAPUL_LAYING_VIEWED;
    options.anchor = made->middle;
    test_ink_free(found);
    found = test_ink_new();
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(200, 0, 250, 0));
    ck_assert_ptr_null(tapul_lift(&made->ground, found, NULL, &options, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "the rule viewed brings nothing"));
    test_ink_free(found);
}
END_TEST

/* --- Where the answer depends on the rule --- */

/* A level line over the front of a cylinder: unrolled it keeps its length, viewed it becomes
 * 2 R sin(s / R), symmetrically. The sheets lay turned, which makes no difference. */
START_TEST(rules_are_compared_as_sheets) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulInk *found = test_ink_new();
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(-60, 0, 60, 0));
    g_autoptr(GArray) points = tapul_lift_points(found, NULL, NULL);
    ck_assert_uint_ge(points->len, 50);
    g_autoptr(TapulLifted) rolled =
        lift_by(made, found, TAPUL_LAYING_ROLLED, made->middle, 0.3, NULL);
    g_autoptr(TapulLifted) developed =
        lift_by(made, found, TAPUL_LAYING_DEVELOPED, made->middle, -0.5, NULL);
    g_autoptr(TapulLifted) viewed =
        lift_by(made, found, TAPUL_LAYING_VIEWED, made->middle, 1.1, NULL);
    TapulLifted *const alike[] = {rolled, developed}, *const all[] = {rolled, developed,
                                                                      viewed};
    g_autoptr(TapulLiftComparison) same = tapul_lift_compare(&made->ground, points, 2, alike);
    ck_assert_double_le(same->max_mm, AGAIN_MM);
    ck_assert_uint_eq(same->apart->len, 0);
    ck_assert_double_eq_tol(same->turn_rad[1], -0.5 - 0.3, 1e-3);
    g_autoptr(TapulLiftComparison) unlike = tapul_lift_compare(&made->ground, points, 3, all);
    /* Points stand 2 mm apart: the last one up to that from the end; and so does the mean. */
    ck_assert_double_le(unlike->max_mm, 60 - 100 * sin(0.6) + AGAIN_MM);
    ck_assert_double_ge(unlike->max_mm, 58 - 100 * sin(0.58) - AGAIN_MM);
    ck_assert_double_ge(fabs(unlike->at_developed_mm.x), 57.9);
    ck_assert_uint_gt(unlike->apart->len, 0);
    ck_assert_uint_lt(unlike->apart->len, points->len);
    test_ink_free(found);
}
END_TEST

START_TEST(anchor_defaults_to_the_middle) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulInk *found = test_ink_new();
    test_ink_take(found, TAPUL_MARK_STROKE, test_line(10, -20, 70, 60));
    g_autoptr(GArray) points = tapul_lift_points(found, NULL, NULL);
    TapulSpot spot;
    ck_assert(tapul_lift_middle(&made->ground, points, &spot));
    TapulVec2 at = tapul_development_point_mm(made->development, spot);
    ck_assert_double_le(tapul_vec2_distance(at, tapul_vec2(40, 20)), 2);
    /* Of a design on both sides of nothing, a point of itself. */
    g_array_set_size(points, 2);
    g_array_index(points, TapulVec2, 0) = tapul_vec2(0, 140);
    g_array_index(points, TapulVec2, 1) = tapul_vec2(0, 600);
    ck_assert(tapul_lift_middle(&made->ground, points, &spot));
    at = tapul_development_point_mm(made->development, spot);
    ck_assert_double_le(tapul_vec2_distance(at, tapul_vec2(0, 140)), 0.01);
    g_array_set_size(points, 0);
    ck_assert(!tapul_lift_middle(&made->ground, points, &spot));
    test_ink_free(found);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("lift");
    TCase *rounds = tcase_create("rounds");
    tcase_set_timeout(rounds, 300);
    tcase_add_test(rounds, lifted_design_is_laid_again_on_a_sphere);
    tcase_add_test(rounds, lifted_design_is_laid_again_on_a_cone);
    tcase_add_test(rounds, lifted_design_is_laid_again_on_a_breastplate);
    tcase_add_test(rounds, laid_print_is_lifted_again);
    suite_add_tcase(suite, rounds);
    TCase *sheets = tcase_create("sheets");
    tcase_set_timeout(sheets, 120);
    tcase_add_test(sheets, rolled_sheet_of_a_sphere_is_azimuthal_equidistant);
    tcase_add_test(sheets, viewed_sheet_of_a_sphere_is_orthographic);
    tcase_add_test(sheets, sheet_of_a_cylinder_is_unrolled);
    tcase_add_test(sheets, plate_mark_is_the_design_and_a_margin);
    tcase_add_test(sheets, hidden_ink_is_counted);
    tcase_add_test(sheets, rules_are_compared_as_sheets);
    tcase_add_test(sheets, anchor_defaults_to_the_middle);
    suite_add_tcase(suite, sheets);
    TCase *regions = tcase_create("regions");
    tcase_set_timeout(regions, 120);
    tcase_add_test(regions, region_keeps_what_is_within);
    tcase_add_test(regions, region_beyond_the_edge_ends_at_it);
    tcase_add_test(regions, region_is_of_the_metal_that_is_seen);
    tcase_add_test(regions, region_beside_the_plate_or_the_design_is_refused);
    suite_add_tcase(suite, regions);
    TCase *photographs = tcase_create("photographs");
    tcase_set_timeout(photographs, 120);
    tcase_add_test(photographs, photographed_dots_lie_on_the_sheet_where_they_were);
    tcase_add_test(photographs, photograph_is_lifted_within_its_region);
    suite_add_tcase(suite, photographs);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
