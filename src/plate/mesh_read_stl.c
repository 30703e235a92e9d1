/* Reading STL (3D Systems, StereoLithography Interface Specification, 1989), text and binary.
 * Facets carry their corners by value; the soup welds them afterwards. */
#include "plate/mesh_text.h"

#include <string.h>

#define HEADER_BYTES 84
#define FACET_BYTES  50

static void add_facet(TapulSoup *soup, gsize place) {
    int last = (int)soup->position->len;
    TapulSoupFace face = {(int)soup->index->len, 3, place};
    for (int vertex = last - 3; vertex < last; vertex++)
        g_array_append_val(soup->index, vertex);
    g_array_append_val(soup->face, face);
}

static double little_endian_float(const char *bytes) {
    guint32 bits;
    memcpy(&bits, bytes, sizeof bits);
    bits = GUINT32_FROM_LE(bits);
    float value;
    memcpy(&value, &bits, sizeof value);
    return (double)value;
}

gboolean tapul_mesh_read_stl_binary(TapulSoup *soup, GError **error) {
    soup->by_byte = TRUE;
    if (soup->length < HEADER_BYTES)
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, soup->length,
                                "the file ends within the %d bytes of an STL header",
                                HEADER_BYTES);
    guint32 n_facets;
    memcpy(&n_facets, soup->bytes + HEADER_BYTES - 4, sizeof n_facets);
    n_facets = GUINT32_FROM_LE(n_facets);
    if (n_facets > (soup->length - HEADER_BYTES) / FACET_BYTES)
        return tapul_soup_fault(
            soup, error, TAPUL_MESH_ERROR_SYNTAX, HEADER_BYTES - 4,
            "%u facets are announced, but the file has room for %" G_GSIZE_FORMAT, n_facets,
            (soup->length - HEADER_BYTES) / FACET_BYTES);
    for (guint32 f = 0; f < n_facets; f++) {
        gsize place = HEADER_BYTES + (gsize)f * FACET_BYTES + 12;
        for (gsize k = 0; k < 3; k++) {
            const char *at = soup->bytes + place + 12 * k;
            double xyz[3] = {little_endian_float(at), little_endian_float(at + 4),
                             little_endian_float(at + 8)};
            if (!tapul_soup_add_vertex(soup, xyz, place + 12 * k, error))
                return FALSE;
        }
        add_facet(soup, place);
    }
    return TRUE;
}

static gboolean read_vertex(TapulSoup *soup, TapulText *text, GError **error) {
    double xyz[3];
    for (int i = 0; i < 3; i++)
        if (!tapul_text_number(text, soup, TRUE, "a coordinate", &xyz[i], error))
            return FALSE;
    return tapul_soup_add_vertex(soup, xyz, text->line, error);
}

static gboolean end_facet(TapulSoup *soup, const TapulText *text, guint *first,
                          GError **error) {
    guint n = soup->position->len - *first;
    *first = soup->position->len;
    if (n != 3)
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, text->line,
                                "the facet has %u corners; 3 are expected", n);
    add_facet(soup, text->line);
    return TRUE;
}

gboolean tapul_mesh_read_stl_text(TapulSoup *soup, GError **error) {
    TapulText text = tapul_text_new(soup);
    guint first = 0; /* vertex of the facet that is open */
    for (TapulWord word; (word = tapul_text_next_word(&text)).text;) {
        gboolean good = TRUE;
        if (tapul_word_is(word, "vertex"))
            good = read_vertex(soup, &text, error);
        else if (tapul_word_is(word, "endfacet"))
            good = end_facet(soup, &text, &first, error);
        else if (tapul_word_is(word, "solid") || tapul_word_is(word, "endsolid") ||
                 tapul_word_is(word, "facet") || tapul_word_is(word, "outer"))
            /* Names and normals: the corners' order gives the outside. */
            tapul_text_next_line(&text);
        else if (!tapul_word_is(word, "endloop")) {
            g_autofree char *quote = tapul_word_quote(word);
            return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, text.line,
                                    "found %s where a keyword of STL was expected", quote);
        }
        if (!good)
            return FALSE;
    }
    if (soup->position->len > first)
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, text.line,
                                "the file ends within a facet");
    return TRUE;
}
