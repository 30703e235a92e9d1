/* Every pair's residuals under every hypothesis, as comma-separated text (RFC 4180). */
#include "evidence/residual_table.h"
#include "evidence/verdict_words.h"

#include "base/table.h"

#include <math.h>

static void append_number(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append_c(text, ',');
    if (isfinite(value))
        g_string_append(text, g_ascii_formatd(digits, sizeof digits, "%.4f", value));
}

static void append_pair(GString *text, const TapulCase *question,
                        const TapulPrintEvidence *found, guint rank, int k) {
    const TapulHypothesis *row = tapul_hypothesis_at(found, rank);
    const TapulPair *pair = g_ptr_array_index(question->pairs, (guint)found->pair[k]);
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    g_autofree char *label = tapul_pair_label(question, found, k);
    tapul_table_append_cell(text, print->id);
    g_string_append_printf(text, ",%u,%s,%s,%s,%s,", rank + 1,
                           tapul_laying_rule_name(row->geometry),
                           tapul_freedom_name(row->freedom), row->reversed ? "true" : "false",
                           row->pressing_free ? "true" : "false");
    tapul_table_append_cell(text, label);
    append_number(text, pair->print_mm.x);
    append_number(text, pair->print_mm.y);
    append_number(text, pair->developed_mm.x);
    append_number(text, pair->developed_mm.y);
    append_number(text, row->put_developed_mm[k].x);
    append_number(text, row->put_developed_mm[k].y);
    append_number(text, row->residual_mm[k]);
    append_number(text, row->loo_residual_mm[k]);
    g_string_append(text, "\n");
}

char *tapul_residual_table(const TapulCase *question, const TapulEvidence *evidence) {
    GString *text = g_string_new(
        "print,rank,geometry,freedom,reversed,pressing_free,name,print_x_mm,print_y_mm,"
        "found_dev_x_mm,found_dev_y_mm,put_dev_x_mm,put_dev_y_mm,residual_mm,loo_residual_"
        "mm\n");
    for (guint i = 0; i < evidence->prints->len; i++) {
        const TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        for (guint rank = 0; rank < found->hypotheses->len; rank++)
            for (int k = 0; k < found->n_pairs; k++)
                append_pair(text, question, found, rank, k);
    }
    return g_string_free(text, FALSE);
}
