/* A print's pairs in the plane of one geometry, with the metal's metric at each. */
#include "evidence/placement.h"

TapulSitting *tapul_sitting_in(const TapulPairSet *pairs, const TapulPlane *plane) {
    TapulSitting *sitting = g_new0(TapulSitting, 1);
    sitting->geometry = plane->geometry;
    sitting->anchor = plane->chart.anchor;
    sitting->pressing_mm = pairs->pressing_mm;
    sitting->n = pairs->n;
    sitting->print_mm = g_memdup2(pairs->print_mm, (gsize)pairs->n * sizeof(TapulVec2));
    sitting->plane_mm = g_new(TapulVec2, pairs->n);
    sitting->metric = g_new(TapulPlaneMetric, pairs->n);
    for (int k = 0; k < pairs->n; k++) {
        TapulVec3 by_x, by_y;
        sitting->plane_mm[k] = tapul_plane_point(plane, pairs->spot[k]);
        tapul_plane_derivatives(plane, pairs->spot[k], sitting->plane_mm[k], &by_x, &by_y);
        sitting->metric[k] = tapul_plane_metric(by_x, by_y);
    }
    return sitting;
}

TapulSitting *tapul_sitting_new(const TapulPairSet *pairs, TapulLayingRule geometry,
                                TapulSpot anchor) {
    TapulPlane plane = tapul_plane(pairs->ground, geometry, anchor);
    return tapul_sitting_in(pairs, &plane);
}

void tapul_sitting_free(TapulSitting *sitting) {
    if (!sitting)
        return;
    g_free(sitting->print_mm);
    g_free(sitting->plane_mm);
    g_free(sitting->metric);
    g_free(sitting);
}
