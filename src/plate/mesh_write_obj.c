/* Writing OBJ: the plate as v and, where there is one, its development as vt, so that other
 * programs can show or check both. */
#include <tapul/mesh.h>

static void append_number(GString *text, double value) {
    char buffer[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append_c(text, ' ');
    /* Whatever the locale, a point and not a comma. */
    g_string_append(text, g_ascii_formatd(buffer, sizeof buffer, "%.9g", value));
}

static void append_vertices(GString *text, const TapulMesh *mesh) {
    for (int v = 0; v < mesh->n_vertices; v++) {
        g_string_append_c(text, 'v');
        append_number(text, mesh->position_mm[v].x);
        append_number(text, mesh->position_mm[v].y);
        append_number(text, mesh->position_mm[v].z);
        g_string_append_c(text, '\n');
    }
}

static void append_flat(GString *text, int n, const TapulVec2 *flat_mm) {
    for (int v = 0; v < n; v++) {
        g_string_append(text, "vt");
        append_number(text, flat_mm[v].x);
        append_number(text, flat_mm[v].y);
        g_string_append_c(text, '\n');
    }
}

static void append_faces(GString *text, const TapulMesh *mesh, gboolean with_flat) {
    for (int t = 0; t < mesh->n_triangles; t++) {
        g_string_append_c(text, 'f');
        for (int k = 0; k < 3; k++) {
            int number = mesh->corner[t][k] + 1;
            if (with_flat)
                g_string_append_printf(text, " %d/%d", number, number);
            else
                g_string_append_printf(text, " %d", number);
        }
        g_string_append_c(text, '\n');
    }
}

gboolean tapul_mesh_write_obj(const TapulMesh *mesh, const TapulVec2 *flat_mm, const char *path,
                              GError **error) {
    g_autoptr(GString) text =
        g_string_new(flat_mm ? "# v: plate, mm; vt: development, mm\n" : "# v: plate, mm\n");
    append_vertices(text, mesh);
    if (flat_mm)
        append_flat(text, mesh->n_vertices, flat_mm);
    append_faces(text, mesh, flat_mm != NULL);
    g_autoptr(GError) cause = NULL;
    if (g_file_set_contents(path, text->str, (gssize)text->len, &cause))
        return TRUE;
    g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_FILE,
                "%s: the file cannot be written: %s", path, cause->message);
    return FALSE;
}
