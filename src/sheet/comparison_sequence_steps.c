/* The steps from print to plate: which print is shown, and what each step shows and says.
 *
 * comparison_sequence.c finds them room and draws them.
 */
#include "sheet/comparison_sequence_parts.h"
#include "sheet/comparison_words.h"

/* --- Which print --- */

/* Ink as it comes to lie on the metal, mm2, as far as the laying's own scale says. */
static double laid_ink_mm2(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, asked->print);
    double length_mm = laid->ink->ink_length_mm;
    double scale = length_mm > 0 ? laid->ink->laid_length_mm / length_mm : 1;
    return print->ink->ink_area_mm2 * scale * scale;
}

int tapul_sequence_main_laying(const TapulComparison *comparison) {
    int best = -1;
    gboolean best_borders = TRUE;
    for (int i = 0; i < (int)comparison->laid->len; i++) {
        const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, i);
        gboolean borders = asked->options.rule == TAPUL_LAYING_BORDERED;
        if (best < 0 || (best_borders && !borders) ||
            (best_borders == borders &&
             laid_ink_mm2(comparison, i) > laid_ink_mm2(comparison, best))) {
            best = i;
            best_borders = borders;
        }
    }
    return best;
}

/* --- What is shown and said --- */

/* One sentence for a reader of fourteen. */
static const char *laid_sentence(TapulLayingRule rule) {
    switch (rule) {
    case TAPUL_LAYING_ROLLED:
    case TAPUL_LAYING_DEVELOPED:
        return "the sheet follows the curved metal, and looks narrower where the metal turns "
               "away from us";
    case TAPUL_LAYING_VIEWED:
        return "the design is drawn so that it looks right from the front, and so it is drawn "
               "out where the metal turns away";
    case TAPUL_LAYING_PINNED:
        return "the sheet is drawn to the places where its parts were found on the plate";
    case TAPUL_LAYING_BORDERED:
        return "the pattern is repeated along the plate, a whole number of times";
    case TAPUL_LAYING_FILLED:
        return "the sheet is stretched until it fills a field of the plate";
    }
    g_assert_not_reached();
}

static TapulStep *add_step(const TapulComparison *comparison, TapulSequence *sequence,
                           const char *id, TapulStepKind kind, TapulFigure *figure,
                           const char *label) {
    TapulStep *step = &sequence->steps[sequence->n++];
    g_autofree char *name = tapul_comparison_print_name(comparison, sequence->print);
    *step = (TapulStep){.id = id, .kind = kind, .figure = figure};
    step->label = tapul_comparison_capital(comparison, label);
    step->alternative = g_strdup_printf(
        "%s: %s%s%s", step->label, name, kind == TAPUL_STEP_VIEW ? ", " : "",
        kind == TAPUL_STEP_VIEW ? tapul_plate_name(comparison->question->plate) : "");
    return step;
}

static void add_prints(const TapulComparison *comparison, TapulSequence *sequence) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, sequence->laying);
    int print = sequence->print;
    double scale, turn_rad;
    gboolean reversed;
    GString *text = g_string_new(NULL);
    TapulStep *step = add_step(comparison, sequence, "as-engraved", TAPUL_STEP_PRINT,
                               tapul_figure_print(comparison, print, FALSE), "as engraved");
    tapul_comparison_add_take(
        text, tapul_comparison_sentence(comparison, "an engraver cut the lines into a sheet of "
                                                    "copper and printed them on paper"));
    tapul_comparison_add_take(text, tapul_leaf_print_words(comparison, print));
    step->text = g_string_free(text, FALSE);
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    if (!reversed)
        return;
    step = add_step(comparison, sequence, "reversed", TAPUL_STEP_PRINT,
                    tapul_figure_print(comparison, print, TRUE), "reversed");
    step->text = tapul_comparison_sentence(
        comparison, "put down with its face on the metal, the design comes out the other way "
                    "round, as in a mirror");
}

/* A laying's rule as a heading. */
static const char *rule_heading(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    return asked->options.rule == TAPUL_LAYING_VIEWED
               ? tapul_case_word(comparison->question, "drawn as the eye sees it")
               : tapul_comparison_rule_words(comparison, laying);
}

static double middle_x_mm(const TapulComparison *comparison, int laying) {
    TapulBox box = tapul_laid_box_mm(comparison, laying);
    return (box.min.x + box.max.x) / 2;
}

/* The first laying of the same print that follows another rule than the main one; -1: none. */
static int other_way(const TapulComparison *comparison, const TapulSequence *sequence) {
    const GPtrArray *layings = comparison->question->layings;
    const TapulCaseLaying *own = g_ptr_array_index(layings, sequence->laying);
    for (int i = 0; i < (int)layings->len; i++) {
        const TapulCaseLaying *other = g_ptr_array_index(layings, i);
        if (tapul_figure_same_print(comparison, own->print, other->print) &&
            own->options.rule != other->options.rule)
            return i;
    }
    return -1;
}

/* "Left drawn as the eye sees it, right pressed on over the metal". */
static void add_two_ways(const TapulComparison *comparison, TapulStep *step, GString *text,
                         int left, int right) {
    const TapulCase *question = comparison->question;
    const int sides[] = {left, right};
    const char *const words[] = {"left", "right"};
    g_autofree char *start = tapul_comparison_capital(comparison, "left");
    g_free(step->label);
    step->label =
        g_strdup_printf("%s %s, %s %s", start, rule_heading(comparison, left),
                        tapul_case_word(question, "right"), rule_heading(comparison, right));
    for (int i = 0; i < 2; i++) {
        const TapulCaseLaying *asked = g_ptr_array_index(question->layings, sides[i]);
        g_autofree char *side = tapul_comparison_capital(comparison, words[i]);
        tapul_comparison_add_take(
            text,
            g_strdup_printf("%s: %s.", side,
                            tapul_case_word(question, laid_sentence(asked->options.rule))));
    }
}

static void add_laid(const TapulComparison *comparison, TapulSequence *sequence) {
    const TapulCaseLaying *asked =
        g_ptr_array_index(comparison->question->layings, sequence->laying);
    int own = sequence->laying, other = other_way(comparison, sequence);
    GString *text = g_string_new(NULL);
    TapulStep *step =
        add_step(comparison, sequence, "laid", TAPUL_STEP_VIEW,
                 tapul_figure_view(comparison, 0, 0, TAPUL_SHOWN_LAID, own),
                 asked->options.rule == TAPUL_LAYING_VIEWED ? "drawn as the eye sees it"
                                                            : "laid over the metal");
    tapul_figure_show_print(step->figure);
    if (other < 0)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(comparison, laid_sentence(asked->options.rule)));
    else if (middle_x_mm(comparison, own) <= middle_x_mm(comparison, other))
        add_two_ways(comparison, step, text, own, other);
    else
        add_two_ways(comparison, step, text, other, own);
    if (comparison->question->found)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(
                      comparison, "the dashed lines are those found on the plate itself"));
    step->text = g_string_free(text, FALSE);
}

static void add_etched(const TapulComparison *comparison, TapulSequence *sequence) {
    gboolean found = comparison->question->found != NULL;
    GString *text = g_string_new(NULL);
    TapulStep *step = add_step(comparison, sequence, "as-etched", TAPUL_STEP_VIEW,
                               tapul_figure_view(comparison, 0, 0, TAPUL_SHOWN_ETCHED, -1),
                               found ? "what can still be made out" : "as etched");
    tapul_comparison_add_take(
        text, tapul_comparison_sentence(comparison,
                                        found ? "drawn bright on blackened ground"
                                              : "acid has eaten the metal around the design, "
                                                "and the hollows are blackened"));
    tapul_comparison_add_take(
        text, tapul_comparison_sentence(comparison,
                                        "on an etched plate dark and bright change places"));
    tapul_comparison_add_take(
        text, g_strdup(g_hash_table_lookup(comparison->question->sheet.captions, "sequence")));
    step->text = g_string_free(text, FALSE);
}

void tapul_sequence_init(TapulSequence *sequence, const TapulComparison *comparison,
                         int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    *sequence = (TapulSequence){.laying = laying, .print = asked->print};
    sequence->scale_label = tapul_comparison_capital(comparison, "scale");
    add_prints(comparison, sequence);
    add_laid(comparison, sequence);
    add_etched(comparison, sequence);
}

void tapul_sequence_clear(TapulSequence *sequence) {
    for (int i = 0; i < sequence->n; i++) {
        tapul_figure_free(sequence->steps[i].figure);
        g_free(sequence->steps[i].label);
        g_free(sequence->steps[i].text);
        g_free(sequence->steps[i].alternative);
    }
    g_free(sequence->scale_label);
}
