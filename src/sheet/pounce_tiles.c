/* The maker's papers and their resist, tile by tile at 1:1.
 *
 * What must lie where it lies is drawn first; then names, measures and words are set in what
 * room the page painted small shows to be left, or in the margins. */
#include "sheet/pounce_parts.h"

#define NO_BITE -1

typedef struct {
    const TapulPouncePages *pages;
    int bite;          /* NO_BITE: the design is drawn */
    GPtrArray *papers; /* of TapulPouncePaper* */
} Book;

/* --- The drawing --- */

static TapulBox on_piece(const TapulAffine *to_page, TapulBox page_mm) {
    /* Turned and shifted only, perhaps mirrored: the inverse is the transpose. */
    TapulAffine back = {to_page->xx, to_page->yx, to_page->xy, to_page->yy, 0, 0};
    TapulVec2 shift = tapul_affine_point(&back, tapul_vec2(-to_page->dx, -to_page->dy));
    back.dx = shift.x;
    back.dy = shift.y;
    return tapul_affine_box(&back, page_mm);
}

static gboolean shows(const Book *book, const TapulPounceTile *tile, int piece) {
    const TapulPouncePiece *drawn = book->pages->pounce->pieces->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(book->pages, tile, piece);
    return tapul_boxes_overlap(tapul_affine_box(&to_page, tapul_path_box(drawn->cut)),
                               tile->window_mm);
}

static void draw_marks(TapulPage *page, const Book *book, const TapulPouncePiece *piece,
                       const TapulAffine *to_page) {
    gboolean resist = book->bite != NO_BITE;
    tapul_page_begin_group(page, "marks", "Notches and crosses", NULL);
    for (guint i = 0; i < piece->notches->len; i++) {
        g_autoptr(TapulPath) tick =
            tapul_notch_path(&g_array_index(piece->notches, TapulNotch, i), to_page, resist);
        tapul_pounce_draw_mark(page, tick);
    }
    for (guint i = 0; i < piece->crosses->len && !resist; i++) {
        const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
        g_autoptr(TapulPath) path = tapul_cross_path(tapul_affine_point(to_page, cross->at_mm));
        tapul_pounce_draw_mark(page, path);
    }
    tapul_page_end_group(page);
}

static void draw_piece(TapulPage *page, const Book *book, const TapulPounceTile *tile,
                       int piece) {
    const TapulPouncePaper *paper = book->papers->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(book->pages, tile, piece);
    TapulBox seen = on_piece(&to_page, tile->window_mm);
    g_autofree char *id = g_strdup_printf("piece-%d", piece + 1);
    g_autofree char *title = g_strdup_printf("Piece %d", piece + 1);
    tapul_page_begin_group(page, id, title, &to_page);
    if (book->bite == NO_BITE)
        tapul_pounce_draw_ink(page, paper, seen);
    else
        tapul_pounce_draw_cover(page, book->pages->pounce, piece, book->bite, seen);
    tapul_page_end_group(page);
    draw_marks(page, book, paper->piece, &to_page);
    /* After the marks, whose halos would break them. */
    tapul_page_begin_group(page, "edges", NULL, &to_page);
    tapul_pounce_draw_edges(page, paper->piece, book->bite == NO_BITE);
    tapul_page_end_group(page);
}

/* --- Words --- */

static char *pieces_shown(const Book *book, const TapulPounceTile *tile) {
    GString *shown = g_string_new(NULL);
    int n = 0;
    for (guint i = 0; i < book->papers->len; i++)
        if (shows(book, tile, (int)i))
            g_string_append_printf(shown, "%s%u", n++ > 0 ? ", " : "", i + 1);
    g_string_prepend(shown, n > 1 ? "pieces " : "piece ");
    return g_string_free(shown, FALSE);
}

/* "tile 4 of 12 · piece 2 · resist, bite 1 of 2, 0.05 mm" */
static char *heading_of(const Book *book, const TapulPounceTile *tile) {
    g_autofree char *pieces = pieces_shown(book, tile);
    const TapulResist *resist = book->pages->pounce->resist;
    GString *heading = g_string_new(NULL);
    g_string_printf(heading, "tile %d of %d \u00b7 %s", tile->number, tile->of, pieces);
    if (book->bite != NO_BITE) {
        const TapulBite *bite = resist->bites->pdata[book->bite];
        g_string_append_printf(heading, " \u00b7 resist, bite %d of %u, %.3g mm",
                               book->bite + 1, resist->bites->len, bite->depth_mm);
    }
    if (book->pages->question->pounce.face_down)
        g_string_append(heading, " \u00b7 face down");
    return g_string_free(heading, FALSE);
}

static void set_joins(TapulMargins *margins) {
    static const char *const how[TAPUL_SIDES] = {"trim", "glue", "trim", "glue"};
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
    tapul_page_begin_part(margins->page, TAPUL_PART_PARAGRAPH, NULL);
    for (int side = 0; side < TAPUL_SIDES; side++) {
        if (!margins->tile->joins[side])
            continue;
        g_autofree char *text =
            g_strdup_printf("tile %d joins here: %s", margins->tile->joins[side], how[side]);
        tapul_margins_text(margins, (TapulSide)side, text, &type);
    }
    tapul_page_end_part(margins->page);
}

/* --- Pages --- */

static TapulPage *blank_page(const Book *book, const TapulPounceTile *tile) {
    g_autofree char *heading = heading_of(book, tile);
    g_autofree char *title = g_strdup_printf("%s: %s", book->pages->question->title, heading);
    TapulPage *page =
        tapul_page_new(tile->size_mm.x, tile->size_mm.y, title,
                       book->bite == NO_BITE ? "A tile of the maker\u2019s papers, true to size"
                                             : "A tile of the resist, true to size");
    TapulBox whole = {{0, 0}, tile->size_mm};
    g_autoptr(TapulPath) ground = tapul_box_path(whole);
    tapul_page_path(page, ground, &(TapulPen){.fill = TAPUL_WORK_WHITE});
    tapul_page_set_author(page, book->pages->question->sheet.author);
    tapul_page_set_outline(page, heading);
    return page;
}

static void draw_window(TapulPage *page, const Book *book, const TapulPounceTile *tile) {
    g_autoptr(TapulPath) window = tapul_box_path(tile->window_mm);
    tapul_page_begin_clip(page, window);
    for (guint i = 0; i < book->papers->len; i++)
        if (shows(book, tile, (int)i))
            draw_piece(page, book, tile, (int)i);
    tapul_page_end_clip(page);
}

static void set_numbers(TapulPounceSetting *setting, const Book *book, TapulMargins *margins) {
    gboolean told = TRUE;
    for (guint i = 0; i < book->papers->len; i++)
        if (shows(book, setting->tile, (int)i))
            told = tapul_pounce_set_number(setting, (int)i) && told;
    if (!told)
        tapul_pounce_set_arrow_words(setting, margins);
}

/* What stands at its place first, and what can stand anywhere last. */
static void set_words(TapulPounceSetting *setting, const Book *book, TapulMargins *margins) {
    for (guint i = 0; i < book->papers->len; i++)
        if (shows(book, setting->tile, (int)i))
            tapul_pounce_set_names(setting, (int)i);
    tapul_pounce_set_measures(setting, margins);
    set_joins(margins);
    if (setting->resist)
        tapul_pounce_set_tile_cautions(setting, margins);
    set_numbers(setting, book, margins);
    tapul_margins_title(margins, book->pages->question->title);
}

static TapulPounceSetting begin_setting(const Book *book, const TapulPounceTile *tile,
                                        TapulPage *page) {
    TapulPounceSetting setting = {.pages = book->pages,
                                  .tile = tile,
                                  .page = page,
                                  .resist = book->bite != NO_BITE,
                                  .room = tapul_room_new(page, tile->window_mm)};
    setting.beside = tapul_room_copy(setting.room);
    for (guint i = 0; i < book->papers->len; i++) {
        const TapulPouncePiece *piece = book->pages->pounce->pieces->pdata[i];
        TapulAffine to_page = tapul_pounce_on_tile(book->pages, tile, (int)i);
        g_autoptr(TapulPath) paper =
            tapul_affine_path(&to_page, setting.resist ? piece->outline : piece->cut);
        if (shows(book, tile, (int)i))
            tapul_room_take_inside(setting.beside, paper);
    }
    return setting;
}

static TapulPage *tile_page(const Book *book, const TapulPounceTile *tile) {
    TapulPage *page = blank_page(book, tile);
    TapulMargins margins = tapul_margins(tile, page);
    g_autofree char *heading = heading_of(book, tile);
    g_autofree char *alternative =
        g_strdup_printf("%s at full size, with a bar of 100 mm and a square of 50 mm", heading);
    tapul_page_begin_part(page, TAPUL_PART_TITLE, NULL);
    tapul_margins_heading(&margins, heading);
    tapul_page_end_part(page);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, alternative);
    draw_window(page, book, tile);
    tapul_margins_ticks(&margins, book->bite == NO_BITE);
    tapul_page_end_part(page);
    /* What is set from here on belongs to the figure, which its alternative has told. */
    TapulPounceSetting setting = begin_setting(book, tile, page);
    set_words(&setting, book, &margins);
    tapul_room_free(setting.room);
    tapul_room_free(setting.beside);
    return page;
}

static GPtrArray *tile_pages(const TapulPouncePages *pages, int bite) {
    Book book = {pages, bite,
                 g_ptr_array_new_with_free_func((GDestroyNotify)tapul_pounce_paper_free)};
    GPtrArray *made = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(pages);
    if (bite != NO_BITE)
        tapul_pounce_bite_pages(pages, bite, made);
    for (guint i = 0; i < pages->pounce->pieces->len; i++)
        g_ptr_array_add(book.papers, tapul_pounce_paper_new(pages->pounce->pieces->pdata[i]));
    for (guint i = 0; i < tiles->len; i++)
        g_ptr_array_add(made, tile_page(&book, &g_array_index(tiles, TapulPounceTile, i)));
    g_ptr_array_unref(book.papers);
    return made;
}

GPtrArray *tapul_sheet_pounce_tiles(const TapulPouncePages *pages) {
    return tile_pages(pages, NO_BITE);
}

GPtrArray *tapul_sheet_pounce_resist(const TapulPouncePages *pages, int bite) {
    g_assert(pages->pounce->resist && bite >= 0 &&
             (guint)bite < pages->pounce->resist->bites->len);
    return tile_pages(pages, bite);
}
