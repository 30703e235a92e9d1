/* The overlay sheet: the plate laid flat at true scale with the prints laid on it, and the same
 * as seen from the front and from three-quarters.
 *
 * The `lay` verb writes it. Print ink is black, or vermilion over its scan or beside a found
 * design, which is dashed blue. Scans laid as pictures lie under all lines.
 */
#include "sheet/overlay_parts.h"

#include "sheet/carried.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"

#define PAD_EMS  0.5
#define PAIR_EMS 0.35 /* radius of a pair's mark */
#define DASH_MM  1.6  /* of the found design */
#define TURN_DEG 35.0 /* of the view from three-quarters, and how far it looks down */
#define TILT_DEG 12.0

GArray *tapul_overlay_layings(const TapulCase *question, const GPtrArray *laid) {
    GArray *layings = g_array_new(FALSE, FALSE, sizeof(TapulOverlayLaying));
    for (guint i = 0; i < laid->len; i++) {
        const TapulCaseLaying *asked = g_ptr_array_index(question->layings, i);
        const TapulPrint *print = g_ptr_array_index(question->prints, asked->print);
        const TapulCaseLaid *one = g_ptr_array_index(laid, i);
        TapulOverlayLaying laying = {.name = print->id,
                                     .ink = print->ink,
                                     .laid = one->ink,
                                     .caption = one->caption,
                                     .picture = one->picture,
                                     .picture_alone = asked->show == TAPUL_SHOW_PICTURE};
        g_array_append_val(layings, laying);
    }
    return layings;
}

static guint8 level_of(double share) {
    return (guint8)lround(255 * share);
}

/* The ink of a scan in another colour: its darkness is its alpha. */
static guint8 *recoloured(const TapulLaidPicture *picture, TapulColour colour) {
    gsize n = (gsize)picture->width_px * (gsize)picture->height_px;
    guint8 *rgba = g_memdup2(picture->rgba, 4 * n);
    for (gsize i = 0; i < n; i++) {
        rgba[4 * i] = level_of(colour.red);
        rgba[4 * i + 1] = level_of(colour.green);
        rgba[4 * i + 2] = level_of(colour.blue);
    }
    return rgba;
}

static void draw_pictures(TapulPage *page, const TapulOverlaySheet *sheet) {
    const TapulOverlay *overlay = sheet->overlay;
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        const TapulLaidPicture *picture = laying->picture;
        if (!picture)
            continue;
        g_autofree char *id = g_strconcat(laying->name, "-picture", NULL);
        g_autofree guint8 *bright =
            picture->ink_only ? recoloured(picture, TAPUL_ETCHED_INK) : NULL;
        tapul_page_begin_group(page, id, "The scan laid as a picture", NULL);
        tapul_page_picture(page, picture->box_mm, picture->width_px, picture->height_px,
                           bright ? bright : picture->rgba);
        tapul_page_end_group(page);
    }
}

static void draw_layings(TapulPage *page, const TapulOverlaySheet *sheet, TapulInking *inking) {
    const TapulOverlay *overlay = sheet->overlay;
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        if (laying->picture && laying->picture_alone)
            continue;
        inking->most_width_mm = laying->picture ? TAPUL_OVER_PICTURE_MM : 0;
        tapul_page_begin_group(page, laying->name, laying->caption, NULL);
        tapul_inking_draw(page, laying->laid->marks, NULL,
                          laying->ink ? laying->ink->motifs : NULL, laying->name, inking);
        tapul_page_end_group(page);
    }
}

static void draw_found(TapulPage *page, const TapulOverlaySheet *sheet, TapulInking *inking) {
    const TapulInk *found = sheet->overlay->found;
    if (!found)
        return;
    inking->ink = sheet->colours.found;
    inking->found = TRUE;
    inking->most_width_mm = 0;
    inking->least_width_mm = TAPUL_HAIRLINE_MM;
    inking->dash_mm = DASH_MM;
    tapul_page_begin_group(page, "found", "The design found on the plate", NULL);
    tapul_inking_draw(page, found->marks, NULL, found->motifs, "found", inking);
    tapul_page_end_group(page);
}

static void draw_pairs(TapulPage *page, const TapulOverlaySheet *sheet, double radius_mm) {
    const TapulOverlay *overlay = sheet->overlay;
    if (overlay->n_pairs == 0)
        return;
    tapul_page_begin_group(page, "pairs", "Pairs picked on print and plate", NULL);
    for (int i = 0; i < overlay->n_pairs; i++)
        tapul_draw_pair(page, overlay->pair_developed_mm[i], radius_mm, sheet->colours.found,
                        sheet->colours.ground);
    tapul_page_end_group(page);
}

/* A found design may run past the plate's edge, but not over the page's text. */
static void draw_development(TapulPage *page, const TapulOverlaySheet *sheet,
                             const TapulPath *edge, const TapulFormat *format) {
    TapulBox room = tapul_path_box(edge);
    TapulVec2 pad = {PAD_EMS * format->text_mm, PAD_EMS * format->text_mm};
    g_autoptr(TapulPath) window = tapul_box_path(
        (TapulBox){tapul_vec2_sub(room.min, pad), tapul_vec2_add(room.max, pad)});
    TapulInking inking = {.ink = sheet->colours.print,
                          .ground = sheet->colours.ground,
                          .least_width_mm = TAPUL_LEAST_INK_MM,
                          .picture = -1};
    tapul_page_path(page, edge, &(TapulPen){.fill = sheet->colours.ground});
    draw_pictures(page, sheet);
    tapul_page_begin_group(page, "plate", "The plate's own lines", NULL);
    tapul_plate_lines(page, sheet->overlay->ground, edge, sheet->colours.line);
    tapul_page_end_group(page);
    tapul_page_begin_clip(page, window);
    draw_layings(page, sheet, &inking);
    draw_found(page, sheet, &inking);
    draw_pairs(page, sheet, PAIR_EMS * format->text_mm);
    tapul_page_end_clip(page);
}

TapulShownPictures tapul_overlay_pictures(const TapulOverlay *overlay) {
    TapulShownPictures shown = {FALSE, FALSE};
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        shown.any = shown.any || laying->picture;
        shown.under_lines = shown.under_lines || (laying->picture && !laying->picture_alone);
    }
    return shown;
}

static TapulOverlayColours colours_of(const TapulOverlay *overlay) {
    /* Black lines could not be told from the scan's own. */
    gboolean coloured = overlay->found || tapul_overlay_pictures(overlay).under_lines;
    if (overlay->etched)
        return (TapulOverlayColours){.ground = TAPUL_ETCHED_GROUND,
                                     .line = TAPUL_ETCHED_LINE,
                                     .print = coloured ? TAPUL_PRINT_INK : TAPUL_ETCHED_INK,
                                     .found = {0x56 / 255.0, 0xB4 / 255.0, 0xE9 / 255.0, 1}};
    return (TapulOverlayColours){.ground = TAPUL_PLATE_TINT,
                                 .line = TAPUL_QUIET,
                                 .print = coloured ? TAPUL_PRINT_INK : TAPUL_BLACK,
                                 .found = TAPUL_PLATE_INK};
}

static const char *const view_names[] = {"From the front", "Turned 35°, seen from 12° above"};

static TapulVec2 size_of(const TapulView *view) {
    return tapul_vec2_sub(view->box_mm.max, view->box_mm.min);
}

static char *describe(const TapulOverlay *overlay) {
    GString *text = g_string_new("The plate laid flat at true scale (1 : 1)");
    for (int i = 0; i < overlay->n_layings; i++)
        g_string_append_printf(text, "%s%s %s", i > 0 ? "; " : ", with ",
                               overlay->layings[i].name, overlay->layings[i].caption);
    return g_string_free(text, FALSE);
}

TapulPage *tapul_sheet_overlay(const TapulOverlay *overlay) {
    double radians = G_PI / 180;
    g_autoptr(TapulView) front = tapul_view_new(overlay->ground, 0, 0);
    g_autoptr(TapulView) turned =
        tapul_view_new(overlay->ground, TURN_DEG * radians, TILT_DEG * radians);
    TapulOverlaySheet sheet = {
        .overlay = overlay, .view = {front, turned}, .colours = colours_of(overlay)};
    g_autoptr(TapulPath) edge = tapul_carried_edge(overlay->ground);
    g_autofree char *description = describe(overlay);
    const char *title = overlay->title && *overlay->title
                            ? overlay->title
                            : tapul_plate_name(overlay->ground->plate);
    TapulComposition composition = {
        .title = title,
        .subtitle = overlay->credit,
        .description = description,
        .figure = edge,
        .figure_pad_ems = PAD_EMS,
        .n_insets = 2,
        .insets = {{size_of(front), view_names[0]}, {size_of(turned), view_names[1]}},
        .draw_inset = tapul_overlay_draw_view,
        .words = tapul_overlay_words,
        .data = &sheet};
    TapulFormat format;
    TapulVec2 origin;
    TapulPage *page = tapul_compose(&composition, &format, &origin);
    TapulAffine place = {1, 0, 0, 1, origin.x, origin.y};
    tapul_page_begin_group(page, "development", "The development at 1 : 1", &place);
    draw_development(page, &sheet, edge, &format);
    tapul_page_end_group(page);
    return page;
}
