/* Reading OBJ (Wavefront, Advanced Visualizer manual, appendix B1): v and f lines; all else is
 * passed over. */
#include "plate/mesh_text.h"

static gboolean read_vertex(TapulSoup *soup, TapulText *text, GError **error) {
    static const char *expected[] = {"a number for x", "a number for y", "a number for z"};
    double xyz[3];
    for (int i = 0; i < 3; i++)
        if (!tapul_text_number(text, soup, FALSE, expected[i], &xyz[i], error))
            return FALSE;
    return tapul_soup_add_vertex(soup, xyz, text->line, error);
}

/* The vertex of a corner written a, a/b, a//c or a/b/c; negative ones count back from the last
 * vertex. */
static gboolean read_corner(TapulSoup *soup, const TapulText *text, TapulWord word,
                            GError **error) {
    TapulWord vertex = {word.text, 0};
    while (vertex.length < word.length && word.text[vertex.length] != '/')
        vertex.length++;
    double number;
    if (!tapul_word_number(vertex, &number) || number != floor(number) || number == 0) {
        g_autofree char *quote = tapul_word_quote(word);
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, text->line,
                                "found %s where a corner was expected: a whole number, not 0",
                                quote);
    }
    if (number > 0)
        return tapul_soup_add_corner(soup, number - 1, error);
    if (-number > soup->position->len)
        return tapul_soup_fault(
            soup, error, TAPUL_MESH_ERROR_VALUE, text->line,
            "vertex %.0f counts back further than the %u vertices before it", number,
            soup->position->len);
    return tapul_soup_add_corner(soup, soup->position->len + number, error);
}

static gboolean read_face(TapulSoup *soup, TapulText *text, GError **error) {
    tapul_soup_begin_face(soup, text->line);
    for (TapulWord word; (word = tapul_text_word(text)).text;)
        if (!read_corner(soup, text, word, error))
            return FALSE;
    return tapul_soup_end_face(soup, error);
}

gboolean tapul_mesh_read_obj(TapulSoup *soup, GError **error) {
    TapulText text = tapul_text_new(soup);
    text.comment = '#';
    soup->first_number = 1;
    do {
        /* A comment ends with its line even if that ends in a backslash. */
        text.continued = FALSE;
        TapulWord keyword = tapul_text_word(&text);
        text.continued = keyword.text != NULL;
        if (tapul_word_is(keyword, "v") && !read_vertex(soup, &text, error))
            return FALSE;
        if (tapul_word_is(keyword, "f") && !read_face(soup, &text, error))
            return FALSE;
    } while (tapul_text_next_line(&text));
    return TRUE;
}
