/* The feet of comparison pages: whose the pictures are, and which page this is.
 *
 * Credit and rights stand in one line where it has room for both, else in two. Room for the
 * number of the page is kept clear on both: how many pages there will be is not known when the
 * first is laid out.
 */
#include "sheet/leaf_parts.h"

#include "sheet/shortened.h"

#include <string.h>

/* Wider than the number of any book of pages. */
#define WIDEST_NUMBER 88
/* Clear between the credit and the number, in ems. */
#define NUMBER_GAP_EMS 2.0
/* A number that is as wide as its room still stands in it. */
#define ROUNDING_MM 0.1

static TapulType foot_type(const TapulLeaf *leaf) {
    return (TapulType){.size_mm = leaf->label_mm, .colour = TAPUL_QUIET};
}

static char *number_words(const TapulComparison *comparison, int page, int n) {
    return g_strdup_printf("%s %d %s %d", tapul_case_word(comparison->question, "page"), page,
                           tapul_case_word(comparison->question, "of"), n);
}

static double credit_width_mm(const TapulLeaf *leaf, const TapulComparison *comparison) {
    TapulType type = foot_type(leaf);
    g_autofree char *number = number_words(comparison, WIDEST_NUMBER, WIDEST_NUMBER);
    double number_mm = tapul_page_text_width_mm(number, &type) + NUMBER_GAP_EMS * type.size_mm;
    /* Words that a case gives may be of any length. */
    return fmax(tapul_leaf_width_mm(leaf) - number_mm, tapul_leaf_width_mm(leaf) / 2);
}

static gboolean given(const char *text) {
    return text && *text;
}

/* Credit and rights as sentences of one paragraph. */
static char *credit_and_rights(const char *credit, const char *rights) {
    if (!given(credit) || !given(rights))
        return g_strdup(given(credit) ? credit : given(rights) ? rights : "");
    gboolean ended = strchr(".!?", credit[strlen(credit) - 1]) != NULL;
    return g_strconcat(credit, ended ? " " : ". ", rights, NULL);
}

/* At most two, from the upper one down. */
static GPtrArray *credit_lines(const TapulLeaf *leaf, const TapulComparison *comparison) {
    const char *credit = comparison->question->credit;
    const char *rights = comparison->question->sheet.rights;
    TapulType type = foot_type(leaf);
    double width_mm = credit_width_mm(leaf, comparison);
    g_autofree char *both = credit_and_rights(credit, rights);
    if (!*both || tapul_page_text_width_mm(both, &type) <= width_mm ||
        !(given(credit) && given(rights))) {
        g_autofree char *shortened = tapul_text_shortened(both, width_mm, 2, &type);
        return tapul_page_break_lines(shortened, width_mm, &type);
    }
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_ptr_array_add(lines, tapul_text_shortened(credit, width_mm, 1, &type));
    g_ptr_array_add(lines, tapul_text_shortened(rights, width_mm, 1, &type));
    return lines;
}

/* The last line stands with its descenders on the margin. */
static double baseline_mm(const TapulLeaf *leaf) {
    return leaf->format.margin_mm + TAPUL_LEAF_DESCENT * leaf->label_mm;
}

double tapul_leaf_feet_top_mm(const TapulLeaf *leaf, const TapulComparison *comparison) {
    g_autoptr(GPtrArray) lines = credit_lines(leaf, comparison);
    return baseline_mm(leaf) +
           (TAPUL_LEAF_ASCENT + (lines->len - 1) * TAPUL_LEADING) * leaf->label_mm;
}

/* Credits that run to the left change sides with the number. */
static void draw_foot(TapulPage *page, const TapulLeaf *leaf, const GPtrArray *credit,
                      const char *number) {
    TapulType type = foot_type(leaf);
    gboolean left = tapul_page_text_runs_left(credit->pdata[0]);
    double near = leaf->format.margin_mm, far = near + tapul_leaf_width_mm(leaf);
    double y = baseline_mm(leaf), step_mm = TAPUL_LEADING * type.size_mm;
    type.align = left ? TAPUL_ALIGN_RIGHT : TAPUL_ALIGN_LEFT;
    for (guint i = 0; i < credit->len; i++)
        tapul_page_text(page,
                        tapul_vec2(left ? far : near, y + (credit->len - 1 - i) * step_mm),
                        credit->pdata[i], &type);
    if (!number)
        return;
    type.align = left ? TAPUL_ALIGN_LEFT : TAPUL_ALIGN_RIGHT;
    tapul_page_text(page, tapul_vec2(left ? near : far, y), number, &type);
}

void tapul_leaf_feet(const TapulLeaf *leaf, const TapulComparison *comparison,
                     TapulPage *const *pages, int n) {
    TapulType type = foot_type(leaf);
    double number_mm = tapul_leaf_width_mm(leaf) - credit_width_mm(leaf, comparison) -
                       NUMBER_GAP_EMS * type.size_mm + ROUNDING_MM;
    g_autoptr(GPtrArray) credit = credit_lines(leaf, comparison);
    for (int i = 0; i < n; i++) {
        g_autofree char *words = number_words(comparison, i + 1, n);
        g_autofree char *number = tapul_text_shortened(words, number_mm, 1, &type);
        /* Read out once: on every page it would only be in the way. */
        gboolean aloud = i == 0 && tapul_leaf_begin_part(pages[i], TAPUL_PART_PARAGRAPH);
        tapul_page_begin_group(pages[i], "foot", "Credit", NULL);
        draw_foot(pages[i], leaf, credit, n > 1 ? number : NULL);
        tapul_page_end_group(pages[i]);
        if (aloud)
            tapul_page_end_part(pages[i]);
    }
}
