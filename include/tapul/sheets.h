/* The sheets that verbs write: a plate's development, the overlay of a case, the form for measuring
 * a plate, the survey of a folder's plates. */
#ifndef TAPUL_SHEETS_H
#define TAPUL_SHEETS_H

#include <tapul/evidence.h>
#include <tapul/laying.h>
#include <tapul/lift.h>
#include <tapul/page.h>
#include <tapul/photo.h>
#include <tapul/pounce.h>

G_BEGIN_DECLS

#define TAPUL_SHEET_ERROR (tapul_sheet_error_quark())
GQuark tapul_sheet_error_quark(void);

typedef enum {
    TAPUL_SHEET_ERROR_NO_READINGS /* a plate of this kind is not made from readings */
} TapulSheetError;

/* The development at true scale: outline, ridge, fields, seam, a 50 mm grid carried from the plate (lines of
 * equal tape height, and lines at equal tape distance across), with scale bar, legend and figures. */
TapulPage *tapul_sheet_development(const TapulGround *ground);
/* Its stretch map: triangles coloured by the larger of s1 and 1/s2 on one perceptually even scale centred on
 * 1.0, crosses of principal stretch, a colour scale with figures. */
TapulPage *tapul_sheet_stretch(const TapulGround *ground);

typedef struct {
    const char *name;        /* print id */
    const TapulInk *ink;     /* the source, for motif ids */
    const TapulLaidInk *laid;
    const char *caption;     /* "rolled from 0, 260 mm; scale 1; reversed" */
    const TapulLaidPicture *picture; /* of a scan, drawn under the ink; NULL: none */
    gboolean picture_alone;  /* the ink is not drawn on the development: the picture shows it */
} TapulOverlayLaying;

/* What tapul_case_lay gave, as overlays take it: a GArray of TapulOverlayLaying that borrows from both. */
GArray *tapul_overlay_layings(const TapulCase *question, const GPtrArray *laid);

typedef struct {
    const char *title, *credit;
    const TapulGround *ground;
    int n_layings;
    const TapulOverlayLaying *layings;
    const TapulInk *found;   /* design found on the plate, developed frame; NULL: none */
    int n_pairs;             /* picked pairs to mark; 0: none */
    const TapulVec2 *pair_developed_mm;
    gboolean etched;         /* bright design on blackened ground */
} TapulOverlay;

/* The developed plate at true scale (1:1) with the laid prints; beside it the same from the front and from
 * three-quarters, hidden parts hidden, lightly shaded. */
TapulPage *tapul_sheet_overlay(const TapulOverlay *overlay);

/* A form to print: which readings to take of a real plate of this type, where, in which order, with
 * blanks to write them in. A4 pages: GPtrArray of TapulPage *, owned. Error NO_READINGS for a scan. */
GPtrArray *tapul_sheet_measuring(const TapulPlate *plate, GError **error);

/* Plates as a catalogue shows them: each from the front, from three-quarters and laid flat, with its
 * name, kind, size and source, all at one scale. A3 pages: GPtrArray of TapulPage *, owned. At least
 * one ground. */
GPtrArray *tapul_sheet_contact(const char *title, int n, const TapulGround *grounds);

/* The way back: what the pages of a lifted design tell. */
typedef struct {
    const char *title, *credit;
    const TapulGround *ground;
    const char *place;       /* of the anchor: "the middle of the design" */
    const char *region_name; /* what was lifted of the design: "the field belly"; NULL: all */
    int n;                   /* at least 1 */
    TapulLifted *const *lifted;
    const TapulLiftComparison *comparison;
} TapulLiftSheet;

/* The sheet to look for by one rule, 1:1, direct and reversed, a photograph under its ink. */
TapulPage *tapul_sheet_lifted(const TapulLiftSheet *sheet, int i);
/* The sheets of all rules one over the other, and where they differ. */
TapulPage *tapul_sheet_lift_comparison(const TapulLiftSheet *sheet);
/* The sheet alone, true to size, as large as its likely plate mark. */
TapulPage *tapul_sheet_lifted_alone(const TapulLifted *lifted, gboolean reversed);

/* A photograph brought on to the plate laid flat. */
typedef struct {
    const char *title, *credit;
    const TapulGround *ground;
    const TapulRectified *rectified;
    gboolean enhanced;           /* worn etching was brought out */
    int n_photos;                /* at least 1 */
    TapulPhoto *const *photos;
    int n_layings;               /* drawn over it in print ink; 0: none */
    const TapulOverlayLaying *layings;
} TapulRectifiedSheet;

/* The rectified photograph at 1:1, what is not seen well hatched, the points its camera was found from marked with
 * name and residual; the cameras' figures. */
TapulPage *tapul_sheet_rectified(const TapulRectifiedSheet *sheet);
/* Its second page: pixels a millimetre in bands of grey, and the table of points. */
TapulPage *tapul_sheet_resolution(const TapulRectifiedSheet *sheet);

/* What was weighed of one print. All borrowed. */
typedef struct {
    const TapulCase *question;
    const TapulEvidence *evidence;
    int print;                   /* index into the evidence's prints: one that has hypotheses */
} TapulEvidenceSheet;

/* The evidence sheet, A4. First page: the verdict, the print as placed over the plate's development, with the
 * residuals of the pairs as arrows at a stated magnification. */
TapulPage *tapul_sheet_evidence(const TapulEvidenceSheet *sheet);
/* Its second page: the table of hypotheses, the match curves with the band of chance, the motifs. */
TapulPage *tapul_sheet_evidence_figures(const TapulEvidenceSheet *sheet);

/* --- The maker's papers --- */

/* All borrowed. The pages are black on white, set in English; y up as everywhere, and where the case asks for face
 * down all of them are mirrored but their words. */
typedef struct {
    const TapulCase *question;
    const TapulPounce *pounce;
    char *const *notes; /* sentences for the summary: what asks for care; NULL-ended, or NULL */
} TapulPouncePages;

/* What the papers are and how to use them, A4: the pieces at one small scale, the map of tiles, tape lengths to
 * check the fit by, the order of joining; of a resist, on a page of its own that shows all cautions, the figures of
 * the etch and what is too thin. GPtrArray of TapulPage *, owned. */
GPtrArray *tapul_sheet_pounce_summary(const TapulPouncePages *pages);
/* The papers at 1:1, a page for each tile used, as large as its paper; each with a bar of 100 mm and a square of
 * 50 mm to measure the printer by. GPtrArray of TapulPage *, owned. */
GPtrArray *tapul_sheet_pounce_tiles(const TapulPouncePages *pages);
/* The resist of a bite (index into the resist's bites): an A4 page of all cautions, large, and of what to do; then the
 * same tiles with the resist filled, nothing else printed on the metal, and the cautions, or where a tile has no room
 * for them a line that says where they stand. */
GPtrArray *tapul_sheet_pounce_resist(const TapulPouncePages *pages, int bite);
/* For a cutter or plotter: a page for each piece at 1:1, 10 mm larger on each side, to be written as SVG. Groups:
 * cut (red, 0.01 mm), score (blue), draw (the design's lines), marks, and of a resist resist-1, resist-2, ... (what
 * is covered, filled) and dots. Marks of the print's paper, which a plotter has no ink for, are left out.
 * GPtrArray of TapulPage *, owned. */
GPtrArray *tapul_sheet_pounce_layers(const TapulPouncePages *pages);

G_END_DECLS

#endif
