/* The laid design on the papers: whole, exact at the seams, going on into the allowances. */
#include "ink/region.h"

#include "papers_for_tests.h"

#include <omp.h>
#include <string.h>

#define ALLOWANCE_MM 5.0
/* How far a design may be off at a seam (issue 7), and what carrying curves may be off. */
#define SEAM_MM    0.05
#define CARRIED_MM 0.02

/* --- Flat lines --- */

/* A path as points no further apart than step_mm; each subpath ends with a point not a number.
 */
static GArray *sampled(const TapulPath *path, double step_mm) {
    const TapulVec2 gap = {NAN, NAN};
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath) {
            g_array_append_val(points, gap);
            g_array_append_val(points, piece.p[0]);
        }
        int n = (int)ceil(tapul_cubic_length(piece.p) / step_mm);
        for (int i = 1; i <= MAX(n, 1); i++) {
            TapulVec2 at = tapul_cubic_point(piece.p, (double)i / MAX(n, 1));
            g_array_append_val(points, at);
        }
    }
    return points;
}

static TapulVec2 point_of(const GArray *points, guint i) {
    return g_array_index(points, TapulVec2, i);
}

static gboolean is_gap(TapulVec2 p) {
    return isnan(p.x);
}

/* --- Designs --- */

/* Mark i is known again on the papers by its grey. */
static double label(guint i) {
    return 1e-6 * i;
}

static void label_marks(const GPtrArray *laid) {
    guint n = 0;
    for (guint l = 0; l < laid->len; l++) {
        const TapulCaseLaid *each = g_ptr_array_index(laid, l);
        for (guint m = 0; m < each->ink->marks->len; m++)
            ((TapulMark *)g_ptr_array_index(each->ink->marks, m))->grey = label(n++);
    }
}

static TapulPath *circle(TapulVec2 middle, double radius_mm, gboolean clockwise) {
    const double k = 0.5522847498307936; /* the usual quarter circle */
    double turn = clockwise ? -1 : 1;
    TapulPath *path = tapul_path_new();
    TapulVec2 at = tapul_vec2_add(middle, tapul_vec2(radius_mm, 0));
    tapul_path_move(path, at);
    for (int i = 0; i < 4; i++) {
        TapulVec2 here = tapul_vec2_turn(tapul_vec2(radius_mm, 0), turn * i * G_PI / 2);
        TapulVec2 next = tapul_vec2_turn(tapul_vec2(radius_mm, 0), turn * (i + 1) * G_PI / 2);
        TapulVec2 c1 = tapul_vec2_add(here, tapul_vec2_scale(next, k));
        TapulVec2 c2 = tapul_vec2_add(next, tapul_vec2_scale(here, k));
        tapul_path_curve(path, tapul_vec2_add(middle, c1), tapul_vec2_add(middle, c2),
                         tapul_vec2_add(middle, next));
    }
    tapul_path_close(path);
    return path;
}

static void append_path(TapulPath *path, const TapulPath *more) {
    g_array_append_vals(path->verbs, more->verbs->data, more->verbs->len);
    g_array_append_vals(path->points, more->points->data, more->points->len);
}

/* Lines up and across and circles every 9 mm over a square, and rings. */
static void draw_design(TestPapers *papers, double half_mm) {
    for (double at = -half_mm; at <= half_mm; at += 9) {
        papers_add_mark(papers, TAPUL_MARK_STROKE, test_line(-half_mm, at, half_mm, at + 3));
        papers_add_mark(papers, TAPUL_MARK_STROKE, test_line(at, -half_mm, at + 4, half_mm));
        for (double y = -half_mm; y <= half_mm; y += 18)
            papers_add_mark(papers, TAPUL_MARK_STROKE, circle(tapul_vec2(at, y), 7, FALSE));
    }
    for (double at = -half_mm; at <= half_mm; at += 21)
        for (double y = -half_mm; y <= half_mm; y += 21) {
            g_autoptr(TapulPath) hole = circle(tapul_vec2(at, y), 4, FALSE);
            TapulPath *ring = circle(tapul_vec2(at, y), 9, FALSE);
            append_path(ring, hole);
            papers_add_mark(papers, TAPUL_MARK_FILL, ring)->even_odd = TRUE;
        }
    label_marks(papers->laid);
}

/* A cap of a sphere with darts and a part of its own, the design all over it. */
static TestPapers *designed_cap(void) {
    TestPapers *papers = papers_new_take(
        test_ground_new("{ kind: sphere, radius_mm: 100, half_angle_deg: 40 }", 64));
    papers_add_cut(papers, 2, (const double[][2]){{1, 1}, {0, 50}});
    papers_add_cut(papers, 2, (const double[][2]){{-63, 66}, {-18, 70}});
    papers_add_cut(papers, 2, (const double[][2]){{-45, 109}, {60, 84}});
    draw_design(papers, 36);
    papers_cut(papers);
    return papers;
}

/* --- Where strokes cross seams --- */

/* What a design and its papers are, whether made by hand or by a case. */
typedef struct {
    const TapulCase *question;
    const GPtrArray *laid, *pieces;
    const TapulPattern *pattern;
} Scene;

/* From a mark's label to a GPtrArray of its sampled paths on a paper. */
static GHashTable *lines_by_mark(const TapulPouncePiece *piece) {
    GHashTable *lines =
        g_hash_table_new_full(NULL, NULL, NULL, (GDestroyNotify)g_ptr_array_unref);
    for (guint i = 0; i < piece->ink->len; i++) {
        const TapulMark *mark = g_ptr_array_index(piece->ink, i);
        if (mark->kind != TAPUL_MARK_STROKE)
            continue;
        gpointer key = GINT_TO_POINTER((int)lround(mark->grey * 1e6));
        GPtrArray *known = g_hash_table_lookup(lines, key);
        if (!known) {
            known = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
            g_hash_table_insert(lines, key, known);
        }
        g_ptr_array_add(known, sampled(mark->path, 0.1));
    }
    return lines;
}

/* Distance of the nearest line of a mark, and its direction there. */
static double nearest_line(GHashTable *lines, guint mark, TapulVec2 p, TapulVec2 *direction) {
    const GPtrArray *known = g_hash_table_lookup(lines, GINT_TO_POINTER((int)mark));
    double nearest_mm = INFINITY;
    for (guint k = 0; known && k < known->len; k++) {
        const GArray *points = g_ptr_array_index(known, k);
        for (guint i = 0; i + 1 < points->len; i++) {
            TapulVec2 a = point_of(points, i), b = point_of(points, i + 1);
            if (is_gap(a) || is_gap(b))
                continue;
            double distance_mm = segment_distance(p, a, b);
            if (distance_mm >= nearest_mm)
                continue;
            nearest_mm = distance_mm;
            *direction = tapul_vec2_sub(b, a);
        }
    }
    return nearest_mm;
}

/* Signed angle from a to b as undirected lines, in (-90, 90] degrees. */
static double line_angle_deg(TapulVec2 a, TapulVec2 b) {
    double angle = atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b)) * 180 / G_PI;
    return angle > 90 ? angle - 180 : angle <= -90 ? angle + 180 : angle;
}

typedef struct {
    int crossings;
    double worst_mm, worst_deg;
} Crossings;

/* What a stroke that crosses edge k of a seam at a share of it shows on both papers. */
static void check_crossing(const Scene *scene, GHashTable *const *lines, const TapulSeam *seam,
                           int k, double share, guint mark, Crossings *found) {
    double angle_deg[2];
    for (int side = 0; side < 2; side++) {
        const TapulPouncePiece *piece =
            g_ptr_array_index(scene->pieces, (guint)seam->piece[side]);
        const TapulVec2 *flat_mm = piece->piece->development->flat_mm;
        TapulVec2 a = flat_mm[seam->vertex[side][k]], b = flat_mm[seam->vertex[side][k + 1]];
        TapulVec2 direction = {0, 0};
        double off_mm = nearest_line(lines[seam->piece[side]], mark,
                                     tapul_vec2_mix(a, b, share), &direction);
        found->worst_mm = fmax(found->worst_mm, off_mm);
        angle_deg[side] = line_angle_deg(tapul_vec2_sub(b, a), direction);
    }
    double bend_deg = fabs(angle_deg[0] - angle_deg[1]);
    found->worst_deg = fmax(found->worst_deg, fmin(bend_deg, 180 - bend_deg));
    found->crossings++;
}

/* All crossings of a laid stroke, flat, with an edge of a seam. */
static void cross_edge(const Scene *scene, GHashTable *const *lines, const TapulSeam *seam,
                       int k, const TapulVec2 edge[2], const GArray *points, guint mark,
                       Crossings *found) {
    TapulVec2 along = tapul_vec2_sub(edge[1], edge[0]);
    for (guint i = 0; i + 1 < points->len; i++) {
        TapulVec2 p = point_of(points, i), q = point_of(points, i + 1);
        if (is_gap(p) || is_gap(q))
            continue;
        TapulVec2 step = tapul_vec2_sub(q, p), to = tapul_vec2_sub(p, edge[0]);
        double across = tapul_vec2_cross(along, step);
        double share = tapul_vec2_cross(to, step) / across;
        double t = tapul_vec2_cross(to, along) / across;
        /* Strokes that run along a seam cross it nowhere in particular. */
        if (fabs(across) > 0.2 * tapul_vec2_length(along) * tapul_vec2_length(step) &&
            share >= 0 && share < 1 && t >= 0 && t < 1)
            check_crossing(scene, lines, seam, k, share, mark, found);
    }
}

static void cross_seam(const Scene *scene, GHashTable *const *lines, const TapulSeam *seam,
                       Crossings *found) {
    const TapulPiece *left = g_ptr_array_index(scene->pattern->pieces, (guint)seam->piece[0]);
    guint mark = 0;
    g_autofree TapulVec2 *base = g_new(TapulVec2, seam->n);
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < seam->n; i++) {
        base[i] = vertex_base(scene->question, left, seam->vertex[0][i]);
        tapul_box_add(&box, base[i]);
    }
    for (guint l = 0; l < scene->laid->len; l++) {
        const TapulCaseLaid *laid = g_ptr_array_index(scene->laid, l);
        for (guint m = 0; m < laid->ink->marks->len; m++, mark++) {
            const TapulMark *stroke = g_ptr_array_index(laid->ink->marks, m);
            if (stroke->kind != TAPUL_MARK_STROKE ||
                !tapul_boxes_overlap(box, tapul_path_box(stroke->path)))
                continue;
            g_autoptr(GArray) points = sampled(stroke->path, 0.1);
            /* Near the ends of a seam an allowance may be cut short. */
            for (int k = 0; k + 1 < seam->n; k++)
                cross_edge(scene, lines, seam, k, base + k, points, mark, found);
        }
    }
}

static Crossings cross_seams(const Scene *scene) {
    Crossings found = {0};
    guint n = scene->pieces->len;
    g_autofree GHashTable **lines = g_new(GHashTable *, n);
    for (guint i = 0; i < n; i++)
        lines[i] = lines_by_mark(g_ptr_array_index(scene->pieces, i));
    for (guint s = 0; s < scene->pattern->seams->len; s++)
        cross_seam(scene, lines, g_ptr_array_index(scene->pattern->seams, s), &found);
    for (guint i = 0; i < n; i++)
        g_hash_table_unref(lines[i]);
    return found;
}

/* A map that stretches by e one way and shrinks by as much the other bends angles by 2 e at
 * most (2 asin((a - b) / (a + b)) of its stretches a and b; Snyder 1987, p. 21, eq. 4-1, from
 * memory), and there are two papers. The curves are measured on chords of 0.1 mm, to half a
 * degree. */
static void check_crossings(const Scene *scene, const char *name, const Crossings *found) {
    double bend_deg = 4 * scene->pattern->stretch * 180 / G_PI + 0.5;
    g_print("%s: %d crossings, %.4f mm, %.2f of %.2f degrees\n", name, found->crossings,
            found->worst_mm, found->worst_deg, bend_deg);
    ck_assert_int_gt(found->crossings, 20);
    ck_assert_double_lt(found->worst_mm, SEAM_MM);
    ck_assert_double_lt(found->worst_deg, bend_deg);
}

/* --- All of it, once --- */

/* Length of a stroke's path over the development, from its paper. */
static double base_length(const TapulCase *question, const TapulPiece *piece,
                          const TapulPath *path) {
    g_autoptr(GArray) points = sampled(path, 0.1);
    double length_mm = 0;
    for (guint i = 0; i + 1 < points->len; i++) {
        TapulVec2 p = point_of(points, i), q = point_of(points, i + 1), from, to;
        if (is_gap(p) || is_gap(q))
            continue;
        /* A step over the paper's edge, a hundredth of a mm outside: as long as on paper. */
        gboolean known =
            paper_to_base(question, piece, p, &from) && paper_to_base(question, piece, q, &to);
        length_mm += known ? tapul_vec2_distance(from, to) : tapul_vec2_distance(p, q);
    }
    return length_mm;
}

typedef struct {
    const TapulCase *question;
    const TapulPiece *piece;
} Way;

static gboolean way_back(TapulVec2 paper_mm, TapulVec2 *base_mm, gpointer data) {
    const Way *way = data;
    return paper_to_base(way->question, way->piece, paper_mm, base_mm);
}

static double filled_mm2(const TapulPath *path, gboolean even_odd) {
    TapulRegions regions = tapul_regions_begin();
    gboolean estimated = FALSE;
    double area_mm2 = tapul_filled_area_mm2(&regions, path, even_odd, &estimated);
    tapul_regions_end(&regions);
    ck_assert(!estimated);
    return area_mm2;
}

/* Sums over all papers without allowances, in the development, and what was laid there. */
static void check_sums(const Scene *scene) {
    double laid_mm = 0, laid_mm2 = 0, found_mm = 0, found_mm2 = 0;
    for (guint l = 0; l < scene->laid->len; l++) {
        const TapulCaseLaid *laid = g_ptr_array_index(scene->laid, l);
        for (guint m = 0; m < laid->ink->marks->len; m++) {
            const TapulMark *mark = g_ptr_array_index(laid->ink->marks, m);
            if (mark->kind == TAPUL_MARK_STROKE)
                laid_mm += tapul_path_length(mark->path);
            else
                laid_mm2 += filled_mm2(mark->path, mark->even_odd);
        }
    }
    for (guint i = 0; i < scene->pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(scene->pieces, i);
        Way way = {scene->question, piece->piece};
        for (guint m = 0; m < piece->ink->len; m++) {
            const TapulMark *mark = g_ptr_array_index(piece->ink, m);
            if (mark->kind == TAPUL_MARK_STROKE) {
                found_mm += base_length(scene->question, piece->piece, mark->path);
                continue;
            }
            g_autoptr(TapulPath) back =
                tapul_path_warp(mark->path, way_back, &way, 0.002, TRUE, NULL);
            found_mm2 += filled_mm2(back, mark->even_odd);
        }
    }
    ck_assert_double_eq_tol(found_mm, laid_mm, 1e-4 * laid_mm);
    ck_assert_double_eq_tol(found_mm2, laid_mm2, 1e-4 * laid_mm2);
}

static double outside_mm(const GPtrArray *rings, TapulVec2 p) {
    if (tapul_rings_contain(rings, FALSE, p))
        return 0;
    double nearest_mm = INFINITY;
    for (guint r = 0; r < rings->len; r++) {
        const GArray *ring = g_ptr_array_index(rings, r);
        for (guint i = 0; i < ring->len; i++)
            nearest_mm =
                fmin(nearest_mm, segment_distance(p, point_of(ring, i),
                                                  point_of(ring, (i + 1) % ring->len)));
    }
    return nearest_mm;
}

static void check_within_cut(const TapulPouncePiece *piece) {
    g_autoptr(GPtrArray) rings = tapul_rings_new(piece->cut);
    ck_assert_uint_eq(piece->ink->len, piece->ink_laying->len);
    for (guint m = 0; m < piece->ink->len; m++) {
        const TapulMark *mark = g_ptr_array_index(piece->ink, m);
        g_autoptr(GArray) points = sampled(mark->path, 1);
        for (guint i = 0; i < points->len; i++)
            if (!is_gap(point_of(points, i)))
                ck_assert_double_lt(outside_mm(rings, point_of(points, i)), CARRIED_MM);
    }
}

/* --- Tests --- */

START_TEST(all_of_a_design_is_on_the_papers_once) {
    g_autoptr(TestPapers) papers = designed_cap();
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, 0);
    Scene scene = {&papers->question, papers->laid, pieces, papers->pattern};
    check_sums(&scene);
    for (guint i = 0; i < pieces->len; i++)
        check_within_cut(g_ptr_array_index(pieces, i));
}
END_TEST

START_TEST(a_design_goes_on_over_seams) {
    g_autoptr(TestPapers) papers = designed_cap();
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, ALLOWANCE_MM);
    Scene scene = {&papers->question, papers->laid, pieces, papers->pattern};
    Crossings found = cross_seams(&scene);
    check_crossings(&scene, "cap", &found);
    for (guint i = 0; i < pieces->len; i++)
        check_within_cut(g_ptr_array_index(pieces, i));
}
END_TEST

/* Where on a paper without a cut, moved rigidly, a place of the development lies. */
static TapulVec2 moved(const TapulDevelopment *from, const TapulDevelopment *to, TapulVec2 p) {
    int far = 0;
    for (int v = 1; v < from->mesh->n_vertices; v++)
        if (tapul_vec2_distance(from->flat_mm[v], from->flat_mm[0]) >
            tapul_vec2_distance(from->flat_mm[far], from->flat_mm[0]))
            far = v;
    TapulVec2 a = tapul_vec2_sub(from->flat_mm[far], from->flat_mm[0]);
    TapulVec2 b = tapul_vec2_sub(to->flat_mm[far], to->flat_mm[0]);
    double turn_rad = atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b));
    return tapul_vec2_add(to->flat_mm[0],
                          tapul_vec2_turn(tapul_vec2_sub(p, from->flat_mm[0]), turn_rad));
}

START_TEST(without_cuts_a_cylinders_paper_is_its_development) {
    g_autoptr(TestPapers) papers =
        papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    draw_design(papers, 100);
    papers_cut(papers);
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, ALLOWANCE_MM);
    ck_assert_uint_eq(pieces->len, 1);
    const TapulPouncePiece *piece = g_ptr_array_index(pieces, 0);
    const TapulCaseLaid *laid = g_ptr_array_index(papers->laid, 0);
    ck_assert_uint_eq(piece->ink->len, laid->ink->marks->len);
    for (guint m = 0; m < piece->ink->len; m++) {
        const TapulMark *was = g_ptr_array_index(laid->ink->marks, m);
        const TapulMark *now = g_ptr_array_index(piece->ink, m);
        g_autoptr(GArray) before = sampled(was->path, 1), after = sampled(now->path, 0.2);
        for (guint i = 0; i < before->len; i++) {
            TapulVec2 p = point_of(before, i);
            if (is_gap(p))
                continue;
            p = moved(papers->ground->development, piece->piece->development, p);
            double nearest_mm = INFINITY;
            for (guint k = 0; k + 1 < after->len; k++)
                if (!is_gap(point_of(after, k)) && !is_gap(point_of(after, k + 1)))
                    nearest_mm = fmin(nearest_mm, segment_distance(p, point_of(after, k),
                                                                   point_of(after, k + 1)));
            ck_assert_double_lt(nearest_mm, CARRIED_MM);
        }
        ck_assert_double_eq_tol(now->width_mm, was->width_mm, 1e-3 * 0.4);
    }
}
END_TEST

/* A cylinder parted along a ruling lies flat without stretch: what crosses the seam goes
 * straight on into the allowance, and a stroke stays one line. */
START_TEST(an_allowance_joins_on_without_a_step) {
    g_autoptr(TestPapers) papers =
        papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    papers_add_cut(papers, 2, (const double[][2]){{20, 1}, {20, 299}});
    for (int i = -10; i <= 10; i++)
        papers_add_mark(papers, TAPUL_MARK_STROKE, test_line(-60, 10 * i, 90, 10 * i + 5));
    papers_cut(papers);
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, ALLOWANCE_MM);
    const TapulSeam *seam = g_ptr_array_index(papers->pattern->seams, 0);
    const TapulPouncePiece *piece = g_ptr_array_index(pieces, (guint)seam->piece[0]);
    ck_assert_uint_eq(piece->ink->len, 21);
    double seam_base_mm = 100 * asin(0.2); /* the ruling's place on the development */
    for (guint m = 0; m < piece->ink->len; m++) {
        const TapulMark *mark = g_ptr_array_index(piece->ink, m);
        g_autoptr(GArray) points = sampled(mark->path, 0.5);
        TapulVec2 first = point_of(points, 1), last = point_of(points, points->len - 1);
        TapulVec2 along = tapul_vec2_sub(last, first);
        for (guint i = 2; i < points->len; i++) {
            ck_assert(!is_gap(point_of(points, i)));
            ck_assert_double_lt(
                fabs(tapul_vec2_cross(along, tapul_vec2_sub(point_of(points, i), first))) /
                    tapul_vec2_length(along),
                1e-3);
        }
        double slope = sqrt(1 + 1.0 / 900);
        double either_mm[2] = {(seam_base_mm + 60 + ALLOWANCE_MM) * slope,
                               (90 - seam_base_mm + ALLOWANCE_MM) * slope};
        ck_assert_double_lt(fmin(fabs(tapul_vec2_length(along) - either_mm[0]),
                                 fabs(tapul_vec2_length(along) - either_mm[1])),
                            0.02);
    }
}
END_TEST

START_TEST(the_number_of_threads_changes_nothing) {
    g_autoptr(TestPapers) papers = designed_cap();
    int threads = omp_get_max_threads();
    omp_set_num_threads(1);
    g_autoptr(GPtrArray) one = papers_pieces(papers, ALLOWANCE_MM);
    omp_set_num_threads(4);
    g_autoptr(GPtrArray) four = papers_pieces(papers, ALLOWANCE_MM);
    omp_set_num_threads(threads);
    for (guint i = 0; i < one->len; i++) {
        const TapulPouncePiece *a = g_ptr_array_index(one, i), *b = g_ptr_array_index(four, i);
        ck_assert_uint_eq(a->ink->len, b->ink->len);
        for (guint m = 0; m < a->ink->len; m++) {
            const TapulMark *p = g_ptr_array_index(a->ink, m),
                            *q = g_ptr_array_index(b->ink, m);
            ck_assert_uint_eq(p->path->points->len, q->path->points->len);
            ck_assert_mem_eq(p->path->points->data, q->path->points->data,
                             p->path->points->len * sizeof(TapulVec2));
        }
    }
}
END_TEST

/* --- The demonstration's prints --- */

static const struct {
    const char *name, *plate, *cuts, *print, *laying;
} cases[] = {
    {"peascod", "peascod-breastplate",
     "[[{across_mm: 0, up_mm: 0}, {across_mm: 0, up_mm: 120}], "
     "[{across_mm: -246, up_mm: 200}, {across_mm: 0, up_mm: 235}, {across_mm: 246, up_mm: "
     "200}]]",
     "kingfishers", "rule: viewed, anchor: { across_mm: 0, up_mm: 96 }"},
    {"besagew", "besagew",
     "[[{x_mm: 0, y_mm: 1}, {x_mm: 0, y_mm: 50}], [{x_mm: -63, y_mm: 64}, {x_mm: -15, y_mm: "
     "66}], "
     "[{x_mm: 63, y_mm: 64}, {x_mm: 15, y_mm: 66}]]",
     "mask-drapery", "rule: rolled, anchor: { x_mm: 0, y_mm: 64 }"},
    {"gauntlet-cuff", "gauntlet-cuff", "[[{x_mm: 15, y_mm: 1}, {x_mm: 20, y_mm: 136}]]",
     "scrolled-frieze", "rule: developed, anchor: { across_mm: 0, up_mm: 74 }, scale: 0.8"},
};

static TapulCase *load_case(int i) {
    g_autoptr(GError) error = NULL;
    const char *root = g_getenv("TAPUL_SOURCE_ROOT");
    g_autofree char *path = g_build_filename(g_get_tmp_dir(), "papers-XXXXXX.yaml", NULL);
    int file = g_mkstemp(path);
    ck_assert_int_ge(file, 0);
    g_close(file, NULL);
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: for a test\nplate: %s/shapes/%s.yaml\n"
        "development: { cuts: %s }\nprints:\n"
        "  - { id: print, file: %s/demo-prints/prints/%s.svg }\n"
        "layings:\n  - { print: print, %s }\n",
        root, cases[i].plate, cases[i].cuts, root, cases[i].print, cases[i].laying);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
    TapulCaseOptions options = tapul_case_options_defaults();
    options.leave_cuts = TRUE;
    TapulCase *question = tapul_case_load(path, &options, &error);
    g_unlink(path);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "no case");
    return question;
}

static TapulPattern *pattern_of(const TapulCase *question) {
    g_autoptr(GError) error = NULL;
    g_autofree TapulCutLine *line = g_new(TapulCutLine, question->cuts->len);
    for (guint i = 0; i < question->cuts->len; i++) {
        GArray *spots = g_ptr_array_index(question->cuts, i);
        line[i] = (TapulCutLine){(int)spots->len, (TapulSpot *)(void *)spots->data};
    }
    TapulPattern *pattern = tapul_pattern_new(tapul_plate_mesh(question->plate), line,
                                              (int)question->cuts->len, &error);
    ck_assert_msg(pattern != NULL, "%s", error ? error->message : "no pattern");
    return pattern;
}

START_TEST(the_demonstrations_prints_go_on_over_seams) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = load_case(_i);
    TapulCaseLayOptions options = tapul_case_lay_options_defaults();
    g_autoptr(GPtrArray) laid = tapul_case_lay(question, &options, &error);
    ck_assert_msg(laid != NULL, "%s", error ? error->message : "nothing laid");
    label_marks(laid);
    g_autoptr(TapulPattern) pattern = pattern_of(question);
    g_autoptr(GPtrArray) pieces = test_pieces_new(question, laid, pattern, ALLOWANCE_MM);
    Scene scene = {question, laid, pieces, pattern};
    Crossings found = cross_seams(&scene);
    check_crossings(&scene, cases[_i].name, &found);
    for (guint i = 0; i < pieces->len; i++)
        check_within_cut(g_ptr_array_index(pieces, i));
    g_autoptr(GPtrArray) bare = test_pieces_new(question, laid, pattern, 0);
    scene.pieces = bare;
    check_sums(&scene);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce ink");
    TCase *ink = tcase_create("ink");
    tcase_set_timeout(ink, 240);
    tcase_add_test(ink, all_of_a_design_is_on_the_papers_once);
    tcase_add_test(ink, a_design_goes_on_over_seams);
    tcase_add_test(ink, without_cuts_a_cylinders_paper_is_its_development);
    tcase_add_test(ink, an_allowance_joins_on_without_a_step);
    tcase_add_test(ink, the_number_of_threads_changes_nothing);
    tcase_add_loop_test(ink, the_demonstrations_prints_go_on_over_seams, 0,
                        G_N_ELEMENTS(cases));
    suite_add_tcase(suite, ink);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
