/* Finds where everything of a sheet stands on one format: tries each way of placing insets and
 * words about the figure, and takes the one with the largest insets and the least empty foot.
 *
 * layout.c asks it for one format of paper after the other, and draws what it finds.
 */
#include "sheet/plan.h"

#include "sheet/columns.h"
#include "sheet/furniture.h"

/* Scales of insets, largest first; a catalogue names no odder ones. */
static const double reductions[] = {1 / 3.0, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5};
/* Small things are shown enlarged, but no larger than this. */
#define MOST_ENLARGED_MM 100.0

#define GAP_EMS       2.5  /* between insets, and around them */
#define WORDS_GAP_EMS 3.2  /* between words and what they stand beside */
#define FOOT_GAP_EMS  1.8  /* above words at the foot, which hang from the captions */
#define CAPTION_EMS   10.0 /* least width of a caption, for a narrow inset */
/* Words beside a figure are read with it; words at its foot must be this much better. */
#define FOOT_COST 1.3
/* What a page wholly empty at its foot would lose of its merit. */
#define EMPTY_PAGE_COST 0.5
/* Room left at the foot goes in thirds above the figure, below it and below the insets; no gap
 * grows by more than this. */
#define MOST_GROWTH_EMS 7.0
/* Words set again in just the width they took fit there: rounding, in mm. */
#define WIDTH_SLACK_MM 1e-6

typedef enum { ROW_BESIDE, STACK_BESIDE, ROW_BELOW, NO_INSETS } InsetWay;
/* RIGHT: the page's whole right side; FOOT: its whole foot; NEXT: what the insets leave of the
 * side or foot they stand at. */
typedef enum { WORDS_RIGHT, WORDS_FOOT, WORDS_NEXT } WordsWay;

typedef struct {
    const TapulComposition *composition;
    TapulBox own; /* of the figure, in its own frame */
    TapulBox room;
    InsetWay insets_way;
    WordsWay words_way;
    TapulPlan plan;
    TapulVec2 inset_mm[TAPUL_MOST_INSETS];                                  /* as drawn */
    double cell_width_mm[TAPUL_MOST_INSETS], caption_mm[TAPUL_MOST_INSETS]; /* with captions */
    TapulBox insets; /* captions included */
    double words_bottom_mm, words_width_mm;
} Try;

double tapul_plan_pad_mm(const TapulComposition *composition, const TapulFormat *format) {
    return composition->figure_pad_ems * format->text_mm;
}

double tapul_plan_bar_mm(const TapulFormat *format) {
    return TAPUL_SCALE_BAR_HEIGHT_EMS * format->text_mm;
}

char *tapul_inset_caption(const TapulInset *inset, double reduction) {
    return reduction < 1
               ? g_strdup_printf("%s, %.0f\u00a0:\u00a01", inset->caption, 1 / reduction)
               : g_strdup_printf("%s, 1\u00a0:\u00a0%g", inset->caption, reduction);
}

static void add_box(TapulBox *box, TapulBox other) {
    if (tapul_box_is_empty(other))
        return;
    tapul_box_add(box, other.min);
    tapul_box_add(box, other.max);
}

/* Figure and insets together. */
static TapulBox block_of(const Try *try) {
    TapulBox block = try->plan.figure;
    add_box(&block, try->insets);
    return block;
}

/* --- The figure --- */

static void place_figure(Try *try) {
    const TapulFormat *format = &try->plan.format;
    double pad_mm = tapul_plan_pad_mm(try->composition, format);
    double width_mm =
        fmax(try->own.max.x - try->own.min.x + 2 * pad_mm, TAPUL_SCALE_BAR_WIDTH_MM);
    double height_mm = try->own.max.y - try->own.min.y + 2 * pad_mm + tapul_plan_bar_mm(format);
    TapulVec2 corner = {try->room.min.x, try->room.max.y};
    try->plan.figure =
        (TapulBox){{corner.x, corner.y - height_mm}, {corner.x + width_mm, corner.y}};
}

/* The lowest y of the figure's outline, and of its scale bar, between two x of the page. */
static double floor_between(const Try *try, double left, double right) {
    const TapulBox *figure = &try->plan.figure;
    double middle = (figure->min.x + figure->max.x) / 2;
    double dx = middle - (try->own.min.x + try->own.max.x) / 2;
    double dy =
        figure->max.y - tapul_plan_pad_mm(try->composition, &try->plan.format) - try->own.max.y;
    double lowest = figure->max.y, half_mm = TAPUL_SCALE_BAR_WIDTH_MM / 2;
    if (left < middle + half_mm && right > middle - half_mm)
        lowest = figure->min.y;
    TapulPathWalk walk = tapul_path_walk(try->composition->figure);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        double x0 = fmin(piece.p[0].x, piece.p[3].x) + dx;
        double x1 = fmax(piece.p[0].x, piece.p[3].x) + dx;
        if (x1 >= left && x0 <= right)
            lowest = fmin(lowest, fmin(piece.p[0].y, piece.p[3].y) + dy);
    }
    return lowest;
}

/* --- Insets --- */

static void size_insets(Try *try) {
    double em = try->plan.format.text_mm;
    TapulType type = {.size_mm = em, .italic = TRUE};
    for (int i = 0; i < try->composition->n_insets; i++) {
        const TapulInset *inset = &try->composition->insets[i];
        g_autofree char *caption = tapul_inset_caption(inset, try->plan.reduction);
        try->inset_mm[i] = tapul_vec2_scale(inset->size_mm, 1 / try->plan.reduction);
        try->cell_width_mm[i] = fmax(try->inset_mm[i].x, CAPTION_EMS * em);
        try->plan.caption_width_mm[i] = try->cell_width_mm[i];
        try->caption_mm[i] =
            TAPUL_CAPTION_GAP_EMS * em -
            tapul_set_paragraph(NULL, tapul_vec2(0, 0), try->cell_width_mm[i], caption, &type);
    }
}

static void place_inset(Try *try, int i, TapulVec2 lower_left) {
    try->plan.inset_at[i] = lower_left;
    add_box(&try->insets, (TapulBox){{lower_left.x, lower_left.y - try->caption_mm[i]},
                                     {lower_left.x + try->cell_width_mm[i],
                                      lower_left.y + try->inset_mm[i].y}});
}

static void place_beside(Try *try, double gap_mm) {
    double x = try->plan.figure.max.x + gap_mm, y = try->room.max.y, tallest_mm = 0;
    int n = try->composition->n_insets;
    for (int i = 0; i < n; i++)
        tallest_mm = fmax(tallest_mm, try->inset_mm[i].y);
    for (int i = 0; i < n; i++) {
        if (try->insets_way == STACK_BESIDE) {
            place_inset(try, i, tapul_vec2(x, y - try->inset_mm[i].y));
            y -= try->inset_mm[i].y + try->caption_mm[i] + gap_mm;
        } else {
            place_inset(try, i, tapul_vec2(x, y - tallest_mm));
            x += try->cell_width_mm[i] + gap_mm;
        }
    }
}

/* In a row on one ground line, spread over the figure's width unless words stand beside it, and
 * as near under its outline as a gap allows. */
static void place_below(Try *try, double gap_mm) {
    TapulBox *figure = &try->plan.figure;
    int n = try->composition->n_insets;
    double figure_mm = figure->max.x - figure->min.x, row_mm = -gap_mm, ground = INFINITY;
    for (int i = 0; i < n; i++)
        row_mm += try->cell_width_mm[i] + gap_mm;
    double between_mm = gap_mm, x = figure->min.x;
    if (row_mm > figure_mm) {
        figure->min.x += (row_mm - figure_mm) / 2;
        figure->max.x += (row_mm - figure_mm) / 2;
    } else if (try->words_way != WORDS_NEXT && n > 1) {
        between_mm += (figure_mm - row_mm) / (n - 1);
    }
    double left[TAPUL_MOST_INSETS];
    for (int i = 0; i < n; i++) {
        left[i] = x;
        double floor =
            floor_between(try, x - gap_mm / 2, x + try->cell_width_mm[i] + gap_mm / 2);
        ground = fmin(ground, floor - gap_mm - try->inset_mm[i].y);
        x += try->cell_width_mm[i] + between_mm;
    }
    for (int i = 0; i < n; i++)
        place_inset(try, i, tapul_vec2(left[i], ground));
}

static void place_insets(Try *try) {
    double gap_mm = GAP_EMS * try->plan.format.text_mm;
    try->insets = tapul_box_empty();
    if (try->insets_way == NO_INSETS)
        return;
    size_insets(try);
    if (try->insets_way == ROW_BELOW)
        place_below(try, gap_mm);
    else
        place_beside(try, gap_mm);
}

/* --- Words --- */

static TapulBox words_space(const Try *try) {
    double em = try->plan.format.text_mm, gap_mm = WORDS_GAP_EMS * em;
    TapulBox space = try->room, block = block_of(try);
    gboolean below = try->insets_way == ROW_BELOW;
    if (try->words_way == WORDS_RIGHT) {
        space.min.x = block.max.x + gap_mm;
    } else if (try->words_way == WORDS_FOOT) {
        space.max.y = block.min.y - FOOT_GAP_EMS * em;
    } else if (below) {
        space.min.x = try->insets.max.x + gap_mm;
        space.max.y = try->plan.figure.min.y - em;
    } else {
        space.min.x = try->insets.min.x;
        space.max.y = try->insets.min.y - GAP_EMS * em;
    }
    return space;
}

/* FALSE where something does not fit. */
static gboolean place_words(Try *try) {
    TapulBox block = block_of(try);
    double least_mm = TAPUL_LEAST_COLUMN_EMS * try->plan.format.text_mm;
    try->plan.words = words_space(try);
    if (block.max.x > try->room.max.x || block.min.y < try->room.min.y ||
        try->plan.words.max.x - try->plan.words.min.x < least_mm ||
        try->plan.words.max.y <= try->plan.words.min.y)
        return FALSE;
    TapulFit fit = try->composition->words(NULL, try->plan.words, &try->plan.format,
                                           try->composition->data);
    try->words_bottom_mm = fit.bottom_mm;
    try->words_width_mm = fit.width_mm;
    return fit.bottom_mm >= try->room.min.y;
}

/* --- What room is left --- */

/* Height left empty below everything; words at the page's right stand for themselves. */
static double empty_mm(const Try *try) {
    double lowest = block_of(try).min.y;
    if (try->words_way != WORDS_RIGHT)
        lowest = fmin(lowest, try->words_bottom_mm);
    return lowest - try->room.min.y;
}

static void shift_figure(Try *try, TapulVec2 by) {
    try->plan.figure.min = tapul_vec2_add(try->plan.figure.min, by);
    try->plan.figure.max = tapul_vec2_add(try->plan.figure.max, by);
}

static void shift_insets(Try *try, TapulVec2 by) {
    for (int i = 0; i < try->composition->n_insets; i++)
        try->plan.inset_at[i] = tapul_vec2_add(try->plan.inset_at[i], by);
}

/* Words end at the page's right, and the rest stands in the middle of what is left. */
static void settle_across(Try *try) {
    TapulBox block = block_of(try), *words = &try->plan.words;
    double right = try->room.max.x;
    if (try->words_way == WORDS_FOOT) {
        TapulVec2 by = {(right - block.max.x) / 2, 0};
        shift_figure(try, by);
        shift_insets(try, by);
        return;
    }
    gboolean below = try->insets_way == ROW_BELOW;
    double taken_to = words->min.x + try->words_width_mm + WIDTH_SLACK_MM;
    if (try->words_way == WORDS_NEXT)
        taken_to = fmax(taken_to, try->insets.max.x);
    double spare_mm = fmax(right - taken_to, 0), figure_spare_mm = spare_mm;
    if (try->words_way == WORDS_NEXT && below)
        figure_spare_mm = right - try->plan.figure.max.x;
    words->min.x += spare_mm;
    shift_figure(try, tapul_vec2(figure_spare_mm / 2, 0));
    if (try->words_way == WORDS_NEXT && !below)
        shift_insets(try, tapul_vec2(spare_mm, 0));
    else if (below)
        shift_insets(try, tapul_vec2(spare_mm / 2, 0));
    else
        shift_insets(try, tapul_vec2(2 * spare_mm / 3, 0));
}

static void settle_down(Try *try) {
    double most_mm = MOST_GROWTH_EMS * try->plan.format.text_mm;
    double third_mm = fmin(empty_mm(try) / 3, most_mm);
    if (try->insets_way == ROW_BELOW) {
        shift_figure(try, tapul_vec2(0, -third_mm));
        shift_insets(try, tapul_vec2(0, -2 * third_mm));
    }
    if (try->insets_way == ROW_BELOW && try->words_way != WORDS_RIGHT)
        try->plan.words.max.y -= 2 * third_mm;
}

/* --- The best of all ways --- */

static double scale_merit(const Try *try) {
    double scale = try->insets_way == NO_INSETS ? 1 : 1 / try->plan.reduction;
    return try->words_way == WORDS_FOOT ? scale / FOOT_COST : scale;
}

/* Makes the plan, if it can be better than the best so far. */
static gboolean make_plan(Try *try, double best_merit) {
    double merit = scale_merit(try);
    if (merit <= best_merit)
        return FALSE;
    place_figure(try);
    place_insets(try);
    if (!place_words(try))
        return FALSE;
    double height_mm = try->room.max.y - try->room.min.y;
    try->plan.merit = merit * (1 - EMPTY_PAGE_COST * empty_mm(try) / height_mm);
    if (try->plan.merit <= best_merit)
        return FALSE;
    settle_across(try);
    settle_down(try);
    return TRUE;
}

static gboolean is_too_large(const TapulComposition *composition, double reduction) {
    double longest_mm = 0;
    for (int i = 0; i < composition->n_insets; i++)
        longest_mm = fmax(longest_mm, fmax(composition->insets[i].size_mm.x,
                                           composition->insets[i].size_mm.y));
    return reduction < 1 && longest_mm / reduction > MOST_ENLARGED_MM;
}

static void try_ways(Try *try, TapulPlan *best) {
    gboolean insets = try->composition->n_insets > 0;
    WordsWay last_words = insets ? WORDS_NEXT : WORDS_FOOT;
    TapulPlan start = try->plan;
    for (int way = insets ? ROW_BESIDE : NO_INSETS; way <= (insets ? ROW_BELOW : NO_INSETS);
         way++)
        for (int words = WORDS_RIGHT; words <= (int)last_words; words++) {
            try->plan = start;
            try->insets_way = (InsetWay)way;
            try->words_way = (WordsWay)words;
            if (make_plan(try, best->merit))
                *best = try->plan;
        }
}

TapulPlan tapul_plan_best(const TapulComposition *composition, const TapulFormat *format,
                          double top_mm) {
    g_assert(composition->n_insets <= TAPUL_MOST_INSETS);
    double margin = format->margin_mm;
    TapulPlan best = {.format = *format, .merit = -INFINITY};
    Try try = {.composition = composition,
               .own = tapul_path_box(composition->figure),
               .room = {{margin, margin}, {format->width_mm - margin, top_mm}}};
    int n = composition->n_insets > 0 ? (int)G_N_ELEMENTS(reductions) : 1;
    for (int i = 0; i < n; i++) {
        if (is_too_large(composition, reductions[i]))
            continue;
        try.plan = (TapulPlan){.format = *format, .reduction = reductions[i]};
        try_ways(&try, &best);
    }
    return best;
}
