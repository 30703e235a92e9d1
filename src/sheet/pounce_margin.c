/* The margins of a tile: ticks for trimming and laying, and strips that hold words where the
 * window has no room for them.
 *
 * A strip is as thick as the margin less what printers lose: two lines of the least text. Words
 * along the upright sides are read from below. */
#include "sheet/pounce_parts.h"

#include "sheet/shortened.h"

/* Baselines of the two lines above a strip's lower side, in ems: letters of EB Garamond reach
 * 0.25 below theirs and 0.70 above, so that in a strip of two ems neither line meets the other
 * or leaves the strip. */
#define LOWER_LINE_EMS 0.26
#define UPPER_LINE_EMS 1.23
/* What a tile is called, in both lines. */
#define HEADING_MM       3.6
#define HEADING_LINE_EMS 0.42
/* Less of a title tells nothing. */
#define LEAST_TITLE_MM 15.0
/* Ticks, after ISO 5457; the trimming ones are the thicker. */
#define TRIM_MM 0.5
#define LAY_MM  0.18
/* From the window's edge to a tick. */
#define TICK_GAP_MM 0.5
/* Kept free along the outer side of the margins, for the measures that may stand there. */
#define OUTERMOST_MM 1.3
/* The line where a neighbour's edge is laid, within the window: short strokes far apart. */
#define LAY_DASH_MM 3.0
#define LAY_GAP_MM  22.0

TapulMargins tapul_margins(const TapulPounceTile *tile, TapulPage *page) {
    return (TapulMargins){.tile = tile, .page = page};
}

/* --- Ticks --- */

static void add_line(TapulPath *path, TapulVec2 from, TapulVec2 to) {
    tapul_path_move(path, from);
    tapul_path_line(path, to);
}

/* Ticks above and below the window at x, or left and right of it at y. */
static void add_ticks(TapulPath *path, const TapulPounceTile *tile, gboolean upright,
                      double at) {
    TapulBox w = tile->window_mm;
    double from = TICK_GAP_MM, to = w.min.x - TAPUL_UNPRINTED_MM - OUTERMOST_MM;
    if (upright) {
        add_line(path, tapul_vec2(at, w.max.y + from), tapul_vec2(at, w.max.y + to));
        add_line(path, tapul_vec2(at, w.min.y - from), tapul_vec2(at, w.min.y - to));
    } else {
        add_line(path, tapul_vec2(w.min.x - from, at), tapul_vec2(w.min.x - to, at));
        add_line(path, tapul_vec2(w.max.x + from, at), tapul_vec2(w.max.x + to, at));
    }
}

/* Where the neighbour to the right, or the one below, begins. */
static double lay_x(const TapulPounceTile *tile) {
    return tile->window_mm.max.x - tile->overlap_mm;
}

static double lay_y(const TapulPounceTile *tile) {
    return tile->window_mm.min.y + tile->overlap_mm;
}

void tapul_margins_ticks(const TapulMargins *margins, gboolean in_window) {
    const TapulPounceTile *tile = margins->tile;
    TapulBox w = tile->window_mm;
    g_autoptr(TapulPath) trim = tapul_path_new();
    g_autoptr(TapulPath) lay = tapul_path_new();
    g_autoptr(TapulPath) line = tapul_path_new();
    if (tile->joins[TAPUL_SIDE_LEFT])
        add_ticks(trim, tile, TRUE, w.min.x);
    if (tile->joins[TAPUL_SIDE_ABOVE])
        add_ticks(trim, tile, FALSE, w.max.y);
    if (tile->joins[TAPUL_SIDE_RIGHT]) {
        add_ticks(lay, tile, TRUE, lay_x(tile));
        add_line(line, tapul_vec2(lay_x(tile), w.max.y), tapul_vec2(lay_x(tile), w.min.y));
    }
    if (tile->joins[TAPUL_SIDE_BELOW]) {
        add_ticks(lay, tile, FALSE, lay_y(tile));
        add_line(line, tapul_vec2(w.min.x, lay_y(tile)), tapul_vec2(w.max.x, lay_y(tile)));
    }
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = TRIM_MM};
    tapul_page_begin_group(margins->page, "trim-marks", "Trim at the thick ticks", NULL);
    tapul_page_path(margins->page, trim, &pen);
    tapul_page_end_group(margins->page);
    pen.width_mm = LAY_MM;
    tapul_page_begin_group(margins->page, "lay-marks", "Lay the neighbours at the thin ticks",
                           NULL);
    tapul_page_path(margins->page, lay, &pen);
    pen.n_dash = 2;
    pen.dash_mm[0] = LAY_DASH_MM;
    pen.dash_mm[1] = LAY_GAP_MM;
    if (in_window)
        tapul_page_path(margins->page, line, &pen);
    tapul_page_end_group(margins->page);
}

/* --- Strips --- */

/* A strip's frame: from along its reading direction, its lower side there. */
typedef struct {
    TapulVec2 from;
    double length_mm, turn_rad;
} Strip;

static Strip strip_of(const TapulPounceTile *tile, TapulSide side) {
    TapulBox w = tile->window_mm;
    /* Clear of ticks at the window's corners and where neighbours are laid. */
    double left = w.min.x + TAPUL_MARGIN_GAP_MM, low = w.min.y + TAPUL_MARGIN_GAP_MM;
    double right = w.max.x - TAPUL_MARGIN_GAP_MM, high = w.max.y - TAPUL_MARGIN_GAP_MM;
    if (tile->joins[TAPUL_SIDE_RIGHT])
        right = lay_x(tile) - TAPUL_MARGIN_GAP_MM;
    if (tile->joins[TAPUL_SIDE_BELOW])
        low = lay_y(tile) + TAPUL_MARGIN_GAP_MM;
    double outer = TAPUL_UNPRINTED_MM;
    switch (side) {
    case TAPUL_SIDE_LEFT:
        return (Strip){{w.min.x, low}, high - low, G_PI / 2};
    case TAPUL_SIDE_RIGHT:
        return (Strip){{tile->size_mm.x - outer, low}, high - low, G_PI / 2};
    case TAPUL_SIDE_ABOVE:
        return (Strip){{left, w.max.y}, right - left, 0};
    case TAPUL_SIDE_BELOW:
    default:
        return (Strip){{left, outer}, right - left, 0};
    }
}

/* The strip's lower line is the outer one on the right (whose words stand with their feet
 * outward) and below. */
static gboolean lower_is_outer(TapulSide side) {
    return side == TAPUL_SIDE_RIGHT || side == TAPUL_SIDE_BELOW;
}

static gboolean set_on_line(TapulMargins *margins, TapulSide side, int line, const char *text,
                            const TapulType *type) {
    Strip strip = strip_of(margins->tile, side);
    double *used_mm = &margins->used_mm[side][line];
    double width_mm = tapul_page_text_width_mm(text, type);
    if (*used_mm + width_mm > strip.length_mm)
        return FALSE;
    gboolean lower = (line == 0) == lower_is_outer(side);
    TapulVec2 at = {*used_mm, (lower ? LOWER_LINE_EMS : UPPER_LINE_EMS) * type->size_mm};
    TapulType turned = *type;
    turned.turn_rad = strip.turn_rad;
    tapul_page_text(margins->page,
                    tapul_vec2_add(strip.from, tapul_vec2_turn(at, strip.turn_rad)), text,
                    &turned);
    *used_mm += width_mm + TAPUL_MARGIN_GAP_MM;
    return TRUE;
}

void tapul_margins_heading(TapulMargins *margins, const char *text) {
    TapulType type = {.size_mm = HEADING_MM, .bold = TRUE, .colour = TAPUL_WORK_BLACK};
    Strip strip = strip_of(margins->tile, TAPUL_SIDE_ABOVE);
    /* Smaller, and in the end shortened, on a narrow roll. */
    type.size_mm *= fmin(1, strip.length_mm / tapul_page_text_width_mm(text, &type));
    type.size_mm = fmax(type.size_mm, TAPUL_LEAST_TEXT_MM);
    g_autofree char *shown = tapul_text_shortened(text, strip.length_mm, 1, &type);
    TapulVec2 at = {strip.from.x, strip.from.y + HEADING_LINE_EMS * HEADING_MM};
    tapul_page_text(margins->page, at, shown, &type);
    for (int line = 0; line < 2; line++)
        margins->used_mm[TAPUL_SIDE_ABOVE][line] =
            tapul_page_text_width_mm(shown, &type) + TAPUL_MARGIN_GAP_MM;
}

double tapul_margins_left_mm(const TapulMargins *margins, TapulSide side) {
    const double *used_mm = margins->used_mm[side];
    return strip_of(margins->tile, side).length_mm - fmax(used_mm[0], used_mm[1]);
}

void tapul_margins_title(TapulMargins *margins, const char *title) {
    TapulType type = {.size_mm = HEADING_MM, .italic = TRUE, .colour = TAPUL_WORK_BLACK};
    Strip strip = strip_of(margins->tile, TAPUL_SIDE_ABOVE);
    double left_mm = tapul_margins_left_mm(margins, TAPUL_SIDE_ABOVE);
    if (left_mm < LEAST_TITLE_MM)
        return;
    g_autofree char *shown = tapul_text_shortened(title, left_mm, 1, &type);
    tapul_page_text(margins->page,
                    tapul_vec2(strip.from.x + strip.length_mm - left_mm,
                               strip.from.y + HEADING_LINE_EMS * HEADING_MM),
                    shown, &type);
}

gboolean tapul_margins_text(TapulMargins *margins, TapulSide side, const char *text,
                            const TapulType *type) {
    return set_on_line(margins, side, 1, text, type) ||
           set_on_line(margins, side, 0, text, type);
}
