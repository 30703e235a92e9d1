/* How tall an SVG's letters are. librsvg 2.54 with pango asks FreeType for font size x scale^2
 * pixels to the em; where that is over 65535 the font fails, and stays failed, so the page's
 * units are chosen to stay under it. Stands before the renderer. */
#include "ink/svg_text.h"

#include "ink/attribute.h"

#include <string.h>

/* What CSS 2.1 (15.7) gives where nothing is said: medium, 12 px in librsvg, and the largest of
 * the words. */
#define MEDIUM_PX       12.0
#define LARGEST_WORD_PX 36.0
#define EX_PER_EM       0.5

static double size_from(const char *text, double parent_px) {
    static const struct {
        const char *unit;
        double pixels;
    } units[] = {{"px", 1},         {"pt", 96 / 72.0}, {"pc", 16},
                 {"mm", 96 / 25.4}, {"cm", 96 / 2.54}, {"in", 96}};
    char *end = NULL;
    double number = g_ascii_strtod(text, &end);
    if (end == text)
        return LARGEST_WORD_PX;
    if (*end == '%')
        return parent_px * number / 100;
    if (g_str_has_prefix(end, "em") || g_str_has_prefix(end, "rem"))
        return parent_px * number;
    if (g_str_has_prefix(end, "ex"))
        return parent_px * number * EX_PER_EM;
    for (gsize i = 0; i < G_N_ELEMENTS(units); i++)
        if (g_str_has_prefix(end, units[i].unit))
            return number * units[i].pixels;
    return number;
}

/* The largest size a style attribute or style sheet names; the fallback where it names none. */
static double largest_in(const char *style, double parent_px, double fallback) {
    static const char property[] = "font-size:", shorthand[] = "font:";
    double largest = -1;
    for (const char *at = strstr(style, property); at; at = strstr(at + 1, property)) {
        const char *value = at + strlen(property);
        largest = fmax(largest, size_from(value + strspn(value, " "), parent_px));
    }
    /* "font: italic bold 12px/30px Georgia": the first number after the words. */
    for (const char *at = strstr(style, shorthand); at; at = strstr(at + 1, shorthand)) {
        const char *value = at + strlen(shorthand);
        largest = fmax(largest, size_from(value + strcspn(value, "0123456789.;}"), parent_px));
    }
    return largest >= 0 ? largest : fallback;
}

static double own_size(const xmlNode *node, double parent_px) {
    const char *attribute = tapul_attribute(node, "font-size");
    const char *style = tapul_attribute(node, "style");
    double size_px = attribute ? size_from(attribute, parent_px) : parent_px;
    return style ? largest_in(style, parent_px, size_px) : size_px;
}

static double own_scale(const xmlNode *node) {
    cairo_matrix_t m;
    if (!tapul_attribute_matrix(tapul_attribute(node, "transform"), &m))
        return 1;
    return fmax(hypot(m.xx, m.yx), hypot(m.xy, m.yy));
}

static double sheet_size(const xmlNode *node) {
    double largest = 0;
    for (; node; node = node->next) {
        if (node->type != XML_ELEMENT_NODE)
            continue;
        if (strcmp((const char *)node->name, "style") == 0) {
            xmlChar *text = xmlNodeGetContent(node);
            largest = fmax(largest, text ? largest_in((const char *)text, MEDIUM_PX, 0) : 0);
            xmlFree(text);
        }
        largest = fmax(largest, sheet_size(node->children));
    }
    return largest;
}

static double tallest_under(const xmlNode *node, double size_px, double scale,
                            double sheet_px) {
    if (node->type != XML_ELEMENT_NODE)
        return 0;
    double own_px = own_size(node, size_px), own = scale * own_scale(node);
    const char *name = (const char *)node->name;
    gboolean is_text = strcmp(name, "text") == 0 || strcmp(name, "tspan") == 0;
    double tallest = is_text ? fmax(own_px, sheet_px) * own * own : 0;
    for (const xmlNode *each = node->children; each; each = each->next)
        tallest = fmax(tallest, tallest_under(each, own_px, own, sheet_px));
    return tallest;
}

double tapul_svg_tallest_text(const xmlNode *root) {
    return tallest_under(root, MEDIUM_PX, 1, sheet_size(root));
}
