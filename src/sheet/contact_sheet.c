/* The contact sheet: a folder's plates as a catalogue's plate section shows them, in rows at
 * one common scale.
 *
 * The `plate` verb writes it. Entries know how large they are; here they are set in cells of
 * one size, in the order given, on as many pages as they take.
 */
#include "sheet/contact_entry.h"
#include "sheet/page_items.h"
#include "sheet/shortened.h"

#include <tapul/sheets.h>

/* A3 landscape, ISO 216. */
static const TapulFormat a3 = {420, 297, 17, 3.4};
/* Scales, largest first; a catalogue names no odder ones. */
static const double reductions[] = {1,  1.5, 2,  2.5, 3,  4,  5,  6, 8,
                                    10, 12,  15, 20,  25, 30, 40, 50};
/* What a folder of many plates is drawn at. */
#define CATALOGUE_REDUCTION 6.0
/* A plate has sides of at most 10 m; captions longer than a page never fit. */
#define MOST_REDUCTION 1000.0

#define COLUMNS        6 /* an entry takes as many as its pictures need */
#define ROWS           2 /* at least this many tallest entries on a page */
#define PICTURE_GAP_MM 7.0
#define CELL_GAP_MM    14.0
#define ROW_GAP_MM     9.0
#define CAPTION_GAP_MM 3.0
#define LONGEST_BAR_MM 60.0
#define FOOT_MM        15.0

typedef struct {
    TapulFormat format;
    const char *title;
    GPtrArray *entries; /* of TapulContactEntry */
    double reduction;
} Contact;

static TapulContactEntry *entry_at(const Contact *contact, guint i) {
    return contact->entries->pdata[i];
}

/* --- Sizes at the scale in hand --- */

static double page_width_mm(const Contact *contact) {
    return contact->format.width_mm - 2 * contact->format.margin_mm;
}

static double title_mm(const Contact *contact) {
    return 5.4 * contact->format.text_mm;
}

static double page_room_mm(const Contact *contact) {
    return contact->format.height_mm - 2 * contact->format.margin_mm - title_mm(contact) -
           FOOT_MM;
}

static double columns_mm(const Contact *contact, int columns) {
    double one_mm = (page_width_mm(contact) - (COLUMNS - 1) * CELL_GAP_MM) / COLUMNS;
    return columns * one_mm + (columns - 1) * CELL_GAP_MM;
}

static TapulVec2 pictures_mm(const Contact *contact, guint i) {
    TapulVec2 all = {(TAPUL_CONTACT_PICTURES - 1) * PICTURE_GAP_MM, 0};
    for (int k = 0; k < TAPUL_CONTACT_PICTURES; k++) {
        TapulVec2 size = tapul_contact_entry_size_mm(entry_at(contact, i), k);
        all.x += size.x / contact->reduction;
        all.y = fmax(all.y, size.y / contact->reduction);
    }
    return all;
}

/* How many columns an entry takes; more than there are where it fits none. */
static int span_of(const Contact *contact, guint i) {
    double wide_mm = pictures_mm(contact, i).x;
    int span = 1;
    while (span <= COLUMNS && columns_mm(contact, span) < wide_mm)
        span++;
    return span;
}

static double caption_mm(const Contact *contact, guint i) {
    double width_mm = columns_mm(contact, MIN(span_of(contact, i), COLUMNS));
    return CAPTION_GAP_MM - tapul_contact_entry_words(NULL, tapul_vec2(0, 0), width_mm,
                                                      entry_at(contact, i), &contact->format);
}

static gboolean all_fit(const Contact *contact) {
    double tall_mm = (page_room_mm(contact) - (ROWS - 1) * ROW_GAP_MM) / ROWS;
    for (guint i = 0; i < contact->entries->len; i++)
        if (span_of(contact, i) > COLUMNS ||
            pictures_mm(contact, i).y + caption_mm(contact, i) > tall_mm)
            return FALSE;
    return TRUE;
}

/* --- Rows --- */

/* Entries from first on that stand side by side: the entry after them, the height of their
 * pictures and of their captions. */
typedef struct {
    guint end;
    double pictures_mm, captions_mm;
} Row;

static Row next_row(const Contact *contact, guint first) {
    Row row = {first, 0, 0};
    int column = 0;
    while (row.end < contact->entries->len) {
        int span = MIN(span_of(contact, row.end), COLUMNS);
        if (column > 0 && column + span > COLUMNS)
            break;
        column += span;
        row.pictures_mm = fmax(row.pictures_mm, pictures_mm(contact, row.end).y);
        row.captions_mm = fmax(row.captions_mm, caption_mm(contact, row.end));
        row.end++;
    }
    return row;
}

static double first_row_mm(const Contact *contact) {
    return contact->format.height_mm - contact->format.margin_mm - title_mm(contact);
}

/* The top of a row: y where there is room for it, else that of a new page's first. */
static double row_top_mm(const Contact *contact, const Row *row, double y) {
    double floor_y = contact->format.margin_mm + FOOT_MM;
    return y - row->pictures_mm - row->captions_mm < floor_y ? first_row_mm(contact) : y;
}

static gboolean one_page_holds(const Contact *contact) {
    double y = first_row_mm(contact);
    for (guint first = 0; first < contact->entries->len;) {
        Row row = next_row(contact, first);
        if (row_top_mm(contact, &row, y) != y)
            return FALSE;
        y -= row.pictures_mm + row.captions_mm + ROW_GAP_MM;
        first = row.end;
    }
    return TRUE;
}

/* The largest scale at which one page holds all entries, but if that is smaller than a
 * catalogue's, as many pages as they take at such a one; beyond the list, whatever fits. */
static void choose_scale(Contact *contact) {
    for (guint i = 0; i < G_N_ELEMENTS(reductions); i++) {
        contact->reduction = reductions[i];
        if (all_fit(contact) &&
            (reductions[i] >= CATALOGUE_REDUCTION || one_page_holds(contact)))
            return;
    }
    while (!all_fit(contact) && contact->reduction < MOST_REDUCTION)
        contact->reduction *= 2;
}

/* --- Furniture --- */

static void set_title(TapulPage *page, const Contact *contact) {
    const TapulFormat *format = &contact->format;
    double em = format->text_mm, width_mm = format->width_mm - 2 * format->margin_mm;
    TapulType title = {.size_mm = 2 * em, .colour = TAPUL_BLACK};
    TapulVec2 at = {format->margin_mm, format->height_mm - format->margin_mm};
    g_autofree char *text = tapul_text_shortened(contact->title, width_mm, 1, &title);
    at.y = tapul_set_paragraph(page, at, width_mm, text, &title);
    at.y -= 0.4 * em;
    tapul_rule(page, at, width_mm);
}

/* The longest round length of the plates that is no longer than wanted on the page. */
static double bar_length_mm(const Contact *contact) {
    static const double lengths_mm[] = {2000, 1000, 500, 200, 100, 50, 20, 10};
    guint i = 0;
    while (i + 1 < G_N_ELEMENTS(lengths_mm) &&
           lengths_mm[i] / contact->reduction > LONGEST_BAR_MM)
        i++;
    return lengths_mm[i];
}

/* In quarters; returns how wide it is with its figures. */
static double set_scale_bar(TapulPage *page, const Contact *contact, TapulVec2 at) {
    double length_mm = bar_length_mm(contact), unit_mm = length_mm / 4 / contact->reduction;
    double em = TAPUL_LEAST_TEXT_MM;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    g_autofree char *end = g_strdup_printf("%g mm", length_mm);
    tapul_page_begin_group(page, "scale-bar", "Scale bar, in mm of the plates", NULL);
    for (int i = 0; i < 4; i++) {
        TapulBox box = {{at.x + i * unit_mm, at.y}, {at.x + (i + 1) * unit_mm, at.y + 1.2}};
        g_autoptr(TapulPath) piece = tapul_box_path(box);
        tapul_page_path(page, piece,
                        &(TapulPen){.fill = i % 2 ? TAPUL_WARM_WHITE : TAPUL_BLACK,
                                    .stroke = TAPUL_BLACK,
                                    .width_mm = TAPUL_HAIRLINE_MM});
    }
    double end_mm = fmax(4 * unit_mm - 0.5 * em, 1.5 * em);
    tapul_page_text(page, tapul_vec2(at.x, at.y + 2), "0", &type);
    tapul_page_text(page, tapul_vec2(at.x + end_mm, at.y + 2), end, &type);
    tapul_page_end_group(page);
    return end_mm + tapul_page_text_width_mm(end, &type);
}

/* Scale bar, what the lines mean, the page's number, all on the lower margin. */
static void set_foot(TapulPage *page, const Contact *contact, guint number, guint count) {
    const TapulFormat *format = &contact->format;
    TapulType type = {.size_mm = 0.85 * format->text_mm, .italic = TRUE, .colour = TAPUL_QUIET};
    g_autofree char *legend = g_strdup_printf(
        "All at 1\u00a0:\u00a0%g. Each plate from the front, from three-quarters, and laid "
        "flat; height \u00d7 width \u00d7 depth. Full line: ridge; chain line: medial line; "
        "dotted: fields; dashed: seam.",
        contact->reduction);
    g_autofree char *pages = g_strdup_printf("page %u of %u", number, count);
    TapulVec2 at = {format->margin_mm, format->margin_mm};
    double right = format->width_mm - format->margin_mm;
    double left = at.x + set_scale_bar(page, contact, at) + 2 * format->text_mm;
    double width_mm =
        right - left - tapul_page_text_width_mm(pages, &type) - 2 * format->text_mm;
    double tall_mm = -tapul_set_paragraph(NULL, tapul_vec2(0, 0), width_mm, legend, &type);
    /* The last line's own leading stands below its baseline. */
    double below_mm = (TAPUL_LEADING - 0.86) * type.size_mm;
    tapul_set_paragraph(page, tapul_vec2(left, at.y + tall_mm - below_mm), width_mm, legend,
                        &type);
    type.align = TAPUL_ALIGN_RIGHT;
    type.italic = FALSE;
    tapul_page_text(page, tapul_vec2(right, at.y), pages, &type);
}

static TapulPage *new_page(const Contact *contact) {
    const TapulFormat *format = &contact->format;
    TapulPage *page = tapul_page_new(format->width_mm, format->height_mm, contact->title,
                                     "Plates at one common scale");
    TapulBox whole = {{0, 0}, {format->width_mm, format->height_mm}};
    g_autoptr(TapulPath) paper = tapul_box_path(whole);
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    set_title(page, contact);
    return page;
}

/* --- Pages --- */

/* An entry's pictures side by side on one ground, its caption below them. */
static void set_entry(TapulPage *page, const Contact *contact, guint i, TapulVec2 ground,
                      double width_mm) {
    TapulContactEntry *entry = entry_at(contact, i);
    double x = ground.x;
    tapul_page_begin_group(page, "plate", tapul_plate_name(entry->ground->plate), NULL);
    for (int k = 0; k < TAPUL_CONTACT_PICTURES; k++) {
        double wide_mm = tapul_contact_entry_size_mm(entry, k).x / contact->reduction;
        tapul_contact_entry_draw(page, entry, k, tapul_vec2(x + wide_mm / 2, ground.y),
                                 1 / contact->reduction);
        x += wide_mm + PICTURE_GAP_MM;
    }
    tapul_contact_entry_words(page, tapul_vec2(ground.x, ground.y - CAPTION_GAP_MM), width_mm,
                              entry, &contact->format);
    tapul_page_end_group(page);
}

static void set_row(TapulPage *page, const Contact *contact, guint first, const Row *row,
                    double top) {
    int column = 0;
    for (guint i = first; i < row->end; i++) {
        int span = MIN(span_of(contact, i), COLUMNS);
        TapulVec2 ground = {contact->format.margin_mm, top - row->pictures_mm};
        if (column > 0)
            ground.x += columns_mm(contact, column) + CELL_GAP_MM;
        set_entry(page, contact, i, ground, columns_mm(contact, span));
        column += span;
    }
}

static GPtrArray *set_rows(const Contact *contact) {
    GPtrArray *pages = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    double y = -INFINITY;
    for (guint first = 0; first < contact->entries->len;) {
        Row row = next_row(contact, first);
        double top = row_top_mm(contact, &row, y);
        if (top != y)
            g_ptr_array_add(pages, new_page(contact));
        set_row(pages->pdata[pages->len - 1], contact, first, &row, top);
        y = top - row.pictures_mm - row.captions_mm - ROW_GAP_MM;
        first = row.end;
    }
    for (guint i = 0; i < pages->len; i++)
        set_foot(pages->pdata[i], contact, i + 1, pages->len);
    return pages;
}

GPtrArray *tapul_sheet_contact(const char *title, int n, const TapulGround *grounds) {
    g_autoptr(GPtrArray) entries =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_contact_entry_free);
    Contact contact = {.format = a3, .title = title, .entries = entries};
    for (int i = 0; i < n; i++)
        g_ptr_array_add(entries, tapul_contact_entry_new(&grounds[i]));
    choose_scale(&contact);
    return set_rows(&contact);
}
