/* Reading PLY (Turk 1994, The PLY polygon file format), text and both byte orders: the
 * vertices' x, y, z and the faces' vertex_indices; other elements and properties are passed
 * over by their declared types. */
#include "plate/mesh_text.h"

#include <string.h>

/* Far beyond any scanner's; bounds what a hostile header can make us keep. */
#define ELEMENT_LIMIT  64
#define PROPERTY_LIMIT 256

typedef enum { INT8, UINT8, INT16, UINT16, INT32, UINT32, FLOAT32, FLOAT64, NOT_A_TYPE } Type;

static const struct {
    const char *name, *other_name;
    gsize bytes;
} type_table[] = {
    {"char", "int8", 1},     {"uchar", "uint8", 1},    {"short", "int16", 2},
    {"ushort", "uint16", 2}, {"int", "int32", 4},      {"uint", "uint32", 4},
    {"float", "float32", 4}, {"double", "float64", 8},
};

/* What a property is to us. */
typedef enum { PASSED_OVER, X, Y, Z, CORNERS } Role;

typedef struct {
    Type type, count_type; /* count_type: NOT_A_TYPE unless it is a list */
    Role role;
} Property;

typedef enum { OTHER_ELEMENT, VERTICES, FACES } ElementKind;

typedef struct {
    ElementKind kind;
    double n;
    gsize line;
    int n_properties;
    Property property[PROPERTY_LIMIT];
} Element;

typedef enum { NO_FORM, TEXT, LITTLE_ENDIAN_BYTES, BIG_ENDIAN_BYTES } Form;

typedef struct {
    TapulSoup *soup;
    TapulText text; /* in the binary forms, only at and end are used after the header */
    Form form;
    int n_elements;
    Element *element; /* [ELEMENT_LIMIT] */
} Reader;

static gsize place(const Reader *reader) {
    return reader->soup->by_byte ? (gsize)(reader->text.at - reader->soup->bytes)
                                 : reader->text.line;
}

/* --- Header --- */

static gboolean refuse_word(Reader *reader, TapulWord word, const char *expected,
                            GError **error) {
    g_autofree char *quote = tapul_word_quote(word);
    return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, reader->text.line,
                            "found %s where %s was expected", quote, expected);
}

static gboolean read_format(Reader *reader, GError **error) {
    TapulWord word = tapul_text_word(&reader->text);
    if (tapul_word_is(word, "ascii"))
        reader->form = TEXT;
    else if (tapul_word_is(word, "binary_little_endian"))
        reader->form = LITTLE_ENDIAN_BYTES;
    else if (tapul_word_is(word, "binary_big_endian"))
        reader->form = BIG_ENDIAN_BYTES;
    else
        return refuse_word(reader, word, "ascii, binary_little_endian or binary_big_endian",
                           error);
    return TRUE;
}

static gboolean read_element(Reader *reader, GError **error) {
    if (reader->n_elements == ELEMENT_LIMIT)
        return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, reader->text.line,
                                "more than %d elements", ELEMENT_LIMIT);
    Element *element = &reader->element[reader->n_elements++];
    TapulWord name = tapul_text_word(&reader->text);
    element->kind = tapul_word_is(name, "vertex") ? VERTICES
                    : tapul_word_is(name, "face") ? FACES
                                                  : OTHER_ELEMENT;
    element->line = reader->text.line;
    return tapul_text_count(&reader->text, reader->soup, FALSE, "the element's count",
                            (double)reader->soup->length, &element->n, error);
}

static Type type_of(TapulWord word) {
    for (Type type = INT8; type < NOT_A_TYPE; type++)
        if (tapul_word_is(word, type_table[type].name) ||
            tapul_word_is(word, type_table[type].other_name))
            return type;
    return NOT_A_TYPE;
}

static Role role_of(const Element *element, const Property *property, TapulWord name) {
    gboolean is_list = property->count_type != NOT_A_TYPE;
    if (element->kind == FACES && is_list &&
        (tapul_word_is(name, "vertex_indices") || tapul_word_is(name, "vertex_index")))
        return CORNERS;
    if (element->kind != VERTICES || is_list)
        return PASSED_OVER;
    return tapul_word_is(name, "x")   ? X
           : tapul_word_is(name, "y") ? Y
           : tapul_word_is(name, "z") ? Z
                                      : PASSED_OVER;
}

static gboolean read_property(Reader *reader, GError **error) {
    static const char expected[] = "a type (char uchar short ushort int uint float double)";
    Element *element = reader->n_elements ? &reader->element[reader->n_elements - 1] : NULL;
    if (!element || element->n_properties == PROPERTY_LIMIT)
        return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, reader->text.line,
                                element
                                    ? "more than %d properties of an element"
                                    : "a property before any element, of which %d may follow",
                                element ? PROPERTY_LIMIT : ELEMENT_LIMIT);
    Property *property = &element->property[element->n_properties++];
    TapulWord word = tapul_text_word(&reader->text);
    property->count_type = NOT_A_TYPE;
    if (tapul_word_is(word, "list")) {
        word = tapul_text_word(&reader->text);
        property->count_type = type_of(word);
        if (property->count_type >= FLOAT32)
            return refuse_word(reader, word, "a whole number's type (char to uint)", error);
        word = tapul_text_word(&reader->text);
    }
    property->type = type_of(word);
    if (property->type == NOT_A_TYPE)
        return refuse_word(reader, word, expected, error);
    TapulWord name = tapul_text_word(&reader->text);
    if (!name.text)
        return refuse_word(reader, name, "the property's name", error);
    property->role = role_of(element, property, name);
    return TRUE;
}

/* Goes past the header's last line end and no further: the bytes that follow may look like one.
 */
static void pass_header_end(Reader *reader) {
    const char *bytes = reader->soup->bytes;
    TapulText *text = &reader->text;
    /* Only where lines end in a bare CR is an LF behind the last one the first byte of the
     * data. */
    gboolean bare = bytes[3] == '\r' && bytes[4] != '\n';
    gsize left = (gsize)(text->end - text->at);
    gboolean is_pair = left > 1 && text->at[0] == '\r' && text->at[1] == '\n';
    text->at += MIN(is_pair && !bare ? 2 : 1, left);
    text->line++;
}

static gboolean read_header(Reader *reader, GError **error) {
    TapulText *text = &reader->text;
    TapulWord magic = tapul_text_word(text);
    if (!tapul_word_is(magic, "ply"))
        return refuse_word(reader, magic, "ply", error);
    while (tapul_text_next_line(text)) {
        gboolean good = TRUE;
        TapulWord word = tapul_text_word(text);
        if (tapul_word_is(word, "end_header")) {
            while (text->at < text->end && (*text->at == ' ' || *text->at == '\t'))
                text->at++;
            pass_header_end(reader);
            return TRUE;
        }
        if (tapul_word_is(word, "format"))
            good = read_format(reader, error);
        else if (tapul_word_is(word, "element"))
            good = read_element(reader, error);
        else if (tapul_word_is(word, "property"))
            good = read_property(reader, error);
        else if (word.text && !tapul_word_is(word, "comment") &&
                 !tapul_word_is(word, "obj_info"))
            good = refuse_word(reader, word, "format, element, property, comment or end_header",
                               error);
        if (!good)
            return FALSE;
    }
    return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, text->line,
                            "the file ends within the header; end_header was expected");
}

/* --- Values --- */

static guint64 take_bits(Reader *reader, gsize bytes) {
    guint64 bits = 0;
    for (gsize i = 0; i < bytes; i++) {
        gsize at = reader->form == BIG_ENDIAN_BYTES ? i : bytes - 1 - i;
        bits = bits << 8 | (guint8)reader->text.at[at];
    }
    reader->text.at += bytes;
    return bits;
}

/* The next binary value; the caller has seen to it that the file has room for it. */
static double take_value(Reader *reader, Type type) {
    guint64 bits = take_bits(reader, type_table[type].bytes);
    guint32 short_bits = (guint32)bits;
    float single;
    double value;
    switch (type) {
    case INT8:
        return (gint8)bits;
    case INT16:
        return (gint16)bits;
    case INT32:
        return (gint32)bits;
    case FLOAT32:
        memcpy(&single, &short_bits, sizeof single);
        return (double)single;
    case FLOAT64:
        memcpy(&value, &bits, sizeof value);
        return value;
    default:
        return (double)bits;
    }
}

static gboolean read_value(Reader *reader, Type type, double *value, GError **error) {
    if (reader->form == TEXT)
        return tapul_text_number(&reader->text, reader->soup, FALSE, "a number", value, error);
    if ((gsize)(reader->text.end - reader->text.at) < type_table[type].bytes)
        return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, place(reader),
                                "the file ends within the elements its header announces");
    *value = take_value(reader, type);
    return TRUE;
}

static gboolean pass_values(Reader *reader, Type type, double n, GError **error) {
    if (reader->form != TEXT) {
        /* The list's length has been held against the bytes left. */
        reader->text.at += (gsize)n * type_table[type].bytes;
        return TRUE;
    }
    for (double i = 0; i < n; i++)
        if (!tapul_text_word(&reader->text).text)
            return refuse_word(reader, (TapulWord){NULL, 0}, "a value", error);
    return TRUE;
}

static gsize least_bytes(const Reader *reader, Type type) {
    /* As text, a digit and a blank. */
    return reader->form == TEXT ? 2 : type_table[type].bytes;
}

static gboolean read_list_length(Reader *reader, const Property *property, double *n,
                                 GError **error) {
    if (!read_value(reader, property->count_type, n, error))
        return FALSE;
    gsize left = (gsize)(reader->text.end - reader->text.at) + (reader->form == TEXT);
    double room = (double)(left / least_bytes(reader, property->type));
    if (*n >= 0 && *n <= room && *n == floor(*n))
        return TRUE;
    return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_VALUE, place(reader),
                            "a list of %g values; 0 to %.0f are permitted by the bytes left",
                            *n, room);
}

static gboolean read_corners(Reader *reader, Type type, double n, GError **error) {
    tapul_soup_begin_face(reader->soup, place(reader));
    for (double k = 0; k < n; k++) {
        double vertex;
        if (!read_value(reader, type, &vertex, error) ||
            !tapul_soup_add_corner(reader->soup, vertex, error))
            return FALSE;
    }
    return tapul_soup_end_face(reader->soup, error);
}

static gboolean read_list(Reader *reader, const Property *property, GError **error) {
    double n;
    if (!read_list_length(reader, property, &n, error))
        return FALSE;
    if (property->role == CORNERS)
        return read_corners(reader, property->type, n, error);
    return pass_values(reader, property->type, n, error);
}

static gboolean read_scalar(Reader *reader, const Property *property, double xyz[3],
                            GError **error) {
    if (property->role != PASSED_OVER)
        return read_value(reader, property->type, &xyz[property->role - X], error);
    gsize left = (gsize)(reader->text.end - reader->text.at);
    if (reader->form != TEXT && left < type_table[property->type].bytes)
        return read_value(reader, property->type, &(double){0}, error);
    return pass_values(reader, property->type, 1, error);
}

/* --- Elements --- */

static gboolean check_element(const Reader *reader, const Element *element, GError **error) {
    int n_of_role[CORNERS + 1] = {0};
    gsize bytes = 0;
    for (int i = 0; i < element->n_properties; i++) {
        const Property *property = &element->property[i];
        n_of_role[property->role]++;
        bytes += least_bytes(reader, property->count_type == NOT_A_TYPE ? property->type
                                                                        : property->count_type);
    }
    if (element->kind == VERTICES &&
        (n_of_role[X] != 1 || n_of_role[Y] != 1 || n_of_role[Z] != 1))
        return tapul_soup_fault(
            reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, element->line,
            "element vertex has %d properties x, %d y, %d z; one of each is expected",
            n_of_role[X], n_of_role[Y], n_of_role[Z]);
    if (element->kind == FACES && element->n > 0 && n_of_role[CORNERS] != 1)
        return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, element->line,
                                "element face has %d lists vertex_indices; one is expected",
                                n_of_role[CORNERS]);
    gsize left = (gsize)(reader->text.end - reader->text.at) + (reader->form == TEXT);
    if (bytes == 0 || element->n <= (double)(left / bytes))
        return TRUE;
    return tapul_soup_fault(
        reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, element->line,
        "%.0f elements are announced, but the file has room for %" G_GSIZE_FORMAT, element->n,
        left / bytes);
}

static gboolean read_row(Reader *reader, const Element *element, GError **error) {
    double xyz[3] = {0, 0, 0};
    gsize from = place(reader);
    for (int i = 0; i < element->n_properties; i++) {
        const Property *property = &element->property[i];
        gboolean good = property->count_type == NOT_A_TYPE
                            ? read_scalar(reader, property, xyz, error)
                            : read_list(reader, property, error);
        if (!good)
            return FALSE;
    }
    return element->kind != VERTICES || tapul_soup_add_vertex(reader->soup, xyz, from, error);
}

/* As text, a row is a line; what some programs add behind its last value is passed over. */
static gboolean read_rows(Reader *reader, const Element *element, GError **error) {
    for (double row = 0; row < element->n && element->n_properties > 0; row++) {
        if (reader->form == TEXT)
            tapul_text_seek_word(&reader->text);
        if (!read_row(reader, element, error))
            return FALSE;
        if (reader->form == TEXT)
            tapul_text_next_line(&reader->text);
    }
    return TRUE;
}

static gboolean read_all(Reader *reader, GError **error) {
    if (!read_header(reader, error))
        return FALSE;
    if (reader->form == NO_FORM)
        return tapul_soup_fault(reader->soup, error, TAPUL_MESH_ERROR_SYNTAX, reader->text.line,
                                "the header has no format line");
    for (int i = 0; i < reader->n_elements; i++) {
        reader->soup->by_byte = FALSE;
        if (!check_element(reader, &reader->element[i], error))
            return FALSE;
        reader->soup->by_byte = reader->form != TEXT;
        if (!read_rows(reader, &reader->element[i], error))
            return FALSE;
    }
    return TRUE;
}

gboolean tapul_mesh_read_ply(TapulSoup *soup, GError **error) {
    Reader reader = {.soup = soup, .text = tapul_text_new(soup)};
    reader.element = g_new0(Element, ELEMENT_LIMIT);
    gboolean good = read_all(&reader, error);
    g_free(reader.element);
    return good;
}
