/* Pairs that cannot be weighed, told before anything is fitted: too few, one given twice, all
 * on one line, which would tell no hand. */
#include "evidence/pair_faults.h"

#include <math.h>

/* Points nearer than this cannot be told apart by hand. */
#define TWIN_MM 0.01
/* Of pairs that are taken as exact: nothing thinner than this is measured on a plate. */
#define LEAST_SPREAD_MM 0.01

static const TapulPair *pair_at(const TapulCase *question, int i) {
    return g_ptr_array_index(question->pairs, (guint)i);
}

static char *label_of(const TapulCase *question, const int *pair, int k) {
    const char *name = pair_at(question, pair[k])->name;
    return name && *name ? g_strdup_printf("'%s'", name) : g_strdup_printf("number %d", k + 1);
}

/* Two pairs that share a point of the print, or one of the plate: one of them is a slip, or
 * they are one pair that would count twice. */
static char *twins(const TapulCase *question, int n, const int *pair) {
    for (int i = 0; i < n; i++)
        for (int k = 0; k < i; k++) {
            const TapulPair *a = pair_at(question, pair[i]), *b = pair_at(question, pair[k]);
            gboolean print = tapul_vec2_distance(a->print_mm, b->print_mm) < TWIN_MM;
            gboolean plate = tapul_vec2_distance(a->developed_mm, b->developed_mm) < TWIN_MM;
            if (!print && !plate)
                continue;
            g_autofree char *one = label_of(question, pair, k);
            g_autofree char *other = label_of(question, pair, i);
            return print
                       ? g_strdup_printf("the pairs %s and %s have the same %s, %.2f, %.2f mm; "
                                         "leave one out",
                                         one, other,
                                         plate ? "print and plate points" : "print point",
                                         a->print_mm.x, a->print_mm.y)
                       : g_strdup_printf("the pairs %s and %s have the same plate point for "
                                         "two of the print; leave one out",
                                         one, other);
        }
    return NULL;
}

/* The root mean square distance of points from the line nearest to them: the square root of the
 * lesser eigenvalue of their scatter. */
static double spread_off_line_mm(int n, const TapulVec2 *point_mm) {
    TapulVec2 mean = {0, 0};
    for (int i = 0; i < n; i++)
        mean = tapul_vec2_add(mean, tapul_vec2_scale(point_mm[i], 1.0 / n));
    double xx = 0, xy = 0, yy = 0;
    for (int i = 0; i < n; i++) {
        TapulVec2 d = tapul_vec2_sub(point_mm[i], mean);
        xx += d.x * d.x / n;
        xy += d.x * d.y / n;
        yy += d.y * d.y / n;
    }
    return sqrt(fmax((xx + yy) / 2 - hypot((xx - yy) / 2, xy), 0));
}

/* Points as far off their line as they are picked wrong lie on it. */
static char *on_a_line(const TapulCase *question, int n, const int *pair) {
    double least_mm = fmax(question->pick_sd_mm, LEAST_SPREAD_MM);
    g_autofree TapulVec2 *point_mm = g_new(TapulVec2, (gsize)n);
    for (int plate = 0; plate < 2; plate++) {
        for (int k = 0; k < n; k++)
            point_mm[k] = plate ? pair_at(question, pair[k])->developed_mm
                                : pair_at(question, pair[k])->print_mm;
        double spread_mm = spread_off_line_mm(n, point_mm);
        if (spread_mm <= least_mm)
            return g_strdup_printf("its %d pairs lie on one line on the %s, to %.2f mm where "
                                   "more than %.2f mm is needed: they tell no hand; add pairs "
                                   "well off that line",
                                   n, plate ? "plate" : "print", spread_mm, least_mm);
    }
    return NULL;
}

char *tapul_pair_faults(const TapulCase *question, int print, int n, const int *pair) {
    const TapulPrint *of = g_ptr_array_index(question->prints, (guint)print);
    g_autofree char *why =
        n < TAPUL_FEWEST_PAIRS
            ? g_strdup_printf("%d pair%s where at least %d, not on one line, "
                              "are needed",
                              n, n == 1 ? "" : "s", TAPUL_FEWEST_PAIRS)
            : twins(question, n, pair);
    if (!why)
        why = on_a_line(question, n, pair);
    return why ? g_strdup_printf("print '%s': %s", of->id, why) : NULL;
}
