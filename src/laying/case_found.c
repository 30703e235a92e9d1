/* The found tracing of a case: the design as drawn over the plate's view, its development or a
 * photograph of it, carried to the development. */
#include "laying/case_internal.h"
#include "laying/stroke_runs.h"

/* A tracing is carried to the development within this; no tracing is drawn finer. */
#define FOUND_TOLERANCE_MM 0.02
/* A tracing's page and its photograph may differ by this share in aspect: what drawing programs
 * round a page to, and no other cut of the picture (by eye, no source). */
#define ASPECT_TOLERANCE 0.01

typedef enum { FRAME_VIEWED, FRAME_DEVELOPED, FRAME_PHOTO } FoundFrame;

typedef struct {
    const TapulGround *ground;
    FoundFrame frame;
    TapulVec2 origin_mm;     /* viewed, developed: on the page */
    const TapulPhoto *photo; /* photo */
    TapulVec2 px_per_mm;     /* photo: of the page, across and up */
} FoundMap;

/* A tracing's page -> the plate. */
static gboolean found_spot(const FoundMap *map, TapulVec2 page_mm, TapulSpot *spot) {
    const TapulGround *ground = map->ground;
    TapulVec2 p = tapul_vec2_sub(page_mm, map->origin_mm);
    switch (map->frame) {
    case FRAME_DEVELOPED:
        return tapul_development_finder_spot(ground->finder, p, spot);
    case FRAME_VIEWED:
        return tapul_plate_spot_from_front(ground->plate, p.x, p.y, spot, NULL);
    default:
        return tapul_photo_spot(
            map->photo, ground->plate,
            tapul_vec2(page_mm.x * map->px_per_mm.x,
                       map->photo->height_px - page_mm.y * map->px_per_mm.y),
            spot);
    }
}

static gboolean found_to_developed(TapulVec2 page_mm, TapulVec2 *developed_mm, gpointer data) {
    const FoundMap *map = data;
    TapulSpot spot;
    if (!found_spot(map, page_mm, &spot))
        return FALSE;
    *developed_mm = tapul_development_point_mm(map->ground->development, spot);
    return TRUE;
}

/* --- Marks --- */

/* A tracing in the plate's own mm: its pen keeps its width. */
static void carry_plainly(TapulCase *made, FoundMap *map) {
    for (guint i = 0; i < made->found->marks->len; i++) {
        TapulMark *mark = g_ptr_array_index(made->found->marks, i);
        TapulPath *carried =
            tapul_path_warp(mark->path, found_to_developed, map, FOUND_TOLERANCE_MM,
                            mark->kind == TAPUL_MARK_FILL, &made->found_lost_mm);
        tapul_path_free(mark->path);
        mark->path = carried;
    }
}

/* A tracing on a photograph: what a mm of its page is on the plate changes from place to place,
 * and the pen's width with it. Adds the page's mm kept and lost, and the mm they came to. */
static void carry_scaled_mark(const TapulMark *mark, const TapulWarpMap *map, GPtrArray *marks,
                              double *carried_mm, double *kept_mm, double *lost_mm) {
    gboolean stroke = mark->kind == TAPUL_MARK_STROKE;
    g_autoptr(GArray) pieces = tapul_warp_pieces(mark->path, map, lost_mm);
    for (guint i = 0; i < pieces->len; i++) {
        *carried_mm += tapul_cubic_length(g_array_index(pieces, TapulWarpPiece, i).p);
        *kept_mm += g_array_index(pieces, TapulWarpPiece, i).source_mm;
    }
    if (stroke) {
        tapul_stroke_runs(mark, pieces, marks);
    } else if (pieces->len > 0) {
        TapulMark *carried = tapul_mark_copy(mark);
        tapul_path_free(carried->path);
        carried->path = tapul_warp_path(pieces, TRUE);
        g_ptr_array_add(marks, carried);
    }
}

/* What misses the plate has no size on it: it is told at the mean scale of what does not. */
static void carry_scaled(TapulCase *made, FoundMap *found) {
    GPtrArray *marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    TapulPlainMap plain = {found_to_developed, found, 0};
    TapulWarpMap map = tapul_warp_plain(&plain, FOUND_TOLERANCE_MM);
    double carried_mm = 0, kept_mm = 0, lost_mm = 0;
    map.even_within = TAPUL_STROKE_PIECE_CHANGE;
    for (guint i = 0; i < made->found->marks->len; i++)
        carry_scaled_mark(g_ptr_array_index(made->found->marks, i), &map, marks, &carried_mm,
                          &kept_mm, &lost_mm);
    g_ptr_array_unref(made->found->marks);
    made->found->marks = marks;
    if (kept_mm > 0)
        made->found_lost_mm += lost_mm * carried_mm / kept_mm;
}

static gboolean has_ink(const TapulInk *ink) {
    for (guint i = 0; i < ink->marks->len; i++)
        if (!tapul_path_is_empty(((const TapulMark *)g_ptr_array_index(ink->marks, i))->path))
            return TRUE;
    return FALSE;
}

/* --- The frame --- */

/* The photograph that is traced; NULL with a fault where there is none of that number. */
static const TapulPhoto *traced_photo(TapulCaseReading *reading, const TapulNode *node) {
    const GPtrArray *photos = reading->made->photos;
    double number = 1;
    tapul_document_number(reading->document, node, "photo", FALSE, 1, 1000, &number);
    if (number == floor(number) && number <= photos->len)
        return g_ptr_array_index(photos, (guint)number - 1);
    const TapulNode *at = tapul_document_get(reading->document, node, "photo");
    if (photos->len == 0)
        tapul_document_fault(
            reading->document, node,
            "frame: photo needs a photograph: the case has neither 'photo' nor "
            "'photos'");
    else
        tapul_document_fault(reading->document, at,
                             "photo: %g; permitted: whole numbers from 1 to %u, the case's "
                             "photographs",
                             number, photos->len);
    return NULL;
}

/* The page must be the whole photograph, nothing cut off. */
static gboolean check_aspect(TapulCaseReading *reading, const TapulNode *node,
                             const TapulPhoto *photo, const TapulInk *page) {
    double page_aspect = page->width_mm / page->height_mm;
    double photo_aspect = (double)photo->width_px / photo->height_px;
    if (fabs(page_aspect / photo_aspect - 1) <= ASPECT_TOLERANCE)
        return TRUE;
    tapul_document_fault(
        reading->document, tapul_document_get(reading->document, node, "file"),
        "file: the page is %g x %g mm, 1 : %.4f, and the photograph %d x %d px, 1 : %.4f; a "
        "tracing's page is the whole photograph, to %g %%",
        page->width_mm, page->height_mm, 1 / page_aspect, photo->width_px, photo->height_px,
        1 / photo_aspect, 100 * ASPECT_TOLERANCE);
    return FALSE;
}

static gboolean place_on_photo(TapulCaseReading *reading, const TapulNode *node,
                               FoundMap *map) {
    const TapulInk *page = reading->made->found;
    map->photo = traced_photo(reading, node);
    if (!map->photo || !check_aspect(reading, node, map->photo, page))
        return FALSE;
    map->px_per_mm = tapul_vec2(map->photo->width_px / page->width_mm,
                                map->photo->height_px / page->height_mm);
    return TRUE;
}

/* The page's lower edge lies on y = 0 and its middle on x = 0, unless the case says where the
 * origin is. */
static void place_by_origin(TapulCaseReading *reading, const TapulNode *node, FoundMap *map) {
    map->origin_mm = tapul_vec2(reading->made->found->width_mm / 2, 0);
    tapul_document_pair(reading->document, node, "origin_mm", FALSE,
                        -TAPUL_CASE_LARGEST_PRINT_MM, TAPUL_CASE_LARGEST_PRINT_MM,
                        &map->origin_mm);
}

static TapulInk *read_tracing(TapulCaseReading *reading, const TapulNode *node) {
    g_autoptr(GError) error = NULL;
    const char *file = tapul_document_text(reading->document, node, "file", TRUE);
    if (!file)
        return NULL;
    g_autofree char *path = tapul_document_resolve(reading->document, file);
    TapulInkOptions options = tapul_ink_options_defaults();
    TapulInk *ink = tapul_ink_read(path, &options, &error);
    if (!ink)
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, node, "file"), "file: %s",
                             error->message);
    return ink;
}

void tapul_case_read_found(TapulCaseReading *reading) {
    static const char *const page_keys[] = {"file", "frame", "origin_mm", NULL};
    static const char *const photo_keys[] = {"file", "frame", "photo", NULL};
    static const char *const frames[] = {"viewed", "developed", "photo", NULL};
    TapulDocument *document = reading->document;
    TapulCase *made = reading->made;
    const TapulNode *node = tapul_document_get(document, reading->root, "found");
    if (!node)
        return;
    int frame = tapul_document_choice(document, node, "frame", TRUE, frames);
    tapul_document_expect_keys(document, node, frame == FRAME_PHOTO ? photo_keys : page_keys);
    made->found = read_tracing(reading, node);
    if (!made->found || frame < 0)
        return;
    FoundMap map = {.ground = &made->ground, .frame = (FoundFrame)frame};
    /* With other faults the photograph may be missing, which has been told. */
    if (frame != FRAME_PHOTO)
        place_by_origin(reading, node, &map);
    else if (tapul_document_has_faults(document) || !place_on_photo(reading, node, &map))
        return;
    if (!made->development)
        return;
    if (frame == FRAME_PHOTO)
        carry_scaled(made, &map);
    else
        carry_plainly(made, &map);
    if (!has_ink(made->found))
        tapul_document_fault(
            document, node, "found: no line of the tracing lies on the plate%s",
            frame == FRAME_PHOTO
                ? ""
                : "; origin_mm tells which point of its page is the plate's origin");
}
