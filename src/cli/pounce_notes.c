/* What a maker ought to know of the papers before going to work: sentences for the report and
 * the summary's page. */
#include "cli/pounce_files.h"
#include "cli/pounce_report.h"

/* Ink lost or folded below this is rounding, not design. */
#define LOST_MM 0.5
/* A paper smaller than this is a slip of the cuts: a finger hides it. */
#define SMALL_MM2 100.0

/* Where on the plate a triangle of a piece lies: its middle. */
static TapulSpot middle_on_plate(const TapulPiece *piece, int triangle) {
    const TapulSpot *corner = &piece->plate_spot[3 * triangle];
    TapulSpot spot = {corner[0].triangle, {0, 0, 0}};
    for (int k = 0; k < 3; k++)
        for (int w = 0; w < 3; w++)
            spot.weight[w] += corner[k].weight[w] / 3;
    return spot;
}

static void note_stretch(GPtrArray *notes, const TapulCase *question,
                         const TapulPounce *pounce) {
    double limit_percent = 100 * question->pounce.stretch_limit;
    for (guint i = 0; i < pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pounce->pieces, i);
        const TapulDevelopment *development = piece->piece->development;
        double percent = tapul_pounce_asked_percent(development);
        if (percent <= limit_percent)
            continue;
        TapulPouncePlace worst = tapul_pounce_place(
            question->plate,
            middle_on_plate(piece->piece, development->stretch.worst_triangle));
        g_autofree char *place = tapul_pounce_say_place(&worst);
        g_ptr_array_add(
            notes, g_strdup_printf("piece %d asks %.1f %%, more than the limit of %.3g %%: "
                                   "paper buckles; add a cut near %s",
                                   piece->number, percent, limit_percent, place));
    }
}

static void note_laid(GPtrArray *notes, const TapulCase *question, const GPtrArray *laid) {
    for (guint i = 0; i < laid->len; i++) {
        const TapulCaseLaying *laying = g_ptr_array_index(question->layings, i);
        const TapulPrint *print = g_ptr_array_index(question->prints, laying->print);
        const TapulLaidInk *ink = ((const TapulCaseLaid *)g_ptr_array_index(laid, i))->ink;
        if (ink->beyond_edge_mm > LOST_MM || ink->beyond_edge_fills > 0)
            g_ptr_array_add(notes,
                            g_strdup_printf("laying %u (%s): %.0f mm of line and %d areas lie "
                                            "beyond the plate's edge and are left out",
                                            i + 1, print->id, ink->beyond_edge_mm,
                                            ink->beyond_edge_fills));
        if (ink->folded_mm > LOST_MM || ink->folded_fills > 0)
            g_ptr_array_add(
                notes, g_strdup_printf("laying %u (%s): %.0f mm of line and %d areas "
                                       "fold where the sheet wrinkles",
                                       i + 1, print->id, ink->folded_mm, ink->folded_fills));
    }
}

static void note_small(GPtrArray *notes, const TapulPounce *pounce) {
    for (guint i = 0; i < pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pounce->pieces, i);
        double area_mm2 = piece->piece->development->area_mm2;
        if (area_mm2 < SMALL_MM2)
            g_ptr_array_add(
                notes, g_strdup_printf("piece %d is only %.3g mm\u00b2: two cuts, or a cut "
                                       "and the plate's edge, lie close together",
                                       piece->number, area_mm2));
    }
}

/* --- The resist --- */

static void note_closing(GPtrArray *notes, const TapulResist *resist) {
    const char *what = resist->kind == TAPUL_RESIST_LINES ? "lines" : "gaps between lines";
    double share = 1 - resist->bitten_area_mm2 / resist->wanted_area_mm2;
    if (resist->closes_in_all > 0)
        g_ptr_array_add(
            notes,
            g_strdup_printf("%d %s (%.1f %% of what was to be bitten) close under the "
                            "resist: they are narrower than %.3g mm, twice the "
                            "undercut; bite less deep, or lay the design larger",
                            resist->closes_in_all, what, 100 * share, 2 * resist->undercut_mm));
}

static void note_idle_bites(GPtrArray *notes, const TapulResist *resist) {
    for (guint i = 0; i < resist->bites->len; i++)
        if (!(((const TapulBite *)g_ptr_array_index(resist->bites, i))->bitten_area_mm2 > 0))
            g_ptr_array_add(notes, g_strdup_printf("bite %u bites nothing: all of it is "
                                                   "covered or closes",
                                                   i + 1));
}

GPtrArray *tapul_pounce_notes(const TapulCase *question, const TapulPounce *pounce) {
    GPtrArray *notes = g_ptr_array_new_with_free_func(g_free);
    note_stretch(notes, question, pounce);
    note_small(notes, pounce);
    note_laid(notes, question, pounce->laid);
    if (pounce->resist) {
        note_closing(notes, pounce->resist);
        note_idle_bites(notes, pounce->resist);
    }
    for (guint i = 0; i < question->prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(question->prints, i);
        tapul_note_size(notes, print->file, print->ink);
        tapul_note_scan(notes, print->file, print->ink);
    }
    tapul_note_fit(notes, question->plate);
    return notes;
}
