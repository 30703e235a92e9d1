/* What edges that are to have a length add to the stretch energy: a stiff spring each. */
#include "develop/energy.h"

typedef struct {
    TapulVec2 along; /* unit, from -> to */
    double ratio;    /* of the length to the one wanted */
    double wanted_mm;
} Spring;

static Spring spring_of(const TapulHeldEdge *held, const TapulVec2 *flat_mm) {
    TapulVec2 edge = tapul_vec2_sub(flat_mm[held->to], flat_mm[held->from]);
    double length_mm = tapul_vec2_length(edge);
    return (Spring){tapul_vec2_scale(edge, 1 / length_mm), length_mm / held->length_mm,
                    held->length_mm};
}

double tapul_held_edges_value(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                              TapulVec2 *gradient) {
    double sum = 0;
    for (int i = 0; i < energy->n_held; i++) {
        const TapulHeldEdge *held = &energy->held[i];
        Spring spring = spring_of(held, flat_mm);
        double off = spring.ratio - 1;
        sum += energy->stiffness * off * off;
        if (!gradient)
            continue;
        TapulVec2 pull =
            tapul_vec2_scale(spring.along, 2 * energy->stiffness * off / spring.wanted_mm);
        gradient[held->to] = tapul_vec2_add(gradient[held->to], pull);
        gradient[held->from] = tapul_vec2_sub(gradient[held->from], pull);
    }
    return sum;
}

/* Adds c (xx, xy, yy) to the block of two unknowns, which is symmetric. */
static void add_block(TapulSparse *curvature, int row, int column, double c,
                      const double m[3]) {
    int x = tapul_sparse_index(curvature, 2 * row, 2 * column);
    int y = tapul_sparse_index(curvature, 2 * row, 2 * column + 1);
    curvature->value[x] += c * m[0];
    curvature->value[x + 1] += c * m[1];
    curvature->value[y] += c * m[1];
    curvature->value[y + 1] += c * m[2];
}

static void add_diagonal(TapulSparse *curvature, int vertex, const double m[3]) {
    double *x = &curvature->value[curvature->column_start[2 * vertex]];
    double *y = &curvature->value[curvature->column_start[2 * vertex + 1]];
    x[0] += m[0];
    x[1] += m[1];
    y[0] += m[2];
}

void tapul_held_edges_curvature(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                TapulSparse *curvature) {
    for (int i = 0; i < energy->n_held; i++) {
        const TapulHeldEdge *held = &energy->held[i];
        Spring spring = spring_of(held, flat_mm);
        TapulVec2 a = spring.along;
        double along = 2 * energy->stiffness / (spring.wanted_mm * spring.wanted_mm);
        /* Of a spring too short the part across is negative, and is left out. */
        double across = along * fmax(0, 1 - 1 / spring.ratio);
        double m[3] = {along * a.x * a.x + across * a.y * a.y, (along - across) * a.x * a.y,
                       along * a.y * a.y + across * a.x * a.x};
        add_diagonal(curvature, held->from, m);
        add_diagonal(curvature, held->to, m);
        add_block(curvature, MAX(held->from, held->to), MIN(held->from, held->to), -1, m);
    }
}
