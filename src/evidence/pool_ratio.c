/* Scores of a pool, and the likelihood ratio they make. Each print of the pool plays both
 * parts: it is no source of the design found, and it is the source of its own tracing, which is
 * made to look as worn as that design. */
#include "evidence/ink_match.h"
#include "evidence/likelihood.h"
#include "evidence/placement.h"
#include "evidence/pool.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

/* Lines are worn away, and misjudged in tracing, in stretches of about this length: longer than
 * the gaps of hatching, shorter than a contour (common practice, no source). */
#define STRETCH_MM 10.0
/* The scale is looked for within this of the placement's. */
#define SCALE_SEARCH 1.25

/* Lays the nodes of one print's lines; each stretch is kept with a chance of `kept`, and moved
 * as a whole by an error of tracing. */
static void lay_nodes(const TapulInk *ink, const TapulInk *print,
                      const TapulPlacement *placement, double kept, double pick_sd_mm,
                      gsl_rng *random, GArray *laid) {
    g_autoptr(GArray) nodes = tapul_ink_nodes(ink);
    TapulVec2 move = {(print->width_mm - ink->width_mm) / 2,
                      (print->height_mm - ink->height_mm) / 2};
    const int stretch = (int)(STRETCH_MM / TAPUL_INK_STEP_MM);
    TapulVec2 error = {0, 0};
    gboolean shown = FALSE;
    for (int i = 0, run = 0; i < (int)nodes->len; i++, run++) {
        TapulInkNode node = g_array_index(nodes, TapulInkNode, i);
        if (node.starts || run == stretch) {
            run = 0;
            node.starts = TRUE;
            shown = gsl_rng_uniform(random) < kept;
            error.x = gsl_ran_gaussian(random, pick_sd_mm);
            error.y = gsl_ran_gaussian(random, pick_sd_mm);
        }
        TapulVec2 at_mm;
        if (!shown)
            continue;
        if (tapul_placement_developed(placement, tapul_vec2_add(node.at_mm, move), &at_mm))
            node.at_mm = tapul_vec2_add(at_mm, error);
        else
            node.at_mm = tapul_vec2(NAN, NAN);
        g_array_append_val(laid, node);
    }
}

TapulInkMap *tapul_pool_tracing(const TapulInk *ink, const TapulInk *besides,
                                const TapulInk *print, const TapulPlacement *placement,
                                const TapulPoolOptions *options, guint64 seed) {
    g_autoptr(GArray) laid = g_array_new(FALSE, FALSE, sizeof(TapulInkNode));
    double kept = 1 - CLAMP(options->lost_share, 0, 1);
    double added = CLAMP(options->added_share, 0, 1);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    lay_nodes(ink, print, placement, kept, options->pick_sd_mm, random, laid);
    /* `added` of the whole is added / (1 - added) of what is kept. */
    if (added > 0)
        lay_nodes(besides, print, placement,
                  added < 1 ? fmin(kept * added / (1 - added), 1) : 1, options->pick_sd_mm,
                  random, laid);
    gsl_rng_free(random);
    return tapul_ink_map_new_take(tapul_ink_samples(laid));
}

static TapulMatchSearch search_about(const TapulPlacement *placement) {
    TapulMatchSearch search = tapul_match_search_defaults();
    double scale = tapul_vec2_length(tapul_placement_fit(placement)->by_y);
    search.scale_low = scale / SCALE_SEARCH;
    search.scale_high = scale * SCALE_SEARCH;
    search.direct = search.reversed = TRUE;
    return search;
}

/* The design turned half round about its middle: as dense, and lined in the same directions. */
static TapulInkMap *turned_map(const TapulInkMap *plate) {
    GArray *samples = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    TapulMove half = tapul_move_none(tapul_vec2_mix(plate->box_mm.min, plate->box_mm.max, 0.5));
    half.turn_rad = G_PI;
    for (guint i = 0; i < plate->samples->len; i++) {
        TapulInkSample turned =
            tapul_move_sample(&half, g_array_index(plate->samples, TapulInkSample, i));
        g_array_append_val(samples, turned);
    }
    return tapul_ink_map_new_take(samples);
}

/* The match a of a print with a design and that with the design turned, b, as a / (a + b): 0.5
 * where the lines agree no better than their mere density makes them. */
static double score_of(const TapulInk *ink, const TapulInkMap *plate, const TapulInkMap *turned,
                       const TapulMatchSearch *search) {
    double match = tapul_ink_match_search(ink, plate, search);
    double by_chance = tapul_ink_match_search(ink, turned, search);
    return match + by_chance > 0 ? match / (match + by_chance) : 0.5;
}

static double score_own_tracing(const GPtrArray *pool, guint i, const TapulInk *print,
                                const TapulPlacement *placement,
                                const TapulPoolOptions *options,
                                const TapulMatchSearch *search) {
    const TapulInk *ink = g_ptr_array_index(pool, i);
    const TapulInk *next = g_ptr_array_index(pool, (i + 1) % pool->len);
    g_autoptr(TapulInkMap) tracing =
        tapul_pool_tracing(ink, next, print, placement, options, options->seed + i);
    g_autoptr(TapulInkMap) turned = turned_map(tracing);
    return score_of(ink, tracing, turned, search);
}

TapulLikelihoodRatio tapul_pool_ratio(const GPtrArray *pool, const TapulInk *print,
                                      const TapulPlacement *placement, const TapulInkMap *plate,
                                      const TapulPoolOptions *options) {
    if (pool->len < TAPUL_FEWEST_OF_POOL)
        return (TapulLikelihoodRatio){
            .pool = (int)pool->len,
            .words = "no ratio: fewer than 10 prints in the pool say too little of what "
                     "unrelated prints score"};
    TapulMatchSearch search = search_about(placement);
    g_autoptr(TapulInkMap) turned = turned_map(plate);
    g_autofree double *same = g_new(double, pool->len), *different = g_new(double, pool->len);
    for (guint i = 0; i < pool->len; i++) {
        same[i] = score_own_tracing(pool, i, print, placement, options, &search);
        different[i] = score_of(g_ptr_array_index(pool, i), plate, turned, &search);
        if (options->progress)
            options->progress((i + 1.0) / pool->len, options->progress_data);
    }
    double score = score_of(print, plate, turned, &search);
    return tapul_likelihood_ratio(score, (int)pool->len, same, different);
}
