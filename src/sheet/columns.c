/* Blocks of text flowed into as many columns as there is room for, so that the tallest is as
 * short as can be.
 *
 * The sheets' columns are set by it, beside a figure or below.
 */
#include "sheet/columns.h"

#define MOST_BLOCKS   8
#define BLOCK_GAP_EMS 1.4

/* The blocks from first to last, one under the other; returns the y below. */
static double set_stack(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, const TapulBlock *blocks, int first,
                        int last, gconstpointer data) {
    for (int i = first; i <= last; i++) {
        if (i > first)
            at.y -= BLOCK_GAP_EMS * format->text_mm;
        at.y = blocks[i](page, at, width_mm, format, data);
    }
    return at.y;
}

/* A way of dividing blocks is a set of bits: bit i says that a new column starts after block i.
 */
static int count_columns(guint way) {
    int n = 1;
    for (; way; way &= way - 1)
        n++;
    return n;
}

static double set_way(TapulPage *page, TapulVec2 at, double width_mm, const TapulFormat *format,
                      const TapulBlock *blocks, int n, guint way, gconstpointer data) {
    double lowest = at.y;
    int first = 0;
    for (int i = 0; i < n; i++) {
        if (i < n - 1 && !(way & 1u << i))
            continue;
        double y = set_stack(page, at, width_mm, format, blocks, first, i, data);
        lowest = fmin(lowest, y);
        at.x += width_mm + TAPUL_COLUMN_GAP_EMS * format->text_mm;
        first = i + 1;
    }
    return lowest;
}

/* The way that keeps to a number of columns and ends highest; its lowest y. */
static double best_way(TapulBox space, double width_mm, const TapulFormat *format,
                       const TapulBlock *blocks, int n, int columns, gconstpointer data,
                       guint *best) {
    TapulVec2 at = {space.min.x, space.max.y};
    double best_y = -INFINITY;
    for (guint way = 0; way < 1u << (n - 1); way++) {
        if (count_columns(way) != columns)
            continue;
        double y = set_way(NULL, at, width_mm, format, blocks, n, way, data);
        if (y > best_y) {
            best_y = y;
            *best = way;
        }
    }
    return best_y;
}

TapulFit tapul_set_columns(TapulPage *page, TapulBox space, const TapulFormat *format,
                           const TapulBlock *blocks, int n, gconstpointer data) {
    g_assert(n >= 1 && n <= MOST_BLOCKS);
    double em = format->text_mm, gap_mm = TAPUL_COLUMN_GAP_EMS * em;
    double room_mm = space.max.x - space.min.x, width_mm = 0, y = -INFINITY;
    int most = (int)floor((room_mm + gap_mm) / (TAPUL_LEAST_COLUMN_EMS * em + gap_mm) + 1e-9);
    most = CLAMP(most, 1, n);
    gboolean wide = room_mm > space.max.y - space.min.y;
    int columns = wide ? most : 1;
    guint way = 0;
    for (;; columns++) {
        width_mm =
            fmin((room_mm - (columns - 1) * gap_mm) / columns, TAPUL_WIDEST_COLUMN_EMS * em);
        y = best_way(space, width_mm, format, blocks, n, columns, data, &way);
        if (y >= space.min.y || columns == most)
            break;
    }
    if (page)
        set_way(page, tapul_vec2(space.min.x, space.max.y), width_mm, format, blocks, n, way,
                data);
    return (TapulFit){y, columns * width_mm + (columns - 1) * gap_mm};
}
