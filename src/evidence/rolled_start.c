/* The first of a rolled fit: the anchor is moved to where the fit in its chart puts the pressing
 * point, until it stays. */
#include "evidence/rolled_fit.h"

/* The pressing point stays when the fit moves it less than this. */
#define STAYS_MM 1e-4
/* Each move is some (distance / radius)^2 of the one before it: on a plate a tenth at most. */
#define MOST_MOVES 12

void tapul_rolled_fit_clear(TapulRolledFit *rolled) {
    tapul_sitting_free(rolled->sitting);
    rolled->sitting = NULL;
    tapul_plane_fit_clear(&rolled->fit);
}

/* Where the scaled fit in a plane that has no anchor puts the pressing point. */
static gboolean guess_anchor(const TapulPairSet *pairs, TapulLayingRule geometry,
                             gboolean reversed, TapulSpot *anchor) {
    TapulPlane plane = tapul_plane(pairs->ground, geometry, (TapulSpot){0});
    g_autoptr(TapulSitting) sitting = tapul_sitting_in(pairs, &plane);
    TapulPlaneFit fit;
    return tapul_plane_fit(sitting, TAPUL_FREEDOM_SCALED, reversed, pairs->n, NULL, NULL,
                           pairs->pick_sd_mm, &fit) &&
           tapul_plane_spot(&plane, tapul_plane_fit_point(&fit, pairs->pressing_mm), anchor);
}

static TapulSpot nearest_pair(const TapulPairSet *pairs) {
    int nearest = 0;
    for (int k = 1; k < pairs->n; k++)
        if (tapul_vec2_distance(pairs->print_mm[k], pairs->pressing_mm) <
            tapul_vec2_distance(pairs->print_mm[nearest], pairs->pressing_mm))
            nearest = k;
    return pairs->spot[nearest];
}

/* FALSE where the pressing point leaves the plate. */
static gboolean settle(const TapulPairSet *pairs, gboolean reversed, TapulSpot anchor,
                       TapulRolledFit *settled) {
    for (int move = 0; move < MOST_MOVES; move++) {
        TapulPlaneFit fit;
        settled->plane = tapul_plane(pairs->ground, TAPUL_LAYING_ROLLED, anchor);
        tapul_sitting_free(settled->sitting);
        settled->sitting = tapul_sitting_in(pairs, &settled->plane);
        if (!tapul_plane_fit(settled->sitting, TAPUL_FREEDOM_SCALED, reversed, pairs->n, NULL,
                             NULL, pairs->pick_sd_mm, &fit))
            return FALSE;
        TapulVec2 pressing = tapul_plane_fit_point(&fit, pairs->pressing_mm);
        settled->fit = fit;
        if (tapul_vec2_length(pressing) < STAYS_MM)
            return TRUE;
        if (!tapul_plane_spot(&settled->plane, pressing, &anchor))
            return FALSE;
    }
    return TRUE;
}

gboolean tapul_rolled_start(const TapulPairSet *pairs, gboolean reversed,
                            TapulRolledFit *start) {
    TapulSpot guess[3];
    int n = 0;
    n += guess_anchor(pairs, TAPUL_LAYING_DEVELOPED, reversed, &guess[n]);
    n += guess_anchor(pairs, TAPUL_LAYING_VIEWED, reversed, &guess[n]);
    guess[n++] = nearest_pair(pairs);
    *start = (TapulRolledFit){.fit.rss_mm2 = INFINITY};
    for (int i = 0; i < n; i++) {
        TapulRolledFit settled = {0};
        if (settle(pairs, reversed, guess[i], &settled) &&
            settled.fit.rss_mm2 < start->fit.rss_mm2) {
            TapulRolledFit other = *start;
            *start = settled;
            settled = other;
        }
        tapul_rolled_fit_clear(&settled);
    }
    return isfinite(start->fit.rss_mm2);
}
