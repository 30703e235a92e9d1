/* Symmetry of a print about an upright line, told by its points. Designs of that form look
 * alike whoever drew them, so that chance must be weighed within their halves. */
#include "evidence/classes.h"
#include "evidence/sittings.h"

/* A point and its mirror image are both picked: the two errors together stay within this many
 * of one in six couples of ten, and half are asked for. */
#define PICKING_ERRORS 2.0
/* Of any points, this many couples at least must mirror. */
#define FEWEST_COUPLES 2

static TapulMirrorClass class_of(double off_mm, double reach) {
    if (fabs(off_mm) <= reach)
        return TAPUL_MIRROR_AXIS;
    return off_mm < 0 ? TAPUL_MIRROR_LEFT : TAPUL_MIRROR_RIGHT;
}

/* How many points have their mirror image among the points; off: of them not on the line. */
static int count_mirrored(int n, const TapulVec2 *print_mm, double axis_x_mm, double reach,
                          int *off) {
    int mirrored = 0;
    *off = 0;
    for (int k = 0; k < n; k++) {
        TapulVec2 image = {2 * axis_x_mm - print_mm[k].x, print_mm[k].y};
        gboolean found = FALSE;
        for (int i = 0; i < n && !found; i++)
            found = tapul_vec2_distance(image, print_mm[i]) <= reach;
        mirrored += found;
        *off += found && fabs(print_mm[k].x - axis_x_mm) > reach;
    }
    return mirrored;
}

/* Left points take the nearest right one about their image that is still free. */
static void find_partners(int n, const TapulVec2 *print_mm, double axis_x_mm, double reach,
                          const TapulMirrorClass *mirror_class, int *partner) {
    for (int k = 0; k < n; k++)
        partner[k] = -1;
    for (int k = 0; k < n; k++) {
        double nearest = reach;
        if (mirror_class[k] != TAPUL_MIRROR_LEFT)
            continue;
        TapulVec2 image = {2 * axis_x_mm - print_mm[k].x, print_mm[k].y};
        for (int i = 0; i < n; i++) {
            double off = tapul_vec2_distance(image, print_mm[i]);
            if (mirror_class[i] != TAPUL_MIRROR_RIGHT || partner[i] >= 0 || off > nearest)
                continue;
            nearest = off;
            partner[k] = i;
        }
        if (partner[k] >= 0)
            partner[partner[k]] = k;
    }
}

gboolean tapul_mirror_classes(int n, const TapulVec2 *print_mm, double pick_sd_mm,
                              double *axis_x_mm, TapulMirrorClass *mirror_class, int *partner) {
    double reach = PICKING_ERRORS * fmax(pick_sd_mm, TAPUL_LEAST_PICK_SD_MM);
    int most = 0;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++) {
            double axis = (print_mm[i].x + print_mm[j].x) / 2;
            int off, mirrored = count_mirrored(n, print_mm, axis, reach, &off);
            if (off >= 2 * FEWEST_COUPLES && 2 * mirrored >= n && mirrored > most) {
                most = mirrored;
                *axis_x_mm = axis;
            }
        }
    for (int k = 0; k < n && most > 0; k++)
        mirror_class[k] = class_of(print_mm[k].x - *axis_x_mm, reach);
    if (most > 0)
        find_partners(n, print_mm, *axis_x_mm, reach, mirror_class, partner);
    return most > 0;
}
