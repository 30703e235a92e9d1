/* The sheets that verbs write: a plate's development, and the overlay of a case. */
#ifndef TAPUL_SHEETS_H
#define TAPUL_SHEETS_H

#include <tapul/laying.h>
#include <tapul/page.h>

G_BEGIN_DECLS

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

G_END_DECLS

#endif
