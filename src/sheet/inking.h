/* Marks drawn on a page in one ink. Internal to sheet/. */
#ifndef TAPUL_SHEET_INKING_H
#define TAPUL_SHEET_INKING_H

#include <tapul/page.h>

/* Ink is drawn at its true width, which keeps the tones of dense hatching; but no thinner than
 * printers hold (common practice, no source). */
#define TAPUL_LEAST_INK_MM 0.03
/* Lines over a picture, so that it shows between them. */
#define TAPUL_OVER_PICTURE_MM 0.12

typedef struct {
    TapulColour ink, ground; /* a mark's grey mixes ink towards ground */
    double least_width_mm; /* thinner strokes are drawn this wide, in the units of the group */
    gboolean keeps_tone;   /* and so much lighter, that dense hatching does not close up */
    gboolean
        found; /* the found design: dashed, areas light, so that it differs without colour */
    double dash_mm; /* length of those dashes */
    double halo; /* of a found design its ground only: lines undashed, this many times as wide; 0: the ink */
    /* Over a picture: strokes no wider than this, areas as outlines of it, marks of the paper
     * left out, so that what lies beneath is seen; 0: as the ink is. */
    double most_width_mm;
    /* Marks of the print's paper, which cover ink, show this picture again; -1: they are filled
     * with ground. */
    int picture;
    TapulBox picture_box_mm;
} TapulInking;

/* Draws marks (of TapulMark *), each with its own path or, unless paths is NULL, with
 * paths[marks->len]; marks of one motif (ids from motifs, of TapulMotif *, may be NULL) share a
 * group named after it. */
void tapul_inking_draw(TapulPage *page, const GPtrArray *marks, TapulPath *const *paths,
                       const GPtrArray *motifs, const char *name, const TapulInking *inking);

#endif
