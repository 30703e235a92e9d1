/* What an SVG would cost its renderer, foreseen and bounded: elements, parts that repeat parts,
 * and crossings within a path, for librsvg has cairo find them all to know a path's extent.
 * Stands before the renderer. */
#include "ink/svg_burden.h"

#include "ink/attribute.h"
#include "ink/region.h"
#include "ink/tangle.h"

#include <string.h>

/* Reading and drawing one costs 20 to 45 microseconds (measured): more than any print holds,
 * and an end within half a minute. Parts repeated need less text, so they are held shorter. */
#define ELEMENTS_MAX 400000.0
#define REPEATED_MAX 200000.0
/* Chains of parts of parts; the renderer's own limit is not far above. */
#define DEPTH_MAX 500
/* Each costs cairo half a microsecond, three times over. */
#define CROSSINGS_MAX 1e6

typedef struct {
    GHashTable *ids;   /* id to node */
    GHashTable *known; /* node to its count of elements, as double* */
    double elements, crossings;
    guint depth;
} Burden;

/* Reads n numbers; FALSE if there are fewer. */
static gboolean read_numbers(const char **text, double *values, guint n) {
    for (guint i = 0; i < n; i++) {
        char *end = NULL;
        const char *number = *text + strspn(*text, " \t\r\n,");
        values[i] = g_ascii_strtod(number, &end);
        if (end == number)
            return FALSE;
        *text = end;
    }
    return TRUE;
}

typedef struct {
    TapulPath *path;
    TapulVec2 at, start;
} Pen;

/* Draws one command, n numbers behind its letter, as the line to its end. */
static void draw_command(Pen *pen, char letter, const double *v, guint n) {
    TapulVec2 origin = g_ascii_islower(letter) ? pen->at : tapul_vec2(0, 0);
    char verb = g_ascii_toupper(letter);
    if (verb == 'Z')
        pen->at = pen->start;
    else if (verb == 'H')
        pen->at.x = origin.x + v[0];
    else if (verb == 'V')
        pen->at.y = origin.y + v[0];
    else
        pen->at = tapul_vec2(origin.x + v[n - 2], origin.y + v[n - 1]);
    if (verb == 'Z') {
        tapul_path_close(pen->path);
    } else if (verb == 'M') {
        pen->start = pen->at;
        tapul_path_move(pen->path, pen->at);
    } else {
        tapul_path_line(pen->path, pen->at);
    }
}

/* Where the commands of path data lead, curves as the lines to their ends: near enough to see a
 * tangle. Anything unknown ends the reading, as it does the drawing (SVG 1.1, 8.3). */
static void read_corners(const char *data, TapulPath *path) {
    static const char commands[] = "MLTHVSQCAZ";
    static const guint8 counts[] = {2, 2, 2, 1, 1, 4, 4, 6, 7, 0};
    Pen pen = {.path = path};
    char letter = 0;
    while (*(data += strspn(data, " \t\r\n,"))) {
        gboolean is_number = strchr("+-.0123456789", *data) != NULL;
        if (!is_number)
            letter = *data++;
        else if (g_ascii_toupper(letter) == 'M')
            letter = letter == 'M' ? 'L' : 'l';
        const char *known = letter ? strchr(commands, g_ascii_toupper(letter)) : NULL;
        double v[7];
        if (!known || (is_number && *known == 'Z') ||
            !read_numbers(&data, v, counts[known - commands]))
            return;
        draw_command(&pen, letter, v, counts[known - commands]);
    }
}

static void count_crossings(Burden *burden, const xmlNode *node) {
    g_autoptr(TapulPath) path = tapul_path_new();
    const char *data = tapul_attribute(node, "d"), *points = tapul_attribute(node, "points");
    g_autofree char *polygon = points ? g_strconcat("M", points, NULL) : NULL;
    const char *text = data ? data : polygon;
    if (!text || !strpbrk(text, "0123456789"))
        return;
    read_corners(text, path);
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    burden->crossings += tapul_rings_crossings(rings, CROSSINGS_MAX);
}

static double count_drawn(Burden *burden, const xmlNode *node);

static double count_target(Burden *burden, const xmlNode *use) {
    g_autofree char *id = tapul_attribute_reference(tapul_attribute(use, "href"));
    const xmlNode *target = id ? g_hash_table_lookup(burden->ids, id) : NULL;
    return target ? count_drawn(burden, target) : 0;
}

/* Elements drawn under a node by way of use, parts of parts included. A part that holds itself
 * is refused by the renderer, and counts once here. */
static double count_drawn(Burden *burden, const xmlNode *node) {
    double *known = g_hash_table_lookup(burden->known, node);
    if (known)
        return *known;
    if (burden->depth > DEPTH_MAX)
        return INFINITY;
    double *count = g_new0(double, 1);
    g_hash_table_insert(burden->known, (gpointer)node, count);
    burden->depth++;
    double sum = 1;
    for (const xmlNode *each = node->children; each; each = each->next)
        if (each->type == XML_ELEMENT_NODE)
            sum += count_drawn(burden, each);
    if (strcmp((const char *)node->name, "use") == 0)
        sum += count_target(burden, node);
    burden->depth--;
    return *count = sum;
}

static void list_elements(Burden *burden, const xmlNode *node) {
    for (; node; node = node->next) {
        if (node->type != XML_ELEMENT_NODE)
            continue;
        const char *id = tapul_attribute(node, "id");
        if (id)
            g_hash_table_insert(burden->ids, (gpointer)id, (gpointer)node);
        burden->elements++;
        if (burden->crossings <= CROSSINGS_MAX)
            count_crossings(burden, node);
        list_elements(burden, node->children);
    }
}

static gboolean check(const char *what, double count, double most, GError **error) {
    if (count <= most)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE, "%s; permitted: up to %.0f", what,
                most);
    return FALSE;
}

gboolean tapul_svg_check_burden(const xmlNode *root, GError **error) {
    Burden burden = {.ids = g_hash_table_new(g_str_hash, g_str_equal)};
    burden.known = g_hash_table_new_full(NULL, NULL, NULL, g_free);
    list_elements(&burden, root);
    gboolean fits = check("holds too many elements", burden.elements, ELEMENTS_MAX, error) &&
                    check("draws too many elements by repeating parts (use)",
                          count_drawn(&burden, root) - burden.elements, REPEATED_MAX, error) &&
                    check("has paths that cross themselves too often", burden.crossings,
                          CROSSINGS_MAX, error);
    g_hash_table_unref(burden.ids);
    g_hash_table_unref(burden.known);
    return fits;
}
