/* Each piece for a cutter or plotter: its lines sorted into layers by what a machine does with
 * them, true to size. */
#include "sheet/pounce_parts.h"

#define AROUND_MM   10.0
#define HAIRLINE_MM 0.01 /* what cutters take for a cut (common practice, no source) */
#define NAME_MM     3.0
/* From a cross's middle to its name's start, both ways. */
#define NAME_OFF_MM 1.2
/* From a seam to a notch's name, inwards. */
#define NOTCH_NAME_MM 5.0

static const TapulColour red = {1, 0, 0, 1}, blue = {0, 0, 1, 1};

static TapulAffine on_page(const TapulPouncePages *pages, const TapulPouncePiece *piece,
                           TapulVec2 *size_mm) {
    TapulAffine mirror = {pages->question->pounce.face_down ? -1 : 1, 0, 0, 1, 0, 0};
    TapulBox box = tapul_affine_box(&mirror, tapul_path_box(piece->cut));
    *size_mm = tapul_vec2(box.max.x - box.min.x + 2 * AROUND_MM,
                          box.max.y - box.min.y + 2 * AROUND_MM);
    mirror.dx = AROUND_MM - box.min.x;
    mirror.dy = AROUND_MM - box.min.y;
    return mirror;
}

static void add_line_layer(TapulPage *page, const char *id, const char *title,
                           const TapulPath *path, TapulColour colour) {
    tapul_page_begin_group(page, id, title, NULL);
    tapul_page_path(page, path, &(TapulPen){.stroke = colour, .width_mm = HAIRLINE_MM});
    tapul_page_end_group(page);
}

/* --- The design --- */

/* A pen draws strokes as they are and areas along their edge. */
static void add_mark(TapulPage *page, const TapulMark *mark) {
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK,
                    .width_mm = mark->kind == TAPUL_MARK_STROKE ? mark->width_mm : HAIRLINE_MM,
                    .cap = mark->cap,
                    .join = mark->join};
    if (mark->kind == TAPUL_MARK_STROKE && mark->dash_mm)
        for (guint i = 0; i < MIN(mark->dash_mm->len, G_N_ELEMENTS(pen.dash_mm)); i++)
            pen.dash_mm[pen.n_dash++] = g_array_index(mark->dash_mm, double, i);
    tapul_page_path(page, mark->path, &pen);
}

static void add_design(TapulPage *page, const TapulPouncePiece *piece) {
    tapul_page_begin_group(page, "draw", "The design", NULL);
    for (guint i = 0; i < piece->ink->len; i++) {
        const TapulMark *mark = piece->ink->pdata[i];
        if (!mark->paper && !tapul_path_is_empty(mark->path))
            add_mark(page, mark);
    }
    tapul_page_end_group(page);
}

/* --- Marks --- */

static void add_name(TapulPage *page, TapulVec2 at, const char *text) {
    TapulType type = {.size_mm = NAME_MM, .colour = TAPUL_WORK_BLACK};
    tapul_page_text(page, at, text, &type);
}

static void add_marks(TapulPage *page, const TapulPouncePiece *piece,
                      const TapulAffine *to_page) {
    TapulPen pen = {.stroke = TAPUL_WORK_BLACK, .width_mm = HAIRLINE_MM};
    tapul_page_begin_group(page, "marks", "Notches, crosses and their names", NULL);
    for (guint i = 0; i < piece->notches->len; i++) {
        const TapulNotch *notch = &g_array_index(piece->notches, TapulNotch, i);
        TapulVec2 name =
            tapul_vec2_sub(notch->at_mm, tapul_vec2_scale(notch->outward, NOTCH_NAME_MM));
        g_autoptr(TapulPath) tick = tapul_notch_path(notch, to_page, FALSE);
        tapul_page_path(page, tick, &pen);
        add_name(page, tapul_affine_point(to_page, name), notch->label);
    }
    for (guint i = 0; i < piece->crosses->len; i++) {
        const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
        TapulVec2 at = tapul_affine_point(to_page, cross->at_mm);
        g_autoptr(TapulPath) path = tapul_cross_path(at);
        g_autofree char *name = g_strdup_printf("%d", cross->name);
        tapul_page_path(page, path, &pen);
        add_name(page, tapul_vec2_add(at, tapul_vec2(NAME_OFF_MM, NAME_OFF_MM)), name);
    }
    tapul_page_end_group(page);
}

/* --- The page --- */

static void add_resist(TapulPage *page, const TapulResist *resist, int piece) {
    for (guint bite = 0; bite < resist->bites->len; bite++) {
        const TapulBite *bitten = resist->bites->pdata[bite];
        g_autofree char *id = g_strdup_printf("resist-%u", bite + 1);
        g_autofree char *title = g_strdup_printf("Covered in bite %u", bite + 1);
        tapul_page_begin_group(page, id, title, NULL);
        tapul_page_path(page, bitten->cover->pdata[piece],
                        &(TapulPen){.fill = TAPUL_WORK_BLACK, .even_odd = TRUE});
        tapul_page_end_group(page);
    }
    if (resist->dots == 0)
        return;
    const GArray *dots = resist->dot_mm->pdata[piece];
    tapul_page_begin_group(page, "dots", "Dots that stand on the ground", NULL);
    for (guint i = 0; i < dots->len; i++) {
        g_autoptr(TapulPath) disc =
            tapul_disc_path(g_array_index(dots, TapulVec2, i), resist->dot_diameter_mm / 2);
        tapul_page_path(page, disc, &(TapulPen){.fill = TAPUL_WORK_BLACK});
    }
    tapul_page_end_group(page);
}

/* A machine's file has no room for words: cautions stand in its description. */
static char *description_of(const TapulPounce *pounce) {
    GString *description = g_string_new("Layers for a cutter or plotter, true to size in mm.");
    const char *const *cautions = tapul_etching_cautions();
    for (int i = 0; pounce->resist && cautions[i]; i++)
        g_string_append_printf(description, " %s", cautions[i]);
    return g_string_free(description, FALSE);
}

static TapulPage *layers_of(const TapulPouncePages *pages, int i) {
    const TapulPouncePiece *piece = pages->pounce->pieces->pdata[i];
    TapulVec2 size;
    TapulAffine to_page = on_page(pages, piece, &size);
    g_autofree char *title =
        g_strdup_printf("%s: piece %d", pages->question->title, piece->number);
    g_autofree char *description = description_of(pages->pounce);
    g_autofree char *id = g_strdup_printf("piece-%d", piece->number);
    TapulPage *page = tapul_page_new(size.x, size.y, title, description);
    tapul_page_set_author(page, pages->question->sheet.author);
    tapul_page_begin_group(page, id, NULL, &to_page);
    if (pages->pounce->resist)
        add_resist(page, pages->pounce->resist, i);
    add_design(page, piece);
    add_line_layer(page, "score", "Where the neighbour\u2019s edge comes to lie", piece->score,
                   blue);
    add_line_layer(page, "cut", "Where the paper is cut", piece->cut, red);
    tapul_page_end_group(page);
    add_marks(page, piece, &to_page);
    return page;
}

GPtrArray *tapul_sheet_pounce_layers(const TapulPouncePages *pages) {
    GPtrArray *made = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    for (guint i = 0; i < pages->pounce->pieces->len; i++)
        g_ptr_array_add(made, layers_of(pages, (int)i));
    return made;
}
