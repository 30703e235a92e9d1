/* Which motifs a worksheet asks for: those first that tell most (mirrored, moved, left out),
 * then the largest; none that only fills what is around it.
 *
 * What a motif is called does not matter here, only how its ink lies. */
#include "sheet/worksheet_parts.h"

/* Rows of a table that are filled in within a lesson. */
#define MOST_ROWS TAPUL_WORKSHEET_MOST_ROWS
/* A print that is shown is asked about more than once or twice, where it has so many. */
#define LEAST_OF_PRINT 3
/* With fewer motifs that the tracing tells of, others are asked for too. */
#define LEAST_MOTIFS 4

/* --- What has a place and a shape of its own --- */

/* What reaches over more of the print's area than this (sky, strapwork all over) lies in no one
 * place that could be named (by eye, as are the shares that follow). */
#define MOST_REACH 0.4
/* The box of some stroke takes this share of the motif's: it has an outline, or a part that
 * has. Without one it is none to be found */
#define LEAST_OUTLINE 0.05
/* where it is strewn from side to side of the print, */
#define MOST_SPREAD 0.8
/* where it is so much longer than high, a strip along something else, */
#define MOST_SLENDER 8.0
/* or where its strokes run on average over this share of its longer side, the lines of a
 * hatched ground. */
#define HATCHED 0.2

static double area_of(TapulBox box) {
    TapulVec2 size = tapul_vec2_sub(box.max, box.min);
    return size.x * size.y;
}

/* The largest stroke's share of the motif's box, and how many strokes it has. */
static double outline_share(const TapulInk *ink, int motif, TapulBox box, guint *strokes) {
    double most = 0;
    *strokes = 0;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        if (mark->motif != motif || mark->paper || tapul_path_is_empty(mark->path))
            continue;
        most = fmax(most, area_of(tapul_path_box(mark->path)));
        ++*strokes;
    }
    return area_of(box) > 0 ? most / area_of(box) : 0;
}

gboolean tapul_sought_stands_out(const TapulInk *ink, int motif) {
    const TapulMotif *of = g_ptr_array_index(ink->motifs, motif);
    TapulVec2 size = tapul_vec2_sub(of->box_mm.max, of->box_mm.min);
    double longer_mm = fmax(size.x, size.y), shorter_mm = fmin(size.x, size.y);
    guint strokes;
    if (area_of(of->box_mm) > MOST_REACH * ink->width_mm * ink->height_mm)
        return FALSE;
    if (outline_share(ink, motif, of->box_mm, &strokes) >= LEAST_OUTLINE || strokes == 0)
        return TRUE;
    return size.x <= MOST_SPREAD * ink->width_mm && size.y <= MOST_SPREAD * ink->height_mm &&
           longer_mm <= MOST_SLENDER * shorter_mm &&
           of->length_mm / strokes <= HATCHED * longer_mm;
}

/* --- In which order --- */

typedef enum { TELLING, PLAIN, UNDECIDED } Tier;

typedef struct {
    guint print; /* of the prints sought */
    guint motif; /* of its first list */
    Tier tier;
    double worth; /* the more the sooner, within a tier */
} Candidate;

gboolean tapul_sought_is_undecided(const TapulComparison *comparison,
                                   const TapulShownMotif *motif) {
    return motif->finding ? motif->finding->fate == TAPUL_MOTIF_UNDECIDED
                          : comparison->question->found != NULL;
}

/* Differs from the print in what a table asks after. */
static gboolean is_telling(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, motif->laying);
    double scale, turn_rad;
    gboolean reversed;
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    return reversed || tapul_box_is_empty(motif->developed_mm) ||
           (motif->finding && motif->finding->fate != TAPUL_MOTIF_KEPT);
}

static const TapulShownMotif *of_list(const TapulSoughtPrint *print, guint list, guint motif) {
    return g_ptr_array_index((const GPtrArray *)g_ptr_array_index(print->lists, list), motif);
}

/* All layings of a print list the same motifs in the same order. */
static Tier tier_of(const TapulComparison *comparison, const TapulSoughtPrint *print,
                    guint motif) {
    gboolean telling = FALSE, undecided = TRUE;
    for (guint i = 0; i < print->lists->len; i++) {
        const TapulShownMotif *shown = of_list(print, i, motif);
        if (tapul_sought_is_undecided(comparison, shown))
            continue;
        undecided = FALSE;
        telling |= is_telling(comparison, shown);
    }
    return undecided ? UNDECIDED : telling ? TELLING : PLAIN;
}

/* Ink, mm; of what is undecided the share that the tracing has at its place, for there is the
 * most for a pupil to see. */
static double worth_of(const TapulComparison *comparison, const TapulShownMotif *motif,
                       Tier tier) {
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, motif->print);
    if (tier == UNDECIDED && motif->finding)
        return motif->finding->share_in_place;
    if (motif->motif == TAPUL_WORKSHEET_WHOLE_PRINT)
        return INFINITY;
    return ((const TapulMotif *)g_ptr_array_index(print->ink->motifs, motif->motif))->length_mm;
}

static int sooner_first(gconstpointer a, gconstpointer b) {
    const Candidate *left = a, *right = b;
    if (left->tier != right->tier)
        return left->tier < right->tier ? -1 : 1;
    if (left->worth != right->worth)
        return left->worth > right->worth ? -1 : 1;
    return left->print != right->print
               ? (left->print < right->print ? -1 : 1)
               : (left->motif > right->motif) - (left->motif < right->motif);
}

static GArray *candidates_of(const TapulComparison *comparison, const GPtrArray *prints) {
    GArray *candidates = g_array_new(FALSE, FALSE, sizeof(Candidate));
    for (guint p = 0; p < prints->len; p++) {
        const TapulSoughtPrint *print = g_ptr_array_index(prints, p);
        const GPtrArray *first = g_ptr_array_index(print->lists, 0);
        for (guint i = 0; i < first->len; i++) {
            Tier tier = tier_of(comparison, print, i);
            Candidate one = {p, i, tier,
                             worth_of(comparison, g_ptr_array_index(first, i), tier)};
            g_array_append_val(candidates, one);
        }
    }
    g_array_sort(candidates, sooner_first);
    return candidates;
}

/* --- The choice --- */

typedef struct {
    guint decided; /* candidates that are */
    guint taken, rows;
} Share;

/* Rows that other prints may still want for their least. */
static guint rows_kept(const Share *shares, guint n, guint but) {
    guint rows = 0;
    for (guint i = 0; i < n; i++) {
        guint least = MIN(LEAST_OF_PRINT, shares[i].decided);
        if (i != but && shares[i].taken < least)
            rows += (least - shares[i].taken) * shares[i].rows;
    }
    return rows;
}

static void choose(const GArray *candidates, Share *shares, guint n, GPtrArray *prints) {
    guint rows = 0, motifs = 0;
    for (guint i = 0; i < candidates->len; i++) {
        const Candidate *one = &g_array_index(candidates, Candidate, i);
        Share *share = &shares[one->print];
        if ((one->tier == UNDECIDED && motifs >= LEAST_MOTIFS) ||
            rows + share->rows + rows_kept(shares, n, one->print) > MOST_ROWS)
            continue;
        TapulSoughtPrint *print = g_ptr_array_index(prints, one->print);
        g_array_append_val(print->chosen, one->motif);
        share->taken++;
        rows += share->rows;
        motifs++;
    }
}

void tapul_sought_choose(const TapulComparison *comparison, GPtrArray *prints) {
    g_autoptr(GArray) candidates = candidates_of(comparison, prints);
    g_autofree Share *shares = g_new0(Share, MAX(prints->len, 1));
    for (guint i = 0; i < prints->len; i++)
        shares[i].rows = ((TapulSoughtPrint *)g_ptr_array_index(prints, i))->lists->len;
    for (guint i = 0; i < candidates->len; i++) {
        const Candidate *one = &g_array_index(candidates, Candidate, i);
        shares[one->print].decided += one->tier != UNDECIDED;
    }
    choose(candidates, shares, prints->len, prints);
    for (guint i = prints->len; i-- > 0;)
        if (((TapulSoughtPrint *)g_ptr_array_index(prints, i))->chosen->len == 0)
            g_ptr_array_remove_index(prints, i);
}
