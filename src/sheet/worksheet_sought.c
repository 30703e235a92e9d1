/* What a worksheet asks for: the prints that are laid and have motifs, and of each the motifs
 * that can be found, numbered. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

#include <string.h>

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
    g_array_unref(print->chosen);
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
    entry->chosen = g_array_new(FALSE, FALSE, sizeof(guint));
    g_ptr_array_add(prints, entry);
    return entry;
}

static gboolean any_weighed(const GPtrArray *shown) {
    gboolean any = FALSE;
    for (guint i = 0; i < shown->len; i++)
        any |= ((const TapulShownMotif *)g_ptr_array_index(shown, i))->finding != NULL;
    return any;
}

gboolean tapul_sought_is_weighed(const TapulComparison *comparison) {
    g_autoptr(GPtrArray) shown = tapul_shown_motifs(comparison, -1);
    return any_weighed(shown);
}

static gboolean stands_out(const TapulComparison *comparison, const TapulShownMotif *motif) {
    return tapul_sought_stands_out(print_of(comparison, motif->print)->ink, motif->motif);
}

/* A print without motifs is one itself. */
static void add_whole(GPtrArray *shown, const TapulComparison *comparison, int laying) {
    int print = laying_of(comparison, laying)->print;
    const TapulInk *ink = print_of(comparison, print)->ink;
    TapulShownMotif *whole = g_new0(TapulShownMotif, 1);
    *whole = (TapulShownMotif){
        .print = print,
        .laying = laying,
        .motif = TAPUL_WORKSHEET_WHOLE_PRINT,
        .name = tapul_comparison_print_name(comparison, print),
        .print_mm = {{0, 0}, {ink->width_mm, ink->height_mm}},
        .developed_mm = tapul_laid_box_mm(comparison, laying),
        .mark_print_mm = {ink->width_mm / 2, ink->height_mm / 2},
    };
    whole->mark_developed_mm =
        tapul_vec2_mix(whole->developed_mm.min, whole->developed_mm.max, 0.5);
    g_ptr_array_add(shown, whole);
}

/* Where no motif stands out, all are kept. */
static void add_laying(GPtrArray *prints, const TapulComparison *comparison, int laying,
                       gboolean weighed) {
    GPtrArray *shown = tapul_shown_motifs(comparison, laying);
    gboolean any = FALSE;
    for (guint i = 0; i < shown->len; i++)
        any |= stands_out(comparison, g_ptr_array_index(shown, i));
    for (guint i = shown->len; any && i-- > 0;)
        if (!stands_out(comparison, g_ptr_array_index(shown, i)))
            g_ptr_array_remove_index(shown, i);
    if (shown->len == 0)
        add_whole(shown, comparison, laying);
    if (weighed && !any_weighed(shown))
        g_ptr_array_set_size(shown, 0);
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

static gboolean is_chosen(const TapulSoughtPrint *print, guint motif) {
    for (guint i = 0; i < print->chosen->len; i++)
        if (g_array_index(print->chosen, guint, i) == motif)
            return TRUE;
    return FALSE;
}

/* In the order of the first laying's list, which reads from the upper left. */
static void number_motifs(TapulSoughtPrint *print, int *numbered) {
    const GPtrArray *list = g_ptr_array_index(print->lists, 0);
    for (guint i = 0; i < list->len; i++) {
        if (!is_chosen(print, i))
            continue;
        TapulSoughtMotif *motif = g_new0(TapulSoughtMotif, 1);
        motif->number = ++*numbered;
        motif->shown = g_ptr_array_index(list, i);
        motif->places = g_ptr_array_new();
        add_places(motif, print);
        g_ptr_array_add(print->motifs, motif);
    }
}

/* Prints as a whole are asked for beside motifs only. */
static gboolean any_motif(const GPtrArray *prints) {
    for (guint i = 0; i < prints->len; i++) {
        const GPtrArray *first =
            g_ptr_array_index(((TapulSoughtPrint *)g_ptr_array_index(prints, i))->lists, 0);
        const TapulShownMotif *shown = g_ptr_array_index(first, 0);
        if (shown->motif != TAPUL_WORKSHEET_WHOLE_PRINT)
            return TRUE;
    }
    return FALSE;
}

GPtrArray *tapul_sought_prints(const TapulComparison *comparison) {
    GPtrArray *prints = g_ptr_array_new_with_free_func(print_free);
    gboolean weighed = tapul_sought_is_weighed(comparison);
    int numbered = 0;
    for (guint i = 0; i < comparison->laid->len; i++)
        if (laying_of(comparison, (int)i)->options.rule != TAPUL_LAYING_BORDERED)
            add_laying(prints, comparison, (int)i, weighed);
    if (!any_motif(prints))
        g_ptr_array_set_size(prints, 0);
    g_ptr_array_sort_with_data(prints, most_ink_first, (gpointer)comparison);
    if (prints->len > TAPUL_WORKSHEET_MOST_PRINTS)
        g_ptr_array_set_size(prints, TAPUL_WORKSHEET_MOST_PRINTS);
    tapul_sought_choose(comparison, prints);
    for (guint i = 0; i < prints->len; i++) {
        TapulSoughtPrint *print = g_ptr_array_index(prints, i);
        number_motifs(print, &numbered);
        tapul_sought_marks(print_of(comparison, print->print)->ink, print);
    }
    return prints;
}

/* --- Copies --- */

static TapulVec2 middle_of(const TapulComparison *comparison, const TapulShownMotif *motif) {
    TapulBox box = tapul_laid_box_mm(comparison, motif->laying);
    return tapul_vec2_mix(box.min, box.max, 0.5);
}

/* Of two: on which side of the other, where they stand more beside than above one another. */
static const char *side_of(TapulVec2 own, TapulVec2 other) {
    TapulVec2 off = tapul_vec2_sub(own, other);
    if (fabs(off.x) >= fabs(off.y))
        return off.x < 0 ? "left copy" : "right copy";
    return off.y < 0 ? "lower copy" : "upper copy";
}

char *tapul_sought_copy_words(const TapulComparison *comparison, const TapulSoughtMotif *motif,
                              guint place) {
    const GPtrArray *places = motif->places;
    const TapulCase *question = comparison->question;
    TapulVec2 own = middle_of(comparison, g_ptr_array_index(places, place));
    if (places->len == 1)
        return NULL;
    if (places->len == 2) {
        TapulVec2 other = middle_of(comparison, g_ptr_array_index(places, 1 - place));
        return g_strdup(tapul_case_word(question, side_of(own, other)));
    }
    guint rank = 1;
    for (guint i = 0; i < places->len; i++) {
        double x = middle_of(comparison, g_ptr_array_index(places, i)).x;
        rank += x < own.x || (x == own.x && i < place);
    }
    return g_strdup_printf("%s: %u", tapul_case_word(question, "from the left"), rank);
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
