/* What a worksheet asks for: the prints that are laid and have motifs, and of each the motifs
 * that can be found, numbered. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

#include <string.h>

/* What reaches over more of the print's area than this (sky, strapwork all over) lies in no one
 * place that could be named (by eye). */
#define MOST_REACH 0.4

static const TapulCaseLaid *laid_of(const TapulComparison *comparison, int laying) {
    return g_ptr_array_index(comparison->laid, laying);
}

static const TapulCaseLaying *laying_of(const TapulComparison *comparison, int laying) {
    return g_ptr_array_index(comparison->question->layings, laying);
}

static const TapulPrint *print_of(const TapulComparison *comparison, int print) {
    return g_ptr_array_index(comparison->question->prints, print);
}

static void motif_free(gpointer data) {
    TapulSoughtMotif *motif = data;
    g_ptr_array_unref(motif->places);
    g_free(motif);
}

static void print_free(gpointer data) {
    TapulSoughtPrint *print = data;
    g_array_unref(print->layings);
    g_ptr_array_unref(print->motifs);
    g_ptr_array_unref(print->lists);
    g_free(print);
}

/* --- Prints --- */

/* One engraving may stand in a case under several names. */
static gboolean same_print(const TapulPrint *a, const TapulPrint *b) {
    return a == b ||
           (strcmp(a->file, b->file) == 0 && a->ink->motifs->len == b->ink->motifs->len);
}

static TapulSoughtPrint *entry_for(GPtrArray *prints, const TapulComparison *comparison,
                                   int print) {
    for (guint i = 0; i < prints->len; i++) {
        TapulSoughtPrint *entry = g_ptr_array_index(prints, i);
        if (same_print(print_of(comparison, entry->print), print_of(comparison, print)))
            return entry;
    }
    TapulSoughtPrint *entry = g_new0(TapulSoughtPrint, 1);
    entry->print = print;
    entry->layings = g_array_new(FALSE, FALSE, sizeof(int));
    entry->lists = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    entry->motifs = g_ptr_array_new_with_free_func(motif_free);
    g_ptr_array_add(prints, entry);
    return entry;
}

static gboolean has_a_place(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulInk *ink = print_of(comparison, motif->print)->ink;
    TapulVec2 size = tapul_vec2_sub(motif->print_mm.max, motif->print_mm.min);
    return size.x * size.y <= MOST_REACH * ink->width_mm * ink->height_mm;
}

/* Of motifs that all reach far, all are kept. */
static void add_laying(GPtrArray *prints, const TapulComparison *comparison, int laying) {
    GPtrArray *shown = tapul_shown_motifs(comparison, laying);
    gboolean any = FALSE;
    for (guint i = 0; i < shown->len; i++)
        any |= has_a_place(comparison, g_ptr_array_index(shown, i));
    for (guint i = shown->len; any && i-- > 0;)
        if (!has_a_place(comparison, g_ptr_array_index(shown, i)))
            g_ptr_array_remove_index(shown, i);
    if (shown->len == 0) {
        g_ptr_array_unref(shown);
        return;
    }
    TapulSoughtPrint *entry =
        entry_for(prints, comparison, laying_of(comparison, laying)->print);
    g_array_append_val(entry->layings, laying);
    g_ptr_array_add(entry->lists, shown);
}

static double ink_laid_mm(const TapulComparison *comparison, const TapulSoughtPrint *print) {
    int laying = g_array_index(print->layings, int, 0);
    return laid_of(comparison, laying)->ink->laid_length_mm;
}

static int most_ink_first(gconstpointer a, gconstpointer b, gpointer comparison) {
    const TapulSoughtPrint *left = *(TapulSoughtPrint *const *)a;
    const TapulSoughtPrint *right = *(TapulSoughtPrint *const *)b;
    double left_mm = ink_laid_mm(comparison, left), right_mm = ink_laid_mm(comparison, right);
    return left_mm != right_mm ? (left_mm < right_mm) - (left_mm > right_mm)
                               : left->print - right->print;
}

/* --- Motifs --- */

static double ink_mm(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulInk *ink = print_of(comparison, motif->print)->ink;
    return ((const TapulMotif *)g_ptr_array_index(ink->motifs, motif->motif))->length_mm;
}

/* How many of the list have more ink, or as much and stand before it. */
static guint rank_of(const TapulComparison *comparison, const GPtrArray *list, guint of) {
    double own_mm = ink_mm(comparison, g_ptr_array_index(list, of));
    guint rank = 0;
    for (guint i = 0; i < list->len; i++) {
        double other_mm = ink_mm(comparison, g_ptr_array_index(list, i));
        rank += other_mm > own_mm || (other_mm == own_mm && i < of);
    }
    return rank;
}

static void add_places(TapulSoughtMotif *motif, const TapulSoughtPrint *print) {
    for (guint i = 0; i < print->lists->len; i++) {
        const GPtrArray *list = g_ptr_array_index(print->lists, i);
        for (guint k = 0; k < list->len; k++) {
            TapulShownMotif *shown = g_ptr_array_index(list, k);
            if (shown->motif == motif->shown->motif)
                g_ptr_array_add(motif->places, shown);
        }
    }
}

/* The most motifs of each of two prints: half each, and what the other does not need. */
static guint share_of(const GPtrArray *prints, guint of) {
    const guint most = TAPUL_WORKSHEET_MOST_MOTIFS;
    if (prints->len == 1)
        return most;
    const TapulSoughtPrint *other = g_ptr_array_index(prints, 1 - of);
    guint other_n = ((const GPtrArray *)g_ptr_array_index(other->lists, 0))->len;
    return other_n < most / 2 ? most - other_n : most / 2;
}

/* In the order of the first laying's list, which reads from the upper left. */
static void number_motifs(TapulSoughtPrint *print, const TapulComparison *comparison,
                          guint most, int *numbered) {
    const GPtrArray *list = g_ptr_array_index(print->lists, 0);
    for (guint i = 0; i < list->len; i++) {
        if (rank_of(comparison, list, i) >= most)
            continue;
        TapulSoughtMotif *motif = g_new0(TapulSoughtMotif, 1);
        motif->number = ++*numbered;
        motif->shown = g_ptr_array_index(list, i);
        motif->places = g_ptr_array_new();
        add_places(motif, print);
        g_ptr_array_add(print->motifs, motif);
    }
}

GPtrArray *tapul_sought_prints(const TapulComparison *comparison) {
    GPtrArray *prints = g_ptr_array_new_with_free_func(print_free);
    int numbered = 0;
    for (guint i = 0; i < comparison->laid->len; i++)
        if (laying_of(comparison, (int)i)->options.rule != TAPUL_LAYING_BORDERED)
            add_laying(prints, comparison, (int)i);
    g_ptr_array_sort_with_data(prints, most_ink_first, (gpointer)comparison);
    if (prints->len > TAPUL_WORKSHEET_MOST_PRINTS)
        g_ptr_array_set_size(prints, 1);
    for (guint i = 0; i < prints->len; i++) {
        TapulSoughtPrint *print = g_ptr_array_index(prints, i);
        number_motifs(print, comparison, share_of(prints, i), &numbered);
        tapul_sought_marks(print_of(comparison, print->print)->ink, print);
    }
    return prints;
}

/* --- All of them --- */

static void add_box(TapulBox *box, TapulBox more) {
    if (tapul_box_is_empty(more))
        return;
    tapul_box_add(box, more.min);
    tapul_box_add(box, more.max);
}

TapulBox tapul_sought_region(const TapulComparison *comparison) {
    const TapulInk *found = comparison->question->found;
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < comparison->laid->len; i++)
        if (laying_of(comparison, (int)i)->options.rule != TAPUL_LAYING_BORDERED)
            add_box(&box, tapul_laid_box_mm(comparison, (int)i));
    for (guint i = 0; found && i < found->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(found->marks, i);
        if (!mark->paper && !tapul_path_is_empty(mark->path))
            add_box(&box, tapul_path_box(mark->path));
    }
    return box;
}

char *tapul_sought_names(const TapulComparison *comparison, const GPtrArray *prints) {
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < prints->len; i++) {
        const TapulSoughtPrint *print = g_ptr_array_index(prints, i);
        g_autofree char *name = tapul_comparison_print_name(comparison, print->print);
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "", name);
    }
    return g_string_free(text, FALSE);
}
