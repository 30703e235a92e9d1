/* The measuring sheet: which readings to take of a real plate of a type, where, in which order,
 * with blanks to write them in.
 *
 * The `plate` verb writes it. Here its pages are put together from drawing, steps and tables.
 */
#include "sheet/measuring.h"
#include "sheet/shortened.h"

#include <string.h>
#include <tapul/sheets.h>

G_DEFINE_QUARK(tapul - sheet - error - quark, tapul_sheet_error)

/* A4, ISO 216. */
static const TapulFormat a4 = {210, 297, 15, 3.1};

#define FOOT_MM          7.0 /* of the room within the margins, for the page's number */
#define GAP_MM           7.0 /* between parts */
#define PAGE_NUMBER_MM   25.0
#define LEAST_REMARKS_MM 20.0
#define LEAST_TABLE_MM   60.0 /* a table is begun where it has room for a few rows */

static double left_of(const TapulFormat *format) {
    return format->margin_mm;
}

static TapulBox room_below(const TapulFormat *format, double y) {
    return (TapulBox){{format->margin_mm, format->margin_mm + FOOT_MM},
                      {format->width_mm - format->margin_mm, y}};
}

/* --- What is asked --- */

/* The widest of the levels that are metal from the medial line to the edge. */
static guint level_to_draw(const GArray *levels) {
    guint best = 0;
    double reach_mm = 0;
    for (guint i = 0; i < levels->len; i++) {
        const TapulLevel *level = &g_array_index(levels, TapulLevel, i);
        if (level->beyond || level->reach_mm <= reach_mm)
            continue;
        reach_mm = level->reach_mm;
        best = i;
    }
    return best;
}

static double foremost_mm(const TapulPlate *plate, double y_mm) {
    g_autoptr(GPtrArray) cuts = tapul_level_cuts(plate, y_mm);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    double z_mm = cuts->len > 0 ? low.z : high.z;
    for (guint k = 0; k < cuts->len; k++) {
        const TapulCut *cut = cuts->pdata[k];
        for (guint i = 0; i < cut->points->len; i++)
            z_mm = fmax(z_mm, g_array_index(cut->points, TapulVec3, i).z);
    }
    return z_mm;
}

static void ask(const TapulPlate *plate, TapulMeasuring *measuring) {
    *measuring = (TapulMeasuring){.plate = plate, .format = a4};
    measuring->stations = tapul_plate_station_heights_mm(plate) != NULL;
    measuring->closed = tapul_plate_has_seam(plate);
    measuring->levels = tapul_levels_propose(plate);
    measuring->section = level_to_draw(measuring->levels);
    measuring->section_high_z = foremost_mm(
        plate, g_array_index(measuring->levels, TapulLevel, measuring->section).y_mm);
    measuring->points = measuring->stations && !measuring->closed
                            ? tapul_outline_points(plate, &measuring->half)
                            : g_array_new(FALSE, FALSE, sizeof(TapulOutlinePoint));
    tapul_plate_extent_mm(plate, &measuring->low, &measuring->high);
}

/* --- Pages --- */

static TapulPage *blank_page(const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    g_autofree char *title =
        g_strdup_printf("Measuring sheet: %s", tapul_plate_name(measuring->plate));
    TapulPage *page = tapul_page_new(format->width_mm, format->height_mm, title,
                                     "Readings to take of a real plate of this type");
    TapulBox whole = {{0, 0}, {format->width_mm, format->height_mm}};
    g_autoptr(TapulPath) paper = tapul_box_path(whole);
    tapul_page_path(page, paper, &(TapulPen){.fill = {1, 1, 1, 1}});
    return page;
}

static double set_title(TapulPage *page, const TapulMeasuring *measuring) {
    static const char *const names[] = {"object\u2019s number", "object", "measured by",
                                        "date and place"};
    const TapulFormat *format = &measuring->format;
    double width_mm = format->width_mm - 2 * format->margin_mm, em = format->text_mm;
    TapulType title = {.size_mm = 2.1 * em, .colour = TAPUL_BLACK};
    TapulType subtitle = {.size_mm = 1.1 * em, .italic = TRUE, .colour = TAPUL_BLACK};
    g_autofree char *type =
        g_strdup_printf("Lengths in mm. Type: %s", tapul_plate_name(measuring->plate));
    g_autofree char *short_type = tapul_text_shortened(type, width_mm, 2, &subtitle);
    TapulVec2 at = {left_of(format), format->height_mm - format->margin_mm};
    at.y = tapul_set_paragraph(page, at, width_mm, "Measuring sheet for a plate", &title);
    at.y = tapul_set_paragraph(page, at, width_mm, short_type, &subtitle) - 0.3 * em;
    tapul_rule(page, at, width_mm);
    return tapul_form_blanks(page, at, width_mm, names, (int)G_N_ELEMENTS(names), 2, format);
}

/* Every further page says whose readings it holds. */
static double set_running_head(TapulPage *page, const TapulMeasuring *measuring) {
    static const char *const names[] = {"object\u2019s number", "measured by"};
    const TapulFormat *format = &measuring->format;
    TapulVec2 at = {left_of(format), format->height_mm - format->margin_mm};
    return tapul_form_blanks(page, at, format->width_mm - 2 * format->margin_mm, names,
                             (int)G_N_ELEMENTS(names), 2, format) -
           GAP_MM;
}

static void set_feet(const GPtrArray *pages, const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .italic = TRUE, .colour = TAPUL_QUIET};
    g_autofree char *name =
        g_strdup_printf("Measuring sheet, type: %s", tapul_plate_name(measuring->plate));
    double name_mm = format->width_mm - 2 * format->margin_mm - PAGE_NUMBER_MM;
    g_autofree char *short_name = tapul_text_shortened(name, name_mm, 1, &type);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *number = g_strdup_printf("page %u of %u", i + 1, pages->len);
        type.align = TAPUL_ALIGN_LEFT;
        type.italic = TRUE;
        tapul_page_text(pages->pdata[i], tapul_vec2(left_of(format), format->margin_mm),
                        short_name, &type);
        type.align = TAPUL_ALIGN_RIGHT;
        type.italic = FALSE;
        tapul_page_text(pages->pdata[i],
                        tapul_vec2(format->width_mm - format->margin_mm, format->margin_mm),
                        number, &type);
    }
}

typedef struct {
    const TapulMeasuring *measuring;
    GPtrArray *pages;
    double y; /* the part set last ends here */
} Setting;

static TapulPage *current(const Setting *setting) {
    return setting->pages->pdata[setting->pages->len - 1];
}

static void turn_page(Setting *setting) {
    g_ptr_array_add(setting->pages, blank_page(setting->measuring));
    setting->y = set_running_head(current(setting), setting->measuring);
}

/* Sets a part on this page, or on the next where it needs more room than is left. */
typedef double (*Part)(TapulPage *page, TapulBox room, const TapulMeasuring *measuring);

static void set_part(Setting *setting, Part part) {
    TapulBox room = room_below(&setting->measuring->format, setting->y);
    g_autoptr(TapulPage) trial = blank_page(setting->measuring);
    if (part(trial, room, setting->measuring) < room.min.y)
        turn_page(setting);
    room = room_below(&setting->measuring->format, setting->y);
    setting->y = part(current(setting), room, setting->measuring) - GAP_MM;
}

static void set_levels(Setting *setting) {
    const TapulMeasuring *measuring = setting->measuring;
    for (guint next = 0; next < measuring->levels->len;) {
        TapulBox room = room_below(&measuring->format, setting->y);
        if (room.max.y - room.min.y < LEAST_TABLE_MM || next > 0) {
            turn_page(setting);
            room = room_below(&measuring->format, setting->y);
        }
        setting->y =
            tapul_measuring_levels(current(setting), room, measuring, next, &next) - GAP_MM;
    }
}

static GPtrArray *set_pages(const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    GPtrArray *pages = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    g_ptr_array_add(pages, blank_page(measuring));
    Setting setting = {measuring, pages, 0};
    setting.y = set_title(current(&setting), measuring) - GAP_MM / 2;
    /* The drawing is as large as the steps below it leave room for. */
    TapulBox room = room_below(format, setting.y);
    room.min.y += room.max.y - tapul_measuring_steps(NULL, room, measuring) + GAP_MM;
    setting.y = tapul_measuring_figure(current(&setting), room, measuring) - GAP_MM;
    set_part(&setting, tapul_measuring_steps);
    if (measuring->stations)
        turn_page(&setting);
    set_levels(&setting);
    set_part(&setting, tapul_measuring_checks);
    if (measuring->points->len > 0)
        set_part(&setting, tapul_measuring_points);
    set_part(&setting, tapul_measuring_typing);
    room = room_below(format, setting.y);
    if (room.max.y - room.min.y > LEAST_REMARKS_MM)
        tapul_measuring_remarks(current(&setting), room, measuring);
    set_feet(pages, measuring);
    return pages;
}

GPtrArray *tapul_sheet_measuring(const TapulPlate *plate, GError **error) {
    if (strcmp(tapul_plate_kind(plate), "mesh") == 0) {
        g_set_error(error, TAPUL_SHEET_ERROR, TAPUL_SHEET_ERROR_NO_READINGS,
                    "%s: the plate is a scan, which needs no readings; a measuring sheet is "
                    "for kinds stations, cylinder, cone, sphere and revolved",
                    tapul_plate_name(plate));
        return NULL;
    }
    TapulMeasuring measuring;
    ask(plate, &measuring);
    GPtrArray *pages = set_pages(&measuring);
    g_array_unref(measuring.levels);
    g_array_unref(measuring.points);
    return pages;
}
