/* The points that cameras were found from, marked on the development and numbered as in the
 * table. A point picked in several photographs is marked once. */
#include "sheet/furniture.h"
#include "sheet/rectified_parts.h"

#define RADIUS_EMS 0.4
#define PATCH                                                                                  \
    ((TapulColour){0.992, 0.984, 0.965, 0.85}) /* paper that lets the metal through            \
                                                */

typedef struct {
    const char *name;
    TapulVec2 at_mm;
} Mark;

/* The mark of a name, made if it is new. */
static Mark *mark_named(GPtrArray *marks, const TapulSight *sight,
                        const TapulDevelopment *development) {
    for (guint i = 0; i < marks->len; i++)
        if (g_str_equal(((const Mark *)marks->pdata[i])->name, sight->name))
            return marks->pdata[i];
    Mark *mark = g_new0(Mark, 1);
    mark->name = sight->name;
    mark->at_mm = tapul_development_point_mm(development, sight->spot);
    g_ptr_array_add(marks, mark);
    return mark;
}

static GPtrArray *collect(const TapulRectifiedSheet *sheet) {
    GPtrArray *marks = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < sheet->n_photos; i++) {
        const GArray *sights = sheet->photos[i]->sights;
        for (guint k = 0; k < sights->len; k++)
            mark_named(marks, &g_array_index(sights, TapulSight, k),
                       sheet->ground->development);
    }
    return marks;
}

int tapul_sight_number(const TapulRectifiedSheet *sheet, const char *name) {
    g_autoptr(GPtrArray) marks = collect(sheet);
    for (guint i = 0; i < marks->len; i++)
        if (g_str_equal(((const Mark *)marks->pdata[i])->name, name))
            return (int)i + 1;
    g_assert_not_reached();
}

/* --- Labels --- */

typedef struct {
    TapulPage *page;
    TapulBox room;
    TapulType type;
    GArray *taken; /* of TapulBox: marks and labels */
} Labels;

static gboolean is_free(const Labels *labels, TapulBox box) {
    if (box.min.x < labels->room.min.x || box.max.x > labels->room.max.x ||
        box.min.y < labels->room.min.y || box.max.y > labels->room.max.y)
        return FALSE;
    for (guint i = 0; i < labels->taken->len; i++)
        if (tapul_boxes_overlap(box, g_array_index(labels->taken, TapulBox, i)))
            return FALSE;
    return TRUE;
}

/* Beside the mark first, then above and below, then farther off. A point whose label has no
 * room goes without: the table names it. */
static void set_label(Labels *labels, TapulVec2 at_mm, const char *text, double radius_mm) {
    static const TapulVec2 sides[] = {{1, 0},     {-1, 0},     {0, 1},      {0, -1},
                                      {0.8, 0.9}, {-0.8, 0.9}, {0.8, -0.9}, {-0.8, -0.9}};
    double em = labels->type.size_mm;
    TapulVec2 half = {tapul_page_text_width_mm(text, &labels->type) / 2 + 0.25 * em, 0.55 * em};
    for (double off = 1.6; off < 4; off += 0.8)
        for (guint i = 0; i < G_N_ELEMENTS(sides); i++) {
            TapulVec2 middle = {at_mm.x + sides[i].x * (half.x + off * radius_mm),
                                at_mm.y + sides[i].y * (half.y + off * radius_mm)};
            TapulBox box = tapul_box_about(middle, half);
            if (!is_free(labels, box))
                continue;
            g_autoptr(TapulPath) patch = tapul_box_path(box);
            tapul_page_path(labels->page, patch, &(TapulPen){.fill = PATCH});
            tapul_page_text(labels->page, tapul_vec2(middle.x, middle.y - 0.27 * em), text,
                            &labels->type);
            g_array_append_val(labels->taken, box);
            return;
        }
}

void tapul_draw_sights(TapulPage *page, const TapulRectifiedSheet *sheet, TapulBox room,
                       const TapulFormat *format) {
    double radius_mm = RADIUS_EMS * format->text_mm;
    TapulVec2 half = {1.6 * radius_mm, 1.6 * radius_mm};
    g_autoptr(GPtrArray) marks = collect(sheet);
    g_autoptr(GArray) taken = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    Labels labels = {page,
                     room,
                     {.size_mm = fmax(0.8 * format->text_mm, TAPUL_LEAST_TEXT_MM),
                      .align = TAPUL_ALIGN_CENTRE,
                      .colour = TAPUL_BLACK},
                     taken};
    tapul_page_begin_group(page, "points", "Points the camera was found from", NULL);
    for (guint i = 0; i < marks->len; i++) {
        const Mark *mark = marks->pdata[i];
        TapulBox box = tapul_box_about(mark->at_mm, half);
        g_array_append_val(taken, box);
        tapul_draw_pair(page, mark->at_mm, radius_mm, TAPUL_PLATE_INK, TAPUL_WARM_WHITE);
    }
    for (guint i = 0; i < marks->len; i++) {
        const Mark *mark = marks->pdata[i];
        g_autofree char *number = g_strdup_printf("%u", i + 1);
        set_label(&labels, mark->at_mm, number, radius_mm);
    }
    tapul_page_end_group(page);
}
