/* From chains of skeleton pixels to strokes: which parts are lines, where their middles run,
 * how wide they are. */
#ifndef TAPUL_INK_LINES_FOLLOW_H
#define TAPUL_INK_LINES_FOLLOW_H

#include "ink/lines_cross.h"
#include "ink/lines_profile.h"

G_BEGIN_DECLS

/* What strokes are made from. The picture's px are what all lengths here are in; a pixel of the
 * map is map_px of them: 1, or 0.5 where the picture was doubled for it. */
typedef struct {
    const TapulLineGraph *graph;
    const TapulLineChains *chains;
    const TapulGreyImage *image;
    TapulTones tones;
    double map_px, widest_px; /* wider ink is an area */
} TapulLineWork;

/* One stroke of one width, round caps. */
typedef struct {
    TapulPath *path; /* px */
    double width_px;
} TapulLineStroke;

/* A stretch of a chain that is a line. */
typedef struct {
    int chain;
    int from, to;                    /* points of the chain, the end not in it */
    gboolean begins_free, ends_free; /* nothing joins there */
    gboolean closed;
} TapulLineRun;

/* One point of a chain: a skeleton pixel's centre. */
typedef struct {
    TapulVec2 at_px;
    double radius_px;
    int place;
    gboolean clouded; /* where lines run together */
    gboolean bridged; /* clouded, and straight on over a slanting crossing */
    gboolean area;
} TapulChainPoint;

/* The points of a chain, in order. */
GArray *tapul_chain_points(const TapulLineWork *work, int chain);

/* Sets area on what is too wide for a line or too short for its width, and appends what is left
 * to runs. */
void tapul_chain_runs(const TapulLineWork *work, int chain, GArray *points, GArray *runs);

/* Measures a run and appends its strokes (TapulLineStroke): more than one where its width
 * changes. */
void tapul_chain_strokes(const TapulLineWork *work, const TapulLineRun *run,
                         const GArray *points, GArray *strokes);

G_END_DECLS

#endif
