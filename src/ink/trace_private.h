/* What the halves of the trace's reader share: trace.c walks, trace_paint.c fills and strokes.
 */
#ifndef TAPUL_INK_TRACE_PRIVATE_H
#define TAPUL_INK_TRACE_PRIVATE_H

#include "ink/attribute.h"
#include "ink/clip.h"
#include "ink/region.h"
#include "ink/trace.h"

typedef struct {
    const TapulTracePage *page;
    TapulTrace *trace;
    TapulRegions regions;
    GHashTable *ids;  /* id to xmlNode, both borrowed from the tree */
    GPtrArray *clips; /* of TapulClip*, owned */
    int motif;        /* the one now drawn, or -1 */
    guint things;
    double work; /* spent on clips */
    gboolean overrun;
} TapulReader;

/* How the next thing is drawn. */
typedef struct {
    cairo_matrix_t matrix; /* to mm in the print frame */
    const TapulClip *clip;
    TapulStyle style;
    double opacity;
    const TapulPaint *poured; /* a colour poured through a mask, or NULL */
    gboolean in_glyph;
    int depth;
} TapulPen;

gboolean tapul_node_is(const xmlNode *node, const char *name);
const xmlNode *tapul_reader_find(const TapulReader *reader, const char *reference);
void tapul_reader_draw(TapulReader *reader, const xmlNode *node, const TapulPen *parent);
void tapul_reader_fill(TapulReader *reader, const TapulPen *pen, const TapulPath *path);
void tapul_reader_stroke(TapulReader *reader, const TapulPen *pen, const TapulPath *path);
void tapul_reader_add_mark_take(TapulReader *reader, const TapulPen *pen, TapulMark *mark);
void tapul_reader_skip(TapulReader *reader, const char *what, TapulBox box);
const TapulClip *tapul_reader_add_clip(TapulReader *reader, const TapulClip *parent,
                                       const TapulPath *path, gboolean even_odd);
gboolean tapul_pen_transform(TapulPen *pen, const xmlNode *node, const char *name);
/* The box of a rectangle as the pen draws it, within its clip. */
TapulBox tapul_pen_box(const TapulPen *pen, double x, double y, double width, double height);

#endif
