/* Clips: what a print shows only a part of is cut to that part, as geometry. Between the trace
 * and the ink. */
#ifndef TAPUL_INK_CLIP_H
#define TAPUL_INK_CLIP_H

#include "ink/region.h"

#include <tapul/ink.h>

G_BEGIN_DECLS

/* A region marks are cut to, within its parent's region. */
typedef struct TapulClip {
    const struct TapulClip *parent; /* borrowed; NULL at the top */
    GPtrArray *rings;               /* flat, mm */
    gboolean even_odd;
    TapulBox box;
    gboolean is_box;  /* the region is its box */
    gboolean is_page; /* the page's edge: a stroke along it keeps its centre line */
} TapulClip;

TapulClip *tapul_clip_new(const TapulClip *parent, const TapulPath *path, gboolean even_odd);
TapulClip *tapul_clip_new_page(TapulBox page);
void tapul_clip_free(TapulClip *clip);

/* The box common to a box and all regions' boxes; may come out empty. */
TapulBox tapul_clip_box(const TapulClip *clip, TapulBox box);

/* Takes the mark, and appends what the clip leaves of it to marks: nothing, the mark itself, or
 * its pieces. Curved strokes stay curves and are cut where they cross the edge; fills that are
 * cut become polygons. FALSE if a part could not be cut, for its outline or the clip's is
 * tangled (see region.h), and is left out. */
gboolean tapul_clip_mark_take(const TapulClip *clip, TapulRegions *regions, TapulMark *mark,
                              GPtrArray *marks);

G_END_DECLS

#endif
