/* A print whose places on a cylinder are known, and figures of it rendered alone. */
#ifndef TAPUL_TESTS_FIGURES_FOR_TESTS_H
#define TAPUL_TESTS_FIGURES_FOR_TESTS_H

#include "comparisons_for_tests.h"
#include "sheet/figure.h"

/* A print of 80 x 60 mm: a frame, a heron that no mirror leaves alike, reeds, and a speck. */
static const char *const sheet_svg =
    "<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='60mm' viewBox='0 0 80 60' "
    "fill='none' stroke='black' stroke-width='0.4'>"
    "<g id='frame'><rect x='3' y='3' width='74' height='54'/></g>"
    "<g id='reeds'><path d='M60 50V20M64 50V22'/></g>"
    "<g id='heron'><path d='M20 15V45H32'/><rect x='20' y='15' width='5' height='4' "
    "fill='black'/></g>"
    "<g id='snail'><path d='M40 46h8v4'/></g>"
    "<g id='speck'><path d='M50 10h1'/></g></svg>";

#define LAID_MIDDLE_UP_MM 150.0
#define LAID_SCALE        0.5

static inline TestCase *sheet_case(void) {
    return test_case_new(sheet_svg,
                         "layings: [{ print: sheet, rule: developed, anchor: { across_mm: 0, "
                         "up_mm: 150 }, scale: 0.5, reversed: true }]\n");
}

/* Where that laying puts a print point: across and up of a cylinder are its development. */
static inline TapulVec2 put(double x_mm, double y_mm) {
    return tapul_vec2(-LAID_SCALE * (x_mm - 40), LAID_MIDDLE_UP_MM + LAID_SCALE * (y_mm - 30));
}

static inline TapulVec2 size_of(const TapulFigure *figure) {
    TapulBox box = tapul_figure_box_mm(figure);
    return tapul_vec2_sub(box.max, box.min);
}

/* The figure drawn alone, and the page's pixels. */
static inline Rendered render(const TapulFigure *figure, TapulVec2 at, double scale) {
    g_autoptr(TapulPage) page = tapul_page_new(190, 160, "A test", "A figure");
    tapul_figure_draw(figure, page, at, scale, "figure", "A figure");
    return render_page(page);
}

static inline double mean_darkness(const Rendered *rendered, TapulBox box_mm) {
    double sum = 0;
    int n = 0;
    for (int y = (int)ceil(rendered->height_px - box_mm.max.y * rendered->per_mm);
         y < (int)floor(rendered->height_px - box_mm.min.y * rendered->per_mm); y++)
        for (int x = (int)ceil(box_mm.min.x * rendered->per_mm);
             x < (int)floor(box_mm.max.x * rendered->per_mm); x++, n++)
            sum += darkness(rendered, x, y);
    ck_assert_int_gt(n, 0);
    return sum / n;
}

#endif
