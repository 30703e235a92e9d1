/* A piece's drawing: its edges, its design, a bite's resist; and the marks it is laid by. */
#include "sheet/pounce_parts.h"

#include "sheet/inking.h"

/* Lines of the drawing, ISO 128 widths: cut 0.25, score and edge of the metal 0.18. */
#define CUT_MM   0.25
#define SCORE_MM 0.18
/* Lines of crosses and notches, and the white on either side of them. */
#define MARK_MM 0.25
#define HALO_MM 0.25
/* A tick across a seam, on either side of it; long enough to be met by a knife. */
#define NOTCH_HALF_MM 3.0
/* A cross: where its arms begin and end, and the dot between them. */
#define CROSS_FROM_MM 0.7
#define CROSS_TO_MM   4.0
#define CROSS_DOT_MM  0.12

/* Makes a cubic's quarter circle (Goldapp 1991). */
#define CIRCLE_HANDLE 0.5522847498

/* --- Marks --- */

TapulPath *tapul_disc_path(TapulVec2 middle, double radius_mm) {
    static const TapulVec2 corner[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(middle.x + radius_mm, middle.y));
    for (int i = 0; i < 4; i++) {
        TapulVec2 from = tapul_vec2_scale(corner[i], radius_mm);
        TapulVec2 to = tapul_vec2_scale(corner[(i + 1) % 4], radius_mm);
        TapulVec2 out = tapul_vec2_add(from, tapul_vec2_scale(to, CIRCLE_HANDLE));
        TapulVec2 in = tapul_vec2_add(to, tapul_vec2_scale(from, CIRCLE_HANDLE));
        tapul_path_curve(path, tapul_vec2_add(middle, out), tapul_vec2_add(middle, in),
                         tapul_vec2_add(middle, to));
    }
    tapul_path_close(path);
    return path;
}

TapulPath *tapul_notch_path(const TapulNotch *notch, const TapulAffine *to_page,
                            gboolean outer_half) {
    TapulPath *path = tapul_path_new();
    TapulVec2 half = tapul_vec2_scale(notch->outward, NOTCH_HALF_MM);
    TapulVec2 from = outer_half ? notch->at_mm : tapul_vec2_sub(notch->at_mm, half);
    tapul_path_move(path, tapul_affine_point(to_page, from));
    tapul_path_line(path, tapul_affine_point(to_page, tapul_vec2_add(notch->at_mm, half)));
    return path;
}

TapulPath *tapul_cross_path(TapulVec2 at) {
    static const TapulVec2 arm[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    TapulPath *path = tapul_path_new();
    for (int i = 0; i < 4; i++) {
        tapul_path_move(path, tapul_vec2_add(at, tapul_vec2_scale(arm[i], CROSS_FROM_MM)));
        tapul_path_line(path, tapul_vec2_add(at, tapul_vec2_scale(arm[i], CROSS_TO_MM)));
    }
    for (int i = 0; i < 2; i++) {
        tapul_path_move(path, tapul_vec2_sub(at, tapul_vec2_scale(arm[i], CROSS_DOT_MM)));
        tapul_path_line(path, tapul_vec2_add(at, tapul_vec2_scale(arm[i], CROSS_DOT_MM)));
    }
    return path;
}

void tapul_pounce_draw_mark(TapulPage *page, const TapulPath *path) {
    TapulPen halo = {.stroke = TAPUL_WORK_WHITE, .width_mm = MARK_MM + 2 * HALO_MM};
    tapul_page_path(page, path, &halo);
    tapul_page_path(page, path, &(TapulPen){.stroke = TAPUL_WORK_BLACK, .width_mm = MARK_MM});
}

/* --- Design --- */

static TapulBox widened(TapulBox box, double by_mm) {
    return tapul_box_is_empty(box)
               ? box
               : (TapulBox){tapul_vec2_sub(box.min, tapul_vec2(by_mm, by_mm)),
                            tapul_vec2_add(box.max, tapul_vec2(by_mm, by_mm))};
}

TapulPouncePaper *tapul_pounce_paper_new(const TapulPouncePiece *piece) {
    TapulPouncePaper *paper = g_new(TapulPouncePaper, 1);
    paper->piece = piece;
    paper->ink_box_mm = g_new(TapulBox, piece->ink->len);
    for (guint i = 0; i < piece->ink->len; i++) {
        const TapulMark *mark = piece->ink->pdata[i];
        /* A mitre reaches out by its limit. */
        double reach_mm = mark->kind == TAPUL_MARK_STROKE
                              ? fmax(mark->mitre_limit, 1) * mark->width_mm / 2
                              : 0;
        paper->ink_box_mm[i] = widened(tapul_path_box(mark->path), reach_mm);
    }
    return paper;
}

void tapul_pounce_paper_free(TapulPouncePaper *paper) {
    g_free(paper->ink_box_mm);
    g_free(paper);
}

void tapul_pounce_draw_ink(TapulPage *page, const TapulPouncePaper *paper, TapulBox seen_mm) {
    TapulInking inking = {.ink = TAPUL_WORK_BLACK,
                          .ground = TAPUL_WORK_WHITE,
                          .least_width_mm = TAPUL_LEAST_INK_MM,
                          .picture = -1};
    g_autoptr(GPtrArray) seen = g_ptr_array_new();
    for (guint i = 0; i < paper->piece->ink->len; i++)
        if (tapul_boxes_overlap(paper->ink_box_mm[i], seen_mm))
            g_ptr_array_add(seen, paper->piece->ink->pdata[i]);
    g_autofree char *name = g_strdup_printf("design-%d", paper->piece->number);
    tapul_page_begin_group(page, name, "Design", NULL);
    tapul_inking_draw(page, seen, NULL, NULL, name, &inking);
    tapul_page_end_group(page);
}

/* --- Resist --- */

static void add_subpath(TapulPath *to, const TapulPath *from, guint verb, guint point,
                        guint n_verbs, guint n_points) {
    g_array_append_vals(to->verbs, &g_array_index(from->verbs, guint8, verb), n_verbs);
    g_array_append_vals(to->points, &g_array_index(from->points, TapulVec2, point), n_points);
}

/* The closed subpaths that meet a box: all of what a fill shows there. */
static TapulPath *path_near(const TapulPath *path, TapulBox box) {
    static const guint points_of[] = {1, 1, 3, 0}; /* in the order of TapulVerb */
    TapulPath *near = tapul_path_new();
    guint verb = 0, point = 0;
    while (verb < path->verbs->len) {
        TapulBox reach = tapul_box_empty();
        guint from_verb = verb, from_point = point;
        do {
            guint n = points_of[g_array_index(path->verbs, guint8, verb++)];
            for (; n > 0; n--)
                tapul_box_add(&reach, g_array_index(path->points, TapulVec2, point++));
        } while (verb < path->verbs->len &&
                 g_array_index(path->verbs, guint8, verb) != TAPUL_VERB_MOVE);
        if (tapul_boxes_overlap(reach, box))
            add_subpath(near, path, from_verb, from_point, verb - from_verb,
                        point - from_point);
    }
    return near;
}

static void draw_dots(TapulPage *page, const TapulResist *resist, int piece, TapulBox seen_mm) {
    double radius_mm = resist->dot_diameter_mm / 2;
    const GArray *dots = resist->dot_mm->pdata[piece];
    TapulBox reach = widened(seen_mm, radius_mm);
    for (guint i = 0; i < dots->len; i++) {
        TapulVec2 at = g_array_index(dots, TapulVec2, i);
        if (!tapul_boxes_overlap((TapulBox){at, at}, reach))
            continue;
        g_autoptr(TapulPath) disc = tapul_disc_path(at, radius_mm);
        tapul_page_path(page, disc, &(TapulPen){.fill = TAPUL_WORK_BLACK});
    }
}

void tapul_pounce_draw_cover(TapulPage *page, const TapulPounce *pounce, int piece, int bite,
                             TapulBox seen_mm) {
    const TapulResist *resist = pounce->resist;
    const TapulBite *bitten = resist->bites->pdata[bite];
    g_autofree char *id = g_strdup_printf("resist-%d", bite + 1);
    g_autoptr(TapulPath) cover = path_near(bitten->cover->pdata[piece], seen_mm);
    tapul_page_begin_group(page, id, "What the resist covers", NULL);
    tapul_page_path(page, cover, &(TapulPen){.fill = TAPUL_WORK_BLACK, .even_odd = TRUE});
    tapul_page_end_group(page);
    if (resist->dots == 0)
        return;
    tapul_page_begin_group(page, "dots", "Dots that stand on the ground", NULL);
    draw_dots(page, resist, piece, seen_mm);
    tapul_page_end_group(page);
}

/* --- Edges --- */

void tapul_pounce_draw_edges(TapulPage *page, const TapulPouncePiece *piece,
                             gboolean with_allowance) {
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = CUT_MM};
    if (!with_allowance) {
        tapul_page_begin_group(page, "cut", "Edge of the metal and seams", NULL);
        tapul_page_path(page, piece->outline, &pen);
        tapul_page_end_group(page);
        return;
    }
    tapul_page_begin_group(page, "cut", "Cut along the full line", NULL);
    tapul_page_path(page, piece->cut, &pen);
    tapul_page_end_group(page);
    /* Dash and dot, as a fold is drawn. */
    TapulPen score = {.stroke = TAPUL_WORK_BLACK,
                      .width_mm = SCORE_MM,
                      .n_dash = 4,
                      .dash_mm = {5, 1, 0.4, 1}};
    tapul_page_begin_group(page, "score", "The neighbour's edge comes to lie here", NULL);
    tapul_page_path(page, piece->score, &score);
    tapul_page_end_group(page);
}
