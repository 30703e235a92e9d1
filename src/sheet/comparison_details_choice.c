/* Which motifs a case's details show.
 *
 * comparison_details_words.c says what of each, comparison_details_pages.c fits them to pages,
 * comparison_details.c draws them.
 */
#include "sheet/comparison_details.h"

/* About a motif's crop, of its larger side. */
#define AIR 0.08
/* What covers more of its print than this is no detail of it. */
#define MOST_SHARE 0.3
/* Longer for its width than this it is a strip of ground. */
#define MOST_ASPECT 8.0
/* With this share of the smaller one's box in both, two crops show the same. */
#define SAME_SHARE 0.6
/* Points on each side of a box that is carried to the plate. */
#define BOX_STEPS 8

static void detail_free(gpointer data) {
    TapulDetail *detail = data;
    g_free(detail->label);
    g_free(detail->text);
    g_free(detail);
}

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

static const TapulCaseLaid *laid_of(const TapulComparison *comparison, int laying) {
    return g_ptr_array_index(comparison->laid, laying);
}

static const TapulInk *ink_of(const TapulComparison *comparison, int print) {
    return ((const TapulPrint *)g_ptr_array_index(comparison->question->prints, print))->ink;
}

/* --- What is shown --- */

static TapulBox with_air(TapulBox box) {
    TapulVec2 size = size_of(box);
    double air = AIR * fmax(size.x, size.y);
    return (TapulBox){tapul_vec2_sub(box.min, tapul_vec2(air, air)),
                      tapul_vec2_add(box.max, tapul_vec2(air, air))};
}

/* Where the laying puts a box of the print: of a motif that the plate does not bear, the place
 * that it would have. */
static TapulBox carried_box(const TapulComparison *comparison, int laying, TapulBox box) {
    TapulBox carried = tapul_box_empty();
    TapulVec2 size = size_of(box), at;
    for (int i = 0; i <= BOX_STEPS; i++)
        for (int j = 0; j <= BOX_STEPS; j++) {
            TapulVec2 share = {(double)i / BOX_STEPS, (double)j / BOX_STEPS};
            TapulVec2 from = {box.min.x + share.x * size.x, box.min.y + share.y * size.y};
            if (tapul_laying_developed(laid_of(comparison, laying)->map, from, &at))
                tapul_box_add(&carried, at);
        }
    return carried;
}

static gboolean was_changed(const TapulShownMotif *motif) {
    return motif->finding && motif->finding->fate != TAPUL_MOTIF_KEPT &&
           motif->finding->fate != TAPUL_MOTIF_UNDECIDED;
}

static gboolean middle_within(TapulBox box, TapulBox within) {
    TapulVec2 middle = tapul_vec2_mix(box.min, box.max, 0.5);
    return middle.x >= within.min.x && middle.x <= within.max.x && middle.y >= within.min.y &&
           middle.y <= within.max.y;
}

/* Of a motif that was kept, its whole place and not only what of it is left; of one left out,
 * the place that it would have. */
static TapulBox plate_box(const TapulComparison *comparison, const TapulShownMotif *motif) {
    TapulBox found = motif->developed_mm;
    TapulBox place = carried_box(comparison, motif->laying, motif->print_mm);
    if (tapul_box_is_empty(found) ||
        (motif->finding && !was_changed(motif) && middle_within(found, place)))
        return place;
    return found;
}

static TapulDetail *detail_new(const TapulComparison *comparison,
                               const TapulShownMotif *motif) {
    TapulDetail *detail = g_new0(TapulDetail, 1);
    const TapulInk *ink = ink_of(comparison, motif->print);
    TapulBox plate = plate_box(comparison, motif), print = with_air(motif->print_mm);
    detail->motif = motif;
    detail->print_mm =
        (TapulBox){{fmax(print.min.x, 0), fmax(print.min.y, 0)},
                   {fmin(print.max.x, ink->width_mm), fmin(print.max.y, ink->height_mm)}};
    detail->plate_mm = tapul_box_is_empty(plate) ? plate : with_air(plate);
    detail->label = g_strdup(motif->name);
    detail->text = tapul_detail_words(comparison, motif, tapul_box_is_empty(plate));
    return detail;
}

/* --- Which --- */

static double area_of(TapulBox box) {
    return fmax(box.max.x - box.min.x, 0) * fmax(box.max.y - box.min.y, 0);
}

/* The ink of a motif against its size: what is drawn closely tells most. */
static double weight_of(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const GPtrArray *motifs = ink_of(comparison, motif->print)->motifs;
    const TapulMotif *named = g_ptr_array_index(motifs, motif->motif);
    return named->length_mm / sqrt(fmax(area_of(motif->print_mm), 1));
}

static gboolean is_detail(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulInk *ink = ink_of(comparison, motif->print);
    TapulVec2 size = size_of(motif->print_mm);
    double aspect = fmax(size.x, size.y) / fmax(fmin(size.x, size.y), 1e-9);
    return was_changed(motif) ||
           (aspect <= MOST_ASPECT &&
            area_of(motif->print_mm) <= MOST_SHARE * ink->width_mm * ink->height_mm);
}

static gboolean shown_by(const TapulShownMotif *motif, const GPtrArray *chosen) {
    TapulBox own = motif->print_mm;
    for (guint i = 0; i < chosen->len; i++) {
        TapulBox other = ((const TapulShownMotif *)g_ptr_array_index(chosen, i))->print_mm;
        TapulBox both = {{fmax(own.min.x, other.min.x), fmax(own.min.y, other.min.y)},
                         {fmin(own.max.x, other.max.x), fmin(own.max.y, other.max.y)}};
        if (area_of(both) >= SAME_SHARE * fmin(area_of(own), area_of(other)))
            return TRUE;
    }
    return FALSE;
}

static gint by_weight(gconstpointer a, gconstpointer b, gpointer comparison) {
    double first = weight_of(comparison, *(const TapulShownMotif *const *)a);
    double second = weight_of(comparison, *(const TapulShownMotif *const *)b);
    return (first < second) - (first > second);
}

static double larger_side(const TapulShownMotif *motif) {
    TapulVec2 size = size_of(motif->print_mm);
    return fmax(size.x, size.y);
}

/* Print by print, the largest first. */
static gint for_pages(gconstpointer a, gconstpointer b) {
    const TapulShownMotif *first = *(const TapulShownMotif *const *)a;
    const TapulShownMotif *second = *(const TapulShownMotif *const *)b;
    double one = larger_side(first), other = larger_side(second);
    if (first->print != second->print)
        return first->print - second->print;
    return one != other ? (one < other) - (one > other) : first->motif - second->motif;
}

/* Those of one print, in the order they are wanted; of a print that is laid again its first
 * laying's only. */
static GPtrArray *of_print(const TapulComparison *comparison, const GPtrArray *motifs,
                           int print) {
    g_autoptr(GPtrArray) own = g_ptr_array_new();
    GPtrArray *chosen = g_ptr_array_new();
    int laying = -1;
    for (guint i = 0; i < motifs->len; i++) {
        TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        if (motif->print != print)
            continue;
        laying = laying < 0 ? motif->laying : laying;
        if (motif->laying == laying && is_detail(comparison, motif))
            g_ptr_array_add(own, motif);
    }
    g_ptr_array_sort_with_data(own, by_weight, (gpointer)comparison);
    for (guint i = 0; i < own->len; i++) {
        TapulShownMotif *motif = g_ptr_array_index(own, i);
        if (was_changed(motif) || !shown_by(motif, chosen))
            g_ptr_array_add(chosen, motif);
    }
    return chosen;
}

/* The first of every print, then the second of every print, ... */
static GPtrArray *in_turn(const TapulComparison *comparison, const GPtrArray *motifs) {
    g_autoptr(GPtrArray) prints =
        g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    GPtrArray *turns = g_ptr_array_new();
    guint longest = 0;
    for (guint i = 0; i < comparison->question->prints->len; i++) {
        GPtrArray *own = of_print(comparison, motifs, (int)i);
        longest = MAX(longest, own->len);
        g_ptr_array_add(prints, own);
    }
    for (guint rank = 0; rank < longest; rank++)
        for (guint i = 0; i < prints->len; i++) {
            const GPtrArray *own = g_ptr_array_index(prints, i);
            if (rank < own->len)
                g_ptr_array_add(turns, g_ptr_array_index(own, rank));
        }
    return turns;
}

/* A print that is laid again has its motifs once. */
static int count_motifs(const GPtrArray *motifs) {
    int count = 0;
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        gboolean again = FALSE;
        for (guint k = 0; k < i && !again; k++) {
            const TapulShownMotif *before = g_ptr_array_index(motifs, k);
            again = before->print == motif->print && before->motif == motif->motif;
        }
        count += !again;
    }
    return count;
}

GPtrArray *tapul_details_choose(const TapulComparison *comparison, const GPtrArray *motifs,
                                int most, int *left_out) {
    g_autoptr(GPtrArray) turns = in_turn(comparison, motifs);
    GPtrArray *details = g_ptr_array_new_with_free_func(detail_free);
    g_ptr_array_set_size(turns, MIN((int)turns->len, most));
    *left_out = count_motifs(motifs) - (int)turns->len;
    g_ptr_array_sort(turns, for_pages);
    for (guint i = 0; i < turns->len; i++)
        g_ptr_array_add(details, detail_new(comparison, g_ptr_array_index(turns, i)));
    return details;
}
