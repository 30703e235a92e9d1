/* The measuring sheet's tables: a row for each level with its readings, the points of the
 * outline, and what is taken as a check.
 *
 * Hints are printed small and grey, at the left of the blank they belong to.
 */
#include "sheet/measuring.h"

#define ROW_MM       15.6 /* of a level: x above z, each with room to write */
#define NUMBER_MM    10.0
#define HEIGHT_MM    15.0
#define GIRTH_MM     15.5
#define LETTER_MM    5.0
#define PAD_MM       0.9 /* from a cell's edge to its hint */
#define FAINT        ((TapulColour){0.72, 0.70, 0.67, 1})
#define POINT_ROW_MM 8.0

static void put(TapulPage *page, double x, double y, const char *text, const TapulType *type) {
    if (page)
        tapul_page_text(page, tapul_vec2(x, y), text, type);
}

static TapulType hint_type(void) {
    return (TapulType){.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_HINT};
}

static void rule(TapulPage *page, double left, double right, double y, TapulColour colour) {
    tapul_form_line(page, tapul_vec2(left, y), tapul_vec2(right, y), TAPUL_HAIRLINE_MM, colour);
}

static void upright(TapulPage *page, double x, double top, double bottom) {
    tapul_form_line(page, tapul_vec2(x, top), tapul_vec2(x, bottom), TAPUL_HAIRLINE_MM, FAINT);
}

/* --- Levels --- */

/* Columns from the left: number, height, two girths, then the readings' letters and cells, or
 * for solids width and depth. */
typedef struct {
    double left, height, girth[2], letters, cells, cell_mm, right;
    int n_cells;
} Columns;

static Columns columns_of(TapulBox room, const TapulMeasuring *measuring) {
    Columns c = {.left = room.min.x, .right = room.max.x};
    c.height = c.left + NUMBER_MM;
    if (measuring->stations) {
        c.girth[0] = c.height + HEIGHT_MM;
        c.girth[1] = c.girth[0] + GIRTH_MM;
        c.letters = c.girth[1] + GIRTH_MM;
        c.cells = c.letters + LETTER_MM;
        c.n_cells = TAPUL_LEVEL_READINGS;
        c.cell_mm = (c.right - c.cells) / c.n_cells;
    } else {
        c.n_cells = 2;
        c.cell_mm = (c.right - c.height - HEIGHT_MM) / 4;
        c.girth[0] = c.height + HEIGHT_MM;
        c.girth[1] = c.girth[0] + c.cell_mm;
        c.letters = c.cells = c.girth[1] + c.cell_mm;
    }
    return c;
}

static double set_heads(TapulPage *page, double top, const Columns *c,
                        const TapulMeasuring *measuring) {
    double em = measuring->format.text_mm, line_mm = 1.25 * em;
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    TapulType number = {.size_mm = em, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    double upper = top - 0.86 * em, lower = upper - line_mm;
    put(page, c->left, lower, "level", &type);
    put(page, c->height + PAD_MM, lower, "height y", &type);
    put(page, c->girth[0] + PAD_MM, upper, "girth", &type);
    put(page, c->girth[0] + PAD_MM, lower, "to the left", &type);
    put(page, c->girth[1] + PAD_MM, upper, "girth", &type);
    put(page, c->girth[1] + PAD_MM, lower, "to the right", &type);
    if (!measuring->stations) {
        put(page, c->cells + PAD_MM, upper, "width across,", &type);
        put(page, c->cells + PAD_MM, lower, "by callipers", &type);
        put(page, c->cells + c->cell_mm + PAD_MM, upper, "depth from the", &type);
        put(page, c->cells + c->cell_mm + PAD_MM, lower, "board to the front", &type);
        return lower - 0.5 * em;
    }
    put(page, c->cells + PAD_MM, upper,
        measuring->closed ? "readings: 1 at the middle of the front, the last at the middle of "
                            "the back"
                          : "readings: 1 on the medial line, the last at the side edge",
        &type);
    for (int i = 0; i < c->n_cells; i++) {
        g_autofree char *text = g_strdup_printf("%d", i + 1);
        put(page, c->cells + (i + 0.5) * c->cell_mm, lower, text, &number);
    }
    return lower - 0.5 * em;
}

static void set_reading_cells(TapulPage *page, double top, const Columns *c,
                              const TapulLevel *level, const TapulMeasuring *measuring) {
    double middle = top - ROW_MM / 2, em = measuring->format.text_mm;
    TapulType hint = hint_type();
    TapulType letter = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    put(page, c->letters + PAD_MM, middle + 2.2, "x", &letter);
    put(page, c->letters + PAD_MM, middle - ROW_MM / 2 + 2.2, "z", &letter);
    rule(page, c->letters, c->right, middle, FAINT);
    for (int i = 0; i < level->n; i++) {
        gboolean edge = !measuring->closed && i == level->n - 1;
        g_autofree char *text =
            edge ? g_strdup("edge") : g_strdup_printf("%.0f", level->x_mm[i]);
        put(page, c->cells + i * c->cell_mm + PAD_MM, top - 2.6, text, &hint);
    }
}

static void set_level(TapulPage *page, double top, const Columns *c, guint i,
                      const TapulMeasuring *measuring) {
    const TapulLevel *level = &g_array_index(measuring->levels, TapulLevel, i);
    double bottom = top - ROW_MM, em = measuring->format.text_mm;
    TapulType name = {.size_mm = 1.15 * em, .colour = TAPUL_BLACK};
    TapulType hint = hint_type();
    g_autofree char *number =
        g_strdup_printf("L%u%s", i + 1, measuring->stations && level->beyond ? "\u00b0" : "");
    g_autofree char *height = tapul_level_height_text(level);
    put(page, c->left, top - ROW_MM / 2 - 0.3 * em, number, &name);
    put(page, c->height + PAD_MM, top - 2.6, height, &hint);
    upright(page, c->height, top, bottom);
    upright(page, c->girth[0], top, bottom);
    upright(page, c->girth[1], top, bottom);
    upright(page, c->letters, top, bottom);
    for (int k = 0; k < c->n_cells; k++)
        upright(page, c->cells + k * c->cell_mm, top, bottom);
    if (measuring->stations)
        set_reading_cells(page, top, c, level, measuring);
    rule(page, c->left, c->right, bottom, TAPUL_BLACK);
}

static double set_beyond_note(TapulPage *page, TapulVec2 at, double width_mm,
                              const TapulMeasuring *measuring) {
    TapulType type = {
        .size_mm = 0.9 * measuring->format.text_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    return tapul_set_paragraph(
        page, at, width_mm,
        "\u00b0 This level runs past the metal of the type plate for part of its way, as "
        "under a curved edge or over the opening of the neck; the steps say how it is read.",
        &type);
}

double tapul_measuring_levels(TapulPage *page, TapulBox room, const TapulMeasuring *measuring,
                              guint first, guint *next) {
    Columns c = columns_of(room, measuring);
    double em = measuring->format.text_mm, note_mm = 4 * em;
    gboolean beyond = FALSE;
    tapul_page_begin_group(page, "levels", "Readings by level", NULL);
    double y = tapul_set_heading(page, tapul_vec2(c.left, room.max.y), c.right - c.left,
                                 "Readings by level, in mm", &measuring->format);
    y = set_heads(page, y, &c, measuring);
    rule(page, c.left, c.right, y, TAPUL_BLACK);
    for (*next = first; *next < measuring->levels->len && y - ROW_MM - note_mm >= room.min.y;
         ++*next) {
        set_level(page, y, &c, *next, measuring);
        beyond |= g_array_index(measuring->levels, TapulLevel, *next).beyond;
        y -= ROW_MM;
    }
    y -= 0.6 * em;
    if (beyond && measuring->stations)
        y = set_beyond_note(page, tapul_vec2(c.left, y), c.right - c.left, measuring);
    tapul_page_end_group(page);
    return y;
}

/* --- Points of the outline --- */

static const char *point_words(const TapulOutlinePoint *point) {
    switch (point->kind) {
    case TAPUL_OUTLINE_LOWER:
        return "lower edge, middle";
    case TAPUL_OUTLINE_UPPER:
        return "upper edge, middle";
    case TAPUL_OUTLINE_CORNER:
        return "corner";
    case TAPUL_OUTLINE_CURVE:
        break;
    }
    return "on a curve";
}

/* The coordinate that a point on a curve is found by: the one along which the edge runs. */
static void set_point_hint(TapulPage *page, double x_cell, double y_cell, double y,
                           const TapulOutlinePoint *point) {
    TapulType hint = hint_type();
    double value = point->upright ? point->at_mm.y : point->at_mm.x;
    if (point->kind != TAPUL_OUTLINE_CURVE)
        return;
    g_autofree char *text =
        g_strdup_printf("%s%.0f", value < -0.5 ? "\u2212" : "", fabs(5 * round(value / 5)));
    put(page, (point->upright ? y_cell : x_cell) + PAD_MM, y - 2.6, text, &hint);
}

static void set_point(TapulPage *page, TapulVec2 at, double width_mm, guint number,
                      const TapulOutlinePoint *point, const TapulFormat *format) {
    double bottom = at.y - POINT_ROW_MM, em = format->text_mm;
    double cell_mm = 0.27 * width_mm, y_cell = at.x + width_mm - cell_mm,
           x_cell = y_cell - cell_mm;
    TapulType name = {.size_mm = em, .colour = TAPUL_BLACK};
    TapulType words = {.size_mm = 0.9 * em, .italic = TRUE, .colour = TAPUL_BLACK};
    g_autofree char *text = g_strdup_printf("%u", number);
    put(page, at.x, bottom + 2.4, text, &name);
    put(page, at.x + 6, bottom + 2.4, point_words(point), &words);
    upright(page, x_cell, at.y, bottom);
    upright(page, y_cell, at.y, bottom);
    if (point->kind == TAPUL_OUTLINE_LOWER || point->kind == TAPUL_OUTLINE_UPPER) {
        TapulType hint = hint_type();
        put(page, x_cell + PAD_MM, at.y - 2.6, "0", &hint);
    }
    set_point_hint(page, x_cell, y_cell, at.y, point);
    rule(page, at.x, at.x + width_mm, bottom, TAPUL_BLACK);
}

static double set_point_heads(TapulPage *page, TapulVec2 at, double width_mm,
                              const TapulFormat *format) {
    double em = format->text_mm, cell_mm = 0.27 * width_mm, y = at.y - 0.9 * em;
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    put(page, at.x, y, "point", &type);
    put(page, at.x + width_mm - 2 * cell_mm + PAD_MM, y, "x", &type);
    put(page, at.x + width_mm - cell_mm + PAD_MM, y, "y", &type);
    y -= 0.5 * em;
    rule(page, at.x, at.x + width_mm, y, TAPUL_BLACK);
    return y;
}

double tapul_measuring_points(TapulPage *page, TapulBox room, const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    double gap_mm = 2.5 * format->text_mm;
    double width_mm = (room.max.x - room.min.x - gap_mm) / 2, lowest = room.max.y;
    double y = room.max.y;
    guint n = measuring->points->len, rows = (n + 1) / 2;
    tapul_page_begin_group(page, "points", "Points of the outline", NULL);
    double top = tapul_set_heading(
        page, tapul_vec2(room.min.x, room.max.y), room.max.x - room.min.x,
        measuring->half
            ? "Points of the outline, right half, seen straight from the front, in mm"
            : "Points of the outline, seen straight from the front, in mm",
        format);
    for (guint i = 0; i < n; i++) {
        TapulVec2 at = {room.min.x + (i < rows ? 0 : width_mm + gap_mm), y};
        if (i % rows == 0)
            at.y = set_point_heads(page, tapul_vec2(at.x, top), width_mm, format);
        set_point(page, at, width_mm, i + 1,
                  &g_array_index(measuring->points, TapulOutlinePoint, i), format);
        y = at.y - POINT_ROW_MM;
        lowest = fmin(lowest, y);
    }
    tapul_page_end_group(page);
    return lowest;
}

/* --- Checks --- */

double tapul_measuring_checks(TapulPage *page, TapulBox room, const TapulMeasuring *measuring) {
    static const char *const checks[] = {
        "height",
        "width",
        "depth",
        "thickness below",
        "in the middle",
        "at a side",
        "medial line, by tape",
        "weight, g",
        "readings repeat within",
    };
    const TapulFormat *format = &measuring->format;
    double width_mm = room.max.x - room.min.x;
    tapul_page_begin_group(page, "checks", "As a check", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_mm,
                                 "As a check: by callipers and scales, in mm and g", format);
    y = tapul_form_blanks(page, tapul_vec2(room.min.x, y), width_mm, checks,
                          (int)G_N_ELEMENTS(checks), 3, format);
    tapul_page_end_group(page);
    return y;
}

double tapul_measuring_remarks(TapulPage *page, TapulBox room,
                               const TapulMeasuring *measuring) {
    tapul_page_begin_group(page, "remarks", "Remarks", NULL);
    double y =
        tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), room.max.x - room.min.x,
                          "Remarks: dents, repairs, what stands off", &measuring->format);
    for (y -= TAPUL_WRITING_MM; y >= room.min.y; y -= TAPUL_WRITING_MM)
        rule(page, room.min.x, room.max.x, y, FAINT);
    tapul_page_end_group(page);
    return y;
}
