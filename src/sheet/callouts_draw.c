/* Numbered calls drawn: leaders, numbers in rings, texts; and numbers that stand on a figure
 * without leaders.
 *
 * Where labels stand is settled in callouts.c.
 */
#include "sheet/callouts.h"

#include "sheet/page_items.h"
#include "sheet/shortened.h"

/* All in ems of labels. */
#define RADIUS_EMS       0.72 /* of a number's ring: holds two figures */
#define RING_EMS         0.24 /* of the ring at the place */
#define GAP_EMS          0.38 /* between ring and text */
#define AIR_EMS          0.5  /* between labels */
#define LEADER_EMS       0.065
#define HALO_EMS         0.12 /* to each side of a leader */
#define FIGURES_HALF_EMS 0.32 /* half the height of lining figures */
#define X_HALF_EMS       0.22 /* half the height of an x */

#define MOST_LINES     2
#define WIDTH_STEP_EMS 0.5 /* widths tried of texts */

/* Numbers that touch are moved apart in rounds. Each parts two by PART_SLACK of their distance
 * more than it need, or neighbours would go on giving way to each other by less and less. */
#define MOST_ROUNDS 1000
#define PART_SLACK  0.01
/* Those on one line swerve off it, or it would soon be full. */
#define SWERVE_RAD 0.2
/* Those of one place part in directions that differ from pair to pair: no two multiples of the
 * golden angle point the same way. */
#define GOLDEN_ANGLE_RAD 2.399963229728653

/* Handles of the four cubics of a circle (Goldapp 1991). */
#define CIRCLE_HANDLE 0.5522847498

static double em(const TapulLeaf *leaf) {
    return leaf->label_mm;
}

double tapul_number_radius_mm(const TapulLeaf *leaf) {
    return RADIUS_EMS * em(leaf);
}

static TapulType text_type(const TapulLeaf *leaf) {
    return (TapulType){.size_mm = em(leaf), .colour = TAPUL_BLACK};
}

static TapulPath *circle(TapulVec2 at, double radius_mm) {
    TapulPath *path = tapul_path_new();
    TapulVec2 out = {radius_mm, 0}, along = {0, CIRCLE_HANDLE * radius_mm};
    tapul_path_move(path, tapul_vec2_add(at, out));
    for (int i = 0; i < 4; i++) {
        TapulVec2 next = {-out.y, out.x}, back = {-along.y, along.x};
        tapul_path_curve(path, tapul_vec2_add(at, tapul_vec2_add(out, along)),
                         tapul_vec2_add(at, tapul_vec2_sub(next, back)),
                         tapul_vec2_add(at, next));
        out = next;
        along = back;
    }
    tapul_path_close(path);
    return path;
}

/* --- Room --- */

/* From the port to where the text begins. */
static double text_offset_mm(const TapulLeaf *leaf) {
    return (2 * RADIUS_EMS + GAP_EMS) * em(leaf);
}

static double step_of_lines(const TapulLeaf *leaf, guint lines) {
    double text_mm = (1 + (lines - 1) * TAPUL_LEADING) * em(leaf);
    return fmax(text_mm, 2 * tapul_number_radius_mm(leaf)) + AIR_EMS * em(leaf);
}

/* Whether text breaks into at most so many lines of a width, and that between words. */
static gboolean text_fits(const char *text, double width_mm, guint lines,
                          const TapulType *type) {
    g_auto(GStrv) words = g_strsplit(text, " ", -1);
    for (int i = 0; words[i]; i++)
        if (tapul_page_text_width_mm(words[i], type) > width_mm)
            return FALSE;
    g_autoptr(GPtrArray) broken = tapul_page_break_lines(text, width_mm, type);
    return broken->len <= lines;
}

static gboolean texts_fit(const TapulLeaf *leaf, const TapulCallout *calls, int n,
                          double width_mm, guint lines) {
    TapulType type = text_type(leaf);
    for (int i = 0; i < n; i++)
        if (calls[i].text && !text_fits(calls[i].text, width_mm, lines, &type))
            return FALSE;
    return TRUE;
}

/* The narrowest width, to WIDTH_STEP_EMS, up to most_mm; 0: not even that holds the texts. */
static double narrowest_mm(const TapulLeaf *leaf, const TapulCallout *calls, int n,
                           double most_mm, guint lines) {
    for (double width_mm = WIDTH_STEP_EMS * em(leaf); width_mm <= most_mm;
         width_mm += WIDTH_STEP_EMS * em(leaf))
        if (texts_fit(leaf, calls, n, width_mm, lines))
            return width_mm;
    return 0;
}

TapulCalloutRoom tapul_callouts_room(const TapulLeaf *leaf, const TapulCallout *calls, int n,
                                     double most_mm) {
    gboolean texts = FALSE;
    for (int i = 0; i < n; i++)
        texts |= calls[i].text != NULL;
    for (guint lines = 1; lines <= MOST_LINES; lines++) {
        double step_mm = step_of_lines(leaf, lines), offset_mm = text_offset_mm(leaf);
        if (!texts)
            return (TapulCalloutRoom){step_mm / 2 + 2 * tapul_number_radius_mm(leaf), step_mm};
        offset_mm += step_mm / 2; /* the port's, off the figure */
        double width_mm = narrowest_mm(leaf, calls, n, most_mm - offset_mm, lines);
        if (width_mm > 0)
            return (TapulCalloutRoom){offset_mm + width_mm, step_mm};
    }
    return (TapulCalloutRoom){0, 0};
}

/* --- Leaders --- */

static void draw_line(TapulPage *page, TapulVec2 from, TapulVec2 to, double width_mm,
                      TapulColour colour) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, from);
    tapul_path_line(path, to);
    tapul_page_path(
        page, path,
        &(TapulPen){.stroke = colour, .width_mm = width_mm, .cap = TAPUL_CAP_ROUND});
}

static void draw_ring(TapulPage *page, TapulVec2 at, double radius_mm, double width_mm,
                      TapulColour fill, TapulColour line) {
    g_autoptr(TapulPath) path = circle(at, radius_mm);
    tapul_page_path(page, path,
                    &(TapulPen){.fill = fill, .stroke = line, .width_mm = width_mm});
}

/* Halos first, so that none cuts the line of a neighbour. */
static void draw_leaders(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *calls,
                         const TapulCalloutStand *stands, int n) {
    double line_mm = LEADER_EMS * em(leaf), halo_mm = line_mm + 2 * HALO_EMS * em(leaf);
    double ring_mm = RING_EMS * em(leaf);
    for (int i = 0; i < n; i++) {
        draw_line(page, calls[i].at_mm, stands[i].port_mm, halo_mm, TAPUL_WARM_WHITE);
        draw_ring(page, calls[i].at_mm, ring_mm, halo_mm, TAPUL_NO_COLOUR, TAPUL_WARM_WHITE);
    }
    for (int i = 0; i < n; i++)
        draw_line(page, calls[i].at_mm, stands[i].port_mm, line_mm, TAPUL_BLACK);
    for (int i = 0; i < n; i++)
        draw_ring(page, calls[i].at_mm, ring_mm, line_mm, TAPUL_WARM_WHITE, TAPUL_BLACK);
}

/* --- Labels --- */

void tapul_number_draw(TapulPage *page, const TapulLeaf *leaf, TapulVec2 at_mm, int number) {
    TapulType type = text_type(leaf);
    char text[12];
    type.align = TAPUL_ALIGN_CENTRE;
    g_snprintf(text, sizeof text, "%d", number);
    draw_ring(page, at_mm, tapul_number_radius_mm(leaf), TAPUL_HAIRLINE_MM, TAPUL_WARM_WHITE,
              TAPUL_BLACK);
    tapul_page_text(page, tapul_vec2(at_mm.x, at_mm.y - FIGURES_HALF_EMS * em(leaf)), text,
                    &type);
}

/* Centred on the number's height, set towards the figure. */
static void draw_text(TapulPage *page, const TapulLeaf *leaf, const char *text,
                      const TapulCalloutStand *stand, TapulBox room) {
    TapulType type = text_type(leaf);
    double offset_mm = text_offset_mm(leaf), step_mm = TAPUL_LEADING * em(leaf);
    double x = stand->port_mm.x + (stand->left ? -offset_mm : offset_mm);
    double width_mm = stand->left ? x - room.min.x : room.max.x - x;
    g_autofree char *shown = tapul_text_shortened(text, width_mm, MOST_LINES, &type);
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(shown, width_mm, &type);
    double y = stand->port_mm.y - X_HALF_EMS * em(leaf) + (lines->len - 1) * step_mm / 2;
    type.align = stand->left ? TAPUL_ALIGN_RIGHT : TAPUL_ALIGN_LEFT;
    for (guint i = 0; i < lines->len; i++)
        tapul_page_text(page, tapul_vec2(x, y - i * step_mm), lines->pdata[i], &type);
}

static void draw_label(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *call,
                       const TapulCalloutStand *stand, TapulBox room) {
    double radius_mm = tapul_number_radius_mm(leaf);
    TapulVec2 middle = {stand->port_mm.x + (stand->left ? -radius_mm : radius_mm),
                        stand->port_mm.y};
    g_autofree char *id = g_strdup_printf("call-%d", call->number);
    tapul_page_begin_group(page, id, call->text, NULL);
    if (call->text)
        tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_number_draw(page, leaf, middle, call->number);
    if (call->text) {
        draw_text(page, leaf, call->text, stand, room);
        tapul_page_end_part(page);
    }
    tapul_page_end_group(page);
}

void tapul_callouts_draw(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *calls,
                         const TapulCalloutStand *stands, int n, TapulBox room) {
    tapul_page_begin_group(page, "leaders", NULL, NULL);
    draw_leaders(page, leaf, calls, stands, n);
    tapul_page_end_group(page);
    for (int i = 0; i < n; i++)
        draw_label(page, leaf, &calls[i], &stands[i], room);
}

/* --- Numbers without leaders --- */

static TapulVec2 kept_within(TapulVec2 at, TapulBox box, double radius_mm) {
    return tapul_vec2(fmax(fmin(at.x, box.max.x - radius_mm), box.min.x + radius_mm),
                      fmax(fmin(at.y, box.max.y - radius_mm), box.min.y + radius_mm));
}

/* Moves two that touch apart by equal ways. */
static gboolean part_two(TapulVec2 *a, TapulVec2 *b, double apart_mm, int pair) {
    TapulVec2 way = tapul_vec2_sub(*b, *a);
    double length = tapul_vec2_length(way);
    if (length >= apart_mm)
        return FALSE;
    way = length > 0 ? tapul_vec2_turn(tapul_vec2_scale(way, 1 / length), SWERVE_RAD)
                     : tapul_vec2_turn(tapul_vec2(1, 0), GOLDEN_ANGLE_RAD * pair);
    way = tapul_vec2_scale(way, (apart_mm - length) / 2 + PART_SLACK * apart_mm);
    *a = tapul_vec2_sub(*a, way);
    *b = tapul_vec2_add(*b, way);
    return TRUE;
}

static void keep_all_within(TapulCallout *calls, int n, double radius_mm, TapulBox within) {
    for (int i = 0; i < n; i++)
        calls[i].at_mm = kept_within(calls[i].at_mm, within, radius_mm);
}

void tapul_numbers_part(TapulCallout *calls, int n, double radius_mm, TapulBox within) {
    gboolean moved = TRUE;
    keep_all_within(calls, n, radius_mm, within);
    for (int round = 0; moved && round < MOST_ROUNDS; round++) {
        moved = FALSE;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < i; j++)
                moved |= part_two(&calls[j].at_mm, &calls[i].at_mm, 2 * radius_mm, i + j);
        keep_all_within(calls, n, radius_mm, within);
    }
}
