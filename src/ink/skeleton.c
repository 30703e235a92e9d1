/* Step 4 from grey to lines: homotopic thinning in the order of distance from paper (C. Pudney,
 * Distance-ordered homotopic thinning, Computer Vision and Image Understanding 72, 1998): the
 * ink is peeled from its edge inward, so what is left is centred; a pixel goes only where its
 * going changes no piece or hole (its Yokoi number is 1; S. Yokoi, J. Toriwaki, T. Fukumura,
 * CGIP 4, 1975) and where it is no line's end. Pixels of one distance go side by side (north,
 * south, west, east, as in Rosenfeld's thinning), or a line two pixels wide would be eaten
 * lengthwise. */
#include "ink/skeleton.h"

#include <string.h>

/* Rows that one thread works at a time. */
#define BAND_ROWS 64
/* Fewer pixels are not worth waking threads for. */
#define PARALLEL_LEAST 20000

/* Pixels that may go, by bands of rows. A band's first row has its turn after all other rows,
 * so that bands at work do not touch, and what goes does not depend on how many processors
 * there are. */
typedef struct {
    int *start; /* [n_bands + 1] */
    int *place; /* rising */
} Candidates;

typedef struct {
    TapulMap *map;
    int around[8];
    guint8 may_go[256]; /* by which of the eight neighbours are left */
    int n_bands;
    Candidates inner, first;
    int *band_went; /* [n_bands] */
    TapulPeeled peeled;
} Thinning;

/* Yokoi's number for ink that touches by corners too: how many parts of ink meet here. 1: the
 * pixel can go. */
static int yokoi_number(int neighbours) {
    int n = 0;
    for (int i = 0; i < 8; i += 2) {
        int a = !(neighbours >> i & 1), b = !(neighbours >> (i + 1) & 1),
            c = !(neighbours >> ((i + 2) % 8) & 1);
        n += a - a * b * c;
    }
    return n;
}

static void fill_may_go(guint8 may_go[256]) {
    for (int i = 0; i < 256; i++) {
        gboolean is_end = (i & (i - 1)) == 0;
        may_go[i] = !is_end && yokoi_number(i) == 1;
    }
}

static int left_around(const Thinning *thinning, int place) {
    const guint8 *at = thinning->map->at + place;
    int neighbours = 0;
    for (int i = 0; i < 8; i++)
        neighbours |= (at[thinning->around[i]] & TAPUL_MAP_SKELETON) / TAPUL_MAP_SKELETON << i;
    return neighbours;
}

/* Takes away what can go of the candidates of one band; those that went are moved to its front,
 * and their number is returned. */
static int peel_band(Thinning *thinning, int *candidates, int n) {
    int went = 0;
    for (int i = 0; i < n; i++)
        if (thinning->may_go[left_around(thinning, candidates[i])]) {
            thinning->map->at[candidates[i]] &= (guint8)~TAPUL_MAP_SKELETON;
            candidates[went++] = candidates[i];
        }
    return went;
}

static void peel_bands(Thinning *thinning, const Candidates *candidates) {
    int n = thinning->n_bands, *went = thinning->band_went;
#pragma omp parallel for schedule(dynamic, 1) if (candidates->start[n] > PARALLEL_LEAST)
    for (int band = 0; band < n; band++)
        went[band] = peel_band(thinning, candidates->place + candidates->start[band],
                               candidates->start[band + 1] - candidates->start[band]);
    for (int band = 0; band < n; band++) {
        memcpy(thinning->peeled.place + thinning->peeled.n,
               candidates->place + candidates->start[band], (gsize)went[band] * sizeof(int));
        thinning->peeled.n += went[band];
    }
}

/* What of places[n], which rise, faces paper on that side, band by band. */
static void find_candidates(Thinning *thinning, const int *places, int n, int facing) {
    const guint8 *at = thinning->map->at;
    Candidates *inner = &thinning->inner, *first = &thinning->first;
    int stride = thinning->map->stride, n_inner = 0, n_first = 0;
    for (int band = 0, i = 0; band < thinning->n_bands; band++) {
        int second_row = (band * BAND_ROWS + 1) * stride, end = (band + 1) * BAND_ROWS * stride;
        first->start[band] = n_first;
        for (; i < n && places[i] < second_row; i++)
            if (!(at[places[i] + facing] & TAPUL_MAP_SKELETON))
                first->place[n_first++] = places[i];
        inner->start[band] = n_inner;
        for (; i < n && places[i] < end; i++)
            if (!(at[places[i] + facing] & TAPUL_MAP_SKELETON))
                inner->place[n_inner++] = places[i];
    }
    first->start[thinning->n_bands] = n_first;
    inner->start[thinning->n_bands] = n_inner;
}

/* Takes away what can go of places[n], which rise, on the side that faces paper; those that
 * stay are moved to the front, and their number is returned. Only pixels that face paper when
 * the side's turn begins take part. */
static int peel_side(Thinning *thinning, int *places, int n, int facing) {
    find_candidates(thinning, places, n, facing);
    peel_bands(thinning, &thinning->inner);
    peel_bands(thinning, &thinning->first);
    int n_left = 0;
    for (int i = 0; i < n; i++)
        if (thinning->map->at[places[i]] & TAPUL_MAP_SKELETON)
            places[n_left++] = places[i];
    return n_left;
}

static int peel(Thinning *thinning, int *places, int n) {
    static const int sides[4] = {2, 6, 4, 0}; /* north, south, west, east */
    for (int i = 0; i < 4 && n > 0; i++)
        n = peel_side(thinning, places, n, thinning->around[sides[i]]);
    return n;
}

/* The ink's places by rising distance, each distance from the top row down: counting sort. */
static int *sort_by_distance(const TapulMap *map, const guint16 *distance_px2,
                             gsize start[G_MAXUINT16 + 2]) {
    memset(start, 0, (G_MAXUINT16 + 2) * sizeof *start);
    gsize size = (gsize)map->stride * ((gsize)map->height_px + 2);
    for (gsize i = 0; i < size; i++)
        if (distance_px2[i] > 0)
            start[distance_px2[i] + 1]++;
    for (int d = 1; d <= G_MAXUINT16 + 1; d++)
        start[d] += start[d - 1];
    int *order = g_new(int, start[G_MAXUINT16 + 1] + 1);
    for (gsize i = 0; i < size; i++)
        if (distance_px2[i] > 0)
            order[start[distance_px2[i]]++] = (int)i;
    /* Each start has moved to the next distance's: back by one. */
    memmove(start + 1, start, (G_MAXUINT16 + 1) * sizeof *start);
    start[0] = 0;
    return order;
}

static Thinning thinning_new(TapulMap *map, gsize n_ink) {
    Thinning thinning = {.map = map, .n_bands = (map->height_px + 2) / BAND_ROWS + 1};
    gsize n_bands = (gsize)thinning.n_bands;
    tapul_map_neighbours(map, thinning.around);
    fill_may_go(thinning.may_go);
    thinning.inner = (Candidates){g_new(int, n_bands + 1), g_new(int, n_ink + 1)};
    thinning.first = (Candidates){g_new(int, n_bands + 1), g_new(int, n_ink + 1)};
    thinning.band_went = g_new(int, n_bands);
    thinning.peeled.place = g_new(int, n_ink + 1);
    return thinning;
}

static void thinning_clear(Thinning *thinning) {
    g_free(thinning->inner.start);
    g_free(thinning->inner.place);
    g_free(thinning->first.start);
    g_free(thinning->first.place);
    g_free(thinning->band_went);
}

/* The places of what is left, rising. */
static int list_left(const TapulMap *map, int *places) {
    int n = 0, size = map->stride * (map->height_px + 2);
    for (int i = 0; i < size; i++)
        if (map->at[i] & TAPUL_MAP_SKELETON)
            places[n++] = i;
    return n;
}

TapulPeeled tapul_skeleton_thin(TapulMap *map, const guint16 *distance_px2) {
    gsize *start = g_new(gsize, G_MAXUINT16 + 2);
    int *order = sort_by_distance(map, distance_px2, start);
    gsize n_ink = start[G_MAXUINT16 + 1];
    for (gsize i = 0; i < n_ink; i++)
        map->at[order[i]] |= TAPUL_MAP_SKELETON;
    Thinning thinning = thinning_new(map, n_ink);
    for (int d = 1; d <= G_MAXUINT16; d++)
        peel(&thinning, order + start[d], (int)(start[d + 1] - start[d]));
    /* What stayed at its own turn may go once its neighbours are gone. */
    for (int before = -1, n = list_left(map, order); n != before;) {
        before = n;
        n = peel(&thinning, order, n);
    }
    thinning_clear(&thinning);
    g_free(order);
    g_free(start);
    return thinning.peeled;
}

/* The neighbour a peeled pixel leans on: of those that were left, the furthest from paper. */
static guint8 area_of(const TapulMap *map, const guint16 *distance_px2, const int around[8],
                      int place) {
    int best = -1;
    for (int i = 0; i < 8; i++) {
        int next = place + around[i];
        if (map->at[next] & TAPUL_MAP_MARKED &&
            (best < 0 || distance_px2[next] > distance_px2[best]))
            best = next;
    }
    return best < 0 ? 0 : map->at[best] & TAPUL_MAP_AREA;
}

void tapul_skeleton_spread(TapulMap *map, const guint16 *distance_px2,
                           const TapulPeeled *peeled) {
    int around[8], size = map->stride * (map->height_px + 2);
    tapul_map_neighbours(map, around);
#pragma omp parallel for
    for (int i = 0; i < size; i++)
        if (map->at[i] & TAPUL_MAP_SKELETON)
            map->at[i] |= TAPUL_MAP_MARKED;
    for (int i = peeled->n - 1; i >= 0; i--)
        map->at[peeled->place[i]] |=
            TAPUL_MAP_MARKED | area_of(map, distance_px2, around, peeled->place[i]);
#pragma omp parallel for
    for (int i = 0; i < size; i++)
        map->at[i] &= (guint8)~TAPUL_MAP_MARKED;
}
