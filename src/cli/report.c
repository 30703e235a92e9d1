/* Reports: built with json-glib, printed as JSON or as lines for people. */
#include "cli/verbs.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

JsonBuilder *tapul_report_begin(const char *verb) {
    JsonBuilder *builder = json_builder_new();
    g_autofree char *schema = g_strdup_printf("tapul/%s-report/1", verb);
    json_builder_begin_object(builder);
    tapul_report_text(builder, "schema", schema);
    return builder;
}

JsonNode *tapul_report_end(JsonBuilder *builder) {
    json_builder_end_object(builder);
    JsonNode *root = json_builder_get_root(builder);
    g_object_unref(builder);
    return root;
}

static double rounded(double value, int decimals) {
    double power = pow(10, decimals);
    return round(value * power) / power;
}

void tapul_report_number(JsonBuilder *builder, const char *name, double value, int decimals) {
    json_builder_set_member_name(builder, name);
    if (isfinite(value))
        json_builder_add_double_value(builder, rounded(value, decimals));
    else
        json_builder_add_null_value(builder);
}

void tapul_report_integer(JsonBuilder *builder, const char *name, gint64 value) {
    json_builder_set_member_name(builder, name);
    json_builder_add_int_value(builder, value);
}

void tapul_report_text(JsonBuilder *builder, const char *name, const char *value) {
    json_builder_set_member_name(builder, name);
    json_builder_add_string_value(builder, value);
}

void tapul_report_files(JsonBuilder *builder, char *const *files) {
    json_builder_set_member_name(builder, "files");
    json_builder_begin_array(builder);
    for (int i = 0; files[i]; i++)
        json_builder_add_string_value(builder, files[i]);
    json_builder_end_array(builder);
}

void tapul_report_box(JsonBuilder *builder, const char *name, TapulBox box) {
    json_builder_set_member_name(builder, name);
    if (tapul_box_is_empty(box)) {
        json_builder_add_null_value(builder);
        return;
    }
    const double edges[] = {box.min.x, box.min.y, box.max.x, box.max.y};
    json_builder_begin_array(builder);
    for (guint i = 0; i < G_N_ELEMENTS(edges); i++)
        json_builder_add_double_value(builder, rounded(edges[i], 3));
    json_builder_end_array(builder);
}

void tapul_note_size(GPtrArray *notes, const char *name, const TapulInk *ink) {
    if (ink->size_assumed)
        g_ptr_array_add(
            notes,
            g_strdup_printf(
                "%s gives its size in pixels, not in a unit of length: taken as 96 to the "
                "inch, %.2f x %.2f mm; give the plate mark to be sure",
                name, ink->width_mm, ink->height_mm));
}

/* Below this, engraved hatching runs together (common practice, no source; the README asks it).
 */
#define COARSE_DPI 400.0

void tapul_note_scan(GPtrArray *notes, const char *name, const TapulInk *ink) {
    const TapulScan *scan = ink->scan;
    if (!scan)
        return;
    if (g_str_equal(scan->mark_from, "the whole picture"))
        g_ptr_array_add(
            notes, g_strdup_printf(
                       "%s: no plate mark is found with confidence: the whole picture, %.2f x "
                       "%.2f mm, is taken for the print; --crop (in a case crop_px) or --whole "
                       "(whole: true) makes it sure",
                       name, ink->width_mm, ink->height_mm));
    if (scan->dpi < COARSE_DPI)
        g_ptr_array_add(
            notes,
            g_strdup_printf("%s: %.0f dpi is coarse for engraved lines: those nearer than "
                            "%.2f mm run together; --areas (ink: areas) keeps their "
                            "outlines, a scan of %.0f dpi or more their lines",
                            name, scan->dpi, 3 * 25.4 / scan->dpi, COARSE_DPI));
    if (scan->pages > 1)
        g_ptr_array_add(
            notes, g_strdup_printf("%s holds %d pages: the first is read", name, scan->pages));
}

void tapul_report_fit(JsonBuilder *builder, const TapulPlate *plate) {
    const TapulPlateFitted *fitted = tapul_plate_fitted(plate);
    if (!fitted)
        return;
    json_builder_set_member_name(builder, "fit");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "width_stretch", fitted->stretch.x, 4);
    tapul_report_number(builder, "height_stretch", fitted->stretch.y, 4);
    tapul_report_number(builder, "depth_stretch", fitted->stretch.z, 4);
    tapul_report_number(builder, "uncertain_mm", fitted->uncertain_mm, 1);
    json_builder_end_object(builder);
}

void tapul_note_fit(GPtrArray *notes, const TapulPlate *plate) {
    const TapulPlateFitted *fitted = tapul_plate_fitted(plate);
    if (fitted)
        g_ptr_array_add(
            notes, g_strdup_printf(
                       "the plate is a type stretched to the measures given; the form "
                       "between them is the type's own, and another type so fitted may lie "
                       "%.0f mm from it: take readings before resting much on this",
                       fitted->uncertain_mm));
}

void tapul_report_notes(JsonBuilder *builder, const GPtrArray *notes) {
    json_builder_set_member_name(builder, "notes");
    json_builder_begin_array(builder);
    for (guint i = 0; i < notes->len; i++)
        json_builder_add_string_value(builder, g_ptr_array_index(notes, i));
    json_builder_end_array(builder);
}

/* --- For people --- */

/* Splits a field's unit from its name: "height_mm" is "height" in "mm". */
static const char *split_unit(char *name) {
    static const struct {
        const char *ending, *unit;
    } units[] = {{"_mm2", "mm\u00b2"}, {"_mm", "mm"}, {"_deg", "\u00b0"},
                 {"_rad", "rad"},      {"_g", "g"},   {"_l", "l"}};
    for (guint i = 0; i < G_N_ELEMENTS(units); i++) {
        if (!g_str_has_suffix(name, units[i].ending))
            continue;
        name[strlen(name) - strlen(units[i].ending)] = '\0';
        g_strdelimit(name, "_", ' ');
        return units[i].unit;
    }
    g_strdelimit(name, "_", ' ');
    return strcmp(name, "seconds") == 0 ? "s" : "";
}

static char *value_text(JsonNode *node) {
    if (json_node_is_null(node))
        return g_strdup("-");
    GType type = json_node_get_value_type(node);
    if (type == G_TYPE_STRING)
        return g_strdup(json_node_get_string(node));
    if (type == G_TYPE_BOOLEAN)
        return g_strdup(json_node_get_boolean(node) ? "yes" : "no");
    if (type == G_TYPE_INT64)
        return g_strdup_printf("%" G_GINT64_FORMAT, json_node_get_int(node));
    double value = json_node_get_double(node);
    return fabs(value) >= 1000 ? g_strdup_printf("%.0f", value)
                               : g_strdup_printf("%.6g", value);
}

static void print_node(const char *name, JsonNode *node, int depth);

/* A list's members, or an object's, on one line: "min 0.98, max 1.02". */
static gboolean is_flat(JsonNode *node) {
    if (JSON_NODE_HOLDS_VALUE(node) || json_node_is_null(node))
        return TRUE;
    g_autoptr(GList) members = JSON_NODE_HOLDS_OBJECT(node)
                                   ? json_object_get_values(json_node_get_object(node))
                                   : json_array_get_elements(json_node_get_array(node));
    for (GList *item = members; item; item = item->next)
        if (!JSON_NODE_HOLDS_VALUE(item->data) && !json_node_is_null(item->data))
            return FALSE;
    return TRUE;
}

static char *flat_text(JsonNode *node) {
    if (!JSON_NODE_HOLDS_OBJECT(node) && !JSON_NODE_HOLDS_ARRAY(node))
        return value_text(node);
    g_autoptr(GString) line = g_string_new(NULL);
    if (JSON_NODE_HOLDS_ARRAY(node)) {
        JsonArray *array = json_node_get_array(node);
        for (guint i = 0; i < json_array_get_length(array); i++) {
            g_autofree char *text = value_text(json_array_get_element(array, i));
            g_string_append_printf(line, "%s%s", i > 0 ? "  " : "", text);
        }
        return g_string_free(g_steal_pointer(&line), FALSE);
    }
    JsonObjectIter iterator;
    const char *name;
    JsonNode *value;
    json_object_iter_init_ordered(&iterator, json_node_get_object(node));
    while (json_object_iter_next_ordered(&iterator, &name, &value)) {
        if (json_node_is_null(value))
            continue;
        g_autofree char *label = g_strdup(name);
        const char *unit = split_unit(label);
        g_autofree char *text = value_text(value);
        g_string_append_printf(line, "%s%s %s%s%s", line->len > 0 ? ", " : "", label, text,
                               *unit ? " " : "", unit);
    }
    return g_string_free(g_steal_pointer(&line), FALSE);
}

static void print_list(const char *name, JsonArray *array, int depth) {
    g_autofree char *label = g_strdup(name);
    split_unit(label);
    if (json_array_get_length(array) == 0)
        return;
    printf("%*s%s:\n", 2 * depth, "", label);
    for (guint i = 0; i < json_array_get_length(array); i++) {
        JsonNode *item = json_array_get_element(array, i);
        if (is_flat(item)) {
            g_autofree char *text = flat_text(item);
            printf("%*s%s\n", 2 * depth + 2, "", text);
        } else {
            print_node("", item, depth + 1);
        }
    }
}

static void print_node(const char *name, JsonNode *node, int depth) {
    static const char *const listed[] = {"cautions", "files", "notes", NULL};
    if (JSON_NODE_HOLDS_ARRAY(node) && (!is_flat(node) || g_strv_contains(listed, name))) {
        print_list(name, json_node_get_array(node), depth);
    } else if (is_flat(node)) {
        g_autofree char *label = g_strdup(name);
        const char *unit = split_unit(label);
        g_autofree char *text = flat_text(node);
        if (*text)
            printf("%*s%-20s %s%s%s\n", 2 * depth, "", label, text, *unit ? " " : "", unit);
    } else {
        JsonObjectIter iterator;
        const char *member;
        JsonNode *value;
        if (*name)
            printf("%*s%s:\n", 2 * depth, "", name);
        json_object_iter_init_ordered(&iterator, json_node_get_object(node));
        while (json_object_iter_next_ordered(&iterator, &member, &value))
            if (strcmp(member, "schema") != 0)
                print_node(member, value, *name ? depth + 1 : depth);
        if (!*name && depth > 0)
            printf("\n");
    }
}

/* --- As JSON --- */

static void append_json(GString *text, JsonNode *node, int depth);

static void append_line(GString *text, int depth) {
    g_string_append_printf(text, "\n%*s", 2 * depth, "");
}

static void append_string(GString *text, const char *value) {
    g_autoptr(JsonNode) node = json_node_init_string(json_node_alloc(), value);
    g_autofree char *quoted = json_to_string(node, FALSE);
    g_string_append(text, quoted);
}

/* The shortest digits that read back as the same number: json-glib's own writer gives 0.1 as
 * 0.10000000000000001. */
static void append_double(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    for (int precision = 1; precision <= 17; precision++) {
        g_autofree char *format = g_strdup_printf("%%.%dg", precision);
        g_ascii_formatd(digits, sizeof digits, format, value);
        if (g_ascii_strtod(digits, NULL) == value)
            break;
    }
    g_string_append(text, digits);
}

static void append_array(GString *text, JsonArray *array, int depth) {
    guint n = json_array_get_length(array);
    g_string_append_c(text, '[');
    for (guint i = 0; i < n; i++) {
        if (i > 0)
            g_string_append_c(text, ',');
        append_line(text, depth + 1);
        append_json(text, json_array_get_element(array, i), depth + 1);
    }
    if (n > 0)
        append_line(text, depth);
    g_string_append_c(text, ']');
}

static void append_object(GString *text, JsonObject *object, int depth) {
    JsonObjectIter iterator;
    const char *name;
    JsonNode *value;
    gboolean first = TRUE;
    g_string_append_c(text, '{');
    json_object_iter_init_ordered(&iterator, object);
    while (json_object_iter_next_ordered(&iterator, &name, &value)) {
        if (!first)
            g_string_append_c(text, ',');
        first = FALSE;
        append_line(text, depth + 1);
        append_string(text, name);
        g_string_append(text, ": ");
        append_json(text, value, depth + 1);
    }
    if (!first)
        append_line(text, depth);
    g_string_append_c(text, '}');
}

static void append_json(GString *text, JsonNode *node, int depth) {
    if (JSON_NODE_HOLDS_OBJECT(node)) {
        append_object(text, json_node_get_object(node), depth);
    } else if (JSON_NODE_HOLDS_ARRAY(node)) {
        append_array(text, json_node_get_array(node), depth);
    } else if (!json_node_is_null(node) && json_node_get_value_type(node) == G_TYPE_DOUBLE) {
        append_double(text, json_node_get_double(node));
    } else {
        g_autofree char *plain = json_to_string(node, FALSE);
        g_string_append(text, plain);
    }
}

void tapul_report_print(JsonNode *report, gboolean json) {
    if (!json) {
        print_node("", report, 0);
        return;
    }
    g_autoptr(GString) text = g_string_new(NULL);
    append_json(text, report, 0);
    printf("%s\n", text->str);
}
