/* The maker's papers: a plate's pattern with the design on it at 1:1, the resist for etching it, and the tiles that
 * a printer takes.
 *
 * Every piece of paper has a frame of its own: the plane of its development (pattern.h), mm, y up. */
#ifndef TAPUL_POUNCE_H
#define TAPUL_POUNCE_H

#include <tapul/case.h>
#include <tapul/pattern.h>

G_BEGIN_DECLS

#define TAPUL_POUNCE_ERROR (tapul_pounce_error_quark())
GQuark tapul_pounce_error_quark(void);

typedef enum {
    TAPUL_POUNCE_ERROR_GEOMETRY, /* outlines that cannot be had from the design */
    TAPUL_POUNCE_ERROR_PAPER     /* a piece that no tile or roll can take */
} TapulPounceError;

/* --- Pieces --- */

/* The same mark on both papers at a seam: a short tick across it. */
typedef struct {
    TapulVec2 at_mm;
    TapulVec2 outward;  /* unit, away from the paper */
    int seam;           /* of the pattern */
    char label[8];      /* alike on both papers: the seam's name and a number, "a3" */
} TapulNotch;

/* An alignment cross: one place of the plate, marked on every paper that shows it, allowances included. */
typedef struct {
    TapulVec2 at_mm;
    int name;           /* from 1; the same number is the same place of the plate on all papers */
} TapulCross;

/* What a tape shows between two crosses, laid over the metal. */
typedef struct {
    int from, to;       /* names of crosses of one piece */
    double length_mm;   /* shortest way over the metal */
} TapulTapeLength;

typedef struct {
    int number;                  /* from 1 */
    const TapulPiece *piece;     /* borrowed from the pattern */
    TapulPath *outline;          /* closed: the metal's own edge and the seams */
    TapulPath *cut;              /* closed: the same with allowances: where the paper is cut */
    TapulPath *score;            /* the seams that have an allowance: where the neighbour's edge comes to lie */
    GArray *notches;             /* of TapulNotch */
    GArray *crosses;             /* of TapulCross */
    GArray *tapes;               /* of TapulTapeLength */
    GPtrArray *ink;              /* of TapulMark*: the laid design cut at the paper's edge, continued into its
                                    allowances; in drawing order */
    GPtrArray *ink_laying;       /* of each mark GINT_TO_POINTER(index into the case's layings) */
} TapulPouncePiece;

/* --- Etching --- */

typedef enum {
    TAPUL_RESIST_NONE,
    TAPUL_RESIST_GROUND, /* the ground is bitten, the design stands bright: resist covers the design */
    TAPUL_RESIST_LINES   /* the design's lines are bitten into bright metal: resist is open there */
} TapulResistKind;

/* A line of the design, or a gap between two, that is finer than the finest or that the resist closes. */
typedef struct {
    int piece;          /* number */
    TapulVec2 at_mm;
    double width_mm;    /* wanted, at at_mm; nine tenths of the run are wider */
    double length_mm;   /* of all that is too thin and hangs together */
    gboolean gap;       /* between lines of the design, whichever of both is bitten */
    gboolean closes;    /* it was to be bitten, and at least half of its length is narrower than the undercut of both
                           sides: there the resist leaves no opening */
} TapulTooThin;

/* One bite: what is bare meanwhile. Deeper places are bare in several bites. */
typedef struct {
    double depth_mm;
    GPtrArray *bare;    /* of TapulPath*, [pieces], closed, even-odd: bare metal as painted, compensated for undercut;
                           on the paper without allowances; dots are not taken out (see dot_mm) */
    GPtrArray *cover;   /* of TapulPath*, [pieces]: the rest of the paper: what the resist covers */
    double bitten_area_mm2; /* over the metal, as bitten in the end */
    double steel_g;
} TapulBite;

typedef struct {
    TapulResistKind kind;
    double undercut_mm;      /* of the deepest: depth / etch factor, at each edge */
    GPtrArray *bites;        /* of TapulBite* */
    double wanted_area_mm2;  /* over the metal: what was to be bitten, dots taken out; what of it the resist closes over
                                bitten_area_mm2 does not have */
    GArray *too_thin;        /* of TapulTooThin: what closes first, then the longest, at most 500 */
    int too_thin_in_all;     /* listed or not */
    int closes_in_all;       /* of them */
    int dots;                /* of a dotted ground, over the whole plate */
    GPtrArray *dot_mm;       /* of GArray of TapulVec2, [pieces]: their middles; resist beside what the bites cover,
                                painted before the first. A dot on a seam is given on both papers, so its middle may
                                lie beyond the outline by half its diameter */
    double dot_diameter_mm;  /* as painted: the wanted one and the undercut on both sides */
    double bitten_area_mm2;  /* over the metal: bare in at least one bite */
    double steel_g;          /* dissolved in all bites */
    /* Fe + 2 FeCl3 -> 3 FeCl2 (Allen, PCMI Journal 137, 2021): estimates. */
    double iron_chloride_g;  /* FeCl3 used up by the steel */
    double etchant_l;        /* of a 42 degree Baume bath, worked to working_share of what it could dissolve */
} TapulResist;

/* --- Tiles --- */

/* Where pieces lie on one large sheet, and the tiles or the roll that it is cut into. Sheet frame: mm, origin lower left;
 * width_mm by height_mm is what the grid's tiles show together within their margins. Paper that is laid on face down is
 * mirrored piece by piece (x turned over in the piece's own frame), then turned, then moved. */
typedef struct {
    double width_mm, height_mm;
    TapulVec2 *offset_mm;   /* [pieces] added to a piece's own coordinates */
    double *turn_rad;       /* [pieces] turned first: 0 or a quarter turn */
    gboolean mirrored;      /* the papers lie face down */
    double tile_width_mm, tile_height_mm; /* the paper */
    double margin_mm, overlap_mm;
    int columns, rows;      /* of the grid; a roll: 1 x 1 */
    GArray *used;           /* of int: column + columns * row (row 0 at the top) of tiles that show some of a piece, in
                               reading order; each is a page */
} TapulTiling;

/* Where a place of pieces[piece], given in its own frame, lies on the sheet. */
TapulVec2 tapul_tiling_place(const TapulTiling *tiling, int piece, TapulVec2 own_mm);
/* What a tile (column + columns * row) shows of the sheet within its margins. The paper's lower left corner lies margin_mm
 * below and to the left of the box's. */
TapulBox tapul_tiling_tile_mm(const TapulTiling *tiling, int tile);

/* --- The whole --- */

typedef struct {
    GPtrArray *laid;        /* of TapulCaseLaid*: the case's layings */
    TapulPattern *pattern;
    GArray *cuts;           /* of TapulCutLine */
    gboolean cuts_given;    /* by the case */
    GPtrArray *pieces;      /* of TapulPouncePiece* */
    TapulResist *resist;    /* NULL: none asked for */
    TapulTiling *tiling;
} TapulPounce;

typedef struct {
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulPounceProgress;

/* Makes all of it, by what the case says under `pounce` and `development: cuts`; progress is not told by several
 * threads at once. Errors: those of laying and of patterns, GEOMETRY, PAPER. */
TapulPounce *tapul_pounce_new(const TapulCase *question, const TapulPounceProgress *progress,
                              GError **error);
void tapul_pounce_free(TapulPounce *pounce);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPounce, tapul_pounce_free)

/* What a seam of the pattern is called on the papers: a letter, as crosses and pieces have numbers; then two. Without l
 * and o, which are read as figures. Owned. */
char *tapul_pounce_seam_name(int seam);

/* The cautions to show wherever etching figures are shown, one a line; NULL-ended. */
const char *const *tapul_etching_cautions(void);

/* --- Figures of the bite, by themselves --- */

/* What one edge loses to undercut. */
double tapul_undercut_mm(double depth_mm, double etch_factor);
/* Grams of steel (7.85 g/cm3) in a bite; FeCl3 it uses up; litres of a 42 degree Baume bath (SG 1.408, 40 % by weight)
 * of which a share of what it could dissolve is worked. */
double tapul_bite_steel_g(double area_mm2, double depth_mm);
double tapul_bite_iron_chloride_g(double steel_g);
double tapul_bite_etchant_l(double steel_g, double working_share);

G_END_DECLS

#endif
