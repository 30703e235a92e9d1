/* Patterns: a plate taken apart along cuts until each piece of paper lies flat on it. */
#ifndef TAPUL_PATTERN_H
#define TAPUL_PATTERN_H

#include <tapul/development.h>
#include <tapul/plate.h>

G_BEGIN_DECLS

#define TAPUL_PATTERN_ERROR (tapul_pattern_error_quark())
GQuark tapul_pattern_error_quark(void);

typedef enum {
    TAPUL_PATTERN_ERROR_CUT,    /* a cut leaves the metal, or crosses itself */
    TAPUL_PATTERN_ERROR_PIECE,  /* a piece cannot be laid flat: the message says which and why */
    TAPUL_PATTERN_ERROR_STRETCH /* no cuts were found that keep the stretch within the limit */
} TapulPatternError;

/* A piece of paper. */
typedef struct {
    TapulMesh *mesh;               /* its part of the plate: the same surface, triangles divided along the cuts */
    TapulSpot *plate_spot;         /* [n_triangles][3] flattened, 3 t + k: corner k of triangle t in the plate's mesh */
    TapulDevelopment *development; /* evened, upright as the plate is; its middle at the origin */
    TapulDevelopmentFinder *finder;
} TapulPiece;

/* Where two edges of paper come together on the metal: vertex[side][i] of the pieces' meshes are the same
 * place. */
typedef struct {
    int cut;            /* which line made it */
    int piece[2];       /* left and right of the cut as it runs; may be the same piece: a dart */
    int n;
    int *vertex[2];     /* [n] */
    gboolean closed_end; /* the last (of a dart: the tip) is one and the same vertex of the piece */
} TapulSeam;

typedef struct {
    GPtrArray *pieces;  /* of TapulPiece*, from upper left to lower right as the plate is seen */
    GPtrArray *seams;   /* of TapulSeam* */
    double stretch;     /* the largest of max(s1, 1/s2) - 1 over all pieces */
} TapulPattern;

/* Takes a plate's mesh apart along cuts and lays each piece flat (evened). All borrowed for the time of the call.
 * Errors: CUT, PIECE (not a disc, overlaps). */
TapulPattern *tapul_pattern_new(const TapulMesh *mesh, const TapulCutLine *cut, int n_cuts, GError **error);
void tapul_pattern_free(TapulPattern *pattern);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPattern, tapul_pattern_free)

typedef struct {
    double stretch_limit;  /* of max(s1, 1/s2) - 1; 0.01: what paper takes before it buckles (common practice, no
                              source); 0.002 to 0.2 */
    /* What it costs to cut through a place of the plate, 0 (plain) to 1 (a motif's face); NULL: all alike. */
    double (*costs)(TapulSpot spot, gpointer data);
    gpointer costs_data;
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulCutOptions;

TapulCutOptions tapul_cut_options_defaults(void);

/* Places cuts so that no piece asks more stretch than the limit: few, short, off what is costly, symmetric where
 * the plate is; and takes the plate apart along them. base is the plate's development as a whole, the medial line
 * upright at x = 0. cuts, unless NULL, receives the lines found, a GArray of TapulCutLine (empty: the plate lies
 * flat as it is); free with g_array_unref. Errors: STRETCH, and those of tapul_pattern_new. */
TapulPattern *tapul_pattern_find(const TapulDevelopment *base, const TapulDevelopmentFinder *finder,
                                 const TapulCutOptions *options, GArray **cuts, GError **error);
/* An empty GArray of TapulCutLine, which owns their points. */
GArray *tapul_cut_lines_new(void);

G_END_DECLS

#endif
