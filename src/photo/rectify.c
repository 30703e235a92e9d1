/* Photographs brought on to the plate's development: what a flat-bed scan of the metal laid
 * flat would show.
 *
 * The `rectify` verb asks for it, and lift takes its picture back to a sheet. Each photograph
 * is taken on the same frame of pixels (taken.c), then all are blended (blend.c).
 */
#include "photo/taken.h"

#include <stdlib.h>

#define MOST_PIXELS 60e6
/* The shorter side of a picture is to have this many: less shows nothing of a plate. */
#define FEWEST_PX 20
/* Clear pixels around the development. */
#define MARGIN_PX 2
/* Looks along the longer side where the pictures' resolution is asked for. */
#define LOOKS_ALONG 200
/* The pixel is as small as this share of what is seen well bears: the finest few parts in a
 * hundred would swell the picture without showing more (by eye, no source). */
#define FINEST_SHARE 0.95
/* Samples along a triangle's edge where shares of the plate are summed: a millimetre tells a
 * share to a thousandth, and half a metre is the longest edge of a plate's own rulings. */
#define SHARE_STEP_MM  1.0
#define MOST_DIVISIONS 512

TapulRectifyOptions tapul_rectify_options_defaults(void) {
    return (TapulRectifyOptions){.grazing_rad = 75 * G_PI / 180};
}

/* --- The frame --- */

static TapulBox box_of(const TapulDevelopment *development) {
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < development->mesh->n_vertices; i++)
        tapul_box_add(&box, development->flat_mm[i]);
    return box;
}

static int compare_floats(const void *a, const void *b) {
    float p = *(const float *)a, q = *(const float *)b;
    return (p > q) - (p < q);
}

/* The resolution that the photographs bear, px a mm; 0 where nothing is seen well. */
static double finest_px_per_mm(const TapulEye *eyes, int n_eyes, TapulBox box) {
    double step = fmax(box.max.x - box.min.x, box.max.y - box.min.y) / LOOKS_ALONG;
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(float));
    for (double y = box.min.y + step / 2; y < box.max.y; y += step)
        for (double x = box.min.x + step / 2; x < box.max.x; x += step) {
            float best = 0;
            for (int i = 0; i < n_eyes; i++) {
                TapulLook look = tapul_look(&eyes[i], tapul_vec2(x, y));
                if (look.seen == TAPUL_SEEN_WELL)
                    best = fmaxf(best, look.px_per_mm);
            }
            if (best > 0)
                g_array_append_val(all, best);
        }
    if (all->len == 0)
        return 0;
    qsort(all->data, all->len, sizeof(float), compare_floats);
    return g_array_index(all, float, (guint)(FINEST_SHARE * (all->len - 1)));
}

/* Rounded up to two figures. */
static double rounded_up(double value) {
    double unit = pow(10, floor(log10(value)) - 1);
    return ceil(value / unit - 1e-9) * unit;
}

static double pixels_of(TapulBox box, double pixel_mm) {
    return ((box.max.x - box.min.x) / pixel_mm + 2 * MARGIN_PX + 1) *
           ((box.max.y - box.min.y) / pixel_mm + 2 * MARGIN_PX + 1);
}

/* The smallest pixel with which a box is no more than the most pixels. */
static double least_pixel_mm(TapulBox box) {
    double pixel_mm =
        rounded_up(sqrt((box.max.x - box.min.x) * (box.max.y - box.min.y) / MOST_PIXELS));
    while (pixels_of(box, pixel_mm) > MOST_PIXELS)
        pixel_mm = rounded_up(1.01 * pixel_mm);
    return pixel_mm;
}

static TapulRectified *new_frame(TapulBox box, double pixel_mm) {
    TapulRectified *frame = g_new0(TapulRectified, 1);
    frame->pixel_mm = pixel_mm;
    frame->width_px = (int)ceil((box.max.x - box.min.x) / pixel_mm) + 2 * MARGIN_PX;
    frame->height_px = (int)ceil((box.max.y - box.min.y) / pixel_mm) + 2 * MARGIN_PX;
    frame->box_mm.min.x = box.min.x - MARGIN_PX * pixel_mm;
    frame->box_mm.max.y = box.max.y + MARGIN_PX * pixel_mm;
    frame->box_mm.max.x = frame->box_mm.min.x + frame->width_px * pixel_mm;
    frame->box_mm.min.y = frame->box_mm.max.y - frame->height_px * pixel_mm;
    gsize n_pixels = (gsize)frame->width_px * (gsize)frame->height_px;
    frame->rgba = g_new(guint8, 4 * n_pixels);
    frame->seen = g_new0(guint8, n_pixels);
    frame->px_per_mm = g_new0(float, n_pixels);
    return frame;
}

static gboolean check_pixel(TapulBox box, double pixel_mm, const char *file, GError **error) {
    double least_mm = least_pixel_mm(box);
    double most_mm = fmin(box.max.x - box.min.x, box.max.y - box.min.y) / FEWEST_PX;
    if (pixel_mm < least_mm)
        g_set_error(
            error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_VIEW,
            "%s: a pixel of %g mm would make a picture of %.0f megapixels; at most %.0f "
            "are made, here a pixel of %g mm or more",
            file, pixel_mm, pixels_of(box, pixel_mm) / 1e6, MOST_PIXELS / 1e6, least_mm);
    else if (pixel_mm > most_mm)
        g_set_error(
            error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_VIEW,
            "%s: a pixel of %g mm is too large to show a plate of %.0f x %.0f mm; here at "
            "most %.3g mm",
            file, pixel_mm, box.max.x - box.min.x, box.max.y - box.min.y, most_mm);
    else
        return TRUE;
    return FALSE;
}

/* The pixel asked for, or that which the photographs bear; 0 with an error. */
static double choose_pixel_mm(TapulBox box, double finest, const TapulRectifyOptions *options,
                              const char *file, GError **error) {
    if (options->pixel_mm == 0)
        return fmax(rounded_up(1 / finest), least_pixel_mm(box));
    return check_pixel(box, options->pixel_mm, file, error) ? options->pixel_mm : 0;
}

/* --- Shares --- */

static TapulSeen seen_at(const TapulRectified *rectified, TapulVec2 at_mm) {
    int x = (int)((at_mm.x - rectified->box_mm.min.x) / rectified->pixel_mm);
    int y = (int)((rectified->box_mm.max.y - at_mm.y) / rectified->pixel_mm);
    x = CLAMP(x, 0, rectified->width_px - 1);
    y = CLAMP(y, 0, rectified->height_px - 1);
    return rectified->seen[(gsize)y * (gsize)rectified->width_px + (gsize)x];
}

/* Samples a triangle evenly and adds its metal's area to sums by what is seen. */
static void add_triangle(const TapulRectified *rectified, const TapulDevelopment *development,
                         int triangle, double sums[4]) {
    const int *corner = development->mesh->corner[triangle];
    TapulVec2 p[3];
    int count[4] = {0}, n_on = 0, n = 1;
    for (int k = 0; k < 3; k++)
        p[k] = development->flat_mm[corner[k]];
    for (int k = 0; k < 3; k++)
        n = MAX(n, (int)ceil(tapul_vec2_distance(p[k], p[(k + 1) % 3]) / SHARE_STEP_MM));
    n = MIN(n, MOST_DIVISIONS);
    /* Middles of the n^2 small triangles that lie as the large one does, and of those between.
     */
    for (int i = 0; i < n; i++)
        for (int j = 0; j < 2 * (n - i) - 1; j++) {
            double b = (i + (j % 2 ? 2.0 : 1.0) / 3) / n;
            double c = (j / 2 + (j % 2 ? 2.0 : 1.0) / 3) / n;
            TapulVec2 at = tapul_vec2_add(
                p[0], tapul_vec2_add(tapul_vec2_scale(tapul_vec2_sub(p[1], p[0]), b),
                                     tapul_vec2_scale(tapul_vec2_sub(p[2], p[0]), c)));
            TapulSeen seen = seen_at(rectified, at);
            count[seen]++;
            n_on += seen != TAPUL_SEEN_OFF; /* a pixel at the edge may be off */
        }
    double area_mm2 = tapul_mesh_triangle_area_mm2(development->mesh, triangle);
    for (int seen = TAPUL_SEEN_HIDDEN; seen <= TAPUL_SEEN_WELL && n_on > 0; seen++)
        sums[seen] += area_mm2 * count[seen] / n_on;
}

static void measure_shares(TapulRectified *rectified, const TapulDevelopment *development) {
    double sums[4] = {0, 0, 0, 0};
    for (int t = 0; t < development->mesh->n_triangles; t++)
        add_triangle(rectified, development, t, sums);
    double all = sums[TAPUL_SEEN_HIDDEN] + sums[TAPUL_SEEN_GRAZING] + sums[TAPUL_SEEN_WELL];
    rectified->seen_share = sums[TAPUL_SEEN_WELL] / all;
    rectified->grazing_share = sums[TAPUL_SEEN_GRAZING] / all;
}

/* --- All photographs --- */

/* What is seen by any photograph, and by how many pixels a mm in the one that shows it best. */
static void merge_seen(TapulRectified *rectified, const TapulTaken *taken) {
    gsize n_pixels = (gsize)rectified->width_px * (gsize)rectified->height_px;
    for (gsize i = 0; i < n_pixels; i++) {
        if (taken->seen[i] > rectified->seen[i])
            rectified->px_per_mm[i] = taken->px_per_mm[i];
        else if (taken->seen[i] == rectified->seen[i])
            rectified->px_per_mm[i] = MAX(rectified->px_per_mm[i], taken->px_per_mm[i]);
        rectified->seen[i] = MAX(rectified->seen[i], taken->seen[i]);
    }
}

static gboolean take_all(TapulRectified *rectified, const TapulTaking *common,
                         TapulPhoto *const *photos, int n_photos, GError **error) {
    g_autoptr(GPtrArray) all = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_taken_free);
    for (int i = 0; i < n_photos; i++) {
        TapulTaking taking = *common;
        taking.progress_from = (double)i / n_photos;
        taking.progress_to = (i + 1.0) / n_photos;
        TapulTaken *taken = tapul_taken_new(photos[i], &taking, error);
        if (!taken)
            return FALSE;
        g_ptr_array_add(all, taken);
        merge_seen(rectified, taken);
        g_clear_pointer(&taken->px_per_mm, g_free);
    }
    tapul_blend((TapulTaken *const *)all->pdata, n_photos, rectified);
    return TRUE;
}

TapulRectified *tapul_rectify(const TapulPlate *plate, const TapulDevelopment *development,
                              const TapulDevelopmentFinder *finder, TapulPhoto *const *photos,
                              int n_photos, const TapulRectifyOptions *options,
                              GError **error) {
    g_assert(n_photos > 0);
    g_autofree TapulEye *eyes = g_new(TapulEye, n_photos);
    for (int i = 0; i < n_photos; i++)
        eyes[i] = (TapulEye){plate, finder, &photos[i]->fit.camera, cos(options->grazing_rad)};
    TapulBox box = box_of(development);
    double finest = finest_px_per_mm(eyes, n_photos, box);
    if (finest <= 0) {
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_VIEW,
                    "%s: no part of the plate is seen at less than %.0f degrees from square on",
                    photos[0]->file, options->grazing_rad * 180 / G_PI);
        return NULL;
    }
    double pixel_mm = choose_pixel_mm(box, finest, options, photos[0]->file, error);
    if (pixel_mm == 0)
        return NULL;
    g_autoptr(TapulRectified) rectified = new_frame(box, pixel_mm);
    TapulTaking common = {plate, finder, rectified, options, 0, 1};
    if (!take_all(rectified, &common, photos, n_photos, error))
        return NULL;
    measure_shares(rectified, development);
    return g_steal_pointer(&rectified);
}

void tapul_rectified_free(TapulRectified *rectified) {
    if (!rectified)
        return;
    g_free(rectified->rgba);
    g_free(rectified->seen);
    g_free(rectified->px_per_mm);
    g_free(rectified);
}
