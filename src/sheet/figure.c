/* The figures of comparison pages: what kinds there are, where they lie on a page, where a
 * point of the plate lies in them.
 *
 * The pages' makers draw with it. Each kind draws itself in a file of its own
 * (figure_print.c, figure_development.c, figure_view.c).
 */
#include "sheet/figure_parts.h"

#include "sheet/carried.h"
#include "sheet/furniture.h"
#include "sheet/thin.h"

/* Of the larger side, about a whole plate: room for half the thickness of its edge at any scale
 * that a page has room for. */
#define AIR_SHARE 0.005
/* Paper about a plate mark, of the longer side; and of a border's strip, whose longer side says
 * little, no more than of the shorter. */
#define PAPER_SHARE 0.025
#define STRIP_SHARE 0.12
/* Chords of a curve that is asked whether it comes into a box: the plate's curves are short. */
#define CURVE_CHORDS 4
#define THINNED_MM   0.02 /* on the page: lines narrower than a hairline keep their width */

/* --- Boxes --- */

TapulBox tapul_box_common(TapulBox a, TapulBox b) {
    return (TapulBox){{fmax(a.min.x, b.min.x), fmax(a.min.y, b.min.y)},
                      {fmin(a.max.x, b.max.x), fmin(a.max.y, b.max.y)}};
}

TapulBox tapul_box_padded(TapulBox box, double pad_mm) {
    TapulVec2 pad = {pad_mm, pad_mm};
    return (TapulBox){tapul_vec2_sub(box.min, pad), tapul_vec2_add(box.max, pad)};
}

void tapul_box_add_box(TapulBox *box, TapulBox other) {
    if (tapul_box_is_empty(other))
        return;
    tapul_box_add(box, other.min);
    tapul_box_add(box, other.max);
}

static TapulBox with_air(TapulBox box) {
    return tapul_box_padded(box,
                            AIR_SHARE * fmax(box.max.x - box.min.x, box.max.y - box.min.y));
}

/* --- Making --- */

TapulFigure *tapul_figure_print(const TapulComparison *comparison, int print,
                                gboolean reversed) {
    const TapulPrint *source = g_ptr_array_index(comparison->question->prints, print);
    double width_mm = source->ink->width_mm, height_mm = source->ink->height_mm;
    TapulBox mark = {{0, 0}, {width_mm, height_mm}};
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->kind = TAPUL_FIGURE_PRINT;
    figure->comparison = comparison;
    figure->print = print;
    figure->reversed = reversed;
    figure->box_mm = tapul_box_padded(mark, fmin(PAPER_SHARE * fmax(width_mm, height_mm),
                                                 STRIP_SHARE * fmin(width_mm, height_mm)));
    return figure;
}

TapulFigure *tapul_figure_development(const TapulComparison *comparison, TapulBox box_mm,
                                      TapulShown shown, int laying) {
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->kind = TAPUL_FIGURE_DEVELOPMENT;
    figure->comparison = comparison;
    figure->shown = shown;
    figure->laying = laying;
    figure->edge = tapul_carried_edge(&comparison->question->ground);
    figure->box_mm =
        tapul_box_is_empty(box_mm) ? with_air(tapul_path_box(figure->edge)) : box_mm;
    return figure;
}

TapulFigure *tapul_figure_view(const TapulComparison *comparison, double turn_rad,
                               double tilt_rad, TapulShown shown, int laying) {
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->kind = TAPUL_FIGURE_VIEW;
    figure->comparison = comparison;
    figure->shown = shown;
    figure->laying = laying;
    figure->view = tapul_view_new(&comparison->question->ground, turn_rad, tilt_rad);
    figure->box_mm = with_air(figure->view->box_mm);
    return figure;
}

void tapul_figure_free(TapulFigure *figure) {
    if (!figure)
        return;
    tapul_path_free(figure->edge);
    tapul_view_free(figure->view);
    g_free(figure);
}

TapulBox tapul_figure_box_mm(const TapulFigure *figure) {
    return figure->box_mm;
}

void tapul_figure_crop(TapulFigure *figure, TapulBox box_mm) {
    g_assert(figure->kind != TAPUL_FIGURE_VIEW);
    figure->box_mm = box_mm;
}

void tapul_figure_show_print(TapulFigure *figure) {
    figure->alike = TRUE;
}

gboolean tapul_figure_same_print(const TapulComparison *comparison, int a, int b) {
    const TapulPrint *one = g_ptr_array_index(comparison->question->prints, a);
    const TapulPrint *other = g_ptr_array_index(comparison->question->prints, b);
    return g_str_equal(one->file, other->file) && one->ink->width_mm == other->ink->width_mm &&
           one->ink->height_mm == other->ink->height_mm;
}

/* --- Lines in boxes --- */

/* Narrows from..to, of a line's parameter, to where at + t way lies between two bounds. */
static void narrow(double at, double way, double least, double most, double *from, double *to) {
    if (way == 0) {
        if (at < least || at > most)
            *to = -1;
        return;
    }
    double first = (least - at) / way, second = (most - at) / way;
    *from = fmax(*from, fmin(first, second));
    *to = fmin(*to, fmax(first, second));
}

/* Liang and Barsky 1984: a line clipped by one axis after the other. */
static gboolean segment_enters(TapulVec2 a, TapulVec2 b, TapulBox box) {
    double from = 0, to = 1;
    narrow(a.x, b.x - a.x, box.min.x, box.max.x, &from, &to);
    narrow(a.y, b.y - a.y, box.min.y, box.max.y, &from, &to);
    return from <= to;
}

gboolean tapul_path_enters(const TapulPath *path, TapulBox box) {
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece))
        for (int i = 0; i < CURVE_CHORDS; i++) {
            TapulVec2 a = tapul_cubic_point(piece.p, (double)i / CURVE_CHORDS);
            TapulVec2 b = tapul_cubic_point(piece.p, (i + 1.0) / CURVE_CHORDS);
            if (segment_enters(a, b, box))
                return TRUE;
        }
    return FALSE;
}

/* --- Drawing --- */

void tapul_figure_draw(const TapulFigure *figure, TapulPage *page, TapulVec2 at, double scale,
                       const char *id, const char *title) {
    TapulBox box = figure->box_mm;
    TapulAffine place = {
        scale, 0, 0, scale, at.x - scale * box.min.x, at.y - scale * box.min.y};
    if (tapul_box_is_empty(box) || !(scale > 0))
        return;
    tapul_page_begin_group(page, id, title, &place);
    if (figure->kind == TAPUL_FIGURE_VIEW) {
        tapul_figure_draw_view(figure, page, scale, id);
    } else {
        g_autoptr(TapulPath) window = tapul_box_path(box);
        tapul_page_begin_clip(page, window);
        if (figure->kind == TAPUL_FIGURE_PRINT)
            tapul_figure_draw_print(figure, page, scale, id);
        else
            tapul_figure_draw_development(figure, page, scale, id);
        tapul_page_end_clip(page);
    }
    tapul_page_end_group(page);
}

static gboolean touches(const TapulMark *mark, TapulBox window) {
    if (tapul_path_is_empty(mark->path))
        return FALSE;
    return tapul_boxes_overlap(
        tapul_box_padded(tapul_path_box(mark->path), mark->width_mm + THINNED_MM), window);
}

void tapul_figure_draw_marks(TapulPage *page, const GPtrArray *marks, const GPtrArray *motifs,
                             const char *name, const TapulInking *inking, TapulBox window,
                             double scale) {
    TapulPath **paths = g_new(TapulPath *, MAX(marks->len, 1));
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        paths[i] = touches(mark, window) ? tapul_path_thinned(mark->path, THINNED_MM / scale)
                                         : tapul_path_new();
    }
    tapul_inking_draw(page, marks, paths, motifs, name, inking);
    for (guint i = 0; i < marks->len; i++)
        tapul_path_free(paths[i]);
    g_free(paths);
}

/* --- Points of the plate --- */

static gboolean is_within(TapulVec2 at, TapulBox box) {
    return at.x >= box.min.x && at.x <= box.max.x && at.y >= box.min.y && at.y <= box.max.y;
}

gboolean tapul_figure_of_plate(const TapulFigure *figure, TapulVec2 developed_mm,
                               TapulVec2 *own_mm) {
    TapulSpot spot;
    *own_mm = developed_mm;
    switch (figure->kind) {
    case TAPUL_FIGURE_PRINT:
        return FALSE;
    case TAPUL_FIGURE_DEVELOPMENT:
        return is_within(developed_mm, figure->box_mm) &&
               tapul_development_finder_spot(figure->comparison->question->finder, developed_mm,
                                             &spot);
    case TAPUL_FIGURE_VIEW:
        tapul_figure_shade(figure, 0);
        return tapul_view_point(figure->view, developed_mm, own_mm);
    }
    g_assert_not_reached();
}
