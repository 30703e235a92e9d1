/* Reading OFF (Geomview manual, 'OFF Files'): a keyword, counts, a line for each vertex and
 * each face; normals, colours and texture points after them are passed over. */
#include "plate/mesh_text.h"

#include <string.h>

/* The shortest lines there can be: "0 0 0" and "3 0 1 2" without colours, or "1 0" for a face
 * of one corner. */
#define VERTEX_BYTES 6
#define FACE_BYTES   2

/* Goes past the keyword, which may be left out and may run into the counts. */
static gboolean pass_keyword(TapulSoup *soup, TapulText *text, GError **error) {
    TapulText ahead = *text;
    TapulWord word = tapul_text_next_word(&ahead);
    if (!word.text || tapul_word_number(word, &(double){0}))
        return TRUE;
    const char *at = word.text, *end = word.text + word.length;
    if (end - at >= 2 && g_ascii_strncasecmp(at, "st", 2) == 0)
        at += 2;
    if (at < end && g_ascii_toupper(*at) == 'C')
        at++;
    if (at < end && g_ascii_toupper(*at) == 'N')
        at++;
    if (end - at >= 3 && g_ascii_strncasecmp(at, "off", 3) == 0 &&
        (end - at == 3 || g_ascii_isdigit(at[3]))) {
        *text = ahead;
        text->at = at + 3;
        return TRUE;
    }
    g_autofree char *quote = tapul_word_quote(word);
    return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, ahead.line,
                            "found %s where OFF, COFF, NOFF, CNOFF or STOFF was expected",
                            quote);
}

static gboolean read_vertices(TapulSoup *soup, TapulText *text, double n, GError **error) {
    for (double v = 0; v < n; v++) {
        double xyz[3];
        tapul_text_seek_word(text);
        for (int i = 0; i < 3; i++)
            if (!tapul_text_number(text, soup, FALSE, "a coordinate", &xyz[i], error))
                return FALSE;
        if (!tapul_soup_add_vertex(soup, xyz, text->line, error))
            return FALSE;
        tapul_text_next_line(text);
    }
    return TRUE;
}

static gboolean read_faces(TapulSoup *soup, TapulText *text, double n, GError **error) {
    for (double f = 0; f < n; f++) {
        double n_corners, vertex;
        tapul_text_seek_word(text);
        double limit = (double)(text->end - text->at);
        if (!tapul_text_count(text, soup, FALSE, "the face's number of corners", limit,
                              &n_corners, error))
            return FALSE;
        tapul_soup_begin_face(soup, text->line);
        for (double k = 0; k < n_corners; k++)
            if (!tapul_text_count(text, soup, FALSE, "a vertex's number", G_MAXINT, &vertex,
                                  error) ||
                !tapul_soup_add_corner(soup, vertex, error))
                return FALSE;
        if (!tapul_soup_end_face(soup, error))
            return FALSE;
        tapul_text_next_line(text);
    }
    return TRUE;
}

gboolean tapul_mesh_read_off(TapulSoup *soup, GError **error) {
    TapulText text = tapul_text_new(soup);
    text.comment = '#';
    double n_vertices, n_faces;
    if (!pass_keyword(soup, &text, error))
        return FALSE;
    TapulText ahead = text;
    if (tapul_word_is(tapul_text_word(&ahead), "binary"))
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, text.line,
                                "binary OFF is not read; save it as text");
    /* A file without its last line end is one byte shorter than its lines. */
    double room = (double)soup->length + 1;
    if (!tapul_text_count(&text, soup, TRUE, "the number of vertices", room / VERTEX_BYTES,
                          &n_vertices, error) ||
        !tapul_text_count(&text, soup, TRUE, "the number of faces", room / FACE_BYTES, &n_faces,
                          error))
        return FALSE;
    /* The number of edges is often wrong, and in some files left out. */
    tapul_text_next_line(&text);
    return read_vertices(soup, &text, n_vertices, error) &&
           read_faces(soup, &text, n_faces, error);
}
