/* Borders on comparison pages: where their run is straightest and where it turns tightest, and
 * strips of them. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_BORDER_H
#define TAPUL_SHEET_COMPARISON_BORDER_H

#include "sheet/comparison_parts.h"

/* A point of a border's middle line; places on it are counted in points from its start. */
typedef struct {
    gboolean on_plate;
    gboolean joined; /* to the point before: neither seam nor end lies between them */
    TapulVec2 developed_mm;
    double facing;     /* of the metal there to a viewer in front: 1 towards, -1 away */
    double turned_rad; /* in the development, from the start on */
} TapulBorderPoint;

/* A border as laid. */
typedef struct {
    const TapulComparison *comparison;
    int laying;
    double repeat_mm, height_mm; /* of the print */
    double scale;
    gboolean reversed;
    int repeats;    /* over all its runs */
    int per_repeat; /* points in each */
    int n_points;   /* repeats * per_repeat + 1 */
    GArray
        *points; /* of TapulBorderPoint; those of a run that comes round go on over its start */
} TapulBorderLine;

TapulBorderLine *tapul_border_line_new(const TapulComparison *comparison, int laying);
void tapul_border_line_free(TapulBorderLine *line);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulBorderLine, tapul_border_line_free)

const TapulBorderPoint *tapul_border_point(const TapulBorderLine *line, int i);

/* The first point of the straightest n repeats; of those that are nearly as straight the ones
 * that face a viewer in front best. -1: nowhere are so many joined. */
int tapul_border_straightest(const TapulBorderLine *line, int n);

/* The middle of the tightest turn over a length of the border's own height, and by how much it
 * turns there. -1: the run is nowhere so long. */
int tapul_border_tightest(const TapulBorderLine *line, double *turn_rad);

/* Where the border's lower rim (share 0), middle (0.5) or upper rim (1) lies at a point of its
 * middle line; developed frame. FALSE off the plate. */
gboolean tapul_border_rim(const TapulBorderLine *line, int i, double share,
                          TapulVec2 *developed_mm);

/* --- Drawn --- */

/* n repeats of the print side by side, as a border is used; the lower left at `at`. */
void tapul_border_draw_print(const TapulBorderLine *line, TapulPage *page, TapulVec2 at, int n,
                             double scale, const char *id, const char *title);

/* Of the development a stretch of n repeats from point `first` on, turned so that it runs to
 * the right, with margin_mm of the metal below and above the border. */
typedef struct {
    double turn_rad;   /* development -> page, about the first point */
    TapulVec2 from_mm; /* that point, developed frame */
    TapulBox box_mm;   /* what is shown, in the turned frame with the first point at 0, 0 */
    int first, n;
} TapulBorderStretch;

TapulBorderStretch tapul_border_stretch(const TapulBorderLine *line, int first, int n,
                                        double margin_mm);
/* What of the development it covers. */
TapulBox tapul_border_covered(const TapulBorderStretch *stretch);
void tapul_border_draw_stretch(const TapulBorderLine *line, const TapulBorderStretch *stretch,
                               TapulPage *page, TapulVec2 at, double scale, const char *id,
                               const char *title);
/* Where a point of the middle line lies on the page, the stretch's lower left at `at`. */
TapulVec2 tapul_border_stretch_point(const TapulBorderLine *line,
                                     const TapulBorderStretch *stretch, int point, TapulVec2 at,
                                     double scale);

/* A dimension from left to right below what it measures: a line with ends, its words under it.
 */
void tapul_border_dimension(TapulPage *page, const TapulLeaf *leaf, TapulVec2 from,
                            double width_mm, const char *text);
double tapul_border_dimension_mm(const TapulLeaf *leaf);

/* The border as a band on a figure of the plate that is drawn at `at` and scale. */
void tapul_border_draw_band(const TapulBorderLine *line, const TapulFigure *figure,
                            TapulPage *page, TapulVec2 at, double scale);
/* What share of its run the figure shows. */
double tapul_border_shown_share(const TapulBorderLine *line, const TapulFigure *figure);

/* --- The page of a border --- */

typedef enum {
    TAPUL_BORDER_PRINT,
    TAPUL_BORDER_LAID,
    TAPUL_BORDER_CORNER,
    TAPUL_BORDER_PLATE,
    TAPUL_BORDER_FIGURES
} TapulBorderFigure;

/* One border print and how it lies. */
typedef struct {
    TapulComparisonBook *book;
    GPtrArray *lines;            /* of TapulBorderLine*, all of the same print */
    const TapulBorderLine *line; /* the first of them, which is shown */
    int repeats;                 /* of the print's strip */
    TapulBorderStretch stretch;  /* n 0: nowhere are repeats joined */
    int corner;                  /* -1: none */
    double corner_rad;
    TapulFigure *turn, *plate; /* turn: NULL without a corner */
    gboolean plate_flat;       /* plate is the development, else the view from the front */
    const char *caption;       /* the case's own, or NULL */
} TapulBorderEntry;

/* A page of it, being composed. */
typedef struct {
    const TapulBorderEntry *entry;
    TapulPage *page;
    gboolean landscape;
    gboolean words_beside; /* the strips' captions stand right of them, else below */
    TapulBox body;
    double scale[TAPUL_BORDER_FIGURES];
    char *label[TAPUL_BORDER_FIGURES], *text[TAPUL_BORDER_FIGURES];
} TapulBorderComposition;

void tapul_border_composition_init(TapulBorderComposition *made, const TapulBorderEntry *entry);
void tapul_border_composition_clear(TapulBorderComposition *made);

/* Sets the scale and the text of both strips: the largest round scale, 0: they do not fit. */
double tapul_border_fit_strips(TapulBorderComposition *made);
/* The same of corner or plate, in this room. */
void tapul_border_fit_cell(TapulBorderComposition *made, TapulBorderFigure figure,
                           TapulVec2 room);
gboolean tapul_border_has(const TapulBorderEntry *entry, TapulBorderFigure figure);

/* Sizes on the page: columns of the grid for strips and their captions, for the strips alone,
 * for the captions; a strip's own size; a strip with its caption; a caption. */
int tapul_border_columns(const TapulBorderComposition *made);
int tapul_border_drawn_columns(const TapulBorderComposition *made);
int tapul_border_words_columns(const TapulBorderComposition *made);
TapulVec2 tapul_border_strip_size(const TapulBorderEntry *entry, TapulBorderFigure figure);
double tapul_border_strip_mm(const TapulBorderComposition *made, TapulBorderFigure figure);
double tapul_border_caption_mm(const TapulBorderComposition *made, TapulBorderFigure figure,
                               double width_mm);
/* The bar of the strips' scale and, beside it, the legend of a found design, from y down.
 * Returns their height; with page NULL only that. */
double tapul_border_set_bar(const TapulBorderComposition *made, TapulPage *page, double y);

/* In steps of the captions' lines. */
#define TAPUL_BORDER_CAPTION_GAP_STEPS 0.7
#define TAPUL_BORDER_BAR_GAP_STEPS     0.7
#define TAPUL_BORDER_ROW_GAP_STEPS     1.8

void tapul_border_page(const TapulBorderEntry *entry);
/* The scale of its strips on a page like this, 0: they do not fit. */
double tapul_border_page_scale(const TapulBorderEntry *entry);

/* --- Words; owned --- */

/* The length of a repeat, in the print and over the metal. */
char *tapul_border_print_dimension(const TapulBorderLine *line);
char *tapul_border_laid_dimension(const TapulBorderLine *line);
double tapul_border_laid_repeat_mm(const TapulBorderLine *line);
/* "Scale 2 : 1.", nothing on a screen. */
char *tapul_border_scale_words(const TapulBorderLine *line, const TapulLeaf *leaf,
                               double scale);
/* Captions: of n repeats of the print; of the border as laid, or laid once more; of its
 * tightest turn. */
char *tapul_border_print_words(const TapulBorderLine *line, const TapulLeaf *leaf, int n,
                               double scale);
char *tapul_border_laid_words(const TapulBorderLine *line, gboolean again);
char *tapul_border_corner_words(const TapulBorderLine *line, const TapulLeaf *leaf,
                                double turn_rad, double scale);

#endif
