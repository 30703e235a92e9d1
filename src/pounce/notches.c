/* Notches: the same places of a seam on both of its papers. */
#include "pounce/marks_parts.h"

/* How far apart notches stand, about: closer ones weaken the paper's edge, and further ones let
 * it creep between them (common practice, no source). None comes nearer to a seam's end than
 * half of the least part, 40 / 1.5 / 2 = 13 mm, but on seams shorter than that. */
#define NOTCH_SPACING_MM 40.0

static const TapulVec2 *flat_of(const TapulPattern *pattern, const TapulSeam *seam, int side) {
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]);
    return piece->development->flat_mm;
}

static double edge_mm(const TapulPattern *pattern, const TapulSeam *seam, int i) {
    const TapulVec2 *flat_mm = flat_of(pattern, seam, 0);
    return tapul_vec2_distance(flat_mm[seam->vertex[0][i]], flat_mm[seam->vertex[0][i + 1]]);
}

double tapul_seam_length_mm(const TapulPattern *pattern, const TapulSeam *seam) {
    double length_mm = 0;
    for (int i = 0; i + 1 < seam->n; i++)
        length_mm += edge_mm(pattern, seam, i);
    return length_mm;
}

double tapul_seam_along(const TapulPattern *pattern, const TapulSeam *seam, double at_mm) {
    int i = 0;
    double left_mm = at_mm;
    while (i + 2 < seam->n && left_mm > edge_mm(pattern, seam, i))
        left_mm -= edge_mm(pattern, seam, i++);
    return i + CLAMP(left_mm / edge_mm(pattern, seam, i), 0.0, 1.0);
}

TapulVec2 tapul_seam_point_mm(const TapulPattern *pattern, const TapulSeam *seam, int side,
                              double along) {
    const TapulVec2 *flat_mm = flat_of(pattern, seam, side);
    int i = MIN((int)along, seam->n - 2);
    return tapul_vec2_mix(flat_mm[seam->vertex[side][i]], flat_mm[seam->vertex[side][i + 1]],
                          along - i);
}

int tapul_seam_notches(double length_mm) {
    return MAX(1, (int)lround(length_mm / NOTCH_SPACING_MM));
}

/* Out of the paper, which is on the seam's left on its left side. */
static TapulVec2 outward(const TapulPattern *pattern, const TapulSeam *seam, int side,
                         double along) {
    int i = MIN((int)along, seam->n - 2);
    TapulVec2 way = tapul_vec2_sub(tapul_seam_point_mm(pattern, seam, side, i + 1),
                                   tapul_seam_point_mm(pattern, seam, side, i));
    TapulVec2 out = side == 0 ? tapul_vec2(way.y, -way.x) : tapul_vec2(-way.y, way.x);
    double length = tapul_vec2_length(out);
    return length > 0 ? tapul_vec2_scale(out, 1 / length) : tapul_vec2(0, 0);
}

char *tapul_pounce_seam_name(int seam) {
    static const char letters[] = "abcdefghijkmnpqrstuvwxyz";
    const int n = (int)sizeof letters - 1;
    GString *name = g_string_new(NULL);
    for (int rest = seam; rest >= 0; rest = rest / n - 1)
        g_string_prepend_c(name, letters[rest % n]);
    return g_string_free(name, FALSE);
}

static void set_label(TapulNotch *notch, int seam, int i) {
    g_autofree char *name = tapul_pounce_seam_name(seam);
    g_snprintf(notch->label, sizeof notch->label, "%s%d", name, i + 1);
}

double tapul_seam_notch_along(const TapulPattern *pattern, const TapulSeam *seam, int i,
                              int n) {
    return tapul_seam_along(pattern, seam, tapul_seam_length_mm(pattern, seam) * (i + 0.5) / n);
}

static void add_notches(const TapulPattern *pattern, int number, int side,
                        TapulPouncePiece *piece) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)number);
    int n = tapul_seam_notches(tapul_seam_length_mm(pattern, seam));
    for (int i = 0; i < n; i++) {
        double along = tapul_seam_notch_along(pattern, seam, i, n);
        TapulNotch notch = {.at_mm = tapul_seam_point_mm(pattern, seam, side, along),
                            .outward = outward(pattern, seam, side, along),
                            .seam = number};
        set_label(&notch, number, i);
        g_array_append_val(piece->notches, notch);
    }
}

void tapul_pounce_notches(const TapulPattern *pattern, TapulPouncePiece *piece) {
    for (guint s = 0; s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        for (int side = 0; side < 2; side++)
            if (seam->piece[side] == piece->number - 1)
                add_notches(pattern, (int)s, side, piece);
    }
}
