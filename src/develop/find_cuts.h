/* How far a plate is from lying flat, told without laying it flat, and what a cut does to that.
 * Internal to find_cuts*.c and tension.c.
 *
 * Were each piece flattened conformally with its edges kept true, the logarithm u of its scale
 * would solve Laplace u = -K with u = 0 along all edges (Gauss curvature K; Sawhney & Crane
 * 2017). Its greatest size, here called tension, shows how much the piece asks, and a cut is no
 * more than a line along which u = 0: one sparse solve tells what it would do. Because
 * Laplace's equation is the same in every conformal picture of the plate, it is solved on a
 * coarse square grid over the base development, which is nearly one. */
#ifndef TAPUL_DEVELOP_FIND_CUTS_H
#define TAPUL_DEVELOP_FIND_CUTS_H

#include <tapul/pattern.h>

#include "develop/laplacian.h"

G_BEGIN_DECLS

/* A straight line of the base development. */
typedef struct {
    TapulVec2 from, to;
} TapulFlatCut;

typedef struct {
    const TapulDevelopment *base; /* borrowed */
    const TapulDevelopmentFinder *finder;
    double step_mm; /* of the grid; the medial line is one of its columns */
    TapulVec2 corner_mm;
    int columns, rows, n;
    TapulLaplacian *laplacian;
    double *bend_rad;  /* [n] minus the curvature gathered at each node */
    gboolean *outside; /* [n] off the metal, or on its edge */
    gboolean *fixed;   /* [n] work space */
    double *u;         /* [n] of the last look */
    double *bearing;   /* [n] stretch of paper for a unit of tension */
    gboolean symmetric;
} TapulTension;

TapulTension *tapul_tension_new(const TapulDevelopment *base,
                                const TapulDevelopmentFinder *finder);
void tapul_tension_free(TapulTension *tension);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulTension, tapul_tension_free)

/* What is foreseen with some cuts. */
typedef struct {
    double most; /* the greatest stretch of paper; INFINITY if the system cannot be solved */
    int worst;   /* the node where it is */
    double load; /* how much metal is beyond the aim, and how far: 0 where none is */
} TapulLook;

TapulLook tapul_tension_look(TapulTension *tension, const TapulFlatCut *cut, int n_cuts,
                             double aim);
/* Learns from pieces laid flat with the cuts of the last look how much tension paper bears
 * there. strain[pieces]: the stretch of each; below 0: not known. What failed the limit is not
 * thought better of than before. */
void tapul_tension_learn(TapulTension *tension, const TapulPattern *pattern,
                         const double *strain, double limit);

TapulVec2 tapul_tension_place(const TapulTension *tension, int node);
/* The node nearest to a point of the base development. */
int tapul_tension_node(const TapulTension *tension, TapulVec2 point_mm);
/* Whether a line may be followed to a point: on the metal, and over no cut since `from`. */
gboolean tapul_tension_is_free(const TapulTension *tension, TapulVec2 from, TapulVec2 to,
                               const TapulFlatCut *cut, int n_cuts);
/* The line from a point in a direction to where it meets the plate's edge or a cut: its end. */
TapulVec2 tapul_tension_reach(const TapulTension *tension, TapulVec2 from, TapulVec2 direction,
                              const TapulFlatCut *cut, int n_cuts);

/* --- Plans: find_cuts_plan.c, find_cuts_cost.c --- */

typedef struct {
    TapulTension *tension; /* borrowed */
    const TapulCutOptions *options;
    double aim;          /* the stretch that is to be foreseen */
    double thrift;       /* the power of cost that a fall of load is divided by */
    double most_cost_mm; /* a plan that costs more is given up; INFINITY */
    GArray *cuts;  /* of TapulFlatCut; a dart's tip is `to`; on an even plate a cut's mirror
                      image  follows it */
    GArray *darts; /* of gboolean, for each of them */
} TapulCutPlan;

TapulCutPlan *tapul_cut_plan_new(TapulTension *tension, const TapulCutOptions *options);
void tapul_cut_plan_free(TapulCutPlan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulCutPlan, tapul_cut_plan_free)
TapulCutPlan *tapul_cut_plan_copy(const TapulCutPlan *plan);

/* Adds cuts until no stretch beyond the aim is foreseen. FALSE: none helps any more, or they
 * would cost too much. */
gboolean tapul_cut_plan_extend(TapulCutPlan *plan);
/* Takes each cut away to see whether others do it better. */
void tapul_cut_plan_better(TapulCutPlan *plan);
/* Takes away cuts, and shortens darts, as far as the aim allows. */
void tapul_cut_plan_pare(TapulCutPlan *plan);
/* Carries a dart on right across the metal, and its mirror image. */
void tapul_cut_plan_lengthen(TapulCutPlan *plan, guint i);
/* A cut down the middle. */
void tapul_cut_plan_add_medial(TapulCutPlan *plan);
/* Length and work, in mm of cut: of one cut, of all. */
double tapul_cut_cost_mm(const TapulCutPlan *plan, TapulFlatCut cut, gboolean dart);
double tapul_cut_plan_cost_mm(const TapulCutPlan *plan);
/* As lines of the plate, a GArray of TapulCutLine. */
GArray *tapul_cut_plan_lines(const TapulCutPlan *plan);

G_END_DECLS

#endif
