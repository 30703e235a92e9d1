/* What comparison pages say of a print and its laying, for readers, in the case's own words.
 * Internal to sheet/.
 *
 * All texts are owned by the caller; sentences end with a full stop, and are empty where there
 * is nothing to say. */
#ifndef TAPUL_SHEET_COMPARISON_WORDS_H
#define TAPUL_SHEET_COMPARISON_WORDS_H

#include <tapul/comparison.h>

/* The word as the case gives it, with a capital. */
char *tapul_comparison_capital(const TapulComparison *comparison, const char *word);
/* The same as a sentence. */
char *tapul_comparison_sentence(const TapulComparison *comparison, const char *word);
/* Adds a sentence to a text, a space before it unless it is the first; frees it. */
void tapul_comparison_add_take(GString *text, char *sentence);

/* Its title, else its id in words. */
char *tapul_comparison_print_name(const TapulComparison *comparison, int print);
/* How a rule brings a print on to the metal: a word of the case's. */
const char *tapul_comparison_rule_words(const TapulComparison *comparison, int laying);
/* "Pressed on over the metal, reversed, at its own size, turned 2.5 degrees to the left." */
char *tapul_comparison_laying_words(const TapulComparison *comparison, int laying);
/* "The lengths shrink by up to 2 % and grow by up to 4 %. 12 mm of line lie beyond the plate's edge." */
char *tapul_comparison_change_words(const TapulComparison *comparison, int laying);
/* "Of 14 motifs 11 kept, 1 left out; of the others the tracing does not tell." */
char *tapul_comparison_fates_words(const TapulComparison *comparison, int print);
/* What the plate shows of its own: a word of the list. */
const char *tapul_comparison_found_word(const TapulComparison *comparison);

#endif
