/* A print's ink where a placement puts it, for the evidence sheet. */
#include "evidence/laid.h"

static gboolean carry(TapulVec2 from, TapulVec2 *to, gpointer data) {
    return tapul_placement_developed(data, from, to);
}

GPtrArray *tapul_placement_lay(const TapulPlacement *placement, const TapulInk *ink,
                               double scale, double tolerance_mm) {
    int n = (int)ink->marks->len;
    TapulMark **made = g_new(TapulMark *, ink->marks->len);
    GPtrArray *marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
#pragma omp parallel for schedule(dynamic, 16)
    for (int i = 0; i < n; i++) {
        const TapulMark *mark = ink->marks->pdata[i];
        TapulMark *copy = tapul_mark_copy(mark);
        tapul_path_free(copy->path);
        copy->path = tapul_path_warp(mark->path, carry, (gpointer)placement, tolerance_mm,
                                     mark->kind == TAPUL_MARK_FILL, NULL);
        copy->width_mm *= scale;
        made[i] = copy;
    }
    for (int i = 0; i < n; i++)
        g_ptr_array_add(marks, made[i]);
    g_free(made);
    return marks;
}
