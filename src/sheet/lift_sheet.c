/* The sheets of the way back: the print to look for at true scale, direct and reversed, with
 * the photograph it was lifted from under its ink; and the same alone, as large as its plate
 * mark.
 *
 * The `lift` verb writes them; the words are in lift_words.c, the comparison of rules in
 * lift_comparison.c.
 */
#include "sheet/lift_parts.h"

#include "sheet/furniture.h"
#include "sheet/inking.h"
#include "sheet/page_items.h"

/* Room for the words under each sheet. */
#define PAD_EMS 2.2
/* Between the direct and the reversed sheet, and more of it between large ones, whose words are
 * larger (by eye). */
#define GAP_MM    12.0
#define GAP_SHARE 0.03

/* --- One sheet's drawing, its lower left at the origin --- */

static TapulBox mark_box(const TapulLifted *lifted) {
    return (TapulBox){{0, 0}, {lifted->width_mm, lifted->height_mm}};
}

/* The picture's whole pixels may end a little beyond the plate mark, to the right and below. */
static TapulBox picture_box(const TapulLifted *lifted) {
    return (TapulBox){{0, lifted->height_mm - lifted->height_px * lifted->pixel_mm},
                      {lifted->width_px * lifted->pixel_mm, lifted->height_mm}};
}

/* The page's number of the sheet's picture; -1 without one. */
static int keep_picture(TapulPage *page, const TapulLifted *lifted) {
    return lifted->rgba ? tapul_page_keep_picture(page, lifted->width_px, lifted->height_px,
                                                  lifted->rgba)
                        : -1;
}

static void draw_sheet(TapulPage *page, const TapulLifted *lifted, int picture,
                       const char *name) {
    TapulInking inking = {.ink = picture < 0 ? TAPUL_BLACK : TAPUL_PRINT_INK,
                          .ground = TAPUL_WARM_WHITE,
                          .least_width_mm = TAPUL_LEAST_INK_MM,
                          .picture = picture,
                          .picture_box_mm = picture_box(lifted)};
    g_autoptr(TapulPath) mark = tapul_box_path(mark_box(lifted));
    tapul_page_begin_clip(page, mark);
    if (picture >= 0)
        tapul_page_draw_picture(page, inking.picture_box_mm, picture);
    if (lifted->ink)
        tapul_inking_draw(page, lifted->ink->marks, NULL, lifted->ink->motifs, name, &inking);
    tapul_page_end_clip(page);
}

static TapulAffine placed_at(const TapulLifted *lifted, TapulVec2 at, gboolean reversed) {
    return reversed ? (TapulAffine){-1, 0, 0, 1, at.x + lifted->width_mm, at.y}
                    : (TapulAffine){1, 0, 0, 1, at.x, at.y};
}

TapulPage *tapul_sheet_lifted_alone(const TapulLifted *lifted, gboolean reversed) {
    TapulPage *page =
        tapul_page_new(lifted->width_mm, lifted->height_mm,
                       reversed ? "The print to look for, reversed" : "The print to look for",
                       "True to size; the page is the likely plate mark");
    TapulAffine place = placed_at(lifted, tapul_vec2(0, 0), reversed);
    g_autoptr(TapulPath) paper = tapul_box_path(mark_box(lifted));
    tapul_page_path(page, paper, &(TapulPen){.fill = {1, 1, 1, 1}});
    tapul_page_begin_group(page, "sheet", NULL, &place);
    draw_sheet(page, lifted, keep_picture(page, lifted), "lifted");
    tapul_page_end_group(page);
    return page;
}

/* --- The page: direct and reversed --- */

/* Where the reversed sheet stands from the direct one: beside it, or below a wide one. */
static TapulVec2 reversed_at(const TapulLifted *lifted) {
    double gap_mm = GAP_MM + GAP_SHARE * fmax(lifted->width_mm, lifted->height_mm);
    return lifted->width_mm > lifted->height_mm ? tapul_vec2(0, -lifted->height_mm - gap_mm)
                                                : tapul_vec2(lifted->width_mm + gap_mm, 0);
}

static TapulBox box_at(TapulBox box, TapulVec2 at) {
    return (TapulBox){tapul_vec2_add(box.min, at), tapul_vec2_add(box.max, at)};
}

static void append_box(TapulPath *path, TapulBox box) {
    g_autoptr(TapulPath) more = tapul_box_path(box);
    g_array_append_vals(path->verbs, more->verbs->data, more->verbs->len);
    g_array_append_vals(path->points, more->points->data, more->points->len);
}

static void draw_one(TapulPage *page, const TapulLifted *lifted, int picture, TapulVec2 at,
                     gboolean reversed, const TapulFormat *format) {
    const char *name = reversed ? "reversed" : "direct";
    TapulAffine place = placed_at(lifted, at, reversed);
    TapulType type = {.size_mm = format->text_mm,
                      .italic = TRUE,
                      .align = TAPUL_ALIGN_CENTRE,
                      .colour = TAPUL_BLACK};
    g_autoptr(TapulPath) mark = tapul_box_path(box_at(mark_box(lifted), at));
    tapul_page_path(page, mark, &(TapulPen){.fill = TAPUL_SHEET_PAPER});
    tapul_page_begin_group(page, name, reversed ? "The sheet, reversed" : "The sheet, direct",
                           &place);
    draw_sheet(page, lifted, picture, name);
    tapul_page_end_group(page);
    tapul_page_path(page, mark, &tapul_lift_mark_pen);
    tapul_page_text(page, tapul_vec2(at.x + lifted->width_mm / 2, at.y - 1.4 * format->text_mm),
                    name, &type);
}

TapulPage *tapul_sheet_lifted(const TapulLiftSheet *sheet, int i) {
    const TapulLifted *lifted = sheet->lifted[i];
    TapulLiftWords words = {sheet, i};
    g_autofree char *subtitle =
        g_strdup_printf("The sheet it would have come from, %s", tapul_lift_if(lifted->rule));
    g_autoptr(TapulPath) figure = tapul_box_path(mark_box(lifted));
    append_box(figure, box_at(mark_box(lifted), reversed_at(lifted)));
    TapulComposition composition = {.title = sheet->title,
                                    .subtitle = subtitle,
                                    .description = subtitle,
                                    .figure = figure,
                                    .figure_pad_ems = PAD_EMS,
                                    .words = tapul_lift_words,
                                    .data = &words};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "sheets", "The sheet at 1 : 1, direct and reversed", &place);
    int picture = keep_picture(page, lifted);
    draw_one(page, lifted, picture, tapul_vec2(0, 0), FALSE, &format);
    draw_one(page, lifted, picture, reversed_at(lifted), TRUE, &format);
    tapul_page_end_group(page);
    return page;
}
