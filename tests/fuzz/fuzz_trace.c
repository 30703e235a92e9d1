/* Fuzz target of the trace: whatever the renderer's text may say, the reader neither crashes
 * nor leaks, and what it reads is finite and can be measured. */
#include "ink/drawing.h"
#include "ink/figures.h"

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_marks(const TapulTrace *trace) {
    for (guint i = 0; i < trace->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(trace->marks, i);
        for (guint k = 0; k < mark->path->points->len; k++) {
            TapulVec2 point = g_array_index(mark->path->points, TapulVec2, k);
            g_assert(isfinite(point.x) && isfinite(point.y));
        }
        g_assert(mark->kind == TAPUL_MARK_FILL || mark->width_mm > 0);
        g_assert(mark->grey >= 0 && mark->grey <= 1);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    TapulTracePage page = {.width_mm = 100, .height_mm = 50, .units_per_mm = 100};
    g_autoptr(TapulTrace) trace = tapul_trace_read((const char *)data, size, &page, NULL);
    if (!trace)
        return 0;
    check_marks(trace);
    TapulInk ink = {.marks = trace->marks, .skipped = trace->skipped};
    tapul_ink_measure(&ink);
    return 0;
}
