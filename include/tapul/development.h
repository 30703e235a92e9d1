/* The development: a plate's surface laid flat, a one-to-one map from plate to plane with its stretch known
 * everywhere. Stretch is always that of the map plate -> plane. */
#ifndef TAPUL_DEVELOPMENT_H
#define TAPUL_DEVELOPMENT_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

#define TAPUL_DEVELOP_ERROR (tapul_develop_error_quark())
GQuark tapul_develop_error_quark(void);

typedef enum {
    TAPUL_DEVELOP_ERROR_TOPOLOGY, /* not a disc */
    TAPUL_DEVELOP_ERROR_OVERLAP,  /* the development's edge runs over itself: a cut is needed */
    TAPUL_DEVELOP_ERROR_NUMERIC   /* the solver failed: degenerate triangles */
} TapulDevelopError;

typedef enum {
    TAPUL_DEVELOP_CONFORMAL,     /* angles kept: boundary-first flattening, zero boundary scale */
    TAPUL_DEVELOP_LEAST_STRETCH, /* mean symmetric Dirichlet energy least */
    TAPUL_DEVELOP_EVENED         /* largest stretch made as small as can be */
} TapulDevelopmentRule;

/* "conformal", "least-stretch", "evened"; NULL name on unknown, FALSE on unknown. */
const char *tapul_development_rule_name(TapulDevelopmentRule rule);
gboolean tapul_development_rule_from_name(const char *name, TapulDevelopmentRule *rule);

typedef struct {
    double min, mean, p95, p999, max; /* of both principal stretches of all triangles, weighted by area */
    int worst_triangle;               /* where max(s1, 1/s2) is largest */
} TapulStretchSummary;

typedef struct {
    TapulDevelopmentRule rule;
    const TapulMesh *mesh;      /* borrowed */
    TapulVec2 *flat_mm;         /* [n_vertices] */
    double area_mm2, developed_area_mm2;
    int flipped;                /* triangles turned over: 0 */
    int overlaps;               /* crossings of the boundary with itself: 0 */
    TapulStretchSummary stretch;
    double angle_mean_rad, angle_max_rad; /* error of triangle angles, mean weighted by area */
    double energy;              /* area-weighted mean of s1^2 + s2^2 + 1/s1^2 + 1/s2^2; 4 = isometric */
    double seconds;
} TapulDevelopment;

typedef struct {
    TapulDevelopmentRule rule;
    /* Called now and then with a fraction in [0, 1] and the stage's name; may be NULL. */
    void (*progress)(double fraction, const char *stage, gpointer data);
    gpointer progress_data;
} TapulDevelopOptions;

TapulDevelopOptions tapul_develop_options_defaults(void);

/* Develops a disc. Conformal and least-stretch have the scale of least energy; evened has the scale at which
 * the largest stretch and the largest shrink are alike. The centroid lies at the origin, the turn is arbitrary:
 * tapul_development_place sets the frame. The result does not depend on the number of threads.
 * Errors: TOPOLOGY, OVERLAP (the message says where a cut is needed), NUMERIC (triangles turned over, or the
 * descent did not settle). */
TapulDevelopment *tapul_develop(const TapulMesh *mesh, const TapulDevelopOptions *options, GError **error);
void tapul_development_free(TapulDevelopment *development);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDevelopment, tapul_development_free)

/* Moves and turns the development so that origin lies at (0, 0) and the direction from origin to above points
 * along +y. */
void tapul_development_place(TapulDevelopment *development, TapulSpot origin, TapulSpot above);

/* Principal stretches s1 >= s2 > 0 of a triangle (negative s2: flipped) and, unless NULL, the unit direction
 * in the development of the s1 axis. */
void tapul_development_stretch(const TapulDevelopment *development, int triangle, double *s1, double *s2,
                               TapulVec2 *axis_1);

/* Plate -> plane. */
TapulVec2 tapul_development_point_mm(const TapulDevelopment *development, TapulSpot spot);

/* Plane -> plate, through a grid over the flat triangles. */
typedef struct TapulDevelopmentFinder TapulDevelopmentFinder;
TapulDevelopmentFinder *tapul_development_finder_new(const TapulDevelopment *development);
void tapul_development_finder_free(TapulDevelopmentFinder *finder);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDevelopmentFinder, tapul_development_finder_free)
/* FALSE outside the plate. Safe from several threads. */
gboolean tapul_development_finder_spot(const TapulDevelopmentFinder *finder, TapulVec2 point_mm,
                                       TapulSpot *spot);

G_END_DECLS

#endif
