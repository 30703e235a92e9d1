/* Permutation of the pairs' names, whole or within the halves of a symmetric print. */
#include "evidence/permute.h"
#include "evidence/classes.h"
#include "evidence/sittings.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

/* Sums of squares closer than this, of 1, are the same fit summed in another order. */
#define SAME_SUM 1e-9

/* What may be exchanged: runs of couples of mirror images, each couple moving as one, and of
 * single points of one class. A convention that put like things on both sides of one design put
 * them so on every other. */
typedef struct {
    int runs;
    int start[5];         /* [runs + 1] into the two below */
    int *member;          /* [n] */
    int *right_of_couple; /* [n] the member's mirror image; -1: it stands alone */
    gboolean symmetric;
} Exchange;

static void exchange_clear(Exchange *exchange) {
    g_free(exchange->member);
    g_free(exchange->right_of_couple);
}

static void end_run(Exchange *exchange, int at) {
    if (at > exchange->start[exchange->runs]) /* an empty one cannot be shuffled */
        exchange->start[++exchange->runs] = at;
}

static void add_class(Exchange *exchange, int n, const TapulMirrorClass *mirror_class,
                      const int *partner, TapulMirrorClass wanted) {
    int at = exchange->start[exchange->runs];
    for (int k = 0; k < n; k++)
        if (mirror_class[k] == wanted && partner[k] < 0) {
            exchange->right_of_couple[at] = -1;
            exchange->member[at++] = k;
        }
    end_run(exchange, at);
}

static void add_couples(Exchange *exchange, int n, const TapulMirrorClass *mirror_class,
                        const int *partner) {
    int at = exchange->start[exchange->runs];
    for (int k = 0; k < n; k++)
        if (mirror_class[k] == TAPUL_MIRROR_LEFT && partner[k] >= 0) {
            exchange->right_of_couple[at] = partner[k];
            exchange->member[at++] = k;
        }
    end_run(exchange, at);
}

/* One run of all where the print is not symmetric. */
static Exchange exchange_of(const TapulPairSet *pairs) {
    int n = pairs->n;
    Exchange exchange = {.member = g_new(int, n), .right_of_couple = g_new(int, n)};
    g_autofree TapulMirrorClass *mirror_class = g_new0(TapulMirrorClass, n);
    g_autofree int *partner = g_new(int, n);
    double axis_x_mm;
    for (int k = 0; k < n; k++)
        partner[k] = -1;
    exchange.symmetric = tapul_mirror_classes(n, pairs->print_mm, pairs->pick_sd_mm, &axis_x_mm,
                                              mirror_class, partner);
    add_couples(&exchange, n, mirror_class, partner);
    for (int c = TAPUL_MIRROR_LEFT; c <= TAPUL_MIRROR_RIGHT; c++)
        add_class(&exchange, n, mirror_class, partner, (TapulMirrorClass)c);
    return exchange;
}

/* A labelling drawn from those permitted; `shuffled` is room for n. */
static void relabel(const Exchange *exchange, gsl_rng *random, int *shuffled, int *to) {
    int n = exchange->start[exchange->runs];
    for (int i = 0; i < n; i++)
        shuffled[i] = i;
    for (int run = 0; run < exchange->runs; run++)
        gsl_ran_shuffle(random, shuffled + exchange->start[run],
                        (gsize)(exchange->start[run + 1] - exchange->start[run]), sizeof(int));
    for (int i = 0; i < n; i++) {
        to[exchange->member[i]] = exchange->member[shuffled[i]];
        if (exchange->right_of_couple[i] >= 0)
            to[exchange->right_of_couple[i]] = exchange->right_of_couple[shuffled[i]];
    }
}

TapulChance tapul_chance_of_relabelling(const TapulPairSet *pairs, int draws, guint64 seed) {
    g_auto(TapulSittings) sittings = tapul_sittings_about_middle(pairs);
    g_autofree int *shuffled = g_new(int, pairs->n), *to = g_new(int, pairs->n);
    Exchange exchange = exchange_of(pairs);
    double as_found = tapul_sittings_least_rss_mm2(&sittings, pairs->n, NULL, NULL);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    int as_good = 0;
    for (int i = 0; i < draws; i++) {
        relabel(&exchange, random, shuffled, to);
        as_good += tapul_sittings_least_rss_mm2(&sittings, pairs->n, NULL, to) <=
                   as_found * (1 + SAME_SUM);
    }
    gsl_rng_free(random);
    exchange_clear(&exchange);
    return (TapulChance){exchange.symmetric ? "relabelled pairs within mirror classes"
                                            : "relabelled pairs",
                         draws, seed, (as_good + 1.0) / (draws + 1.0)};
}
