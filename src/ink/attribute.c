/* The words of the trace: numbers, matrices, styles and path data out of XML attributes.
 * Stands under the trace; nothing here trusts what it reads. Grammar: SVG 1.1,
 * sections 4.2, 7.6 and 8.3. */
#include "ink/attribute.h"

#include <string.h>

/* Further off than any page: 100 m at the finest units. Keeps every later product finite. */
#define COORDINATE_LIMIT 1e9

const char *tapul_attribute(const xmlNode *node, const char *name) {
    for (const xmlAttr *each = node->properties; each; each = each->next)
        if (strcmp((const char *)each->name, name) == 0) {
            const xmlNode *text = each->children;
            return text && text->type == XML_TEXT_NODE && text->content
                       ? (const char *)text->content
                       : "";
        }
    return NULL;
}

/* Reads a number and steps over it and over a comma or blanks behind it. */
static gboolean next_number(const char **text, double *value) {
    const char *start = *text + strspn(*text, " \t\r\n,");
    /* Keeps out the words strtod knows: "inf", "nan", and hexadecimal. */
    gsize width = strspn(start, "+-.0123456789eE");
    char *end = NULL;
    double number = width > 0 ? g_ascii_strtod(start, &end) : 0;
    if (width == 0 || end == start || end > start + width || !(fabs(number) < COORDINATE_LIMIT))
        return FALSE;
    *value = number;
    *text = end + strspn(end, " \t\r\n,");
    return TRUE;
}

double tapul_attribute_number(const xmlNode *node, const char *name, double fallback) {
    const char *text = tapul_attribute(node, name);
    double value = fallback;
    return text && next_number(&text, &value) ? value : fallback;
}

char *tapul_attribute_reference(const char *text) {
    if (!text)
        return NULL;
    text += strspn(text, " ");
    if (g_str_has_prefix(text, "url("))
        text += strlen("url(");
    if (*text != '#')
        return NULL;
    return g_strndup(text + 1, strcspn(text + 1, ") "));
}

typedef struct {
    const char *name;
    guint least, most;
} TransformWord;

static const TransformWord transform_words[] = {
    {"matrix", 6, 6}, {"translate", 1, 2}, {"scale", 1, 2},
    {"rotate", 1, 3}, {"skewX", 1, 1},     {"skewY", 1, 1},
};

static void set_transform(cairo_matrix_t *matrix, const char *name, const double *v, guint n) {
    cairo_matrix_init_identity(matrix);
    if (strcmp(name, "matrix") == 0) {
        cairo_matrix_init(matrix, v[0], v[1], v[2], v[3], v[4], v[5]);
    } else if (strcmp(name, "translate") == 0) {
        cairo_matrix_translate(matrix, v[0], n > 1 ? v[1] : 0);
    } else if (strcmp(name, "scale") == 0) {
        cairo_matrix_init_scale(matrix, v[0], n > 1 ? v[1] : v[0]);
    } else if (strcmp(name, "rotate") == 0) {
        cairo_matrix_translate(matrix, n > 2 ? v[1] : 0, n > 2 ? v[2] : 0);
        cairo_matrix_rotate(matrix, v[0] * G_PI / 180);
        cairo_matrix_translate(matrix, n > 2 ? -v[1] : 0, n > 2 ? -v[2] : 0);
    } else if (strcmp(name, "skewX") == 0) {
        matrix->xy = tan(v[0] * G_PI / 180);
    } else {
        matrix->yx = tan(v[0] * G_PI / 180);
    }
}

static gboolean next_transform(const char **text, cairo_matrix_t *matrix) {
    const TransformWord *word = NULL;
    for (gsize i = 0; i < G_N_ELEMENTS(transform_words) && !word; i++)
        if (g_str_has_prefix(*text, transform_words[i].name))
            word = &transform_words[i];
    if (!word)
        return FALSE;
    *text += strlen(word->name);
    *text += strspn(*text, " \t\r\n");
    if (**text != '(')
        return FALSE;
    (*text)++;
    double values[6];
    guint n = 0;
    while (n < word->most && next_number(text, &values[n]))
        n++;
    *text += strspn(*text, " \t\r\n");
    if (n < word->least || **text != ')')
        return FALSE;
    (*text)++;
    *text += strspn(*text, " \t\r\n,");
    set_transform(matrix, word->name, values, n);
    return TRUE;
}

static gboolean matrix_is_sound(const cairo_matrix_t *m) {
    return fabs(m->xx) < COORDINATE_LIMIT && fabs(m->yx) < COORDINATE_LIMIT &&
           fabs(m->xy) < COORDINATE_LIMIT && fabs(m->yy) < COORDINATE_LIMIT &&
           fabs(m->x0) < COORDINATE_LIMIT && fabs(m->y0) < COORDINATE_LIMIT;
}

gboolean tapul_attribute_matrix(const char *text, cairo_matrix_t *matrix) {
    cairo_matrix_init_identity(matrix);
    if (!text)
        return TRUE;
    text += strspn(text, " \t\r\n");
    while (*text) {
        cairo_matrix_t next;
        if (!next_transform(&text, &next))
            return FALSE;
        cairo_matrix_multiply(matrix, &next, matrix);
        if (!matrix_is_sound(matrix))
            return FALSE;
    }
    return TRUE;
}

TapulStyle tapul_style_defaults(void) {
    TapulStyle style = {.stroke_width = 1, .mitre_limit = 4};
    style.fill = (TapulPaint){.kind = TAPUL_PAINT_COLOUR, .opacity = 1};
    style.stroke = (TapulPaint){.kind = TAPUL_PAINT_NONE, .opacity = 1};
    return style;
}

static void read_paint(TapulPaint *paint, const char *value) {
    g_autofree char *server = tapul_attribute_reference(value);
    double part[3] = {0, 0, 0};
    if (server) {
        paint->kind = TAPUL_PAINT_SERVER;
        g_strlcpy(paint->server, server, sizeof paint->server);
    } else if (g_str_has_prefix(value, "rgb(")) {
        value += strlen("rgb(");
        for (int i = 0; i < 3 && next_number(&value, &part[i]); i++)
            value += strspn(value, "%");
        paint->kind = TAPUL_PAINT_COLOUR;
        paint->red = CLAMP(part[0] / 100, 0, 1);
        paint->green = CLAMP(part[1] / 100, 0, 1);
        paint->blue = CLAMP(part[2] / 100, 0, 1);
    } else {
        paint->kind = TAPUL_PAINT_NONE;
    }
}

static void read_dashes(TapulStyle *style, const char *value) {
    double length;
    style->dashes = 0;
    while (style->dashes < G_N_ELEMENTS(style->dash) && next_number(&value, &length))
        style->dash[style->dashes++] = fabs(length);
}

static void read_property(TapulStyle *style, const char *name, const char *value) {
    const char *number_text = value;
    double number = 0;
    gboolean is_number = next_number(&number_text, &number);
    if (strcmp(name, "fill") == 0 || strcmp(name, "stop-color") == 0)
        read_paint(&style->fill, value);
    else if (strcmp(name, "stroke") == 0)
        read_paint(&style->stroke, value);
    else if (strcmp(name, "fill-rule") == 0)
        style->even_odd = strcmp(value, "evenodd") == 0;
    else if (strcmp(name, "stroke-linecap") == 0)
        style->cap = strcmp(value, "round") == 0    ? TAPUL_CAP_ROUND
                     : strcmp(value, "square") == 0 ? TAPUL_CAP_SQUARE
                                                    : TAPUL_CAP_BUTT;
    else if (strcmp(name, "stroke-linejoin") == 0)
        style->join = strcmp(value, "round") == 0   ? TAPUL_JOIN_ROUND
                      : strcmp(value, "bevel") == 0 ? TAPUL_JOIN_BEVEL
                                                    : TAPUL_JOIN_MITRE;
    else if (strcmp(name, "stroke-dasharray") == 0)
        read_dashes(style, value);
    else if (!is_number)
        return;
    else if (strcmp(name, "fill-opacity") == 0 || strcmp(name, "stop-opacity") == 0)
        style->fill.opacity = CLAMP(number, 0, 1);
    else if (strcmp(name, "stroke-opacity") == 0)
        style->stroke.opacity = CLAMP(number, 0, 1);
    else if (strcmp(name, "stroke-width") == 0)
        style->stroke_width = fabs(number);
    else if (strcmp(name, "stroke-miterlimit") == 0)
        style->mitre_limit = fmax(number, 1);
    else if (strcmp(name, "stroke-dashoffset") == 0)
        style->dash_offset = number;
}

void tapul_style_apply(TapulStyle *style, const char *text) {
    if (!text)
        return;
    g_auto(GStrv) properties = g_strsplit(text, ";", -1);
    for (char **each = properties; *each; each++) {
        char *colon = strchr(*each, ':');
        if (!colon)
            continue;
        *colon = '\0';
        read_property(style, g_strstrip(*each), g_strstrip(colon + 1));
    }
}

static gboolean next_point(const char **text, const cairo_matrix_t *matrix, TapulVec2 *point) {
    if (!next_number(text, &point->x) || !next_number(text, &point->y))
        return FALSE;
    cairo_matrix_transform_point(matrix, &point->x, &point->y);
    return fabs(point->x) < COORDINATE_LIMIT && fabs(point->y) < COORDINATE_LIMIT;
}

/* cairo ends every closed path with a move to its start, which draws nothing. */
static void drop_last_moves(TapulPath *path) {
    while (path->verbs->len > 0 &&
           g_array_index(path->verbs, guint8, path->verbs->len - 1) == TAPUL_VERB_MOVE) {
        g_array_set_size(path->verbs, path->verbs->len - 1);
        g_array_set_size(path->points, path->points->len - 1);
    }
}

gboolean tapul_attribute_path(const char *text, const cairo_matrix_t *matrix, TapulPath *path) {
    TapulVec2 p[3];
    gboolean started = path->verbs->len > 0;
    text += strspn(text, " \t\r\n");
    while (*text) {
        char verb = *text++;
        int points = verb == 'C' ? 3 : verb == 'M' || verb == 'L' ? 1 : 0;
        if (points == 0 && verb != 'Z')
            return FALSE;
        for (int i = 0; i < points; i++)
            if (!next_point(&text, matrix, &p[i]))
                return FALSE;
        if (verb != 'M' && !started)
            return FALSE;
        started = TRUE;
        if (verb == 'M')
            tapul_path_move(path, p[0]);
        else if (verb == 'L')
            tapul_path_line(path, p[0]);
        else if (verb == 'C')
            tapul_path_curve(path, p[0], p[1], p[2]);
        else
            tapul_path_close(path);
        text += strspn(text, " \t\r\n");
    }
    drop_last_moves(path);
    return TRUE;
}
