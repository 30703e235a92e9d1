/* Curves through a map, piece by piece.
 *
 * A piece of the source whose image is near enough to the cubic through its mapped ends with
 * its mapped tangents is done; else it is halved. (Control points are never mapped: a bent
 * sheet does not keep their meaning.) */
#include "laying/warp.h"

#include "laying/cubic.h"

/* Deviation is looked at in a few places only; they may use this share of the tolerance, the
 * rest is for what lies between them. */
#define CHECKED_SHARE 0.5
/* ... and no further apart than this: less than a triangle's edge, and a narrow notch of the
 * edge is seen. */
#define CHECK_SPACING_MM 2.5
/* Pieces shorter than this are looked at in one place. */
#define SHORT_MM 0.75
/* Off the plate a path is looked at this often for where it comes back. */
#define SEARCH_SPACING_MM 2.0
/* Pieces this share of the tolerance long are not halved further: there the map jumps. */
#define SHORTEST_SHARE 0.125
/* A sheet rolled over a ridge opens along it by this much or less: there a stroke goes on
 * straight. Wider jumps are between metal and metal behind it, and cut the stroke. */
#define BRIDGED_JUMP_MM 3.0
/* A stroke's width may jump at a place; pieces shorter than this are not halved for it. */
#define EVEN_SHORTEST_MM 0.25
/* Pieces longer than this, or turning by more than some 30 degrees in a half, are compared in
 * their middle too. */
#define EVEN_SPACING_MM 10.0
#define EVEN_COSINE     0.87
/* Inward steps, each twice the last, to find derivatives beside the edge, from the tolerance
 * up. */
#define EDGE_TRIES 6
/* What reaches further than this, or is no number, lies beyond any plate. */
#define REACH_MM 1e5

typedef struct {
    const TapulWarpMap *map;
    GArray *pieces;
    double *lost_mm;
    TapulVec2 source[4];
    double source_before_mm; /* of the subpath, before this source piece */
    double done_mm;          /* of this source piece */
    guint subpath;
    gboolean follows;
} Warper;

typedef struct {
    double t;
    gboolean defined;
    TapulWarpNode node;
} Stop;

static double part_length(const Warper *warper, double from, double to) {
    TapulVec2 part[4];
    tapul_cubic_part(warper->source, from, to, part);
    return tapul_cubic_length(part);
}

static gboolean within_reach(TapulVec2 p) {
    return fabs(p.x) <= REACH_MM && fabs(p.y) <= REACH_MM;
}

static Stop stop_at(const Warper *warper, double t) {
    Stop stop = {.t = t};
    TapulVec2 from = tapul_cubic_point(warper->source, t);
    stop.defined = within_reach(from) && warper->map->node(from, &stop.node, warper->map->data);
    stop.node.from = from;
    return stop;
}

static gboolean map_at(const Warper *warper, double t, TapulVec2 *to) {
    return warper->map->point(tapul_cubic_point(warper->source, t), to, warper->map->data);
}

static TapulVec2 mapped_vector(const TapulWarpNode *node, TapulVec2 vector) {
    return tapul_vec2_add(tapul_vec2_scale(node->by_x, vector.x),
                          tapul_vec2_scale(node->by_y, vector.y));
}

double tapul_warp_length_factor(const TapulWarpNode *node, TapulVec2 direction) {
    return tapul_vec2_length(mapped_vector(node, direction));
}

double tapul_warp_width_factor(const TapulWarpNode *node, TapulVec2 direction) {
    double area = fabs(tapul_vec2_cross(node->by_x, node->by_y));
    double along = tapul_warp_length_factor(node, direction);
    return along > 0 ? area / along : sqrt(area);
}

static void mapped_cubic(const Warper *warper, const Stop *a, const Stop *b, TapulVec2 p[4]) {
    double third = (b->t - a->t) / 3;
    TapulVec2 start = mapped_vector(&a->node, tapul_cubic_derivative(warper->source, a->t));
    TapulVec2 end = mapped_vector(&b->node, tapul_cubic_derivative(warper->source, b->t));
    p[0] = a->node.to;
    p[1] = tapul_vec2_add(p[0], tapul_vec2_scale(start, third));
    p[2] = tapul_vec2_sub(b->node.to, tapul_vec2_scale(end, third));
    p[3] = b->node.to;
}

typedef enum { FITS, BENDS, GAP } Fit;

/* Looks at one place of the piece. GAP: the map is not defined there. */
static Fit check_at(const Warper *warper, const TapulVec2 p[4], double share, double t) {
    TapulVec2 point;
    if (!map_at(warper, t, &point))
        return GAP;
    double allowed_mm = CHECKED_SHARE * warper->map->tolerance_mm;
    return tapul_cubic_distance_near(p, share, point) <= allowed_mm ? FITS : BENDS;
}

/* Looks at the piece's middle, then at finer and finer halves; at a short piece only where
 * neither an error common to both end tangents nor an opposite one can hide. *t is where it
 * fails. */
static Fit check_fit(const Warper *warper, const TapulVec2 p[4], double from, double to,
                     double length_mm, double *t) {
    if (length_mm < SHORT_MM) {
        if (!tapul_cubic_handles_are_fair(p, warper->map->tolerance_mm))
            return BENDS;
        *t = from + (to - from) / 3;
        return check_at(warper, p, 1.0 / 3, *t);
    }
    int parts = 4;
    while (length_mm / parts > CHECK_SPACING_MM)
        parts *= 2;
    for (int stride = parts / 2; stride >= 1; stride /= 2)
        for (int i = stride; i < parts; i += 2 * stride) {
            *t = from + (to - from) * i / parts;
            Fit fit = check_at(warper, p, (double)i / parts, *t);
            if (fit != FITS)
                return fit;
        }
    return FITS;
}

static void lose(Warper *warper, double length_mm) {
    *warper->lost_mm += length_mm;
    warper->done_mm += length_mm;
    warper->follows = FALSE;
}

static void keep(Warper *warper, const Stop *a, const Stop *b, const TapulVec2 p[4],
                 double length_mm) {
    TapulWarpPiece piece = {.p = {p[0], p[1], p[2], p[3]},
                            .start = a->node,
                            .end = b->node,
                            .start_direction =
                                tapul_cubic_direction(warper->source, a->t, b->t),
                            .end_direction = tapul_cubic_direction(warper->source, b->t, a->t),
                            .source_mm = length_mm,
                            .source_before_mm = warper->source_before_mm + warper->done_mm,
                            .straight = tapul_cubic_is_straight(p, warper->map->tolerance_mm),
                            .follows = warper->follows,
                            .subpath = warper->subpath};
    g_array_append_val(warper->pieces, piece);
    warper->done_mm += length_mm;
    warper->follows = TRUE;
}

/* Whether a stroke is drawn alike at both stops: its width, its dashes, its side. */
static gboolean are_alike(const Warper *warper, const Stop *a, const Stop *b) {
    TapulVec2 from = tapul_cubic_direction(warper->source, a->t, b->t);
    TapulVec2 to = tapul_cubic_direction(warper->source, b->t, a->t);
    double width_a = tapul_warp_width_factor(&a->node, from);
    double width_b = tapul_warp_width_factor(&b->node, to);
    double length_a = tapul_warp_length_factor(&a->node, from);
    double length_b = tapul_warp_length_factor(&b->node, to);
    double within = warper->map->even_within;
    return fmax(width_a, width_b) <= within * fmin(width_a, width_b) &&
           fmax(length_a, length_b) <= within * fmin(length_a, length_b) &&
           a->node.folded == b->node.folded;
}

/* Whether a difference between the ends' and the middle's drawing could hide in the piece. */
static gboolean may_hide(const Warper *warper, const Stop *a, const Stop *b, double length_mm) {
    TapulVec2 start = tapul_cubic_direction(warper->source, a->t, b->t);
    TapulVec2 middle = tapul_cubic_direction(warper->source, (a->t + b->t) / 2, b->t);
    TapulVec2 end = tapul_cubic_direction(warper->source, b->t, a->t);
    return length_mm > EVEN_SPACING_MM || tapul_vec2_dot(start, middle) < EVEN_COSINE ||
           tapul_vec2_dot(middle, end) < EVEN_COSINE;
}

static void warp_between(Warper *warper, const Stop *a, const Stop *b);

static void warp_halves(Warper *warper, const Stop *a, const Stop *b, double t) {
    Stop middle = stop_at(warper, t);
    warp_between(warper, a, &middle);
    warp_between(warper, &middle, b);
}

/* Halves a piece along which a stroke would be drawn unlike; FALSE where there is no need. */
static gboolean warp_uneven(Warper *warper, const Stop *a, const Stop *b, double length_mm) {
    if (warper->map->even_within <= 0 || length_mm < EVEN_SHORTEST_MM)
        return FALSE;
    gboolean alike = are_alike(warper, a, b);
    if (alike && !may_hide(warper, a, b, length_mm))
        return FALSE;
    Stop middle = stop_at(warper, (a->t + b->t) / 2);
    if (alike && middle.defined && are_alike(warper, a, &middle) &&
        are_alike(warper, &middle, b))
        return FALSE;
    warp_between(warper, a, &middle);
    warp_between(warper, &middle, b);
    return TRUE;
}

/* Both ends on the plate. */
static void warp_whole(Warper *warper, const Stop *a, const Stop *b, double length_mm) {
    TapulVec2 p[4];
    if (length_mm <= 0)
        return;
    mapped_cubic(warper, a, b, p);
    double shortest_mm = SHORTEST_SHARE * warper->map->tolerance_mm;
    if (length_mm <= shortest_mm) {
        /* Nothing left to halve: the piece is as short on the plate, or the map jumps here. */
        if (tapul_vec2_distance(p[0], p[3]) > BRIDGED_JUMP_MM)
            lose(warper, length_mm);
        else
            keep(warper, a, b, (TapulVec2[4]){p[0], p[0], p[3], p[3]}, length_mm);
        return;
    }
    if (warp_uneven(warper, a, b, length_mm))
        return;
    double t = 0;
    Fit fit = check_fit(warper, p, a->t, b->t, length_mm, &t);
    if (fit == FITS)
        keep(warper, a, b, p, length_mm);
    else
        warp_halves(warper, a, b, fit == GAP ? t : (a->t + b->t) / 2);
}

/* The last place towards `outside` where the map is defined, to the tolerance, with its
 * derivatives. */
static gboolean find_edge(const Warper *warper, const Stop *inside, double outside_t,
                          double length_mm, Stop *edge, double *outer_t) {
    double inner = inside->t, outer = outside_t;
    double enough = fabs(outer - inner) * fmin(1, warper->map->tolerance_mm / 2 / length_mm);
    while (fabs(outer - inner) > enough) {
        double t = (inner + outer) / 2;
        TapulVec2 to;
        if (t == inner || t == outer)
            break;
        if (map_at(warper, t, &to))
            inner = t;
        else
            outer = t;
    }
    *outer_t = outer;
    /* In a corner of the plate the differences may find no room; a little further in they do.
     */
    for (int i = 0; i < EDGE_TRIES; i++) {
        *edge = stop_at(warper, inner);
        if (edge->defined)
            return TRUE;
        inner = inside->t + (inner - inside->t) *
                                (1 - fmin(0.5, enough * (1 << i) / fabs(inner - inside->t)));
    }
    return FALSE;
}

/* Both ends off the plate: looks for where the path comes back. */
static void warp_outside(Warper *warper, const Stop *a, const Stop *b, double length_mm) {
    int parts = (int)ceil(fmin(length_mm / SEARCH_SPACING_MM, 1e6));
    for (int i = 1; i < parts; i++) {
        double t = a->t + (b->t - a->t) * i / parts;
        TapulVec2 to;
        if (!map_at(warper, t, &to))
            continue;
        Stop found = stop_at(warper, t);
        if (!found.defined)
            continue;
        warp_between(warper, a, &found);
        warp_between(warper, &found, b);
        return;
    }
    lose(warper, length_mm);
}

static void warp_between(Warper *warper, const Stop *a, const Stop *b) {
    double length_mm = part_length(warper, a->t, b->t);
    Stop edge;
    double outer_t;
    if (a->defined && b->defined) {
        warp_whole(warper, a, b, length_mm);
    } else if (!a->defined && !b->defined) {
        warp_outside(warper, a, b, length_mm);
    } else if (length_mm <= SHORTEST_SHARE * warper->map->tolerance_mm) {
        lose(warper, length_mm);
    } else if (a->defined) {
        if (!find_edge(warper, a, b->t, length_mm, &edge, &outer_t)) {
            lose(warper, length_mm);
            return;
        }
        Stop outside = {.t = outer_t};
        warp_between(warper, a, &edge);
        lose(warper, part_length(warper, edge.t, outer_t));
        warp_between(warper, &outside, b);
    } else {
        if (!find_edge(warper, b, a->t, length_mm, &edge, &outer_t)) {
            lose(warper, length_mm);
            return;
        }
        Stop outside = {.t = outer_t};
        warp_between(warper, a, &outside);
        lose(warper, part_length(warper, outer_t, edge.t));
        warp_between(warper, &edge, b);
    }
}

/* A piece of no length: a dot of a pen with round ends, if it is all its subpath has. */
static void warp_dot(Warper *warper, const Stop *at, gboolean alone) {
    if (alone && at->defined)
        keep(warper, at, at, (TapulVec2[4]){at->node.to, at->node.to, at->node.to, at->node.to},
             0);
}

static gboolean subpath_ends(const TapulPathWalk *walk) {
    TapulPathWalk ahead = *walk;
    TapulPathPiece next;
    return !tapul_path_walk_next(&ahead, &next) || next.starts_subpath;
}

GArray *tapul_warp_pieces(const TapulPath *path, const TapulWarpMap *map, double *lost_mm) {
    Warper warper = {.map = map, .lost_mm = lost_mm};
    warper.pieces = g_array_new(FALSE, FALSE, sizeof(TapulWarpPiece));
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece source;
    Stop start = {0};
    while (tapul_path_walk_next(&walk, &source)) {
        memcpy(warper.source, source.p, sizeof warper.source);
        if (source.starts_subpath) {
            warper.subpath++;
            warper.follows = FALSE;
            warper.source_before_mm = 0;
            start = stop_at(&warper, 0);
        }
        start.t = 0;
        warper.done_mm = 0;
        double length_mm = part_length(&warper, 0, 1);
        if (!within_reach(source.p[1]) || !within_reach(source.p[2])) {
            length_mm = isfinite(length_mm) ? length_mm : 0;
            lose(&warper, length_mm);
            start = stop_at(&warper, 1);
        } else if (length_mm > 0) {
            Stop end = stop_at(&warper, 1);
            warp_between(&warper, &start, &end);
            start = end;
        } else {
            warp_dot(&warper, &start, warper.source_before_mm <= 0 && subpath_ends(&walk));
        }
        warper.source_before_mm += length_mm;
        if (source.verb == TAPUL_VERB_CLOSE && warper.follows)
            g_array_index(warper.pieces, TapulWarpPiece, warper.pieces->len - 1).closes = TRUE;
    }
    return warper.pieces;
}
