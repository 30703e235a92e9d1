/* Charts: which paper shows which part of the plate. Every piece is one chart, every allowance
 * another. Internal to pounce/.
 *
 * Base stands for the development of the plate as a whole, in which the design is laid. */
#ifndef TAPUL_POUNCE_CHART_H
#define TAPUL_POUNCE_CHART_H

#include "laying/warp.h"
#include "pounce/allowance.h"

#include <tapul/case.h>

G_BEGIN_DECLS

/* An edge of a chart in base; the two sides of a dart lie on one another. */
typedef struct {
    TapulVec2 a, b;
} TapulChartEdge;

/* Triangles that know their place in base and on the paper, and map the one to the other: over
 * each triangle the map is affine. */
typedef struct {
    TapulMesh shape;                /* its corners and counts alone are set */
    TapulDevelopment base;          /* its flat_mm are places in base */
    TapulDevelopmentFinder *finder; /* base -> triangle */
    TapulVec2 *paper_mm;            /* [n_vertices] */
    GArray *edges;                  /* of TapulChartEdge */
    TapulBox box;                   /* in base */
} TapulChart;

/* All charts of a piece's paper (index into pattern->pieces): the piece itself first, then its
 * allowances. A GPtrArray of TapulChart*, owned. */
GPtrArray *tapul_charts_new(const TapulCase *question, const TapulPattern *pattern, int piece,
                            double allowance_mm);
void tapul_chart_free(TapulChart *chart);

/* Base -> paper; FALSE outside the chart. On a dart's two sides, which share their places in
 * base, either is given. Safe from several threads. */
gboolean tapul_chart_paper(const TapulChart *chart, TapulVec2 base_mm, TapulVec2 *paper_mm);

/* The same as a map that curves can be carried through. Borrows the chart. */
TapulWarpMap tapul_chart_map(const TapulChart *chart, double tolerance_mm);

G_END_DECLS

#endif
