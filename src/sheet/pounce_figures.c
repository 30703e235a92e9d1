/* The summary's figures: the pieces at one small scale with their seams, and the map of tiles.
 */
#include "sheet/pounce_summary.h"

#include "sheet/leaf.h"
#include "sheet/page_items.h"

#include <string.h>

/* Pieces smaller than this are not drawn smaller still, come what may. */
#define LEAST_SCALE    0.01
#define LEAST_UNBROKEN 0.04
#define LINE_MM        0.18
#define GAP_MM         7.0 /* between the figures, and pieces in the first */
#define NUMBER_MM      6.0
#define NUMBER_AIR_MM  0.7
#define SEAM_MM        2.6
#define CAPTION_MM     2.6
#define FIGURE_EMS     0.66
/* About the map of tiles: room for names. */
#define AIR_MM   1.0
#define PLACE_MM 1.5 /* radius of a place's ring */
/* Of a tile's number on the map, and of a piece's there. */
#define BOX_MM        3.6
#define MAP_NUMBER_MM 4.0

/* --- Pieces in rows --- */

/* A piece's place on the plate, and the row that it stands in. */
typedef struct {
    int piece, row;
    double across_mm, up_mm, low_mm; /* of its middle, as it is printed; of its lowest place */
} Seat;

static gint compare_up(gconstpointer a, gconstpointer b) {
    double first = ((const Seat *)a)->up_mm, second = ((const Seat *)b)->up_mm;
    return (first < second) - (first > second);
}

static gint compare_in_rows(gconstpointer a, gconstpointer b) {
    const Seat *first = a, *second = b;
    return first->row != second->row ? first->row - second->row
                                     : (first->across_mm > second->across_mm) -
                                           (first->across_mm < second->across_mm);
}

static Seat seat_of(const TapulPouncePages *pages, int piece) {
    const TapulPouncePiece *drawn = pages->pounce->pieces->pdata[piece];
    const TapulMesh *mesh = drawn->piece->mesh;
    Seat seat = {.piece = piece, .low_mm = INFINITY};
    for (int i = 0; i < mesh->n_vertices; i++) {
        TapulVec3 at = mesh->position_mm[i];
        seat.across_mm += at.x / mesh->n_vertices;
        seat.up_mm += at.y / mesh->n_vertices;
        seat.low_mm = fmin(seat.low_mm, at.y);
    }
    if (pages->question->pounce.face_down)
        seat.across_mm *= -1;
    return seat;
}

/* The pieces as they lie on the plate seen from the front: a row ends where the next piece's
 * middle lies below all of the row's first. */
static GArray *seats_of(const TapulPouncePages *pages) {
    GArray *seats = g_array_new(FALSE, FALSE, sizeof(Seat));
    for (guint i = 0; i < pages->pounce->pieces->len; i++) {
        Seat seat = seat_of(pages, (int)i);
        g_array_append_val(seats, seat);
    }
    g_array_sort(seats, compare_up);
    double low_mm = -INFINITY;
    for (guint i = 0; i < seats->len; i++) {
        Seat *seat = &g_array_index(seats, Seat, i);
        seat->row = i > 0 ? g_array_index(seats, Seat, i - 1).row : 0;
        if (seat->up_mm < low_mm)
            seat->row++;
        if (i == 0 || seat->up_mm < low_mm)
            low_mm = seat->low_mm;
    }
    g_array_sort(seats, compare_in_rows);
    return seats;
}

/* Where pieces lie, mirrored as they are printed, at a scale. */
typedef struct {
    double scale, width_mm, height_mm;
    TapulAffine *on_page; /* [pieces], the upper left of all at the origin */
} Rows;

/* Sets seats[n] side by side from x = 0 down from a top; returns the height. */
static double row_set(Rows *rows, const TapulPouncePages *pages, const Seat *seats, int n,
                      double top, double *width_mm) {
    double mirror = pages->question->pounce.face_down ? -1 : 1, x = 0, height_mm = 0;
    for (int i = 0; i < n; i++) {
        const TapulPouncePiece *piece = pages->pounce->pieces->pdata[seats[i].piece];
        TapulAffine own = {mirror * rows->scale, 0, 0, rows->scale, 0, 0};
        TapulBox box = tapul_affine_box(&own, tapul_path_box(piece->cut));
        own.dx = x - box.min.x;
        own.dy = top - box.max.y;
        rows->on_page[seats[i].piece] = own;
        *width_mm = x + box.max.x - box.min.x;
        x = *width_mm + GAP_MM;
        height_mm = fmax(height_mm, box.max.y - box.min.y);
    }
    return height_mm;
}

/* How many seats from `from` on stand in one row: those of the plate's, or as many of them as
 * the width holds. */
static int seats_in_row(Rows *rows, const TapulPouncePages *pages, const GArray *seats,
                        int from, double most_mm) {
    const Seat *first = &g_array_index(seats, Seat, from);
    int n = 1;
    double width_mm = 0;
    while (from + n < (int)seats->len && first[n].row == first->row) {
        row_set(rows, pages, first, n + 1, 0, &width_mm);
        if (width_mm > most_mm)
            break;
        n++;
    }
    return n;
}

static void rows_set(Rows *rows, const TapulPouncePages *pages, const GArray *seats,
                     double scale, double most_mm, double whole_mm) {
    double top = 0;
    rows->scale = scale;
    rows->width_mm = rows->height_mm = 0;
    for (int i = 0; i < (int)seats->len;) {
        const Seat *first = &g_array_index(seats, Seat, i);
        int n = seats_in_row(rows, pages, seats, i, most_mm);
        double width_mm = 0, height_mm = row_set(rows, pages, first, n, top, &width_mm);
        for (int k = 0; k < n; k++)
            rows->on_page[first[k].piece].dx += (whole_mm - width_mm) / 2;
        rows->width_mm = fmax(rows->width_mm, width_mm);
        rows->height_mm = height_mm - top;
        top -= height_mm + GAP_MM;
        i += n;
    }
}

/* Rows at the largest round scale that fits; a row of the plate's is broken only if it would
 * get too small. */
static Rows rows_fitted(const TapulPouncePages *pages, TapulVec2 room_mm) {
    Rows rows = {.on_page = g_new(TapulAffine, pages->pounce->pieces->len)};
    g_autoptr(GArray) seats = seats_of(pages);
    gboolean broken = FALSE;
    for (double scale = 1;;) {
        rows_set(&rows, pages, seats, scale, broken ? room_mm.x : INFINITY, room_mm.x);
        if ((rows.width_mm <= room_mm.x && rows.height_mm <= room_mm.y) || scale < LEAST_SCALE)
            return rows;
        scale = tapul_leaf_scale(tapul_vec2(1, 1), tapul_vec2(0.999 * scale, 0.999 * scale));
        if (!broken && scale < LEAST_UNBROKEN) {
            broken = TRUE;
            scale = 1;
        }
    }
}

/* --- Names --- */

static void set_seam(TapulPounceSummary *summary, TapulRoom *room, const Rows *rows, int number,
                     int side) {
    const TapulPattern *pattern = summary->pages->pounce->pattern;
    const TapulSeam *seam = pattern->seams->pdata[number];
    const TapulPiece *piece = pattern->pieces->pdata[seam->piece[side]];
    const TapulVec2 *flat = piece->development->flat_mm;
    int middle = (seam->n - 1) / 2;
    TapulVec2 from = flat[seam->vertex[side][middle]],
              to = flat[seam->vertex[side][middle + 1]];
    TapulVec2 way = tapul_vec2_sub(to, from);
    const TapulAffine *on_page = &rows->on_page[seam->piece[side]];
    /* The paper is on the left of its left side. */
    TapulVec2 in = side == 0 ? tapul_vec2(-way.y, way.x) : tapul_vec2(way.y, -way.x);
    in.x *= on_page->xx < 0 ? -1 : 1;
    TapulType type = {.size_mm = SEAM_MM, .italic = TRUE, .colour = TAPUL_WORK_BLACK};
    g_autofree char *name = tapul_pounce_seam_name(number);
    TapulBox set;
    if (tapul_pounce_name_beside(tapul_summary_page(summary), room,
                                 tapul_affine_point(on_page, tapul_vec2_mix(from, to, 0.5)), in,
                                 name, &type, TRUE, &set))
        tapul_room_take_box(room, set);
}

static void set_number(TapulPage *page, TapulRoom *room, const TapulPath *outline, int number,
                       double size_mm) {
    TapulType type = {.size_mm = size_mm, .bold = TRUE, .colour = TAPUL_WORK_BLACK};
    TapulBox box = tapul_path_box(outline), found;
    g_autofree char *text = g_strdup_printf("%d", number);
    g_autoptr(TapulRoom) within = tapul_room_copy(room);
    TapulVec2 air = {NUMBER_AIR_MM, NUMBER_AIR_MM};
    TapulVec2 size = {tapul_page_text_width_mm(text, &type) + 2 * air.x,
                      FIGURE_EMS * size_mm + 2 * air.y};
    tapul_room_take_outside(within, outline);
    if (!tapul_room_find(within, size, tapul_vec2_mix(box.min, box.max, 0.5), &found) &&
        !tapul_room_find(room, size, tapul_vec2_mix(box.min, box.max, 0.5), &found))
        return;
    tapul_page_text(page, tapul_vec2_add(found.min, air), text, &type);
    tapul_room_take_box(room, found);
}

static double set_caption(TapulPage *page, TapulVec2 at, double width_mm, const char *text) {
    TapulType type = {.size_mm = CAPTION_MM, .colour = TAPUL_WORK_BLACK};
    tapul_page_begin_part(page, TAPUL_PART_CAPTION, NULL);
    double y = tapul_set_paragraph(page, at, width_mm, text, &type);
    tapul_page_end_part(page);
    return y;
}

/* --- The pieces --- */

static void draw_pieces(TapulPage *page, const TapulPouncePages *pages, Rows *rows,
                        TapulVec2 at) {
    tapul_page_begin_group(page, "pieces", "The pieces", NULL);
    for (guint i = 0; i < pages->pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = pages->pounce->pieces->pdata[i];
        rows->on_page[i].dx += at.x;
        rows->on_page[i].dy += at.y;
        g_autoptr(TapulPath) cut = tapul_affine_path(&rows->on_page[i], piece->cut);
        g_autoptr(TapulPath) score = tapul_affine_path(&rows->on_page[i], piece->score);
        TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = LINE_MM};
        tapul_page_path(page, cut, &pen);
        pen.n_dash = 4;
        memcpy(pen.dash_mm, (double[]){1.6, 0.5, 0.2, 0.5}, 4 * sizeof(double));
        tapul_page_path(page, score, &pen);
    }
    tapul_page_end_group(page);
}

static double set_pieces(TapulPounceSummary *summary, TapulBox space) {
    const TapulPouncePages *pages = summary->pages;
    TapulPage *page = tapul_summary_page(summary);
    double width_mm = space.max.x - space.min.x;
    double caption_mm = 3 * TAPUL_LEADING * CAPTION_MM;
    Rows rows = rows_fitted(
        pages, tapul_vec2(width_mm, space.max.y - space.min.y - caption_mm - GAP_MM));
    TapulVec2 at = {space.min.x, space.max.y};
    g_autofree char *scale = tapul_leaf_scale_words(rows.scale);
    g_autofree char *caption =
        g_strdup_printf("The pieces as they lie on the plate%s, %s. Bold figures number the "
                        "pieces, italic letters name the seams and their notches.",
                        pages->question->pounce.face_down ? ", mirrored" : "", scale);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, "The pieces in outline, with their seams");
    draw_pieces(page, pages, &rows, at);
    tapul_page_end_part(page);
    double bottom = space.max.y - rows.height_mm;
    g_autoptr(TapulRoom) room = tapul_room_new(
        page, (TapulBox){{space.min.x, bottom - AIR_MM}, {space.max.x, space.max.y + AIR_MM}});
    for (guint i = 0; i < pages->pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = pages->pounce->pieces->pdata[i];
        g_autoptr(TapulPath) outline = tapul_affine_path(&rows.on_page[i], piece->outline);
        set_number(page, room, outline, piece->number, NUMBER_MM);
    }
    for (guint i = 0; i < pages->pounce->pattern->seams->len; i++)
        for (int side = 0; side < 2; side++)
            set_seam(summary, room, &rows, (int)i, side);
    g_free(rows.on_page);
    return set_caption(page, tapul_vec2(space.min.x, bottom - GAP_MM / 2), width_mm, caption);
}

/* --- The map of tiles --- */

static void draw_sheet(TapulPage *page, const TapulPouncePages *pages, const TapulAffine *map) {
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = LINE_MM};
    for (guint i = 0; i < pages->pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = pages->pounce->pieces->pdata[i];
        TapulAffine on_sheet = tapul_pounce_on_sheet(pages, (int)i);
        TapulAffine on_page = tapul_affine_then(&on_sheet, map);
        g_autoptr(TapulPath) cut = tapul_affine_path(&on_page, piece->cut);
        tapul_page_path(page, cut, &pen);
    }
}

static void draw_tiles(TapulPage *page, const GArray *tiles, const TapulAffine *map) {
    TapulPen pen = {
        .stroke = TAPUL_WORK_BLACK, .width_mm = LINE_MM, .n_dash = 2, .dash_mm = {1.2, 0.8}};
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        TapulBox box = tapul_affine_box(map, tile->sheet_mm);
        g_autoptr(TapulPath) frame = tapul_box_path(box);
        tapul_page_path(page, frame, &pen);
    }
}

/* A tile's number, boxed, at its upper left corner. */
static void set_tile_numbers(TapulPage *page, const GArray *tiles, const TapulAffine *map) {
    TapulType type = {
        .size_mm = SEAM_MM, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_WORK_BLACK};
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .fill = TAPUL_WORK_WHITE, .width_mm = LINE_MM};
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        TapulBox box = tapul_affine_box(map, tile->sheet_mm);
        g_autofree char *text = g_strdup_printf("%d", tile->number);
        double wide = fmax(tapul_page_text_width_mm(text, &type) + 2 * AIR_MM, BOX_MM);
        TapulVec2 lower = {box.min.x, box.max.y - BOX_MM};
        g_autoptr(TapulPath) frame =
            tapul_box_path((TapulBox){lower, {box.min.x + wide, box.max.y}});
        tapul_page_path(page, frame, &pen);
        tapul_page_text(
            page, tapul_vec2(lower.x + wide / 2, lower.y + (BOX_MM - FIGURE_EMS * SEAM_MM) / 2),
            text, &type);
    }
}

static void set_piece_numbers(TapulPage *page, const TapulPouncePages *pages,
                              const TapulAffine *map, TapulRoom *room) {
    for (guint i = 0; i < pages->pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = pages->pounce->pieces->pdata[i];
        TapulAffine on_sheet = tapul_pounce_on_sheet(pages, (int)i);
        TapulAffine on_page = tapul_affine_then(&on_sheet, map);
        g_autoptr(TapulPath) outline = tapul_affine_path(&on_page, piece->outline);
        set_number(page, room, outline, piece->number, MAP_NUMBER_MM);
    }
}

static void draw_rings(TapulPage *page, const TapulAffine *map, const TapulVec2 *place_mm,
                       int n) {
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = 2 * LINE_MM};
    for (int i = 0; i < n; i++) {
        g_autoptr(TapulPath) ring =
            tapul_disc_path(tapul_affine_point(map, place_mm[i]), PLACE_MM);
        tapul_page_path(page, ring, &pen);
    }
}

static void set_place_names(TapulPage *page, const TapulAffine *map, const TapulVec2 *place_mm,
                            int n, TapulRoom *room) {
    TapulType type = {.size_mm = SEAM_MM, .bold = TRUE, .colour = TAPUL_WORK_BLACK};
    for (int i = 0; i < n; i++) {
        TapulVec2 at = tapul_affine_point(map, place_mm[i]);
        g_autofree char *name = g_strdup_printf("%d", i + 1);
        TapulBox set;
        if (tapul_pounce_name_beside(page, room, at, tapul_vec2(1, 1), name, &type, FALSE,
                                     &set))
            tapul_room_take_box(room, set);
    }
}

double tapul_summary_tile_map(TapulPounceSummary *summary, TapulBox space,
                              const TapulVec2 *place_mm, int n_places, const char *caption) {
    const TapulPouncePages *pages = summary->pages;
    const TapulTiling *tiling = pages->pounce->tiling;
    TapulPage *page = tapul_summary_page(summary);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(pages);
    TapulVec2 room_mm = tapul_vec2_sub(space.max, space.min);
    room_mm.y -= 3 * TAPUL_LEADING * CAPTION_MM + GAP_MM;
    double scale =
        fmin(tapul_leaf_scale(tapul_vec2(tiling->width_mm, tiling->height_mm), room_mm), 1);
    TapulVec2 size = {scale * tiling->width_mm, scale * tiling->height_mm};
    TapulAffine map = {
        scale, 0, 0, scale, space.min.x + (room_mm.x - size.x) / 2, space.max.y - size.y};
    g_autofree char *words = tapul_leaf_scale_words(scale);
    g_autofree char *whole = g_strdup_printf("%s, %s.", caption, words);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE,
                          "The pieces on the tiles they are printed on");
    tapul_page_begin_group(page, "tile-map", "The map of tiles", NULL);
    draw_sheet(page, pages, &map);
    draw_tiles(page, tiles, &map);
    set_tile_numbers(page, tiles, &map);
    draw_rings(page, &map, place_mm, n_places);
    tapul_page_end_group(page);
    tapul_page_end_part(page);
    g_autoptr(TapulRoom) room = tapul_room_new(
        page, (TapulBox){{space.min.x, map.dy - AIR_MM}, {space.max.x, space.max.y + AIR_MM}});
    set_place_names(page, &map, place_mm, n_places, room);
    if (n_places == 0)
        set_piece_numbers(page, pages, &map, room);
    return set_caption(page, tapul_vec2(space.min.x, map.dy - GAP_MM / 2), room_mm.x, whole);
}

void tapul_summary_figures(TapulPounceSummary *summary, double most_mm) {
    double width_mm = tapul_summary_width_mm(summary), left = summary->format.margin_mm;
    double pieces_mm = 0.55 * (width_mm - GAP_MM), top = summary->y;
    double lower =
        set_pieces(summary, (TapulBox){{left, top - most_mm}, {left + pieces_mm, top}});
    double map = tapul_summary_tile_map(
        summary, (TapulBox){{left + pieces_mm + GAP_MM, top - most_mm}, {left + width_mm, top}},
        NULL, 0, "The tiles, their numbers in boxes, and the pieces on them");
    summary->y = fmin(lower, map) - GAP_MM / 2;
}
