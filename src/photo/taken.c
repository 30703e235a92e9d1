/* One photograph brought on to the development: looked at, warped, enhanced.
 *
 * rectify.c takes each photograph of a case so, and blend.c joins them.
 */
#include "photo/taken.h"

#include "photo/contrast.h"
#include "photo/relief.h"

/* --- Progress --- */

typedef struct {
    const TapulTaking *taking;
    double from, to; /* of this photograph's part */
} Stage;

static void tell(double fraction, gpointer data) {
    const Stage *stage = data;
    const TapulTaking *taking = stage->taking;
    double part = stage->from + fraction * (stage->to - stage->from);
    if (taking->options->progress)
        taking->options->progress(taking->progress_from +
                                      part * (taking->progress_to - taking->progress_from),
                                  "rectifying", taking->options->progress_data);
}

/* --- Pictures --- */

/* Two pictures of one view differ in shape by no more than this, relative: a pixel lost in
 * making one smaller. */
#define SHAPE_TOLERANCE 0.005

/* Decodes a picture that must be of the shape of the one the camera was fitted to; taken from
 * the same place, it may be finer or coarser. */
static TapulPixels *load(const char *file, const TapulPhoto *photo, GError **error) {
    g_autoptr(GError) unread = NULL;
    g_autoptr(TapulPixels) pixels = tapul_pixels_load(file, &unread);
    if (!pixels) {
        /* Callers of photo/ cannot see the domain of base/. */
        g_set_error_literal(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE, unread->message);
        return NULL;
    }
    double shape = (double)pixels->width_px / pixels->height_px;
    if (fabs(shape * photo->height_px / photo->width_px - 1) <= SHAPE_TOLERANCE)
        return g_steal_pointer(&pixels);
    g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE,
                "%s: %d x %d px, must have the shape of %s, which is %d x %d px", file,
                pixels->width_px, pixels->height_px, photo->file, photo->width_px,
                photo->height_px);
    return NULL;
}

typedef struct {
    const TapulLookGrid *grid;
    TapulVec2 pixels_each; /* of the picture, for one of the camera's */
} View;

/* A TapulPictureMap: a pixel of the development comes from that of the camera. */
static gboolean pixel_from(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    const View *view = data;
    const TapulEye *eye = &view->grid->eye;
    TapulSpot spot;
    if (!tapul_development_finder_spot(eye->finder,
                                       tapul_rectified_place(view->grid->frame, to_px), &spot))
        return FALSE;
    TapulVec3 at_mm = tapul_mesh_smooth_position_mm(tapul_plate_mesh(eye->plate), spot);
    if (!tapul_camera_pixel(eye->camera, at_mm, from_px))
        return FALSE;
    from_px->x *= view->pixels_each.x;
    from_px->y *= view->pixels_each.y;
    return TRUE;
}

static TapulPixels *warp(const char *file, const TapulTaken *taken, Stage *stage,
                         GError **error) {
    const TapulPhoto *photo = taken->photo;
    g_autoptr(TapulPixels) pixels = load(file, photo, error);
    if (!pixels)
        return NULL;
    View view = {taken->grid,
                 {(double)pixels->width_px / photo->width_px,
                  (double)pixels->height_px / photo->height_px}};
    TapulWarpOptions options = tapul_warp_options_defaults();
    options.progress = tell;
    options.progress_data = stage;
    return tapul_pixels_warp(pixels, taken->grid->frame->width_px,
                             taken->grid->frame->height_px, pixel_from, &view, &options);
}

/* --- Lamps --- */

/* The light of a lamp's photograph, 8 bit; the lamps are taken as white (Rec. 709). */
static guint8 *grey_of(const TapulPixels *rgba) {
    gsize n = (gsize)rgba->width_px * (gsize)rgba->height_px;
    guint8 *grey = g_new(guint8, n);
    for (gsize i = 0; i < n; i++) {
        const guint8 *p = rgba->data + 4 * i;
        double light = 0.2126 * p[0] + 0.7152 * p[1] + 0.0722 * p[2];
        grey[i] = p[3] == 255 ? (guint8)lround(light) : 0;
    }
    return grey;
}

static TapulRelief *relief_of(const TapulPhoto *photo, GError **error) {
    int n = (int)photo->lamps->len;
    g_autofree TapulVec3 *towards = g_new(TapulVec3, n);
    for (int i = 0; i < n; i++)
        towards[i] = ((const TapulLamp *)g_ptr_array_index(photo->lamps, i))->towards;
    TapulRelief *relief = tapul_relief_new(towards, n, error);
    if (!relief)
        g_prefix_error(error, "%s: ", photo->file);
    return relief;
}

static gboolean draw_relief(TapulTaken *taken, const TapulTaking *taking, double from,
                            GError **error) {
    g_autoptr(TapulRelief) relief = relief_of(taken->photo, error);
    if (!relief)
        return FALSE;
    int n = (int)taken->photo->lamps->len;
    g_autoptr(GPtrArray) greys = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < n; i++) {
        const TapulLamp *lamp = g_ptr_array_index(taken->photo->lamps, i);
        Stage stage = {taking, from + (1 - from) * i / n, from + (1 - from) * (i + 1) / n};
        g_autoptr(TapulPixels) lit = warp(lamp->file, taken, &stage, error);
        if (!lit)
            return FALSE;
        g_ptr_array_add(greys, grey_of(lit));
    }
    tapul_relief_draw(relief, (guint8 *const *)greys->pdata, n, taken->seen, taken->grid,
                      taken->picture);
    return TRUE;
}

/* --- The photograph --- */

static gboolean take_picture(TapulTaken *taken, const TapulTaking *taking, GError **error) {
    gboolean enhance = taking->options->enhance;
    guint n_lamps = enhance ? taken->photo->lamps->len : 0;
    Stage stage = {taking, 0, 1.0 / (1 + n_lamps)};
    taken->picture = warp(taken->photo->file, taken, &stage, error);
    if (!taken->picture)
        return FALSE;
    if (n_lamps > 0)
        return draw_relief(taken, taking, stage.to, error);
    return !enhance || tapul_contrast_even(taken->picture, taken->seen, TAPUL_SEEN_WELL,
                                           taking->frame->pixel_mm, error);
}

TapulTaken *tapul_taken_new(const TapulPhoto *photo, const TapulTaking *taking,
                            GError **error) {
    const TapulRectified *frame = taking->frame;
    gsize n_pixels = (gsize)frame->width_px * (gsize)frame->height_px;
    TapulEye eye = {taking->plate, taking->finder, &photo->fit.camera,
                    cos(taking->options->grazing_rad)};
    g_autoptr(TapulTaken) taken = g_new0(TapulTaken, 1);
    taken->photo = photo;
    taken->grid = tapul_look_grid_new(&eye, frame);
    taken->seen = g_new(guint8, n_pixels);
    taken->px_per_mm = g_new(float, n_pixels);
    tapul_look_grid_fill(taken->grid, taken->seen, taken->px_per_mm);
    return take_picture(taken, taking, error) ? g_steal_pointer(&taken) : NULL;
}

void tapul_taken_free(TapulTaken *taken) {
    if (!taken)
        return;
    tapul_look_grid_free(taken->grid);
    g_free(taken->seen);
    g_free(taken->px_per_mm);
    tapul_pixels_free(taken->picture);
    g_free(taken);
}
