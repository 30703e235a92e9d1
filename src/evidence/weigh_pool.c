/* The likelihood ratios of a case's prints: the pool is read, and worn as each print's own
 * match shows its design to be.
 *
 * The last of the figures, before the verdict.
 */
#include "evidence/weigh_pool.h"

#include "evidence/pool.h"
#include "evidence/verdict_words.h"

typedef struct {
    const TapulWeighOptions *options;
    double done, share; /* of the work: before this print, and of this print */
} Telling;

static void tell(double fraction, gpointer data) {
    const Telling *telling = data;
    const TapulWeighOptions *options = telling->options;
    if (options->progress)
        options->progress(telling->done + fraction * telling->share, "unrelated prints",
                          options->progress_data);
}

static gboolean weigh_print(TapulPrintEvidence *found, const TapulCase *question,
                            const TapulInkMap *plate, Telling *telling, GError **error) {
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    const TapulMatchPoint *match = tapul_quoted_match(found);
    TapulPoolOptions options = {.lost_share = 1 - match->print_share,
                                .added_share = 1 - match->plate_share,
                                .pick_sd_mm = question->pick_sd_mm,
                                .seed = telling->options->seed,
                                .progress = tell,
                                .progress_data = telling};
    g_autoptr(GPtrArray) pool =
        tapul_pool_read(telling->options->pool, question, found->print, error);
    if (!pool)
        return FALSE;
    found->likelihood_ratio =
        tapul_pool_ratio(pool, print->ink, found->placement, plate, &options);
    return TRUE;
}

gboolean tapul_weigh_pool(TapulEvidence *evidence, const TapulCase *question,
                          const TapulWeighOptions *options, GError **error) {
    Telling telling = {.options = options, .share = 1.0 / evidence->prints->len};
    if (!options->pool || !question->found)
        return TRUE;
    g_autoptr(TapulInkMap) plate = tapul_ink_map_new(question->found);
    for (guint i = 0; i < evidence->prints->len; i++) {
        TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        telling.done = i * telling.share;
        if (found->match->len > 0 && !weigh_print(found, question, plate, &telling, error))
            return FALSE;
    }
    return TRUE;
}
