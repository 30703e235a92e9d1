/* Laying: a print placed on a plate by a rule, with scale, turn, and direct or reversed.
 *
 * A print point p becomes q = scale * turn(mirror(p - print_anchor)) in the sheet's own tangent plane, x to the
 * viewer's right and y up the plate; the rule takes q to the plate. The mirror of a reversed laying is x -> -x,
 * before the turn. Turns are counter-clockwise seen from outside. */
#ifndef TAPUL_LAYING_H
#define TAPUL_LAYING_H

#include <tapul/development.h>
#include <tapul/ink.h>
#include <tapul/plate.h>

G_BEGIN_DECLS

#define TAPUL_LAYING_ERROR (tapul_laying_error_quark())
GQuark tapul_laying_error_quark(void);

typedef enum {
    TAPUL_LAYING_ERROR_VALUE,     /* impossible scale, too few pairs, pairs on one line */
    TAPUL_LAYING_ERROR_OFF_PLATE  /* the anchor is not on the plate, or no ink reaches it */
} TapulLayingError;

typedef enum {
    TAPUL_LAYING_ROLLED,    /* geodesic polar map about the anchor */
    TAPUL_LAYING_DEVELOPED, /* rigid in the development, then carried back */
    TAPUL_LAYING_VIEWED,    /* projected along the viewing direction (orthographic, from the front) */
    TAPUL_LAYING_PINNED,    /* thin-plate spline through pairs in the developed frame */
    TAPUL_LAYING_BORDERED,  /* a repeat run along a line at a true geodesic offset, whole repeats fitted */
    TAPUL_LAYING_FILLED     /* stretched over a field, frame to outline, one-to-one */
} TapulLayingRule;

const char *tapul_laying_rule_name(TapulLayingRule rule);
gboolean tapul_laying_rule_from_name(const char *name, TapulLayingRule *rule);

/* A border's x runs along its line and its y to the left, away from the edge; so a laid border's top is towards
 * the middle of the plate. A print point's x may run over into further repeats: x = k * repeat_mm + x0. */
typedef struct {
    double width_mm;  /* of the print: the period of the repeat unless repeat_mm gives another */
    double height_mm; /* of the print: half of it lies on each side of the run */
    double repeat_mm; /* > 0, in the print; 0: the print's width */
    /* How far to the left of the line the middle of the border runs, over the metal. NAN: along the edge half
     * the laid border's height and 3 mm, along a line 0. Along the edge from 1 to 500, else from -500 to 500. */
    double offset_mm;
    int n_points;            /* 0: along the plate's edge, the metal on the left; else at least 2 */
    const TapulSpot *points; /* [n_points] of the line, joined straight in the development */
    gboolean smooth;         /* joined by a smooth curve instead */
    gboolean has_from, has_to; /* along the edge: from alone says where the whole loop's first repeat starts */
    TapulSpot from, to;      /* the run goes from the edge nearest to `from` to the edge nearest to `to` */
} TapulBorderOptions;

typedef struct {
    int field;              /* of the plate */
    int n_frame;            /* at least 4: the part of the print that fills the field, counter-clockwise */
    const TapulVec2 *frame_mm; /* [n_frame]; of 4 the first is the lower left; of more, the four nearest to the
                                  corners of their box are the corners */
    gboolean has_corners;
    /* Where the frame's corners go: lower left, lower right, upper right, upper left, snapped to the field's
     * outline; without them the outline's points nearest to the corners of its box in the development. */
    TapulSpot corners[4];
} TapulFillOptions;

typedef struct {
    TapulLayingRule rule;
    TapulSpot anchor;          /* rolled, developed, viewed */
    TapulVec2 print_anchor_mm; /* rolled, developed, viewed */
    double scale;              /* > 0; not of pinned, filled */
    double turn_rad;           /* rolled, developed, viewed */
    gboolean reversed;         /* bordered, filled: mirrored left to right within its repeat, its frame */
    int n_pins;                      /* pinned: at least 3, not on one line */
    const TapulVec2 *pin_print_mm;   /* [n_pins] */
    const TapulVec2 *pin_developed_mm; /* [n_pins] */
    double pick_sd_mm;               /* pinned: 0 passes through the pins; else the spline is smoothed until the
                                        residual is what picking explains */
    TapulBorderOptions border;       /* bordered */
    TapulFillOptions fill;           /* filled */
} TapulLayingOptions;

/* A plate with its development: what layings stand on. All borrowed. */
typedef struct {
    const TapulPlate *plate;
    const TapulDevelopment *development;
    const TapulDevelopmentFinder *finder;
} TapulGround;

typedef struct TapulLaying TapulLaying;

TapulLaying *tapul_laying_new(const TapulGround *ground, const TapulLayingOptions *options, GError **error);
void tapul_laying_free(TapulLaying *laying);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLaying, tapul_laying_free)

/* How the print lies as a whole. Of a pinned laying: the similarity nearest to its pairs, to the development. */
void tapul_laying_placement(const TapulLaying *laying, double *scale, double *turn_rad, gboolean *reversed);

/* Print point -> plate. FALSE where the rule leaves the plate. Safe from several threads. */
gboolean tapul_laying_spot(const TapulLaying *laying, TapulVec2 print_mm, TapulSpot *spot);
/* Print point -> development; FALSE where the rule leaves the plate. */
gboolean tapul_laying_developed(const TapulLaying *laying, TapulVec2 print_mm, TapulVec2 *developed_mm);
/* Plate -> print point: the inverse, to 0.005 mm; FALSE where there is none. Of a border: within its own strip only,
 * and x counts from the first repeat over all of them, so that x modulo repeat_mm is the point of the print. */
gboolean tapul_laying_print(const TapulLaying *laying, TapulSpot spot, TapulVec2 *print_mm);

/* Principal stretches of the map print -> metal at a print point (scale included), and whether it folds
 * (is turned over against what `reversed` asks). FALSE off the plate. */
gboolean tapul_laying_stretch(const TapulLaying *laying, TapulVec2 print_mm, double *s1, double *s2,
                              gboolean *folded);

/* What became of a border's run; of several runs (the ends of a tube) their sums and the stretch furthest from 1. */
typedef struct {
    int repeats;         /* whole; 1 for the other rules */
    double run_mm;       /* length of the border's middle line, over the metal */
    double along;        /* by how much the repeat was stretched along the line, scale left out: 1 none */
    double off_edge_mm;  /* of run_mm, where corners were rounded off because the border does not turn so tight */
} TapulLayingRun;

TapulLayingRun tapul_laying_run(const TapulLaying *laying);

/* --- Ink laid --- */

typedef struct {
    GPtrArray *marks;       /* of TapulMark*, developed frame; mark->motif indexes the source ink's motifs */
    int repeats;            /* how often the ink was laid: a border's repeats, else 1; all figures count all */
    double ink_length_mm;   /* of the print's strokes, in the print */
    double laid_length_mm;  /* of the same on the metal */
    double stretch_min, stretch_max; /* principal stretches print -> metal met along the ink */
    double folded_mm;       /* print mm of stroke length where the rule folds */
    double beyond_edge_mm;  /* print mm of stroke length that leaves the plate */
    int beyond_edge_fills;  /* filled areas cut by the edge or wholly beyond it */
    int folded_fills;       /* filled areas that the rule folds somewhere */
} TapulLaidInk;

typedef struct {
    double tolerance_mm; /* 0.02: how far a laid curve may be from the exact map */
    void (*progress)(double fraction, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulLayInkOptions;

TapulLayInkOptions tapul_lay_ink_options_defaults(void);

/* Lays all ink. Error OFF_PLATE if no mark reaches the plate. Uses OpenMP over marks; the result does not depend
 * on the number of threads. */
TapulLaidInk *tapul_lay_ink(const TapulLaying *laying, const TapulInk *ink, const TapulLayInkOptions *options,
                            GError **error);
void tapul_laid_ink_free(TapulLaidInk *laid);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLaidInk, tapul_laid_ink_free)

/* --- A scan laid as a picture --- */

/* In the developed frame: pixel_mm a pixel, rows from the top. */
typedef struct {
    TapulBox box_mm;
    double pixel_mm;
    int width_px, height_px;
    guint8 *rgba;             /* [height_px][width_px][4], not premultiplied, clear where nothing is laid */
    gboolean ink_only;        /* black, its alpha the ink's darkness */
} TapulLaidPicture;

typedef struct {
    double pixel_mm;          /* 0: the scan's own resolution on the metal, at most 60 megapixels */
    gboolean ink_only;        /* the paper is made clear: alpha is the darkness against the paper's tone */
    void (*progress)(double fraction, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulLayPictureOptions;

TapulLayPictureOptions tapul_lay_picture_options_defaults(void);

/* Lays a scan's pixels within its plate mark, warped by the laying, sampled with a cubic kernel. Errors: those of
 * reading the picture; OFF_PLATE. */
TapulLaidPicture *tapul_lay_picture(const TapulLaying *laying, const TapulInk *scanned,
                                    const TapulLayPictureOptions *options, GError **error);
void tapul_laid_picture_free(TapulLaidPicture *picture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLaidPicture, tapul_laid_picture_free)

/* --- Curves through a map --- */

/* A map of the plane; FALSE where it is not defined. */
typedef gboolean (*TapulPlaneMap)(TapulVec2 from, TapulVec2 *to, gpointer data);

/* Carries a path through a map: each piece is cut in halves until the cubic through its mapped ends with its
 * mapped tangents stays within tolerance_mm of the mapped curve. Where the map is not defined the path is cut,
 * the cut found to tolerance_mm; with areas TRUE, subpaths stay closed (over the gap by a straight line). Where
 * the map jumps by more than 3 mm it is cut as well.
 * lost_mm, unless NULL, is increased by the length of source path that was cut away. */
TapulPath *tapul_path_warp(const TapulPath *path, TapulPlaneMap map, gpointer data, double tolerance_mm,
                           gboolean areas, double *lost_mm);

G_END_DECLS

#endif
