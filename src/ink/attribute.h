/* The words of the trace: numbers, matrices, styles and path data out of XML attributes. Serves
 * the trace alone. */
#ifndef TAPUL_INK_ATTRIBUTE_H
#define TAPUL_INK_ATTRIBUTE_H

#include <tapul/ink.h>

#include <cairo.h>
#include <libxml/tree.h>

G_BEGIN_DECLS

/* An attribute's text, borrowed from the tree, whatever its namespace prefix; NULL if absent.
 */
const char *tapul_attribute(const xmlNode *node, const char *name);
/* A finite number, or the fallback. */
double tapul_attribute_number(const xmlNode *node, const char *name, double fallback);
/* "url(#id)" or "#id": the id, owned; else NULL. */
char *tapul_attribute_reference(const char *text);
/* "translate(...) matrix(...)": all the transforms SVG 1.1 knows (section 7.6), multiplied; the
 * identity where absent. FALSE if it is written wrongly or not finite. */
gboolean tapul_attribute_matrix(const char *text, cairo_matrix_t *matrix);

typedef enum { TAPUL_PAINT_NONE, TAPUL_PAINT_COLOUR, TAPUL_PAINT_SERVER } TapulPaintKind;

typedef struct {
    TapulPaintKind kind;
    double red, green, blue; /* 0 to 1 */
    double opacity;
    char server[32]; /* id of a gradient or pattern */
} TapulPaint;

typedef struct {
    TapulPaint fill, stroke;
    gboolean even_odd;
    double stroke_width;
    TapulCap cap;
    TapulJoin join;
    double mitre_limit;
    double dash[64];
    guint dashes;
    double dash_offset;
} TapulStyle;

TapulStyle tapul_style_defaults(void);
/* Changes what a style attribute names and leaves the rest. */
void tapul_style_apply(TapulStyle *style, const char *text);

/* Appends path data, M L C Z with absolute coordinates as cairo writes them, carried by the
 * matrix. FALSE if it is written wrongly or leads impossibly far off. */
gboolean tapul_attribute_path(const char *text, const cairo_matrix_t *matrix, TapulPath *path);

G_END_DECLS

#endif
