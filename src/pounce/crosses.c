/* Where alignment crosses stand on the plate: on seams, up the medial line, and spread over
 * each piece (spread.c); numbered over the whole plate. */
#include "pounce/marks_parts.h"

/* Up the medial line, by tape. */
#define MEDIAL_SPACING_MM 100.0
#define MEDIAL_END_MM     10.0
/* A cross on the metal keeps its arms on it. One of the medial line that would not is moved
 * along the line, by no more than lets it be near to its end or its hundred still. */
#define INSIDE_MM      6.0
#define MEDIAL_MOVE_MM 15
/* Crosses nearer to each other than this would run into one another with their numbers. */
#define APART_MM 12.0
/* Two halves of a cross at a dart's sides nearer than this could not be told apart. */
#define DART_GAP_MM 5.0
/* Seams this long have three crosses. */
#define LONG_SEAM_MM 140.0
/* Numbers run from left to right within rows of this height, as one reads. */
#define ROW_MM 40.0

/* --- On seams --- */

/* Places between the notches, as shares of the seam's length; returns how many. */
static int seam_shares(double length_mm, double share[3]) {
    int notches = tapul_seam_notches(length_mm);
    int first = MAX(1, (int)lround(notches / 6.0));
    /* Short seams have one or two notches, in the middle or at the quarters. */
    double at = notches == 1 ? 0.2 : notches == 2 ? 0.125 : (double)first / notches;
    share[0] = at;
    share[1] = 1 - at;
    if (length_mm < LONG_SEAM_MM)
        return 2;
    share[2] = (double)(notches / 2) / notches;
    return 3;
}

/* The triangle on the left of an edge of a piece's rim, and which of its corners the edge's
 * ends are. */
static TapulSpot spot_on_edge(const TapulPiece *piece, int from, int to, double share) {
    for (int t = 0; t < piece->mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int next = (k + 1) % 3;
            if (piece->mesh->corner[t][k] != from || piece->mesh->corner[t][next] != to)
                continue;
            TapulSpot spot = {t, {0, 0, 0}};
            spot.weight[k] = 1 - share;
            spot.weight[next] = share;
            return tapul_piece_plate_spot(piece, spot);
        }
    g_assert_not_reached();
}

static TapulCrossPlace place_on_seam(const TapulMarkGround *ground, int number, double along) {
    const TapulSeam *seam = g_ptr_array_index(ground->pattern->seams, (guint)number);
    const TapulPiece *left = g_ptr_array_index(ground->pattern->pieces, (guint)seam->piece[0]);
    int i = MIN((int)along, seam->n - 2);
    TapulSpot spot = spot_on_edge(left, seam->vertex[0][i], seam->vertex[0][i + 1], along - i);
    return (TapulCrossPlace){
        spot, tapul_development_point_mm(ground->question->development, spot), number, along};
}

/* Whether two places are clear of each other on a piece's paper, if it shows both. */
static gboolean are_apart(const TapulMarkGround *ground, const TapulCrossPlace *a,
                          const TapulCrossPlace *b, int piece) {
    TapulVec2 p[2], q[2];
    int n = tapul_mark_on_paper(ground, a, piece, p);
    int m = n > 0 ? tapul_mark_on_paper(ground, b, piece, q) : 0;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < m; j++)
            if (tapul_vec2_distance(p[i], q[j]) < APART_MM)
                return FALSE;
    return TRUE;
}

/* Whether a place is clear of all others. */
static gboolean is_apart(const TapulMarkGround *ground, const GArray *places,
                         const TapulCrossPlace *place) {
    int pieces = (int)ground->pattern->pieces->len;
    for (int piece = 0; piece < pieces; piece++)
        for (guint i = 0; i < places->len; i++)
            if (!are_apart(ground, place, &g_array_index(places, TapulCrossPlace, i), piece))
                return FALSE;
    return TRUE;
}

static void add_on_seam(const TapulMarkGround *ground, int number, GArray *places) {
    const TapulSeam *seam = g_ptr_array_index(ground->pattern->seams, (guint)number);
    double length_mm = tapul_seam_length_mm(ground->pattern, seam), share[3];
    int n = seam_shares(length_mm, share);
    for (int i = 0; i < n; i++) {
        double along = tapul_seam_along(ground->pattern, seam, share[i] * length_mm);
        TapulCrossPlace place = place_on_seam(ground, number, along);
        double gap_mm =
            tapul_vec2_distance(tapul_seam_point_mm(ground->pattern, seam, 0, along),
                                tapul_seam_point_mm(ground->pattern, seam, 1, along));
        gboolean dart = seam->piece[0] == seam->piece[1];
        if (!(dart && gap_mm < DART_GAP_MM) && is_apart(ground, places, &place))
            g_array_append_val(places, place);
    }
}

/* --- Up the medial line --- */

static double medial_length_mm(const TapulPlate *plate) {
    const GArray *line = tapul_plate_medial_line(plate);
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    double length_mm = 0;
    for (guint i = 0; line && i + 1 < line->len; i++)
        length_mm += tapul_vec3_distance(
            tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, i)),
            tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, i + 1)));
    return length_mm;
}

static gboolean is_inside(const TapulMarkGround *ground, const TapulCrossPlace *place) {
    int pieces = (int)ground->pattern->pieces->len;
    for (int piece = 0; piece < pieces; piece++) {
        TapulVec2 at[2];
        if (tapul_mark_on_paper(ground, place, piece, at) > 0 &&
            tapul_mark_inside_mm(ground, piece, at[0]) >= INSIDE_MM)
            return TRUE;
    }
    return FALSE;
}

static gboolean take_medial(const TapulMarkGround *ground, double up_mm, GArray *places) {
    TapulCrossPlace place = {.seam = -1};
    if (!tapul_plate_spot_from_tape(ground->question->plate, 0, up_mm, &place.spot, NULL))
        return FALSE;
    place.base_mm = tapul_development_point_mm(ground->question->development, place.spot);
    if (!is_inside(ground, &place) || !is_apart(ground, places, &place))
        return FALSE;
    g_array_append_val(places, place);
    return TRUE;
}

static void add_on_medial_line(const TapulMarkGround *ground, GArray *places) {
    double length_mm = medial_length_mm(ground->question->plate);
    double between_mm = length_mm - 2 * MEDIAL_END_MM;
    if (between_mm <= 0)
        return;
    int n = MAX(1, (int)lround(between_mm / MEDIAL_SPACING_MM));
    for (int i = 0; i <= n; i++) {
        double up_mm = MEDIAL_END_MM + between_mm * i / n;
        gboolean taken = take_medial(ground, up_mm, places);
        for (int move = 1; !taken && move <= MEDIAL_MOVE_MM; move++)
            taken = take_medial(ground, up_mm - move, places) ||
                    take_medial(ground, up_mm + move, places);
    }
}

/* --- Numbers --- */

static int by_reading(gconstpointer a, gconstpointer b, gpointer top) {
    TapulVec2 p = ((const TapulCrossPlace *)a)->base_mm;
    TapulVec2 q = ((const TapulCrossPlace *)b)->base_mm;
    double rows =
        floor((*(double *)top - p.y) / ROW_MM) - floor((*(double *)top - q.y) / ROW_MM);
    if (rows != 0)
        return rows < 0 ? -1 : 1;
    if (p.x != q.x)
        return p.x < q.x ? -1 : 1;
    return p.y > q.y ? -1 : p.y < q.y;
}

GArray *tapul_cross_places(const TapulMarkGround *ground) {
    GArray *places = g_array_new(FALSE, FALSE, sizeof(TapulCrossPlace));
    for (guint s = 0; s < ground->pattern->seams->len; s++)
        add_on_seam(ground, (int)s, places);
    add_on_medial_line(ground, places);
    /* A piece's own do not depend on those of others, so that the order of pieces does not
     * tell. */
    g_autoptr(GArray) added = g_array_new(FALSE, FALSE, sizeof(TapulCrossPlace));
    for (guint i = 0; i < ground->pattern->pieces->len; i++)
        tapul_cross_spread(ground, (int)i, places, added);
    g_array_append_vals(places, added->data, added->len);
    double top_mm = -INFINITY;
    for (guint i = 0; i < places->len; i++)
        top_mm = fmax(top_mm, g_array_index(places, TapulCrossPlace, i).base_mm.y);
    g_array_sort_with_data(places, by_reading, &top_mm);
    return places;
}
