/* The figures of ink: counts, lengths, areas, and the same for each motif. Stands at the end of
 * reading. */
#include "ink/figures.h"

#include "ink/region.h"
#include "ink/trace.h"

/* A fill smaller than this is the closing of a line that nobody sees: a thousandth of a pin
 * prick. */
#define LEAST_FILL_MM2 1e-6
/* A stroke shorter than this and without caps shows nothing (SVG 2, 13.5.4; ISO 32000-1,
 * 8.5.3.2): a tenth of a micron, cairo's rounding and a little. */
#define LEAST_STROKE_MM 1e-4

static gboolean measure_fill(TapulRegions *regions, TapulInk *ink, const TapulMark *mark) {
    gboolean estimated;
    double area_mm2 = tapul_filled_area_mm2(regions, mark->path, mark->even_odd, &estimated);
    if (area_mm2 < LEAST_FILL_MM2)
        return FALSE;
    if (estimated)
        tapul_skipped_add(ink->skipped, "tangled fill's exact area", 1,
                          tapul_path_box(mark->path));
    if (!mark->paper) {
        ink->fills++;
        ink->ink_area_mm2 += area_mm2;
    }
    return TRUE;
}

static gboolean measure_stroke(TapulInk *ink, const TapulMark *mark) {
    double length_mm = tapul_path_length(mark->path);
    if (length_mm < LEAST_STROKE_MM && mark->cap == TAPUL_CAP_BUTT)
        return FALSE;
    if (mark->paper)
        return TRUE;
    ink->strokes++;
    ink->ink_length_mm += length_mm;
    ink->ink_area_mm2 += length_mm * mark->width_mm;
    return TRUE;
}

void tapul_ink_measure(TapulInk *ink) {
    TapulRegions regions = tapul_regions_begin();
    ink->strokes = ink->fills = 0;
    ink->ink_length_mm = ink->ink_area_mm2 = 0;
    guint kept = 0;
    for (guint i = 0; i < ink->marks->len; i++) {
        TapulMark *mark = g_ptr_array_index(ink->marks, i);
        gboolean keep = TRUE;
        if (mark->kind == TAPUL_MARK_STROKE)
            keep = measure_stroke(ink, mark);
        else
            keep = measure_fill(&regions, ink, mark);
        /* Dropped marks gather behind the kept ones, whose order stays. */
        ink->marks->pdata[i] = ink->marks->pdata[kept];
        ink->marks->pdata[kept] = mark;
        if (keep)
            kept++;
    }
    g_ptr_array_set_size(ink->marks, (int)kept);
    tapul_regions_end(&regions);
}

static int motif_place(GPtrArray *motifs, const char *id) {
    for (guint i = 0; i < motifs->len; i++)
        if (g_str_equal(((TapulMotif *)g_ptr_array_index(motifs, i))->id, id))
            return (int)i;
    TapulMotif *motif = g_new0(TapulMotif, 1);
    motif->id = g_strdup(id);
    motif->box_mm = tapul_box_empty();
    g_ptr_array_add(motifs, motif);
    return (int)motifs->len - 1;
}

static void add_to_motif(TapulMotif *motif, const TapulMark *mark) {
    double length_mm = tapul_path_length(mark->path);
    gboolean is_stroke = mark->kind == TAPUL_MARK_STROKE;
    motif->strokes += is_stroke;
    motif->fills += !is_stroke;
    motif->length_mm += is_stroke ? length_mm : length_mm / 2;
    TapulBox box = tapul_path_box(mark->path);
    tapul_box_add(&motif->box_mm, box.min);
    tapul_box_add(&motif->box_mm, box.max);
}

static void free_motif(gpointer data) {
    TapulMotif *motif = data;
    g_free(motif->id);
    g_free(motif);
}

void tapul_ink_list_motifs(TapulInk *ink, const GPtrArray *names) {
    GPtrArray *motifs = g_ptr_array_new_with_free_func(free_motif);
    int *places = g_new(int, names->len + 1);
    for (guint i = 0; i < names->len; i++)
        places[i] = -1;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        if (mark->paper || mark->motif < 0 || mark->motif >= (int)names->len)
            continue;
        int *place = &places[mark->motif];
        if (*place < 0)
            *place = motif_place(motifs, g_ptr_array_index(names, (guint)mark->motif));
        add_to_motif(g_ptr_array_index(motifs, (guint)*place), mark);
    }
    for (guint i = 0; i < ink->marks->len; i++) {
        TapulMark *mark = g_ptr_array_index(ink->marks, i);
        mark->motif =
            mark->motif >= 0 && mark->motif < (int)names->len ? places[mark->motif] : -1;
    }
    g_free(places);
    if (ink->motifs)
        g_ptr_array_unref(ink->motifs);
    ink->motifs = motifs;
}
