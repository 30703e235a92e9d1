/* Clips: a stroke is cut where its curve crosses the clip's edge, and each piece is asked
 * whether it lies inside; a fill that crosses is intersected as a polygon. A clip that holds
 * the whole mark leaves it as it was drawn. Stands between the trace and the ink. */
#include "ink/clip.h"

#include "ink/cut.h"
#include "ink/region.h"

/* Corners this near to upright count as a rectangle: cairo's own rounding is finer. */
#define UPRIGHT_TOLERANCE_MM 1e-4
/* A line drawn along the page's edge keeps its centre line, which rounding may put outside. */
#define PAGE_SLACK_MM 0.001

static gboolean rings_are_box(const GPtrArray *rings, TapulBox box) {
    if (rings->len != 1 || ((GArray *)rings->pdata[0])->len != 4)
        return FALSE;
    const GArray *ring = rings->pdata[0];
    for (guint i = 0; i < 4; i++) {
        TapulVec2 a = g_array_index(ring, TapulVec2, i);
        TapulVec2 b = g_array_index(ring, TapulVec2, (i + 1) % 4);
        gboolean upright = fabs(a.x - b.x) < UPRIGHT_TOLERANCE_MM;
        gboolean level = fabs(a.y - b.y) < UPRIGHT_TOLERANCE_MM;
        if (upright == level)
            return FALSE;
    }
    return !tapul_box_is_empty(box);
}

TapulClip *tapul_clip_new(const TapulClip *parent, const TapulPath *path, gboolean even_odd) {
    TapulClip *clip = g_new0(TapulClip, 1);
    clip->parent = parent;
    clip->rings = tapul_rings_new(path);
    clip->even_odd = even_odd;
    clip->box = tapul_path_box(path);
    clip->is_box = rings_are_box(clip->rings, clip->box);
    return clip;
}

TapulClip *tapul_clip_new_page(TapulBox page) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, page.min);
    tapul_path_line(path, tapul_vec2(page.max.x, page.min.y));
    tapul_path_line(path, page.max);
    tapul_path_line(path, tapul_vec2(page.min.x, page.max.y));
    tapul_path_close(path);
    TapulClip *clip = tapul_clip_new(NULL, path, FALSE);
    clip->is_page = TRUE;
    return clip;
}

void tapul_clip_free(TapulClip *clip) {
    if (!clip)
        return;
    g_ptr_array_unref(clip->rings);
    g_free(clip);
}

static TapulBox common_box(TapulBox a, TapulBox b) {
    return (TapulBox){{fmax(a.min.x, b.min.x), fmax(a.min.y, b.min.y)},
                      {fmin(a.max.x, b.max.x), fmin(a.max.y, b.max.y)}};
}

TapulBox tapul_clip_box(const TapulClip *clip, TapulBox box) {
    for (; clip; clip = clip->parent)
        box = common_box(box, clip->box);
    return box;
}

static gboolean box_holds(TapulBox outer, TapulBox inner) {
    return inner.min.x >= outer.min.x && inner.min.y >= outer.min.y &&
           inner.max.x <= outer.max.x && inner.max.y <= outer.max.y;
}

/* The page's edge as strokes see it. */
static TapulClip *page_for_strokes(const TapulClip *page) {
    double out = PAGE_SLACK_MM;
    TapulBox box = {{page->box.min.x - out, page->box.min.y - out},
                    {page->box.max.x + out, page->box.max.y + out}};
    return tapul_clip_new_page(box);
}

/* A dashed run keeps its own phase, so each becomes a mark; other runs stay one mark. */
static void add_runs(TapulMark *mark, const GPtrArray *runs, GPtrArray *marks) {
    TapulPath *joined = tapul_path_new();
    for (guint i = 0; i < runs->len; i++) {
        const TapulRun *run = g_ptr_array_index(runs, i);
        if (!mark->dash_mm) {
            g_array_append_vals(joined->verbs, run->path->verbs->data, run->path->verbs->len);
            g_array_append_vals(joined->points, run->path->points->data,
                                run->path->points->len);
            continue;
        }
        TapulMark *piece = tapul_mark_copy(mark);
        tapul_path_free(piece->path);
        piece->path = tapul_path_copy(run->path);
        piece->dash_offset_mm += run->start_mm;
        g_ptr_array_add(marks, piece);
    }
    if (joined->verbs->len > 0) {
        tapul_path_free(mark->path);
        mark->path = g_steal_pointer(&joined);
        g_ptr_array_add(marks, mark);
    } else {
        tapul_mark_free(mark);
    }
    tapul_path_free(joined);
}

static void cut_stroke_take(const TapulClip *clip, TapulMark *mark, GPtrArray *marks) {
    TapulClip *page = clip->is_page ? page_for_strokes(clip) : NULL;
    const TapulClip *edge = page ? page : clip;
    g_autoptr(GPtrArray) runs =
        tapul_cut_path(mark->path, edge->rings, edge->even_odd, mark->dash_mm != NULL);
    tapul_clip_free(page);
    add_runs(mark, runs, marks);
}

static gboolean cut_fill_take(const TapulClip *clip, TapulRegions *regions, TapulMark *mark,
                              GPtrArray *marks) {
    GEOSContextHandle_t geos = regions->geos;
    g_autoptr(GPtrArray) rings = tapul_rings_new(mark->path);
    GEOSGeometry *ink = tapul_rings_region(regions, rings, mark->even_odd);
    GEOSGeometry *edge = tapul_rings_region(regions, clip->rings, clip->even_odd);
    gboolean known = ink && edge;
    gboolean held = known && GEOSContains_r(geos, edge, ink) == 1;
    GEOSGeometry *left = known && !held ? GEOSIntersection_r(geos, ink, edge) : NULL;
    GEOSGeom_destroy_r(geos, ink);
    GEOSGeom_destroy_r(geos, edge);
    if (!held) {
        tapul_path_free(mark->path);
        mark->path = left ? tapul_region_path(regions, left) : tapul_path_new();
        mark->even_odd = FALSE;
    }
    GEOSGeom_destroy_r(geos, left);
    if (tapul_path_is_empty(mark->path))
        tapul_mark_free(mark);
    else
        g_ptr_array_add(marks, mark);
    return held || left;
}

static gboolean cut_take(const TapulClip *clip, TapulRegions *regions, TapulMark *mark,
                         GPtrArray *marks) {
    TapulBox box = tapul_path_box(mark->path);
    if (mark->kind == TAPUL_MARK_FILL && tapul_box_is_empty(common_box(box, clip->box)))
        tapul_mark_free(mark);
    else if (clip->is_box && box_holds(clip->box, box))
        g_ptr_array_add(marks, mark);
    else if (mark->kind == TAPUL_MARK_STROKE)
        cut_stroke_take(clip, mark, marks);
    else
        return cut_fill_take(clip, regions, mark, marks);
    return TRUE;
}

gboolean tapul_clip_mark_take(const TapulClip *clip, TapulRegions *regions, TapulMark *mark,
                              GPtrArray *marks) {
    if (!clip) {
        g_ptr_array_add(marks, mark);
        return TRUE;
    }
    g_autoptr(GPtrArray) pieces = g_ptr_array_new();
    gboolean whole = cut_take(clip, regions, mark, pieces);
    for (guint i = 0; i < pieces->len; i++)
        whole &=
            tapul_clip_mark_take(clip->parent, regions, g_ptr_array_index(pieces, i), marks);
    return whole;
}
