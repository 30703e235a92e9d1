/* Paths in the plane: lines and cubic Bezier curves, as a pen draws them. */
#ifndef TAPUL_PATH_H
#define TAPUL_PATH_H

#include <tapul/vec.h>

G_BEGIN_DECLS

typedef enum {
    TAPUL_VERB_MOVE,  /* 1 point: starts a subpath */
    TAPUL_VERB_LINE,  /* 1 point: its end */
    TAPUL_VERB_CURVE, /* 3 points: two controls, its end */
    TAPUL_VERB_CLOSE  /* 0 points: a line back to the subpath's start */
} TapulVerb;

typedef struct {
    GArray *verbs;  /* of guint8, TapulVerb */
    GArray *points; /* of TapulVec2 */
} TapulPath;

TapulPath *tapul_path_new(void);
TapulPath *tapul_path_copy(const TapulPath *path);
void tapul_path_free(TapulPath *path);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPath, tapul_path_free)

void tapul_path_move(TapulPath *path, TapulVec2 to);
void tapul_path_line(TapulPath *path, TapulVec2 to);
void tapul_path_curve(TapulPath *path, TapulVec2 control_1, TapulVec2 control_2, TapulVec2 to);
void tapul_path_close(TapulPath *path);
gboolean tapul_path_is_empty(const TapulPath *path);

/* One drawn piece at a time: a line (also for CLOSE) or a curve; moves are stepped over. */
typedef struct {
    const TapulPath *path;
    guint verb, point;
    TapulVec2 start, current;
} TapulPathWalk;

typedef struct {
    TapulVerb verb;        /* LINE, CURVE or CLOSE */
    TapulVec2 p[4];        /* a line as p[0] p[3], with p[1] p[2] on its thirds */
    gboolean starts_subpath;
} TapulPathPiece;

TapulPathWalk tapul_path_walk(const TapulPath *path);
gboolean tapul_path_walk_next(TapulPathWalk *walk, TapulPathPiece *piece);

/* The point at t in [0, 1] and the derivative by t of a cubic. */
TapulVec2 tapul_cubic_point(const TapulVec2 p[4], double t);
TapulVec2 tapul_cubic_derivative(const TapulVec2 p[4], double t);

/* Arc length of a cubic; 1e-6 relative. */
double tapul_cubic_length(const TapulVec2 p[4]);

/* Arc length; 1e-6 relative (16-point Gauss-Legendre on each piece). */
double tapul_path_length(const TapulPath *path);
/* Signed area of all subpaths, closed by a line where they are not (counter-clockwise positive). */
double tapul_path_area(const TapulPath *path);
/* Box of the curves themselves, not of their controls. */
TapulBox tapul_path_box(const TapulPath *path);

G_END_DECLS

#endif
