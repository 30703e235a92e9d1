/* What stands around a figure: rules, headings, legend, rows of figures, the scale bar.
 *
 * The sheets set their columns with it; layout.c measures them first.
 */
#include "sheet/furniture.h"

#include "sheet/page_items.h"

/* From the top of a line to its baseline, in ems: EB Garamond's capitals and some air. */
#define ASCENT     0.86
#define SAMPLE_EMS 3.6 /* width of a legend's sample */

TapulPath *tapul_box_path(TapulBox box) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, box.min);
    tapul_path_line(path, tapul_vec2(box.max.x, box.min.y));
    tapul_path_line(path, box.max);
    tapul_path_line(path, tapul_vec2(box.min.x, box.max.y));
    tapul_path_close(path);
    return path;
}

static void draw_line(TapulPage *page, TapulVec2 from, TapulVec2 to, const TapulPen *pen) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, from);
    tapul_path_line(path, to);
    tapul_page_path(page, path, pen);
}

void tapul_rule(TapulPage *page, TapulVec2 at, double width_mm) {
    if (page)
        draw_line(page, at, tapul_vec2(at.x + width_mm, at.y),
                  &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM});
}

double tapul_set_paragraph(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                           const TapulType *type) {
    if (!page) {
        g_autoptr(GPtrArray) lines = tapul_page_break_lines(text, width_mm, type);
        return at.y - lines->len * TAPUL_LEADING * type->size_mm;
    }
    double baseline = at.y - ASCENT * type->size_mm;
    double next = tapul_page_paragraph(page, tapul_vec2(at.x, baseline), width_mm, text, type);
    return next + ASCENT * type->size_mm;
}

double tapul_set_heading(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                         const TapulFormat *format) {
    TapulType type = {
        .size_mm = format->text_mm, .small_capitals = TRUE, .colour = TAPUL_BLACK};
    double y = tapul_set_paragraph(page, at, width_mm, text, &type);
    tapul_rule(page, tapul_vec2(at.x, y), width_mm);
    return y - 0.45 * format->text_mm;
}

double tapul_set_row(TapulPage *page, TapulVec2 at, double width_mm, const char *name,
                     const char *value, const TapulFormat *format) {
    TapulType left = {.size_mm = format->text_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    TapulType right = {
        .size_mm = format->text_mm, .align = TAPUL_ALIGN_RIGHT, .colour = TAPUL_BLACK};
    double taken_mm = tapul_page_text_width_mm(value, &right) + format->text_mm;
    double y =
        tapul_set_paragraph(page, at, fmax(width_mm - taken_mm, width_mm / 3), name, &left);
    if (page)
        tapul_page_text(
            page, tapul_vec2(at.x + width_mm, y + (TAPUL_LEADING - ASCENT) * format->text_mm),
            value, &right);
    return y;
}

double tapul_set_figure(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, const char *name, const char *value_format,
                        ...) {
    va_list arguments;
    va_start(arguments, value_format);
    g_autofree char *value = g_strdup_vprintf(value_format, arguments);
    va_end(arguments);
    return tapul_set_row(page, at, width_mm, name, value, format);
}

void tapul_draw_pair(TapulPage *page, TapulVec2 at, double radius_mm, TapulColour colour,
                     TapulColour ground) {
    /* Four arcs; 0.5523 makes a cubic's quarter circle (Goldapp 1991). */
    double r = radius_mm, k = 0.5523 * r;
    g_autoptr(TapulPath) ring = tapul_path_new();
    TapulVec2 corner[4] = {{r, 0}, {0, r}, {-r, 0}, {0, -r}};
    TapulVec2 side[4] = {{0, k}, {-k, 0}, {0, -k}, {k, 0}};
    tapul_path_move(ring, tapul_vec2_add(at, corner[0]));
    for (int i = 0; i < 4; i++) {
        int next = (i + 1) % 4;
        tapul_path_curve(ring, tapul_vec2_add(at, tapul_vec2_add(corner[i], side[i])),
                         tapul_vec2_add(at, tapul_vec2_sub(corner[next], side[next])),
                         tapul_vec2_add(at, corner[next]));
    }
    tapul_path_close(ring);
    for (int i = 0; i < 4; i++) {
        tapul_path_move(ring, tapul_vec2_add(at, tapul_vec2_scale(corner[i], 0.45)));
        tapul_path_line(ring, tapul_vec2_add(at, tapul_vec2_scale(corner[i], 1.55)));
    }
    tapul_page_path(page, ring, &(TapulPen){.stroke = ground, .width_mm = 0.5 * r});
    tapul_page_path(page, ring, &(TapulPen){.stroke = colour, .width_mm = 0.16 * r});
}

/* A wave with curled ends, as a pen tries itself. */
static void draw_flourish(TapulPage *page, TapulVec2 middle, double width_mm,
                          const TapulPen *pen, double em) {
    double left = middle.x - width_mm / 2, third = width_mm / 3, rise = 0.42 * em;
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(left, middle.y));
    for (int i = 0; i < 3; i++) {
        double x = left + i * third, y = middle.y + (i % 2 ? -rise : rise);
        tapul_path_curve(path, tapul_vec2(x + 0.25 * third, y), tapul_vec2(x + 0.75 * third, y),
                         tapul_vec2(x + third, middle.y));
    }
    tapul_page_path(page, path, pen);
}

static void draw_sample(TapulPage *page, TapulVec2 middle, const TapulSample *sample,
                        double em) {
    double half_mm = SAMPLE_EMS / 2 * em;
    TapulBox patch = {{middle.x - half_mm - 0.3 * em, middle.y - TAPUL_LEADING / 2 * em},
                      {middle.x + half_mm + 0.3 * em, middle.y + TAPUL_LEADING / 2 * em}};
    g_autoptr(TapulPath) under = tapul_box_path(patch);
    if (sample->ground.alpha > 0)
        tapul_page_path(page, under, &(TapulPen){.fill = sample->ground});
    switch (sample->kind) {
    case TAPUL_SAMPLE_LINE:
        draw_line(page, tapul_vec2(middle.x - half_mm, middle.y),
                  tapul_vec2(middle.x + half_mm, middle.y), &sample->pen);
        break;
    case TAPUL_SAMPLE_FLOURISH:
        draw_flourish(page, middle, 2 * half_mm, &sample->pen, em);
        break;
    case TAPUL_SAMPLE_PICTURE:
        tapul_page_path(page, under,
                        &(TapulPen){.fill = sample->ground,
                                    .stroke = sample->pen.stroke,
                                    .width_mm = sample->pen.width_mm});
        draw_flourish(page, middle, 2 * half_mm, &sample->pen, em);
        break;
    case TAPUL_SAMPLE_PAIR:
        tapul_draw_pair(page, middle, 0.32 * em, sample->pen.stroke,
                        sample->ground.alpha > 0 ? sample->ground : TAPUL_WARM_WHITE);
        break;
    }
}

double tapul_set_sample(TapulPage *page, TapulVec2 at, double width_mm, TapulSample sample,
                        const TapulFormat *format) {
    double em = format->text_mm, indent_mm = (SAMPLE_EMS + 1.1) * em;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    if (page) {
        TapulVec2 middle = {at.x + (SAMPLE_EMS / 2 + 0.3) * em, at.y - (ASCENT - 0.27) * em};
        draw_sample(page, middle, &sample, em);
    }
    return tapul_set_paragraph(page, tapul_vec2(at.x + indent_mm, at.y), width_mm - indent_mm,
                               sample.text, &type);
}

void tapul_scale_bar(TapulPage *page, TapulVec2 at, const TapulFormat *format) {
    double em = fmax(0.85 * format->text_mm, TAPUL_LEAST_TEXT_MM);
    double top = at.y + 1.5 * em, bottom = top - 0.42 * em;
    TapulPen line = {.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM};
    tapul_page_begin_group(page, "scale-bar", "Scale bar, 100 mm in tenths", NULL);
    for (int i = 0; i < 10; i += 2) {
        TapulBox tenth = {{at.x + 10 * i, bottom}, {at.x + 10 * (i + 1), top}};
        g_autoptr(TapulPath) box = tapul_box_path(tenth);
        tapul_page_path(page, box, &(TapulPen){.fill = TAPUL_BLACK});
    }
    g_autoptr(TapulPath) frame = tapul_box_path((TapulBox){{at.x, bottom}, {at.x + 100, top}});
    tapul_page_path(page, frame, &line);
    TapulType type = {.size_mm = em, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    for (int i = 0; i <= 100; i += 50) {
        g_autofree char *figure = g_strdup_printf("%d", i);
        tapul_page_text(page, tapul_vec2(at.x + i, top + 0.45 * em), figure, &type);
    }
    type.align = TAPUL_ALIGN_LEFT;
    type.italic = TRUE;
    double beside = at.x + 100 + tapul_page_text_width_mm("100", &type) / 2 + 0.3 * em;
    tapul_page_text(page, tapul_vec2(beside, top + 0.45 * em), "mm", &type);
    tapul_page_end_group(page);
}
