/* One plate of the contact sheet: shaded from the front and from three-quarters, laid flat in
 * outline, and its caption.
 *
 * contact_sheet.c places the pictures; their lines keep their width on the page at every scale.
 */
#include "sheet/contact_entry.h"

#include "sheet/carried.h"
#include "sheet/plate_lines.h"
#include "sheet/shortened.h"

#define TURN_DEG         35.0 /* of the view from three-quarters, and how far it looks down */
#define TILT_DEG         12.0
#define PICTURE_DPI      240.0
#define MOST_PIXELS      1.5e6
#define EDGE_WIDTH_MM    0.22
#define CONTOUR_WIDTH_MM 0.15
#define MOST_LINES       3 /* of a name, and of a source */
#define SEAM_WIDTH_MM    0.45

TapulContactEntry *tapul_contact_entry_new(const TapulGround *ground) {
    double radians = G_PI / 180;
    TapulContactEntry *entry = g_new0(TapulContactEntry, 1);
    entry->ground = ground;
    entry->view[0] = tapul_view_new(ground, 0, 0);
    entry->view[1] = tapul_view_new(ground, TURN_DEG * radians, TILT_DEG * radians);
    entry->edge = tapul_carried_edge(ground);
    return entry;
}

void tapul_contact_entry_free(TapulContactEntry *entry) {
    if (!entry)
        return;
    tapul_view_free(entry->view[0]);
    tapul_view_free(entry->view[1]);
    tapul_path_free(entry->edge);
    g_free(entry);
}

static TapulBox picture_box(const TapulContactEntry *entry, int picture) {
    return picture < 2 ? entry->view[picture]->box_mm : tapul_path_box(entry->edge);
}

TapulVec2 tapul_contact_entry_size_mm(const TapulContactEntry *entry, int picture) {
    TapulBox box = picture_box(entry, picture);
    return tapul_vec2_sub(box.max, box.min);
}

static void draw_view(TapulPage *page, TapulView *view, double scale) {
    double pixel_mm = 25.4 / PICTURE_DPI / scale;
    tapul_view_shade(view, tapul_raster_pixel_mm(view->box_mm, pixel_mm, MOST_PIXELS),
                     TAPUL_METAL_BRIGHT);
    const TapulRaster *shade = view->shade;
    tapul_page_picture(page, shade->box_mm, shade->width_px, shade->height_px, shade->rgba);
    TapulPen line = {.stroke = TAPUL_BLACK, .cap = TAPUL_CAP_ROUND, .join = TAPUL_JOIN_ROUND};
    g_autoptr(TapulPath) contour = tapul_view_contour(view);
    g_autoptr(TapulPath) edge = tapul_view_edge(view);
    line.width_mm = CONTOUR_WIDTH_MM / scale;
    tapul_page_path(page, contour, &line);
    line.width_mm = EDGE_WIDTH_MM / scale;
    tapul_page_path(page, edge, &line);
}

static void draw_medial(TapulPage *page, const TapulGround *ground, double scale) {
    g_autoptr(TapulPath) medial = tapul_carried_medial(ground);
    TapulPen pen = {.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM / scale};
    if (!tapul_plate_has_ridge(ground->plate)) {
        static const double chain_mm[] = {3, 0.7, 0.7, 0.7};
        pen.n_dash = (int)G_N_ELEMENTS(chain_mm);
        for (int i = 0; i < pen.n_dash; i++)
            pen.dash_mm[i] = chain_mm[i] / scale;
    }
    tapul_page_path(page, medial, &pen);
}

static void draw_flat(TapulPage *page, const TapulContactEntry *entry, double scale) {
    const TapulGround *ground = entry->ground;
    TapulPen edge = {.fill = TAPUL_PLATE_TINT,
                     .stroke = TAPUL_BLACK,
                     .width_mm = EDGE_WIDTH_MM / scale,
                     .join = TAPUL_JOIN_ROUND};
    TapulPen dotted = {.stroke = TAPUL_BLACK,
                       .width_mm = 0.22 / scale,
                       .cap = TAPUL_CAP_ROUND,
                       .n_dash = 2,
                       .dash_mm = {0, 0.7 / scale}};
    TapulPen dashed = {.stroke = TAPUL_BLACK,
                       .width_mm = SEAM_WIDTH_MM / scale,
                       .n_dash = 2,
                       .dash_mm = {1.6 / scale, 1.1 / scale}};
    g_autoptr(TapulPath) seam = tapul_carried_seam(ground);
    tapul_page_path(page, entry->edge, &edge);
    draw_medial(page, ground, scale);
    for (int i = 0; i < tapul_plate_n_fields(ground->plate); i++) {
        g_autoptr(TapulPath) field = tapul_carried_field(ground, i);
        tapul_page_path(page, field, &dotted);
    }
    tapul_page_path(page, seam, &dashed);
}

void tapul_contact_entry_draw(TapulPage *page, TapulContactEntry *entry, int picture,
                              TapulVec2 at, double scale) {
    static const char *const ids[] = {"front", "three-quarters", "flat"};
    static const char *const titles[] = {"From the front", "From three-quarters", "Laid flat"};
    TapulBox box = picture_box(entry, picture);
    double middle_mm = (box.min.x + box.max.x) / 2;
    TapulAffine place = {
        scale, 0, 0, scale, at.x - scale * middle_mm, at.y - scale * box.min.y};
    tapul_page_begin_group(page, ids[picture], titles[picture], &place);
    if (picture < 2)
        draw_view(page, entry->view[picture], scale);
    else
        draw_flat(page, entry, scale);
    tapul_page_end_group(page);
}

double tapul_contact_entry_words(TapulPage *page, TapulVec2 at, double width_mm,
                                 const TapulContactEntry *entry, const TapulFormat *format) {
    const TapulPlate *plate = entry->ground->plate;
    const char *source = tapul_plate_source(plate);
    double em = format->text_mm;
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    TapulType name = {.size_mm = 1.2 * em, .colour = TAPUL_BLACK};
    TapulType plain = {.size_mm = 0.9 * em, .colour = TAPUL_BLACK};
    TapulType quiet = {.size_mm = 0.9 * em, .italic = TRUE, .colour = TAPUL_QUIET};
    g_autofree char *size =
        g_strdup_printf("%s; %.0f \u00d7 %.0f \u00d7 %.0f mm", tapul_plate_kind(plate),
                        high.y - low.y, high.x - low.x, high.z - low.z);
    g_autofree char *short_name =
        tapul_text_shortened(tapul_plate_name(plate), width_mm, MOST_LINES, &name);
    g_autofree char *short_source = tapul_text_shortened(source, width_mm, MOST_LINES, &quiet);
    at.y = tapul_set_paragraph(page, at, width_mm, short_name, &name);
    at.y = tapul_set_paragraph(page, at, width_mm, size, &plain);
    if (*source)
        at.y = tapul_set_paragraph(page, at, width_mm, short_source, &quiet);
    return at.y;
}
