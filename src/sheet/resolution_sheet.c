/* The resolution sheet: how finely the photographs show each part of the plate, and the table
 * of the points that their cameras were found from.
 *
 * The second page of the rectified sheet. Bands of grey, even to the eye, with the figure of
 * each step set along it.
 */
#include "sheet/carried.h"
#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"
#include "sheet/raster.h"
#include "sheet/rectified_parts.h"

#include <stdlib.h>

#define PICTURE_DPI 150.0
#define MOST_PIXELS 4e6
#define MOST_BANDS  7
/* The bands span what all but this share at either end of what is seen well shows. */
#define TAIL 0.01
/* Steps' figures are sought along lines this far apart, and stand no closer to each other. */
#define FIGURES_MM 42.0

typedef struct {
    const TapulRectifiedSheet *sheet;
    double lowest,
        step; /* px a mm: band i starts at lowest + i step; the first holds all below */
    int n;
    double least, middle, most; /* of what is seen well, tails left out */
} Bands;

/* --- Bands --- */

static int compare_floats(const void *a, const void *b) {
    float p = *(const float *)a, q = *(const float *)b;
    return (p > q) - (p < q);
}

/* About every thousandth pixel that is seen well, in order. */
static GArray *sorted_resolutions(const TapulRectified *rectified) {
    gsize n = (gsize)rectified->width_px * (gsize)rectified->height_px;
    gsize stride = MAX(n / 200000, 1) | 1; /* odd: it does not keep to some columns */
    GArray *values = g_array_new(FALSE, FALSE, sizeof(float));
    for (gsize i = 0; i < n; i += stride)
        if (rectified->seen[i] == TAPUL_SEEN_WELL)
            g_array_append_val(values, rectified->px_per_mm[i]);
    if (values->len > 0)
        qsort(values->data, values->len, sizeof(float), compare_floats);
    return values;
}

static double share_at(const GArray *sorted, double share) {
    return sorted->len > 0
               ? (double)g_array_index(sorted, float, (guint)(share * (sorted->len - 1)))
               : 0;
}

static Bands choose_bands(const TapulRectifiedSheet *sheet) {
    static const double steps[] = {0.1, 0.2, 0.25, 0.5, 1, 2, 2.5, 5, 10, 20, 25, 50, 100};
    g_autoptr(GArray) sorted = sorted_resolutions(sheet->rectified);
    Bands bands = {.sheet = sheet,
                   .least = share_at(sorted, TAIL),
                   .middle = share_at(sorted, 0.5),
                   .most = share_at(sorted, 1 - TAIL)};
    for (guint i = 0; i < G_N_ELEMENTS(steps); i++) {
        bands.step = steps[i];
        bands.lowest = floor(bands.least / bands.step) * bands.step;
        bands.n = (int)floor((bands.most - bands.lowest) / bands.step) + 1;
        if (bands.n <= MOST_BANDS)
            break;
    }
    bands.n = MIN(bands.n, MOST_BANDS);
    return bands;
}

static int band_of(const Bands *bands, double px_per_mm) {
    return CLAMP((int)floor((px_per_mm - bands->lowest) / bands->step), 0, bands->n - 1);
}

/* Even steps of CIE lightness from the finest, light, to the coarsest; dark enough to be told
 * from the paper and light enough for black figures. */
static double grey_of(const Bands *bands, int band) {
    double lightness = bands->n > 1 ? 56 + 34.0 * band / (bands->n - 1) : 80;
    double f = (lightness + 16) / 116, light = f * f * f;
    return 1.055 * pow(light, 1 / 2.4) - 0.055;
}

/* --- The map --- */

/* The rectified picture's pixel at a place of the development; FALSE where it is not seen well.
 */
static gboolean well_seen(const TapulRectified *rectified, TapulVec2 at_mm, double *px_per_mm) {
    int x = (int)floor((at_mm.x - rectified->box_mm.min.x) / rectified->pixel_mm);
    int y = (int)floor((rectified->box_mm.max.y - at_mm.y) / rectified->pixel_mm);
    if (x < 0 || y < 0 || x >= rectified->width_px || y >= rectified->height_px)
        return FALSE;
    gsize i = (gsize)y * (gsize)rectified->width_px + (gsize)x;
    *px_per_mm = rectified->px_per_mm[i];
    return rectified->seen[i] == TAPUL_SEEN_WELL;
}

static void draw_map(TapulPage *page, const Bands *bands) {
    const TapulRectified *rectified = bands->sheet->rectified;
    double pixel_mm = tapul_raster_pixel_mm(rectified->box_mm, 25.4 / PICTURE_DPI, MOST_PIXELS);
    TapulBox box = rectified->box_mm;
    int width_px = (int)ceil((box.max.x - box.min.x) / pixel_mm);
    int height_px = (int)ceil((box.max.y - box.min.y) / pixel_mm);
    g_autofree guint8 *rgba = g_malloc0(4 * (gsize)width_px * (gsize)height_px);
    for (int y = 0; y < height_px; y++)
        for (int x = 0; x < width_px; x++) {
            guint8 *pixel = rgba + 4 * ((gsize)y * (gsize)width_px + (gsize)x);
            TapulVec2 at = {box.min.x + (x + 0.5) * pixel_mm, box.max.y - (y + 0.5) * pixel_mm};
            double px_per_mm;
            if (!well_seen(rectified, at, &px_per_mm))
                continue;
            pixel[0] = pixel[1] = pixel[2] =
                (guint8)lround(255 * grey_of(bands, band_of(bands, px_per_mm)));
            pixel[3] = 255;
        }
    box.max.x = box.min.x + width_px * pixel_mm;
    box.min.y = box.max.y - height_px * pixel_mm;
    tapul_page_begin_group(page, "resolution", "Pixels a millimetre, as bands of grey", NULL);
    tapul_page_picture(page, box, width_px, height_px, rgba);
    tapul_page_end_group(page);
}

/* --- Figures along the steps --- */

typedef struct {
    TapulPage *page;
    const Bands *bands;
    TapulType type;
    GArray *set_mm; /* of TapulVec2 */
} Figures;

static void set_figure(Figures *figures, TapulVec2 at_mm, int band) {
    for (guint i = 0; i < figures->set_mm->len; i++)
        if (tapul_vec2_distance(at_mm, g_array_index(figures->set_mm, TapulVec2, i)) <
            0.8 * FIGURES_MM)
            return;
    double em = figures->type.size_mm;
    g_autofree char *text =
        g_strdup_printf("%g", figures->bands->lowest + band * figures->bands->step);
    TapulVec2 half = {tapul_page_text_width_mm(text, &figures->type) / 2 + 0.2 * em, 0.5 * em};
    g_autoptr(TapulPath) patch = tapul_box_path(tapul_box_about(at_mm, half));
    tapul_page_path(figures->page, patch, &(TapulPen){.fill = {0.992, 0.984, 0.965, 0.8}});
    tapul_page_text(figures->page, tapul_vec2(at_mm.x, at_mm.y - 0.27 * em), text,
                    &figures->type);
    g_array_append_val(figures->set_mm, at_mm);
}

/* Walks a line and sets a figure where it steps from one band to the next. */
static void walk(Figures *figures, TapulVec2 from, TapulVec2 to) {
    double length_mm = tapul_vec2_distance(from, to), px_per_mm;
    int before = -1;
    for (double t = 0; t < length_mm; t += 1) {
        TapulVec2 at = tapul_vec2_mix(from, to, t / length_mm);
        if (!well_seen(figures->bands->sheet->rectified, at, &px_per_mm)) {
            before = -1;
            continue;
        }
        int band = band_of(figures->bands, px_per_mm);
        if (before >= 0 && abs(band - before) == 1)
            set_figure(figures, at, MAX(band, before));
        before = band;
    }
}

static void draw_figures(TapulPage *page, const Bands *bands, const TapulFormat *format) {
    TapulBox box = bands->sheet->rectified->box_mm;
    g_autoptr(GArray) set_mm = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    Figures figures = {page,
                       bands,
                       {.size_mm = fmax(0.85 * format->text_mm, TAPUL_LEAST_TEXT_MM),
                        .align = TAPUL_ALIGN_CENTRE,
                        .colour = TAPUL_BLACK},
                       set_mm};
    tapul_page_begin_group(page, "steps", "Pixels a millimetre at the bands' edges", NULL);
    for (double y = box.min.y + FIGURES_MM / 2; y < box.max.y; y += FIGURES_MM)
        walk(&figures, tapul_vec2(box.min.x, y), tapul_vec2(box.max.x, y));
    for (double x = box.min.x + FIGURES_MM / 2; x < box.max.x; x += FIGURES_MM)
        walk(&figures, tapul_vec2(x, box.min.y), tapul_vec2(x, box.max.y));
    tapul_page_end_group(page);
}

/* --- Words --- */

/* The bands in a row, their edges' figures below; returns the y below. */
static double set_scale(TapulPage *page, TapulVec2 at, double width_mm, const Bands *bands,
                        const TapulFormat *format) {
    double em = format->text_mm, top = at.y - 0.3 * em, bottom = top - 1.1 * em;
    TapulType type = {.size_mm = fmax(0.85 * em, TAPUL_LEAST_TEXT_MM),
                      .align = TAPUL_ALIGN_CENTRE,
                      .colour = TAPUL_BLACK};
    for (int i = 0; page && i < bands->n; i++) {
        double left = at.x + width_mm * i / bands->n,
               right = at.x + width_mm * (i + 1) / bands->n;
        double grey = grey_of(bands, i);
        g_autoptr(TapulPath) band = tapul_box_path((TapulBox){{left, bottom}, {right, top}});
        tapul_page_path(page, band,
                        &(TapulPen){.fill = {grey, grey, grey, 1},
                                    .stroke = TAPUL_BLACK,
                                    .width_mm = TAPUL_HAIRLINE_MM});
        if (i == 0)
            continue;
        g_autofree char *figure = g_strdup_printf("%g", bands->lowest + i * bands->step);
        tapul_page_text(page, tapul_vec2(left, bottom - 0.3 * em - 0.7 * type.size_mm), figure,
                        &type);
    }
    return bottom - 1.8 * em;
}

static double bands_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    const Bands *bands = data;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    double y = tapul_set_heading(page, at, width_mm, "Pixels a millimetre", format);
    y = set_scale(page, tapul_vec2(at.x, y), width_mm, bands, format);
    g_autofree char *text = g_strdup_printf(
        "Pixels of the photograph to a millimetre of metal, in the direction in which it shows "
        "less. Half of what is seen well has %.1f or more; nearly all lies between %.1f and "
        "%.1f, "
        "so that a line of 0.3\u00a0mm is %.1f to %.1f pixels wide. Of a line of fewer than "
        "two "
        "pixels the width cannot be told.",
        bands->middle, bands->least, bands->most, 0.3 * bands->least, 0.3 * bands->most);
    return tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, text, &type);
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulRectifiedSheet *sheet = ((const Bands *)data)->sheet;
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    y = tapul_unseen_legend(page, tapul_vec2(at.x, y), width_mm, format, sheet->rectified);
    return tapul_plate_legend(page, tapul_vec2(at.x, y), width_mm, format, sheet->ground,
                              TAPUL_BLACK, TAPUL_NO_COLOUR);
}

static double sights_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    return tapul_sights_block(page, at, width_mm, format, ((const Bands *)data)->sheet);
}

static TapulFit words(TapulPage *page, TapulBox space, const TapulFormat *format,
                      gconstpointer data) {
    static const TapulBlock blocks[] = {bands_block, legend_block, sights_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}

/* --- The sheet --- */

TapulPage *tapul_sheet_resolution(const TapulRectifiedSheet *sheet) {
    Bands bands = choose_bands(sheet);
    g_autoptr(TapulPath) edge = tapul_carried_edge(sheet->ground);
    g_autofree char *subtitle = g_strdup_printf(
        "How finely the photograph%s %s, laid flat at true scale (1 : 1)",
        sheet->n_photos > 1 ? "s show" : " shows", tapul_plate_name(sheet->ground->plate));
    TapulComposition composition = {.title = sheet->title,
                                    .subtitle = subtitle,
                                    .description = subtitle,
                                    .figure = edge,
                                    .figure_pad_ems = 0.5,
                                    .words = words,
                                    .data = &bands};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "development", "The development at 1 : 1", &place);
    tapul_page_begin_clip(page, edge);
    draw_map(page, &bands);
    tapul_draw_unseen(page, sheet->rectified, 1);
    tapul_page_end_clip(page);
    tapul_plate_lines(page, sheet->ground, edge, TAPUL_BLACK);
    draw_figures(page, &bands, &format);
    tapul_page_end_group(page);
    return page;
}
