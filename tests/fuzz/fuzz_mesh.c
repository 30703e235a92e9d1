/* Fuzz target of the mesh readers: any bytes must give a whole mesh or a one-line error. */
#include <glib.h>
#include <stdint.h>
#include <string.h>

#include "plate/mesh_read.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What later steps rely on; a failure here is a fault of the readers. */
static void check_mesh(const TapulMesh *mesh) {
    g_assert_cmpint(mesh->n_triangles, >, 0);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            g_assert_cmpint(mesh->corner[t][k], >=, 0);
            g_assert_cmpint(mesh->corner[t][k], <, mesh->n_vertices);
            g_assert_cmpfloat(fabs(tapul_vec3_length(mesh->normal[t][k]) - 1), <, 1e-9);
        }
}

/* The searches and measures must bear whatever the readers let through. */
static void use_mesh(const TapulMesh *mesh) {
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    TapulSpot spot;
    double t;
    double distance_mm = tapul_mesh_tree_nearest(tree, tapul_vec3(0.3, 0.1, -0.2), &spot);
    g_assert_true(isfinite(distance_mm));
    TapulVec3 bulged = tapul_mesh_smooth_position_mm(mesh, spot);
    g_assert_true(isfinite(bulged.x + bulged.y + bulged.z));
    tapul_mesh_tree_first_hit(tree, tapul_vec3(0.3, 0.1, 5), tapul_vec3(0, 0.1, -1), &spot, &t);
    g_assert_true(isfinite(tapul_mesh_total_curvature_rad(mesh)));
    g_autoptr(GError) error = NULL;
    g_assert_true(tapul_mesh_check_disc(mesh, &error) == (error == NULL));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const name[] = {"mesh", "mesh.obj", "mesh.ply", "mesh.stl", "mesh.off"};
    for (gsize i = 0; i < G_N_ELEMENTS(name); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulMesh) mesh =
            tapul_mesh_read_bytes(name[i], (const char *)data, size, 1, &error);
        g_assert_true((mesh == NULL) == (error != NULL));
        if (error)
            g_assert_null(strchr(error->message, '\n'));
        if (!mesh)
            continue;
        check_mesh(mesh);
        use_mesh(mesh);
        /* Content told the format; other names change nothing. */
        break;
    }
    return 0;
}
