/* Where the maker's pieces come to lie: on the large sheet that all tiles are cut from, and on
 * each tile, whose window shows a box of that sheet; the boxes of neighbours share the overlap.
 */
#include "sheet/pounce_parts.h"

TapulVec2 tapul_affine_point(const TapulAffine *affine, TapulVec2 at) {
    return tapul_vec2(affine->xx * at.x + affine->xy * at.y + affine->dx,
                      affine->yx * at.x + affine->yy * at.y + affine->dy);
}

TapulAffine tapul_affine_then(const TapulAffine *first, const TapulAffine *second) {
    TapulVec2 origin = tapul_affine_point(second, tapul_vec2(first->dx, first->dy));
    return (TapulAffine){second->xx * first->xx + second->xy * first->yx,
                         second->xx * first->xy + second->xy * first->yy,
                         second->yx * first->xx + second->yy * first->yx,
                         second->yx * first->xy + second->yy * first->yy,
                         origin.x,
                         origin.y};
}

TapulBox tapul_affine_box(const TapulAffine *affine, TapulBox box) {
    TapulBox moved = tapul_box_empty();
    tapul_box_add(&moved, tapul_affine_point(affine, box.min));
    tapul_box_add(&moved, tapul_affine_point(affine, box.max));
    tapul_box_add(&moved, tapul_affine_point(affine, tapul_vec2(box.min.x, box.max.y)));
    tapul_box_add(&moved, tapul_affine_point(affine, tapul_vec2(box.max.x, box.min.y)));
    return moved;
}

TapulPath *tapul_affine_path(const TapulAffine *affine, const TapulPath *path) {
    TapulPath *moved = tapul_path_copy(path);
    for (guint i = 0; i < moved->points->len; i++) {
        TapulVec2 *at = &g_array_index(moved->points, TapulVec2, i);
        *at = tapul_affine_point(affine, *at);
    }
    return moved;
}

TapulAffine tapul_pounce_on_sheet(const TapulPouncePages *pages, int piece) {
    const TapulTiling *tiling = pages->pounce->tiling;
    TapulVec2 origin = tapul_tiling_place(tiling, piece, tapul_vec2(0, 0));
    TapulVec2 x = tapul_vec2_sub(tapul_tiling_place(tiling, piece, tapul_vec2(1, 0)), origin);
    TapulVec2 y = tapul_vec2_sub(tapul_tiling_place(tiling, piece, tapul_vec2(0, 1)), origin);
    return (TapulAffine){x.x, y.x, x.y, y.y, origin.x, origin.y};
}

/* --- Tiles --- */

static int number_at(const GArray *tiles, int column, int row) {
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        if (tile->column == column && tile->row == row)
            return tile->number;
    }
    return 0;
}

static TapulPounceTile tile_at(const TapulTiling *tiling, int used) {
    double margin_mm = tiling->margin_mm;
    TapulPounceTile tile = {
        .of = (int)tiling->used->len,
        .sheet_mm = tapul_tiling_tile_mm(tiling, used),
        .column = used % tiling->columns,
        .row = used / tiling->columns,
        .size_mm = {tiling->tile_width_mm, tiling->tile_height_mm},
        .window_mm = {{margin_mm, margin_mm},
                      {tiling->tile_width_mm - margin_mm, tiling->tile_height_mm - margin_mm}},
        .overlap_mm = tiling->overlap_mm};
    return tile;
}

GArray *tapul_pounce_tiles_of(const TapulPouncePages *pages) {
    const GArray *used = pages->pounce->tiling->used;
    GArray *tiles = g_array_new(FALSE, FALSE, sizeof(TapulPounceTile));
    for (guint i = 0; i < used->len; i++) {
        TapulPounceTile tile = tile_at(pages->pounce->tiling, g_array_index(used, int, i));
        tile.number = (int)i + 1;
        g_array_append_val(tiles, tile);
    }
    for (guint i = 0; i < tiles->len; i++) {
        TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        tile->joins[TAPUL_SIDE_LEFT] = number_at(tiles, tile->column - 1, tile->row);
        tile->joins[TAPUL_SIDE_RIGHT] = number_at(tiles, tile->column + 1, tile->row);
        tile->joins[TAPUL_SIDE_ABOVE] = number_at(tiles, tile->column, tile->row - 1);
        tile->joins[TAPUL_SIDE_BELOW] = number_at(tiles, tile->column, tile->row + 1);
    }
    return tiles;
}

TapulAffine tapul_pounce_on_tile(const TapulPouncePages *pages, const TapulPounceTile *tile,
                                 int piece) {
    TapulAffine on_sheet = tapul_pounce_on_sheet(pages, piece);
    TapulVec2 shift = tapul_vec2_sub(tile->window_mm.min, tile->sheet_mm.min);
    return tapul_affine_then(&on_sheet, &(TapulAffine){1, 0, 0, 1, shift.x, shift.y});
}
