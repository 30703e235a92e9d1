/* Words and numbers out of text files of meshes (see mesh_text.h), for the readers of OBJ, OFF
 * and the text forms of PLY and STL. */
#include "plate/mesh_text.h"

#include <string.h>

/* No sensible number is longer; keeps its copy on the stack. */
#define NUMBER_LENGTH_LIMIT 127
#define QUOTE_LENGTH_LIMIT  40

TapulText tapul_text_new(const TapulSoup *soup) {
    return (TapulText){soup->bytes, soup->bytes + soup->length, 1, 0, FALSE};
}

static gboolean is_line_end(char c) {
    return c == '\n' || c == '\r';
}

/* Goes past one line end: LF, CR or CR LF. */
static void pass_line_end(TapulText *text) {
    if (*text->at == '\r' && text->at + 1 < text->end && text->at[1] == '\n')
        text->at++;
    text->at++;
    text->line++;
}

static gboolean is_joined(const TapulText *text) {
    return text->continued && *text->at == '\\' && text->at + 1 < text->end &&
           is_line_end(text->at[1]);
}

static void pass_blanks(TapulText *text) {
    while (text->at < text->end) {
        if (is_joined(text)) {
            text->at++;
            pass_line_end(text);
        } else if (is_line_end(*text->at) || !g_ascii_isspace(*text->at)) {
            break;
        } else {
            text->at++;
        }
    }
    if (text->comment && text->at < text->end && *text->at == text->comment)
        while (text->at < text->end && !is_line_end(*text->at))
            text->at++;
}

TapulWord tapul_text_word(TapulText *text) {
    pass_blanks(text);
    TapulWord word = {text->at, 0};
    while (text->at < text->end && !g_ascii_isspace(*text->at) && !is_joined(text) &&
           !(text->comment && *text->at == text->comment))
        text->at++;
    word.length = (gsize)(text->at - word.text);
    return word.length ? word : (TapulWord){NULL, 0};
}

TapulWord tapul_text_next_word(TapulText *text) {
    for (;;) {
        TapulWord word = tapul_text_word(text);
        if (word.text || text->at >= text->end)
            return word;
        pass_line_end(text);
    }
}

void tapul_text_seek_word(TapulText *text) {
    TapulText ahead = *text;
    TapulWord word = tapul_text_next_word(&ahead);
    *text = ahead;
    if (word.text)
        text->at = word.text;
}

gboolean tapul_text_next_line(TapulText *text) {
    /* Word by word, as comments and joined lines decide where the line ends. */
    while (tapul_text_word(text).text)
        continue;
    if (text->at < text->end)
        pass_line_end(text);
    return text->at < text->end;
}

gboolean tapul_word_is(TapulWord word, const char *keyword) {
    return word.text && word.length == strlen(keyword) &&
           g_ascii_strncasecmp(word.text, keyword, word.length) == 0;
}

char *tapul_word_quote(TapulWord word) {
    if (!word.text)
        return g_strdup("the end of the line");
    GString *quote = g_string_new("'");
    for (gsize i = 0; i < MIN(word.length, QUOTE_LENGTH_LIMIT); i++)
        g_string_append_c(quote, g_ascii_isprint(word.text[i]) ? word.text[i] : '?');
    g_string_append(quote, word.length > QUOTE_LENGTH_LIMIT ? "...'" : "'");
    return g_string_free(quote, FALSE);
}

gboolean tapul_word_number(TapulWord word, double *value) {
    char copy[NUMBER_LENGTH_LIMIT + 1];
    if (!word.text || word.length > NUMBER_LENGTH_LIMIT)
        return FALSE;
    /* No hexadecimal, no words for what is not a number or infinite. */
    for (gsize i = 0; i < word.length; i++) {
        char c = word.text[i];
        if (!g_ascii_isdigit(c) && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E')
            return FALSE;
        copy[i] = c;
    }
    copy[word.length] = '\0';
    char *end;
    *value = g_ascii_strtod(copy, &end);
    return end == copy + word.length && isfinite(*value);
}

static gboolean refuse(const TapulText *text, const TapulSoup *soup, TapulWord word,
                       const char *expected, GError **error) {
    g_autofree char *quote = tapul_word_quote(word);
    return tapul_soup_fault(
        soup, error, word.text ? TAPUL_MESH_ERROR_VALUE : TAPUL_MESH_ERROR_SYNTAX, text->line,
        "found %s where %s was expected",
        word.text || text->at < text->end ? quote : "the end of the file", expected);
}

gboolean tapul_text_number(TapulText *text, const TapulSoup *soup, gboolean over_lines,
                           const char *expected, double *value, GError **error) {
    TapulWord word = over_lines ? tapul_text_next_word(text) : tapul_text_word(text);
    return tapul_word_number(word, value) || refuse(text, soup, word, expected, error);
}

gboolean tapul_text_count(TapulText *text, const TapulSoup *soup, gboolean over_lines,
                          const char *expected, double limit, double *value, GError **error) {
    TapulWord word = over_lines ? tapul_text_next_word(text) : tapul_text_word(text);
    if (!tapul_word_number(word, value) || *value < 0 || *value != floor(*value))
        return refuse(text, soup, word, expected, error);
    return *value <= limit ||
           tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, text->line,
                            "%s is %.0f, more than the %.0f the file has room for", expected,
                            *value, limit);
}
