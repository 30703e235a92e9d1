/* Comparison plates for teaching and publication: print and plate side by side, on pages of a fixed format, as a
 * page for a browser, and as a worksheet. */
#ifndef TAPUL_COMPARISON_H
#define TAPUL_COMPARISON_H

#include <tapul/evidence.h>
#include <tapul/page.h>

G_BEGIN_DECLS

#define TAPUL_COMPARISON_ERROR (tapul_comparison_error_quark())
GQuark tapul_comparison_error_quark(void);

typedef enum {
    TAPUL_COMPARISON_ERROR_NOTHING /* the case holds nothing that the layouts asked for show */
} TapulComparisonError;

/* ISO 216, and a screen's 16:9, 320 x 180 mm. */
typedef enum { TAPUL_PAPER_A5, TAPUL_PAPER_A4, TAPUL_PAPER_A3, TAPUL_PAPER_A2, TAPUL_PAPER_SCREEN } TapulPaper;

/* Which way up the paper is; AUTO: as each page's figures like it best, but all pages alike. A screen is always
 * landscape. */
typedef enum { TAPUL_UPRIGHT_AUTO, TAPUL_UPRIGHT_PORTRAIT, TAPUL_UPRIGHT_LANDSCAPE } TapulUpright;

/* In the order of their pages. */
typedef enum {
    TAPUL_LAYOUT_BESIDE = 1 << 0,   /* print, overlay and plate side by side at one scale; a page a print laid */
    TAPUL_LAYOUT_SEQUENCE = 1 << 1, /* as engraved, reversed, laid over the metal, as etched */
    TAPUL_LAYOUT_DETAILS = 1 << 2,  /* motifs of print and plate in pairs */
    TAPUL_LAYOUT_PLATE = 1 << 3,    /* the whole plate with numbered calls */
    TAPUL_LAYOUT_BORDER = 1 << 4,   /* the strips of borders laid */
    TAPUL_LAYOUT_ALL = (1 << 5) - 1
} TapulLayouts;

/* What the pages show. All borrowed, and must outlive the pages' making only. */
typedef struct {
    const TapulCase *question;
    const GPtrArray *laid;         /* of TapulCaseLaid*, as tapul_case_lay gives them */
    const TapulEvidence *evidence; /* for what became of the motifs; NULL: not weighed */
    const TapulRectified *rectified; /* the plate's photograph on its development; NULL: none */
} TapulComparison;

typedef struct {
    TapulPaper paper;     /* A4 */
    TapulUpright upright; /* AUTO */
    unsigned layouts;     /* TAPUL_LAYOUT_ALL: those of them that the case holds something for */
    gboolean inches;      /* a small bar of inches beside that of millimetres */
} TapulComparisonOptions;

TapulComparisonOptions tapul_comparison_options_defaults(void);

/* Width and height of a paper, mm. */
TapulVec2 tapul_paper_mm(TapulPaper paper, gboolean landscape);
/* "A5", "A4", "A3", "A2", "screen"; "beside", "sequence", "details", "plate", "border" of one layout. */
const char *tapul_paper_name(TapulPaper paper);
const char *tapul_layout_name(TapulLayouts layout);

/* A GPtrArray of TapulPage*, owned. Error NOTHING. */
GPtrArray *tapul_comparison_pages(const TapulComparison *comparison, const TapulComparisonOptions *options,
                                  GError **error);

/* For students: the print with its motifs numbered, the plate with nothing laid over it, a table to fill in; the
 * answers on the last page. Layouts are not looked at. Error NOTHING: no print with motifs is laid. */
GPtrArray *tapul_worksheet_pages(const TapulComparison *comparison, const TapulComparisonOptions *options,
                                 GError **error);

/* One HTML file that needs no other: a slider between print and plate, motifs that light up on both; to be used
 * with a mouse, a finger or the keyboard. Whole or not at all. Error NOTHING: no print is laid. */
gboolean tapul_comparison_write_html(const TapulComparison *comparison, const char *path, GError **error);

G_END_DECLS

#endif
