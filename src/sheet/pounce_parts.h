/* What the maker's pages share: where pieces come to lie, their drawing, the room left beside
 * it, what stands in the margins. Internal to sheet/pounce_*.c.
 *
 * Page frame: as in page.h. A tile's window is what a printer surely prints of it, its paper
 * less the margins. */
#ifndef TAPUL_SHEET_POUNCE_PARTS_H
#define TAPUL_SHEET_POUNCE_PARTS_H

#include "sheet/furniture.h"

#include <tapul/sheets.h>

/* Working prints are plain black on white: printers dither anything else. */
#define TAPUL_WORK_BLACK ((TapulColour){0, 0, 0, 1})
#define TAPUL_WORK_WHITE ((TapulColour){1, 1, 1, 1})

/* What is nearer to the paper's edge than this many printers lose (common practice, no
 * source). */
#define TAPUL_UNPRINTED_MM 5.0

/* --- Where things lie (pounce_place.c) --- */

TapulVec2 tapul_affine_point(const TapulAffine *affine, TapulVec2 at);
/* first, then second. */
TapulAffine tapul_affine_then(const TapulAffine *first, const TapulAffine *second);
/* Carries a box, to the box about it, and a path. */
TapulBox tapul_affine_box(const TapulAffine *affine, TapulBox box);
TapulPath *tapul_affine_path(const TapulAffine *affine, const TapulPath *path);

typedef enum {
    TAPUL_SIDE_LEFT,
    TAPUL_SIDE_RIGHT,
    TAPUL_SIDE_ABOVE,
    TAPUL_SIDE_BELOW
} TapulSide;
#define TAPUL_SIDES 4

/* A tile, in the order of printing. */
typedef struct {
    int number, of;  /* from 1, of all that are printed, in reading order */
    int column, row; /* from 0 at the upper left */
    TapulVec2 size_mm;
    TapulBox window_mm; /* on the page */
    TapulBox sheet_mm;  /* what it shows of the sheet that all tiles are cut from */
    double overlap_mm;
    int joins[TAPUL_SIDES]; /* number of the tile that is printed there; 0: none is */
} TapulPounceTile;

/* All tiles, in their order: of TapulPounceTile, owned. */
GArray *tapul_pounce_tiles_of(const TapulPouncePages *pages);
/* From a piece's own frame to the tile's page; piece: index. */
TapulAffine tapul_pounce_on_tile(const TapulPouncePages *pages, const TapulPounceTile *tile,
                                 int piece);
/* And to the sheet that all tiles are cut from. */
TapulAffine tapul_pounce_on_sheet(const TapulPouncePages *pages, int piece);

/* --- A piece's drawing (pounce_paper.c) --- */

/* What is drawn of a piece, its marks' boxes known: a page shows a part of it. */
typedef struct {
    const TapulPouncePiece *piece;
    TapulBox *ink_box_mm; /* [ink] */
} TapulPouncePaper;

TapulPouncePaper *tapul_pounce_paper_new(const TapulPouncePiece *piece);
void tapul_pounce_paper_free(TapulPouncePaper *paper);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPouncePaper, tapul_pounce_paper_free)

/* Within the piece's group, in its own frame: of the ink what meets `seen`. */
void tapul_pounce_draw_ink(TapulPage *page, const TapulPouncePaper *paper, TapulBox seen_mm);
/* What a bite's resist covers, and the dots that stand on the ground. */
void tapul_pounce_draw_cover(TapulPage *page, const TapulPounce *pounce, int piece, int bite,
                             TapulBox seen_mm);
/* Where the paper is cut, where the metal ends, where the neighbour comes to lie. */
void tapul_pounce_draw_edges(TapulPage *page, const TapulPouncePiece *piece,
                             gboolean with_allowance);

/* Draws lines on a halo that keeps them apart from a dense design. */
void tapul_pounce_draw_mark(TapulPage *page, const TapulPath *path);
/* Ticks and crosses as paths, on the page. A tick across a seam, or its outer half. A cross is
 * open at its middle, where a dot marks the place to prick. */
TapulPath *tapul_notch_path(const TapulNotch *notch, const TapulAffine *to_page,
                            gboolean outer_half);
TapulPath *tapul_cross_path(TapulVec2 at);
TapulPath *tapul_disc_path(TapulVec2 middle, double radius_mm);

/* --- Room (pounce_room.c) --- */

/* What of a page's part is still white, told from the page painted small. */
typedef struct TapulRoom TapulRoom;

TapulRoom *tapul_room_new(const TapulPage *page, TapulBox part_mm);
TapulRoom *tapul_room_copy(const TapulRoom *room);
void tapul_room_free(TapulRoom *room);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRoom, tapul_room_free)
/* Takes away the inside of a path, or all outside of it. */
void tapul_room_take_inside(TapulRoom *room, const TapulPath *path);
void tapul_room_take_outside(TapulRoom *room, const TapulPath *path);
/* For what is set there. */
void tapul_room_take_box(TapulRoom *room, TapulBox box);
/* How much of a box is drawn on, 0 to 1; INFINITY where it leaves the part or meets what was
 * set. */
double tapul_room_taken(const TapulRoom *room, TapulBox box);
/* The free place of a size that is nearest to `near`; FALSE: there is none. */
gboolean tapul_room_find(const TapulRoom *room, TapulVec2 size_mm, TapulVec2 near,
                         TapulBox *found);

/* --- Words on the papers (pounce_names.c) --- */

/* Sets a name beside `at`, about `towards` first, where least is drawn, but on no other words:
 * `set` is where. FALSE: there is no place; with free_only also none where nothing is drawn. */
gboolean tapul_pounce_name_beside(TapulPage *page, const TapulRoom *room, TapulVec2 at,
                                  TapulVec2 towards, const char *text, const TapulType *type,
                                  gboolean free_only, TapulBox *set);

/* A tile being set: rooms are kept up as things are put down. */
typedef struct {
    const TapulPouncePages *pages;
    const TapulPounceTile *tile;
    TapulPage *page;
    gboolean resist;   /* nothing may be set within the metal's outline */
    TapulRoom *room;   /* what is white of the window */
    TapulRoom *beside; /* and is no paper of any piece either */
} TapulPounceSetting;

/* Takes what was put down out of both rooms. */
void tapul_pounce_took(TapulPounceSetting *setting, TapulBox box);
/* The names of a piece's crosses and notches. */
void tapul_pounce_set_names(TapulPounceSetting *setting, int piece);
/* Its number, which side is up and where the plate's upper edge is (pounce_number.c). FALSE:
 * there is no room, or only for the number and the arrow. */
gboolean tapul_pounce_set_number(TapulPounceSetting *setting, int piece);

/* --- Margins (pounce_margin.c) --- */

/* The strips between a tile's window and what printers lose: two lines of the least text along
 * each side, the outer and the inner, both used from the left (of upright ones from below). */
typedef struct {
    const TapulPounceTile *tile;
    TapulPage *page;
    double used_mm[TAPUL_SIDES][2]; /* of each line; 0 the outer */
} TapulMargins;

/* Between words side by side, and from the window's corners. */
#define TAPUL_MARGIN_GAP_MM 3.0

TapulMargins tapul_margins(const TapulPounceTile *tile, TapulPage *page);
/* Ticks where the tile is trimmed and where its neighbours are laid; in_window: a broken line
 * across the window too. */
void tapul_margins_ticks(const TapulMargins *margins, gboolean in_window);
/* Sets larger text in the middle of both lines above the window; and after it, lighter, as much
 * of a title as what else stands there leaves room for. */
void tapul_margins_heading(TapulMargins *margins, const char *text);
void tapul_margins_title(TapulMargins *margins, const char *title);
/* What both lines of a side have left. */
double tapul_margins_left_mm(const TapulMargins *margins, TapulSide side);
/* Sets text where a line of the side's is long enough; FALSE: none is. */
gboolean tapul_margins_text(TapulMargins *margins, TapulSide side, const char *text,
                            const TapulType *type);

/* What a number without words lacks. */
void tapul_pounce_set_arrow_words(const TapulPounceSetting *setting, TapulMargins *margins);

/* --- Measures (pounce_measure.c) --- */

/* The bar of 100 mm and the square of 50 mm, in free room or in the margins. */
void tapul_pounce_set_measures(TapulPounceSetting *setting, TapulMargins *margins);

/* --- Cautions (pounce_cautions.c) --- */

/* What a tile says that has no room for all of them. */
#define TAPUL_CAUTION_SHORT "Etchants are corrosive: gloves, eye protection, changed air."
#define TAPUL_CAUTION_WHERE "Every caution stands on the page of cautions."

/* Lines between thick rules, a heading in small capitals over them; with page NULL it only
 * measures. Returns the y below. */
double tapul_pounce_set_block(TapulPage *page, TapulVec2 at, double width_mm, double text_mm,
                              const char *heading, const char *const *lines);
/* All cautions, a heading in small capitals over them; with page NULL it only measures. Returns
 * the y below. */
double tapul_pounce_set_cautions(TapulPage *page, TapulVec2 at, double width_mm,
                                 double text_mm);
/* Beside the papers, or in short in the margins. */
void tapul_pounce_set_tile_cautions(TapulPounceSetting *setting, TapulMargins *margins);

/* --- A bite (pounce_bite.c) --- */

/* Adds what a bite's resist begins with: all cautions, and what to do. */
void tapul_pounce_bite_pages(const TapulPouncePages *pages, int bite, GPtrArray *made);

#endif
