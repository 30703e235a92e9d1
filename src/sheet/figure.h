/* What comparison pages show, each with a size of its own and drawn at whatever scale a page has room for: a
 * print, a part of the plate laid flat, the plate as seen. Internal to sheet/. */
#ifndef TAPUL_SHEET_FIGURE_H
#define TAPUL_SHEET_FIGURE_H

#include <tapul/comparison.h>

/* What lies on the metal. */
typedef enum {
    TAPUL_SHOWN_BARE,    /* nothing */
    TAPUL_SHOWN_LAID,    /* prints as laid, vermilion, the found design (if any) dashed blue with them */
    TAPUL_SHOWN_FOUND,   /* what the plate itself bears: its photograph, else the tracing, else the prints as
                            laid, as an etcher's black lines on bright metal */
    TAPUL_SHOWN_ETCHED   /* the same design (traced, else laid) bright on blackened ground */
} TapulShown;

typedef struct TapulFigure TapulFigure;

/* A print as an impression: black on paper, its plate mark as a fine pressed line, the scan itself where the case
 * shows the scan. Its box is the plate mark with a little paper around it; cropped to the plate mark or further in,
 * it shows no plate mark. Own frame: the print frame, of a reversed one mirrored about the middle of its width. */
TapulFigure *tapul_figure_print(const TapulComparison *comparison, int print, gboolean reversed);
/* The part box_mm of the development (developed frame); an empty box: all of it. laying -1: all are shown. Scans
 * are laid as pictures where the case asks for it, in SHOWN_LAID only: their paper would hide the metal.
 * Own frame: the developed frame. */
TapulFigure *tapul_figure_development(const TapulComparison *comparison, TapulBox box_mm, TapulShown shown,
                                      int laying);
/* The plate as seen, turned and tilted as tapul_view_new; without photograph or pictures, which do not bend round
 * it: SHOWN_FOUND has the tracing, else the prints as laid. Own frame: the seen frame. */
TapulFigure *tapul_figure_view(const TapulComparison *comparison, double turn_rad, double tilt_rad,
                               TapulShown shown, int laying);
void tapul_figure_free(TapulFigure *figure);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulFigure, tapul_figure_free)

/* What it covers, mm of its own frame; nothing is drawn beyond it. */
TapulBox tapul_figure_box_mm(const TapulFigure *figure);
/* Narrows a print or a development to a part of it (both are clipped to their box). */
void tapul_figure_crop(TapulFigure *figure, TapulBox box_mm);

/* Draws it so that its box's lower left comes to lie at `at`, scale page mm for a mm of its own, in a group with
 * the id and title. Lines keep the thickness that prints legibly on the page. */
void tapul_figure_draw(const TapulFigure *figure, TapulPage *page, TapulVec2 at, double scale, const char *id,
                       const char *title);

/* A point of the plate in the figure's own frame; FALSE where the figure does not show it. Of a print: FALSE. */
gboolean tapul_figure_of_plate(const TapulFigure *figure, TapulVec2 developed_mm, TapulVec2 *own_mm);

/* Shows, of the laying that it was made with, every other laying of the same print too. */
void tapul_figure_show_print(TapulFigure *figure);
/* Whether two prints of a case (indices) are one, listed twice. */
gboolean tapul_figure_same_print(const TapulComparison *comparison, int a, int b);

/* Whether a line comes into a box: whether a figure of that box shows it. */
gboolean tapul_path_enters(const TapulPath *path, TapulBox box);

/* --- Motifs --- */

/* A motif of a print that is laid, and where it lies. */
typedef struct {
    int print, laying, motif;
    char *name;            /* for readers */
    TapulBox print_mm;     /* print frame */
    TapulBox developed_mm; /* where it was found, else where it is laid; empty: left out, or off the plate */
    /* A point on its ink near its middle, to point to; of one left out, where it would be; (0, 0) off the plate. */
    TapulVec2 mark_print_mm, mark_developed_mm;
    const TapulMotifFinding *finding; /* NULL where not weighed */
} TapulShownMotif;

/* The motifs of a laying whose print names them, to be read row by row from the print's upper left; a GPtrArray of
 * TapulShownMotif*, owned. Left out are those too small to show (under 3 mm both ways) and those that frame nearly
 * all of the print (over 80 % of the plate mark both ways), which cannot be pointed to. laying -1: of all layings but
 * borders, laying after laying (a print laid twice is listed twice). Of a border's motif the box is that of all its
 * repeats. */
GPtrArray *tapul_shown_motifs(const TapulComparison *comparison, int laying);

/* "kept", "moved 8 mm", "turned 12°", "resized to 90 %", "left out", ... in the case's words; NULL where not
 * weighed; owned. */
char *tapul_motif_fate_words(const TapulComparison *comparison, const TapulShownMotif *motif);

/* Of a laying: the box of its laid marks and of what was found of them; developed frame. Borders: of their strip. */
TapulBox tapul_laid_box_mm(const TapulComparison *comparison, int laying);

#endif
