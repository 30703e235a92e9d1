/* The first of a rolled fit: the anchor is moved to where the fit in its chart puts the
 * pressing point, until it stays. */
#include "evidence/rolled_fit.h"

/* The pressing point stays when the fit moves it less than this. */
#define STAYS_MM 1e-4
/* Each move is some (distance / radius)^2 of the one before it, on a plate a tenth at most; the
 * fit over the metal goes on from wherever it has come to. */
#define MOST_MOVES 6

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

/* The scaled fit in the chart about an anchor. */
static gboolean fit_about(const TapulPairSet *pairs, gboolean reversed, TapulSpot anchor,
                          TapulRolledFit *made) {
    made->plane = tapul_plane(pairs->ground, TAPUL_LAYING_ROLLED, anchor);
    made->sitting = tapul_sitting_in(pairs, &made->plane);
    return tapul_plane_fit(made->sitting, TAPUL_FREEDOM_SCALED, reversed, pairs->n, NULL, NULL,
                           pairs->pick_sd_mm, &made->fit);
}

/* The best of the fits about the guesses: others lead to the same anchor or to a worse one. */
static gboolean best_guess(const TapulPairSet *pairs, gboolean reversed, TapulRolledFit *best) {
    TapulSpot guess[3];
    int n = 0;
    n += guess_anchor(pairs, TAPUL_LAYING_DEVELOPED, reversed, &guess[n]);
    n += guess_anchor(pairs, TAPUL_LAYING_VIEWED, reversed, &guess[n]);
    guess[n++] = nearest_pair(pairs);
    *best = (TapulRolledFit){.fit.rss_mm2 = INFINITY};
    for (int i = 0; i < n; i++) {
        TapulRolledFit made = {0}, spare;
        if (fit_about(pairs, reversed, guess[i], &made) &&
            made.fit.rss_mm2 < best->fit.rss_mm2) {
            spare = *best;
            *best = made;
            made = spare;
        }
        tapul_rolled_fit_clear(&made);
    }
    return isfinite(best->fit.rss_mm2);
}

gboolean tapul_rolled_start(const TapulPairSet *pairs, gboolean reversed,
                            TapulRolledFit *start) {
    if (!best_guess(pairs, reversed, start))
        return FALSE;
    for (int move = 0; move < MOST_MOVES; move++) {
        TapulVec2 pressing = tapul_plane_fit_point(&start->fit, pairs->pressing_mm);
        TapulSpot anchor;
        if (tapul_vec2_length(pressing) < STAYS_MM)
            break;
        gboolean on = tapul_plane_spot(&start->plane, pressing, &anchor);
        tapul_rolled_fit_clear(start);
        if (!on || !fit_about(pairs, reversed, anchor, start)) {
            tapul_rolled_fit_clear(start);
            return FALSE;
        }
    }
    return TRUE;
}
