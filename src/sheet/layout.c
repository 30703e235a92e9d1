/* Finds the smallest page that holds a sheet, by setting its text on each in turn.
 *
 * Every sheet passes through here: its text is measured before anything is drawn, so that
 * nothing collides.
 */
#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/plan.h"

/* ISO 216, portrait; 2A0 and 4A0 after DIN 476. Margins and text grow with the page, for it is
 * seen from farther off (by eye, no source). */
static const TapulFormat formats[] = {
    {210, 297, 14, 3.1},  {297, 420, 17, 3.5},   {420, 594, 22, 4.0},   {594, 841, 30, 4.8},
    {841, 1189, 40, 6.0}, {1189, 1682, 50, 7.5}, {1682, 2378, 65, 9.5},
};

/* A page beyond 4A0 grows by this each time it is too small. */
#define GROWTH       1.15
#define TITLE_EMS    2.3
#define SUBTITLE_EMS 1.2

static TapulFormat landscape(TapulFormat format) {
    double width_mm = format.width_mm;
    format.width_mm = format.height_mm;
    format.height_mm = width_mm;
    return format;
}

/* --- The title --- */

/* A paragraph over the page's width; scripts that run to the left start at the right. */
static double set_line(TapulPage *page, double y, const char *text, const TapulFormat *format,
                       TapulType type) {
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    gboolean left = tapul_page_text_runs_left(valid);
    double width_mm = format->width_mm - 2 * format->margin_mm;
    type.align = left ? TAPUL_ALIGN_RIGHT : TAPUL_ALIGN_LEFT;
    TapulVec2 at = {format->margin_mm + (left ? width_mm : 0), y};
    return tapul_set_paragraph(page, at, width_mm, text, &type);
}

/* Returns the y below the title, its rule and some air. */
static double draw_title(TapulPage *page, const TapulComposition *composition,
                         const TapulFormat *format) {
    double em = format->text_mm;
    TapulType title = {.size_mm = TITLE_EMS * em, .colour = TAPUL_BLACK};
    TapulType subtitle = {.size_mm = SUBTITLE_EMS * em, .italic = TRUE, .colour = TAPUL_BLACK};
    double y = format->height_mm - format->margin_mm;
    y = set_line(page, y, composition->title, format, title);
    if (composition->subtitle && *composition->subtitle)
        y = set_line(page, y, composition->subtitle, format, subtitle);
    y -= 0.6 * em;
    tapul_rule(page, tapul_vec2(format->margin_mm, y),
               format->width_mm - 2 * format->margin_mm);
    return y - 2.2 * em;
}

/* --- The format --- */

/* The better plan of both ways up. */
static TapulPlan best_plan(const TapulComposition *composition, TapulFormat portrait) {
    TapulFormat wide = landscape(portrait);
    TapulPlan upright =
        tapul_plan_best(composition, &portrait, draw_title(NULL, composition, &portrait));
    TapulPlan turned =
        tapul_plan_best(composition, &wide, draw_title(NULL, composition, &wide));
    return turned.merit > upright.merit ? turned : upright;
}

static TapulPlan smallest_plan(const TapulComposition *composition) {
    TapulFormat format = formats[0];
    for (guint i = 0;; i++) {
        if (i < G_N_ELEMENTS(formats)) {
            format = formats[i];
        } else {
            format.width_mm *= GROWTH;
            format.height_mm *= GROWTH;
        }
        TapulPlan plan = best_plan(composition, format);
        if (plan.merit > -INFINITY)
            return plan;
    }
}

/* --- Drawing --- */

static void draw_ground(TapulPage *page, const TapulFormat *format) {
    TapulBox whole = {{0, 0}, {format->width_mm, format->height_mm}};
    g_autoptr(TapulPath) paper = tapul_box_path(whole);
    tapul_page_begin_group(page, "paper", "Paper", NULL);
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    tapul_page_end_group(page);
}

static void draw_insets(TapulPage *page, const TapulComposition *composition,
                        const TapulPlan *plan) {
    double em = plan->format.text_mm;
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    for (int i = 0; i < composition->n_insets; i++) {
        TapulVec2 at = plan->inset_at[i];
        g_autofree char *caption =
            tapul_inset_caption(&composition->insets[i], plan->reduction);
        composition->draw_inset(page, i, at, 1 / plan->reduction, composition->data);
        tapul_set_paragraph(page, tapul_vec2(at.x, at.y - TAPUL_CAPTION_GAP_EMS * em),
                            plan->caption_width_mm[i], caption, &type);
    }
}

TapulPage *tapul_compose(const TapulComposition *composition, TapulFormat *format,
                         TapulVec2 *origin_mm) {
    TapulPlan plan = smallest_plan(composition);
    *format = plan.format;
    TapulPage *page = tapul_page_new(format->width_mm, format->height_mm, composition->title,
                                     composition->description);
    draw_ground(page, format);
    tapul_page_begin_group(page, "title", "Title", NULL);
    draw_title(page, composition, format);
    tapul_page_end_group(page);
    draw_insets(page, composition, &plan);
    tapul_page_begin_group(page, "words", "Words", NULL);
    composition->words(page, plan.words, format, composition->data);
    tapul_page_end_group(page);
    TapulBox own = tapul_path_box(composition->figure);
    double middle = (plan.figure.min.x + plan.figure.max.x) / 2;
    double pad_mm = tapul_plan_pad_mm(composition, format);
    *origin_mm = tapul_vec2(middle - (own.min.x + own.max.x) / 2,
                            plan.figure.max.y - pad_mm - own.max.y);
    tapul_scale_bar(
        page, tapul_vec2(middle - TAPUL_SCALE_BAR_WIDTH_MM / 2 + 5, plan.figure.min.y), format);
    return page;
}
