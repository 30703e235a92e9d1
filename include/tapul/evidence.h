/* Evidence: what pairs, ink and motifs say about whether a print was the source of a design on a plate.
 *
 * Pairs. A geometry lays the print's plane on the metal: viewed (by the front's x and y), developed (by the
 * development) or rolled (by geodesic polar coordinates about the pressing point). A freedom says how the print
 * may be placed in that plane: traced (turn and shift, 3 parameters), scaled (similarity, 4), stretched (affine, 6), bent
 * (thin-plate spline as smooth as AICc likes it best, its effective degrees of freedom). With the hand, direct or
 * reversed, that makes a hypothesis. Every residual is measured in the same place: mm over the metal between where
 * the hypothesis puts the point and where it was found.
 *
 * Score. 2n residual components, normal with variance s2 = max(RSS / 2n, pick_sd^2); K counts the parameters and the
 * variance: AICc = 2n ln(2 pi s2) + RSS / s2 + 2K + 2K(K+1) / (2n - K - 1) (Burnham & Anderson 2002, 7.6); weight =
 * exp(-d/2) over their sum, d against the least AICc. The floor keeps a freer hypothesis from being paid for
 * fitting less than what picking explains. */
#ifndef TAPUL_EVIDENCE_H
#define TAPUL_EVIDENCE_H

#include <tapul/case.h>

G_BEGIN_DECLS

#define TAPUL_EVIDENCE_ERROR (tapul_evidence_error_quark())
GQuark tapul_evidence_error_quark(void);

typedef enum {
    TAPUL_EVIDENCE_ERROR_PAIRS, /* fewer than four, alike, on one line: no verdict can be given */
    TAPUL_EVIDENCE_ERROR_POOL   /* a pool that cannot be used */
} TapulEvidenceError;

typedef enum {
    TAPUL_FREEDOM_TRACED,
    TAPUL_FREEDOM_SCALED,
    TAPUL_FREEDOM_STRETCHED,
    TAPUL_FREEDOM_BENT
} TapulFreedom;

const char *tapul_freedom_name(TapulFreedom freedom);

typedef struct {
    double low, high;
} TapulInterval;

/* A print as placed by a hypothesis; lays any of its points. */
typedef struct TapulPlacement TapulPlacement;

typedef struct {
    TapulLayingRule geometry;   /* viewed, developed, rolled */
    TapulFreedom freedom;
    gboolean reversed;
    gboolean pressing_free;     /* rolled: the pressing point is estimated too (two more parameters); else it is
                                   the middle of the plate mark */
    double parameters;          /* without the variance */
    double rms_mm;              /* sqrt(RSS / n) */
    double loo_mm;              /* the same of residuals against the fit without the pair */
    double aicc;                /* INFINITY: too few pairs for so many parameters */
    double weight;
    double scale, turn_rad;     /* of the similarity nearest to it, of the plane */
    double stretch_1, stretch_2; /* its principal stretches in the plane, at the pairs' middle */
    int n_off;                  /* pairs that it puts beyond the plate (measured by the metric where found) */
    double *residual_mm;        /* [n] */
    double *loo_residual_mm;    /* [n] */
    TapulVec2 *put_developed_mm; /* [n] where it puts each; developed frame */
    TapulPlacement *placement;  /* owned; of the case, which must outlive it */
} TapulHypothesis;

/* FALSE off the plate. Safe from several threads. */
gboolean tapul_placement_spot(const TapulPlacement *placement, TapulVec2 print_mm, TapulSpot *spot);
gboolean tapul_placement_developed(const TapulPlacement *placement, TapulVec2 print_mm, TapulVec2 *developed_mm);

typedef struct {
    const char *ratio;          /* "1/2", "1/1", ... */
    double value;
    gboolean inside;            /* the scale's interval */
} TapulRatio;

typedef struct {
    gboolean can_tell;          /* false: the field is too flat for the picking error */
    double value;               /* 1 - (misfit over the metal) / (misfit as seen), mean squares of the best scaled
                                   fits of either; may be negative */
    TapulInterval ci95;
    double net;                 /* the same with what picking leaves taken out of both misfits, at most 1: how much of
                                   the alteration the contours explain; NAN where the misfit as seen is no more
                                   than twice what picking leaves */
    TapulLayingRule metal;      /* rolled or developed, the better of the two */
    double told_apart;          /* of 1: how often the two would be told apart rightly here (parametric bootstrap) */
} TapulContourShare;

typedef struct {
    const char *test;           /* "relabelled pairs", "relabelled pairs within mirror classes", "random placement of ink" */
    int draws;
    guint64 seed;
    double p;                   /* (b + 1) / (m + 1), Phipson & Smyth 2010 */
} TapulChance;

typedef struct {
    double tolerance_mm;
    double print_share, plate_share;         /* of print ink found on the plate; of plate ink explained by the print */
    TapulInterval chance_print, chance_plate; /* 95 % band of random placements */
} TapulMatchPoint;

typedef enum {
    TAPUL_MOTIF_KEPT,
    TAPUL_MOTIF_MOVED,
    TAPUL_MOTIF_TURNED,
    TAPUL_MOTIF_RESIZED,
    TAPUL_MOTIF_REVERSED,       /* on its own, against the print as a whole */
    TAPUL_MOTIF_LEFT_OUT,
    TAPUL_MOTIF_UNDECIDED       /* too little ink, or no better than chance and no worse */
} TapulMotifFate;

typedef struct {
    int motif;                  /* of the print's ink */
    TapulMotifFate fate;
    double share;               /* of its ink found within 1 mm, at its own best place */
    double share_in_place;      /* where the whole print puts it */
    TapulVec2 moved_mm;         /* developed frame */
    double turned_rad, resized;
    TapulBox box_mm;            /* where it was found; developed frame */
} TapulMotifFinding;

/* Plate ink that no print explains. */
typedef struct {
    TapulBox box_mm;            /* developed frame */
    double length_mm;
} TapulAdded;

typedef struct {
    gboolean has;               /* a pool was given */
    double value;               /* similarity-score likelihood ratio, within its limit */
    double limit;               /* it may not go beyond this or below 1 / this, for the pool's size */
    int pool;                   /* prints in it */
    double misleading_share;    /* of leave-one-out ratios that pointed the wrong way above 10 */
    double score;
    const char *words;          /* verbal band, ENFSI 2015 */
} TapulLikelihoodRatio;

/* What is found of one print. */
typedef struct {
    int print;                  /* of the case */
    int n_pairs;
    int *pair;                  /* [n_pairs] indices into the case's pairs */
    GPtrArray *hypotheses;      /* of TapulHypothesis*, by AICc, but first the preferred one: among those within 2
                                   of the least AICc the one of fewest parameters */
    GArray *equal;              /* of int: hypotheses that cannot be told apart (AICc within 2 of the least) */
    TapulPlacement *placement;  /* of the first, borrowed from it */
    double scale;               /* of the scaled fit in the first one's geometry and hand, as a tracing is judged by:
                                   of developed over the metal about the pairs, for the development's own stretch
                                   there says nothing of the print; of viewed and rolled in the plane */
    TapulInterval scale_ci95, turn_ci95_rad; /* of the same, BCa bootstrap; they span those of all geometries that
                                   cannot be told from the first one's */
    int bootstraps;
    guint64 seed;
    TapulRatio ratios[7];       /* 1/2 2/3 3/4 1/1 4/3 3/2 2/1 */
    TapulContourShare contour_share;
    GArray *chance;             /* of TapulChance */
    int suspect;                /* the pair whose removal changes the preferred geometry or hand, or whose two names
                                   look swapped: index into pair[], -1 none */
    char *suspect_why;
    GArray *match;              /* of TapulMatchPoint; empty without a found design */
    GArray *motifs;             /* of TapulMotifFinding */
    TapulLikelihoodRatio likelihood_ratio;
    char *verdict;              /* one careful paragraph */
} TapulPrintEvidence;

typedef struct {
    GPtrArray *prints;          /* of TapulPrintEvidence*: the case's prints that have pairs */
    GArray *added;              /* of TapulAdded; empty without a found design */
} TapulEvidence;

typedef struct {
    int permutations;           /* 10000 */
    int bootstraps;             /* 2000 */
    guint64 seed;               /* 1 */
    const char *pool;           /* a folder of unrelated prints, or NULL */
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulWeighOptions;

TapulWeighOptions tapul_weigh_options_defaults(void);

TapulEvidence *tapul_weigh(const TapulCase *question, const TapulWeighOptions *options, GError **error);
void tapul_evidence_free(TapulEvidence *evidence);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulEvidence, tapul_evidence_free)

/* ENFSI guideline for evaluative reporting (2015): "weak support", ... for a ratio, or its reciprocal. */
const char *tapul_likelihood_words(double ratio);

G_END_DECLS

#endif
