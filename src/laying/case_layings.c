/* The pairs and layings of a case: what names points of its plate. */
#include "laying/case_internal.h"
#include "plate/point.h"

#include <string.h>

#define LARGEST_PRINT_MM TAPUL_CASE_LARGEST_PRINT_MM

/* --- Pairs --- */

static void read_pair(TapulCaseReading *reading, TapulTable *table, int row) {
    TapulCase *made = reading->made;
    const char *id = tapul_table_text(table, row, tapul_table_column(table, "print"));
    TapulPair pair = {.print = tapul_case_print_index(made, id)};
    int x = tapul_table_column(table, "print_x_mm"),
        y = tapul_table_column(table, "print_y_mm");

    if (pair.print < 0)
        tapul_table_fault(table, row, "print: '%s' is none of the case's prints", id);
    gboolean good = tapul_table_number(table, row, x, -LARGEST_PRINT_MM, LARGEST_PRINT_MM,
                                       &pair.print_mm.x);
    good = tapul_table_number(table, row, y, -LARGEST_PRINT_MM, LARGEST_PRINT_MM,
                              &pair.print_mm.y) &&
           good;
    if (!made->development || !tapul_point_read_row(table, row, made->plate, &pair.spot) ||
        !good || pair.print < 0)
        return;
    pair.name = g_strdup(tapul_table_text(table, row, tapul_table_column(table, "name")));
    pair.developed_mm = tapul_development_point_mm(made->development, pair.spot);
    g_ptr_array_add(made->pairs, g_memdup2(&pair, sizeof pair));
}

static gboolean read_pair_table(TapulCaseReading *reading, const char *path, GError **error) {
    static const char *const columns[] = {
        "print",       "name",       "print_x_mm", "print_y_mm", "plate_across_mm",
        "plate_up_mm", "plate_x_mm", "plate_y_mm", "plate_z_mm", NULL};
    g_autoptr(TapulTable) table = tapul_table_load(path, error);
    if (!table)
        return FALSE;
    tapul_table_expect_columns(table, columns);
    for (int k = 0; k < 4; k++)
        if (tapul_table_column(table, columns[k]) < 0)
            tapul_table_fault(table, -1, "the column '%s' is missing", columns[k]);
    if (!tapul_table_check(table, error))
        return FALSE;
    for (int row = 0; row < tapul_table_n_rows(table); row++)
        read_pair(reading, table, row);
    return tapul_table_check(table, error);
}

void tapul_case_read_pairs(TapulCaseReading *reading) {
    g_autoptr(GError) error = NULL;
    const char *file = tapul_document_text(reading->document, reading->root, "pairs", FALSE);
    if (!file)
        return;
    g_autofree char *path = tapul_document_resolve(reading->document, file);
    if (read_pair_table(reading, path, &error))
        return;
    g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
    for (guint i = 0; lines[i]; i++)
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, reading->root, "pairs"),
                             "pairs: %s", lines[i]);
}

/* --- Layings --- */

char *tapul_case_describe_anchor(const TapulDocument *document, const TapulNode *anchor) {
    static const char *const keys[][2] = {{"across_mm", "up_mm"}, {"x_mm", "y_mm"}};
    static const char *const words[] = {"across %s, up %s mm by tape",
                                        "x %s, y %s mm from the front"};
    for (guint i = 0; i < G_N_ELEMENTS(keys); i++) {
        const char *first = tapul_node_text(tapul_document_get(document, anchor, keys[i][0]));
        const char *second = tapul_node_text(tapul_document_get(document, anchor, keys[i][1]));
        if (first && second)
            return i == 0 ? g_strdup_printf(words[0], first, second)
                          : g_strdup_printf(words[1], first, second);
    }
    return g_strdup("a point in space");
}

/* Gives a pinned laying the case's pairs of its print. */
static void take_pins(TapulCaseReading *reading, const TapulNode *node,
                      TapulCaseLaying *laying) {
    TapulCase *made = reading->made;
    g_autoptr(GArray) from = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    g_autoptr(GArray) to = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = 0; i < made->pairs->len; i++) {
        const TapulPair *pair = g_ptr_array_index(made->pairs, i);
        if (pair->print != laying->print)
            continue;
        g_array_append_val(from, pair->print_mm);
        g_array_append_val(to, pair->developed_mm);
    }
    if (from->len < 3)
        tapul_document_fault(
            reading->document, node,
            "rule: pinned needs at least 3 pairs of its print, the case has %u", from->len);
    laying->options.n_pins = (int)from->len;
    laying->options.pin_print_mm = g_memdup2(from->data, from->len * sizeof(TapulVec2));
    laying->options.pin_developed_mm = g_memdup2(to->data, to->len * sizeof(TapulVec2));
    laying->options.pick_sd_mm = made->pick_sd_mm;
    laying->place = g_strdup_printf("%u pairs", from->len);
}

/* The keys that a rule's layings may have; of an unknown rule those of all. */
static const char *const placed_keys[] = {"print",           "rule",  "anchor",
                                          "print_anchor_mm", "scale", "turn_deg",
                                          "reversed",        "show",  NULL};
static const char *const pinned_keys[] = {"print", "rule", "show", NULL};
static const char *const bordered_keys[] = {"print", "rule",     "along",     "smooth",
                                            "from",  "to",       "offset_mm", "repeat_mm",
                                            "scale", "reversed", "show",      NULL};
static const char *const filled_keys[] = {
    "print", "rule", "field", "print_frame_mm", "field_corners", "reversed", "show", NULL};
static const char *const all_keys[] = {"print",         "rule",
                                       "anchor",        "print_anchor_mm",
                                       "scale",         "turn_deg",
                                       "along",         "smooth",
                                       "from",          "to",
                                       "offset_mm",     "repeat_mm",
                                       "field",         "print_frame_mm",
                                       "field_corners", "reversed",
                                       "show",          NULL};

static const char *const rule_names[] = {"rolled", "developed", "viewed", "pinned",
                                         "filled", "bordered",  NULL};

static const char *const *keys_of(int rule) {
    TapulLayingRule named;
    if (rule < 0 || !tapul_laying_rule_from_name(rule_names[rule], &named))
        return all_keys;
    return named == TAPUL_LAYING_BORDERED ? bordered_keys
           : named == TAPUL_LAYING_FILLED ? filled_keys
           : named == TAPUL_LAYING_PINNED ? pinned_keys
                                          : placed_keys;
}

static void read_anchor(TapulCaseReading *reading, const TapulNode *node,
                        TapulCaseLaying *laying) {
    const TapulNode *anchor = tapul_document_get(reading->document, node, "anchor");
    if (!anchor) {
        tapul_document_fault(reading->document, node,
                             "the key 'anchor' is missing: the point of the plate to lay from");
        return;
    }
    tapul_point_read(reading->document, anchor, reading->made->plate, &laying->options.anchor);
    laying->place = tapul_case_describe_anchor(reading->document, anchor);
}

static void read_by_rule(TapulCaseReading *reading, const TapulNode *node,
                         TapulCaseLaying *laying) {
    switch (laying->options.rule) {
    case TAPUL_LAYING_PINNED:
        take_pins(reading, node, laying);
        break;
    case TAPUL_LAYING_BORDERED:
        tapul_case_read_border(reading, node, laying);
        break;
    case TAPUL_LAYING_FILLED:
        tapul_case_read_fill(reading, node, laying);
        break;
    default:
        read_anchor(reading, node, laying);
    }
}

static void read_show(TapulCaseReading *reading, const TapulNode *node,
                      TapulCaseLaying *laying) {
    static const char *const names[] = {"ink", "picture", "both", NULL};
    int show = tapul_document_choice(reading->document, node, "show", FALSE, names);
    if (show <= TAPUL_SHOW_INK)
        return;
    laying->show = (TapulShow)show;
    const TapulPrint *print =
        laying->print >= 0 ? g_ptr_array_index(reading->made->prints, laying->print) : NULL;
    if (print && print->ink && !print->ink->scan)
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, node, "show"),
                             "show: '%s' needs a scan, and the print '%s' is none: it has no "
                             "picture; expected ink",
                             names[show], print->id);
}

static void read_laying(TapulCaseReading *reading, const TapulNode *node) {
    TapulDocument *document = reading->document;
    TapulCase *made = reading->made;
    TapulCaseLaying *laying = g_new0(TapulCaseLaying, 1);
    TapulLayingOptions *options = &laying->options;
    double turn_deg = 0;

    g_ptr_array_add(made->layings, laying);
    int rule = tapul_document_choice(document, node, "rule", TRUE, rule_names);
    tapul_document_expect_keys(document, node, keys_of(rule));
    const char *id = tapul_document_text(document, node, "print", TRUE);
    laying->print = tapul_case_print_index(made, id);
    if (id && laying->print < 0)
        tapul_document_fault(document, tapul_document_get(document, node, "print"),
                             "print: '%s' is none of the case's prints", id);
    options->scale = 1;
    tapul_document_number(document, node, "scale", FALSE, 0.01, 100, &options->scale);
    tapul_document_number(document, node, "turn_deg", FALSE, -360, 360, &turn_deg);
    options->turn_rad = turn_deg * G_PI / 180;
    options->reversed = tapul_document_flag(document, node, "reversed", FALSE);
    const TapulPrint *print =
        laying->print >= 0 ? g_ptr_array_index(made->prints, laying->print) : NULL;
    if (print && print->ink)
        options->print_anchor_mm =
            tapul_vec2(print->ink->width_mm / 2, print->ink->height_mm / 2);
    tapul_document_pair(document, node, "print_anchor_mm", FALSE, -LARGEST_PRINT_MM,
                        LARGEST_PRINT_MM, &options->print_anchor_mm);
    read_show(reading, node, laying);
    if (rule < 0 || laying->print < 0)
        return;
    tapul_laying_rule_from_name(rule_names[rule], &options->rule);
    read_by_rule(reading, node, laying);
}

void tapul_case_read_layings(TapulCaseReading *reading) {
    const TapulNode *list = tapul_document_get(reading->document, reading->root, "layings");
    int n = tapul_document_list_length(reading->document, list, "layings");
    for (int i = 0; i < n; i++)
        read_laying(reading, tapul_document_list_item(reading->document, list, i));
}
