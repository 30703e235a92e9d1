/* Flip-free descent on the stretch energy: projected Newton steps whose factor is kept while it
 * serves, corrected meanwhile by what the gradients show (limited-memory BFGS). Used by
 * least_stretch and evened. Shtengel et al., ACM TOG 36(4), 2017 (projected Newton); Smith &
 * Schaefer, ACM TOG 34(4), 2015 (line search); Nocedal, Math. of Computation 35, 1980. */
#include "develop/descent.h"

#include <string.h>

/* Pairs of steps and gradient changes that correct a kept factor. */
#define MEMORY 8
/* A factorisation costs about as much as this many steps with a kept factor (measured on plates
 * of 10,000 and 100,000 triangles); a new one pays when more are foreseen. */
#define FACTOR_COST_STEPS 6
/* A step cut below this shows that the energy bends otherwise than the kept factor says. */
#define CUT_STEP 0.5
/* Share of the way to the first loss of a triangle's area that a step may take. */
#define FLAT_STEP_SHARE 0.9
/* Armijo's share of the foreseen drop. */
#define SUFFICIENT_DROP 1e-4
/* Rounding of an energy summed over the mesh, as a share of it. */
#define ENERGY_ROUNDING 1e-14
/* No step shorter than this is tried. */
#define SHORTEST_STEP 1e-9
/* Held edges are this much stiffer than the stretch energy: they keep their lengths to about
 * the reciprocal. */
#define HELD_STIFFNESS 1e4
/* Added to the curvature's diagonal, as a share of its mean: fixes place and turn, which the
 * energy leaves free, and is too small to slow the descent. */
#define FREE_MOTION_SHARE 1e-9
/* Where rounding makes the curvature indefinite, up to this much is added. */
#define MAX_SHIFT_SHARE 1e-2

struct TapulDescent {
    TapulStretchEnergy *energy;
    TapulSparse *curvature;
    TapulBlockPlace (*place)[3];
    TapulFactor *factor;
    gsize n; /* unknowns: two a vertex */
    double *step[MEMORY], *change[MEMORY], product[MEMORY];
    int n_pairs, newest;
    int steps, factorisations;
    /* Since the last factorisation: */
    int kept_steps;
    double first_gain, last_length;
};

TapulDescent *tapul_descent_new(const TapulRest *rest, const TapulEdges *edges,
                                const int *order) {
    TapulDescent *descent = g_new0(TapulDescent, 1);
    descent->energy = tapul_stretch_energy_new(rest);
    descent->curvature = tapul_stretch_energy_pattern(edges);
    descent->place = tapul_stretch_energy_places(rest, descent->curvature);
    descent->n = 2 * (gsize)edges->n_vertices;
    g_autofree int *both = g_new(int, descent->n);
    for (int i = 0; i < edges->n_vertices; i++) {
        both[2 * i] = 2 * order[i];
        both[2 * i + 1] = 2 * order[i] + 1;
    }
    descent->factor = tapul_factor_new(descent->curvature, both);
    for (int i = 0; i < MEMORY; i++) {
        descent->step[i] = g_new(double, descent->n);
        descent->change[i] = g_new(double, descent->n);
    }
    return descent;
}

void tapul_descent_free(TapulDescent *descent) {
    if (!descent)
        return;
    tapul_stretch_energy_free(descent->energy);
    tapul_sparse_free(descent->curvature);
    g_free(descent->place);
    tapul_factor_free(descent->factor);
    for (int i = 0; i < MEMORY; i++) {
        g_free(descent->step[i]);
        g_free(descent->change[i]);
    }
    g_free(descent);
}

void tapul_descent_hold(TapulDescent *descent, int n_held, const TapulHeldEdge *held) {
    descent->energy->n_held = n_held;
    descent->energy->held = held;
}

void tapul_descent_counts(const TapulDescent *descent, int *steps, int *factorisations) {
    *steps = descent->steps;
    *factorisations = descent->factorisations;
}

static double dot(gsize n, const double *a, const double *b) {
    double sum = 0;
    for (gsize i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* y += k x */
static void add_scaled(gsize n, double k, const double *x, double *y) {
    for (gsize i = 0; i < n; i++)
        y[i] += k * x[i];
}

/* Factorises the curvature at flat_mm and forgets what corrected the last factor. */
static gboolean refactorise(TapulDescent *descent, const TapulVec2 *flat_mm) {
    TapulSparse *curvature = descent->curvature;
    tapul_stretch_energy_curvature(descent->energy, flat_mm,
                                   (const TapulBlockPlace(*)[3])descent->place, curvature);
    double mean = 0, added = 0;
    for (gsize i = 0; i < descent->n; i++)
        mean += curvature->value[curvature->column_start[i]] / (double)descent->n;
    descent->n_pairs = descent->kept_steps = 0;
    for (double share = FREE_MOTION_SHARE; share <= MAX_SHIFT_SHARE; share *= 10) {
        for (gsize i = 0; i < descent->n; i++)
            curvature->value[curvature->column_start[i]] += share * mean - added;
        added = share * mean;
        descent->factorisations++;
        if (tapul_factor_update(descent->factor, curvature))
            return TRUE;
    }
    return FALSE;
}

/* direction = -(corrected factor)^-1 gradient: Nocedal's two loops about a solve. */
static void find_direction(TapulDescent *descent, const double *gradient, double *direction) {
    gsize n = descent->n;
    double along[MEMORY];
    for (gsize i = 0; i < n; i++)
        direction[i] = -gradient[i];
    for (int i = 0; i < descent->n_pairs; i++) {
        int m = (descent->newest - i + MEMORY) % MEMORY;
        along[m] = dot(n, descent->step[m], direction) / descent->product[m];
        add_scaled(n, -along[m], descent->change[m], direction);
    }
    tapul_factor_solve(descent->factor, 1, direction, direction);
    for (int i = descent->n_pairs - 1; i >= 0; i--) {
        int m = (descent->newest - i + MEMORY) % MEMORY;
        double back = dot(n, descent->change[m], direction) / descent->product[m];
        add_scaled(n, along[m] - back, descent->step[m], direction);
    }
}

/* Keeps a step and the change of gradient over it, where they show a positive curvature. */
static void remember(TapulDescent *descent, double length, const double *direction,
                     const double *before, const double *after) {
    int slot = (descent->newest + 1) % MEMORY;
    double *step = descent->step[slot], *change = descent->change[slot];
    for (gsize i = 0; i < descent->n; i++) {
        step[i] = length * direction[i];
        change[i] = after[i] - before[i];
    }
    descent->product[slot] = dot(descent->n, step, change);
    if (!(descent->product[slot] > 0))
        return;
    descent->newest = slot;
    descent->n_pairs = MIN(descent->n_pairs + 1, MEMORY);
}

/* TRUE if a new factor is foreseen to end the descent sooner than the kept one: the gains of
 * the steps so far tell the rate. */
static gboolean new_factor_pays(const TapulDescent *descent, double gain, double wanted_gain) {
    if (descent->kept_steps == 0)
        return FALSE;
    if (descent->last_length < CUT_STEP || gain >= descent->first_gain)
        return TRUE;
    double rate = log(descent->first_gain / gain) / descent->kept_steps;
    return log(gain / wanted_gain) > rate * FACTOR_COST_STEPS;
}

/* Goes along direction as far as the energy falls. Returns the length of the step, 0 if none
 * lowers the energy; then trial_mm, *value and gradient_after are those of its end. */
static double search_line(TapulDescent *descent, const TapulVec2 *flat_mm,
                          const double *direction, double slope, double *value,
                          TapulVec2 *trial_mm, double *gradient_after) {
    double flat_step =
        tapul_rest_flat_step(descent->energy->rest, flat_mm, (const TapulVec2 *)direction);
    double length = fmin(1, FLAT_STEP_SHARE * flat_step);
    while (length > SHORTEST_STEP) {
        for (gsize v = 0; v < descent->n / 2; v++)
            trial_mm[v] = tapul_vec2(flat_mm[v].x + length * direction[2 * v],
                                     flat_mm[v].y + length * direction[2 * v + 1]);
        double there =
            tapul_stretch_energy_value(descent->energy, trial_mm, (TapulVec2 *)gradient_after);
        if (there <= *value * (1 + ENERGY_ROUNDING) + SUFFICIENT_DROP * length * slope) {
            *value = there;
            return length;
        }
        /* The parabola through value, slope and the failed trial has its least here. */
        double least = -0.5 * slope * length * length / (there - *value - slope * length);
        length = fmin(0.5 * length, fmax(0.1 * length, isfinite(there) ? least : 0));
    }
    return 0;
}

typedef struct {
    double value;
    TapulVec2 *trial_mm;
    double *gradient, *gradient_after, *direction;
} DescentState;

/* One step of the descent; TRUE when it has ended, and how. */
static gboolean descend(TapulDescent *descent, const TapulDescentGoal *goal, TapulVec2 *flat_mm,
                        DescentState *state, TapulDescentEnd *end) {
    double wanted_gain = goal->tolerance * state->value;
    find_direction(descent, state->gradient, state->direction);
    double slope = dot(descent->n, state->gradient, state->direction), gain = -0.5 * slope;
    if (gain <= wanted_gain) {
        *end = TAPUL_DESCENT_CONVERGED;
        return TRUE;
    }
    if (descent->kept_steps == 0)
        descent->first_gain = gain;
    gboolean renew = !isfinite(gain) || new_factor_pays(descent, gain, wanted_gain);
    double length = 0;
    if (!renew)
        length = search_line(descent, flat_mm, state->direction, slope, &state->value,
                             state->trial_mm, state->gradient_after);
    if (length == 0) {
        *end = TAPUL_DESCENT_FAILED;
        return descent->kept_steps == 0 || !refactorise(descent, flat_mm);
    }
    remember(descent, length, state->direction, state->gradient, state->gradient_after);
    memcpy(flat_mm, state->trial_mm, sizeof *flat_mm * descent->n / 2);
    memcpy(state->gradient, state->gradient_after, sizeof(double) * descent->n);
    descent->last_length = length;
    descent->kept_steps++;
    descent->steps++;
    return FALSE;
}

TapulDescentEnd tapul_descent_run(TapulDescent *descent, const TapulDescentGoal *goal,
                                  TapulVec2 *flat_mm) {
    g_autofree TapulVec2 *trial_mm = g_new(TapulVec2, descent->n / 2);
    g_autofree double *gradient = g_new(double, descent->n);
    g_autofree double *gradient_after = g_new(double, descent->n);
    g_autofree double *direction = g_new(double, descent->n);
    DescentState state = {0, trial_mm, gradient, gradient_after, direction};
    descent->energy->doublings = goal->doublings;
    descent->energy->unit = goal->unit;
    /* The pull of all stretch on an edge is at most the power times the energy. */
    descent->energy->stiffness = 0;
    state.value = tapul_stretch_energy_value(descent->energy, flat_mm, NULL);
    descent->energy->stiffness = HELD_STIFFNESS * (double)(1 << goal->doublings) * state.value;
    state.value = tapul_stretch_energy_value(descent->energy, flat_mm, (TapulVec2 *)gradient);
    if (!isfinite(state.value) || !refactorise(descent, flat_mm))
        return TAPUL_DESCENT_FAILED;
    int last = descent->steps + goal->max_steps;
    while (descent->steps < last) {
        TapulDescentEnd end;
        if (descend(descent, goal, flat_mm, &state, &end))
            return end;
    }
    return TAPUL_DESCENT_STOPPED;
}
