/* An SVG made ready to draw: motifs signed, nothing left that reaches outside the file. Before
 * the renderer. */
#ifndef TAPUL_INK_SVG_SOURCE_H
#define TAPUL_INK_SVG_SOURCE_H

#include <tapul/ink.h>

G_BEGIN_DECLS

typedef struct {
    GBytes *text;         /* the rewritten document */
    GPtrArray *motif_ids; /* of char*, owned; a motif's number in its signs is its place here */
    GPtrArray *skipped;  /* of TapulSkipped*, owned: external references, filters, masks, ... */
    double tallest_text; /* see svg_text.h */
    double view_width;   /* of the viewBox; 0 if there is none */
    int texts;           /* elements of text */
} TapulSvgSource;

/* Refuses what is not well-formed, and entities that grow without measure. */
TapulSvgSource *tapul_svg_source_new(const char *text, gsize length, GError **error);
void tapul_svg_source_free(TapulSvgSource *source);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSvgSource, tapul_svg_source_free)

G_END_DECLS

#endif
