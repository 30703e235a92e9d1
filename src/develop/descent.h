/* Flip-free descent on the stretch energy. */
#ifndef TAPUL_DEVELOP_DESCENT_H
#define TAPUL_DEVELOP_DESCENT_H

#include "develop/energy.h"

G_BEGIN_DECLS

typedef struct TapulDescent TapulDescent;

/* order[n_vertices] is a fill-reducing order of the mesh's graph. */
TapulDescent *tapul_descent_new(const TapulRest *rest, const TapulEdges *edges,
                                const int *order);
void tapul_descent_free(TapulDescent *descent);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDescent, tapul_descent_free)

typedef enum {
    TAPUL_DESCENT_CONVERGED, /* the next step would lower the energy by less than the tolerance
                              */
    TAPUL_DESCENT_STOPPED,   /* the steps ran out; flat_mm is better than it was */
    TAPUL_DESCENT_FAILED     /* the system cannot be factorised or no step lowers the energy */
} TapulDescentEnd;

typedef struct {
    int doublings;    /* of the energy's power: p = 2^doublings */
    double unit;      /* see TapulStretchEnergy */
    double tolerance; /* share of the energy that the next step must be worth */
    int max_steps;
} TapulDescentGoal;

/* Edges to be held at their lengths in all runs to come; borrowed. */
void tapul_descent_hold(TapulDescent *descent, int n_held, const TapulHeldEdge *held);

/* Descends from flat_mm, which must be unflipped, in place. */
TapulDescentEnd tapul_descent_run(TapulDescent *descent, const TapulDescentGoal *goal,
                                  TapulVec2 *flat_mm);

/* Counted since the descent was made. */
void tapul_descent_counts(const TapulDescent *descent, int *steps, int *factorisations);

G_END_DECLS

#endif
