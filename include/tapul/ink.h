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
    TAPUL_INK_ERROR_EMPTY,     /* nothing in it can become ink */
    TAPUL_INK_ERROR_SCAN       /* a scan whose plate mark or scale cannot be had as asked */
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

/* How a scan became ink. Pixel frame: the picture upright by its orientation tag, x right, y down. */
typedef struct {
    char *path;
    const char *kind;           /* "PNG", "JPEG", "TIFF" */
    const char *converted;      /* "CMYK", "palette", ...: what the file held; NULL: as it is */
    int pages;                  /* in the file; the first is read */
    int width_px, height_px;
    TapulVec2 origin_px, px_by_x, px_by_y; /* px = origin + x_mm px_by_x + y_mm px_by_y, x_mm of the print */
    double skew_rad;            /* by how much the print lay turned on the scanner, counter-clockwise */
    const char *mark_from;      /* where the plate mark was had: "found", "crop_px", "the whole picture" */
    const char *scale_from;     /* "plate_mark_mm", "dpi", "ruler", "the file's resolution" */
    double dpi;                 /* mean of both directions */
    gboolean areas_only;
    double sauvola_k, sauvola_r; /* T = m (1 + k (s / R - 1)), Sauvola & Pietikainen 2000 */
    int window_px;
    double paper_grey;          /* the paper's tone before it was made even, 0 to 1 */
    int foxing_spots, specks;   /* left out */
} TapulScan;

typedef struct {
    double width_mm, height_mm; /* the plate mark */
    gboolean size_assumed;      /* the file gives pixels and no plate mark was given: 96 to the inch */
    GPtrArray *marks;           /* of TapulMark* */
    GPtrArray *motifs;          /* of TapulMotif*, in order of first mark */
    GPtrArray *skipped;         /* of TapulSkipped* */
    int strokes, fills;         /* counted over marks, paper left out */
    double ink_length_mm;       /* of strokes; the gaps of dashes are not taken out */
    double ink_area_mm2;        /* of strokes (length x width) and fills, overlaps counted twice */
    TapulScan *scan;            /* NULL for vector prints */
} TapulInk;

/* For scans only; a vector print with any of them set is refused (SCAN). At most one of plate mark, dpi and
 * ruler gives the scale; without any it is the file's own resolution, and without that an error. */
typedef struct {
    double dpi;                 /* 0: not given; else 20 to 10000 */
    TapulVec2 ruler_from_px, ruler_to_px;
    double ruler_mm;            /* 0: no ruler */
    TapulBox crop_px;           /* the plate mark, min upper left; without area: to be found */
    gboolean whole;             /* no plate mark is looked for: the whole picture is the print */
    gboolean areas_only;        /* outlines of all ink; else lines become centre lines with their width */
    double sauvola_k;           /* 0.2; 0.01 to 0.9 */
    double window_mm;           /* of the threshold, 0: 3 mm, but at least 15 px */
    double speck_mm;            /* spots smaller across are left out, 0.1 */
} TapulScanOptions;

typedef struct {
    double plate_mark_width_mm;  /* 0: the page's own size is the plate mark */
    double plate_mark_height_mm; /* both are scaled to; an aspect more than 2 % off the page's is an error */
    int page;                    /* of a PDF, from 1 */
    TapulScanOptions scan;
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulInkOptions;

TapulInkOptions tapul_ink_options_defaults(void);

/* Reads SVG (also gzipped), PDF, PNG, JPEG or TIFF, told apart by content. What would take a renderer longer than
 * any print is worth (too many elements or crossings) is refused. External references are never fetched.
 * Errors: one line, file first. */
TapulInk *tapul_ink_read(const char *path, const TapulInkOptions *options, GError **error);
void tapul_ink_free(TapulInk *ink);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulInk, tapul_ink_free)

/* Writes the ink as an SVG true to size (mm), a group with an id for each motif. Whole or not at all. */
gboolean tapul_ink_write_svg(const TapulInk *ink, const char *path, GError **error);

/* Where a print point lies in the upright scan. */
TapulVec2 tapul_scan_pixel(const TapulScan *scan, TapulVec2 print_mm);

/* Named motifs by polygon, for prints without groups: marks that lie mostly inside outline_mm[n] and have no
 * motif yet are given to the motif id. Call for each polygon. */
void tapul_ink_name_motif(TapulInk *ink, const char *id, const TapulVec2 *outline_mm, int n);

TapulMark *tapul_mark_copy(const TapulMark *mark);
void tapul_mark_free(TapulMark *mark);

G_END_DECLS

#endif
