/* Lines to write on: what the measuring sheet's tables are made of. */
#include "sheet/measuring.h"

#define GAP_EMS 1.8 /* between blanks side by side */

void tapul_form_line(TapulPage *page, TapulVec2 from, TapulVec2 to, double width_mm,
                     TapulColour colour) {
    if (!page)
        return;
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, from);
    tapul_path_line(path, to);
    tapul_page_path(page, path, &(TapulPen){.stroke = colour, .width_mm = width_mm});
}

double tapul_form_blank(TapulPage *page, TapulVec2 at, double width_mm, const char *name,
                        const TapulFormat *format) {
    TapulType type = {.size_mm = format->text_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    double y = at.y - TAPUL_WRITING_MM;
    double from_mm = at.x + tapul_page_text_width_mm(name, &type) + 0.6 * format->text_mm;
    if (page)
        tapul_page_text(page, tapul_vec2(at.x, y + 0.25 * format->text_mm), name, &type);
    tapul_form_line(page, tapul_vec2(from_mm, y), tapul_vec2(at.x + width_mm, y),
                    TAPUL_HAIRLINE_MM, TAPUL_BLACK);
    return y;
}

double tapul_form_blanks(TapulPage *page, TapulVec2 at, double width_mm,
                         const char *const *names, int n, int columns,
                         const TapulFormat *format) {
    double gap_mm = GAP_EMS * format->text_mm, y = at.y;
    double each_mm = (width_mm - (columns - 1) * gap_mm) / columns;
    for (int i = 0; i < n; i++) {
        int column = i % columns;
        if (column == 0)
            at.y = y;
        y = tapul_form_blank(page, tapul_vec2(at.x + column * (each_mm + gap_mm), at.y),
                             each_mm, names[i], format);
    }
    return y;
}
