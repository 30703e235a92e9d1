/* From smooth surface to mesh: both halves triangulated, joined along the medial line, with the
 * surface's own normals at the corners. */
#include "plate/patch.h"
#include "plate/plate_private.h"
#include "plate/trim.h"

/* Rulings of cylinders and cones are at most this far apart: an arc exceeds its chord by 2.9e-5
 * of its length, which keeps sector angles of developed cones within 0.01 degree. */
#define LARGEST_RULING_STEP_RAD (1.5 * G_PI / 180)
/* Cells of a ruled grid are at most this many times taller than wide. */
#define LARGEST_ASPECT 3.0
/* But there are no more rows than this: a ruling is straight however long it is. */
#define MOST_ROWS 400

/* A cylinder or cone whole: a grid of rulings, exactly developable. */
static TapulPatch *ruled_patch(const TapulSurface *surface, double chord_error_mm) {
    double radius_mm = 0, arc_mm = 0, sweep_rad = 0;
    for (int end = 0; end <= 1; end++) {
        TapulVec3 front = surface->evaluate(surface, 1, 0, end),
                  side = surface->evaluate(surface, 1, 0.5, end);
        if (front.z <= radius_mm)
            continue;
        radius_mm = front.z;
        sweep_rad = 2 * atan2(side.x, side.z);
        arc_mm = radius_mm * sweep_rad;
    }
    double step_rad =
        fmin(LARGEST_RULING_STEP_RAD, 2 * acos(1 - fmin(1, chord_error_mm / radius_mm)));
    int n_across = MAX(2, (int)ceil(sweep_rad / step_rad - 1e-9));
    double slant_mm = tapul_vec3_distance(surface->evaluate(surface, 1, 0, 0),
                                          surface->evaluate(surface, 1, 0, 1));
    double rows = ceil(slant_mm / (LARGEST_ASPECT * arc_mm / n_across));
    int n_up = (int)CLAMP(rows, 2, MOST_ROWS);
    return tapul_patch_grid(surface, 1, n_across, n_up);
}

static TapulPatch *trimmed_patch(const TapulSurface *surface, int side,
                                 const GArray *outline_mm, const TapulSizing *sizing,
                                 char **fault) {
    g_autoptr(GArray) loop = tapul_trim_loop(surface, side, outline_mm, fault);
    return loop ? tapul_patch_new(surface, side, loop, sizing, fault) : NULL;
}

/* A mesh being put together from patches. */
typedef struct {
    GArray *position; /* of TapulVec3 */
    GArray *corner;   /* of int[3] */
    GArray *normal;   /* of TapulVec3[3] */
} Assembly;

/* Adds one side's patch; index[v] is where its vertex v goes. side -1 turns the winding. */
static void add_patch(Assembly *assembly, const TapulPatch *patch, int side, const int *index,
                      gboolean ridge) {
    const TapulSurface *surface = patch->surface;
    gboolean mirror = side != patch->side;
    g_autofree TapulVec3 *normal = g_new0(TapulVec3, patch->vertices->len);
    for (guint v = 0; v < patch->vertices->len; v++) {
        TapulVec2 uv = g_array_index(patch->vertices, TapulPatchVertex, v).uv;
        normal[v] = tapul_surface_normal(surface, patch->side, uv.x, uv.y);
        if (mirror)
            normal[v].x = -normal[v].x;
        if (uv.x <= 0 && !ridge) {
            TapulVec3 other = tapul_surface_normal(surface, -patch->side, uv.x, uv.y);
            if (mirror)
                other.x = -other.x;
            normal[v] = tapul_vec3_unit(tapul_vec3_add(normal[v], other));
        }
    }
    for (guint t = 0; t < patch->triangles->len; t++) {
        const int *from = g_array_index(patch->triangles, TapulPatchTriangle, t).corner;
        int corner[3];
        TapulVec3 corner_normal[3];
        for (int k = 0; k < 3; k++) {
            int source = from[side > 0 ? k : 2 - k];
            corner[k] = index[source];
            corner_normal[k] = normal[source];
        }
        g_array_append_vals(assembly->corner, corner, 3);
        g_array_append_vals(assembly->normal, corner_normal, 3);
    }
}

static void add_right(Assembly *assembly, const TapulPatch *patch, gboolean ridge) {
    g_autofree int *index = g_new(int, patch->vertices->len);
    for (guint v = 0; v < patch->vertices->len; v++) {
        index[v] = (int)assembly->position->len;
        g_array_append_val(assembly->position,
                           g_array_index(patch->vertices, TapulPatchVertex, v).at);
    }
    add_patch(assembly, patch, 1, index, ridge);
}

/* Adds the left side, its medial vertices being the right side's. Matching is by height in the
 * square: both sides space the medial line alike. */
static gboolean add_left(Assembly *assembly, const TapulPatch *right, const TapulPatch *left,
                         gboolean ridge) {
    g_autofree int *index = g_new(int, left->vertices->len);
    gboolean mirror = left == right;
    for (guint v = 0; v < left->vertices->len; v++) {
        const TapulPatchVertex *vertex = &g_array_index(left->vertices, TapulPatchVertex, v);
        index[v] = -1;
        for (guint w = 0;
             vertex->uv.x <= 0 && right && w < right->vertices->len && index[v] < 0; w++) {
            TapulVec2 uv = g_array_index(right->vertices, TapulPatchVertex, w).uv;
            if (uv.x <= 0 && fabs(uv.y - vertex->uv.y) < 1e-9)
                index[v] = (int)w;
        }
        if (index[v] >= 0)
            continue;
        if (vertex->uv.x <= 0 && right)
            return FALSE;
        TapulVec3 at = vertex->at;
        if (mirror)
            at.x = -at.x;
        index[v] = (int)assembly->position->len;
        g_array_append_val(assembly->position, at);
    }
    add_patch(assembly, left, -1, index, ridge);
    return TRUE;
}

static TapulMesh *finish(const Assembly *assembly, char **fault) {
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh = tapul_mesh_new(
        (int)assembly->position->len, (const TapulVec3 *)assembly->position->data,
        (int)assembly->corner->len / 3, (const int(*)[3])assembly->corner->data, &error);
    if (!mesh) {
        *fault = g_strdup_printf("the surface cannot be made into a mesh: %s", error->message);
        return NULL;
    }
    /* Where the surface degenerates, as at a cone's apex, the estimated normals stay. */
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 exact = g_array_index(assembly->normal, TapulVec3, 3 * t + k);
            if (tapul_vec3_length(exact) > 0.5)
                mesh->normal[t][k] = exact;
        }
    return mesh;
}

/* TRUE if every point of the outline has its mirror image in it. */
static gboolean outline_is_even(const GArray *outline_mm) {
    for (guint i = 0; outline_mm && i < outline_mm->len; i++) {
        TapulVec2 p = g_array_index(outline_mm, TapulVec2, i);
        gboolean found = FALSE;
        for (guint j = 0; j < outline_mm->len && !found; j++) {
            TapulVec2 q = g_array_index(outline_mm, TapulVec2, j);
            found = fabs(p.x + q.x) < 1e-9 && fabs(p.y - q.y) < 1e-9;
        }
        if (!found)
            return FALSE;
    }
    return TRUE;
}

static TapulMesh *join_halves(const TapulPatch *right, const TapulPatch *left, gboolean ridge,
                              char **fault) {
    Assembly assembly = {g_array_new(FALSE, FALSE, sizeof(TapulVec3)),
                         g_array_new(FALSE, FALSE, sizeof(int)),
                         g_array_new(FALSE, FALSE, sizeof(TapulVec3))};
    TapulMesh *mesh = NULL;

    if (right)
        add_right(&assembly, right, ridge);
    if (!left || add_left(&assembly, right, left, ridge))
        mesh = finish(&assembly, fault);
    else
        *fault = g_strdup("the two halves do not meet along the medial line");
    g_array_unref(assembly.position);
    g_array_unref(assembly.corner);
    g_array_unref(assembly.normal);
    return mesh;
}

TapulMesh *tapul_plate_build_mesh(const TapulSurface *surface, const GArray *outline_mm,
                                  gboolean ridge, double chord_error_mm, char **fault) {
    if (surface->ruled && !outline_mm) {
        g_autoptr(TapulPatch) half = ruled_patch(surface, chord_error_mm);
        return join_halves(half, half, ridge, fault);
    }
    g_autoptr(TapulSizing) sizing = tapul_sizing_new(surface, chord_error_mm);
    g_autoptr(TapulPatch) right = trimmed_patch(surface, 1, outline_mm, sizing, fault);
    if (*fault)
        return NULL;
    if (right && surface->mirrored && outline_is_even(outline_mm))
        return join_halves(right, right, ridge, fault);
    g_autoptr(TapulPatch) left = trimmed_patch(surface, -1, outline_mm, sizing, fault);
    if (*fault)
        return NULL;
    if (!right && !left) {
        *fault = g_strdup("the outline lies wholly off the surface");
        return NULL;
    }
    return join_halves(right, left, ridge, fault);
}
