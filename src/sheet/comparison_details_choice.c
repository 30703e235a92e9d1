/* Which motifs a case's details show.
 *
 * comparison_details_words.c says what of each, comparison_details_pages.c fits them to pages,
 * comparison_details.c draws them.
 */
#include "sheet/comparison_details.h"
#include "sheet/worksheet_parts.h"

/* About a motif's crop, of its larger side. */
#define AIR 0.08
/* A laying that changes no length of a motif by more shows nothing at a glance (by eye). */
#define LEAST_CHANGE 0.03
/* Places on the plate that differ from the print's crop by no more are shown as large as it. */
#define SAME_SIZE 0.06
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

/* A box with the print's air about it, in proportion to its own size. */
static TapulBox with_air_of(TapulBox box, TapulBox motif, TapulBox crop) {
    TapulVec2 own = size_of(box), from = size_of(motif);
    TapulVec2 k = {own.x / fmax(from.x, 1e-9), own.y / fmax(from.y, 1e-9)};
    return (TapulBox){{box.min.x - k.x * (motif.min.x - crop.min.x),
                       box.min.y - k.y * (motif.min.y - crop.min.y)},
                      {box.max.x + k.x * (crop.max.x - motif.max.x),
                       box.max.y + k.y * (crop.max.y - motif.max.y)}};
}

/* As large as the print's crop where it nearly is: pairs of one size compare best. */
static TapulBox evened(TapulBox box, TapulBox crop) {
    TapulVec2 own = size_of(box), like = size_of(crop);
    if (fabs(own.x / like.x - 1) > SAME_SIZE || fabs(own.y / like.y - 1) > SAME_SIZE)
        return box;
    return tapul_box_about(tapul_vec2_mix(box.min, box.max, 0.5), tapul_vec2_scale(like, 0.5));
}

/* What of the plate the print's crop is compared with. Of a motif that was kept its whole place
 * and not only what of it is left; of one left out the place that it would have. */
static TapulBox plate_box(const TapulComparison *comparison, const TapulShownMotif *motif,
                          TapulBox crop) {
    TapulBox found = motif->developed_mm;
    TapulBox place = carried_box(comparison, motif->laying, crop);
    if (tapul_box_is_empty(place) && tapul_box_is_empty(found))
        return place;
    if (tapul_box_is_empty(found) || !motif->finding ||
        (!was_changed(motif) && middle_within(found, place)))
        return evened(place, crop);
    return evened(with_air_of(found, motif->print_mm, crop), crop);
}

static TapulDetail *detail_new(const TapulComparison *comparison,
                               const TapulShownMotif *motif) {
    TapulDetail *detail = g_new0(TapulDetail, 1);
    const TapulInk *ink = ink_of(comparison, motif->print);
    TapulBox print = with_air(motif->print_mm);
    detail->motif = motif;
    detail->print_mm =
        (TapulBox){{fmax(print.min.x, 0), fmax(print.min.y, 0)},
                   {fmin(print.max.x, ink->width_mm), fmin(print.max.y, ink->height_mm)}};
    detail->plate_mm = plate_box(comparison, motif, detail->print_mm);
    detail->label = g_strdup(motif->name);
    detail->text = tapul_detail_words(comparison, motif, tapul_box_is_empty(detail->plate_mm));
    return detail;
}

/* --- Which --- */

static double area_of(TapulBox box) {
    return fmax(box.max.x - box.min.x, 0) * fmax(box.max.y - box.min.y, 0);
}

/* Whether the tracing has something where an undecided motif would be. */
static gboolean has_traces(const TapulComparison *comparison, const TapulShownMotif *motif) {
    TapulBox place = carried_box(comparison, motif->laying, motif->print_mm);
    const TapulInk *found = comparison->question->found;
    for (guint i = 0; found && i < found->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(found->marks, i);
        if (!tapul_path_is_empty(mark->path) &&
            middle_within(tapul_path_box(mark->path), place))
            return TRUE;
    }
    return FALSE;
}

static gboolean is_undecided(const TapulShownMotif *motif) {
    return motif->finding && motif->finding->fate == TAPUL_MOTIF_UNDECIDED;
}

/* What is drawn closely tells most: the ink of a motif against its size. Of what is only laid
 * its change tells, and what was decided tells more than what was not. */
static double weight_of(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const GPtrArray *motifs = ink_of(comparison, motif->print)->motifs;
    const TapulMotif *named = g_ptr_array_index(motifs, motif->motif);
    double drawn = named->length_mm / sqrt(fmax(area_of(motif->print_mm), 1));
    if (!motif->finding)
        return tapul_detail_change(comparison, motif);
    return is_undecided(motif) ? motif->finding->share_in_place : 1 + drawn;
}

static gboolean is_detail(const TapulComparison *comparison, const TapulShownMotif *motif) {
    if (was_changed(motif))
        return TRUE;
    if (!tapul_sought_stands_out(ink_of(comparison, motif->print), motif->motif))
        return FALSE;
    if (is_undecided(motif))
        return has_traces(comparison, motif);
    return motif->finding || tapul_detail_change(comparison, motif) >= LEAST_CHANGE;
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

static gboolean only_laid(const GPtrArray *motifs) {
    for (guint i = 0; i < motifs->len; i++)
        if (((const TapulShownMotif *)g_ptr_array_index(motifs, i))->finding)
            return FALSE;
    return TRUE;
}

gboolean tapul_details_only_laid(const GPtrArray *details) {
    for (guint i = 0; i < details->len; i++)
        if (((const TapulDetail *)g_ptr_array_index(details, i))->motif->finding)
            return FALSE;
    return TRUE;
}

static gboolean is_shown(const TapulShownMotif *motif, const GPtrArray *details) {
    for (guint i = 0; i < details->len; i++) {
        const TapulDetail *detail = g_ptr_array_index(details, i);
        if (detail->motif == motif)
            return TRUE;
    }
    return FALSE;
}

gboolean tapul_details_tell_all(const TapulComparison *comparison, const GPtrArray *motifs,
                                const GPtrArray *details) {
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        if (!is_shown(motif, details) && tapul_detail_change(comparison, motif) >= LEAST_CHANGE)
            return FALSE;
    }
    return TRUE;
}

GPtrArray *tapul_details_choose(const TapulComparison *comparison, const GPtrArray *motifs,
                                int most, int *left_out) {
    g_autoptr(GPtrArray) turns = in_turn(comparison, motifs);
    GPtrArray *details = g_ptr_array_new_with_free_func(detail_free);
    if (only_laid(turns))
        most = MIN(most, TAPUL_DETAILS_MOST_LAID);
    g_ptr_array_set_size(turns, MIN((int)turns->len, most));
    *left_out = count_motifs(motifs) - (int)turns->len;
    g_ptr_array_sort(turns, for_pages);
    for (guint i = 0; i < turns->len; i++)
        g_ptr_array_add(details, detail_new(comparison, g_ptr_array_index(turns, i)));
    return details;
}
