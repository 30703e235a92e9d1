/* Where the labels of numbered calls stand: the assignment of stands to places with the least
 * total length of leaders (assignment.c).
 *
 * Two such leaders never meet, but in a place that they share. Say PA and QB do, at X, and P is
 * not Q. Exchanged, PB and QA are no longer than the four pieces about X, by the triangle
 * inequality, and as long only if X lies on PB and on QA too. Then P is X: else A and B lie on
 * one ray from P; but the places lie between the two columns of stands, so a ray reaches one
 * column only, and that once. Likewise Q is X, and P is Q after all. So the exchange shortens
 * the total, which was the least: a contradiction. It holds for collinear places, for leaders
 * to different columns, and for leaders that only touch another's place.
 *
 * The total found may not be the least: by rounding, or because a leader that would run into
 * another call's ring was let grow instead. So places and stands are taken to whole
 * micrometres, which lets 64 bits decide exactly whether leaders meet, and those that do are
 * exchanged. Each exchange shortens the total, and there are only so many assignments: it comes
 * to an end (J. van Leeuwen, A. A. Schoone, Untangling a Travelling Salesman Tour in the Plane,
 * 1981). */
#include "sheet/callouts.h"

#include "base/assignment.h"

#include <stdlib.h>
#include <string.h>

#define UM_PER_MM 1000.0

/* A leader that comes nearer than this to another call's place runs into its ring, in steps: a
 * ring at a place is not so wide. */
#define RING_CLEAR_STEPS 0.22
/* What a leader may grow for each such ring that it leaves clear, in steps: to the next stand
 * or the one after. */
#define RING_WORTH_STEPS 2.0

/* Micrometres. Pages are below 2 m, so that products of differences are below 2^63. */
typedef struct {
    gint64 x, y;
} Point;

typedef struct {
    Point at;
    int number, call;
} Place;

typedef struct {
    int n;        /* places */
    Place *place; /* [n] in an order of their own */
    int m;
    Point *stand;    /* [m] */
    int *stand_of;   /* [n] */
    double clear_um; /* RING_CLEAR_STEPS */
} Placing;

static Point point_of(TapulVec2 mm) {
    return (Point){llround(mm.x * UM_PER_MM), llround(mm.y * UM_PER_MM)};
}

static TapulVec2 mm_of(Point p) {
    return tapul_vec2((double)p.x / UM_PER_MM, (double)p.y / UM_PER_MM);
}

static double length_um(Point a, Point b) {
    return hypot((double)(a.x - b.x), (double)(a.y - b.y));
}

/* --- Whether leaders meet --- */

static int sign(gint64 value) {
    return (value > 0) - (value < 0);
}

/* 1: c lies left of a to b, -1: right, 0: on their line. */
static int side(Point a, Point b, Point c) {
    return sign((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));
}

/* Leaders pa and qb. None is upright, since places lie between the columns. */
static gboolean leaders_meet(Point p, Point a, Point q, Point b) {
    int qa = side(p, a, q), ba = side(p, a, b);
    if (qa == 0 && ba == 0)
        return MAX(MIN(p.x, a.x), MIN(q.x, b.x)) <= MIN(MAX(p.x, a.x), MAX(q.x, b.x));
    return qa * ba <= 0 && side(q, b, p) * side(q, b, a) <= 0;
}

static gboolean same_place(const Placing *placing, int i, int j) {
    const Place *a = &placing->place[i], *b = &placing->place[j];
    return a->at.x == b->at.x && a->at.y == b->at.y;
}

static void exchange(Placing *placing, int i, int j) {
    int stand = placing->stand_of[i];
    placing->stand_of[i] = placing->stand_of[j];
    placing->stand_of[j] = stand;
}

static gboolean exchange_one(Placing *placing) {
    for (int i = 0; i < placing->n; i++)
        for (int j = 0; j < i; j++)
            if (!same_place(placing, i, j) &&
                leaders_meet(placing->place[i].at, placing->stand[placing->stand_of[i]],
                             placing->place[j].at, placing->stand[placing->stand_of[j]])) {
                exchange(placing, i, j);
                return TRUE;
            }
    return FALSE;
}

/* --- Rings in the way --- */

static double distance_um(Point p, Point a, Point b) {
    TapulVec2 along = {(double)(b.x - a.x), (double)(b.y - a.y)};
    TapulVec2 to = {(double)(p.x - a.x), (double)(p.y - a.y)};
    double share = tapul_vec2_dot(to, along) / tapul_vec2_dot(along, along);
    return tapul_vec2_distance(to, tapul_vec2_scale(along, CLAMP(share, 0, 1)));
}

/* Rings of other places that a leader from place i to a stand runs into; those that already
 * touch the place's own are not counted, no stand would help. */
static int rings_passed(const Placing *placing, int i, int stand) {
    const Place *place = placing->place;
    int passed = 0;
    for (int j = 0; j < placing->n; j++)
        passed +=
            length_um(place[i].at, place[j].at) > placing->clear_um &&
            distance_um(place[j].at, place[i].at, placing->stand[stand]) < placing->clear_um;
    return passed;
}

static int all_rings_passed(const Placing *placing) {
    int passed = 0;
    for (int i = 0; i < placing->n; i++)
        passed += rings_passed(placing, i, placing->stand_of[i]);
    return passed;
}

/* --- Assigning --- */

static void assign(Placing *placing, double ring_worth_um) {
    gsize n = (gsize)placing->n, m = (gsize)placing->m;
    g_autofree double *cost = g_new(double, n *m);
    for (gsize i = 0; i < n; i++)
        for (gsize j = 0; j < m; j++) {
            cost[i * m + j] = length_um(placing->place[i].at, placing->stand[j]);
            if (ring_worth_um > 0)
                cost[i * m + j] += ring_worth_um * rings_passed(placing, (int)i, (int)j);
        }
    tapul_assign(cost, placing->n, placing->m, placing->stand_of);
    while (exchange_one(placing)) {
    }
}

/* The least total, unless a little more of it leaves more rings clear. */
static void assign_clear(Placing *placing, double step_um) {
    assign(placing, 0);
    int passed = all_rings_passed(placing);
    if (passed == 0)
        return;
    gsize size = (gsize)placing->n * sizeof(int);
    g_autofree int *least = g_memdup2(placing->stand_of, size);
    assign(placing, RING_WORTH_STEPS * step_um);
    if (all_rings_passed(placing) >= passed)
        memcpy(placing->stand_of, least, size);
}

/* Calls of one place take their stands by number, from the top down. */
static void order_within_places(Placing *placing) {
    for (int i = 1; i < placing->n; i++)
        for (int j = i; j > 0 && same_place(placing, j, j - 1) &&
                        placing->stand_of[j] < placing->stand_of[j - 1];
             j--)
            exchange(placing, j, j - 1);
}

/* --- Stands and places --- */

/* A column of stands at x, from the top down; returns how many. */
static int add_column(Point *stand, double x_mm, TapulBox room, double step_mm) {
    gint64 top = llround(room.max.y * UM_PER_MM);
    gint64 high = top - llround(room.min.y * UM_PER_MM);
    int n = high > 0 ? (int)(high / MAX(llround(step_mm * UM_PER_MM), 1)) : 0;
    for (int i = 0; i < n; i++)
        stand[i] = (Point){llround(x_mm * UM_PER_MM), top - high * (2 * i + 1) / (2 * n)};
    return n;
}

/* Half a step of air between figure and labels, so that leaders are seen to arrive. */
static void add_stands(Placing *placing, TapulBox figure, TapulBox room, double step_mm) {
    double most = fmax(room.max.y - room.min.y, 0) / step_mm;
    placing->stand = g_new(Point, 2 * (gsize)most + 2);
    if (figure.min.x - room.min.x >= step_mm)
        placing->m = add_column(placing->stand, figure.min.x - step_mm / 2, room, step_mm);
    if (room.max.x - figure.max.x >= step_mm)
        placing->m +=
            add_column(placing->stand + placing->m, figure.max.x + step_mm / 2, room, step_mm);
}

static int compare_places(const void *a, const void *b) {
    const Place *p = a, *q = b;
    if (p->at.y != q->at.y)
        return sign(q->at.y - p->at.y);
    return p->at.x != q->at.x ? sign(p->at.x - q->at.x) : p->number - q->number;
}

static void add_places(Placing *placing, const TapulCallout *calls) {
    placing->place = g_new(Place, (gsize)placing->n);
    for (int i = 0; i < placing->n; i++)
        placing->place[i] = (Place){point_of(calls[i].at_mm), calls[i].number, i};
    qsort(placing->place, (size_t)placing->n, sizeof(Place), compare_places);
}

gboolean tapul_callouts_place(const TapulCallout *calls, int n, TapulBox figure, TapulBox room,
                              double step_mm, TapulCalloutStand *stands) {
    Placing placing = {.n = n, .clear_um = RING_CLEAR_STEPS * step_mm * UM_PER_MM};
    add_stands(&placing, figure, room, step_mm);
    gboolean fits = n <= placing.m;
    if (fits && n > 0) {
        add_places(&placing, calls);
        placing.stand_of = g_new(int, (gsize)n);
        assign_clear(&placing, step_mm * UM_PER_MM);
        order_within_places(&placing);
    }
    for (int i = 0; fits && i < n; i++) {
        Point port = placing.stand[placing.stand_of[i]];
        stands[placing.place[i].call] =
            (TapulCalloutStand){mm_of(port), port.x < placing.place[i].at.x};
    }
    g_free(placing.place);
    g_free(placing.stand);
    g_free(placing.stand_of);
    return fits;
}
