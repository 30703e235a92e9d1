/* A file drawn: what the readers of SVG and of PDF hand on to the ink. */
#ifndef TAPUL_INK_DRAWING_H
#define TAPUL_INK_DRAWING_H

#include "ink/trace.h"

G_BEGIN_DECLS

typedef struct {
    TapulTracePage page;
    gboolean size_assumed; /* see TapulInk */
    TapulTrace *trace;
    GPtrArray *motif_ids; /* of char*, as the trace numbers them */
} TapulDrawing;

/* Sides of a page that can be a print: from a grain to a wall, mm. */
#define TAPUL_PAGE_LEAST_MM 0.01
#define TAPUL_PAGE_MOST_MM  20000.0

/* Both say what is wrong without the file's name. */
TapulDrawing *tapul_drawing_read_svg(const char *text, gsize length, GError **error);
TapulDrawing *tapul_drawing_read_pdf(GBytes *bytes, int page, GError **error);
void tapul_drawing_free(TapulDrawing *drawing);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDrawing, tapul_drawing_free)

gboolean tapul_drawing_check_size(double width_mm, double height_mm, GError **error);

G_END_DECLS

#endif
