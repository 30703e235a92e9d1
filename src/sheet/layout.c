/* Finds the smallest page that holds a sheet, by setting its text on each in turn.
 *
 * Every sheet passes through here: its text is measured before anything is drawn, so that
 * nothing collides.
 */
#include "sheet/layout.h"

#include "sheet/columns.h"
#include "sheet/furniture.h"

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
#define GAP_EMS      4.0 /* between figure and column */
/* A column beside the figure is read with it; one below must be this much better. */
#define BESIDE_MERIT 1.3
/* What a page wholly empty at its foot would lose of its merit. */
#define EMPTY_PAGE_COST 0.3
/* A column set again in just the width it took fits there: rounding, in mm. */
#define WIDTH_SLACK_MM 1e-6

typedef enum { BESIDE, BELOW } Arrangement;

typedef struct {
    TapulFormat format;
    Arrangement arrangement;
    TapulBox figure; /* the figure's room on the page, labels and scale bar included */
    TapulBox column;
    TapulFit fit;
} Plan;

static TapulFormat landscape(TapulFormat format) {
    double width_mm = format.width_mm;
    format.width_mm = format.height_mm;
    format.height_mm = width_mm;
    return format;
}

/* --- The title --- */

/* Returns the y below the title, its rule and some air. */
static double draw_title(TapulPage *page, const TapulComposition *composition,
                         const TapulFormat *format) {
    double em = format->text_mm, width_mm = format->width_mm - 2 * format->margin_mm;
    TapulType title = {.size_mm = TITLE_EMS * em, .colour = TAPUL_BLACK};
    TapulType subtitle = {.size_mm = SUBTITLE_EMS * em, .italic = TRUE, .colour = TAPUL_BLACK};
    double y = format->height_mm - format->margin_mm;
    y = tapul_set_paragraph(page, tapul_vec2(format->margin_mm, y), width_mm,
                            composition->title, &title);
    if (composition->subtitle && *composition->subtitle)
        y = tapul_set_paragraph(page, tapul_vec2(format->margin_mm, y), width_mm,
                                composition->subtitle, &subtitle);
    y -= 0.6 * em;
    tapul_rule(page, tapul_vec2(format->margin_mm, y), width_mm);
    return y - 2.2 * em;
}

/* --- Planning --- */

/* The figure's own size with its labels, and the scale bar below. */
static TapulVec2 figure_size(const TapulComposition *composition, const TapulFormat *format) {
    double pad_mm = composition->figure_pad_ems * format->text_mm;
    TapulBox box = composition->figure_mm;
    return (TapulVec2){fmax(box.max.x - box.min.x + 2 * pad_mm, TAPUL_SCALE_BAR_WIDTH_MM),
                       box.max.y - box.min.y + 2 * pad_mm +
                           TAPUL_SCALE_BAR_HEIGHT_EMS * format->text_mm};
}

static void plan_beside(Plan *plan, const TapulComposition *composition, TapulBox room,
                        TapulVec2 size) {
    double em = plan->format.text_mm;
    plan->figure =
        (TapulBox){{room.min.x, room.max.y - size.y}, {room.min.x + size.x, room.max.y}};
    plan->column = (TapulBox){{plan->figure.max.x + GAP_EMS * em, room.min.y}, room.max};
    if (plan->column.max.x - plan->column.min.x < TAPUL_LEAST_COLUMN_EMS * em ||
        size.y > room.max.y - room.min.y)
        return;
    plan->fit = composition->column(NULL, plan->column, &plan->format, composition->data);
}

static void plan_below(Plan *plan, const TapulComposition *composition, TapulBox room,
                       TapulVec2 size) {
    double em = plan->format.text_mm;
    double middle = (room.min.x + room.max.x) / 2;
    plan->figure = (TapulBox){{middle - size.x / 2, room.max.y - size.y},
                              {middle + size.x / 2, room.max.y}};
    plan->column = (TapulBox){room.min, {room.max.x, plan->figure.min.y - GAP_EMS / 2 * em}};
    if (size.x > room.max.x - room.min.x || plan->column.max.y < room.min.y)
        return;
    plan->fit = composition->column(NULL, plan->column, &plan->format, composition->data);
}

static Plan make_plan(const TapulComposition *composition, TapulFormat format,
                      Arrangement arrangement) {
    Plan plan = {
        .format = format, .arrangement = arrangement, .fit = {-INFINITY, 0, -INFINITY}};
    double top = draw_title(NULL, composition, &format), margin = format.margin_mm;
    TapulBox room = {{margin, margin}, {format.width_mm - margin, top}};
    TapulVec2 size = figure_size(composition, &format);
    if (arrangement == BESIDE)
        plan_beside(&plan, composition, room, size);
    else
        plan_below(&plan, composition, room, size);
    if (plan.fit.bottom_mm < margin) {
        plan.fit.merit = -INFINITY;
        return plan;
    }
    double lowest = fmin(plan.fit.bottom_mm, plan.figure.min.y);
    plan.fit.merit *= 1 - EMPTY_PAGE_COST * (lowest - margin) / (room.max.y - margin);
    if (arrangement == BESIDE)
        plan.fit.merit *= BESIDE_MERIT;
    return plan;
}

/* The best plan on one size of paper; merit -INFINITY where nothing fits. */
static Plan best_plan(const TapulComposition *composition, TapulFormat portrait) {
    Plan best = {.fit = {-INFINITY, 0, -INFINITY}};
    for (int turned = 0; turned < 2; turned++)
        for (int arrangement = BESIDE; arrangement <= BELOW; arrangement++) {
            TapulFormat format = turned ? landscape(portrait) : portrait;
            Plan plan = make_plan(composition, format, (Arrangement)arrangement);
            if (plan.fit.merit > best.fit.merit)
                best = plan;
        }
    return best;
}

static Plan smallest_plan(const TapulComposition *composition) {
    TapulFormat format = formats[0];
    for (guint i = 0;; i++) {
        if (i < G_N_ELEMENTS(formats)) {
            format = formats[i];
        } else {
            format.width_mm *= GROWTH;
            format.height_mm *= GROWTH;
        }
        Plan plan = best_plan(composition, format);
        if (plan.fit.merit > -INFINITY)
            return plan;
    }
}

/* Beside a figure the column stands at the page's right, and the figure in the middle of what
 * is left. */
static void settle(Plan *plan) {
    if (plan->arrangement != BESIDE)
        return;
    double spare_mm =
        plan->column.max.x - plan->column.min.x - plan->fit.width_mm - WIDTH_SLACK_MM;
    if (spare_mm <= 0)
        return;
    plan->column.min.x += spare_mm;
    plan->figure.min.x += spare_mm / 2;
    plan->figure.max.x += spare_mm / 2;
}

TapulPage *tapul_compose(const TapulComposition *composition, TapulFormat *format,
                         TapulVec2 *origin_mm) {
    Plan plan = smallest_plan(composition);
    settle(&plan);
    *format = plan.format;
    TapulPage *page = tapul_page_new(format->width_mm, format->height_mm, composition->title,
                                     composition->description);
    tapul_page_begin_group(page, "paper", "Paper", NULL);
    TapulBox whole = {{0, 0}, {format->width_mm, format->height_mm}};
    g_autoptr(TapulPath) paper = tapul_box_path(whole);
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    tapul_page_end_group(page);
    tapul_page_begin_group(page, "title", "Title", NULL);
    draw_title(page, composition, format);
    tapul_page_end_group(page);
    tapul_page_begin_group(page, "column", NULL, NULL);
    composition->column(page, plan.column, format, composition->data);
    tapul_page_end_group(page);
    double pad_mm = composition->figure_pad_ems * format->text_mm;
    double bar_mm = TAPUL_SCALE_BAR_HEIGHT_EMS * format->text_mm;
    TapulBox own = composition->figure_mm;
    double middle = (plan.figure.min.x + plan.figure.max.x) / 2;
    *origin_mm = tapul_vec2(middle - (own.min.x + own.max.x) / 2,
                            plan.figure.min.y + bar_mm + pad_mm - own.min.y);
    tapul_scale_bar(
        page, tapul_vec2(middle - TAPUL_SCALE_BAR_WIDTH_MM / 2 + 5, plan.figure.min.y), format);
    return page;
}
