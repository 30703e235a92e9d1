/* One period of a print that holds several (see period.h): a repeat is laid once for each place
 * along a border, and a sheet that shows it eight times must not be laid eight times over. */
#include "laying/period.h"

#include <tapul/laying.h>

/* Marks longer than this share of the period run on through the repeat, as a border's rules do:
 * they are cut to it. */
#define LONG_SHARE 0.9

static gboolean within_period(TapulVec2 from, TapulVec2 *to, gpointer data) {
    const double *period_mm = data;
    *to = from;
    return from.x >= 0 && from.x <= *period_mm;
}

/* The mark's part of the first period, or NULL. */
static TapulMark *part_of_mark(const TapulMark *mark, double period_mm, double tolerance_mm) {
    TapulBox box = tapul_path_box(mark->path);
    double middle = (box.min.x + box.max.x) / 2;
    if (box.max.x - box.min.x <= LONG_SHARE * period_mm)
        return middle >= 0 && middle < period_mm ? tapul_mark_copy(mark) : NULL;
    g_autoptr(TapulPath) part =
        tapul_path_warp(mark->path, within_period, &period_mm, tolerance_mm,
                        mark->kind == TAPUL_MARK_FILL, NULL);
    if (tapul_path_is_empty(part))
        return NULL;
    TapulMark *cut = tapul_mark_copy(mark);
    tapul_path_free(cut->path);
    cut->path = g_steal_pointer(&part);
    return cut;
}

GPtrArray *tapul_period_marks(const TapulInk *ink, double period_mm, double tolerance_mm) {
    GPtrArray *marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    for (guint i = 0; i < ink->marks->len; i++) {
        TapulMark *part =
            part_of_mark(g_ptr_array_index(ink->marks, i), period_mm, tolerance_mm);
        if (part)
            g_ptr_array_add(marks, part);
    }
    return marks;
}
