/* Bounded refinement of a placement by truncated match (Barrow et al. 1977): first coarsely,
 * with a wide reach, then at the reach that the figures are told for. */
#include "evidence/refine.h"

#include <gsl/gsl_multimin.h>

/* Ink further off than this does not draw a placement towards it: the bound of the shift. */
#define WIDE_REACH_MM 3.0
/* The grid of shifts has this many nodes a side; with bounds of 3 mm they are 1.5 mm apart. */
#define GRID_SIDE 5
/* The simplex ends when it is this small, in shares of the bounds: 0.03 mm of 3 mm. */
#define SIMPLEX_SIZE  0.01
#define SIMPLEX_STEPS 60
#define SIMPLEX_START 0.3
/* What leaving the bounds costs, a share of them: more than any match can gain. */
#define BOUND_COST 2.0

/* --- Moves --- */

TapulVec2 tapul_move_point(const TapulMove *move, TapulVec2 point_mm) {
    TapulVec2 p = tapul_vec2_sub(point_mm, move->centre_mm);
    p.x = move->reversed ? -p.x : p.x;
    p = tapul_vec2_scale(tapul_vec2_turn(p, move->turn_rad), move->scale);
    return tapul_vec2_add(p, tapul_vec2_add(move->centre_mm, move->shift_mm));
}

TapulVec2 tapul_move_back(const TapulMove *move, TapulVec2 point_mm) {
    TapulVec2 p = tapul_vec2_sub(point_mm, tapul_vec2_add(move->centre_mm, move->shift_mm));
    p = tapul_vec2_turn(tapul_vec2_scale(p, 1 / move->scale), -move->turn_rad);
    p.x = move->reversed ? -p.x : p.x;
    return tapul_vec2_add(p, move->centre_mm);
}

double tapul_move_angle(const TapulMove *move, double angle_rad) {
    return (move->reversed ? G_PI - angle_rad : angle_rad) + move->turn_rad;
}

double tapul_move_angle_back(const TapulMove *move, double angle_rad) {
    double turned = angle_rad - move->turn_rad;
    return move->reversed ? G_PI - turned : turned;
}

TapulInkSample tapul_move_sample(const TapulMove *move, TapulInkSample sample) {
    double angle_rad = tapul_move_angle(move, sample.angle_rad);
    sample.at_mm = tapul_move_point(move, sample.at_mm);
    sample.angle_rad = tapul_ink_folded(angle_rad);
    sample.run_mm *= move->scale;
    sample.weight_mm *= move->scale;
    return sample;
}

/* --- Thinned ink --- */

static gboolean is_of(const TapulInkSample *sample, int motif) {
    return motif == TAPUL_ALL_MOTIFS || sample->motif == motif;
}

static void measure_thinned(TapulThinned *thinned) {
    for (int i = 0; i < thinned->n; i++)
        thinned->centre_mm = tapul_vec2_add(
            thinned->centre_mm, tapul_vec2_scale(thinned->at_mm[i], 1.0 / thinned->n));
    double squares = 0;
    for (int i = 0; i < thinned->n; i++) {
        TapulVec2 apart = tapul_vec2_sub(thinned->at_mm[i], thinned->centre_mm);
        squares += tapul_vec2_dot(apart, apart) / thinned->n;
    }
    thinned->radius_mm = sqrt(squares);
}

TapulThinned *tapul_thinned_new(const GArray *samples, int motif, int n_most) {
    double all_mm = 0, passed_mm = 0;
    int n = 0;
    for (guint i = 0; i < samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(samples, TapulInkSample, i);
        if (is_of(sample, motif)) {
            all_mm += sample->weight_mm;
            n++;
        }
    }
    int wanted = MIN(n, n_most);
    TapulThinned *thinned = g_new0(TapulThinned, 1);
    thinned->at_mm = g_new(TapulVec2, (gsize)MAX(wanted, 1));
    thinned->angle_rad = g_new(double, (gsize)MAX(wanted, 1));
    thinned->length_mm = all_mm;
    /* One sample from the middle of each of as many equal lengths. */
    for (guint i = 0; i < samples->len && thinned->n < wanted; i++) {
        const TapulInkSample *sample = &g_array_index(samples, TapulInkSample, i);
        if (!is_of(sample, motif))
            continue;
        passed_mm += sample->weight_mm;
        if (passed_mm < (thinned->n + 0.5) / wanted * all_mm)
            continue;
        thinned->at_mm[thinned->n] = sample->at_mm;
        thinned->angle_rad[thinned->n++] = sample->angle_rad;
    }
    if (thinned->n > 0)
        measure_thinned(thinned);
    return thinned;
}

void tapul_thinned_free(TapulThinned *thinned) {
    if (!thinned)
        return;
    g_free(thinned->at_mm);
    g_free(thinned->angle_rad);
    g_free(thinned);
}

double tapul_match_mean(const TapulThinned *ink, const TapulMove *move,
                        const TapulInkMap *plate, double reach_mm) {
    double sum = 0;
    double c = move->scale * cos(move->turn_rad), s = move->scale * sin(move->turn_rad);
    double hand = move->reversed ? -1 : 1;
    TapulVec2 to = tapul_vec2_add(move->centre_mm, move->shift_mm);
    for (int i = 0; i < ink->n; i++) {
        double x = hand * (ink->at_mm[i].x - move->centre_mm.x);
        double y = ink->at_mm[i].y - move->centre_mm.y;
        TapulVec2 at = {to.x + c * x - s * y, to.y + s * x + c * y};
        int bin = tapul_ink_bin(tapul_move_angle(move, ink->angle_rad[i]));
        sum += fmax(0, 1 - tapul_ink_map_distance_mm(plate, at, bin) / reach_mm);
    }
    return ink->n > 0 ? sum / ink->n : 0;
}

double tapul_match_back(const TapulThinned *plate, const TapulMove *move,
                        const TapulInkMap *ink, double reach_mm) {
    TapulBox box = ink->box_mm;
    double sum = 0;
    int n = 0;
    for (int i = 0; i < plate->n; i++) {
        TapulVec2 at_mm = tapul_move_back(move, plate->at_mm[i]);
        if (at_mm.x < box.min.x || at_mm.x > box.max.x || at_mm.y < box.min.y ||
            at_mm.y > box.max.y)
            continue;
        int bin = tapul_ink_bin(tapul_move_angle_back(move, plate->angle_rad[i]));
        sum += fmax(0, 1 - tapul_ink_map_distance_mm(ink, at_mm, bin) / reach_mm);
        n++;
    }
    return n > 0 ? sum / n : 0;
}

/* --- Refinement --- */

typedef struct {
    const TapulThinned *ink;
    const TapulInkMap *plate;
    TapulMoveBounds bounds;
    TapulMove start;
    double reach_mm;
} Search;

/* The move at x in [-1, 1]^4, shares of the bounds. */
static TapulMove move_at(const Search *search, const gsl_vector *x) {
    TapulMove move = search->start;
    move.shift_mm.x += gsl_vector_get(x, 0) * search->bounds.shift_mm;
    move.shift_mm.y += gsl_vector_get(x, 1) * search->bounds.shift_mm;
    move.turn_rad += gsl_vector_get(x, 2) * search->bounds.turn_rad;
    move.scale *= exp(gsl_vector_get(x, 3) * log1p(search->bounds.scale));
    return move;
}

static double cost_at(const gsl_vector *x, gpointer data) {
    const Search *search = data;
    double beyond = 0;
    for (size_t i = 0; i < 4; i++)
        beyond = fmax(beyond, fabs(gsl_vector_get(x, i)) - 1);
    if (beyond > 0)
        return BOUND_COST * (1 + beyond);
    TapulMove move = move_at(search, x);
    return -tapul_match_mean(search->ink, &move, search->plate, search->reach_mm);
}

static void best_of_grid(const Search *search, gsl_vector *best) {
    double least = INFINITY;
    gsl_vector *x = gsl_vector_calloc(4);
    for (int i = 0; i < GRID_SIDE * GRID_SIDE; i++) {
        gsl_vector_set(x, 0, i % GRID_SIDE * 2.0 / (GRID_SIDE - 1) - 1);
        gsl_vector_set(x, 1, (double)(i / GRID_SIDE) * 2.0 / (GRID_SIDE - 1) - 1);
        double cost = cost_at(x, (gpointer)search);
        if (cost < least) {
            least = cost;
            gsl_vector_memcpy(best, x);
        }
    }
    gsl_vector_free(x);
}

static double descend(const Search *search, gsl_vector *x) {
    gsl_multimin_function cost = {cost_at, 4, (gpointer)search};
    gsl_vector *step = gsl_vector_alloc(4);
    gsl_vector_set_all(step, SIMPLEX_START);
    /* Steps lead inwards, so that the first simplex lies within the bounds. */
    for (size_t i = 0; i < 4; i++)
        if (gsl_vector_get(x, i) > 0)
            gsl_vector_set(step, i, -SIMPLEX_START);
    gsl_multimin_fminimizer *simplex =
        gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, 4);
    gsl_multimin_fminimizer_set(simplex, &cost, x, step);
    for (int i = 0; i < SIMPLEX_STEPS; i++)
        if (gsl_multimin_fminimizer_iterate(simplex) ||
            gsl_multimin_fminimizer_size(simplex) < SIMPLEX_SIZE)
            break;
    double least = simplex->fval;
    gsl_vector_memcpy(x, simplex->x);
    gsl_multimin_fminimizer_free(simplex);
    gsl_vector_free(step);
    return -least;
}

double tapul_match_refine(const TapulThinned *ink, const TapulInkMap *plate,
                          TapulMoveBounds bounds, TapulMove *move) {
    Search search = {ink, plate, bounds, *move, WIDE_REACH_MM};
    gsl_vector *x = gsl_vector_calloc(4);
    best_of_grid(&search, x);
    descend(&search, x);
    search.reach_mm = TAPUL_MATCH_REACH_MM;
    double match = descend(&search, x);
    *move = move_at(&search, x);
    gsl_vector_free(x);
    return match;
}
