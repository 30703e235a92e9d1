/* A file drawn: its page, its trace, its motifs' names. Stands between the renderers and the
 * ink. */
#include "ink/drawing.h"

void tapul_drawing_free(TapulDrawing *drawing) {
    if (!drawing)
        return;
    tapul_trace_free(drawing->trace);
    if (drawing->motif_ids)
        g_ptr_array_unref(drawing->motif_ids);
    g_free(drawing);
}

static gboolean side_is_possible(double side_mm) {
    return side_mm >= TAPUL_PAGE_LEAST_MM && side_mm <= TAPUL_PAGE_MOST_MM;
}

gboolean tapul_drawing_check_size(double width_mm, double height_mm, GError **error) {
    if (side_is_possible(width_mm) && side_is_possible(height_mm))
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "the page is %g mm wide and %g mm high; permitted: %g to %g mm", width_mm,
                height_mm, TAPUL_PAGE_LEAST_MM, TAPUL_PAGE_MOST_MM);
    return FALSE;
}
