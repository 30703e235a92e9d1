/* What SVG's drawn things are written with: numbers, path data, pens.
 *
 * page_svg.c writes a page's items with it. An engraving has hundreds of thousands of numbers:
 * all is written short, and read by any reader of SVG 1.1.
 */
#include "sheet/page_svg.h"

#include <string.h>

/* Coordinates are rounded by no more than half of this on the page: a twenty-fifth of a
 * hairline. */
#define ROUNDING_MM   0.005
#define MOST_DECIMALS 3

/* Writes value * 10^-decimals. Drawings hold hundreds of thousands of numbers, and printf is
 * the slower part of writing them. */
static void append_decimal(GString *out, gint64 value, int decimals, gboolean leading_zero) {
    char digits[32];
    guint64 left = (guint64)ABS(value);
    int at = (int)sizeof digits;
    for (; decimals > 0 && left % 10 == 0; decimals--)
        left /= 10;
    gboolean whole = decimals == 0;
    for (int i = 0; i < decimals; i++, left /= 10)
        digits[--at] = (char)('0' + left % 10);
    if (!whole)
        digits[--at] = '.';
    if (left == 0 && (whole || leading_zero))
        digits[--at] = '0';
    for (; left > 0; left /= 10)
        digits[--at] = (char)('0' + left % 10);
    if (value < 0)
        digits[--at] = '-';
    g_string_append_len(out, digits + at, (gssize)sizeof digits - at);
}

static gint64 rounded(double value, int decimals) {
    static const double power[MOST_DECIMALS + 1] = {1, 10, 100, 1000};
    return (gint64)llround(value * power[decimals]);
}

/* Three decimals are a thousandth of a mm. */
void tapul_svg_number(GString *out, double value) {
    append_decimal(out, rounded(value, MOST_DECIMALS), MOST_DECIMALS, TRUE);
}

/* --- Frames --- */

const TapulSvgFrame *tapul_svg_frame(const TapulSvgWriter *w) {
    return &g_array_index(w->frames, TapulSvgFrame, w->frames->len - 1);
}

void tapul_svg_open_frame(TapulSvgWriter *w, TapulSvgFrame frame) {
    frame.decimals = 0;
    for (double step = 1; frame.decimals < MOST_DECIMALS; step /= 10) {
        if (step * frame.page_mm <= ROUNDING_MM * (1 + 1e-9))
            break;
        frame.decimals++;
    }
    g_array_append_val(w->frames, frame);
}

/* --- Attributes --- */

void tapul_svg_attribute(TapulSvgWriter *w, const char *name, double value) {
    g_string_append_printf(w->out, " %s=\"", name);
    tapul_svg_number(w->out, value);
    g_string_append_c(w->out, '"');
}

/* Colours are 8 bit a channel, as everywhere in SVG. */
void tapul_svg_colour(TapulSvgWriter *w, const char *name, TapulColour colour) {
    if (colour.alpha <= 0) {
        g_string_append_printf(w->out, " %s=\"none\"", name);
        return;
    }
    g_string_append_printf(w->out, " %s=\"#%02x%02x%02x\"", name,
                           (int)lround(CLAMP(colour.red, 0, 1) * 255),
                           (int)lround(CLAMP(colour.green, 0, 1) * 255),
                           (int)lround(CLAMP(colour.blue, 0, 1) * 255));
    if (colour.alpha < 1) {
        g_autofree char *opacity = g_strconcat(name, "-opacity", NULL);
        tapul_svg_attribute(w, opacity, colour.alpha);
    }
}

/* A number after others, where *pointed says whether the last of them has a decimal point:
 * apart from it by a space only where it must be. */
static void append_next(GString *out, gint64 value, int decimals, gboolean *pointed) {
    gsize before = out->len;
    gboolean after_figure = g_ascii_isdigit(out->str[before - 1]);
    append_decimal(out, value, decimals, FALSE);
    char first = out->str[before];
    gboolean apart = !after_figure || first == '-' || (first == '.' && *pointed);
    *pointed = strchr(out->str + before, '.') != NULL;
    if (!apart)
        g_string_insert_c(out, (gssize)before, ' ');
}

typedef struct {
    gint64 x, y;
} Place;

/* Coordinates are counted in units of the last decimal and written from the one before, so that
 * they are short and roundings do not add up. */
void tapul_svg_path_data(TapulSvgWriter *w, const TapulPath *path) {
    static const char letter[] = {'M', 'l', 'c', 'z'};
    static const guint n_points[] = {1, 1, 3, 0};
    const TapulSvgFrame *frame = tapul_svg_frame(w);
    const TapulVec2 *points = (const TapulVec2 *)(const void *)path->points->data;
    Place start = {0, 0}, pen = {0, 0};
    int verb_before = -1;
    gboolean pointed = FALSE;
    g_string_append(w->out, " d=\"");
    for (guint i = 0; i < path->verbs->len; i++) {
        guint8 verb = g_array_index(path->verbs, guint8, i);
        Place from = verb == TAPUL_VERB_MOVE ? (Place){0, 0} : pen;
        if (verb != verb_before || verb == TAPUL_VERB_MOVE)
            g_string_append_c(w->out, letter[verb]);
        for (guint j = 0; j < n_points[verb]; j++, points++) {
            pen = (Place){rounded(points->x, frame->decimals),
                          rounded(frame->flip_mm - points->y, frame->decimals)};
            append_next(w->out, pen.x - from.x, frame->decimals, &pointed);
            append_next(w->out, pen.y - from.y, frame->decimals, &pointed);
        }
        if (verb == TAPUL_VERB_MOVE)
            start = pen;
        if (verb == TAPUL_VERB_CLOSE)
            pen = start;
        verb_before = verb;
    }
    g_string_append_c(w->out, '"');
}

/* --- Pens --- */

static gboolean same_dashes(const TapulPen *a, const TapulPen *b) {
    if (a->n_dash != b->n_dash)
        return FALSE;
    for (int i = 0; i < a->n_dash; i++)
        if (a->dash_mm[i] != b->dash_mm[i])
            return FALSE;
    return TRUE;
}

static void append_dashes(TapulSvgWriter *w, const TapulPen *pen) {
    g_string_append(w->out,
                    pen->n_dash == 0 ? " stroke-dasharray=\"none" : " stroke-dasharray=\"");
    for (int i = 0; i < pen->n_dash; i++) {
        if (i > 0)
            g_string_append_c(w->out, ' ');
        tapul_svg_number(w->out, pen->dash_mm[i]);
    }
    g_string_append_c(w->out, '"');
}

static void append_line_style(TapulSvgWriter *w, const TapulPen *pen,
                              const TapulPen *inherited) {
    static const char *const cap[] = {"butt", "round", "square"};
    static const char *const join[] = {"miter", "round", "bevel"};
    if (pen->width_mm != inherited->width_mm)
        tapul_svg_attribute(w, "stroke-width", pen->width_mm);
    if (pen->cap != inherited->cap)
        g_string_append_printf(w->out, " stroke-linecap=\"%s\"", cap[pen->cap]);
    if (pen->join != inherited->join)
        g_string_append_printf(w->out, " stroke-linejoin=\"%s\"", join[pen->join]);
    if (!same_dashes(pen, inherited))
        append_dashes(w, pen);
}

/* What the pen has that is not inherited. */
void tapul_svg_pen(TapulSvgWriter *w, const TapulPen *pen) {
    const TapulPen *inherited = &tapul_svg_frame(w)->pen;
    if (!tapul_same_colour(pen->fill, inherited->fill))
        tapul_svg_colour(w, "fill", pen->fill);
    if (pen->fill.alpha > 0 && pen->even_odd != inherited->even_odd)
        g_string_append(w->out,
                        pen->even_odd ? " fill-rule=\"evenodd\"" : " fill-rule=\"nonzero\"");
    if (!tapul_same_colour(pen->stroke, inherited->stroke))
        tapul_svg_colour(w, "stroke", pen->stroke);
    if (pen->stroke.alpha > 0)
        append_line_style(w, pen, inherited);
}
