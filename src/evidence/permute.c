/* Permutation of the pairs' names, whole or within the halves of a symmetric print. */
#include "evidence/permute.h"
#include "evidence/classes.h"
#include "evidence/sittings.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <string.h>

/* Sums of squares closer than this, of 1, are the same fit summed in another order. */
#define SAME_SUM 1e-9

/* Which places of the labelling may be exchanged: `classes` runs of members. */
typedef struct {
    int classes;
    int start[4]; /* [classes + 1] into member */
    int *member;  /* [n] */
} Halves;

static void add_class(Halves *halves, int n, const TapulMirrorClass *mirror_class,
                      TapulMirrorClass wanted) {
    int at = halves->start[halves->classes];
    for (int k = 0; k < n; k++)
        if (mirror_class[k] == wanted)
            halves->member[at++] = k;
    if (at > halves->start[halves->classes]) /* an empty one cannot be shuffled */
        halves->start[++halves->classes] = at;
}

/* One class of all where the print is not symmetric. */
static Halves split(const TapulPairSet *pairs) {
    Halves halves = {.member = g_new(int, pairs->n)};
    g_autofree TapulMirrorClass *mirror_class = g_new0(TapulMirrorClass, pairs->n);
    double axis_x_mm;
    gboolean symmetric = tapul_mirror_classes(pairs->n, pairs->print_mm, pairs->pick_sd_mm,
                                              &axis_x_mm, mirror_class);
    for (int c = 0; c <= (symmetric ? TAPUL_MIRROR_RIGHT : TAPUL_MIRROR_LEFT); c++)
        add_class(&halves, pairs->n, mirror_class, (TapulMirrorClass)c);
    return halves;
}

/* A labelling drawn from those permitted; `shuffled` is room for n. */
static void relabel(const Halves *halves, gsl_rng *random, int *shuffled, int *to) {
    int n = halves->start[halves->classes];
    memcpy(shuffled, halves->member, (gsize)n * sizeof(int));
    for (int c = 0; c < halves->classes; c++)
        gsl_ran_shuffle(random, shuffled + halves->start[c],
                        (gsize)(halves->start[c + 1] - halves->start[c]), sizeof(int));
    for (int i = 0; i < n; i++)
        to[halves->member[i]] = shuffled[i];
}

TapulChance tapul_chance_of_relabelling(const TapulPairSet *pairs, int draws, guint64 seed) {
    g_auto(TapulSittings) sittings = tapul_sittings_about_middle(pairs);
    g_autofree int *shuffled = g_new(int, pairs->n), *to = g_new(int, pairs->n);
    Halves halves = split(pairs);
    double as_found = tapul_sittings_least_rss_mm2(&sittings, pairs->n, NULL, NULL);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    int as_good = 0;
    for (int i = 0; i < draws; i++) {
        relabel(&halves, random, shuffled, to);
        as_good += tapul_sittings_least_rss_mm2(&sittings, pairs->n, NULL, to) <=
                   as_found * (1 + SAME_SUM);
    }
    gsl_rng_free(random);
    g_free(halves.member);
    return (TapulChance){halves.classes > 1 ? "relabelled pairs within mirror classes"
                                            : "relabelled pairs",
                         draws, seed, (as_good + 1.0) / (draws + 1.0)};
}
