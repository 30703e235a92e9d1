/* Sittings of all three geometries, for figures that compare them over many draws of pairs. */
#include "evidence/sittings.h"

TapulSittings tapul_sittings_about(const TapulPairSet *pairs, TapulSpot pressing) {
    TapulSittings made;
    for (int g = 0; g < TAPUL_GEOMETRIES; g++) {
        made.plane[g] = tapul_plane(pairs->ground, (TapulLayingRule)g, pressing);
        made.sitting[g] = tapul_sitting_in(pairs, &made.plane[g]);
    }
    return made;
}

TapulSittings tapul_sittings_about_middle(const TapulPairSet *pairs) {
    const TapulDevelopment *development = pairs->ground->development;
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, pairs->n);
    TapulVec2 middle = {0, 0};
    int nearest = 0;
    for (int k = 0; k < pairs->n; k++) {
        flat_mm[k] = tapul_development_point_mm(development, pairs->spot[k]);
        middle = tapul_vec2_add(middle, tapul_vec2_scale(flat_mm[k], 1.0 / pairs->n));
    }
    for (int k = 1; k < pairs->n; k++)
        if (tapul_vec2_distance(flat_mm[k], middle) <
            tapul_vec2_distance(flat_mm[nearest], middle))
            nearest = k;
    return tapul_sittings_about(pairs, pairs->spot[nearest]);
}

void tapul_sittings_clear(TapulSittings *sittings) {
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        g_clear_pointer(&sittings->sitting[g], tapul_sitting_free);
}

double tapul_sittings_rss_mm2(const TapulSittings *sittings, TapulLayingRule geometry,
                              gboolean reversed, int m, const int *from, const int *to) {
    TapulPlaneFit fit;
    const TapulSitting *sitting = sittings->sitting[geometry];
    if (!sitting ||
        !tapul_plane_fit(sitting, TAPUL_FREEDOM_SCALED, reversed, m, from, to, 0, &fit))
        return INFINITY;
    return fit.rss_mm2;
}

double tapul_sittings_least_rss_mm2(const TapulSittings *sittings, int m, const int *from,
                                    const int *to) {
    double least = INFINITY;
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        for (int reversed = 0; reversed < 2; reversed++)
            least = fmin(least, tapul_sittings_rss_mm2(sittings, (TapulLayingRule)g, reversed,
                                                       m, from, to));
    return least;
}

const TapulHypothesis *tapul_scaled_row(const GPtrArray *hypotheses, TapulLayingRule geometry) {
    const TapulHypothesis *best = NULL;
    for (guint i = 0; i < hypotheses->len; i++) {
        const TapulHypothesis *row = g_ptr_array_index(hypotheses, i);
        if (row->geometry == geometry && row->freedom == TAPUL_FREEDOM_SCALED &&
            !row->pressing_free && isfinite(row->aicc) && (!best || row->aicc < best->aicc))
            best = row;
    }
    return best;
}
