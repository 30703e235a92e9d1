/* Finds where to cut a plate so that paper lies flat on it. Cuts are planned by tension
 * (find_cuts_plan.c); whether the paper really lies flat is then seen by laying it flat, which
 * also shows how much tension it bears on each piece, and the plan is mended where a piece
 * failed and pared where paper bears more than was thought. */
#include "develop/find_cuts.h"
#include "develop/pattern_parts.h"

/* What is aimed at, as a share of the limit: held seams cost a little. */
#define AIM_SHARE 0.95
/* How often paper is laid flat to see, in all, and after a plan was found good. */
#define MOST_TRIALS 10
#define MORE_TRIALS 2
/* After so many failures a plan is only cut further, never made anew. */
#define LEARNING_TRIALS 4
/* Paper that still fails where none was foreseen: the aim is lowered by this, not
 * beyond LEAST_AIM, which is as good as flat. */
#define AIM_STEP  0.85
#define LEAST_AIM 1e-4
/* Paper may bear so many times the tension that it is thought to at first. */
#define DOUBT 2.0
/* What a new plan must be worth. */
#define LEAST_SAVING_MM 5.0
/* Darts of a plan that may have to be carried on right across. */
#define MOST_MENDINGS 24

TapulCutOptions tapul_cut_options_defaults(void) {
    return (TapulCutOptions){.stretch_limit = 0.01};
}

typedef struct {
    TapulTension *tension;
    const TapulCutOptions *options;
    TapulPattern *pattern; /* the best that was found so far */
    TapulCutPlan *plan;    /* its cuts */
} Search;

/* --- Overlaps --- */

/* The dart of a piece that is nearest to a vertex of it: its cut, -1 if there is none. */
static int dart_near(const TapulPattern *pattern, int number, int vertex) {
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)number);
    const TapulVec3 *position_mm = piece->mesh->position_mm;
    double nearest_mm = INFINITY;
    int cut = -1;
    for (guint s = 0; s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        for (int i = 0; seam->piece[0] == number && seam->closed_end && i < 2 * seam->n; i++) {
            int v = seam->vertex[i / seam->n][i % seam->n];
            double distance_mm = tapul_vec3_distance(position_mm[v], position_mm[vertex]);
            if (distance_mm >= nearest_mm)
                continue;
            nearest_mm = distance_mm;
            cut = seam->cut;
        }
    }
    return cut;
}

/* Carries the dart on whose paper would lie over itself. FALSE: there is none. */
static gboolean mend_overlap(const TapulPattern *pattern, TapulCutPlan *plan) {
    for (guint i = 0; i < pattern->pieces->len; i++) {
        int vertex, cut;
        if (!tapul_piece_overlaps(g_ptr_array_index(pattern->pieces, i), &vertex))
            continue;
        cut = dart_near(pattern, (int)i, vertex);
        if (cut < 0)
            continue;
        tapul_cut_plan_lengthen(plan, (guint)cut);
        return TRUE;
    }
    return FALSE;
}

/* The plate taken apart along a plan's cuts, darts carried on until no paper overlaps. */
static TapulPattern *take_apart(const Search *search, TapulCutPlan *plan) {
    for (int i = 0;; i++) {
        g_autoptr(GArray) lines = tapul_cut_plan_lines(plan);
        g_autoptr(TapulPattern) pattern = tapul_pattern_take_apart(
            search->tension->base->mesh, (const TapulCutLine *)(const void *)lines->data,
            (int)lines->len, NULL);
        if (!pattern || i == MOST_MENDINGS || !mend_overlap(pattern, plan))
            return g_steal_pointer(&pattern);
    }
}

/* --- Planning --- */

/* The cheapest of several plans, from one that takes what helps most to one that looks at cost
 * more, with and without a cut down the middle. */
static TapulCutPlan *first_plan(const Search *search) {
    static const double thrifts[] = {0.5, 1};
    TapulCutPlan *best = NULL;
    for (int medial = 0; medial <= search->tension->symmetric; medial++)
        for (guint i = 0; i < G_N_ELEMENTS(thrifts); i++) {
            g_autoptr(TapulCutPlan) plan = tapul_cut_plan_new(search->tension, search->options);
            plan->aim = AIM_SHARE * search->options->stretch_limit;
            plan->thrift = thrifts[i];
            if (medial)
                tapul_cut_plan_add_medial(plan);
            if (!tapul_cut_plan_extend(plan))
                continue;
            tapul_cut_plan_better(plan);
            tapul_cut_plan_pare(plan);
            if (best && tapul_cut_plan_cost_mm(plan) >= tapul_cut_plan_cost_mm(best))
                continue;
            tapul_cut_plan_free(best);
            best = g_steal_pointer(&plan);
        }
    return best;
}

/* No cut, where it is not certain that one is needed; else NULL. */
static TapulCutPlan *uncut_plan(const Search *search) {
    double limit = search->options->stretch_limit;
    if (tapul_tension_look(search->tension, NULL, 0, limit).most > DOUBT * limit)
        return NULL;
    TapulCutPlan *plan = tapul_cut_plan_new(search->tension, search->options);
    plan->aim = AIM_SHARE * limit;
    return plan;
}

/* --- Trials --- */

/* The stretch of each piece, -1 where it cannot be laid flat; the largest is returned. */
static double strains_of(const TapulPattern *pattern, double *strain) {
    double most = 0;
    for (guint i = 0; i < pattern->pieces->len; i++) {
        const TapulPiece *piece = g_ptr_array_index(pattern->pieces, i);
        strain[i] = piece->development ? tapul_development_strain(piece->development) : -1;
        most = fmax(most, strain[i]);
    }
    return most;
}

/* Lays a plan's pieces flat, joins them if none is stretched beyond the limit, and learns from
 * what they have become. *good: none is still. */
static TapulPattern *try_plan(const Search *search, TapulCutPlan *plan, gboolean *good) {
    double limit = search->options->stretch_limit;
    g_autoptr(TapulPattern) pattern = take_apart(search, plan);
    *good = FALSE;
    if (!pattern)
        return NULL;
    g_autofree double *strain = g_new(double, pattern->pieces->len);
    gboolean flat = tapul_pattern_lay_apart(pattern, NULL);
    if (strains_of(pattern, strain) <= limit && flat) {
        *good = tapul_pattern_join(pattern, NULL) && pattern->stretch <= limit;
        strains_of(pattern, strain);
    }
    tapul_tension_look(search->tension, (const TapulFlatCut *)(const void *)plan->cuts->data,
                       (int)plan->cuts->len, plan->aim);
    tapul_tension_learn(search->tension, pattern, strain, limit);
    return g_steal_pointer(&pattern);
}

static void keep(Search *search, TapulPattern *pattern_taken, const TapulCutPlan *plan) {
    tapul_pattern_free(search->pattern);
    tapul_cut_plan_free(search->plan);
    search->pattern = pattern_taken;
    search->plan = tapul_cut_plan_copy(plan);
}

/* The cheaper of two plans, either of which may be NULL; takes both. */
static TapulCutPlan *cheaper(TapulCutPlan *one, TapulCutPlan *other) {
    if (one && other && tapul_cut_plan_cost_mm(other) >= tapul_cut_plan_cost_mm(one)) {
        tapul_cut_plan_free(other);
        return one;
    }
    if (other)
        tapul_cut_plan_free(one);
    return other ? other : one;
}

/* The plan to try after a good one: what may be left away or shortened now that it is known how
 * much the paper bears, or another that is cheaper still; NULL: nothing. */
static TapulCutPlan *cheaper_plan(const Search *search) {
    double most_mm = tapul_cut_plan_cost_mm(search->plan) - LEAST_SAVING_MM;
    if (most_mm < 0)
        return NULL;
    TapulCutPlan *pared = tapul_cut_plan_copy(search->plan);
    tapul_cut_plan_pare(pared);
    TapulCutPlan *next = cheaper(pared, first_plan(search));
    if (tapul_cut_plan_cost_mm(next) < most_mm)
        return next;
    tapul_cut_plan_free(next);
    return NULL;
}

/* A failed plan cut further where it failed; NULL: no cut helps. */
static TapulCutPlan *further_plan(const TapulCutPlan *plan) {
    g_autoptr(TapulCutPlan) further = tapul_cut_plan_copy(plan);
    guint before = plan->cuts->len;
    for (; further->aim > LEAST_AIM; further->aim *= AIM_STEP) {
        if (!tapul_cut_plan_extend(further))
            return NULL;
        if (further->cuts->len > before)
            return g_steal_pointer(&further);
    }
    return NULL;
}

/* The plan to try after others: one anew as long as much can be learnt. */
static TapulCutPlan *next_plan(const Search *search, const TapulCutPlan *tried, int trial) {
    if (search->plan)
        return cheaper_plan(search);
    return cheaper(further_plan(tried), trial < LEARNING_TRIALS ? first_plan(search) : NULL);
}

static void search_plans(Search *search, GError **error) {
    TapulCutPlan *plan = uncut_plan(search);
    if (!plan)
        plan = first_plan(search);
    for (int i = 0, left = MOST_TRIALS; i < MOST_TRIALS && left > 0 && plan; i++, left--) {
        gboolean good;
        if (search->options->progress)
            search->options->progress((double)i / MOST_TRIALS, "finding cuts",
                                      search->options->progress_data);
        TapulPattern *pattern = try_plan(search, plan, &good);
        g_autoptr(TapulCutPlan) tried = plan;
        if (good)
            keep(search, g_steal_pointer(&pattern), tried);
        if (search->pattern)
            left = MIN(left, MORE_TRIALS + 1);
        plan = pattern || search->plan ? next_plan(search, tried, i) : NULL;
        tapul_pattern_free(pattern);
    }
    tapul_cut_plan_free(plan);
    if (!search->pattern)
        g_set_error(error, TAPUL_PATTERN_ERROR, TAPUL_PATTERN_ERROR_STRETCH,
                    "no cuts were found that keep the paper's stretch within %.2f %%; give "
                    "cuts, or permit more",
                    100 * search->options->stretch_limit);
}

TapulPattern *tapul_pattern_find(const TapulDevelopment *base,
                                 const TapulDevelopmentFinder *finder,
                                 const TapulCutOptions *options, GArray **cuts,
                                 GError **error) {
    g_autoptr(TapulTension) tension = tapul_tension_new(base, finder);
    Search search = {tension, options, NULL, NULL};
    search_plans(&search, error);
    if (search.pattern && cuts)
        *cuts = tapul_cut_plan_lines(search.plan);
    tapul_cut_plan_free(search.plan);
    return search.pattern;
}
