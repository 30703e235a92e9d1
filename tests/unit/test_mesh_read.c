/* Reading and writing mesh files: what is read, what is refused and how. */
#include "meshes_for_tests.h"
#include "plate/mesh_read.h"

#include <check.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static TapulMesh *read_text(const char *name, const char *text, GError **error) {
    TapulMesh *mesh = tapul_mesh_read_bytes(name, text, strlen(text), 1, error);
    ck_assert((mesh == NULL) == (*error != NULL));
    return mesh;
}

static TapulMesh *read_good(const char *name, const char *text) {
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh = read_text(name, text, &error);
    ck_assert_msg(mesh != NULL, "%s", error ? error->message : "");
    return mesh;
}

static void expect_size(const char *name, const char *text, int n_vertices, int n_triangles,
                        double area_mm2) {
    g_autoptr(TapulMesh) mesh = read_good(name, text);
    ck_assert_msg(mesh->n_vertices == n_vertices && mesh->n_triangles == n_triangles,
                  "%s: %d vertices, %d triangles", text, mesh->n_vertices, mesh->n_triangles);
    ck_assert_double_eq_tol(tapul_mesh_area_mm2(mesh), area_mm2, 1e-12);
}

START_TEST(obj_is_read_in_all_its_ways_of_writing) {
    expect_size("a.obj", "v 0 0 0\nv 2 0 0\nv 0 2 0\nf 1 2 3\n", 3, 1, 2);
    expect_size("a.obj", "v 0 0 0\nv 2 0 0\nv 0 2 0\nf 1 2 3", 3, 1, 2);
    expect_size("a.obj", "v 0 0 0\rv 2 0 0\rv 0 2 0\rf 1/1 2//2 3/3/3\r", 3, 1, 2);
    expect_size("a.obj",
                "\xEF\xBB\xBFv 0 0 0\r\nv 2 0 0 1\r\nv\t0 +2. 0 .5 .5 .5\r\nf -3 -2 -1\r\n", 3,
                1, 2);
    expect_size("a.obj",
                "v 0 0 \\\n0\nv 2 0 0\nv 0 20e-1 0\nf 1 2 \\\r\n 3 # a note \\\nf 1 2 3\n", 3,
                1, 2);
    expect_size("a.obj",
                "# note \\\nv 0 0 0\ng f 1 2\nvt 0 0\nvn 0 0 1\nF 1 2 3\nV 2 0 0\nv 0 2 0\n", 3,
                1, 2);
    expect_size("no ending", "v 0 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\nf 1 2 3 4\n", 4, 2, 4);
    /* Both ways round and twice: the first of them is kept. */
    expect_size("a.obj", "v 0 0 0\nv 2 0 0\nv 0 2 0\nf 1 2 3\nf 2 3 1\nf 3 2 1\nf 1 1 2\n", 3,
                1, 2);
}
END_TEST

START_TEST(off_is_read_with_and_without_colours) {
    expect_size("a.off", "OFF\n3 1 3\n0 0 0\n2 0 0\n0 2 0\n3 0 1 2\n", 3, 1, 2);
    expect_size("a.off", "3 1\n0 0 0\n2 0 0\n0 2 0\n3 0 1 2", 3, 1, 2);
    expect_size("a",
                "# note\n\nCOFF 3 1 0\n0 0 0 1 0 0 1\n\n2 0 0 1 0 0 1 # red\n0 2 0 1 0 0 1\n3 "
                "0 1 2 255 0 0\n",
                3, 1, 2);
    expect_size("a",
                "CNOFF\r\n3 1 0\r\n0 0 0 0 0 1\r\n2 0 0 0 0 1\r\n0 2 0 0 0 1\r\n3 0 1 2\r\n", 3,
                1, 2);
    expect_size("a", "OFF3 1 0\n0 0 0\n2 0 0\n0 2 0\n3 0 1 2\n", 3, 1, 2);
}
END_TEST

START_TEST(text_stl_is_welded) {
    expect_size("a.stl",
                "solid vertex 1 2 3\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 2 0 "
                "0\nvertex 0 2 0\n"
                "endloop\nendfacet\nendsolid\nSOLID\n FACET NORMAL nan nan nan\n OUTER LOOP\n "
                "VERTEX 2 0 0\n"
                " VERTEX 2 2 0\n VERTEX 1e-6 2 0\n ENDLOOP\n ENDFACET\nENDSOLID vertex\n",
                4, 2, 4);
}
END_TEST

START_TEST(text_ply_is_read_by_its_header) {
    expect_size(
        "a.ply",
        "ply\r\nformat ascii 1.0\r\ncomment end_header\r\nobj_info x\r\nelement vertex 3\r\n"
        "property uchar red\r\nproperty list uchar float weights\r\nproperty double z\r\n"
        "property float64 x\r\nproperty int16 y\r\nelement camera 2\r\nproperty float a\r\n"
        "element face 1\r\nproperty list uint8 int32 vertex_index\r\nend_header\r\n"
        "255 2 nan 1 0 0 0\r\n\r\n1 0 0 2 0\r\n1 1 7 0 0 2 extra\r\nnan\r\ninf\r\n3 0 1 2\r\n",
        3, 1, 2);
}
END_TEST

static void append_bytes(GByteArray *bytes, guint64 bits, int n, gboolean big) {
    for (int i = 0; i < n; i++) {
        guint8 byte = (guint8)(bits >> 8 * (big ? n - 1 - i : i));
        g_byte_array_append(bytes, &byte, 1);
    }
}

static void append_float(GByteArray *bytes, double value, gboolean big) {
    float single = (float)value;
    guint32 bits;
    memcpy(&bits, &single, sizeof bits);
    append_bytes(bytes, bits, 4, big);
}

static GByteArray *ply_of(const TapulMesh *mesh, gboolean big) {
    g_autofree char *header =
        g_strdup_printf("ply\nformat binary_%s_endian 1.0\nelement vertex %d\nproperty float "
                        "z\nproperty short odd\n"
                        "property float x\nproperty float y\nelement face %d\nproperty list "
                        "ushort uint vertex_indices\n"
                        "property list uchar float texcoord\nend_header\n",
                        big ? "big" : "little", mesh->n_vertices, mesh->n_triangles);
    GByteArray *bytes = g_byte_array_new();
    g_byte_array_append(bytes, (const guint8 *)header, (guint)strlen(header));
    for (int v = 0; v < mesh->n_vertices; v++) {
        append_float(bytes, mesh->position_mm[v].z, big);
        append_bytes(bytes, 0xfffe, 2, big);
        append_float(bytes, mesh->position_mm[v].x, big);
        append_float(bytes, mesh->position_mm[v].y, big);
    }
    for (int t = 0; t < mesh->n_triangles; t++) {
        append_bytes(bytes, 3, 2, big);
        for (int k = 0; k < 3; k++)
            append_bytes(bytes, (guint)mesh->corner[t][k], 4, big);
        append_bytes(bytes, 1, 1, big);
        append_float(bytes, 0.5, big);
    }
    return bytes;
}

/* Corners moved by up to `shake` mm, each facet on its own. */
static GByteArray *stl_of(const TapulMesh *mesh, double shake, const char *start) {
    GByteArray *bytes = g_byte_array_new();
    g_byte_array_set_size(bytes, 80);
    memset(bytes->data, ' ', 80);
    memcpy(bytes->data, start, strlen(start));
    append_bytes(bytes, (guint)mesh->n_triangles, 4, FALSE);
    g_autoptr(GRand) random = g_rand_new_with_seed(3);
    for (int t = 0; t < mesh->n_triangles; t++) {
        for (int i = 0; i < 3; i++)
            append_float(bytes, NAN, FALSE);
        for (int k = 0; k < 3; k++) {
            TapulVec3 p = mesh->position_mm[mesh->corner[t][k]];
            append_float(bytes, p.x + g_rand_double_range(random, 0, shake), FALSE);
            append_float(bytes, p.y + g_rand_double_range(random, 0, shake), FALSE);
            append_float(bytes, p.z + g_rand_double_range(random, 0, shake), FALSE);
        }
        append_bytes(bytes, 0, 2, FALSE);
    }
    return bytes;
}

static TapulMesh *read_array(const char *name, const GByteArray *bytes) {
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh =
        tapul_mesh_read_bytes(name, (const char *)bytes->data, bytes->len, 1, &error);
    ck_assert_msg(mesh != NULL, "%s", error ? error->message : "");
    return mesh;
}

START_TEST(binary_ply_is_read_in_both_orders) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(2);
    for (int big = 0; big < 2; big++) {
        g_autoptr(GByteArray) bytes = ply_of(sphere, big);
        g_autoptr(TapulMesh) mesh = read_array("any name", bytes);
        ck_assert_int_eq(mesh->n_vertices, sphere->n_vertices);
        ck_assert_int_eq(mesh->n_triangles, sphere->n_triangles);
        ck_assert_mem_eq(mesh->corner, sphere->corner,
                         sizeof *mesh->corner * (size_t)mesh->n_triangles);
        for (int v = 0; v < mesh->n_vertices; v++)
            ck_assert_double_lt(
                tapul_vec3_distance(mesh->position_mm[v], sphere->position_mm[v]), 1e-7);
    }
}
END_TEST

START_TEST(binary_stl_is_told_by_its_size_and_welded) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(3);
    /* The box's diagonal is 2 sqrt(3): corners may lie 3.4e-6 apart, edges are 0.1 long. */
    for (int i = 0; i < 2; i++) {
        g_autoptr(GByteArray) bytes = stl_of(sphere, i ? 1.5e-6 : 0, "solid facet normal");
        g_autoptr(TapulMesh) mesh = read_array("any name", bytes);
        ck_assert_int_eq(mesh->n_vertices, sphere->n_vertices);
        ck_assert_int_eq(mesh->n_triangles, sphere->n_triangles);
        ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(mesh), 4 * G_PI, 1e-9);
    }
    g_autoptr(GByteArray) apart = stl_of(sphere, 1e-3, "");
    g_autoptr(TapulMesh) mesh = read_array("any name", apart);
    ck_assert_int_gt(mesh->n_vertices, sphere->n_vertices);
}
END_TEST

START_TEST(units_are_made_mm) {
    g_autoptr(GError) error = NULL;
    const char *text = "v 0 0 0\nv 2 0 0\nv 0 1 0\nf 1 2 3\n";
    g_autoptr(TapulMesh) mesh =
        tapul_mesh_read_bytes("a.obj", text, strlen(text), 25.4, &error);
    ck_assert_double_eq_tol(tapul_mesh_area_mm2(mesh), 645.16, 1e-9);
}
END_TEST

/* --- What is refused --- */

typedef struct {
    const char *name, *text;
    TapulMeshError code;
    const char *message; /* a part of it */
} Refusal;

#define PLY_TOP  "ply\nformat ascii 1.0\n"
#define PLY_XYZ  "property float x\nproperty float y\nproperty float z\n"
#define PLY_FACE "property list uchar int vertex_indices\nend_header\n"

static const Refusal refusals[] = {
    {"a.obj", "", TAPUL_MESH_ERROR_FILE, "a.obj: the file is empty"},
    {"a.txt", "Dear reader,\n", TAPUL_MESH_ERROR_FILE, "no OBJ, PLY, STL or OFF"},
    {"a.obj", "\xFE\xFF v", TAPUL_MESH_ERROR_FILE, "UTF-16"},
    {"a.obj", "Dear reader,\n", TAPUL_MESH_ERROR_EMPTY,
     "a.obj: no surface: 0 vertices and 0 faces"},
    {"a.obj", "v 0 0\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.obj:1: found the end of the line where a number for z"},
    {"a.obj", "v 0 0", TAPUL_MESH_ERROR_SYNTAX,
     "a.obj:1: found the end of the file where a number for z"},
    {"a.obj", "o x\nv 0 0 1,5\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:2: found '1,5' where a number for z"},
    {"a.obj", "v 0 nan 0\n", TAPUL_MESH_ERROR_VALUE, "found 'nan'"},
    {"a.obj", "v 0 -inf 0\n", TAPUL_MESH_ERROR_VALUE, "found '-inf'"},
    {"a.obj", "v 0 1e999 0\n", TAPUL_MESH_ERROR_VALUE, "found '1e999'"},
    {"a.obj", "v 0 0x10 0\n", TAPUL_MESH_ERROR_VALUE, "found '0x10'"},
    {"a.obj", "v 0 1e10 0\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:1: y is 1e+10; numbers within +-1e+09"},
    {"a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:4: the face names vertex 4; 1 to 3 are permitted"},
    {"a.obj", "v 0 0 0\nf -2 1 1\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:2: vertex -2 counts back further"},
    {"a.obj", "v 0 0 0\nf 0 1 1\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:2: found '0' where a corner"},
    {"a.obj", "v 0 0 0\nf 1.5 1 1\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:2: found '1.5' where a corner"},
    {"a.obj", "v 0 0 0\nf 1 9999999999 1\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:2: a corner names vertex 1e+10"},
    {"a.obj", "v 0 0 0\nv 1 0 0\n\nf 1 2\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.obj:4: the face has 2 corners"},
    {"a.obj", "v 0 0 0\nv 2 1 0\nv 2 0 0\nv 0 2 0\nf 1 2 3 4\n", TAPUL_MESH_ERROR_VALUE,
     "a.obj:5: the face of 4 corners crosses itself"},
    {"a.obj", "v 0 0 0\nv 1 0 0\nv 2 0 0\nf 1 2 3\n", TAPUL_MESH_ERROR_EMPTY,
     "none of which has an area"},
    {"a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 1 -1 0\nf 1 2 3\nf 1 2 4\n",
     TAPUL_MESH_ERROR_NOT_MANIFOLD,
     "a.obj: the edge from (0, 0, 0) to (1, 0, 0) mm has two triangles wound against each "
     "other"},
    {"a.off", "OFFER\n", TAPUL_MESH_ERROR_SYNTAX, "a.off:1: found 'OFFER'"},
    {"a.off", "4OFF\n3 1 0\n", TAPUL_MESH_ERROR_SYNTAX, "found '4OFF'"},
    {"a.off", "OFF BINARY\n", TAPUL_MESH_ERROR_SYNTAX, "binary OFF is not read"},
    {"a.off", "OFF\n", TAPUL_MESH_ERROR_SYNTAX,
     "the end of the file where the number of vertices"},
    {"a.off", "OFF\n-3 1 0\n", TAPUL_MESH_ERROR_VALUE,
     "found '-3' where the number of vertices"},
    {"a.off", "OFF\n2000000000 1 0\n", TAPUL_MESH_ERROR_VALUE, "2000000000, more than the"},
    {"a.off", "OFF\n2 1 0\n0 0 0\n1 0 0\n3 0 1 2\n", TAPUL_MESH_ERROR_VALUE,
     "a.off:5: the face names vertex 2; 0 to 1 are permitted"},
    {"a.off", "OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.off:6: found the end of the line where a vertex's number"},
    {"a.off", "OFF\n3 2 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n", TAPUL_MESH_ERROR_SYNTAX,
     "the end of the file"},
    {"a.stl", "solid\nfacet normal 0 0 1\nvertex 0 0 0\nvertex 1 0 0\nendfacet\n",
     TAPUL_MESH_ERROR_SYNTAX, "a.stl:5: the facet has 2 corners; 3 are expected"},
    {"a.stl", "solid\nvertex 0 0 0\n", TAPUL_MESH_ERROR_SYNTAX, "the file ends within a facet"},
    {"a.stl", "solid\nvertex 0 0 zero\n", TAPUL_MESH_ERROR_VALUE, "a.stl:2: found 'zero'"},
    {"a.stl", "solid\ntriangle\n", TAPUL_MESH_ERROR_SYNTAX, "a.stl:2: found 'triangle'"},
    {"a.stl", "short", TAPUL_MESH_ERROR_SYNTAX,
     "a.stl: byte 5: the file ends within the 84 bytes"},
    {"a.ply", "plywood\n", TAPUL_MESH_ERROR_SYNTAX, "a.ply:1: found 'plywood' where ply"},
    {"a.ply", "ply\nformat ascii 1.0\n", TAPUL_MESH_ERROR_SYNTAX, "end_header was expected"},
    {"a.ply", "ply\nend_header\n", TAPUL_MESH_ERROR_SYNTAX, "no format line"},
    {"a.ply", "ply\nformat morse 1.0\nend_header\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.ply:2: found 'morse'"},
    {"a.ply", PLY_TOP "property float x\nend_header\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.ply:3: a property before"},
    {"a.ply", PLY_TOP "element vertex many\n", TAPUL_MESH_ERROR_VALUE, "a.ply:3: found 'many'"},
    {"a.ply", PLY_TOP "element vertex 1\nproperty quad x\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.ply:4: found 'quad'"},
    {"a.ply", PLY_TOP "element vertex 1\nproperty list float int x\n", TAPUL_MESH_ERROR_SYNTAX,
     "a.ply:4: found 'float' where a whole number's type"},
    {"a.ply", PLY_TOP "element vertex 1\nproperty float x\nend_header\n0\n",
     TAPUL_MESH_ERROR_SYNTAX, "a.ply:3: element vertex has 1 properties x, 0 y, 0 z"},
    {"a.ply", PLY_TOP "element vertex 90\n" PLY_XYZ "end_header\n0 0 0\n",
     TAPUL_MESH_ERROR_SYNTAX, "a.ply:3: 90 elements are announced, but the file has room for"},
    {"a.ply", PLY_TOP "element vertex 1\n" PLY_XYZ "end_header\n0 0 inf\n",
     TAPUL_MESH_ERROR_VALUE, "a.ply:8: found 'inf'"},
    {"a.ply", PLY_TOP "element vertex 1\n" PLY_XYZ "element face 1\n" PLY_FACE "0 0 0\n300 0\n",
     TAPUL_MESH_ERROR_VALUE, "a.ply:11: a list of 300 values"},
    {"a.ply",
     PLY_TOP "element vertex 1\n" PLY_XYZ "element face 1\n" PLY_FACE "0 0 0\n3 0 0 -1\n",
     TAPUL_MESH_ERROR_VALUE, "a.ply:11: a corner names vertex -1"},
    {"a.ply",
     PLY_TOP "element vertex 1\n" PLY_XYZ
             "element face 1\nproperty int a\nend_header\n0 0 0\n3\n",
     TAPUL_MESH_ERROR_SYNTAX, "element face has 0 lists vertex_indices"},
};

START_TEST(fault_is_told_with_its_place) {
    const Refusal *refusal = &refusals[_i];
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulMesh) mesh = read_text(refusal->name, refusal->text, &error);
    ck_assert_msg(mesh == NULL, "read: %s", refusal->text);
    ck_assert_msg(strstr(error->message, refusal->message) != NULL, "'%s' lacks '%s'",
                  error->message, refusal->message);
    ck_assert_msg(g_error_matches(error, TAPUL_MESH_ERROR, (int)refusal->code), "code %d of %s",
                  error->code, error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}
END_TEST

static void expect_path_refused(const char *path, const char *part) {
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_mesh_read(path, 1, &error));
    ck_assert(g_error_matches(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_FILE));
    ck_assert_msg(strstr(error->message, part) != NULL, "%s", error->message);
}

START_TEST(paths_that_are_no_files_are_refused) {
    expect_path_refused("/no/such/mesh.obj", "there is no such file");
    expect_path_refused("/", "not a plain file");
    expect_path_refused("/dev/zero", "not a plain file");
}
END_TEST

/* Every beginning of a good file gives a mesh or an error. */
static void read_beginnings(const char *bytes, gsize length) {
    for (gsize n = 0; n < length; n++) {
        g_autofree char *copy = g_memdup2(bytes, n);
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulMesh) mesh = tapul_mesh_read_bytes("beginning", copy, n, 1, &error);
        ck_assert((mesh == NULL) == (error != NULL));
    }
}

START_TEST(files_cut_short_are_no_danger) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(0);
    g_autoptr(GByteArray) big = ply_of(sphere, TRUE), little = ply_of(sphere, FALSE);
    g_autoptr(GByteArray) stl = stl_of(sphere, 0, "");
    read_beginnings((const char *)big->data, big->len);
    read_beginnings((const char *)little->data, little->len);
    read_beginnings((const char *)stl->data, stl->len);
    const char *off = "OFF\n3 1 3\n0 0 0\n2 0 0\n0 2 0\n3 0 1 2\n";
    read_beginnings(off, strlen(off));
}
END_TEST

/* --- Polygons --- */

static double cut_area(int n, const TapulVec3 *position, GArray *cut) {
    ck_assert(tapul_mesh_cut_polygon(n, position, cut));
    double sum = 0;
    for (guint i = 0; i < cut->len; i += 3) {
        const int *c = &g_array_index(cut, int, i);
        TapulVec3 ab = tapul_vec3_sub(position[c[1]], position[c[0]]);
        TapulVec3 ac = tapul_vec3_sub(position[c[2]], position[c[0]]);
        sum += tapul_vec3_cross(ab, ac).z / 2;
    }
    return sum;
}

static double shoelace(int n, const TapulVec3 *position) {
    double sum = 0;
    for (int k = 0; k < n; k++) {
        TapulVec3 a = position[k], b = position[(k + 1) % n];
        sum += (a.x * b.y - b.x * a.y) / 2;
    }
    return sum;
}

START_TEST(polygons_are_cut_without_gain_or_loss) {
    g_autoptr(GRand) random = g_rand_new_with_seed(5);
    g_autoptr(GArray) cut = g_array_new(FALSE, FALSE, sizeof(int));
    for (int i = 0; i < 300; i++) {
        TapulVec3 position[40];
        int n = g_rand_int_range(random, 4, 41);
        for (int k = 0; k < n; k++) {
            double radius = g_rand_double_range(random, 0.2, 1), angle_rad = 2 * G_PI * k / n;
            position[k] = tapul_vec3(radius * cos(angle_rad), radius * sin(angle_rad), 0);
        }
        g_array_set_size(cut, 0);
        ck_assert_double_eq_tol(cut_area(n, position, cut), shoelace(n, position), 1e-12);
        ck_assert_uint_eq(cut->len, 3 * (guint)(n - 2));
    }
}
END_TEST

START_TEST(corners_on_a_straight_side_are_kept) {
    const TapulVec3 position[] = {{0, 0, 0}, {1, 0, 0}, {2, 0, 0},
                                  {2, 1, 0}, {2, 2, 0}, {0, 2, 0}};
    g_autoptr(GArray) cut = g_array_new(FALSE, FALSE, sizeof(int));
    ck_assert_double_eq_tol(cut_area(6, position, cut), 4, 1e-15);
    ck_assert_uint_eq(cut->len, 12);
    gboolean used[6] = {FALSE};
    for (guint i = 0; i < cut->len; i++)
        used[g_array_index(cut, int, i)] = TRUE;
    for (int k = 0; k < 6; k++)
        ck_assert(used[k]);
}
END_TEST

START_TEST(comb_of_a_thousand_corners_is_cut) {
    TapulVec3 position[TAPUL_MESH_POLYGON_LIMIT];
    int n = TAPUL_MESH_POLYGON_LIMIT;
    for (int k = 0; k < n - 2; k++)
        position[k] = tapul_vec3(n - k, k % 2 ? 1 : 100, 0);
    position[n - 2] = tapul_vec3(0, 0, 0);
    position[n - 1] = tapul_vec3(n, 0, 0);
    g_autoptr(GArray) cut = g_array_new(FALSE, FALSE, sizeof(int));
    ck_assert_double_eq_tol(cut_area(n, position, cut), shoelace(n, position), 1e-6);
}
END_TEST

/* --- Writing --- */

static char *scratch_path(const char *name) {
    g_autofree char *folder = g_dir_make_tmp("tapul-mesh-XXXXXX", NULL);
    return g_build_filename(folder, name, NULL);
}

static void remove_scratch(const char *path) {
    g_autofree char *folder = g_path_get_dirname(path);
    g_remove(path);
    g_rmdir(folder);
}

static void expect_round_trip(const TapulVec2 *flat_mm) {
    g_autoptr(TapulMesh) mesh = mesh_net(12, 9, FALSE, FALSE, on_outer_torus);
    g_autofree char *path = scratch_path("plate.obj");
    g_autoptr(GError) error = NULL;
    ck_assert(tapul_mesh_write_obj(mesh, flat_mm, path, &error));
    g_autoptr(TapulMesh) again = tapul_mesh_read(path, 1, &error);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    remove_scratch(path);
    ck_assert_ptr_nonnull(again);
    ck_assert_int_eq(again->n_vertices, mesh->n_vertices);
    ck_assert_mem_eq(again->corner, mesh->corner,
                     sizeof *mesh->corner * (size_t)mesh->n_triangles);
    /* Nine digits of coordinates up to 150 mm. */
    for (int v = 0; v < mesh->n_vertices; v++)
        ck_assert_double_lt(tapul_vec3_distance(again->position_mm[v], mesh->position_mm[v]),
                            1e-6);
    ck_assert((strstr(text, "\nvt ") != NULL) == (flat_mm != NULL));
}

START_TEST(written_obj_reads_back) {
    TapulVec2 flat_mm[13 * 10] = {{0, 0}};
    expect_round_trip(NULL);
    expect_round_trip(flat_mm);
}
END_TEST

START_TEST(decimal_comma_of_the_locale_changes_nothing) {
    if (!setlocale(LC_ALL, "de_DE.UTF-8") && !setlocale(LC_ALL, "fr_FR.UTF-8")) {
        printf("SKIP: no locale with a decimal comma is installed\n");
        return;
    }
    expect_round_trip(NULL);
    setlocale(LC_ALL, "C");
}
END_TEST

START_TEST(unwritable_path_is_an_error_and_leaves_nothing) {
    g_autoptr(TapulMesh) mesh = mesh_sphere(0);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_mesh_write_obj(mesh, NULL, "/no/such/folder/plate.obj", &error));
    ck_assert(g_error_matches(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_FILE));
    ck_assert(g_str_has_prefix(error->message, "/no/such/folder/plate.obj: "));
}
END_TEST

/* --- Size and other people's files --- */

START_TEST(large_files_are_read) {
    g_autoptr(TapulMesh) torus = mesh_net(320, 160, TRUE, TRUE, on_torus);
    g_autoptr(GByteArray) stl = stl_of(torus, 0, ""), ply = ply_of(torus, FALSE);
    g_autofree char *path = scratch_path("torus.obj");
    g_autoptr(GError) error = NULL;
    ck_assert(tapul_mesh_write_obj(torus, NULL, path, &error));
    for (int i = 0; i < 3; i++) {
        g_autoptr(TapulMesh) mesh = i == 0   ? tapul_mesh_read(path, 1, &error)
                                    : i == 1 ? read_array("torus.stl", stl)
                                             : read_array("torus.ply", ply);
        ck_assert_ptr_nonnull(mesh);
        ck_assert_int_eq(mesh->n_vertices, torus->n_vertices);
    }
    remove_scratch(path);
}
END_TEST

static int read_folder(const char *folder) {
    int n_files = 0;
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    for (const char *name; dir && (name = g_dir_read_name(dir));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (g_file_test(path, G_FILE_TEST_IS_DIR)) {
            n_files += read_folder(path);
            continue;
        }
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulMesh) mesh = tapul_mesh_read(path, 1, &error);
        ck_assert((mesh == NULL) == (error != NULL));
        if (error)
            ck_assert_ptr_null(strchr(error->message, '\n'));
        n_files++;
    }
    return n_files;
}

/* Odd and broken files of the test suites of trimesh (MIT) and assimp (BSD-3). */
START_TEST(every_odd_file_gives_a_mesh_or_one_line) {
    const char *root = g_getenv("TAPUL_SOURCE_ROOT");
    g_autofree char *hostile =
        g_build_filename(root ? root : ".", "..", "shared", "data", "hostile", NULL);
    g_autofree char *trimesh = g_build_filename(hostile, "mesh_trimesh", NULL);
    g_autofree char *assimp = g_build_filename(hostile, "mesh_assimp", NULL);
    int n_files = read_folder(trimesh) + read_folder(assimp);
    if (n_files == 0)
        printf("SKIP: no odd mesh files in %s\n", hostile);
    else
        printf("%d odd files read or refused\n", n_files);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("mesh_read");
    TCase *tests = tcase_create("mesh_read");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, obj_is_read_in_all_its_ways_of_writing);
    tcase_add_test(tests, off_is_read_with_and_without_colours);
    tcase_add_test(tests, text_stl_is_welded);
    tcase_add_test(tests, text_ply_is_read_by_its_header);
    tcase_add_test(tests, binary_ply_is_read_in_both_orders);
    tcase_add_test(tests, binary_stl_is_told_by_its_size_and_welded);
    tcase_add_test(tests, units_are_made_mm);
    tcase_add_loop_test(tests, fault_is_told_with_its_place, 0, (int)G_N_ELEMENTS(refusals));
    tcase_add_test(tests, paths_that_are_no_files_are_refused);
    tcase_add_test(tests, files_cut_short_are_no_danger);
    tcase_add_test(tests, polygons_are_cut_without_gain_or_loss);
    tcase_add_test(tests, corners_on_a_straight_side_are_kept);
    tcase_add_test(tests, comb_of_a_thousand_corners_is_cut);
    tcase_add_test(tests, written_obj_reads_back);
    tcase_add_test(tests, decimal_comma_of_the_locale_changes_nothing);
    tcase_add_test(tests, unwritable_path_is_an_error_and_leaves_nothing);
    tcase_add_test(tests, large_files_are_read);
    tcase_add_test(tests, every_odd_file_gives_a_mesh_or_one_line);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
