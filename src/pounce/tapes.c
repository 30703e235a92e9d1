/* What a tape shows between neighbouring crosses of a piece, laid over the metal: the shortest
 * way, which is a geodesic of the plate. Part of the marks (marks.c).
 *
 * Which pairs: the least tree that joins all crosses (Prim, Shortest Connection Networks and
 * Some Generalizations, 1957), and two diagonals that brace it. */
#include "laying/geodesic.h"
#include "pounce/marks_parts.h"

/* A straight line on the paper, carried to the metal, is followed in steps of this: over a
 * ridge rounded to 5 mm the chords fall short by less than 0.005 mm. */
#define STEP_MM 0.5
/* The ways there and back must have one length: a geodesic that does not come back was not
 * found. No tape is read finer. */
#define AGREE_MM 0.1
/* A pair with no straight line over the paper is joined only if there is no nearer way round.
 */
#define HIDDEN_FACTOR 4.0

/* A cross on the paper's own metal. */
typedef struct {
    int name;
    int n;                 /* how often the paper shows it: at a dart twice */
    TapulVec2 paper_mm[2]; /* [n] */
    TapulSpot spot;        /* of the plate's mesh */
} Node;

/* Between two nodes. */
typedef struct {
    double paper_mm; /* straight, on the paper */
    double line_mm;  /* the same line over the metal; infinite if it leaves the paper */
    TapulVec3 setting_out, arriving; /* the line's first step over the metal, and its last */
} Pair;

typedef struct {
    const TapulMesh *mesh;
    const TapulPiece *piece;
    GArray *nodes; /* of Node */
    Pair *pair;    /* [nodes->len * nodes->len], from * n + to, filled where from < to */
} Net;

static const Node *node_of(const Net *net, int i) {
    return &g_array_index(net->nodes, Node, i);
}

static const Pair *pair_of(const Net *net, int i, int j) {
    return &net->pair[MIN(i, j) * (int)net->nodes->len + MAX(i, j)];
}

/* --- Straight lines on the paper --- */

static Pair measure_line(const Net *net, const Node *from, TapulVec2 from_mm, const Node *to,
                         TapulVec2 to_mm) {
    Pair pair = {.paper_mm = tapul_vec2_distance(from_mm, to_mm)};
    TapulVec3 start = tapul_mesh_smooth_position_mm(net->mesh, from->spot), last = start;
    TapulVec3 end = tapul_mesh_smooth_position_mm(net->mesh, to->spot);
    int steps = (int)ceil(pair.paper_mm / STEP_MM);
    pair.setting_out = pair.arriving = tapul_vec3_sub(end, start);
    for (int i = 1; i < steps; i++) {
        TapulSpot spot;
        TapulVec2 at = tapul_vec2_mix(from_mm, to_mm, (double)i / steps);
        if (!tapul_development_finder_spot(net->piece->finder, at, &spot)) {
            pair.line_mm = INFINITY;
            return pair;
        }
        TapulVec3 next =
            tapul_mesh_smooth_position_mm(net->mesh, tapul_piece_plate_spot(net->piece, spot));
        if (i == 1)
            pair.setting_out = tapul_vec3_sub(next, start);
        pair.line_mm += tapul_vec3_distance(last, next);
        last = next;
    }
    pair.line_mm += tapul_vec3_distance(last, end);
    pair.arriving = tapul_vec3_sub(end, last);
    return pair;
}

/* The shortest of the lines between any two places of both, one on the paper before others. */
static Pair measure_pair(const Net *net, const Node *from, const Node *to) {
    Pair best = {.paper_mm = INFINITY, .line_mm = INFINITY};
    for (int i = 0; i < from->n; i++)
        for (int j = 0; j < to->n; j++) {
            Pair pair = measure_line(net, from, from->paper_mm[i], to, to->paper_mm[j]);
            if (pair.line_mm < best.line_mm ||
                (pair.line_mm == best.line_mm && pair.paper_mm < best.paper_mm))
                best = pair;
        }
    return best;
}

static void measure_pairs(Net *net) {
    int n = (int)net->nodes->len;
    net->pair = g_new0(Pair, n * n);
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++)
            net->pair[i * n + j] = measure_pair(net, node_of(net, i), node_of(net, j));
}

/* --- The shortest way --- */

/* Length of the geodesic that sets out about this way, FALSE if none is found. */
static gboolean geodesic_mm(const TapulMesh *mesh, TapulSpot from, TapulSpot to, TapulVec3 way,
                            double about_mm, double *length_mm) {
    TapulGeodesicChart chart = tapul_geodesic_chart(mesh, from);
    TapulVec2 guess = {tapul_vec3_dot(way, chart.x_axis), tapul_vec3_dot(way, chart.y_axis)};
    double length = tapul_vec2_length(guess);
    if (length > 0)
        guess = tapul_vec2_scale(guess, about_mm / length);
    TapulVec2 point;
    if (!tapul_geodesic_inverse(&chart, to, guess, &point))
        return FALSE;
    *length_mm = tapul_vec2_length(point);
    return TRUE;
}

/* The geodesic, if that found there is that found back; but where the straight line on the
 * paper is shorter over the metal, or no geodesic is found, that line: it is longer than the
 * shortest way by no more than the paper's stretch. FALSE where there is neither. */
static gboolean tape_mm(const Net *net, int i, int j, double *length_mm) {
    const Pair *pair = pair_of(net, i, j);
    TapulSpot from = node_of(net, i)->spot, to = node_of(net, j)->spot;
    double about_mm = isfinite(pair->line_mm) ? pair->line_mm : pair->paper_mm, there, back;
    TapulVec3 returning = tapul_vec3_scale(pair->arriving, -1);
    *length_mm = pair->line_mm;
    if (geodesic_mm(net->mesh, from, to, pair->setting_out, about_mm, &there) &&
        geodesic_mm(net->mesh, to, from, returning, about_mm, &back) &&
        fabs(there - back) <= AGREE_MM)
        *length_mm = fmin(pair->line_mm, (there + back) / 2);
    return isfinite(*length_mm);
}

/* --- Which pairs --- */

static double cost_of(const Net *net, int i, int j) {
    const Pair *pair = pair_of(net, i, j);
    return pair->paper_mm * (isfinite(pair->line_mm) ? 1 : HIDDEN_FACTOR);
}

static void add_tape(const Net *net, int i, int j, GArray *tapes) {
    TapulTapeLength tape = {node_of(net, MIN(i, j))->name, node_of(net, MAX(i, j))->name, 0};
    if (tape_mm(net, MIN(i, j), MAX(i, j), &tape.length_mm))
        g_array_append_val(tapes, tape);
}

/* joined[i * n + j], i < j, is set for each pair taken. */
static void join_all(const Net *net, gboolean *joined, GArray *tapes) {
    int n = (int)net->nodes->len;
    g_autofree int *nearest = g_new0(int, n);
    g_autofree gboolean *in = g_new0(gboolean, n);
    in[0] = TRUE;
    for (int count = 1; count < n; count++) {
        int best = -1;
        for (int i = 0; i < n; i++)
            if (!in[i] &&
                (best < 0 || cost_of(net, i, nearest[i]) < cost_of(net, best, nearest[best])))
                best = i;
        in[best] = TRUE;
        joined[MIN(best, nearest[best]) * n + MAX(best, nearest[best])] = TRUE;
        add_tape(net, best, nearest[best], tapes);
        for (int i = 0; i < n; i++)
            if (!in[i] && cost_of(net, i, best) < cost_of(net, i, nearest[i]))
                nearest[i] = best;
    }
}

/* The longest line that lies on the paper and ends at neither of two nodes; FALSE if none is
 * left. */
static gboolean longest(const Net *net, const gboolean *joined, int not_i, int not_j, int *at_i,
                        int *at_j) {
    int n = (int)net->nodes->len;
    double most = 0;
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++) {
            const Pair *pair = pair_of(net, i, j);
            if (joined[i * n + j] || !isfinite(pair->line_mm) || pair->line_mm <= most ||
                i == not_i || j == not_i || i == not_j || j == not_j)
                continue;
            most = pair->line_mm;
            *at_i = i;
            *at_j = j;
        }
    return most > 0;
}

static int by_names(gconstpointer a, gconstpointer b) {
    const TapulTapeLength *p = a, *q = b;
    return p->from != q->from ? p->from - q->from : p->to - q->to;
}

void tapul_pounce_tapes(const TapulMarkGround *ground, const GArray *places,
                        TapulPouncePiece *piece) {
    Net net = {.mesh = tapul_plate_mesh(ground->question->plate),
               .piece = piece->piece,
               .nodes = g_array_new(FALSE, FALSE, sizeof(Node))};
    for (guint p = 0; p < places->len; p++) {
        const TapulCrossPlace *place = &g_array_index(places, TapulCrossPlace, p);
        Node node = {.name = (int)p + 1, .spot = place->spot};
        node.n = tapul_mark_on_paper(ground, place, piece->number - 1, node.paper_mm);
        if (node.n > 0)
            g_array_append_val(net.nodes, node);
    }
    int n = (int)net.nodes->len, i = -1, j = -1;
    measure_pairs(&net);
    g_autofree gboolean *joined = g_new0(gboolean, n * n + 1);
    if (n > 0)
        join_all(&net, joined, piece->tapes);
    if (longest(&net, joined, -1, -1, &i, &j)) {
        add_tape(&net, i, j, piece->tapes);
        if (longest(&net, joined, i, j, &i, &j))
            add_tape(&net, i, j, piece->tapes);
    }
    g_array_sort(piece->tapes, by_names);
    g_free(net.pair);
    g_array_unref(net.nodes);
}
