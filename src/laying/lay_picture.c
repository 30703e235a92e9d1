/* A scan laid as a picture: its pixels warped by the laying on to the development. lattice.c
 * gives the way back from the development to the print, the scan's frame that from the print to
 * its pixels. */
#include "base/picture.h"
#include "ink/scan.h"
#include "laying/lattice.h"

/* More would not open in most viewers; the picture is then made coarser. */
#define MOST_PIXELS 60e6
/* What darkens the paper by less is its own grain: it stays clear. */
#define GRAIN 12 /* of 255 */
/* Of the whole work: where the lattice ends, and where the scan has been read. */
#define LATTICE_SHARE 0.4
#define READ_SHARE    0.5

TapulLayPictureOptions tapul_lay_picture_options_defaults(void) {
    return (TapulLayPictureOptions){0};
}

void tapul_laid_picture_free(TapulLaidPicture *picture) {
    if (!picture)
        return;
    g_free(picture->rgba);
    g_free(picture);
}

/* --- Progress in shares --- */

typedef struct {
    const TapulLayPictureOptions *options;
    double from, to;
} Share;

static void tell(double fraction, gpointer data) {
    const Share *share = data;
    if (share->options->progress)
        share->options->progress(share->from + (share->to - share->from) * fraction,
                                 share->options->progress_data);
}

/* --- The scan --- */

/* Black ink as dark as the scan is against its paper, and nothing else. */
static TapulPixels *ink_of(TapulPixels *pixels, const TapulScan *scan, double px_per_mm) {
    TapulScan counted = *scan;
    tapul_scan_even_paper(pixels, px_per_mm, &counted);
    TapulPixels *ink = tapul_pixels_new(pixels->width_px, pixels->height_px, 4);
    gsize n = (gsize)pixels->width_px * (gsize)pixels->height_px;
    for (gsize i = 0; i < n; i++) {
        int dark = 255 - pixels->data[i];
        ink->data[4 * i + 3] =
            (guint8)(dark <= GRAIN ? 0 : (dark - GRAIN) * 255 / (255 - GRAIN));
    }
    return ink;
}

static TapulPixels *read_scan(const TapulScan *scan, gboolean ink_only, double px_per_mm,
                              GError **error) {
    g_autoptr(TapulPixels) pixels = tapul_pixels_load(scan->path, error);
    if (!pixels)
        return NULL;
    if (pixels->width_px != scan->width_px || pixels->height_px != scan->height_px) {
        g_set_error(error, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_SIZE,
                    "%s: %d x %d px: it was %d x %d px when the print was read", scan->path,
                    pixels->width_px, pixels->height_px, scan->width_px, scan->height_px);
        return NULL;
    }
    return ink_only ? ink_of(pixels, scan, px_per_mm) : g_steal_pointer(&pixels);
}

/* --- The picture --- */

typedef struct {
    const TapulLattice *lattice;
    const TapulScan *scan;
    TapulVec2 upper_left_mm; /* developed */
    double pixel_mm;
} Map;

static gboolean scan_place(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    const Map *map = data;
    TapulVec2 print_mm, developed_mm = {map->upper_left_mm.x + to_px.x * map->pixel_mm,
                                        map->upper_left_mm.y - to_px.y * map->pixel_mm};
    if (!tapul_lattice_print(map->lattice, developed_mm, &print_mm))
        return FALSE;
    *from_px = tapul_scan_pixel(map->scan, print_mm);
    return TRUE;
}

/* Whole pixels over the box, from its upper left. */
static TapulLaidPicture *picture_over(TapulBox box_mm, double pixel_mm) {
    TapulLaidPicture *picture = g_new0(TapulLaidPicture, 1);
    double width_mm = box_mm.max.x - box_mm.min.x, height_mm = box_mm.max.y - box_mm.min.y;
    double pixels = width_mm * height_mm / (pixel_mm * pixel_mm);
    if (pixels > MOST_PIXELS)
        pixel_mm *= sqrt(pixels / MOST_PIXELS);
    picture->pixel_mm = pixel_mm;
    picture->width_px = (int)ceil(width_mm / pixel_mm);
    picture->height_px = (int)ceil(height_mm / pixel_mm);
    picture->box_mm = (TapulBox){{box_mm.min.x, box_mm.max.y - picture->height_px * pixel_mm},
                                 {box_mm.min.x + picture->width_px * pixel_mm, box_mm.max.y}};
    return picture;
}

TapulLaidPicture *tapul_lay_picture(const TapulLaying *laying, const TapulInk *scanned,
                                    const TapulLayPictureOptions *options, GError **error) {
    const TapulScan *scan = scanned->scan;
    g_assert(scan && options->pixel_mm >= 0);
    Share share = {options, 0, LATTICE_SHARE};
    g_autoptr(TapulLattice) lattice = tapul_lattice_new(
        laying, tapul_vec2(scanned->width_mm, scanned->height_mm), tell, &share);
    TapulBox box_mm = tapul_lattice_box_mm(lattice);
    if (tapul_box_is_empty(box_mm)) {
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
            "%s: nothing of the scan reaches the plate: look at the laying's anchor and "
            "scale",
            scan->path);
        return NULL;
    }
    double px_per_mm = fmax(tapul_vec2_length(scan->px_by_x), tapul_vec2_length(scan->px_by_y));
    g_autoptr(TapulPixels) pixels = read_scan(scan, options->ink_only, px_per_mm, error);
    if (!pixels)
        return NULL;
    double pixel_mm =
        options->pixel_mm > 0 ? options->pixel_mm : tapul_lattice_ratio(lattice) / px_per_mm;
    TapulLaidPicture *picture = picture_over(box_mm, pixel_mm);
    Map map = {
        lattice, scan, {picture->box_mm.min.x, picture->box_mm.max.y}, picture->pixel_mm};
    TapulWarpOptions how = tapul_warp_options_defaults();
    share = (Share){options, READ_SHARE, 1};
    how.progress = tell;
    how.progress_data = &share;
    g_autoptr(TapulPixels) warped = tapul_pixels_warp(
        pixels, picture->width_px, picture->height_px, scan_place, &map, &how);
    picture->rgba = g_steal_pointer(&warped->data);
    picture->ink_only = options->ink_only;
    return picture;
}
