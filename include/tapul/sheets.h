/* The sheets that verbs write: a plate's development, the overlay of a case, the form for measuring
 * a plate, the survey of a folder's plates. */
#ifndef TAPUL_SHEETS_H
#define TAPUL_SHEETS_H

#include <tapul/laying.h>
#include <tapul/page.h>

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
} TapulOverlayLaying;

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

G_END_DECLS

#endif
