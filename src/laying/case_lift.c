/* How a case wants its found design lifted: rule, anchor, turn, and which part of it. */
#include "laying/case_internal.h"
#include "plate/point.h"

#include <tapul/lift.h>

static void take_region(TapulCaseReading *reading, const TapulNode *node, const char *key,
                        const TapulVec2 *outline_mm, int n, const char *name) {
    TapulCase *made = reading->made;
    g_autoptr(GError) error = NULL;
    if (!made->development)
        return;
    made->lift.region = tapul_lift_region(&made->ground, outline_mm, n, &error);
    made->lift.region_name = g_strdup(name);
    if (error)
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, node, key), "%s: %s", key,
                             error->message);
}

static void read_field(TapulCaseReading *reading, const TapulNode *node, const char *id) {
    const TapulPlate *plate = reading->made->plate;
    g_autoptr(GError) error = NULL;
    if (!plate)
        return;
    const TapulField *field = tapul_lift_field(plate, id, &error);
    g_autofree char *name = g_strconcat("the field ", id, NULL);
    if (field)
        take_region(reading, node, "field", field->outline_mm, field->n, name);
    else
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, node, "field"), "field: %s",
                             error->message);
}

static void read_region(TapulCaseReading *reading, const TapulNode *node) {
    TapulDocument *document = reading->document;
    const char *id = tapul_document_text(document, node, "field", FALSE);
    g_autoptr(GArray) outline = tapul_document_points(document, node, "region_mm", FALSE, 3,
                                                      TAPUL_CASE_LARGEST_PRINT_MM);
    if (id && outline)
        tapul_document_fault(document, tapul_document_get(document, node, "region_mm"),
                             "region_mm: the part to lift is given as a field already");
    else if (id)
        read_field(reading, node, id);
    else if (outline)
        take_region(reading, node, "region_mm", (const TapulVec2 *)outline->data,
                    (int)outline->len, "the region given");
}

void tapul_case_read_lift(TapulCaseReading *reading) {
    static const char *const keys[] = {"rule",      "anchor", "turn_deg",
                                       "region_mm", "field",  NULL};
    static const char *const rules[] = {"rolled", "developed", "viewed", NULL};
    TapulDocument *document = reading->document;
    TapulCaseLift *lift = &reading->made->lift;
    const TapulNode *node = tapul_document_get(document, reading->root, "lift");
    double turn_deg = 0;

    tapul_document_expect_keys(document, node, keys);
    int rule = tapul_document_choice(document, node, "rule", FALSE, rules);
    lift->has_rule = rule >= 0 && tapul_laying_rule_from_name(rules[rule], &lift->rule);
    tapul_document_number(document, node, "turn_deg", FALSE, -360, 360, &turn_deg);
    lift->turn_rad = turn_deg * G_PI / 180;
    const TapulNode *anchor = tapul_document_get(document, node, "anchor");
    if (anchor) {
        lift->has_anchor =
            tapul_point_read(document, anchor, reading->made->plate, &lift->anchor);
        lift->place = tapul_case_describe_anchor(document, anchor);
    }
    read_region(reading, node);
}
