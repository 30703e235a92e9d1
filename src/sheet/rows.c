/* Tables of figures, a row at a time: the evidence sheet's. */
#include "sheet/rows.h"

#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/shortened.h"

#define ROW_EMS    TAPUL_LEADING
#define ASCENT_EMS 0.86
/* Kept free between columns. */
#define GUTTER_EMS 0.6

double tapul_rows_step_mm(const TapulRows *rows) {
    return ROW_EMS * rows->text_mm;
}

char *tapul_minus_signs(const char *text) {
    g_autoptr(GRegex) hyphen = g_regex_new("(?<![\\p{L}\\p{N}])-(?=\\d)", 0, 0, NULL);
    return g_regex_replace_literal(hyphen, text, -1, 0, "\u2212", 0, NULL);
}

static void set_cells(const TapulRows *rows, double y, TapulType type,
                      const char *const *cells) {
    double x = rows->left_mm, gutter_mm = GUTTER_EMS * rows->text_mm;
    for (int i = 0; i < rows->n; i++) {
        double width_mm = rows->columns[i].share * rows->width_mm;
        type.align = rows->columns[i].align;
        g_autofree char *minus = tapul_minus_signs(cells[i]);
        g_autofree char *cell = tapul_text_shortened(minus, width_mm - gutter_mm, 1, &type);
        double at_x = type.align == TAPUL_ALIGN_RIGHT ? x + width_mm - gutter_mm : x;
        if (*cell)
            tapul_page_text(rows->page, tapul_vec2(at_x, y - ASCENT_EMS * type.size_mm), cell,
                            &type);
        x += width_mm;
    }
}

double tapul_rows_heads(const TapulRows *rows, double y) {
    g_autofree const char **heads = g_new(const char *, (gsize)rows->n);
    for (int i = 0; i < rows->n; i++)
        heads[i] = rows->columns[i].head;
    set_cells(rows, y,
              (TapulType){.size_mm = rows->text_mm, .italic = TRUE, .colour = TAPUL_BLACK},
              heads);
    y -= tapul_rows_step_mm(rows);
    tapul_rule(rows->page, tapul_vec2(rows->left_mm, y), rows->width_mm);
    return y - 0.3 * rows->text_mm;
}

double tapul_rows_add(const TapulRows *rows, double y, gboolean bold, char *const *cells) {
    set_cells(rows, y,
              (TapulType){.size_mm = rows->text_mm, .bold = bold, .colour = TAPUL_BLACK},
              (const char *const *)cells);
    return y - tapul_rows_step_mm(rows);
}
