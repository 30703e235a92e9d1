/* The summary's page of the etch: its figures, what is too thin to stand, and the cautions,
 * which no figure is shown without. */
#include "sheet/pounce_summary.h"

#define GAP_MM      6.0
#define MAP_MM      92.0 /* height of the map */
#define MOST_LISTED 10
#define FIGURES_MM  84.0 /* width of the list of figures */
#define THIN_MM     99.0 /* and of the table of what is too thin */

/* --- Figures --- */

static double depth_in_all_mm(const TapulResist *resist) {
    double depth_mm = 0;
    for (guint i = 0; i < resist->bites->len; i++)
        depth_mm += ((const TapulBite *)resist->bites->pdata[i])->depth_mm;
    return depth_mm;
}

/* What the resist does to the lines. */
static double set_undercut(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulPouncePages *pages, const TapulFormat *format) {
    const TapulResist *resist = pages->pounce->resist;
    at.y = tapul_set_figure(page, at, width_mm, format, "depth to undercut (etch factor)", "%g",
                            pages->question->pounce.etch_factor);
    at.y = tapul_set_figure(page, at, width_mm, format, "undercut at each edge, estimated",
                            "%.3f mm", resist->undercut_mm);
    at.y =
        tapul_set_figure(page, at, width_mm, format, "the resist closes what is narrower than",
                         "%.3f mm", 2 * resist->undercut_mm);
    if (resist->wanted_area_mm2 > 0)
        at.y = tapul_set_figure(
            page, at, width_mm, format, "and so, of what was to be bitten, closes over",
            "%.1f %%", 100 * fmax(0, 1 - resist->bitten_area_mm2 / resist->wanted_area_mm2));
    return at.y;
}

/* What is dissolved, and by what. */
static double set_bath(TapulPage *page, TapulVec2 at, double width_mm,
                       const TapulPouncePages *pages, const TapulFormat *format) {
    const TapulResist *resist = pages->pounce->resist;
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
    at.y = tapul_set_figure(page, at, width_mm, format, "steel dissolved, estimated", "%.1f g",
                            resist->steel_g);
    at.y = tapul_set_figure(page, at, width_mm, format, "ferric chloride used up, estimated",
                            "%.0f g", resist->iron_chloride_g);
    at.y = tapul_set_figure(page, at, width_mm, format, "share of a bath\u2019s use counted on",
                            "%.0f %%", 100 * pages->question->pounce.working_share);
    at.y = tapul_set_figure(page, at, width_mm, format,
                            "bath of 42\u00b0 Baum\u00e9 used up, at least*", "%.2f l",
                            resist->etchant_l);
    return tapul_set_paragraph(page, at, width_mm,
                               "* and besides enough to cover the plate: take what does both.",
                               &type);
}

static void set_figures(TapulPounceSummary *summary, double width_mm) {
    const TapulResist *resist = summary->pages->pounce->resist;
    const TapulFormat *format = &summary->format;
    TapulPage *page = tapul_summary_page(summary);
    TapulVec2 at = {format->margin_mm, summary->y};
    at.y =
        tapul_set_row(page, at, width_mm, "bitten",
                      resist->kind == TAPUL_RESIST_GROUND ? "the ground" : "the lines", format);
    at.y = tapul_set_figure(page, at, width_mm, format, "bites", "%u", resist->bites->len);
    at.y = tapul_set_figure(page, at, width_mm, format, "depth in all", "%.3g mm",
                            depth_in_all_mm(resist));
    at.y = set_undercut(page, at, width_mm, summary->pages, format);
    at.y = tapul_set_figure(page, at, width_mm, format, "bitten area, over the metal",
                            "%.1f cm\u00b2", resist->bitten_area_mm2 / 100);
    if (resist->dots > 0)
        at.y = tapul_set_figure(page, at, width_mm, format, "dots that stand on the ground",
                                "%d", resist->dots);
    summary->y = set_bath(page, at, width_mm, summary->pages, format);
}

static void set_bites(TapulPounceSummary *summary) {
    static const TapulSummaryColumn columns[] = {{"bite", 12, TAPUL_ALIGN_LEFT},
                                                 {"depth, mm", 22, TAPUL_ALIGN_RIGHT},
                                                 {"bitten, cm\u00b2", 26, TAPUL_ALIGN_RIGHT},
                                                 {"steel, g", 24, TAPUL_ALIGN_RIGHT}};
    const GPtrArray *bites = summary->pages->pounce->resist->bites;
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < bites->len; i++) {
        const TapulBite *bite = bites->pdata[i];
        g_ptr_array_add(cells, g_strdup_printf("%u", i + 1));
        g_ptr_array_add(cells, g_strdup_printf("%.3g", bite->depth_mm));
        g_ptr_array_add(cells, g_strdup_printf("%.1f", bite->bitten_area_mm2 / 100));
        g_ptr_array_add(cells, g_strdup_printf("%.1f", bite->steel_g));
    }
    summary->y -= GAP_MM / 2;
    tapul_summary_table(summary, columns, (int)G_N_ELEMENTS(columns), cells, 1);
}

/* --- What is too thin --- */

/* The tile that shows a place of the sheet best inside. */
static const TapulPounceTile *tile_of(const GArray *tiles, TapulVec2 at) {
    const TapulPounceTile *best = NULL;
    double deepest = -INFINITY;
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        TapulBox box = tile->sheet_mm;
        double inside = fmin(fmin(at.x - box.min.x, box.max.x - at.x),
                             fmin(at.y - box.min.y, box.max.y - at.y));
        if (inside > deepest) {
            deepest = inside;
            best = tile;
        }
    }
    return best;
}

static TapulVec2 on_sheet(const TapulPouncePages *pages, const TapulTooThin *thin) {
    return tapul_tiling_place(pages->pounce->tiling, thin->piece - 1, thin->at_mm);
}

static void add_thin(GPtrArray *cells, int number, const TapulPouncePages *pages,
                     const GArray *tiles, const TapulTooThin *thin) {
    TapulVec2 at = on_sheet(pages, thin);
    const TapulPounceTile *tile = tile_of(tiles, at);
    TapulVec2 on_page =
        tapul_vec2_add(tapul_vec2_sub(at, tile->sheet_mm.min), tile->window_mm.min);
    g_ptr_array_add(cells, g_strdup_printf("%d", number));
    g_ptr_array_add(cells, g_strdup_printf("%s%s", thin->gap ? "gap" : "line",
                                           thin->closes ? ", closes" : ""));
    g_ptr_array_add(cells, g_strdup_printf("%.2f", thin->width_mm));
    g_ptr_array_add(cells, g_strdup_printf("%.1f", thin->length_mm));
    g_ptr_array_add(cells, g_strdup_printf("%d", tile->number));
    g_ptr_array_add(cells, g_strdup_printf("%.0f", on_page.x));
    g_ptr_array_add(cells, g_strdup_printf("%.0f", on_page.y));
}

static void say_thin(TapulPounceSummary *summary) {
    const TapulResist *resist = summary->pages->pounce->resist;
    g_autofree char *text = g_strdup_printf(
        "%d in all, %d of them %s under the resist%s. %s", resist->too_thin_in_all,
        resist->closes_in_all, resist->closes_in_all == 1 ? "closes" : "close",
        resist->too_thin_in_all > MOST_LISTED
            ? "; here first those that close, then the longest"
            : "",
        resist->kind == TAPUL_RESIST_LINES
            ? "A line is what is bitten here, a gap the metal that stands between two."
            : "A line stands here, and a gap is the ground that is bitten between two.");
    tapul_summary_paragraph(summary, text);
}

static void set_thin(TapulPounceSummary *summary) {
    static const TapulSummaryColumn columns[] = {
        {"place", 9, TAPUL_ALIGN_LEFT},      {"what", 20, TAPUL_ALIGN_LEFT},
        {"wide, mm", 17, TAPUL_ALIGN_RIGHT}, {"long, mm", 17, TAPUL_ALIGN_RIGHT},
        {"tile", 9, TAPUL_ALIGN_LEFT},       {"right", 12, TAPUL_ALIGN_RIGHT},
        {"up, mm", 15, TAPUL_ALIGN_RIGHT}};
    const TapulPouncePages *pages = summary->pages;
    const GArray *thin = pages->pounce->resist->too_thin;
    int listed = MIN((int)thin->len, MOST_LISTED);
    g_autofree char *heading = g_strdup_printf("Finer than %g mm, or closed by the resist",
                                               pages->question->pounce.finest_mm);
    tapul_summary_heading(summary, heading);
    if (listed == 0) {
        tapul_summary_paragraph(summary, "No line of the design and no gap in it.");
        return;
    }
    say_thin(summary);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(pages);
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    TapulVec2 places[MOST_LISTED];
    for (int i = 0; i < listed; i++) {
        const TapulTooThin *each = &g_array_index(thin, TapulTooThin, i);
        places[i] = on_sheet(pages, each);
        add_thin(cells, i + 1, pages, tiles, each);
    }
    double top = summary->y, left = summary->format.margin_mm;
    tapul_summary_table(summary, columns, (int)G_N_ELEMENTS(columns), cells, 1);
    TapulBox room = {{left + THIN_MM + GAP_MM, top - MAP_MM},
                     {left + tapul_summary_width_mm(summary), top}};
    double map =
        tapul_summary_tile_map(summary, room, places, listed,
                               "Where on the tiles, measured from the paper\u2019s lower "
                               "left corner");
    summary->y = fmin(summary->y, map) - GAP_MM;
}

void tapul_summary_etching(TapulPounceSummary *summary) {
    tapul_summary_turn(summary, "The etch");
    TapulVec2 beside = {summary->format.margin_mm + FIGURES_MM + GAP_MM, summary->y};
    double cautions = tapul_pounce_set_cautions(
        NULL, beside, tapul_summary_width_mm(summary) - FIGURES_MM - GAP_MM,
        summary->format.text_mm);
    TapulPage *page = tapul_summary_page(summary);
    tapul_page_begin_part(page, TAPUL_PART_HEADING, NULL);
    summary->y = tapul_set_heading(page, tapul_vec2(summary->format.margin_mm, summary->y),
                                   FIGURES_MM, "The etch: estimates", &summary->format);
    tapul_page_end_part(page);
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    set_figures(summary, FIGURES_MM);
    tapul_page_end_part(page);
    if (summary->pages->pounce->resist->bites->len > 1)
        set_bites(summary);
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_pounce_set_cautions(page, beside,
                              tapul_summary_width_mm(summary) - FIGURES_MM - GAP_MM,
                              summary->format.text_mm);
    tapul_page_end_part(page);
    summary->y = fmin(summary->y, cautions) - GAP_MM;
    set_thin(summary);
}
