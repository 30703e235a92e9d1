/* The whole plate from the front with numbered calls, as large as the page allows at a round
 * scale.
 *
 * Its words, with the list of calls, and a smaller view from three-quarters stand beside or
 * below it; the calls' texts stand at their numbers, or in the list alone. Of these four ways
 * the one is taken that lets the plate be largest. A list too long for that gets pages of its
 * own.
 */
#include "sheet/comparison_plate_parts.h"

#include "sheet/comparison_words.h"

#include <string.h>

/* Labels may take so much of the body's width on each side. */
#define MOST_STRIP_SHARE 0.2
/* Air between a figure and what stands under it, in steps. */
#define GAP_STEPS 1.0
/* A list that leaves the plate smaller than this, of what it could be, gets a page of its own.
 */
#define LEAST_WITH_LIST 0.6
/* As on the overlay sheets. */
#define QUARTER_TURN_RAD (35 * G_PI / 180)
#define QUARTER_TILT_RAD (12 * G_PI / 180)
/* A smaller view than this, in steps of captions, shows nothing. */
#define LEAST_QUARTER_STEPS 7.0
/* Captions are measured before the scale is known, with one whose words are long. */
#define SCALE_OF_LONG_WORDS (1 / 2.5)

typedef struct {
    const TapulComparison *comparison;
    const TapulLeaf *leaf;
    gboolean inches;
    int number; /* of the figure; the view from three-quarters is the next */
    TapulFigure *front, *quarter;
    TapulShown shown;
    GPtrArray *all; /* of TapulPlateCall* */
    GArray *seen;   /* of TapulCallout, those that the front shows; not yet placed */
    TapulBox body;
    char *title;
} Plate;

/* One way to arrange the page. */
typedef struct {
    gboolean beside, direct;
    gboolean apart;   /* the list stands on pages of its own */
    gboolean leaders; /* else the numbers stand on the figure */
    TapulBox room;    /* of the figure and its labels */
    double step_mm, scale;
    TapulVec2 at; /* the figure's lower left */
} Plan;

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

static double gap_mm(const Plate *plate) {
    return GAP_STEPS * plate->leaf->step_mm;
}

/* --- Words --- */

/* "as etched": what the figure shows; owned. */
static char *shown_words(const Plate *plate) {
    const TapulCase *question = plate->comparison->question;
    switch (plate->shown) {
    case TAPUL_SHOWN_FOUND:
        return g_strdup(tapul_case_word(question, "traced from the plate"));
    case TAPUL_SHOWN_LAID:
        return g_strdup_printf("%s; %s", tapul_case_word(question, "print as laid, full line"),
                               tapul_case_word(question, "design found, dashed"));
    default:
        return g_strdup(tapul_case_word(question, "as etched"));
    }
}

/* "Scale 1 : 3." */
static char *scale_words(const Plate *plate, double scale) {
    g_autofree char *word = tapul_comparison_capital(plate->comparison, "scale");
    return tapul_leaf_scale_sentence(plate->leaf, word, scale);
}

/* "From the front, as etched. Scale 1 : 3." and what the case adds. */
static char *caption_text(const Plate *plate, double scale) {
    const char *more =
        g_hash_table_lookup(plate->comparison->question->sheet.captions, "plate");
    g_autofree char *seen = tapul_comparison_capital(plate->comparison, "from the front");
    g_autofree char *ratio = scale_words(plate, scale);
    g_autofree char *shown = shown_words(plate);
    return more ? g_strdup_printf("%s, %s. %s %s", seen, shown, ratio, more)
                : g_strdup_printf("%s, %s. %s", seen, shown, ratio);
}

static char *quarter_text(const Plate *plate, double scale) {
    g_autofree char *seen = tapul_comparison_capital(plate->comparison, "from three-quarters");
    g_autofree char *ratio = scale_words(plate, scale);
    return g_strdup_printf("%s. %s", seen, ratio);
}

static double set_quarter_caption(const Plate *plate, TapulPage *page, TapulVec2 at,
                                  double width_mm, double scale) {
    g_autofree char *text = quarter_text(plate, scale);
    g_autofree char *number = g_strdup_printf("%d", plate->number + 1);
    return tapul_leaf_caption(plate->leaf, page, at, width_mm, number, NULL, text);
}

/* --- Plans --- */

static int side_columns(const Plate *plate) {
    return plate->leaf->columns / 3;
}

/* Captions are as wide as is easily read: half the page. */
static double caption_width_mm(const Plate *plate, const Plan *plan) {
    const TapulLeaf *leaf = plate->leaf;
    return tapul_leaf_columns_mm(leaf, plan->beside ? side_columns(plate) : leaf->columns / 2);
}

static double key_width_mm(const Plate *plate, const Plan *plan) {
    int side = side_columns(plate);
    return tapul_leaf_columns_mm(plate->leaf,
                                 plan->beside ? side : plate->leaf->columns - side);
}

/* Caption, scale bar and list, one below the other; returns the y below. */
static double set_words(const Plate *plate, const Plan *plan, TapulPage *page, TapulVec2 at,
                        double scale) {
    const char *name = tapul_plate_name(plate->comparison->question->plate);
    double width_mm = caption_width_mm(plate, plan);
    g_autofree char *text = caption_text(plate, scale);
    g_autofree char *number = g_strdup_printf("%d", plate->number);
    double y = tapul_leaf_caption(plate->leaf, page, at, width_mm, number, name, text);
    y = tapul_leaf_scale_bar(plate->leaf, page, tapul_vec2(at.x, y - gap_mm(plate) / 2),
                             width_mm, scale, plate->inches);
    if (plan->apart)
        return y;
    TapulVec2 key_at = {at.x, y - gap_mm(plate)};
    double key_y = tapul_plate_key(plate->leaf, page, key_at, key_width_mm(plate, plan),
                                   plate->comparison, plate->all, plan->direct);
    return key_y < key_at.y ? key_y : y;
}

static TapulCalloutRoom callout_room(const Plate *plate, const Plan *plan) {
    g_autofree TapulCallout *calls =
        g_memdup2(plate->seen->data, plate->seen->len * sizeof(TapulCallout));
    for (guint i = 0; !plan->direct && i < plate->seen->len; i++)
        calls[i].text = NULL;
    return tapul_callouts_room(plate->leaf, calls, (int)plate->seen->len,
                               MOST_STRIP_SHARE * size_of(plate->body).x);
}

/* The figure at the top of its room, in the middle of its columns; labels go no higher and no
 * lower than it unless they need to. */
static void place_figure(const Plate *plate, Plan *plan) {
    TapulVec2 size = tapul_vec2_scale(size_of(tapul_figure_box_mm(plate->front)), plan->scale);
    TapulBox room = plan->room;
    plan->at = tapul_vec2((room.min.x + room.max.x - size.x) / 2, room.max.y - size.y);
    if (!plan->leaders || 2 * floor(size.y / plan->step_mm) >= plate->seen->len)
        plan->room.min.y = plan->at.y;
}

/* What is left to the figure and its labels; empty where the words alone fill the page. */
static TapulBox room_of(const Plate *plate, const Plan *plan) {
    TapulBox room = plate->body;
    double words_mm = -set_words(plate, plan, NULL, tapul_vec2(0, 0), SCALE_OF_LONG_WORDS);
    if (!plan->beside)
        room.min.y += words_mm + gap_mm(plate);
    else if (words_mm <= size_of(room).y)
        room.max.x = room.min.x + tapul_leaf_columns_mm(plate->leaf, plate->leaf->columns -
                                                                         side_columns(plate));
    else
        room.max = room.min;
    return room;
}

/* Whether so high a room has stands for all calls. */
static gboolean stands_fit(const Plate *plate, TapulCalloutRoom labels, double height_mm) {
    return labels.step_mm > 0 && 2 * floor(height_mm / labels.step_mm) >= plate->seen->len;
}

/* Scale 0: the page does not hold it. */
static Plan make_plan(const Plate *plate, gboolean beside, gboolean direct, gboolean apart) {
    Plan plan = {.beside = beside, .direct = direct, .apart = apart};
    TapulCalloutRoom labels = callout_room(plate, &plan);
    plan.room = room_of(plate, &plan);
    plan.step_mm = labels.step_mm;
    TapulVec2 room = size_of(plan.room);
    plan.leaders = stands_fit(plate, labels, room.y);
    if (plan.leaders)
        room.x -= 2 * labels.strip_mm;
    if (room.x <= 0 || room.y <= 0 || (!plan.leaders && !apart))
        return plan;
    plan.scale = tapul_leaf_scale(size_of(tapul_figure_box_mm(plate->front)), room);
    place_figure(plate, &plan);
    return plan;
}

/* Of plans of one scale the first: texts at their numbers are read more easily than a list, and
 * a wide page is filled better by words beside the figure, a tall one by words below. */
static Plan best_plan(const Plate *plate) {
    gboolean wide = plate->leaf->format.width_mm > plate->leaf->format.height_mm;
    Plan best = make_plan(plate, wide, TRUE, FALSE);
    for (int i = 1; i < 4; i++) {
        Plan plan = make_plan(plate, i & 1 ? !wide : wide, i < 2, FALSE);
        if (plan.scale > best.scale)
            best = plan;
    }
    for (int i = 0; i < 2; i++) {
        Plan plan = make_plan(plate, i & 1 ? !wide : wide, FALSE, TRUE);
        if (best.scale < (best.apart ? 1 : LEAST_WITH_LIST) * plan.scale)
            best = plan;
    }
    return best;
}

/* --- Drawing --- */

static TapulVec2 on_page(const Plate *plate, const Plan *plan, TapulVec2 own_mm) {
    TapulVec2 from = tapul_vec2_sub(own_mm, tapul_figure_box_mm(plate->front).min);
    return tapul_vec2_add(plan->at, tapul_vec2_scale(from, plan->scale));
}

static void draw_calls(const Plate *plate, const Plan *plan, TapulPage *page) {
    int n = (int)plate->seen->len;
    TapulCallout *calls = (TapulCallout *)(void *)plate->seen->data;
    g_autofree TapulCalloutStand *stands = g_new(TapulCalloutStand, (gsize)n);
    TapulVec2 size = tapul_vec2_scale(size_of(tapul_figure_box_mm(plate->front)), plan->scale);
    TapulBox figure = {plan->at, tapul_vec2_add(plan->at, size)};
    for (int i = 0; i < n; i++) {
        calls[i].at_mm = on_page(plate, plan, calls[i].at_mm);
        if (!plan->direct)
            calls[i].text = NULL;
    }
    if (plan->leaders &&
        tapul_callouts_place(calls, n, figure, plan->room, plan->step_mm, stands)) {
        tapul_callouts_draw(page, plate->leaf, calls, stands, n, plan->room);
        return;
    }
    tapul_numbers_part(calls, n, tapul_number_radius_mm(plate->leaf), figure);
    for (int i = 0; i < n; i++)
        tapul_number_draw(page, plate->leaf, calls[i].at_mm, calls[i].number);
}

static void draw_front(const Plate *plate, const Plan *plan, TapulPage *page) {
    const char *name = tapul_plate_name(plate->comparison->question->plate);
    g_autofree char *text = caption_text(plate, plan->scale);
    g_autofree char *alternative = g_strdup_printf("%s. %s", name, text);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, alternative);
    tapul_figure_draw(plate->front, page, plan->at, plan->scale, "plate", name);
    tapul_page_end_part(page);
    draw_calls(plate, plan, page);
}

/* The view from three-quarters with its caption, its foot on the foot of room, no larger than
 * half of the plate from the front; FALSE where there is no room for one that shows something.
 */
static gboolean draw_quarter(const Plate *plate, const Plan *plan, TapulPage *page,
                             TapulBox room, gboolean hanging) {
    TapulVec2 own = size_of(tapul_figure_box_mm(plate->quarter)), none = {0, 0};
    double width_mm = size_of(room).x, gap = gap_mm(plate);
    double caption_mm = -set_quarter_caption(plate, NULL, none, width_mm, SCALE_OF_LONG_WORDS);
    TapulVec2 at = {room.min.x, room.min.y + caption_mm + gap};
    double height_mm = room.max.y - at.y;
    if (height_mm < LEAST_QUARTER_STEPS * plate->leaf->step_mm)
        return FALSE;
    double half = plan->scale / 2;
    double scale = tapul_leaf_scale(
        own, tapul_vec2(fmin(width_mm, half * own.x), fmin(height_mm, half * own.y)));
    if (hanging)
        at.y = room.max.y - scale * own.y;
    g_autofree char *alternative = quarter_text(plate, scale);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, alternative);
    tapul_figure_draw(plate->quarter, page, at, scale, "three-quarters", alternative);
    tapul_page_end_part(page);
    set_quarter_caption(plate, page, tapul_vec2(at.x, at.y - gap), width_mm, scale);
    return TRUE;
}

/* Words, and the view from three-quarters: below the words on the foot line of the figure, or
 * of the page; or else right of them. Returns whether there is that view. */
static gboolean draw_rest(const Plate *plate, const Plan *plan, TapulPage *page) {
    int side = plate->leaf->columns - side_columns(plate);
    TapulBox room = plate->body;
    room.min.x = tapul_leaf_column_x(plate->leaf, side);
    if (!plan->beside) {
        room.max.y = plan->room.min.y - gap_mm(plate);
        set_words(plate, plan, page, tapul_vec2(plate->body.min.x, room.max.y), plan->scale);
        return draw_quarter(plate, plan, page, room, TRUE);
    }
    room.max.y = set_words(plate, plan, page, tapul_vec2(room.min.x, room.max.y), plan->scale) -
                 gap_mm(plate);
    TapulBox on_foot = {{room.min.x, plan->at.y}, room.max};
    return draw_quarter(plate, plan, page, on_foot, FALSE) ||
           draw_quarter(plate, plan, page, room, FALSE);
}

/* --- The page --- */

static char *described(const Plate *plate) {
    const TapulCase *question = plate->comparison->question;
    g_autofree char *from = tapul_comparison_capital(plate->comparison, "from the front");
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, "%s. %s.", tapul_plate_name(question->plate), from);
    for (guint i = 0; i < plate->all->len; i++) {
        const TapulPlateCall *call = g_ptr_array_index(plate->all, i);
        g_string_append_printf(text, " %d: %s.", call->number, call->text);
    }
    return g_string_free(text, FALSE);
}

static void add_seen(Plate *plate) {
    plate->seen = g_array_new(FALSE, FALSE, sizeof(TapulCallout));
    for (guint i = 0; i < plate->all->len; i++) {
        const TapulPlateCall *call = g_ptr_array_index(plate->all, i);
        TapulCallout seen = {call->own_mm, call->number, call->text};
        if (call->seen)
            g_array_append_val(plate->seen, seen);
    }
}

static void set_leaf(Plate *plate, const TapulLeaf *leaf) {
    plate->leaf = leaf;
    plate->body = tapul_leaf_body(leaf, plate->comparison, plate->title,
                                  plate->comparison->question->title);
}

static void plate_init(Plate *plate, const TapulComparison *comparison, const TapulLeaf *leaf) {
    *plate = (Plate){.comparison = comparison};
    plate->shown = tapul_plate_shown(comparison);
    plate->front = tapul_figure_view(comparison, 0, 0, plate->shown, -1);
    plate->quarter =
        tapul_figure_view(comparison, QUARTER_TURN_RAD, QUARTER_TILT_RAD, plate->shown, -1);
    plate->all = tapul_plate_calls(comparison, plate->front);
    add_seen(plate);
    plate->title = tapul_comparison_capital(comparison, "the whole plate");
    set_leaf(plate, leaf);
}

static void plate_clear(Plate *plate) {
    tapul_figure_free(plate->front);
    tapul_figure_free(plate->quarter);
    g_ptr_array_unref(plate->all);
    g_array_unref(plate->seen);
    g_free(plate->title);
}

static gboolean has_something(const TapulComparison *comparison) {
    const TapulCase *question = comparison->question;
    return comparison->laid->len > 0 || question->found || question->sheet.calls->len > 0;
}

static TapulPage *new_page(const Plate *plate, TapulComparisonBook *book,
                           const char *description) {
    TapulPage *page = tapul_leaf_page(plate->leaf, plate->comparison, plate->title,
                                      plate->comparison->question->title, description);
    g_ptr_array_add(book->pages, page);
    return page;
}

static void add_key_pages(const Plate *plate, TapulComparisonBook *book,
                          const char *description) {
    for (guint next = 0; next < plate->all->len;)
        next = tapul_plate_key_page(plate->leaf, new_page(plate, book, description),
                                    plate->body, plate->comparison, plate->all, next);
}

void tapul_comparison_plate(TapulComparisonBook *book) {
    Plate plate;
    if (!has_something(book->comparison))
        return;
    plate_init(&plate, book->comparison, &book->leaf);
    plate.inches = book->options->inches;
    plate.number = book->figures + 1;
    Plan plan = best_plan(&plate);
    if (plan.scale > 0) {
        g_autofree char *description = described(&plate);
        TapulPage *page = new_page(&plate, book, description);
        draw_front(&plate, &plan, page);
        book->figures += 1 + draw_rest(&plate, &plan, page);
        if (plan.apart)
            add_key_pages(&plate, book, description);
    }
    plate_clear(&plate);
}

/* Which way up lets the plate be larger, on the paper that is used most. */
double tapul_comparison_plate_likes(const TapulComparison *comparison) {
    TapulLeaf portrait = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    TapulLeaf landscape = tapul_leaf(TAPUL_PAPER_A4, TRUE);
    Plate plate;
    if (!has_something(comparison))
        return 0;
    plate_init(&plate, comparison, &portrait);
    double upright = best_plan(&plate).scale;
    set_leaf(&plate, &landscape);
    double wide = best_plan(&plate).scale;
    plate_clear(&plate);
    return upright > 0 && wide > 0 ? log(wide / upright) : 0;
}
