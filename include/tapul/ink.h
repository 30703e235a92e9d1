/* Ink: what a print's lines are, as vector strokes and filled areas in mm.
 *
 * Print frame: origin at the plate mark's lower left, x right, y up. */
#ifndef TAPUL_INK_H
#define TAPUL_INK_H

#include <tapul/path.h>

G_BEGIN_DECLS

#define TAPUL_INK_ERROR (tapul_ink_error_quark())
GQuark tapul_ink_error_quark(void);

typedef enum {
    TAPUL_INK_ERROR_FILE,      /* missing, unreadable, unknown format */
    TAPUL_INK_ERROR_SYNTAX,    /* the renderer refuses the file */
    TAPUL_INK_ERROR_ENCRYPTED, /* a PDF that needs a password */
    TAPUL_INK_ERROR_SIZE,      /* no size, or an impossible one */
    TAPUL_INK_ERROR_EMPTY      /* nothing in it can become ink */
} TapulInkError;

typedef enum { TAPUL_MARK_STROKE, TAPUL_MARK_FILL } TapulMarkKind;
typedef enum { TAPUL_CAP_BUTT, TAPUL_CAP_ROUND, TAPUL_CAP_SQUARE } TapulCap;
typedef enum { TAPUL_JOIN_MITRE, TAPUL_JOIN_ROUND, TAPUL_JOIN_BEVEL } TapulJoin;

/* One thing drawn by the print, in drawing order. */
typedef struct {
    TapulMarkKind kind;
    TapulPath *path;      /* mm, print frame */
    double width_mm;      /* stroke width; 0 for fills */
    TapulCap cap;
    TapulJoin join;
    double mitre_limit;
    GArray *dash_mm;      /* of double, or NULL */
    double dash_offset_mm;
    gboolean even_odd;    /* fill rule; else nonzero winding */
    double grey;          /* luminance: 0 black, 1 white */
    gboolean paper;       /* so light (grey > 0.8) that it covers ink instead of being ink */
    int motif;            /* index into motifs, -1 none */
} TapulMark;

typedef struct {
    char *id;
    int strokes, fills;
    double length_mm;     /* of its strokes, and of its fills' outlines halved */
    TapulBox box_mm;
} TapulMotif;

/* What the print holds that cannot become ink. */
typedef struct {
    char *what;           /* "picture", "gradient", "pattern", "filter", "mask", "bitmap glyph", "text",
                             "transparency", "blending", "external reference", ... A filter or a mask is
                             left off and its ink kept whole; of a stroke's "uneven pen's own width" the
                             mean is taken. A "tangled fill's exact area" stands for an estimate,
                             within 0.5 %; a "tangled area at a clip" is left out. */
    int count;
    TapulBox box_mm;      /* where on the print; empty when not known */
} TapulSkipped;

typedef struct {
    double width_mm, height_mm; /* the plate mark */
    gboolean size_assumed;      /* the file gives pixels and no plate mark was given: 96 to the inch */
    GPtrArray *marks;           /* of TapulMark* */
    GPtrArray *motifs;          /* of TapulMotif*, in order of first mark */
    GPtrArray *skipped;         /* of TapulSkipped* */
    int strokes, fills;         /* counted over marks, paper left out */
    double ink_length_mm;       /* of strokes; the gaps of dashes are not taken out */
    double ink_area_mm2;        /* of strokes (length x width) and fills, overlaps counted twice */
} TapulInk;

typedef struct {
    double plate_mark_width_mm;  /* 0: the page's own size is the plate mark */
    double plate_mark_height_mm; /* both are scaled to; an aspect more than 2 % off the page's is an error */
    int page;                    /* of a PDF, from 1 */
} TapulInkOptions;

TapulInkOptions tapul_ink_options_defaults(void);

/* Reads SVG (also gzipped) or PDF, told apart by content. What would take a renderer longer than
 * any print is worth (too many elements or crossings) is refused. External references are never fetched.
 * Errors: one line, file first. */
TapulInk *tapul_ink_read(const char *path, const TapulInkOptions *options, GError **error);
void tapul_ink_free(TapulInk *ink);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulInk, tapul_ink_free)

/* Writes the ink as an SVG true to size (mm), a group with an id for each motif. Whole or not at all. */
gboolean tapul_ink_write_svg(const TapulInk *ink, const char *path, GError **error);

/* Named motifs by polygon, for prints without groups: marks that lie mostly inside outline_mm[n] and have no
 * motif yet are given to the motif id. Call for each polygon. */
void tapul_ink_name_motif(TapulInk *ink, const char *id, const TapulVec2 *outline_mm, int n);

TapulMark *tapul_mark_copy(const TapulMark *mark);
void tapul_mark_free(TapulMark *mark);

G_END_DECLS

#endif
