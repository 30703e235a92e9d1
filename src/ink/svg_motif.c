/* Which groups of an SVG are motifs. cairo's trace loses ids, and drawing each group on its own
 * would draw the page as often as it has motifs; so a sign is slipped in before and behind each
 * group, a stroke with a mitre limit nobody uses, and one drawing names all. Stands before the
 * renderer; the trace reads the signs. */
#include "ink/svg_motif.h"

#include "ink/attribute.h"
#include "ink/trace.h"

#include <string.h>

/* Signs are numbered by a 24-bit colour. */
#define MOTIFS_MAX 0xffffff
/* A sign must not be culled as off the page: from the page's middle its stroke reaches a good
 * way over every edge. */
#define SIGN_WIDTH_PER_SPAN 2.5

static gboolean is_one_of(const xmlNode *node, const char *const *names) {
    return node->type == XML_ELEMENT_NODE && g_strv_contains(names, (const char *)node->name);
}

static gboolean is_container(const xmlNode *node) {
    static const char *const names[] = {"svg", "g", "a", "switch", NULL};
    return is_one_of(node, names);
}

static gboolean is_drawn(const xmlNode *node) {
    static const char *const names[] = {"path",  "rect",          "circle",  "ellipse",
                                        "line",  "polyline",      "polygon", "text",
                                        "image", "foreignObject", "use",     NULL};
    return is_one_of(node, names);
}

static gboolean is_named_group(const xmlNode *node) {
    const char *id = node->type == XML_ELEMENT_NODE ? tapul_attribute(node, "id") : NULL;
    return id && *id && strcmp((const char *)node->name, "g") == 0;
}

/* Adds the outermost named groups under a node; returns whether anything is drawn outside them.
 */
static gboolean find_named(xmlNode *node, GPtrArray *groups) {
    gboolean outside = FALSE;
    for (xmlNode *each = node->children; each; each = each->next) {
        if (is_named_group(each))
            g_ptr_array_add(groups, each);
        else if (is_container(each))
            outside = find_named(each, groups) || outside;
        else
            outside = is_drawn(each) || outside;
    }
    return outside;
}

static GPtrArray *choose_motifs(xmlNode *root) {
    GPtrArray *motifs = g_ptr_array_new();
    gboolean outside = find_named(root, motifs);
    while (!outside && motifs->len == 1) {
        GPtrArray *inner = g_ptr_array_new();
        outside = find_named(g_ptr_array_index(motifs, 0), inner);
        if (inner->len == 0) {
            g_ptr_array_unref(inner);
            break;
        }
        g_ptr_array_unref(motifs);
        motifs = inner;
    }
    return motifs;
}

/* The transform that takes the page's user units to those inside a node. */
static gboolean inverse_transform(const xmlNode *node, cairo_matrix_t *inverse) {
    cairo_matrix_t matrix, own;
    cairo_matrix_init_identity(&matrix);
    for (; node && node->type == XML_ELEMENT_NODE; node = node->parent)
        if (tapul_attribute_matrix(tapul_attribute(node, "transform"), &own))
            cairo_matrix_multiply(&matrix, &matrix, &own);
    *inverse = matrix;
    return cairo_matrix_invert(inverse) == CAIRO_STATUS_SUCCESS;
}

/* The page in user units: its middle, and width and height added up. */
typedef struct {
    TapulVec2 middle;
    double span;
} PageView;

static double length_in_pixels(const char *text) {
    static const struct {
        const char *unit;
        double pixels;
    } units[] = {
        {"mm", 96 / 25.4}, {"cm", 96 / 2.54}, {"in", 96}, {"pt", 96 / 72.0}, {"pc", 16}};
    char *end = NULL;
    double number = text ? g_ascii_strtod(text, &end) : 0;
    for (gsize i = 0; end && i < G_N_ELEMENTS(units); i++)
        if (g_str_has_prefix(end, units[i].unit))
            return number * units[i].pixels;
    return number;
}

static PageView page_view(const xmlNode *root) {
    double v[4] = {0, 0, length_in_pixels(tapul_attribute(root, "width")),
                   length_in_pixels(tapul_attribute(root, "height"))};
    const char *box = tapul_attribute(root, "viewBox");
    for (int i = 0; box && *box && i < 4; i++) {
        char *end = NULL;
        v[i] = g_ascii_strtod(box, &end);
        box = end + strspn(end, " \t\r\n,");
    }
    return (PageView){{v[0] + v[2] / 2, v[1] + v[3] / 2}, fabs(v[2]) + fabs(v[3])};
}

static xmlNode *new_sign(const xmlNode *beside, const PageView *view, double mitre_limit,
                         guint number) {
    xmlNode *sign = xmlNewNode(beside->ns, (const xmlChar *)"path");
    g_autofree char *style = g_strdup_printf(
        "display:inline!important;visibility:visible!important;opacity:1!important;"
        "fill:none!important;stroke:#%06x!important;stroke-opacity:1!important;"
        "stroke-width:%gpx!important;stroke-miterlimit:%g!important;stroke-dasharray:none!"
        "important;"
        "clip-path:none!important;marker:none!important",
        number, view->span * SIGN_WIDTH_PER_SPAN, mitre_limit);
    g_autofree char *data =
        g_strdup_printf("M%.9g %.9gh%.9g", view->middle.x, view->middle.y, view->span / 1000);
    xmlNewProp(sign, (const xmlChar *)"d", (const xmlChar *)data);
    xmlNewProp(sign, (const xmlChar *)"style", (const xmlChar *)style);
    cairo_matrix_t m;
    if (inverse_transform(beside->parent, &m)) {
        g_autofree char *transform = g_strdup_printf(
            "matrix(%.12g,%.12g,%.12g,%.12g,%.12g,%.12g)", m.xx, m.yx, m.xy, m.yy, m.x0, m.y0);
        xmlNewProp(sign, (const xmlChar *)"transform", (const xmlChar *)transform);
    }
    return sign;
}

void tapul_svg_sign_motifs(xmlNode *root, GPtrArray *motif_ids) {
    PageView view = page_view(root);
    g_autoptr(GPtrArray) motifs = choose_motifs(root);
    for (guint i = 0; i < motifs->len && i < MOTIFS_MAX; i++) {
        xmlNode *group = g_ptr_array_index(motifs, i);
        /* A switch draws only its first child that it can: a sign would take the group's place.
         */
        if (strcmp((const char *)group->parent->name, "switch") == 0)
            continue;
        guint number = motif_ids->len;
        g_ptr_array_add(motif_ids, g_strdup(tapul_attribute(group, "id")));
        xmlAddPrevSibling(group, new_sign(group, &view, TAPUL_TRACE_MOTIF_BEGINS, number));
        xmlAddNextSibling(group, new_sign(group, &view, TAPUL_TRACE_MOTIF_ENDS, number));
    }
}
