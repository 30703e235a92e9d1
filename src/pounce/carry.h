/* The design carried to a paper: strokes and areas of base, cut at the charts' edges and joined
 * again where the charts join on paper. Internal to pounce/. */
#ifndef TAPUL_POUNCE_CARRY_H
#define TAPUL_POUNCE_CARRY_H

#include "ink/region.h"
#include "pounce/chart.h"

G_BEGIN_DECLS

/* How far a carried curve may lie from the exact image: with what laying it already took (0.02
 * mm) well within the 0.05 mm that designs at seams are held to. */
#define TAPUL_CARRY_TOLERANCE_MM 0.005

/* A part of a subpath that lies within a chart. Places along the subpath are piece and
 * parameter: 2.25 is a quarter of its third piece. */
typedef struct {
    const TapulChart *chart;
    guint subpath;
    double from, to;
    double from_mm;  /* length of the subpath before it, when asked for; else 0 */
    double pieces;   /* of the whole subpath */
    gboolean closed; /* the subpath is */
    TapulPath *path; /* in base */
} TapulChartRun;

/* Cuts a path where it meets the chart's edges. A GPtrArray of TapulChartRun* that frees them,
 * in order. */
GPtrArray *tapul_chart_cut(const TapulChart *chart, const TapulPath *path, gboolean measured);

/* The chart's edges whose boxes meet a box: of TapulChartEdge. */
GArray *tapul_chart_edges_near(const TapulChart *chart, TapulBox box);

/* Adds to marks what the charts of a paper show of a mark: TapulMark*, paper frame. */
void tapul_carry_stroke(const GPtrArray *charts, const TapulMark *mark, GPtrArray *marks);
/* FALSE if GEOS cannot tell what the mark covers, or what remains of it. */
gboolean tapul_carry_area(const GPtrArray *charts, const TapulMark *mark, GPtrArray *marks);

G_END_DECLS

#endif
