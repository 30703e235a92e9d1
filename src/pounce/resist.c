/* The resist: what is painted before each bite, what the bites eat, and what they would not
 * leave. The fourth step of the maker's papers (parts.h); its own stand in resist_parts.h. */
#include "pounce/resist_parts.h"

/* The design is known beyond what undercut and dots ask by so much more. */
#define SPARE_MM 0.1

static void bite_free(gpointer data) {
    TapulBite *bite = data;
    g_ptr_array_unref(bite->bare);
    g_ptr_array_unref(bite->cover);
    g_free(bite);
}

void tapul_resist_free(TapulResist *resist) {
    if (!resist)
        return;
    g_ptr_array_unref(resist->bites);
    g_array_unref(resist->too_thin);
    g_ptr_array_unref(resist->dot_mm);
    g_free(resist);
}

/* --- The plan --- */

static void plan_bites(TapulResistPlan *plan) {
    const GArray *bites = plan->asked->bites;
    plan->n_bites = bites->len > 0 ? (int)MIN(bites->len, TAPUL_MOST_BITES) : 1;
    plan->depth_mm[0] = plan->asked->depth_mm;
    for (guint i = 0; i < bites->len && i < TAPUL_MOST_BITES; i++) {
        const TapulCaseBite *bite = &g_array_index(bites, TapulCaseBite, i);
        plan->depth_mm[i] = bite->depth_mm;
        plan->stops |= bite->stop_out && bite->stop_out[0];
    }
    for (int i = 0; i < plan->n_bites; i++)
        plan->total_mm[i + 1] = plan->total_mm[i] + plan->depth_mm[i];
}

static double undercut_mm(const TapulResistPlan *plan) {
    return tapul_undercut_mm(plan->total_mm[plan->n_bites], plan->asked->etch_factor);
}

static TapulResistPlan plan_new(const TapulCase *question, const GPtrArray *laid,
                                const TapulPattern *pattern, TapulResistWatch *watch) {
    const TapulCasePounce *asked = &question->pounce;
    TapulResistPlan plan = {.watch = watch,
                            .question = question,
                            .asked = asked,
                            .laid = laid,
                            .pattern = pattern,
                            .kind = (TapulResistKind)asked->resist};
    plan_bites(&plan);
    /* Growing takes the undercut, growing back as much again; dots keep clear. */
    plan.reach_mm =
        SPARE_MM + fmax(2 * undercut_mm(&plan),
                        asked->dot_mm > 0 ? asked->dot_mm + asked->dot_clear_mm : 0);
    return plan;
}

/* --- Pieces --- */

/* The cells' parts as one path. NULL if GEOS gives up. */
static TapulPath *outline_of(const GPtrArray *cells, gboolean cover, int bite) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    g_autoptr(GArray) parts = g_array_new(FALSE, FALSE, sizeof(TapulCellShape));
    for (guint i = 0; i < cells->len; i++) {
        const TapulResistCell *cell = g_ptr_array_index(cells, i);
        TapulCellShape part = {cover ? cell->cover[bite] : cell->bare[bite], cell->box};
        g_array_append_val(parts, part);
    }
    return tapul_cells_outline(shapes, parts);
}

static gboolean take_bite(TapulBite *bite, const GPtrArray *cells, int k) {
    TapulPath *path[2];
#pragma omp parallel for
    for (int i = 0; i < 2; i++)
        path[i] = outline_of(cells, i == 1, k);
    TapulPath *bare = path[0], *cover = path[1];
    if (!bare || !cover) {
        tapul_path_free(bare);
        tapul_path_free(cover);
        return FALSE;
    }
    g_ptr_array_add(bite->bare, bare);
    g_ptr_array_add(bite->cover, cover);
    for (guint i = 0; i < cells->len; i++)
        bite->bitten_area_mm2 +=
            ((const TapulResistCell *)g_ptr_array_index(cells, i))->bitten_mm2[k];
    return TRUE;
}

static gboolean take_piece(const TapulResistPlan *plan, const TapulDottedPiece *piece,
                           TapulResist *resist, GError **error) {
    gboolean known = piece->cells != NULL;
    for (int k = 0; known && k < plan->n_bites; k++)
        known = take_bite(g_ptr_array_index(resist->bites, (guint)k), piece->cells, k);
    for (guint i = 0; known && i < piece->cells->len; i++)
        resist->wanted_area_mm2 +=
            ((const TapulResistCell *)g_ptr_array_index(piece->cells, i))->wanted_mm2;
    if (known && tapul_thin_runs(plan, piece->design, piece->cells, resist))
        return TRUE;
    g_set_error(error, TAPUL_POUNCE_ERROR, TAPUL_POUNCE_ERROR_GEOMETRY,
                "piece %d: the areas that the resist covers cannot be had from its design",
                piece->design->piece->number);
    return FALSE;
}

static void clear_piece(gpointer data) {
    TapulDottedPiece *piece = data;
    tapul_design_free((TapulDesign *)piece->design);
    if (piece->cells)
        g_ptr_array_unref((GPtrArray *)piece->cells);
}

static gboolean draw_pieces(const TapulResistPlan *plan, const GPtrArray *pieces, GArray *drawn,
                            TapulResist *resist, GError **error) {
    for (guint i = 0; i < pieces->len; i++) {
        TapulDottedPiece piece = {tapul_design_new(plan, g_ptr_array_index(pieces, i), error),
                                  NULL};
        if (!piece.design)
            return FALSE;
        piece.cells = tapul_resist_cells_new(plan, piece.design);
        g_array_append_val(drawn, piece);
        if (!take_piece(plan, &piece, resist, error))
            return FALSE;
        plan->watch->pieces_done++;
    }
    return TRUE;
}

/* --- The figures --- */

static void sum_up(const TapulResistPlan *plan, TapulResist *resist) {
    for (int k = 0; k < plan->n_bites; k++) {
        TapulBite *bite = g_ptr_array_index(resist->bites, (guint)k);
        bite->steel_g = tapul_bite_steel_g(bite->bitten_area_mm2, bite->depth_mm);
        resist->steel_g += bite->steel_g;
    }
    /* What a later bite bares an earlier one did too. */
    resist->bitten_area_mm2 =
        ((const TapulBite *)g_ptr_array_index(resist->bites, 0))->bitten_area_mm2;
    resist->iron_chloride_g = tapul_bite_iron_chloride_g(resist->steel_g);
    resist->etchant_l = tapul_bite_etchant_l(resist->steel_g, plan->asked->working_share);
    tapul_thin_sort(resist);
}

static TapulResist *resist_new(const TapulResistPlan *plan) {
    TapulResist *resist = g_new0(TapulResist, 1);
    resist->kind = plan->kind;
    resist->undercut_mm = undercut_mm(plan);
    resist->bites = g_ptr_array_new_with_free_func(bite_free);
    resist->too_thin = g_array_new(FALSE, FALSE, sizeof(TapulTooThin));
    resist->dot_mm = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    for (int k = 0; k < plan->n_bites; k++) {
        TapulBite *bite = g_new0(TapulBite, 1);
        bite->depth_mm = plan->depth_mm[k];
        bite->bare = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_path_free);
        bite->cover = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_path_free);
        g_ptr_array_add(resist->bites, bite);
    }
    return resist;
}

TapulResist *tapul_pounce_resist(const TapulCase *question, const GPtrArray *laid,
                                 const TapulPattern *pattern, const GPtrArray *pieces,
                                 const TapulPounceProgress *progress, GError **error) {
    TapulResistWatch watch = {progress, pieces->len, 0, 0};
    TapulResistPlan plan = plan_new(question, laid, pattern, &watch);
    TapulResist *resist = resist_new(&plan);
    g_autoptr(GArray) drawn = g_array_new(FALSE, FALSE, sizeof(TapulDottedPiece));
    g_array_set_clear_func(drawn, clear_piece);
    if (!draw_pieces(&plan, pieces, drawn, resist, error)) {
        tapul_resist_free(resist);
        return NULL;
    }
    tapul_resist_dot(&plan, drawn, resist);
    sum_up(&plan, resist);
    return resist;
}
