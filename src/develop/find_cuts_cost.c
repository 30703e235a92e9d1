/* A plan of cuts: what it costs, and its lines on the plate. */
#include "develop/find_cuts.h"

/* Every cut is work beside its length, and so is a piece more. */
#define COST_OF_A_CUT_MM   60.0
#define COST_OF_A_PIECE_MM 60.0
/* Through a motif's face a cut costs this many times more. */
#define COST_OF_A_FACE 3.0
/* Along a cut points are taken this far apart. */
#define POINT_SPACING_MM 6.0

TapulCutPlan *tapul_cut_plan_new(TapulTension *tension, const TapulCutOptions *options) {
    TapulCutPlan *plan = g_new0(TapulCutPlan, 1);
    plan->tension = tension;
    plan->options = options;
    plan->aim = options->stretch_limit;
    plan->thrift = 1;
    plan->most_cost_mm = INFINITY;
    plan->cuts = g_array_new(FALSE, FALSE, sizeof(TapulFlatCut));
    plan->darts = g_array_new(FALSE, FALSE, sizeof(gboolean));
    return plan;
}

void tapul_cut_plan_free(TapulCutPlan *plan) {
    if (!plan)
        return;
    g_array_unref(plan->cuts);
    g_array_unref(plan->darts);
    g_free(plan);
}

TapulCutPlan *tapul_cut_plan_copy(const TapulCutPlan *plan) {
    TapulCutPlan *copy = g_memdup2(plan, sizeof *plan);
    copy->cuts = g_array_copy(plan->cuts);
    copy->darts = g_array_copy(plan->darts);
    return copy;
}

/* --- Cost --- */

double tapul_cut_cost_mm(const TapulCutPlan *plan, TapulFlatCut cut, gboolean dart) {
    double length_mm = tapul_vec2_distance(cut.from, cut.to), sum = 0;
    int n = (int)ceil(length_mm / POINT_SPACING_MM), seen = 0;
    for (int i = 0; plan->options->costs && i <= n; i++) {
        TapulSpot spot;
        TapulVec2 at = tapul_vec2_mix(cut.from, cut.to, (double)i / MAX(n, 1));
        if (!tapul_development_finder_spot(plan->tension->finder, at, &spot))
            continue;
        sum += plan->options->costs(spot, plan->options->costs_data);
        seen++;
    }
    double face = seen > 0 ? sum / seen : 0;
    return COST_OF_A_CUT_MM + (dart ? 0 : COST_OF_A_PIECE_MM) +
           length_mm * (1 + (COST_OF_A_FACE - 1) * face);
}

double tapul_cut_plan_cost_mm(const TapulCutPlan *plan) {
    double sum = 0;
    for (guint i = 0; i < plan->cuts->len; i++)
        sum += tapul_cut_cost_mm(plan, g_array_index(plan->cuts, TapulFlatCut, i),
                                 g_array_index(plan->darts, gboolean, i));
    return sum;
}

/* --- Lines --- */

static TapulCutLine line_of(const TapulCutPlan *plan, TapulFlatCut cut) {
    GArray *spots = g_array_new(FALSE, FALSE, sizeof(TapulSpot));
    int n = MAX(1, (int)ceil(tapul_vec2_distance(cut.from, cut.to) / POINT_SPACING_MM));
    for (int i = 0; i <= n; i++) {
        TapulSpot spot;
        if (tapul_development_finder_spot(
                plan->tension->finder, tapul_vec2_mix(cut.from, cut.to, (double)i / n), &spot))
            g_array_append_val(spots, spot);
    }
    int length = (int)spots->len;
    return (TapulCutLine){length, (TapulSpot *)(void *)g_array_free(spots, FALSE)};
}

GArray *tapul_cut_plan_lines(const TapulCutPlan *plan) {
    GArray *lines = tapul_cut_lines_new();
    for (guint i = 0; i < plan->cuts->len; i++) {
        TapulCutLine line = line_of(plan, g_array_index(plan->cuts, TapulFlatCut, i));
        g_array_append_val(lines, line);
    }
    return lines;
}
