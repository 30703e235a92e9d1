/* The parts of the evidence sheet: the overlay with its arrows, tables and curves, each set
 * from the top of its room down. Internal to sheet/. */
#ifndef TAPUL_SHEET_EVIDENCE_PARTS_H
#define TAPUL_SHEET_EVIDENCE_PARTS_H

#include "sheet/layout.h"

#include <tapul/sheets.h>

/* Text of tables: more would not leave a page room for all hypotheses. */
#define TAPUL_TABLE_TEXT_MM 2.6

typedef struct {
    const TapulEvidenceSheet *sheet;
    const TapulPrintEvidence *found;
    const TapulPrint *print;
    const TapulHypothesis *best;
    TapulFormat format;
    GPtrArray *laid;      /* the print's marks as placed; the first page's */
    TapulBox region_mm;   /* developed frame: pairs, where they are put, the print's ink */
    double magnification; /* of the residual arrows, against the drawing */
} TapulEvidenceParts;

/* Lays the print: sets laid and region_mm. */
void tapul_evidence_lay(TapulEvidenceParts *parts);
/* The plain scale (page mm for a developed mm) at which the region fits a room for the overlay.
 */
double tapul_evidence_scale(TapulBox room, const TapulEvidenceParts *parts);
/* Draws the region, in a window no taller than it needs, caption and scale bar below; sets
 * parts->magnification. Returns the y below. */
double tapul_evidence_overlay(TapulPage *page, TapulBox room, TapulEvidenceParts *parts);
void tapul_evidence_arrow(TapulPage *page, TapulVec2 from, TapulVec2 to);

/* These return the y below what they set. The table of pairs, in so many columns, and those of
 * hypotheses and motifs end where their room does, and say how many rows are left out. */
double tapul_evidence_legend(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts);
double tapul_evidence_pairs(TapulPage *page, TapulBox room, int columns,
                            const TapulEvidenceParts *parts);
double tapul_evidence_hypotheses(TapulPage *page, TapulBox room,
                                 const TapulEvidenceParts *parts);
double tapul_evidence_curves(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts);
double tapul_evidence_figures(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts);
double tapul_evidence_motifs(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts);

#endif
