/* The words that comparison pages set, and what a case gives in their place. */
#include "laying/case_internal.h"

/* In the order of the manual page's list. */
static const char *const words[] = {
    "print",
    "overlay",
    "plate",
    "as engraved",
    "reversed",
    "laid over the metal",
    "as etched",
    "details",
    "border",
    "key",
    "scale",
    "page",
    "traced from the plate",
    "photograph of the plate",
    "kept",
    "moved",
    "turned",
    "resized",
    "left out",
    "undecided",
    "added",
    NULL,
};

gboolean tapul_case_knows_word(const char *word) {
    return g_strv_contains(words, word);
}

const char *tapul_case_word(const TapulCase *question, const char *word) {
    g_assert(tapul_case_knows_word(word));
    const char *given = g_hash_table_lookup(question->sheet.words, word);
    return given ? given : word;
}
