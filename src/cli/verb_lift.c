/* tapul lift CASE: takes the design found on a case's plate back to the flat sheet it would
 * have come from, by one rule or by each in turn. */
#include "cli/lift_files.h"
#include "cli/verbs.h"

#include <tapul/case.h>

static char *rule_name, *region_id;

static const GOptionEntry entries[] = {
    {"rule", 0, 0, G_OPTION_ARG_STRING, &rule_name,
     "rolled, developed or viewed (default: the case's, or each in turn)", "R"},
    {"region", 0, 0, G_OPTION_ARG_STRING, &region_id,
     "lift only what lies within this field of the plate", "FIELD"},
    {0},
};

/* --- What is asked --- */

static gboolean take_rule(TapulCaseLift *lift, GError **error) {
    if (!rule_name)
        return TRUE;
    lift->has_rule = tapul_laying_rule_from_name(rule_name, &lift->rule) &&
                     lift->rule <= TAPUL_LAYING_VIEWED;
    if (!lift->has_rule)
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--rule %s: permitted: rolled, developed, viewed", rule_name);
    return lift->has_rule;
}

static gboolean take_region(TapulCase *question, GError **error) {
    if (!region_id)
        return TRUE;
    const TapulField *field = tapul_lift_field(question->plate, region_id, error);
    TapulPath *region =
        field ? tapul_lift_region(&question->ground, field->outline_mm, field->n, error) : NULL;
    if (!region) {
        g_prefix_error(error, "%s: --region: ", question->path);
        return FALSE;
    }
    tapul_path_free(question->lift.region);
    question->lift.region = region;
    g_free(question->lift.region_name);
    question->lift.region_name = g_strconcat("the field ", region_id, NULL);
    return TRUE;
}

static gboolean take_anchor(TapulCase *question, const GArray *points, GError **error) {
    TapulCaseLift *lift = &question->lift;
    if (points->len == 0) {
        g_set_error(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE,
                    "%s: lift: nothing of the design lies within %s", question->path,
                    lift->region_name ? lift->region_name : "the plate");
        return FALSE;
    }
    if (lift->has_anchor)
        return TRUE;
    double across_mm, up_mm;
    lift->has_anchor = tapul_lift_middle(&question->ground, points, &lift->anchor);
    if (lift->has_anchor &&
        tapul_plate_tape_from_spot(question->plate, lift->anchor, &across_mm, &up_mm))
        lift->place = g_strdup_printf(
            "the middle of the design: across %.2f, up %.2f mm by tape", across_mm, up_mm);
    else
        lift->place = g_strdup("the middle of the design");
    if (!lift->has_anchor)
        g_set_error(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE,
                    "%s: lift: no point of the design is on the plate", question->path);
    return lift->has_anchor;
}

/* --- Lifting --- */

static void show_lifting(double fraction, gpointer data) {
    tapul_show_progress(fraction, data, NULL);
}

/* One rule; NULL with an error. */
static TapulLifted *lift_by(const TapulCase *question, const TapulRectified *rectified,
                            TapulLayingRule rule, GError **error) {
    TapulLiftOptions options = tapul_lift_options_defaults();
    options.rule = rule;
    options.anchor = question->lift.anchor;
    options.turn_rad = question->lift.turn_rad;
    options.region = question->lift.region;
    options.progress = show_lifting;
    options.progress_data = (gpointer)tapul_laying_rule_name(rule);
    TapulLifted *lifted =
        tapul_lift(&question->ground, question->found, rectified, &options, error);
    if (!lifted)
        g_prefix_error(error, "%s: lift, %s: ", question->path, tapul_laying_rule_name(rule));
    return lifted;
}

/* By the rule that is asked for, or by each; a rule that cannot lift the design is noted, as
 * long as another can. */
static gboolean lift_all(const TapulCase *question, const TapulRectified *rectified,
                         GPtrArray *lifted, GPtrArray *notes, GError **error) {
    const TapulCaseLift *lift = &question->lift;
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        g_autoptr(GError) refused = NULL;
        if (lift->has_rule && (int)lift->rule != rule)
            continue;
        TapulLifted *one = lift_by(question, rectified, (TapulLayingRule)rule, &refused);
        if (one) {
            g_ptr_array_add(lifted, one);
            continue;
        }
        g_ptr_array_add(notes, g_strdup(refused->message));
        if (lift->has_rule || (rule == TAPUL_LAYING_VIEWED && lifted->len == 0)) {
            g_propagate_error(error, g_steal_pointer(&refused));
            return FALSE;
        }
    }
    return TRUE;
}

/* --- The report --- */

static void add_lifted(JsonBuilder *builder, const TapulLifted *lifted) {
    double edges_mm = 2 * lifted->margin_mm;
    const double anchor_mm[] = {lifted->anchor_mm.x, lifted->anchor_mm.y};
    tapul_report_text(builder, "rule", tapul_laying_rule_name(lifted->rule));
    tapul_report_number(builder, "width_mm", lifted->width_mm, 3);
    tapul_report_number(builder, "height_mm", lifted->height_mm, 3);
    tapul_report_number(builder, "margin_mm", lifted->margin_mm, 3);
    tapul_report_number(builder, "design_width_mm", lifted->width_mm - edges_mm, 3);
    tapul_report_number(builder, "design_height_mm", lifted->height_mm - edges_mm, 3);
    json_builder_set_member_name(builder, "print_anchor_mm");
    json_builder_begin_array(builder);
    for (guint i = 0; i < G_N_ELEMENTS(anchor_mm); i++)
        json_builder_add_double_value(builder, round(anchor_mm[i] * 1000) / 1000);
    json_builder_end_array(builder);
    tapul_report_number(builder, "ink_length_mm",
                        lifted->ink ? lifted->ink->ink_length_mm : NAN, 3);
    json_builder_set_member_name(builder, "stretch");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "min", lifted->stretch_min, 6);
    tapul_report_number(builder, "max", lifted->stretch_max, 6);
    json_builder_end_object(builder);
    tapul_report_number(builder, "lost_mm", lifted->ink ? lifted->lost_mm : NAN, 3);
    if (lifted->rgba)
        tapul_report_number(builder, "pixel_mm", lifted->pixel_mm, 4);
}

/* Where the rules differ most: on the first sheet, and by tape on the plate where that can be
 * told. */
static void add_difference(JsonBuilder *builder, const TapulCase *question,
                           const TapulLiftComparison *comparison) {
    TapulSpot spot;
    double across_mm, up_mm;
    json_builder_set_member_name(builder, "rules_differ_mm");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "max", comparison->max_mm, 3);
    json_builder_set_member_name(builder, "at");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "x_mm", comparison->at_mm.x, 2);
    tapul_report_number(builder, "y_mm", comparison->at_mm.y, 2);
    if (tapul_development_finder_spot(question->finder, comparison->at_developed_mm, &spot) &&
        tapul_plate_tape_from_spot(question->plate, spot, &across_mm, &up_mm)) {
        tapul_report_number(builder, "across_mm", across_mm, 2);
        tapul_report_number(builder, "up_mm", up_mm, 2);
    }
    json_builder_end_object(builder);
    json_builder_end_object(builder);
}

static JsonNode *report(const TapulCase *question, const TapulLiftSheet *sheet,
                        GPtrArray *notes, GPtrArray *files) {
    JsonBuilder *builder = tapul_report_begin("lift");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_fit(builder, question->plate);
    tapul_report_text(builder, "anchor", sheet->place);
    if (sheet->region_name)
        tapul_report_text(builder, "region", sheet->region_name);
    add_lifted(builder, sheet->lifted[0]);
    json_builder_set_member_name(builder, "lifted");
    json_builder_begin_array(builder);
    for (int i = 0; i < sheet->n; i++) {
        json_builder_begin_object(builder);
        add_lifted(builder, sheet->lifted[i]);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
    if (sheet->n > 1)
        add_difference(builder, question, sheet->comparison);
    if (question->found)
        tapul_report_number(builder, "found_beyond_edge_mm", question->found_lost_mm, 3);
    tapul_report_notes(builder, notes);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

/* --- The verb --- */

static JsonNode *lift(const TapulCall *call, TapulCase *question,
                      const TapulRectified *rectified, GError **error) {
    g_autoptr(GPtrArray) lifted =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_lifted_free);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) points =
        tapul_lift_points(question->found, rectified, question->lift.region);
    if (!take_anchor(question, points, error) ||
        !lift_all(question, rectified, lifted, notes, error))
        return NULL;
    TapulLifted *const *sheets = (TapulLifted *const *)lifted->pdata;
    g_autoptr(TapulLiftComparison) comparison =
        tapul_lift_compare(&question->ground, points, (int)lifted->len, sheets);
    TapulLiftSheet sheet = {.title = question->title,
                            .credit = question->credit,
                            .ground = &question->ground,
                            .place = question->lift.place,
                            .region_name = question->lift.region_name,
                            .n = (int)lifted->len,
                            .lifted = sheets,
                            .comparison = comparison};
    g_autofree char *folder = tapul_output_folder(call, error);
    if (!folder || !tapul_write_lifted(&sheet, folder, files, error))
        return NULL;
    tapul_note_fit(notes, question->plate);
    return report(question, &sheet, notes, files);
}

static TapulRectified *rectify(const TapulCase *question, GError **error) {
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    options.progress = tapul_show_progress;
    TapulRectified *rectified =
        tapul_rectify(question->plate, question->development, question->finder,
                      (TapulPhoto *const *)question->photos->pdata, (int)question->photos->len,
                      &options, error);
    if (!rectified)
        g_prefix_error(error, "%s: ", question->path);
    return rectified;
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulCaseOptions options = tapul_case_options_defaults();
    options.progress = tapul_show_progress;
    TapulCaseLift asked = {0};
    if (!take_rule(&asked, error))
        return NULL;
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &options, error);
    if (!question || !take_rule(&question->lift, error) || !take_region(question, error))
        return NULL;
    if (!question->found && question->photos->len == 0) {
        g_set_error(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE,
                    "%s: the case has no design to lift: 'found' (a tracing) or 'photo' is "
                    "needed",
                    call->file);
        return NULL;
    }
    if (question->photos->len == 0)
        return lift(call, question, NULL, error);
    g_autoptr(TapulRectified) rectified = rectify(question, error);
    return rectified ? lift(call, question, rectified, error) : NULL;
}

const TapulVerbEntry tapul_verb_lift = {
    "lift", "CASE", "takes a found design back to the sheet it would have come from", entries,
    run};
