/* Tape coordinates: up the medial line from the lower edge, then along the level cut, over the
 * metal. */
#include "plate/cut.h"
#include "plate/plate_private.h"

/* Readings this far beyond the edge still count as on it: far below any tape's graduation. */
#define TAPE_SLACK_MM 1e-4
/* How far within a level lower edge its cut is taken. */
#define EDGE_STEP_MM 1e-6
/* A point of a level cut this near to the medial line is where they cross: both are exact but
 * for rounding. */
#define MEDIAL_TOLERANCE_MM 1e-3

static TapulPlane level_at(double y_mm) {
    return (TapulPlane){{0, 1, 0}, y_mm};
}

/* --- The medial line --- */

static double mean_depth(const TapulCut *cut) {
    double sum = 0;
    for (guint i = 0; i < cut->points->len; i++)
        sum += g_array_index(cut->points, TapulVec3, i).z;
    return sum / cut->points->len;
}

const TapulMesh *tapul_plate_tape_mesh(const TapulPlate *plate) {
    return plate->whole ? plate->whole : plate->mesh;
}

void tapul_plate_find_medial_line(TapulPlate *plate) {
    const TapulMesh *mesh = tapul_plate_tape_mesh(plate);
    g_autofree gboolean *seen = g_new0(gboolean, mesh->n_triangles);
    TapulCut *best = NULL;

    for (int t = 0; t < mesh->n_triangles; t++) {
        if (seen[t])
            continue;
        g_autoptr(TapulCut) cut = tapul_cut_through(mesh, (TapulPlane){{1, 0, 0}, 0}, t);
        for (guint i = 0; cut && i < cut->triangles->len; i++)
            seen[g_array_index(cut->triangles, int, i)] = TRUE;
        if (cut && (!best || mean_depth(cut) > mean_depth(best))) {
            tapul_cut_free(best);
            best = g_steal_pointer(&cut);
        }
    }
    if (!best) {
        g_ptr_array_add(
            plate->problems,
            g_strdup(
                "the medial plane x = 0 misses the plate: tape coordinates cannot be used"));
        return;
    }
    if (g_array_index(best->points, TapulVec3, 0).y >
        g_array_index(best->points, TapulVec3, best->points->len - 1).y)
        tapul_cut_reverse(best);
    plate->medial_cut = best;
    plate->medial = g_array_new(FALSE, FALSE, sizeof(TapulSpot));
    for (guint i = 0; i < best->points->len; i++) {
        TapulSpot spot = tapul_cut_spot(mesh, best, g_array_index(best->along_mm, double, i));
        g_array_append_val(plate->medial, spot);
    }
}

const GArray *tapul_plate_medial_line(const TapulPlate *plate) {
    return plate->medial;
}

/* --- Level cuts --- */

/* The level cut through a spot, running to the viewer's right; *along_mm is where the spot is
 * on it. */
static TapulCut *level_cut(const TapulPlate *plate, TapulSpot spot, double *along_mm) {
    const TapulMesh *mesh = tapul_plate_tape_mesh(plate);
    double y_mm = tapul_mesh_flat_position_mm(mesh, spot).y;
    TapulCut *cut = tapul_cut_at(mesh, level_at(y_mm), spot, along_mm);
    if (!cut) /* on a lower edge that is level: just within it */
        cut = tapul_cut_at(mesh, level_at(y_mm + EDGE_STEP_MM), spot, along_mm);
    if (!cut)
        return NULL;
    tapul_cut_centre(mesh, cut, along_mm);
    double share;
    guint i = tapul_cut_segment(cut, *along_mm, &share);
    /* A segment of no length tells no direction: take the longest of the neighbours. */
    guint best = i;
    for (guint k = i > 2 ? i - 2 : 0; k < MIN(i + 3, cut->triangles->len); k++)
        if (g_array_index(cut->along_mm, double, k + 1) -
                g_array_index(cut->along_mm, double, k) >
            g_array_index(cut->along_mm, double, best + 1) -
                g_array_index(cut->along_mm, double, best))
            best = k;
    TapulVec3 step = tapul_vec3_sub(g_array_index(cut->points, TapulVec3, best + 1),
                                    g_array_index(cut->points, TapulVec3, best));
    TapulVec3 outward = tapul_mesh_face_normal(mesh, g_array_index(cut->triangles, int, best));
    if (tapul_vec3_dot(step, tapul_vec3_cross(tapul_vec3(0, 1, 0), outward)) < 0) {
        *along_mm = tapul_cut_length_mm(cut) - *along_mm;
        tapul_cut_reverse(cut);
    }
    return cut;
}

/* The tape length up the medial line of the point of it nearest to p. */
static double medial_length_at(const TapulPlate *plate, TapulVec3 p, double *distance_mm) {
    const TapulCut *medial = plate->medial_cut;
    double up_mm = 0;
    *distance_mm = INFINITY;
    for (guint i = 0; i + 1 < medial->points->len; i++) {
        TapulVec3 a = g_array_index(medial->points, TapulVec3, i);
        TapulVec3 edge = tapul_vec3_sub(g_array_index(medial->points, TapulVec3, i + 1), a);
        double length2 = tapul_vec3_dot(edge, edge);
        double share =
            length2 > 0 ? CLAMP(tapul_vec3_dot(tapul_vec3_sub(p, a), edge) / length2, 0.0, 1.0)
                        : 0;
        double distance =
            tapul_vec3_distance(p, tapul_vec3_add(a, tapul_vec3_scale(edge, share)));
        if (distance < *distance_mm) {
            *distance_mm = distance;
            up_mm = g_array_index(medial->along_mm, double, i) + share * sqrt(length2);
        }
    }
    return up_mm;
}

/* Where a level cut meets the medial line, nearest to a place on the cut, and how far up the
 * line that is. A cut may pass the medial plane elsewhere too, as at the back of a tube. */
static gboolean medial_crossing(const TapulPlate *plate, const TapulCut *cut, double near_mm,
                                double *along_mm, double *up_mm) {
    double nearest = INFINITY;
    for (guint i = 0; i + 1 < cut->points->len; i++) {
        TapulVec3 a = g_array_index(cut->points, TapulVec3, i);
        TapulVec3 b = g_array_index(cut->points, TapulVec3, i + 1);
        if (a.x * b.x > 0)
            continue;
        double share = a.x == b.x ? 0 : a.x / (a.x - b.x), off_mm;
        double from = g_array_index(cut->along_mm, double, i);
        double to = g_array_index(cut->along_mm, double, i + 1);
        double here = from + share * (to - from);
        if (fabs(here - near_mm) >= nearest)
            continue;
        double up = medial_length_at(plate, tapul_vec3_mix(a, b, share), &off_mm);
        if (off_mm > MEDIAL_TOLERANCE_MM)
            continue;
        nearest = fabs(here - near_mm);
        *along_mm = here;
        *up_mm = up;
    }
    return isfinite(nearest);
}

gboolean tapul_plate_spot_from_tape(const TapulPlate *plate, double across_mm, double up_mm,
                                    TapulSpot *spot, GError **error) {
    if (!plate->medial_cut) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_OFF_PLATE,
                    "%s: the medial plane x = 0 misses the plate, so that no point can be "
                    "given by tape",
                    plate->name);
        return FALSE;
    }
    double top_mm = tapul_cut_length_mm(plate->medial_cut);
    if (!(up_mm >= -TAPE_SLACK_MM && up_mm <= top_mm + TAPE_SLACK_MM)) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_OFF_PLATE,
                    "up_mm %g is off the plate: its medial line runs from 0 to %.1f mm", up_mm,
                    top_mm);
        return FALSE;
    }
    TapulSpot medial = tapul_cut_spot(tapul_plate_tape_mesh(plate), plate->medial_cut,
                                      CLAMP(up_mm, 0, top_mm));
    double start_mm = 0;
    g_autoptr(TapulCut) cut = level_cut(plate, medial, &start_mm);
    /* At the very tip of a plate the level cut is but a point. */
    double length_mm = cut ? tapul_cut_length_mm(cut) : 0;
    double wanted_mm = start_mm + across_mm;
    if (!(wanted_mm >= -TAPE_SLACK_MM && wanted_mm <= length_mm + TAPE_SLACK_MM)) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_OFF_PLATE,
                    "across_mm %g is off the plate: %g mm up, it reaches from %.1f to %.1f mm",
                    across_mm, up_mm, -start_mm, length_mm - start_mm);
        return FALSE;
    }
    *spot = cut && across_mm != 0 ? tapul_cut_spot(tapul_plate_tape_mesh(plate), cut, wanted_mm)
                                  : medial;
    return TRUE;
}

gboolean tapul_plate_tape_from_spot(const TapulPlate *plate, TapulSpot spot, double *across_mm,
                                    double *up_mm) {
    double here_mm = 0, medial_mm = 0;
    if (!plate->medial_cut)
        return FALSE;
    g_autoptr(TapulCut) cut = level_cut(plate, spot, &here_mm);
    if (!cut || !medial_crossing(plate, cut, here_mm, &medial_mm, up_mm))
        return FALSE;
    *across_mm = here_mm - medial_mm;
    return TRUE;
}

gboolean tapul_plate_level_extent(const TapulPlate *plate, double y_mm, double *left_mm,
                                  double *right_mm) {
    for (guint i = 0; plate->medial_cut && i + 1 < plate->medial_cut->points->len; i++) {
        double a = g_array_index(plate->medial_cut->points, TapulVec3, i).y,
               b = g_array_index(plate->medial_cut->points, TapulVec3, i + 1).y;
        if ((a - y_mm) * (b - y_mm) > 0 || a == b)
            continue;
        double from = g_array_index(plate->medial_cut->along_mm, double, i),
               to = g_array_index(plate->medial_cut->along_mm, double, i + 1), start_mm = 0;
        TapulSpot spot = tapul_cut_spot(tapul_plate_tape_mesh(plate), plate->medial_cut,
                                        from + (to - from) * (y_mm - a) / (b - a));
        g_autoptr(TapulCut) cut = level_cut(plate, spot, &start_mm);
        if (!cut)
            return FALSE;
        *left_mm = -start_mm;
        *right_mm = tapul_cut_length_mm(cut) - start_mm;
        return TRUE;
    }
    return FALSE;
}
