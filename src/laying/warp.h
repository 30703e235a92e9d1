/* Curves through a map, piece by piece: what laid ink is made from. */
#ifndef LAYING_WARP_H
#define LAYING_WARP_H

#include <tapul/laying.h>

G_BEGIN_DECLS

/* A place on a path: where it comes from, where it goes, and the map's derivatives there. */
typedef struct {
    TapulVec2 from, to;
    TapulVec2 by_x, by_y;
    double s1, s2; /* principal stretches on the metal; 0 where the map knows no metal */
    double metal_xx, metal_xy, metal_yy; /* the same as a metric */
    gboolean folded;
} TapulWarpNode;

typedef struct {
    TapulPlaneMap point;
    gboolean (*node)(TapulVec2 from, TapulWarpNode *node, gpointer data);
    gpointer data;
    double tolerance_mm;
    /* Along a piece a stroke's width and length factors change by no more than this factor; 0:
     * any. */
    double even_within;
} TapulWarpMap;

/* A map that gives points only, as one with derivatives: by differences. Of the metal's stretch
 * it knows nothing. */
typedef struct {
    TapulPlaneMap map;
    gpointer data;
    double step_mm; /* set by tapul_warp_plain */
} TapulPlainMap;

/* Its warp map, to the tolerance; borrows plain. */
TapulWarpMap tapul_warp_plain(TapulPlainMap *plain, double tolerance_mm);

/* A piece of a path and its image, a cubic. */
typedef struct {
    TapulVec2 p[4];
    TapulWarpNode start, end;
    TapulVec2 start_direction, end_direction; /* unit, of the source; zero for a dot */
    double source_mm;                         /* length of the source */
    double source_before_mm; /* length of its subpath before it, gaps counted */
    gboolean straight;       /* p[1] and p[2] may be left out */
    gboolean follows;        /* begins where the piece before it ended */
    gboolean closes; /* the last of a subpath that the source closed, with its end kept */
    guint subpath;
} TapulWarpPiece;

/* All pieces of a path that the map defines, in order: GArray of TapulWarpPiece. Adds to
 * *lost_mm the length of the rest. */
GArray *tapul_warp_pieces(const TapulPath *path, const TapulWarpMap *map, double *lost_mm);

/* Strings pieces together as a path; with areas, every subpath is closed, over gaps by straight
 * lines. */
TapulPath *tapul_warp_path(const GArray *pieces, gboolean areas);

/* By how much a stroke's width in a direction grows, in the target plane: the strip beside the
 * curve, measured square to the curve. */
double tapul_warp_width_factor(const TapulWarpNode *node, TapulVec2 direction);
/* By how much length along a direction grows, in the target plane. */
double tapul_warp_length_factor(const TapulWarpNode *node, TapulVec2 direction);

G_END_DECLS

#endif
