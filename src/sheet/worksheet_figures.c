/* The worksheet's figures: the print with its motifs numbered, and the plate with nothing laid
 * over it; on large paper side by side. */
#include "sheet/callouts.h"
#include "sheet/comparison_words.h"
#include "sheet/furniture.h"
#include "sheet/worksheet_parts.h"

/* Print and plate stand on one page from this width on: A3 landscape, A2. */
#define SPREAD_FROM_MM 400.0
/* Lines to write on stand so far apart (common practice of ruled paper, no source). */
#define WRITING_MM 9.0
/* Of a page's height, at most, for the small view from the front. */
#define VIEW_SHARE 0.36
/* Or of its width, where it stands beside the plate laid flat. */
#define BESIDE_SHARE 0.36
/* A view below this has lost its motifs; page mm across. */
#define LEAST_VIEW_MM 25.0
/* A scale bar is not to be the longest line of a page. */
#define BAR_ROOM_MM 110.0
/* Numbers at the print's sides stand in strips so wide, in radii of their rings. */
#define STRIP_RADII 5.0

/* --- Heads --- */

static void draw_blank(TapulPage *page, double left, double right, double y, const char *name,
                       const TapulType *type) {
    double from = left + tapul_page_text_width_mm(name, type) + 0.6 * type->size_mm;
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_page_text(page, tapul_vec2(left, y + 0.25 * type->size_mm), name, type);
    tapul_page_end_part(page);
    tapul_rule(page, tapul_vec2(from, y), right - from);
}

/* A line for the name and one for the date. */
static double draw_blanks(const TapulWorksheet *worksheet, TapulPage *page, TapulBox body) {
    const TapulLeaf *leaf = &worksheet->leaf;
    double width_mm = body.max.x - body.min.x, gap_mm = leaf->gutter_mm;
    double date = body.min.x + 0.68 * width_mm, y = body.max.y - WRITING_MM;
    TapulType type = {.size_mm = leaf->format.text_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    g_autofree char *name = tapul_comparison_capital(worksheet->comparison, "name");
    g_autofree char *day = tapul_comparison_capital(worksheet->comparison, "date");
    draw_blank(page, body.min.x, date - gap_mm, y, name, &type);
    draw_blank(page, date, body.max.x, y, day, &type);
    return y - leaf->step_mm;
}

static double set_paragraph(const TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                            double width_mm, const char *text) {
    TapulType type = {.size_mm = worksheet->leaf.format.text_mm, .colour = TAPUL_BLACK};
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    double y = tapul_set_paragraph(page, at, width_mm, text, &type);
    tapul_page_end_part(page);
    return y;
}

/* What is to be done, in words for readers of twelve. */
static double draw_task(const TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    static const char *const sentences[] = {
        "an engraved print may have been the pattern for the design etched on this plate",
        "look for each numbered motif on the plate, and fill in the table: write the square "
        "where the middle of the motif lies, and tick what is the same and what is different",
        "a motif may have changed its place, or be missing altogether"};
    g_autoptr(GString) text = g_string_new(NULL);
    for (guint i = 0; i < G_N_ELEMENTS(sentences); i++)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(worksheet->comparison, sentences[i]));
    return set_paragraph(worksheet, page, tapul_vec2(room.min.x, room.max.y),
                         room.max.x - room.min.x, text->str) -
           worksheet->leaf.step_mm;
}

/* --- Figures with their words --- */

double tapul_worksheet_scale(TapulVec2 size_mm, TapulVec2 room_mm) {
    double fit = fmin(room_mm.x / size_mm.x, room_mm.y / size_mm.y);
    return fit >= 1 ? floor(10 * fit) / 10 : tapul_leaf_scale(size_mm, room_mm);
}

double tapul_worksheet_place(const TapulWorksheet *worksheet, TapulPage *page, TapulBox room,
                             const TapulFigure *figure, const TapulSquares *squares,
                             const char *id, TapulVec2 *at) {
    const TapulLeaf *leaf = &worksheet->leaf;
    TapulBox own = tapul_figure_box_mm(figure);
    double label_mm = squares ? tapul_squares_label_mm(leaf) : 0;
    TapulVec2 size = tapul_vec2_sub(own.max, own.min);
    TapulVec2 space = {room.max.x - room.min.x - 2 * label_mm,
                       room.max.y - room.min.y - 2 * label_mm};
    double scale = tapul_worksheet_scale(size, space);
    *at = tapul_vec2((room.min.x + room.max.x - scale * size.x) / 2,
                     room.max.y - label_mm - scale * size.y);
    tapul_figure_draw(figure, page, *at, scale, id, NULL);
    if (squares)
        tapul_squares_draw(page, leaf, squares, *at, scale);
    return scale;
}

char *tapul_worksheet_scale_words(const TapulWorksheet *worksheet, double scale) {
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "scale");
    return tapul_leaf_scale_sentence(&worksheet->leaf, label, scale);
}

/* The words below a figure, and its scale bar; with page NULL it only measures. */
static double set_words(TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                        double width_mm, const char *label, const char *text, double scale) {
    const TapulLeaf *leaf = &worksheet->leaf;
    g_autofree char *number = g_strdup_printf("%d", worksheet->figures + 1);
    g_autoptr(GString) all = g_string_new(text);
    tapul_comparison_add_take(all, tapul_worksheet_scale_words(worksheet, scale));
    double y = tapul_leaf_caption(leaf, page, at, width_mm, number, label, all->str);
    return tapul_leaf_scale_bar(leaf, page, tapul_vec2(at.x, y - 0.5 * leaf->step_mm),
                                fmin(width_mm, BAR_ROOM_MM), scale, worksheet->options->inches);
}

/* The scale is not known until the figure stands, but its words are of one length. */
static double words_height_mm(TapulWorksheet *worksheet, double width_mm, const char *label,
                              const char *text) {
    return worksheet->leaf.step_mm -
           set_words(worksheet, NULL, tapul_vec2(0, 0), width_mm, label, text, 0.4);
}

/* --- The print --- */

static void draw_numbers(const TapulWorksheet *worksheet, TapulPage *page,
                         const TapulSoughtPrint *print, TapulBox figure, TapulBox own,
                         TapulBox room) {
    const TapulLeaf *leaf = &worksheet->leaf;
    int n = (int)print->motifs->len;
    double scale = (figure.max.x - figure.min.x) / (own.max.x - own.min.x);
    double radius_mm = tapul_number_radius_mm(leaf);
    g_autofree TapulCallout *calls = g_new0(TapulCallout, n);
    g_autofree TapulCalloutStand *stands = g_new0(TapulCalloutStand, n);
    for (int i = 0; i < n; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(print->motifs, i);
        TapulVec2 from_corner = tapul_vec2_sub(motif->mark_mm, own.min);
        calls[i] =
            (TapulCallout){tapul_vec2_add(figure.min, tapul_vec2_scale(from_corner, scale)),
                           motif->number, NULL};
    }
    if (tapul_callouts_place(calls, n, figure, room, 2.6 * radius_mm, stands)) {
        tapul_callouts_draw(page, leaf, calls, stands, n, room);
        return;
    }
    tapul_numbers_part(calls, n, radius_mm, figure);
    for (int i = 0; i < n; i++)
        tapul_number_draw(page, leaf, calls[i].at_mm, calls[i].number);
}

/* "The print: 1 Mask, 2 Heron": what a person hears who cannot see it; owned. */
static char *print_alternative(const char *label, const TapulSoughtPrint *print) {
    GString *text = g_string_new(label);
    for (guint i = 0; i < print->motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(print->motifs, i);
        g_string_append_printf(text, "%s %d %s", i > 0 ? "," : ":", motif->number,
                               motif->shown->name);
    }
    return g_string_free(text, FALSE);
}

static void draw_print(TapulWorksheet *worksheet, TapulPage *page, TapulBox room,
                       const TapulSoughtPrint *print) {
    const TapulLeaf *leaf = &worksheet->leaf;
    double width_mm = room.max.x - room.min.x,
           strip_mm = STRIP_RADII * tapul_number_radius_mm(leaf);
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "the print");
    g_autofree char *text = tapul_leaf_print_words(worksheet->comparison, print->print);
    g_autoptr(TapulFigure) figure =
        tapul_figure_print(worksheet->comparison, print->print, FALSE);
    TapulBox space = room, own = tapul_figure_box_mm(figure);
    TapulVec2 at, size = tapul_vec2_sub(own.max, own.min);
    space.min.y += words_height_mm(worksheet, width_mm, label, text);
    space.min.x += strip_mm;
    space.max.x -= strip_mm;
    g_autofree char *alternative = print_alternative(label, print);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, alternative);
    double scale = tapul_worksheet_place(worksheet, page, space, figure, NULL, "print", &at);
    TapulBox drawn = {at, tapul_vec2_add(at, tapul_vec2_scale(size, scale))};
    draw_numbers(worksheet, page, print, drawn, own,
                 (TapulBox){{room.min.x, at.y}, {room.max.x, room.max.y}});
    set_words(worksheet, page, tapul_vec2(room.min.x, at.y - leaf->step_mm), width_mm, label,
              text, scale);
    tapul_page_end_part(page);
    worksheet->figures++;
}

/* --- The plate --- */

/* What stands on the metal, and what of it is no part of the design. */
static char *plate_words(const TapulWorksheet *worksheet) {
    const TapulComparison *comparison = worksheet->comparison;
    const TapulPlate *plate = comparison->question->plate;
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(
        text,
        tapul_comparison_sentence(comparison, "as if it were laid flat like a sheet of paper"));
    if (!comparison->question->found && !comparison->rectified)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(
                      comparison, "the design on it is drawn, not traced from the metal"));
    if (tapul_plate_medial_line(plate))
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(comparison, "the thin line along its middle is the "
                                                        "plate's own, no part of the design"));
    g_autofree char *side =
        tapul_comparison_capital(comparison, "side of a square on the metal");
    tapul_comparison_add_take(
        text, g_strdup_printf("%s: %.4g\u00a0mm.", side, worksheet->squares.cell_mm));
    return g_string_free(text, FALSE);
}

/* Small, below: the eye's own view of what lies flat above. */
static void draw_front(TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    const TapulLeaf *leaf = &worksheet->leaf;
    double width_mm = room.max.x - room.min.x;
    g_autofree char *label =
        tapul_comparison_capital(worksheet->comparison, "the plate seen from the front");
    g_autoptr(TapulFigure) figure =
        tapul_figure_view(worksheet->comparison, 0, 0, TAPUL_SHOWN_FOUND, -1);
    TapulBox space = room, own = tapul_figure_box_mm(figure);
    TapulVec2 at, size = tapul_vec2_sub(own.max, own.min);
    space.min.y += words_height_mm(worksheet, width_mm, label, "");
    if (space.max.y - space.min.y < LEAST_VIEW_MM ||
        tapul_leaf_scale(size, tapul_vec2_sub(space.max, space.min)) * size.x < LEAST_VIEW_MM)
        return;
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, label);
    double scale = tapul_worksheet_place(worksheet, page, space, figure, NULL, "front", &at);
    set_words(worksheet, page, tapul_vec2(room.min.x, at.y - leaf->step_mm), width_mm, label,
              "", scale);
    tapul_page_end_part(page);
    worksheet->figures++;
}

/* Returns the y below. */
static double draw_plate(TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    const TapulLeaf *leaf = &worksheet->leaf;
    double width_mm = room.max.x - room.min.x, label_mm = tapul_squares_label_mm(leaf);
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "the plate");
    g_autofree char *text = plate_words(worksheet);
    g_autoptr(TapulFigure) figure = tapul_figure_development(
        worksheet->comparison, worksheet->squares.box_mm, TAPUL_SHOWN_FOUND, -1);
    TapulBox space = room;
    TapulVec2 at;
    space.min.y += words_height_mm(worksheet, width_mm, label, text);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, label);
    double scale = tapul_worksheet_place(worksheet, page, space, figure, &worksheet->squares,
                                         "plate", &at);
    double y = set_words(worksheet, page,
                         tapul_vec2(room.min.x, at.y - label_mm - 0.5 * leaf->step_mm),
                         width_mm, label, text, scale);
    tapul_page_end_part(page);
    worksheet->figures++;
    return y;
}

/* At what scale draw_plate would draw it. */
static double plate_scale(TapulWorksheet *worksheet, TapulBox room) {
    const TapulSquares *squares = &worksheet->squares;
    double label_mm = tapul_squares_label_mm(&worksheet->leaf),
           width_mm = room.max.x - room.min.x;
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "the plate");
    g_autofree char *text = plate_words(worksheet);
    TapulVec2 space = {width_mm - 2 * label_mm,
                       room.max.y - room.min.y - 2 * label_mm -
                           words_height_mm(worksheet, width_mm, label, text)};
    return tapul_worksheet_scale(tapul_vec2_sub(squares->box_mm.max, squares->box_mm.min),
                                 space);
}

/* The plate laid flat, and as seen from the front below it or right of it: where the first
 * comes out larger, else where the page has more room. */
static void draw_plate_and_front(TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    TapulBox upper = room, left = room, right = room;
    upper.min.y += VIEW_SHARE * (room.max.y - room.min.y);
    right.min.x = room.max.x - BESIDE_SHARE * (room.max.x - room.min.x);
    left.max.x = right.min.x - worksheet->leaf.gutter_mm;
    double beside = plate_scale(worksheet, left), above = plate_scale(worksheet, upper);
    if (beside > above || (beside == above && worksheet->leaf.columns > 6)) {
        draw_plate(worksheet, page, left);
        draw_front(worksheet, page, right);
        return;
    }
    room.max.y = draw_plate(worksheet, page, upper) - 2 * worksheet->leaf.step_mm;
    draw_front(worksheet, page, room);
}

/* --- Pages --- */

static TapulPage *begin_page(TapulWorksheet *worksheet, const char *subtitle,
                             const char *description, TapulBox *body) {
    g_autofree char *title = tapul_comparison_capital(worksheet->comparison, "find the motifs");
    return tapul_worksheet_page(worksheet, title, subtitle, description, body);
}

static void halves(const TapulWorksheet *worksheet, TapulBox body, TapulBox *left,
                   TapulBox *right) {
    int half = worksheet->leaf.columns / 2;
    *left = *right = body;
    left->max.x = left->min.x + tapul_leaf_columns_mm(&worksheet->leaf, half);
    right->min.x = tapul_leaf_column_x(&worksheet->leaf, half);
}

static gboolean is_wide(const TapulWorksheet *worksheet) {
    return worksheet->leaf.format.width_mm >= SPREAD_FROM_MM;
}

/* A page of a print: the first says what is to be done. */
static TapulPage *begin_print(TapulWorksheet *worksheet, guint print, TapulBox *body) {
    const TapulSoughtPrint *sought = g_ptr_array_index(worksheet->prints, print);
    g_autofree char *name =
        is_wide(worksheet) ? tapul_sought_names(worksheet->comparison, worksheet->prints)
                           : tapul_comparison_print_name(worksheet->comparison, sought->print);
    TapulPage *page = begin_page(worksheet, name, "The print, its motifs numbered.", body);
    if (print > 0)
        return page;
    body->max.y = draw_blanks(worksheet, page, *body);
    body->max.y = draw_task(worksheet, page, *body);
    return page;
}

/* On large paper two to a page: the prints, and the plate last. */
static void spread(TapulWorksheet *worksheet) {
    const GPtrArray *prints = worksheet->prints;
    for (guint i = 0; i < prints->len; i += 2) {
        TapulBox body, left, right;
        TapulPage *page = begin_print(worksheet, i, &body);
        halves(worksheet, body, &left, &right);
        draw_print(worksheet, page, left, g_ptr_array_index(prints, i));
        if (i + 1 < prints->len)
            draw_print(worksheet, page, right, g_ptr_array_index(prints, i + 1));
        else
            draw_plate_and_front(worksheet, page, right);
    }
}

static void plate_page(TapulWorksheet *worksheet) {
    const TapulCase *question = worksheet->comparison->question;
    TapulBox body;
    TapulPage *page = begin_page(worksheet, tapul_plate_name(question->plate),
                                 "The plate with squares over it.", &body);
    draw_plate_and_front(worksheet, page, body);
}

void tapul_worksheet_figures(TapulWorksheet *worksheet) {
    gboolean wide = is_wide(worksheet);
    TapulBox body;
    if (wide)
        spread(worksheet);
    for (guint i = 0; !wide && i < worksheet->prints->len; i++) {
        TapulPage *page = begin_print(worksheet, i, &body);
        draw_print(worksheet, page, body, g_ptr_array_index(worksheet->prints, i));
    }
    if (!wide || worksheet->prints->len % 2 == 0)
        plate_page(worksheet);
}
