/* The measuring sheet's line drawing: the plate from the side and from the front with
 * its levels and the points of its outline, one level from below, and what the letters mean.
 *
 * Views find the lines, levels the cuts; all stand at one scale, side and front on one ground.
 */
#include "sheet/measuring_figure.h"
#include "sheet/view.h"

/* Scales of the drawing, largest first. */
static const double reductions[] = {1,  1.5, 2,  2.5, 3,  4,  5,  6, 8,
                                    10, 12,  15, 20,  25, 30, 40, 50};

#define EDGE_MM         0.35 /* ISO 128 */
#define CONTOUR_MM      0.25
#define TEXT_MM         52.0 /* the column of text to the right */
#define TEXT_GAP_MM     8.0
#define LABELS_MM       19.0 /* between side and front: number and height of each level */
#define POINTS_MM       9.0  /* beside the front, for the numbers of its points */
#define MEDIAL_ABOVE_MM 4.4  /* past the number of its upper point */
#define ABOVE_MM        9.0  /* over side and front, for the medial line's name */
#define FRONT_FOOT_MM   6.0  /* under side and front, for the medial line's end */
#define BETWEEN_MM      11.0 /* from the captions down to the section */
#define BELOW_MM        9.0  /* under the section, for x */
#define BEND_MM         2.0  /* where a line to a label that stands higher slants */
#define FARTHEST_STEP   4    /* how many times as far off a number may stand */
#define LEVEL_MM        0.25
#define PICTURE_DPI     300.0 /* of the hidden picture that tells what is hidden */
#define MOST_PIXELS     4e6

static const TapulColour level_colour = {0x00 / 255.0, 0x72 / 255.0, 0xB2 / 255.0, 1};

/* --- Views --- */

/* The plate's edge and the lines where it turns away, from the front (0) or from its left side
 * (a quarter turn); the view's frame has its own (0, 0) at the origin. */
static void draw_view(const TapulFigure *figure, const char *id, const char *title,
                      TapulVec2 origin, double turn_rad) {
    /* A view asks the development only for its mesh. */
    TapulDevelopment bare = {.mesh = tapul_plate_mesh(figure->measuring->plate)};
    TapulGround ground = {figure->measuring->plate, &bare, NULL};
    g_autoptr(TapulView) view = tapul_view_new(&ground, turn_rad, 0);
    TapulAffine at = {figure->scale, 0, 0, figure->scale, origin.x, origin.y};
    double pixel_mm = 25.4 / PICTURE_DPI / figure->scale;
    tapul_view_shade(view, tapul_raster_pixel_mm(view->box_mm, pixel_mm, MOST_PIXELS),
                     TAPUL_METAL_BRIGHT);
    g_autoptr(TapulPath) edge = tapul_view_edge(view);
    g_autoptr(TapulPath) contour = tapul_view_contour(view);
    TapulPen pen = {.stroke = TAPUL_BLACK, .cap = TAPUL_CAP_ROUND, .join = TAPUL_JOIN_ROUND};
    tapul_page_begin_group(figure->page, id, title, &at);
    pen.width_mm = CONTOUR_MM / figure->scale;
    tapul_page_path(figure->page, contour, &pen);
    pen.width_mm = EDGE_MM / figure->scale;
    tapul_page_path(figure->page, edge, &pen);
    tapul_page_end_group(figure->page);
}

/* The metal of a level: how far left it comes, and how far forward. */
typedef struct {
    double leftmost_mm, foremost_mm;
} LevelReach;

/* Its line over the front; a level off the metal reaches to where its line would begin. */
static LevelReach draw_level(const TapulFigure *figure, const TapulLevel *level) {
    const TapulMeasuring *measuring = figure->measuring;
    LevelReach reach = {INFINITY, -INFINITY};
    g_autoptr(GPtrArray) cuts = tapul_level_cuts(measuring->plate, level->y_mm);
    for (guint k = 0; k < cuts->len; k++) {
        const TapulCut *cut = cuts->pdata[k];
        double low_x = INFINITY, high_x = -INFINITY;
        for (guint j = 0; j < cut->points->len; j++) {
            TapulVec3 p = g_array_index(cut->points, TapulVec3, j);
            low_x = fmin(low_x, p.x);
            high_x = fmax(high_x, p.x);
            reach.foremost_mm = fmax(reach.foremost_mm, p.z);
        }
        reach.leftmost_mm = fmin(reach.leftmost_mm, low_x);
        tapul_figure_line(figure, tapul_figure_place(figure, figure->front, low_x, level->y_mm),
                          tapul_figure_place(figure, figure->front, high_x, level->y_mm),
                          LEVEL_MM, level_colour);
    }
    if (cuts->len == 0)
        reach = (LevelReach){0, measuring->low.z};
    return reach;
}

/* Thin lines lead to the label from the front's metal and from the side's. */
static void lead_to_label(const TapulFigure *figure, const TapulLevel *level, LevelReach reach,
                          double label_y, double left, double right) {
    double y = figure->front.y + figure->scale * level->y_mm;
    double low_z = figure->measuring->low.z;
    TapulVec2 fore = tapul_figure_place(figure, figure->side, reach.foremost_mm, level->y_mm);
    TapulVec2 bend_left = {left - BEND_MM, y}, bend_right = {right + BEND_MM, y};
    tapul_figure_line(figure, tapul_figure_place(figure, figure->side, low_z, level->y_mm),
                      fore, LEVEL_MM, level_colour);
    tapul_figure_line(figure, fore, bend_left, TAPUL_HAIRLINE_MM, level_colour);
    tapul_figure_line(figure, bend_left, tapul_vec2(left, label_y), TAPUL_HAIRLINE_MM,
                      level_colour);
    tapul_figure_line(figure, tapul_vec2(right, label_y), bend_right, TAPUL_HAIRLINE_MM,
                      level_colour);
    tapul_figure_line(figure, bend_right,
                      tapul_vec2(figure->front.x + figure->scale * reach.leftmost_mm, y),
                      TAPUL_HAIRLINE_MM, level_colour);
}

/* Labels keep their line's height or stand as little above it as the label below asks. Where
 * there are more than fit, only each stride-th has one. */
static void draw_levels(const TapulFigure *figure) {
    const TapulMeasuring *measuring = figure->measuring;
    guint n = measuring->levels->len;
    double left = figure->side.x + figure->scale * measuring->high.z + 2 + BEND_MM;
    double right = figure->front.x + figure->scale * measuring->low.x - 2 - BEND_MM;
    double pitch_mm = 1.05 * figure->small_mm, label_y = -INFINITY;
    double tall_mm = figure->scale * (measuring->high.y - measuring->low.y);
    guint stride = (guint)ceil(n * pitch_mm / (tall_mm + pitch_mm));
    tapul_page_begin_group(figure->page, "levels", "Levels to read", NULL);
    for (guint i = 0; i < n; i++) {
        const TapulLevel *level = tapul_figure_level(figure, i);
        LevelReach reach = draw_level(figure, level);
        if (i % stride != 0)
            continue;
        label_y = fmax(label_y + pitch_mm, figure->front.y + figure->scale * level->y_mm);
        lead_to_label(figure, level, reach, label_y, left, right);
        g_autofree char *number = g_strdup_printf("L%u", i + 1);
        g_autofree char *height = tapul_level_height_text(level);
        tapul_figure_text(figure, tapul_vec2(left + 0.8, label_y), number, TAPUL_ALIGN_LEFT);
        tapul_figure_text(figure, tapul_vec2(right - 0.8, label_y), height, TAPUL_ALIGN_RIGHT);
    }
    tapul_page_end_group(figure->page);
}

static TapulVec2 point_place(const TapulFigure *figure, const TapulOutlinePoint *point) {
    return tapul_figure_place(figure, figure->front, point->at_mm.x, point->at_mm.y);
}

/* Where a point's number stands, of points close together one farther out than the other; FALSE
 * where there is no room near it. */
static gboolean find_number_place(const TapulFigure *figure, const TapulOutlinePoint *point,
                                  const char *number, TapulVec2 *beside) {
    TapulVec2 at = point_place(figure, point);
    for (int step = 1; step <= FARTHEST_STEP; step++) {
        *beside =
            tapul_vec2_add(at, tapul_vec2_scale(point->outward, step * TAPUL_FIGURE_OFF_MM));
        if (tapul_figure_claim(figure, *beside, number))
            return TRUE;
    }
    return FALSE;
}

/* A line leads to a number that stands farther out than usual. */
static void lead_to_number(const TapulFigure *figure, TapulVec2 at, TapulVec2 beside) {
    if (tapul_vec2_distance(at, beside) > 1.5 * TAPUL_FIGURE_OFF_MM)
        tapul_figure_line(figure, at, beside, TAPUL_HAIRLINE_MM, TAPUL_BLACK);
}

/* Lines first, so that the numbers' patches lie over them. */
static void draw_points(const TapulFigure *figure) {
    const GArray *points = figure->measuring->points;
    if (points->len == 0)
        return;
    g_autofree TapulVec2 *beside = g_new(TapulVec2, points->len);
    g_autofree gboolean *placed = g_new(gboolean, points->len);
    tapul_page_begin_group(figure->page, "outline-points", "Points of the outline", NULL);
    for (guint i = 0; i < points->len; i++) {
        const TapulOutlinePoint *point = &g_array_index(points, TapulOutlinePoint, i);
        g_autofree char *number = g_strdup_printf("%u", i + 1);
        placed[i] = find_number_place(figure, point, number, &beside[i]);
        if (placed[i])
            lead_to_number(figure, point_place(figure, point), beside[i]);
    }
    for (guint i = 0; i < points->len; i++) {
        g_autofree char *number = g_strdup_printf("%u", i + 1);
        if (placed[i])
            tapul_figure_number(figure, beside[i], number);
    }
    for (guint i = 0; i < points->len; i++)
        tapul_figure_dot(figure,
                         point_place(figure, &g_array_index(points, TapulOutlinePoint, i)));
    tapul_page_end_group(figure->page);
}

static void draw_datums(const TapulFigure *figure) {
    const TapulMeasuring *measuring = figure->measuring;
    double below = figure->front.y + figure->scale * measuring->low.y - FRONT_FOOT_MM + 0.5;
    double above = figure->front.y + figure->scale * measuring->high.y + MEDIAL_ABOVE_MM;
    tapul_figure_chain(figure, tapul_vec2(figure->front.x, below),
                       tapul_vec2(figure->front.x, above));
    tapul_figure_text(figure, tapul_vec2(figure->front.x, above + 1.8), "x = 0",
                      TAPUL_ALIGN_CENTRE);
    double board = figure->side.x + figure->scale * measuring->low.z;
    TapulBox box = {
        {board - TAPUL_FIGURE_BOARD_MM,
         figure->front.y + figure->scale * measuring->low.y - TAPUL_FIGURE_BOARD_PAST_MM},
        {board, figure->front.y + figure->scale * measuring->high.y + 2}};
    tapul_figure_board(figure, box);
    tapul_figure_text(figure, tapul_vec2(board, box.max.y + 1.8), "z = 0", TAPUL_ALIGN_CENTRE);
    double y = figure->front.y - 2.2;
    tapul_figure_arrow(figure, tapul_vec2(board, y), tapul_vec2(board + 9, y));
    tapul_figure_text(figure, tapul_vec2(board + 10, y), "z", TAPUL_ALIGN_LEFT);
}

/* --- Where they stand --- */

typedef struct {
    double reduction, width_mm, height_mm;
} Fit;

static double caption_mm(const TapulMeasuring *measuring) {
    return 1.5 * measuring->format.text_mm;
}

static void put_captions(const TapulFigure *figure, double section_y) {
    const TapulMeasuring *measuring = figure->measuring;
    double side_x = figure->side.x + figure->scale * (measuring->high.z + measuring->low.z) / 2;
    double front_x =
        figure->front.x + figure->scale * (measuring->high.x + measuring->low.x) / 2;
    TapulType type = {.size_mm = measuring->format.text_mm,
                      .italic = TRUE,
                      .align = TAPUL_ALIGN_CENTRE,
                      .colour = TAPUL_BLACK};
    g_autofree char *front =
        g_strdup_printf("from the front, 1\u00a0:\u00a0%g", 1 / figure->scale);
    g_autofree char *section = g_strdup_printf("from below, level L%u", measuring->section + 1);
    tapul_page_text(figure->page, tapul_vec2(side_x, figure->caption_y), "from the side",
                    &type);
    tapul_page_text(figure->page, tapul_vec2(front_x, figure->caption_y), front, &type);
    tapul_page_text(figure->page, tapul_vec2(figure->section.x, section_y), section, &type);
}

static const char open_datum[] =
    "The board is the datum: straight, upright, held behind the side edges. From its face z "
    "is measured forward. The medial line is x\u00a0=\u00a00; x grows to the right of one "
    "who faces the plate. The level at which the medial line meets the lower edge is "
    "y\u00a0=\u00a00.";
static const char closed_datum[] =
    "The board is the datum: straight, upright, touching the back of the tube. From its face "
    "z is measured forward. The middle of the front is x\u00a0=\u00a00; x grows to the right "
    "of one who faces it. The level of the lower edge is y\u00a0=\u00a00.";
static const char at_hand[] =
    "A straight board taller than the plate; a contour gauge, soft-tipped; callipers and a "
    "depth rule with covered jaws; a soft tape; a set square; squared paper, pencil, "
    "low-tack tape; gloves; scales.";

/* What the letters mean, and what is needed; returns the y below. */
static double set_text_column(TapulPage *page, TapulVec2 at, const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    double y = tapul_set_heading(page, at, TEXT_MM, "Where figures count from", format);
    y = tapul_set_paragraph(page, tapul_vec2(at.x, y), TEXT_MM,
                            measuring->closed ? closed_datum : open_datum, &type);
    y = tapul_set_heading(page, tapul_vec2(at.x, y - 2 * format->text_mm), TEXT_MM, "At hand",
                          format);
    return tapul_set_paragraph(page, tapul_vec2(at.x, y), TEXT_MM, at_hand, &type);
}

static double tallest_mm(TapulVec3 size, double section_depth_mm, double reduction,
                         const TapulMeasuring *measuring) {
    return ABOVE_MM + size.y / reduction + FRONT_FOOT_MM + caption_mm(measuring) + BETWEEN_MM +
           section_depth_mm / reduction + BELOW_MM + caption_mm(measuring);
}

/* The largest scale whose drawing fits the room beside the column of text. */
static Fit find_fit(TapulBox room, const TapulMeasuring *measuring) {
    TapulVec3 size = tapul_vec3_sub(measuring->high, measuring->low);
    double depth_mm = measuring->section_high_z - measuring->low.z;
    double room_mm = room.max.x - room.min.x - TEXT_MM - TEXT_GAP_MM;
    Fit fit = {0};
    for (guint i = 0; i < G_N_ELEMENTS(reductions); i++) {
        double k = reductions[i];
        fit = (Fit){k, TAPUL_FIGURE_BOARD_MM + (size.z + size.x) / k + LABELS_MM + POINTS_MM,
                    tallest_mm(size, depth_mm, k, measuring)};
        if (fit.width_mm <= room_mm && fit.height_mm <= room.max.y - room.min.y)
            break;
    }
    return fit;
}

/* Side and front on one ground, the section below in the middle of the drawing. */
static TapulFigure place_figure(TapulPage *page, TapulBox room, const TapulMeasuring *measuring,
                                const Fit *fit) {
    double k = fit->reduction, ground = room.max.y - ABOVE_MM - measuring->high.y / k;
    double room_mm = room.max.x - room.min.x - TEXT_MM - TEXT_GAP_MM;
    double left = room.min.x + (room_mm - fit->width_mm) / 2;
    TapulFigure figure = {.page = page, .measuring = measuring, .scale = 1 / k};
    figure.small_mm = fmax(0.85 * measuring->format.text_mm, TAPUL_LEAST_TEXT_MM);
    figure.side = tapul_vec2(left + TAPUL_FIGURE_BOARD_MM - measuring->low.z / k, ground);
    figure.front =
        tapul_vec2(left + TAPUL_FIGURE_BOARD_MM + (measuring->high.z - measuring->low.z) / k +
                       LABELS_MM - measuring->low.x / k,
                   ground);
    figure.caption_y = ground + measuring->low.y / k - FRONT_FOOT_MM - caption_mm(measuring) +
                       0.4 * measuring->format.text_mm;
    figure.section = tapul_vec2(room.min.x + room_mm / 2,
                                figure.caption_y - BETWEEN_MM -
                                    (measuring->section_high_z - measuring->low.z) / k);
    return figure;
}

double tapul_measuring_figure(TapulPage *page, TapulBox room, const TapulMeasuring *measuring) {
    Fit fit = find_fit(room, measuring);
    TapulFigure figure = place_figure(page, room, measuring, &fit);
    g_autoptr(GArray) numbers = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    figure.numbers = numbers;
    double bottom = figure.section.y - BELOW_MM - caption_mm(measuring);
    draw_levels(&figure);
    draw_datums(&figure);
    draw_view(&figure, "side", "The plate from its left side", figure.side, G_PI / 2);
    draw_view(&figure, "front", "The plate from the front", figure.front, 0);
    draw_points(&figure);
    tapul_figure_section(&figure);
    put_captions(&figure, bottom + 0.4 * measuring->format.text_mm);
    tapul_page_begin_group(page, "datum", "Where figures count from, and what is at hand",
                           NULL);
    double text_y =
        set_text_column(page, tapul_vec2(room.max.x - TEXT_MM, room.max.y), measuring);
    tapul_page_end_group(page);
    return fmin(bottom, text_y);
}
