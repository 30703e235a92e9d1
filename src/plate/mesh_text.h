/* Words and numbers out of text files of meshes, without regard to the locale. */
#ifndef TAPUL_MESH_TEXT_H
#define TAPUL_MESH_TEXT_H

#include "plate/mesh_read.h"

G_BEGIN_DECLS

typedef struct {
    const char *at, *end; /* what is left of the file */
    gsize line;           /* of `at`, counted from 1 */
    char comment;         /* starts a comment up to the line's end; 0: none */
    gboolean continued;   /* a backslash before the line's end joins lines */
} TapulText;

/* A piece of the file; text is NULL where there is none. */
typedef struct {
    const char *text;
    gsize length;
} TapulWord;

TapulText tapul_text_new(const TapulSoup *soup);
/* The next word of this line. */
TapulWord tapul_text_word(TapulText *text);
/* The next word of the file. */
TapulWord tapul_text_next_word(TapulText *text);
/* Goes to the next word of the file, which is not taken, or to the end. */
void tapul_text_seek_word(TapulText *text);
/* Goes past the rest of this line; FALSE at the end of the file. */
gboolean tapul_text_next_line(TapulText *text);

/* Whether the word is the lower-case keyword, in any case. */
gboolean tapul_word_is(TapulWord word, const char *keyword);
/* At most 40 printable characters of the word, for messages; "the end of the line" if there is
 * none. */
char *tapul_word_quote(TapulWord word);
/* The word as a finite decimal number, all of it. */
gboolean tapul_word_number(TapulWord word, double *value);

/* The next word of the line (`over_lines`: of the file) as a number; the error says what was
 * expected. */
gboolean tapul_text_number(TapulText *text, const TapulSoup *soup, gboolean over_lines,
                           const char *expected, double *value, GError **error);
/* The same for a whole number in [0, limit]. */
gboolean tapul_text_count(TapulText *text, const TapulSoup *soup, gboolean over_lines,
                          const char *expected, double limit, double *value, GError **error);

G_END_DECLS

#endif
