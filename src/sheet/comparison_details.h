/* Motifs in pairs, of print and plate: which are shown, what is said of them, how they fill
 * pages. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_DETAILS_H
#define TAPUL_SHEET_COMPARISON_DETAILS_H

#include "sheet/comparison_parts.h"

/* One figure: the print's crop to the left of the plate's, at one scale. */
typedef struct {
    const TapulShownMotif *motif; /* of the list that the details were chosen from */
    TapulBox print_mm;            /* with its air; print frame */
    TapulBox plate_mm;  /* the same, developed frame; empty: beyond the plate's edge */
    char *label, *text; /* of its caption; text may be NULL */
} TapulDetail;

/* The details of a case: of every print that is laid as many as of the others, while there are,
 * and no more than most in all; print by print, of each the largest first. Of a print that was
 * weighed those that tell most, else those of most ink for their size; of one that is only laid
 * those that the laying changes most, if one sees it, and no more than TAPUL_DETAILS_MOST_LAID
 * in all. Left out are grounds (skies, waters), what the tracing has nothing of, and motifs
 * that another's crop shows as well, unless they were changed on their way to the plate. motifs
 * (of TapulShownMotif*) must outlive them. *left_out: how many more motifs there are. A
 * GPtrArray of TapulDetail*, owned. */
GPtrArray *tapul_details_choose(const TapulComparison *comparison, const GPtrArray *motifs,
                                int most, int *left_out);

#define TAPUL_DETAILS_MOST_LAID 6

/* Whether nothing was weighed of what they show: print and laying are compared. */
gboolean tapul_details_only_laid(const GPtrArray *details);

/* Whether no motif that is only laid is seen to be changed but those shown. */
gboolean tapul_details_tell_all(const TapulComparison *comparison, const GPtrArray *motifs,
                                const GPtrArray *details);

/* By how much a laying changes a motif that lies on the plate, beside its own scale: the larger
 * change of width or height, as a share. */
double tapul_detail_change(const TapulComparison *comparison, const TapulShownMotif *motif);

/* By how much the laying widens and heightens what lies in a box of the print, scale included:
 * medians over the box, measured over the metal, so that a crease does not count for more than
 * it is. FALSE where most of the box lies off the plate. */
gboolean tapul_details_factors(const TapulComparison *comparison, int laying, TapulBox print_mm,
                               TapulVec2 *factors);

/* A detail's caption: "Moved 8 mm.", "4 % wider than in the print."; NULL where there is
 * nothing to say; owned. */
char *tapul_detail_words(const TapulComparison *comparison, const TapulShownMotif *motif,
                         gboolean off_plate);

/* --- On pages --- */

/* The most columns of a page's grid. */
#define TAPUL_DETAIL_COLUMNS 12

/* Details that stand side by side, each over so many columns. */
typedef struct {
    int first, n;
    int columns[TAPUL_DETAIL_COLUMNS];
    double figures_mm, captions_mm; /* height of the highest figure, of the longest caption */
} TapulDetailRow;

typedef struct {
    int first, n; /* details */
    double scale; /* page mm for a mm of print or plate */
    GArray *rows; /* of TapulDetailRow */
} TapulDetailPage;

/* How many of them a page of this paper may hold. */
int tapul_details_most(TapulPaper paper);

/* Divides details among at most three pages (those only laid: one), each with the largest round
 * scale at which its rows fit into a height of room_mm; fewer pages where more would not
 * enlarge them much. A GPtrArray of TapulDetailPage*, owned; NULL where they do not fit. */
GPtrArray *tapul_details_divide(const TapulComparisonBook *book, const GPtrArray *details,
                                double room_mm);

/* The width on the page of a detail's two crops and the gap between them, and its height. */
TapulVec2 tapul_detail_size_mm(const TapulComparisonBook *book, const TapulDetail *detail,
                               double scale);
double tapul_detail_gap_mm(const TapulComparisonBook *book);

/* What rows take of a page's height, the air between them included. */
double tapul_details_rows_mm(const TapulComparisonBook *book, const GArray *rows);
double tapul_details_caption_gap_mm(const TapulComparisonBook *book);
double tapul_details_row_gap_mm(const TapulComparisonBook *book);

#endif
