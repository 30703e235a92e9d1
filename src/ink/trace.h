/* The trace: what a renderer draws, written down by cairo's SVG surface, read into marks.
 * Between the renderers and the ink. The trace is flat: paths with matrix, style and clip;
 * groups, tiles and glyphs by reference. */
#ifndef TAPUL_INK_TRACE_H
#define TAPUL_INK_TRACE_H

#include <tapul/ink.h>

#include <cairo.h>

G_BEGIN_DECLS

/* Where a motif begins and ends in the drawing order, the reader of SVG slips in a stroke with
 * one of these mitre limits, which nobody draws with; its colour, as 24 bits, is the motif's
 * number. */
#define TAPUL_TRACE_MOTIF_BEGINS 7013.25
#define TAPUL_TRACE_MOTIF_ENDS   7013.5
/* A stroke over the whole page, drawn before all else for the sake of cairo; no mark. */
#define TAPUL_TRACE_COVER 7013.75

typedef struct {
    double width_mm, height_mm; /* the page */
    double units_per_mm;        /* of the trace */
    double hairline_mm; /* width of lines drawn as thin as can be; 0: they have their own */
} TapulTracePage;

typedef struct {
    GPtrArray *marks;   /* of TapulMark*, owned, print frame; motif as numbered in the trace */
    GPtrArray *skipped; /* of TapulSkipped*, owned */
} TapulTrace;

/* Reads any bytes: what is no trace is an error (domain TAPUL_INK_ERROR), never a crash. */
TapulTrace *tapul_trace_read(const char *text, gsize length, const TapulTracePage *page,
                             GError **error);
void tapul_trace_free(TapulTrace *trace);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulTrace, tapul_trace_free)

/* Counts what cannot become ink; equal words are added up. The box may be empty. */
void tapul_skipped_add(GPtrArray *skipped, const char *what, int count, TapulBox box_mm);
void tapul_skipped_free(gpointer skipped);

/* The page as a surface for a renderer: draw on it through a context scaled by units_per_mm,
 * then finish it. The trace is appended to the bytes, as far as they stay within what a print
 * may need. */
cairo_surface_t *tapul_trace_surface(const TapulTracePage *page, GByteArray *bytes);
/* A page's units: 100 per mm or finer, coarser only if the ink reaches so far from the page's
 * corner that cairo's 24 bits would overflow. Fails when that would cost more than 0.001 mm. */
gboolean tapul_trace_choose_units(TapulTracePage *page, double reach_mm, GError **error);

G_END_DECLS

#endif
