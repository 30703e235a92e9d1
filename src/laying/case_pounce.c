/* What a case says of the maker's papers: how they are to be cut, drawn and tiled, and how the
 * design is to be etched. */
#include "laying/case_internal.h"

#include <string.h>

/* Typical working figures, all to be changed by the maker (common practice, no source). */
/* Motifs of a print that a message names. */
#define MOST_NAMED      20
#define STRETCH_PERCENT 1.0
#define ALLOWANCE_MM    5.0
#define ROLL_WIDTH_MM   610.0
#define OVERLAP_MM      10.0
#define DEPTH_MM        0.12
#define ETCH_FACTOR     2.0
#define FINEST_MM       0.3
#define WORKING_SHARE   0.5
#define MOST_BITES      6

static void clear_bite(gpointer data) {
    g_strfreev(((TapulCaseBite *)data)->stop_out);
}

void tapul_case_pounce_init(TapulCasePounce *pounce) {
    *pounce = (TapulCasePounce){
        .stretch_limit = STRETCH_PERCENT / 100,
        .allowance_mm = ALLOWANCE_MM,
        .paper = g_strdup("A4"),
        .roll_width_mm = ROLL_WIDTH_MM,
        .overlap_mm = OVERLAP_MM,
        .depth_mm = DEPTH_MM,
        .etch_factor = ETCH_FACTOR,
        .finest_mm = FINEST_MM,
        .working_share = WORKING_SHARE,
        .bites = g_array_new(FALSE, FALSE, sizeof(TapulCaseBite)),
    };
    g_array_set_clear_func(pounce->bites, clear_bite);
}

void tapul_case_pounce_clear(TapulCasePounce *pounce) {
    g_free(pounce->paper);
    g_array_unref(pounce->bites);
}

/* Whether a name is a print's id, or "print/motif". */
static gboolean is_known(const TapulCase *question, const char *name) {
    for (guint i = 0; i < question->prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(question->prints, i);
        gsize length = strlen(print->id);
        if (strcmp(name, print->id) == 0 || !print->ink)
            return TRUE;
        if (strncmp(name, print->id, length) != 0 || name[length] != '/')
            continue;
        for (guint m = 0; m < print->ink->motifs->len; m++)
            if (strcmp(((const TapulMotif *)g_ptr_array_index(print->ink->motifs, m))->id,
                       name + length + 1) == 0)
                return TRUE;
    }
    return FALSE;
}

/* The names that may stand in stop_out, for a message: "a, b, b/frog". */
static char *say_names(const TapulCase *question) {
    GString *names = g_string_new(NULL);
    for (guint i = 0; i < question->prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(question->prints, i);
        g_string_append_printf(names, "%s%s", i > 0 ? ", " : "", print->id);
        for (guint m = 0; print->ink && m < MIN(print->ink->motifs->len, MOST_NAMED); m++)
            g_string_append_printf(
                names, ", %s/%s", print->id,
                ((const TapulMotif *)g_ptr_array_index(print->ink->motifs, m))->id);
    }
    return g_string_free(names, FALSE);
}

static char **read_stop_out(TapulCaseReading *reading, const TapulNode *bite) {
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, bite, "stop_out");
    GPtrArray *names = g_ptr_array_new();
    int n = tapul_document_list_length(document, list, "stop_out");
    for (int i = 0; i < n; i++) {
        const TapulNode *item = tapul_document_list_item(document, list, i);
        const char *name = tapul_node_text(item);
        if (name && is_known(reading->made, name)) {
            g_ptr_array_add(names, g_strdup(name));
            continue;
        }
        g_autofree char *known = say_names(reading->made);
        tapul_document_fault(document, item,
                             "stop_out: '%s' is neither a print of the case nor print/motif; "
                             "there are: %s",
                             name ? name : "a list or map", known);
    }
    g_ptr_array_add(names, NULL);
    return (char **)g_ptr_array_free(names, FALSE);
}

static void read_bites(TapulCaseReading *reading, const TapulNode *node,
                       TapulCasePounce *pounce) {
    static const char *const keys[] = {"depth_mm", "stop_out", NULL};
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, node, "bites");
    int n = tapul_document_list_length(document, list, "bites");
    if (n > MOST_BITES)
        tapul_document_fault(document, list, "bites: %d are more than the %d permitted", n,
                             MOST_BITES);
    for (int i = 0; i < MIN(n, MOST_BITES); i++) {
        const TapulNode *item = tapul_document_list_item(document, list, i);
        TapulCaseBite bite = {0, NULL};
        tapul_document_expect_keys(document, item, keys);
        tapul_document_number(document, item, "depth_mm", TRUE, 0.005, 2, &bite.depth_mm);
        bite.stop_out = read_stop_out(reading, item);
        g_array_append_val(pounce->bites, bite);
    }
}

/* Of all bites together. */
static double deepest_mm(const TapulCasePounce *pounce) {
    double sum_mm = 0;
    for (guint i = 0; i < pounce->bites->len; i++)
        sum_mm += g_array_index(pounce->bites, TapulCaseBite, i).depth_mm;
    return pounce->bites->len > 0 ? sum_mm : pounce->depth_mm;
}

/* Bites that belong to nothing, and such as would go through the metal. */
static void check_bites(TapulCaseReading *reading, const TapulNode *node,
                        const TapulCasePounce *pounce) {
    TapulDocument *document = reading->document;
    const TapulNode *bites = tapul_document_get(document, node, "bites");
    const TapulNode *depth = tapul_document_get(document, node, "depth_mm");
    double thickness_mm =
        reading->made->plate ? tapul_plate_thickness_mm(reading->made->plate) : 0;
    if (pounce->bites->len > 0 && pounce->resist == 0)
        tapul_document_fault(document, bites,
                             "bites: nothing is bitten without resist: ground or lines");
    if (pounce->bites->len > 0 && depth)
        tapul_document_fault(document, depth, "depth_mm: the bites give depths of their own");
    if (pounce->resist != 0 && thickness_mm > 0 && deepest_mm(pounce) >= thickness_mm)
        tapul_document_fault(document,
                             bites   ? bites
                             : depth ? depth
                                     : node,
                             "depth_mm: %g mm in all goes through the metal; permitted: less "
                             "than its %g mm",
                             deepest_mm(pounce), thickness_mm);
}

static void read_dots(TapulCaseReading *reading, const TapulNode *node,
                      TapulCasePounce *pounce) {
    static const char *const keys[] = {"size_mm", "spacing_mm", "clear_mm", NULL};
    TapulDocument *document = reading->document;
    const TapulNode *dots = tapul_document_get(document, node, "dots");
    if (!dots)
        return;
    tapul_document_expect_keys(document, dots, keys);
    if (!tapul_document_number(document, dots, "size_mm", TRUE, 0.1, 10, &pounce->dot_mm))
        return;
    pounce->dot_spacing_mm = 2 * pounce->dot_mm;
    pounce->dot_clear_mm = pounce->dot_mm;
    tapul_document_number(document, dots, "spacing_mm", FALSE, 1.2 * pounce->dot_mm, 50,
                          &pounce->dot_spacing_mm);
    tapul_document_number(document, dots, "clear_mm", FALSE, 0, 50, &pounce->dot_clear_mm);
    double painted_mm = pounce->dot_mm + 2 * deepest_mm(pounce) / pounce->etch_factor;
    if (pounce->dot_spacing_mm <= painted_mm)
        tapul_document_fault(document, dots,
                             "dots: %g mm apart they run together: to stand %g mm wide they "
                             "are painted %g mm wide; permitted: spacing_mm above that",
                             pounce->dot_spacing_mm, pounce->dot_mm, painted_mm);
    if (pounce->resist != 1)
        tapul_document_fault(document, dots,
                             "dots: only a bitten ground is dotted: resist: ground");
}

static void read_paper(TapulCaseReading *reading, const TapulNode *node,
                       TapulCasePounce *pounce) {
    static const char *const papers[] = {"A4", "A3", "roll", NULL};
    int paper = tapul_document_choice(reading->document, node, "paper", FALSE, papers);
    if (paper >= 0) {
        g_free(pounce->paper);
        pounce->paper = g_strdup(papers[paper]);
    }
    tapul_document_number(reading->document, node, "roll_width_mm", FALSE, 100, 2000,
                          &pounce->roll_width_mm);
    tapul_document_number(reading->document, node, "overlap_mm", FALSE, 0, 50,
                          &pounce->overlap_mm);
}

void tapul_case_read_pounce(TapulCaseReading *reading) {
    static const char *const keys[] = {"stretch_percent",
                                       "allowance_mm",
                                       "face",
                                       "paper",
                                       "roll_width_mm",
                                       "overlap_mm",
                                       "resist",
                                       "depth_mm",
                                       "etch_factor",
                                       "finest_mm",
                                       "dots",
                                       "working_share",
                                       "bites",
                                       NULL};
    static const char *const faces[] = {"up", "down", NULL};
    static const char *const resists[] = {"none", "ground", "lines", NULL};
    TapulDocument *document = reading->document;
    TapulCasePounce *pounce = &reading->made->pounce;
    const TapulNode *node = tapul_document_get(document, reading->root, "pounce");
    double percent = STRETCH_PERCENT;

    tapul_document_expect_keys(document, node, keys);
    tapul_document_number(document, node, "stretch_percent", FALSE, 0.2, 20, &percent);
    pounce->stretch_limit = percent / 100;
    tapul_document_number(document, node, "allowance_mm", FALSE, 0, 30, &pounce->allowance_mm);
    pounce->face_down = tapul_document_choice(document, node, "face", FALSE, faces) == 1;
    read_paper(reading, node, pounce);
    pounce->resist = MAX(0, tapul_document_choice(document, node, "resist", FALSE, resists));
    tapul_document_number(document, node, "depth_mm", FALSE, 0.005, 2, &pounce->depth_mm);
    tapul_document_number(document, node, "etch_factor", FALSE, 0.5, 20, &pounce->etch_factor);
    tapul_document_number(document, node, "finest_mm", FALSE, 0.01, 10, &pounce->finest_mm);
    tapul_document_number(document, node, "working_share", FALSE, 0.05, 1,
                          &pounce->working_share);
    read_bites(reading, node, pounce);
    check_bites(reading, node, pounce);
    read_dots(reading, node, pounce);
}
