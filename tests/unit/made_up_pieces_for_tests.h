/* Pieces of paper made up for tests of the tiling: cut lines and numbers alone. */
#ifndef MADE_UP_PIECES_FOR_TESTS_H
#define MADE_UP_PIECES_FOR_TESTS_H

#include <tapul/pounce.h>

static inline void made_up_free(gpointer data) {
    TapulPouncePiece *piece = data;
    tapul_path_free(piece->cut);
    g_free(piece);
}

static inline GPtrArray *no_pieces(void) {
    return g_ptr_array_new_with_free_func(made_up_free);
}

static inline void add_piece(GPtrArray *pieces, int n, const TapulVec2 *corner) {
    TapulPouncePiece *piece = g_new0(TapulPouncePiece, 1);
    piece->number = (int)pieces->len + 1;
    piece->cut = tapul_path_new();
    tapul_path_move(piece->cut, corner[0]);
    for (int i = 1; i < n; i++)
        tapul_path_line(piece->cut, corner[i]);
    tapul_path_close(piece->cut);
    g_ptr_array_add(pieces, piece);
}

/* Off the middle, as pieces with allowances are. */
static inline void add_rectangle(GPtrArray *pieces, double width_mm, double height_mm) {
    TapulVec2 low = {-0.4 * width_mm, -0.7 * height_mm};
    TapulVec2 corner[4] = {low,
                           {low.x + width_mm, low.y},
                           {low.x + width_mm, low.y + height_mm},
                           {low.x, low.y + height_mm}};
    add_piece(pieces, 4, corner);
}

/* A star about the origin, its arms of any length. */
static inline void add_star(GPtrArray *pieces, GRand *random, double size_mm) {
    TapulVec2 corner[16];
    for (int i = 0; i < 16; i++)
        corner[i] = tapul_vec2_turn(
            tapul_vec2(size_mm * g_rand_double_range(random, 0.15, 0.5), 0), i * G_PI / 8);
    add_piece(pieces, 16, corner);
}

static inline GPtrArray *random_pieces(GRand *random) {
    GPtrArray *pieces = no_pieces();
    int n = g_rand_int_range(random, 1, 9);
    for (int i = 0; i < n; i++)
        add_star(pieces, random, g_rand_double_range(random, 20, 500));
    return pieces;
}

#endif
