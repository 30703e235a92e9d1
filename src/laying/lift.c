/* The way back: a design found on a plate is taken to the flat sheet it would have come from,
 * by the inverse of a laying rule. Its ink goes back mark by mark (lift_marks.c), a photograph
 * pixel by pixel (lift_picture.c); here the sheet gets its frame. */
#include "laying/lift_parts.h"

#include "ink/figures.h"
#include "ink/trace.h"

/* How much copper is left around a design: 3 % of its larger side, and at least 2 mm (common
 * practice, no source). */
#define MARGIN_SHARE    0.03
#define LEAST_MARGIN_MM 2.0

TapulLiftOptions tapul_lift_options_defaults(void) {
    return (TapulLiftOptions){.rule = TAPUL_LAYING_ROLLED, .tolerance_mm = 0.01};
}

void tapul_lifted_free(TapulLifted *lifted) {
    if (!lifted)
        return;
    tapul_laying_free(lifted->laying);
    tapul_ink_free(lifted->ink);
    g_free(lifted->rgba);
    g_free(lifted);
}

static TapulLaying *laying_by(const TapulGround *ground, const TapulLiftOptions *options,
                              TapulVec2 print_anchor_mm, GError **error) {
    TapulLayingOptions laying = {.rule = options->rule,
                                 .anchor = options->anchor,
                                 .print_anchor_mm = print_anchor_mm,
                                 .scale = 1,
                                 .turn_rad = options->turn_rad};
    return tapul_laying_new(ground, &laying, error);
}

/* --- How large the design is, the anchor at the origin --- */

static TapulBox box_of_marks(const GPtrArray *marks) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(marks, i);
        if (mark->paper || tapul_path_is_empty(mark->path))
            continue;
        TapulBox own = tapul_path_box(mark->path);
        TapulVec2 pen = {mark->width_mm / 2, mark->width_mm / 2};
        tapul_box_add(&box, tapul_vec2_sub(own.min, pen));
        tapul_box_add(&box, tapul_vec2_add(own.max, pen));
    }
    return box;
}

/* Of places of a photograph: their box, and the stretch there. */
static void measure_places(TapulLifted *lifted, const TapulGround *ground, const GArray *places,
                           TapulBox *box) {
    for (guint i = 0; i < places->len; i++) {
        TapulVec2 at;
        double s1, s2;
        gboolean folded;
        if (!tapul_lift_point(ground, lifted->laying, g_array_index(places, TapulVec2, i),
                              &at) ||
            !tapul_laying_stretch(lifted->laying, at, &s1, &s2, &folded))
            continue;
        tapul_box_add(box, at);
        lifted->stretch_min = fmin(lifted->stretch_min, s2);
        lifted->stretch_max = fmax(lifted->stretch_max, s1);
    }
}

/* What is shown reaches to its rim; what a rule can bring back of it may end before. */
static TapulBox measure_picture(TapulLifted *lifted, const TapulGround *ground,
                                const TapulRectified *rectified, const TapulPath *region,
                                guint *n) {
    g_autoptr(GArray) rim = tapul_lift_rim(rectified, region);
    g_autoptr(GArray) within = tapul_lift_points(NULL, rectified, region);
    TapulBox box = tapul_box_empty();
    lifted->stretch_min = INFINITY;
    measure_places(lifted, ground, rim, &box);
    measure_places(lifted, ground, within, &box);
    *n = rim->len;
    return box;
}

/* --- The sheet --- */

static void shift_marks(GPtrArray *marks, TapulVec2 by) {
    for (guint i = 0; i < marks->len; i++) {
        GArray *points = ((TapulMark *)g_ptr_array_index(marks, i))->path->points;
        for (guint k = 0; k < points->len; k++) {
            TapulVec2 *point = &g_array_index(points, TapulVec2, k);
            *point = tapul_vec2_add(*point, by);
        }
    }
}

static TapulInk *ink_from(GPtrArray *marks, const TapulInk *found, TapulVec2 size_mm) {
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->width_mm = size_mm.x;
    ink->height_mm = size_mm.y;
    ink->marks = g_ptr_array_ref(marks);
    ink->skipped = g_ptr_array_new_with_free_func(tapul_skipped_free);
    tapul_ink_measure(ink);
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    for (guint i = 0; found->motifs && i < found->motifs->len; i++)
        g_ptr_array_add(names, ((TapulMotif *)g_ptr_array_index(found->motifs, i))->id);
    tapul_ink_list_motifs(ink, names);
    return ink;
}

/* The plate mark around a design; where its lower left corner lies. */
static TapulVec2 set_plate_mark(TapulLifted *lifted, TapulBox design) {
    TapulVec2 size = tapul_vec2_sub(design.max, design.min);
    lifted->margin_mm = fmax(LEAST_MARGIN_MM, MARGIN_SHARE * fmax(size.x, size.y));
    lifted->width_mm = size.x + 2 * lifted->margin_mm;
    lifted->height_mm = size.y + 2 * lifted->margin_mm;
    return tapul_vec2(design.min.x - lifted->margin_mm, design.min.y - lifted->margin_mm);
}

static gboolean check_design(TapulBox design, const TapulLiftOptions *options, guint n,
                             GError **error) {
    if (!tapul_box_is_empty(design))
        return TRUE;
    if (n == 0)
        g_set_error_literal(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                            options->region
                                ? "nothing of the design lies within the region"
                                : "there is no design to lift: nothing of it is on the plate");
    else
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                    "the rule %s brings nothing of the design back from its anchor: another "
                    "anchor or rule may",
                    tapul_laying_rule_name(options->rule));
    return FALSE;
}

/* What of the design is there, and in what box, with the anchor at the origin. */
static TapulBox lift_design(TapulLifted *lifted, const TapulGround *ground,
                            const TapulInk *found, const TapulRectified *rectified,
                            const TapulLiftOptions *options, GPtrArray **marks, guint *n) {
    *marks = NULL;
    if (!found)
        return measure_picture(lifted, ground, rectified, options->region, n);
    double tangled_mm = 0;
    g_autoptr(GPtrArray) design = tapul_lift_design(found, options->region, &tangled_mm);
    TapulLiftedMarks lines = tapul_lift_marks(ground, lifted->laying, design, options);
    *n = design->len;
    *marks = lines.marks;
    lifted->lost_mm = lines.lost_mm + tangled_mm;
    lifted->stretch_min = lines.stretch_min;
    lifted->stretch_max = lines.stretch_max;
    return box_of_marks(lines.marks);
}

TapulLifted *tapul_lift(const TapulGround *ground, const TapulInk *found,
                        const TapulRectified *rectified, const TapulLiftOptions *options,
                        GError **error) {
    g_assert(found || rectified);
    g_assert(options->rule <= TAPUL_LAYING_VIEWED && options->tolerance_mm > 0);
    g_autoptr(TapulLifted) lifted = g_new0(TapulLifted, 1);
    lifted->rule = options->rule;
    lifted->laying = laying_by(ground, options, tapul_vec2(0, 0), error);
    if (!lifted->laying)
        return NULL;
    g_autoptr(GPtrArray) marks = NULL;
    guint n;
    TapulBox design = lift_design(lifted, ground, found, rectified, options, &marks, &n);
    if (!check_design(design, options, n, error))
        return NULL;
    lifted->anchor_mm = tapul_vec2_scale(set_plate_mark(lifted, design), -1);
    tapul_laying_free(lifted->laying);
    lifted->laying = laying_by(ground, options, lifted->anchor_mm, error);
    g_assert(lifted->laying); /* as it was, but for the frame */
    if (marks) {
        shift_marks(marks, lifted->anchor_mm);
        lifted->ink = ink_from(marks, found, tapul_vec2(lifted->width_mm, lifted->height_mm));
    }
    if (rectified)
        tapul_lift_picture(lifted, rectified, options);
    return g_steal_pointer(&lifted);
}

TapulInk *tapul_lifted_reversed(const TapulLifted *lifted) {
    const TapulInk *ink = lifted->ink;
    if (!ink)
        return NULL;
    g_autoptr(GPtrArray) marks =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    for (guint i = 0; i < ink->marks->len; i++) {
        TapulMark *mark = tapul_mark_copy(g_ptr_array_index(ink->marks, i));
        for (guint k = 0; k < mark->path->points->len; k++) {
            TapulVec2 *point = &g_array_index(mark->path->points, TapulVec2, k);
            point->x = ink->width_mm - point->x;
        }
        g_ptr_array_add(marks, mark);
    }
    return ink_from(marks, ink, tapul_vec2(ink->width_mm, ink->height_mm));
}
