/* Ink as samples of known direction, and how far any place is from the nearest of them: what a
 * found design is to those who compare a print with it. */
#ifndef EVIDENCE_INK_MAP_H
#define EVIDENCE_INK_MAP_H

#include <tapul/ink.h>

G_BEGIN_DECLS

/* Lines are sampled this finely: between two samples a bend of 2 mm radius is off its chord by
 * 0.016 mm. */
#define TAPUL_INK_STEP_MM 0.5
/* Distances are known on a grid of this width, between its nodes by linear interpolation. */
#define TAPUL_INK_PIXEL_MM 0.25
/* Distances above this, 8 mm, are not told apart: the widest tolerance asked for is 5 mm. */
#define TAPUL_INK_REACH_PX 32
#define TAPUL_INK_REACH_MM (TAPUL_INK_REACH_PX * TAPUL_INK_PIXEL_MM)
/* Directions are told apart in bins of 30 degrees; ink counts in each bin whose middle is
 * within 30 degrees of its own direction, that is in two. */
#define TAPUL_INK_BINS 6

/* A short straight bit of a line, or of a filled area's outline. */
typedef struct {
    TapulVec2 at_mm;  /* its middle */
    double angle_rad; /* of its direction, in [0, pi) */
    double run_mm;    /* its length */
    double weight_mm; /* the ink it stands for: of a filled area's outline half its length */
    int motif;        /* -1 none */
} TapulInkSample;

/* The points of a polyline along the ink, TAPUL_INK_STEP_MM or less apart. */
typedef struct {
    TapulVec2 at_mm;
    gboolean starts; /* no line leads here from the one before */
    gboolean fill;
    int motif;
} TapulInkNode;

/* GArray of TapulInkNode: of strokes and of the outlines of filled areas, light marks that
 * cover ink left out. */
GArray *tapul_ink_nodes(const TapulInk *ink);
/* GArray of TapulInkSample: the bits between nodes; a node of NANs breaks the line. */
GArray *tapul_ink_samples(const GArray *nodes);

typedef struct {
    GArray *samples;     /* of TapulInkSample */
    double length_mm;    /* of their weights */
    TapulBox box_mm;     /* of them */
    TapulVec2 origin_mm; /* the first pixel's centre, a whole number of pixels from (0, 0) */
    int width_px, height_px, stride;
    guint16 *squared_px2[TAPUL_INK_BINS + 1]; /* [stride * (height_px + 2)] distances to ink of
                                                 a bin; the last, to any ink */
} TapulInkMap;

/* Of ink in the developed frame, as TapulCase.found is. */
TapulInkMap *tapul_ink_map_new(const TapulInk *ink);
/* Of samples, which it takes over; none are allowed. */
TapulInkMap *tapul_ink_map_new_take(GArray *samples);
void tapul_ink_map_free(TapulInkMap *map);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulInkMap, tapul_ink_map_free)

/* The direction of a line as an angle in [0, pi). */
double tapul_ink_folded(double angle_rad);
/* The bin of a direction. */
int tapul_ink_bin(double angle_rad);

/* How far it is from a place to the nearest ink of a bin (TAPUL_INK_BINS: of any direction); at
 * most TAPUL_INK_REACH_MM. A sample is known to half a pixel either way. */
double tapul_ink_map_distance_mm(const TapulInkMap *map, TapulVec2 at_mm, int bin);

G_END_DECLS

#endif
