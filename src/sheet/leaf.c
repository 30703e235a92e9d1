#include "sheet/leaf.h"

static const struct {
    const char *name;
    TapulVec2 size_mm;
} papers[] = {
    {"A5", {148, 210}}, {"A4", {210, 297}},     {"A3", {297, 420}},
    {"A2", {420, 594}}, {"screen", {180, 320}},
};

TapulVec2 tapul_paper_mm(TapulPaper paper, gboolean landscape) {
    TapulVec2 size = papers[paper].size_mm;
    return landscape || paper == TAPUL_PAPER_SCREEN ? tapul_vec2(size.y, size.x) : size;
}

const char *tapul_paper_name(TapulPaper paper) {
    return papers[paper].name;
}

TapulLeaf tapul_leaf(TapulPaper paper, gboolean landscape) {
    TapulVec2 size = tapul_paper_mm(paper, landscape);
    TapulLeaf leaf = {
        .format = {size.x, size.y, 14, 3.1}, .title_mm = 6.5, .label_mm = 2.6, .step_mm = 4.1};
    leaf.columns = size.x > size.y ? 12 : 6;
    leaf.gutter_mm = 4;
    leaf.column_mm = (size.x - 28 - (leaf.columns - 1) * 4) / leaf.columns;
    return leaf;
}

TapulBox tapul_leaf_body(const TapulLeaf *leaf, const TapulComparison *comparison,
                         const char *title, const char *subtitle) {
    (void)comparison, (void)title, (void)subtitle;
    return (TapulBox){{14, 22}, {leaf->format.width_mm - 14, leaf->format.height_mm - 30}};
}

TapulPage *tapul_leaf_page(const TapulLeaf *leaf, const TapulComparison *comparison,
                           const char *title, const char *subtitle, const char *description) {
    (void)comparison, (void)subtitle;
    return tapul_page_new(leaf->format.width_mm, leaf->format.height_mm, title, description);
}

void tapul_leaf_feet(const TapulLeaf *leaf, const TapulComparison *comparison,
                     TapulPage *const *pages, int n) {
    (void)leaf, (void)comparison, (void)pages, (void)n;
}

double tapul_leaf_column_x(const TapulLeaf *leaf, int first) {
    return 14 + first * (leaf->column_mm + leaf->gutter_mm);
}

double tapul_leaf_columns_mm(const TapulLeaf *leaf, int n) {
    return n * leaf->column_mm + (n - 1) * leaf->gutter_mm;
}

double tapul_leaf_scale(TapulVec2 size_mm, TapulVec2 room_mm) {
    return fmin(room_mm.x / size_mm.x, room_mm.y / size_mm.y);
}

char *tapul_leaf_scale_words(double scale) {
    return g_strdup_printf("1 : %.2g", 1 / scale);
}

double tapul_leaf_caption(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                          const char *number, const char *label, const char *text) {
    (void)leaf, (void)page, (void)width_mm, (void)number, (void)label, (void)text;
    return at.y - 8;
}

char *tapul_leaf_print_words(const TapulComparison *comparison, int print) {
    (void)comparison, (void)print;
    return g_strdup("A print.");
}

double tapul_leaf_scale_bar(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at,
                            double width_mm, double scale, gboolean inches) {
    (void)leaf, (void)page, (void)width_mm, (void)scale, (void)inches;
    return at.y - 8;
}

double tapul_leaf_legend(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulComparison *comparison) {
    (void)leaf, (void)page, (void)width_mm, (void)comparison;
    return at.y - 8;
}
