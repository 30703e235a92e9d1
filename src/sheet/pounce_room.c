/* Room left white on a page, told from the page painted small: what is drawn is taken, whatever
 * it is. */
#include "sheet/pounce_parts.h"

#include "sheet/page_cairo.h"

/* Enough that a hairline darkens its pixel by more than LEAST_DARK. */
#define PIXELS_PER_MM 2.0
/* Of 255. The thinnest ink that is drawn, 0.03 mm, darkens a pixel by 15. */
#define LEAST_DARK 4

struct TapulRoom {
    TapulBox part_mm;
    double page_height_mm;
    int width_px, height_px;
    guint8 *taken; /* [height_px][width_px], rows from the top: FREE, DRAWN or SET */
};

enum { FREE, DRAWN, SET };

static guint8 *at_pixel(const TapulRoom *room, int x, int y) {
    return &room->taken[(gsize)y * (gsize)room->width_px + (gsize)x];
}

/* --- Painting --- */

static void paint_into(TapulRoom *room, const TapulPage *page) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, room->width_px, room->height_px);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    cairo_translate(cr, -room->part_mm.min.x * PIXELS_PER_MM,
                    -(room->page_height_mm - room->part_mm.max.y) * PIXELS_PER_MM);
    tapul_page_paint(cr, page, PIXELS_PER_MM);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    const guint8 *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < room->height_px; y++)
        for (int x = 0; x < room->width_px; x++)
            if (data[(gsize)y * (gsize)stride + 4 * (gsize)x + 1] < 255 - LEAST_DARK)
                *at_pixel(room, x, y) = MAX(*at_pixel(room, x, y), DRAWN);
    cairo_surface_destroy(surface);
}

TapulRoom *tapul_room_new(const TapulPage *page, TapulBox part_mm) {
    TapulRoom *room = g_new(TapulRoom, 1);
    room->part_mm = part_mm;
    room->page_height_mm = tapul_page_height_mm(page);
    room->width_px = (int)floor((part_mm.max.x - part_mm.min.x) * PIXELS_PER_MM);
    room->height_px = (int)floor((part_mm.max.y - part_mm.min.y) * PIXELS_PER_MM);
    room->taken = g_new0(guint8, (gsize)room->width_px * (gsize)room->height_px);
    paint_into(room, page);
    return room;
}

TapulRoom *tapul_room_copy(const TapulRoom *room) {
    TapulRoom *copy = g_memdup2(room, sizeof *room);
    copy->taken = g_memdup2(room->taken, (gsize)room->width_px * (gsize)room->height_px);
    return copy;
}

void tapul_room_free(TapulRoom *room) {
    g_free(room->taken);
    g_free(room);
}

static void take_filled(TapulRoom *room, const TapulPath *path) {
    g_autoptr(TapulPage) page =
        tapul_page_new(room->part_mm.max.x, room->page_height_mm, "", "");
    tapul_page_path(page, path, &(TapulPen){.fill = TAPUL_WORK_BLACK, .even_odd = TRUE});
    paint_into(room, page);
}

void tapul_room_take_inside(TapulRoom *room, const TapulPath *path) {
    take_filled(room, path);
}

void tapul_room_take_outside(TapulRoom *room, const TapulPath *path) {
    g_autoptr(TapulPath) outside = tapul_box_path(room->part_mm);
    g_array_append_vals(outside->verbs, path->verbs->data, path->verbs->len);
    g_array_append_vals(outside->points, path->points->data, path->points->len);
    take_filled(room, outside);
}

/* --- Boxes --- */

/* The pixels that a box touches. */
static void pixels_of(const TapulRoom *room, TapulBox box, int from[2], int to[2]) {
    from[0] = (int)floor((box.min.x - room->part_mm.min.x) * PIXELS_PER_MM);
    to[0] = (int)ceil((box.max.x - room->part_mm.min.x) * PIXELS_PER_MM);
    from[1] = (int)floor((room->part_mm.max.y - box.max.y) * PIXELS_PER_MM);
    to[1] = (int)ceil((room->part_mm.max.y - box.min.y) * PIXELS_PER_MM);
}

void tapul_room_take_box(TapulRoom *room, TapulBox box) {
    int from[2], to[2];
    pixels_of(room, box, from, to);
    for (int y = MAX(from[1], 0); y < MIN(to[1], room->height_px); y++)
        for (int x = MAX(from[0], 0); x < MIN(to[0], room->width_px); x++)
            *at_pixel(room, x, y) = SET;
}

double tapul_room_taken(const TapulRoom *room, TapulBox box) {
    int from[2], to[2], taken = 0;
    pixels_of(room, box, from, to);
    if (from[0] < 0 || from[1] < 0 || to[0] > room->width_px || to[1] > room->height_px)
        return INFINITY;
    for (int y = from[1]; y < to[1]; y++)
        for (int x = from[0]; x < to[0]; x++) {
            if (*at_pixel(room, x, y) == SET)
                return INFINITY;
            taken += *at_pixel(room, x, y) == DRAWN;
        }
    return (double)taken / fmax(1.0 * (to[0] - from[0]) * (to[1] - from[1]), 1);
}

/* sums[y][x]: pixels taken above and left of a pixel's corner (Crow 1984). */
static int *sums_of(const TapulRoom *room) {
    gsize stride = (gsize)room->width_px + 1;
    int *sums = g_new0(int, stride *((gsize)room->height_px + 1));
    for (gsize y = 0; y < (gsize)room->height_px; y++)
        for (gsize x = 0; x < (gsize)room->width_px; x++)
            sums[(y + 1) * stride + x + 1] = (*at_pixel(room, (int)x, (int)y) != FREE) +
                                             sums[y * stride + x + 1] +
                                             sums[(y + 1) * stride + x] - sums[y * stride + x];
    return sums;
}

gboolean tapul_room_find(const TapulRoom *room, TapulVec2 size_mm, TapulVec2 near,
                         TapulBox *found) {
    int width = (int)ceil(size_mm.x * PIXELS_PER_MM), best_x = -1, best_y = -1;
    int height = (int)ceil(size_mm.y * PIXELS_PER_MM);
    gsize stride = (gsize)room->width_px + 1;
    g_autofree int *sums = sums_of(room);
    double nearest = INFINITY;
    for (int y = 0; y + height <= room->height_px; y++)
        for (int x = 0; x + width <= room->width_px; x++) {
            const int *upper = &sums[(gsize)y * stride + (gsize)x];
            const int *lower = upper + (gsize)height * stride;
            if (lower[width] - lower[0] - upper[width] + upper[0] > 0)
                continue;
            TapulVec2 middle = {room->part_mm.min.x + (x + width / 2.0) / PIXELS_PER_MM,
                                room->part_mm.max.y - (y + height / 2.0) / PIXELS_PER_MM};
            double away = tapul_vec2_distance(middle, near);
            if (away >= nearest)
                continue;
            nearest = away;
            best_x = x;
            best_y = y;
        }
    if (best_x < 0)
        return FALSE;
    found->min = tapul_vec2(room->part_mm.min.x + best_x / PIXELS_PER_MM,
                            room->part_mm.max.y - (best_y + height) / PIXELS_PER_MM);
    found->max = tapul_vec2_add(found->min, size_mm);
    return TRUE;
}
