/* The steps by which the resist is made, in order: the design of each piece as small areas
 * (design.c), the paper in cells (cells.c), in each cell what every bite bares (compensate.c)
 * and what is too thin (thin_parts.c), and dots on the bitten ground (dots.c). Internal to
 * pounce/. */
#ifndef TAPUL_POUNCE_RESIST_PARTS_H
#define TAPUL_POUNCE_RESIST_PARTS_H

#include "pounce/chart.h"
#include "pounce/join.h"
#include "pounce/metal_area.h"
#include "pounce/parts.h"

G_BEGIN_DECLS

#define TAPUL_MOST_BITES 6
#define TAPUL_MOST_THIN  500

/* --- The design of a piece --- */

/* A small area that a mark covers. */
typedef struct {
    GEOSGeometry *shape; /* of one of the design's bags */
    TapulBox box;
    int order;      /* later marks cover earlier ones */
    int stopped;    /* the first bite before which it is stopped out; no bite: G_MAXINT */
    gboolean paper; /* takes ink away instead of being ink */
} TapulDesignPart;

/* The paper of a piece, and the design on it and a little beyond its seams. */
typedef struct {
    const TapulPouncePiece *piece;
    GPtrArray *bags;     /* of TapulShapes* */
    GEOSGeometry *paper; /* the outline */
    TapulBox box;
    GArray *parts; /* of TapulDesignPart, by order */
    GPtrArray
        *charts; /* of TapulChart*: the piece, then strips beyond its seams, reach_mm wide */
    TapulMetalScale *scale;
} TapulDesign;

/* Tells how far the work is: most of it is cells. */
typedef struct {
    const TapulPounceProgress *progress; /* may be NULL */
    guint pieces, pieces_done;
    int cells_done; /* of the piece at hand */
} TapulResistWatch;

/* What the steps share. */
typedef struct {
    TapulResistWatch *watch;
    const TapulCase *question;
    const TapulCasePounce *asked;
    const GPtrArray *laid;
    const TapulPattern *pattern;
    TapulResistKind kind;
    int n_bites;
    double depth_mm[TAPUL_MOST_BITES];
    double total_mm[TAPUL_MOST_BITES + 1]; /* [n_bites + 1] depth of the bites before each */
    double reach_mm; /* the design is known this far beyond a cell or a seam */
    gboolean stops;  /* something is stopped out */
} TapulResistPlan;

/* NULL with GEOMETRY where a mark's outline cannot be had. */
TapulDesign *tapul_design_new(const TapulResistPlan *plan, const TapulPouncePiece *piece,
                              GError **error);
void tapul_design_free(TapulDesign *design);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDesign, tapul_design_free)

/* --- A cell of a piece --- */

typedef struct {
    TapulShapes *shapes; /* owns the results */
    TapulBox box;
    GEOSGeometry *paper;                  /* of the piece within the box */
    gboolean is_full;                     /* all of the box is paper */
    GEOSGeometry *design;                 /* known reach_mm beyond the box */
    GEOSGeometry *bare[TAPUL_MOST_BITES]; /* [n_bites] as painted, within the paper */
    GEOSGeometry *cover[TAPUL_MOST_BITES];
    double bitten_mm2[TAPUL_MOST_BITES]; /* over the metal, as it is in the end */
    double wanted_mm2;                   /* over the metal: what was to be bitten */
} TapulResistCell;

/* Of all the paper, a GPtrArray of TapulResistCell*, owned. NULL if GEOS gives up. */
GPtrArray *tapul_resist_cells_new(const TapulResistPlan *plan, const TapulDesign *design);

/* What the design covers near the cell, in all and of what is stopped out before each bite;
 * NULL where GEOS gives up. */
typedef struct {
    TapulShapes *shapes; /* for the time of the cell's making */
    TapulBox around;     /* the cell and reach_mm beyond */
    GEOSGeometry *design;
    GEOSGeometry *stopped[TAPUL_MOST_BITES]; /* [n_bites] what is covered before it, the earlier
                                                bites' included; NULL: nothing */
} TapulCellDesign;

/* Fills the cell's bare and bitten; FALSE if GEOS gives up. */
gboolean tapul_resist_compensate(const TapulResistPlan *plan, const TapulDesign *design,
                                 const TapulCellDesign *found, TapulResistCell *cell);

/* --- What is too thin --- */

/* Adds what is too thin on the cells' paper to too_thin. FALSE if GEOS gives up. */
gboolean tapul_thin_runs(const TapulResistPlan *plan, const TapulDesign *design,
                         const GPtrArray *cells, TapulResist *resist);
/* What closes first, then the longest, and no more than TAPUL_MOST_THIN; counts all. */
void tapul_thin_sort(TapulResist *resist);

/* --- Dots --- */

/* A piece's paper as the dots need it. */
typedef struct {
    const TapulDesign *design;
    const GPtrArray *cells;
} TapulDottedPiece;

/* Fills dots, dot_mm and dot_diameter_mm, and takes the dots' metal off the bites. pieces: of
 * TapulDottedPiece, [pieces]. */
void tapul_resist_dot(const TapulResistPlan *plan, const GArray *pieces, TapulResist *resist);

G_END_DECLS

#endif
