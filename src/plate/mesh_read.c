/* Reading a mesh whatever its format: the way a scan comes in. The format is told by content,
 * and by the name only where the content leaves it open. */
#include "plate/mesh_text.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

/* 10 million triangles of STL; more would not be a plate, and takes gigabytes. */
#define FILE_SIZE_LIMIT_BYTES ((gsize)512 << 20)

typedef gboolean (*ReadFunction)(TapulSoup *soup, GError **error);

static gboolean starts_with(const TapulSoup *soup, const char *start) {
    gsize n = strlen(start);
    return soup->length >= n && memcmp(soup->bytes, start, n) == 0;
}

/* Binary STL may start with 'solid' too; its size tells. */
static gboolean has_size_of_stl(const TapulSoup *soup) {
    if (soup->length < 84)
        return FALSE;
    guint32 n_facets;
    memcpy(&n_facets, soup->bytes + 80, sizeof n_facets);
    return soup->length == 84 + (guint64)50 * GUINT32_FROM_LE(n_facets);
}

static TapulWord first_word(const TapulSoup *soup) {
    TapulText text = tapul_text_new(soup);
    text.comment = '#';
    return tapul_text_next_word(&text);
}

static gboolean is_off_keyword(TapulWord word) {
    return word.length >= 3 && word.length <= 8 &&
           (g_strstr_len(word.text, (gssize)word.length, "OFF") != NULL);
}

static gboolean is_obj_keyword(TapulWord word) {
    static const char *const keyword[] = {"v", "vn", "vt",     "vp",     "f", "o", "g",
                                          "s", "l",  "mtllib", "usemtl", "p", NULL};
    for (int i = 0; keyword[i]; i++)
        if (tapul_word_is(word, keyword[i]))
            return TRUE;
    return FALSE;
}

static ReadFunction function_by_content(const TapulSoup *soup) {
    TapulWord word = first_word(soup);
    if (starts_with(soup, "ply\n") || starts_with(soup, "ply\r"))
        return tapul_mesh_read_ply;
    if (has_size_of_stl(soup))
        return tapul_mesh_read_stl_binary;
    if (tapul_word_is(word, "solid"))
        return tapul_mesh_read_stl_text;
    if (is_off_keyword(word))
        return tapul_mesh_read_off;
    return is_obj_keyword(word) ? tapul_mesh_read_obj : NULL;
}

static ReadFunction function_by_name(const TapulSoup *soup) {
    static const struct {
        const char *ending;
        ReadFunction function;
    } table[] = {{".obj", tapul_mesh_read_obj},
                 {".off", tapul_mesh_read_off},
                 {".ply", tapul_mesh_read_ply},
                 {".stl", tapul_mesh_read_stl_binary}};
    g_autofree char *lower = g_ascii_strdown(soup->name, -1);
    for (gsize i = 0; i < G_N_ELEMENTS(table); i++)
        if (g_str_has_suffix(lower, table[i].ending))
            return table[i].function;
    return NULL;
}

static gboolean refuse_file(const TapulSoup *soup, const char *fault, GError **error) {
    g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_FILE, "%s: %s", soup->name, fault);
    return FALSE;
}

static gboolean fill_soup(TapulSoup *soup, GError **error) {
    if (soup->length == 0)
        return refuse_file(soup, "the file is empty", error);
    if (soup->length > FILE_SIZE_LIMIT_BYTES)
        return refuse_file(soup, "the file is larger than the 512 MiB that are permitted",
                           error);
    if (starts_with(soup, "\xFE\xFF") || starts_with(soup, "\xFF\xFE"))
        return refuse_file(soup, "the file is UTF-16 text; save it as UTF-8", error);
    if (starts_with(soup, "\xEF\xBB\xBF")) {
        soup->bytes += 3;
        soup->length -= 3;
    }
    ReadFunction function = function_by_content(soup);
    if (!function)
        function = function_by_name(soup);
    if (!function)
        return refuse_file(soup, "this is no OBJ, PLY, STL or OFF file", error);
    if (!function(soup, error))
        return FALSE;
    if (function == tapul_mesh_read_stl_text || function == tapul_mesh_read_stl_binary)
        tapul_soup_weld(soup);
    return TRUE;
}

TapulMesh *tapul_mesh_read_bytes(const char *name, const char *bytes, gsize length,
                                 double mm_per_unit, GError **error) {
    g_assert(mm_per_unit > 0 && isfinite(mm_per_unit));
    TapulSoup soup = {
        .name = name, .bytes = bytes, .length = length, .mm_per_unit = mm_per_unit};
    soup.position = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    soup.index = g_array_new(FALSE, FALSE, sizeof(int));
    soup.face = g_array_new(FALSE, FALSE, sizeof(TapulSoupFace));
    TapulMesh *mesh = fill_soup(&soup, error) ? tapul_soup_finish(&soup, error) : NULL;
    g_array_unref(soup.position);
    g_array_unref(soup.index);
    g_array_unref(soup.face);
    return mesh;
}

TapulMesh *tapul_mesh_read(const char *path, double mm_per_unit, GError **error) {
    TapulSoup soup = {.name = path};
    GStatBuf status;
    if (g_stat(path, &status) != 0) {
        refuse_file(&soup,
                    errno == ENOENT ? "there is no such file" : "the file cannot be read",
                    error);
        return NULL;
    }
    /* A pipe or a device could go on for ever. */
    if (!g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        refuse_file(&soup, "this is not a plain file", error);
        return NULL;
    }
    if ((guint64)status.st_size > FILE_SIZE_LIMIT_BYTES) {
        refuse_file(&soup, "the file is larger than the 512 MiB that are permitted", error);
        return NULL;
    }
    g_autofree char *bytes = NULL;
    gsize length = 0;
    if (!g_file_get_contents(path, &bytes, &length, NULL)) {
        refuse_file(&soup, "the file cannot be read", error);
        return NULL;
    }
    return tapul_mesh_read_bytes(path, bytes, length, mm_per_unit, error);
}
