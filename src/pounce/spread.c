/* Crosses spread over a piece: always the place farthest from those already there (Gonzalez,
 * Clustering to Minimize the Maximum Intercluster Distance, 1985), until none is far. */
#include "pounce/marks_parts.h"

/* How far inside the paper; less in pieces too narrow for it: half of what they have. */
#define INSIDE_MM 6.0
/* Places looked at lie in a grid this fine, and no more than so many to a side. */
#define GRID_MM    4.0
#define GRID_LINES 60.0
/* No nearer to each other than this share of the piece's size, until nothing is further. */
#define SPREAD_SHARE 0.4
/* On large pieces no place is further from a cross than this (common practice, no source). */
#define REACH_MM 120.0
/* Crosses stand off one line if one is off by this share of the piece's size, or by half of
 * what the piece's width permits. */
#define OFF_LINE_SHARE 0.1
/* Clear of crosses and notches on the piece's own edge, and of their names. */
#define CLEAR_MM    12.0
#define CLEAR_SHARE 0.125 /* of the piece's size, in small ones */
/* Where three are sought inside, those on the edge push them away a quarter as far. */
#define EDGE_WEIGHT 4.0
/* A place opposite to one just taken is as good if it is this nearly as far off. */
#define OPPOSITE_SHARE 0.9

typedef struct {
    TapulVec2 at_mm;
    TapulSpot spot; /* of the piece's mesh */
    double inside_mm;
} Candidate;

typedef struct {
    const TapulMarkGround *ground;
    int number;
    const TapulPiece *piece;
    double size_mm;
    GArray *candidates; /* of Candidate, from upper left to lower right */
    GArray *inner;      /* of TapulVec2: crosses inside */
    GArray *edge;       /* of TapulVec2: crosses on seams */
    GArray *notches;    /* of TapulVec2 */
} Field;

/* --- Where a cross could stand --- */

static void look_at(Field *field, TapulVec2 at_mm) {
    Candidate candidate = {.at_mm = at_mm};
    if (!tapul_development_finder_spot(field->piece->finder, at_mm, &candidate.spot))
        return;
    candidate.inside_mm = tapul_mark_inside_mm(field->ground, field->number, at_mm);
    g_array_append_val(field->candidates, candidate);
}

static TapulBox box_of(const GArray *points) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < points->len; i++)
        tapul_box_add(&box, g_array_index(points, TapulVec2, i));
    return box;
}

/* The grid has a line through x = 0 and y = 0, the middle of the paper: where a piece is even,
 * so are its places. */
static void look_all_over(Field *field) {
    TapulBox box = box_of(g_ptr_array_index(field->ground->edge, field->number));
    field->size_mm = fmax(box.max.x - box.min.x, box.max.y - box.min.y);
    double step = fmax(field->size_mm / GRID_LINES, fmin(GRID_MM, field->size_mm / 20));
    for (int row = (int)floor(box.max.y / step); row * step > box.min.y; row--)
        for (int column = (int)ceil(box.min.x / step); column * step < box.max.x; column++)
            look_at(field, tapul_vec2(column * step, row * step));
}

static double least_distance(const GArray *points, TapulVec2 from) {
    double least = INFINITY;
    for (guint i = 0; i < points->len; i++)
        least = fmin(least, tapul_vec2_distance(g_array_index(points, TapulVec2, i), from));
    return least;
}

static void find_notches(Field *field) {
    const TapulPattern *pattern = field->ground->pattern;
    for (guint s = 0; s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        int n = tapul_seam_notches(tapul_seam_length_mm(pattern, seam));
        for (int i = 0; i < 2 * n; i++) {
            double along = tapul_seam_notch_along(pattern, seam, i / 2, n);
            TapulVec2 at_mm = tapul_seam_point_mm(pattern, seam, i % 2, along);
            if (seam->piece[i % 2] == field->number)
                g_array_append_val(field->notches, at_mm);
        }
    }
}

/* Keeps what is well inside and clear of crosses and notches on the edge. */
static void keep_good(Field *field) {
    double most = 0;
    for (guint i = 0; i < field->candidates->len; i++)
        most = fmax(most, g_array_index(field->candidates, Candidate, i).inside_mm);
    double inside_mm = fmin(INSIDE_MM, most / 2),
           clear_mm = fmin(CLEAR_MM, CLEAR_SHARE * field->size_mm);
    guint kept = 0;
    for (guint i = 0; i < field->candidates->len; i++) {
        Candidate candidate = g_array_index(field->candidates, Candidate, i);
        if (candidate.inside_mm >= inside_mm &&
            least_distance(field->edge, candidate.at_mm) >= clear_mm &&
            least_distance(field->notches, candidate.at_mm) >= clear_mm)
            g_array_index(field->candidates, Candidate, kept++) = candidate;
    }
    g_array_set_size(field->candidates, kept);
}

/* --- Taking places --- */

static void take(Field *field, const Candidate *candidate, GArray *added) {
    TapulCrossPlace place = {.spot = tapul_piece_plate_spot(field->piece, candidate->spot),
                             .seam = -1};
    place.base_mm =
        tapul_development_point_mm(field->ground->question->development, place.spot);
    g_array_append_val(added, place);
    g_array_append_val(field->inner, candidate->at_mm);
}

/* How far a place is from the crosses inside, or, where that is less, from those on the edge,
 * as near to which it may come as edge_weight tells. The first is the one farthest from the
 * middle. */
static double farness(const Field *field, TapulVec2 at_mm, double edge_weight) {
    double inner_mm =
        field->inner->len > 0 ? least_distance(field->inner, at_mm) : tapul_vec2_length(at_mm);
    return fmin(inner_mm, edge_weight * least_distance(field->edge, at_mm));
}

/* The farthest place; NULL if there is none. */
static const Candidate *farthest(const Field *field, double edge_weight, double *far_mm) {
    const Candidate *best = NULL;
    *far_mm = 0;
    for (guint i = 0; i < field->candidates->len; i++) {
        const Candidate *each = &g_array_index(field->candidates, Candidate, i);
        double mm = farness(field, each->at_mm, edge_weight);
        if (mm <= *far_mm)
            continue;
        best = each;
        *far_mm = mm;
    }
    return best;
}

static const Candidate *mirrored(const Field *field, const Candidate *other) {
    for (guint i = 0; i < field->candidates->len; i++) {
        const Candidate *each = &g_array_index(field->candidates, Candidate, i);
        if (each->at_mm.x == -other->at_mm.x && each->at_mm.y == other->at_mm.y)
            return each;
    }
    return NULL;
}

/* Until no place is further off than reach, but at least so many inside. With each place goes
 * the one opposite, if that is about as far off: what is even stays so. */
static void fill(Field *field, double edge_weight, double reach_mm, guint least,
                 GArray *added) {
    double far_mm;
    const Candidate *best = farthest(field, edge_weight, &far_mm);
    while (best && (far_mm > reach_mm || field->inner->len < least)) {
        take(field, best, added);
        const Candidate *opposite = mirrored(field, best);
        double asked_mm = far_mm > reach_mm ? reach_mm : OPPOSITE_SHARE * far_mm;
        if (opposite && farness(field, opposite->at_mm, edge_weight) >= asked_mm)
            take(field, opposite, added);
        best = farthest(field, edge_weight, &far_mm);
    }
}

/* The line through the two inner crosses that are farthest apart: two of its points. */
static void widest_line(const GArray *points, TapulVec2 line[2]) {
    double widest = -1;
    for (guint i = 0; i < points->len; i++)
        for (guint k = 0; k < i; k++) {
            TapulVec2 a = g_array_index(points, TapulVec2, i);
            TapulVec2 b = g_array_index(points, TapulVec2, k);
            if (tapul_vec2_distance(a, b) <= widest)
                continue;
            widest = tapul_vec2_distance(a, b);
            line[0] = a;
            line[1] = b;
        }
}

static double off_line(const TapulVec2 line[2], TapulVec2 p) {
    TapulVec2 along = tapul_vec2_sub(line[1], line[0]);
    return fabs(tapul_vec2_cross(along, tapul_vec2_sub(p, line[0]))) / tapul_vec2_length(along);
}

/* As far off the line, and as far from the others, as crosses should be: 1 and more is both. */
static double worth_off_line(const Field *field, const TapulVec2 line[2], TapulVec2 p) {
    return fmin(off_line(line, p) / OFF_LINE_SHARE,
                least_distance(field->inner, p) / SPREAD_SHARE) /
           field->size_mm;
}

/* One more if all are on a line. */
static void leave_line(Field *field, GArray *added) {
    TapulVec2 line[2];
    if (field->inner->len < 2)
        return;
    widest_line(field->inner, line);
    double off_mm = 0, best_worth = 0;
    for (guint i = 0; i < field->inner->len; i++)
        off_mm = fmax(off_mm, off_line(line, g_array_index(field->inner, TapulVec2, i)));
    const Candidate *best = NULL;
    for (guint i = 0; i < field->candidates->len; i++) {
        const Candidate *each = &g_array_index(field->candidates, Candidate, i);
        double worth = worth_off_line(field, line, each->at_mm);
        if (worth <= best_worth)
            continue;
        best = each;
        best_worth = worth;
    }
    if (best && off_mm < fmin(OFF_LINE_SHARE * field->size_mm, off_line(line, best->at_mm) / 2))
        take(field, best, added);
}

void tapul_cross_spread(const TapulMarkGround *ground, int piece, const GArray *places,
                        GArray *added) {
    Field field = {.ground = ground,
                   .number = piece,
                   .piece = g_ptr_array_index(ground->pattern->pieces, (guint)piece),
                   .candidates = g_array_new(FALSE, FALSE, sizeof(Candidate)),
                   .inner = g_array_new(FALSE, FALSE, sizeof(TapulVec2)),
                   .edge = g_array_new(FALSE, FALSE, sizeof(TapulVec2)),
                   .notches = g_array_new(FALSE, FALSE, sizeof(TapulVec2))};
    for (guint i = 0; i < places->len; i++) {
        const TapulCrossPlace *place = &g_array_index(places, TapulCrossPlace, i);
        TapulVec2 at_mm[2];
        int n = tapul_mark_on_paper(ground, place, piece, at_mm);
        g_array_append_vals(place->seam < 0 ? field.inner : field.edge, at_mm, (guint)n);
    }
    find_notches(&field);
    look_all_over(&field);
    keep_good(&field);
    fill(&field, EDGE_WEIGHT, SPREAD_SHARE * field.size_mm, 2, added);
    leave_line(&field, added);
    fill(&field, 1, REACH_MM, 0, added);
    g_array_unref(field.candidates);
    g_array_unref(field.inner);
    g_array_unref(field.edge);
    g_array_unref(field.notches);
}
