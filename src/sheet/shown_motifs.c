/* Motifs for readers: where each lies on its print and on the plate, a point on its ink to
 * point to, and what became of it.
 *
 * Call-outs, details, worksheet and the page for a browser show them.
 */
#include "sheet/figure_parts.h"

/* Motifs under this both ways are too small to show; what frames nearly all of a print cannot
 * be pointed to. */
#define LEAST_MM   3.0
#define MOST_SHARE 0.8
/* Of a print's height: motifs whose middles differ by less stand in one row. */
#define ROW_SHARE 0.08

static TapulVec2 middle_of(TapulBox box) {
    return tapul_vec2_mix(box.min, box.max, 0.5);
}

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

/* --- Places on ink --- */

typedef struct {
    TapulVec2 at_mm;
    double away_mm; /* INFINITY: none yet */
} Nearest;

static void look_along(Nearest *nearest, const TapulPath *path, TapulVec2 wanted_mm,
                       TapulBox within) {
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece))
        for (int i = 0; i <= 4; i++) {
            TapulVec2 at = tapul_cubic_point(piece.p, i / 4.0);
            double away_mm = tapul_vec2_distance(at, wanted_mm);
            if (away_mm >= nearest->away_mm || at.x < within.min.x || at.y < within.min.y ||
                at.x > within.max.x || at.y > within.max.y)
                continue;
            *nearest = (Nearest){at, away_mm};
        }
}

/* The place on ink nearest to a wanted one, within a box; motif -1: of any. FALSE: none. */
static gboolean place_on_ink(const GPtrArray *marks, int motif, TapulVec2 wanted_mm,
                             TapulBox within, TapulVec2 *at_mm) {
    Nearest nearest = {.away_mm = INFINITY};
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        if (!mark->paper && (motif < 0 || mark->motif == motif))
            look_along(&nearest, mark->path, wanted_mm, within);
    }
    *at_mm = nearest.at_mm;
    return isfinite(nearest.away_mm);
}

/* --- Where it is laid --- */

static TapulBox marks_box(const GPtrArray *marks, int motif) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        if (!mark->paper && (motif < 0 || mark->motif == motif) &&
            !tapul_path_is_empty(mark->path))
            tapul_box_add_box(&box, tapul_path_box(mark->path));
    }
    return box;
}

/* The place that the print's own goes to, if it is on the plate; else one on what is. */
static void set_laid(TapulShownMotif *shown, const TapulCaseLaid *laid) {
    shown->developed_mm = marks_box(laid->ink->marks, shown->motif);
    shown->mark_developed_mm = tapul_vec2(0, 0);
    if (tapul_box_is_empty(shown->developed_mm) ||
        tapul_laying_developed(laid->map, shown->mark_print_mm, &shown->mark_developed_mm))
        return;
    place_on_ink(laid->ink->marks, shown->motif, middle_of(shown->developed_mm),
                 shown->developed_mm, &shown->mark_developed_mm);
}

/* --- Where it was found --- */

static const TapulMotifFinding *finding_of(const TapulComparison *comparison, int print,
                                           int motif) {
    for (guint i = 0; comparison->evidence && i < comparison->evidence->prints->len; i++) {
        const TapulPrintEvidence *found = comparison->evidence->prints->pdata[i];
        for (guint k = 0; found->print == print && found->motifs && k < found->motifs->len;
             k++) {
            const TapulMotifFinding *finding =
                &g_array_index(found->motifs, TapulMotifFinding, k);
            if (finding->motif == motif)
                return finding;
        }
    }
    return NULL;
}

/* Its box is where it was found. */
static gboolean has_place(const TapulMotifFinding *finding) {
    return finding && finding->fate != TAPUL_MOTIF_LEFT_OUT &&
           finding->fate != TAPUL_MOTIF_UNDECIDED && !tapul_box_is_empty(finding->box_mm);
}

/* The laid place moved as the motif was, and from there to the nearest ink found. */
static void set_found(TapulShownMotif *shown, const TapulInk *found) {
    const TapulMotifFinding *finding = shown->finding;
    TapulVec2 from = tapul_vec2_sub(shown->mark_developed_mm, middle_of(shown->developed_mm));
    if (tapul_box_is_empty(shown->developed_mm))
        from = tapul_vec2(0, 0);
    if (finding->fate == TAPUL_MOTIF_REVERSED)
        from.x = -from.x;
    from = tapul_vec2_scale(tapul_vec2_turn(from, finding->turned_rad), finding->resized);
    shown->developed_mm = finding->box_mm;
    shown->mark_developed_mm = tapul_vec2_add(middle_of(finding->box_mm), from);
    if (found)
        place_on_ink(found->marks, -1, shown->mark_developed_mm, finding->box_mm,
                     &shown->mark_developed_mm);
}

/* --- The list --- */

static void free_shown(gpointer data) {
    TapulShownMotif *shown = data;
    g_free(shown->name);
    g_free(shown);
}

static gboolean is_worth_showing(const TapulMotif *motif, const TapulInk *ink) {
    if (tapul_box_is_empty(motif->box_mm))
        return FALSE;
    TapulVec2 size = size_of(motif->box_mm);
    gboolean too_small = size.x < LEAST_MM && size.y < LEAST_MM;
    gboolean frames_all =
        size.x > MOST_SHARE * ink->width_mm && size.y > MOST_SHARE * ink->height_mm;
    return !too_small && !frames_all;
}

static void add_motif(GPtrArray *list, const TapulComparison *comparison, int laying,
                      int motif) {
    const TapulCase *question = comparison->question;
    const TapulCaseLaying *asked = g_ptr_array_index(question->layings, laying);
    const TapulInk *ink =
        ((TapulPrint *)g_ptr_array_index(question->prints, asked->print))->ink;
    TapulBox box = ((TapulMotif *)g_ptr_array_index(ink->motifs, motif))->box_mm;
    TapulVec2 mark_mm;
    if (!place_on_ink(ink->marks, motif, middle_of(box), box, &mark_mm))
        return;
    TapulShownMotif *shown = g_new0(TapulShownMotif, 1);
    shown->print = asked->print;
    shown->laying = laying;
    shown->motif = motif;
    shown->name = tapul_case_motif_name(question, asked->print, motif);
    shown->print_mm = box;
    shown->mark_print_mm = mark_mm;
    shown->finding = finding_of(comparison, asked->print, motif);
    set_laid(shown, g_ptr_array_index(comparison->laid, laying));
    if (has_place(shown->finding))
        set_found(shown, question->found);
    else if (shown->finding && shown->finding->fate == TAPUL_MOTIF_LEFT_OUT)
        shown->developed_mm = tapul_box_empty();
    g_ptr_array_add(list, shown);
}

/* --- Reading order --- */

static int higher_first(gconstpointer a, gconstpointer b) {
    double left = middle_of((*(TapulShownMotif *const *)a)->print_mm).y,
           right = middle_of((*(TapulShownMotif *const *)b)->print_mm).y;
    return (left < right) - (left > right);
}

static int left_first(gconstpointer a, gconstpointer b) {
    double left = middle_of((*(TapulShownMotif *const *)a)->print_mm).x,
           right = middle_of((*(TapulShownMotif *const *)b)->print_mm).x;
    return (left > right) - (left < right);
}

/* Rows from the top, each from the left. */
static void sort_to_read(GPtrArray *list, guint first, double row_mm) {
    gpointer *shown = list->pdata + first;
    gsize n = list->len - first;
    qsort(shown, n, sizeof *shown, higher_first);
    for (gsize start = 0, end; start < n; start = end) {
        double top = middle_of(((TapulShownMotif *)shown[start])->print_mm).y;
        for (end = start + 1; end < n; end++)
            if (middle_of(((TapulShownMotif *)shown[end])->print_mm).y < top - row_mm)
                break;
        qsort(shown + start, end - start, sizeof *shown, left_first);
    }
}

static void add_laying(GPtrArray *list, const TapulComparison *comparison, int laying) {
    const TapulCase *question = comparison->question;
    const TapulCaseLaying *asked = g_ptr_array_index(question->layings, laying);
    const TapulInk *ink =
        ((TapulPrint *)g_ptr_array_index(question->prints, asked->print))->ink;
    guint first = list->len;
    for (guint m = 0; m < ink->motifs->len; m++)
        if (is_worth_showing(ink->motifs->pdata[m], ink))
            add_motif(list, comparison, laying, (int)m);
    if (list->len > first)
        sort_to_read(list, first, ROW_SHARE * ink->height_mm);
}

GPtrArray *tapul_shown_motifs(const TapulComparison *comparison, int laying) {
    GPtrArray *list = g_ptr_array_new_with_free_func(free_shown);
    const GPtrArray *layings = comparison->question->layings;
    for (guint i = 0; i < layings->len; i++) {
        const TapulCaseLaying *asked = layings->pdata[i];
        gboolean wanted =
            laying < 0 ? asked->options.rule != TAPUL_LAYING_BORDERED : (guint)laying == i;
        if (wanted)
            add_laying(list, comparison, (int)i);
    }
    return list;
}

/* --- What became of it --- */

char *tapul_motif_fate_words(const TapulComparison *comparison, const TapulShownMotif *motif) {
    static const char *const words[] = {
        [TAPUL_MOTIF_KEPT] = "kept",          [TAPUL_MOTIF_MOVED] = "moved",
        [TAPUL_MOTIF_TURNED] = "turned",      [TAPUL_MOTIF_RESIZED] = "resized to",
        [TAPUL_MOTIF_REVERSED] = "reversed",  [TAPUL_MOTIF_LEFT_OUT] = "left out",
        [TAPUL_MOTIF_UNDECIDED] = "the tracing does not tell"};
    const TapulMotifFinding *finding = motif->finding;
    if (!finding)
        return NULL;
    const char *word = tapul_case_word(comparison->question, words[finding->fate]);
    switch (finding->fate) {
    case TAPUL_MOTIF_MOVED:
        return g_strdup_printf("%s %.0f\u00a0mm", word, tapul_vec2_length(finding->moved_mm));
    case TAPUL_MOTIF_TURNED:
        return g_strdup_printf("%s %.0f°", word, fabs(finding->turned_rad) * 180 / G_PI);
    case TAPUL_MOTIF_RESIZED:
        return g_strdup_printf("%s %.0f\u00a0%%", word, 100 * finding->resized);
    default:
        return g_strdup(word);
    }
}

/* --- The whole of it --- */

TapulBox tapul_laid_box_mm(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    const TapulInk *ink =
        ((TapulPrint *)g_ptr_array_index(comparison->question->prints, asked->print))->ink;
    TapulBox box = marks_box(laid->ink->marks, -1);
    for (guint m = 0; m < ink->motifs->len; m++) {
        const TapulMotifFinding *finding = finding_of(comparison, asked->print, (int)m);
        if (has_place(finding))
            tapul_box_add_box(&box, finding->box_mm);
    }
    return box;
}
