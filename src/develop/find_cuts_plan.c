/* Plans cuts by the tension that they leave (find_cuts.h). Cuts are straight in the plate's
 * development. Through the place of the greatest tension lines are tried in several directions:
 * right across the metal, alone or several side by side, or as darts from its edge; the ones
 * whose load falls most for their cost are taken, with their mirror images on an even plate.
 * Cutting to the place of greatest distortion: Gu, Gortler & Hoppe, Geometry Images, SIGGRAPH
 * 2002. */
#include "develop/find_cuts.h"

#include <string.h>

/* Directions tried, over half a turn. */
#define DIRECTIONS 8
/* So many lines side by side are tried. */
#define MOST_PARALLELS 3
/* Nearer to the medial line than this a place lies on it. */
#define MEDIAL_MM 6.0
#define MOST_CUTS 48
/* Cuts shorter than this do nothing. */
#define LEAST_CUT_MM 10.0
/* Paper narrower than this tears and shifts (common practice, no source); nearer to a cut's end
 * than END_MM it is allowed, for there two edges meet. */
#define LEAST_WIDTH_MM 15.0
#define END_MM         20.0
/* How often along a cut its width is looked at. */
#define WIDTH_STEP_MM 6.0
/* What a change must be worth. */
#define LEAST_SAVING_MM 5.0
/* Lengths of a dart that are tried when it is shortened. */
#define SHORTENINGS 5

/* A cut or several that belong together, with their mirror images. */
#define MOST_IN_CANDIDATE (2 * MOST_PARALLELS)
typedef struct {
    TapulFlatCut cut[MOST_IN_CANDIDATE];
    int n;
    gboolean dart;
    double load, cost_mm;
} Candidate;

/* Candidates are made about a place. */
typedef struct {
    TapulCutPlan *plan;
    TapulVec2 place;
    gboolean with_mirror, narrow; /* narrow: too narrow paper is allowed */
    double before;                /* the load */
    double room_mm;               /* what a candidate may cost */
    Candidate best;
} Choice;

static TapulFlatCut *cuts_of(const TapulCutPlan *plan) {
    return (TapulFlatCut *)(void *)plan->cuts->data;
}

static TapulLook look(const TapulCutPlan *plan) {
    return tapul_tension_look(plan->tension, cuts_of(plan), (int)plan->cuts->len, plan->aim);
}

static void add(TapulCutPlan *plan, TapulFlatCut cut, gboolean dart) {
    g_array_append_val(plan->cuts, cut);
    g_array_append_val(plan->darts, dart);
}

static TapulFlatCut mirrored(TapulFlatCut cut) {
    return (TapulFlatCut){{-cut.from.x, cut.from.y}, {-cut.to.x, cut.to.y}};
}

/* How many cuts from the i-th on belong together: it and its mirror image, or it alone. */
static guint family_at(const TapulCutPlan *plan, guint i) {
    if (i + 1 >= plan->cuts->len)
        return 1;
    TapulFlatCut a = cuts_of(plan)[i], b = mirrored(cuts_of(plan)[i + 1]);
    return tapul_vec2_distance(a.from, b.from) + tapul_vec2_distance(a.to, b.to) < 1e-6 ? 2 : 1;
}

/* --- Width --- */

static gboolean is_free(const TapulCutPlan *plan, TapulVec2 from, TapulVec2 direction) {
    TapulVec2 to = tapul_vec2_add(from, tapul_vec2_scale(direction, LEAST_WIDTH_MM));
    return tapul_tension_is_free(plan->tension, from, to, cuts_of(plan), (int)plan->cuts->len);
}

/* Whether the paper beside a cut, and before a dart's tip, is wide enough. */
static gboolean is_wide(const TapulCutPlan *plan, TapulFlatCut cut, gboolean dart) {
    double length_mm = tapul_vec2_distance(cut.from, cut.to);
    TapulVec2 along = tapul_vec2_scale(tapul_vec2_sub(cut.to, cut.from), 1 / length_mm);
    TapulVec2 left = {-along.y, along.x}, right = {along.y, -along.x};
    double last_mm = dart ? length_mm : length_mm - END_MM;
    for (double at_mm = END_MM; at_mm <= last_mm; at_mm += WIDTH_STEP_MM) {
        TapulVec2 at = tapul_vec2_add(cut.from, tapul_vec2_scale(along, at_mm));
        if (!is_free(plan, at, left) || !is_free(plan, at, right))
            return FALSE;
    }
    for (int k = -2; dart && k <= 2; k++)
        if (!is_free(plan, cut.to, tapul_vec2_turn(along, k * G_PI / 4)))
            return FALSE;
    return TRUE;
}

/* --- Candidates --- */

/* The fall of load for its cost. */
static double merit(const Choice *choice, const Candidate *candidate) {
    if (candidate->n == 0 || !(candidate->load < choice->before))
        return 0;
    return (log1p(choice->before) - log1p(candidate->load)) /
           pow(candidate->cost_mm, choice->plan->thrift);
}

/* Looks at the plan with a candidate's cuts, and keeps it if it is the best so far. */
static void try_candidate(Choice *choice, Candidate candidate) {
    TapulCutPlan *plan = choice->plan;
    guint before = plan->cuts->len;
    if (choice->with_mirror) {
        candidate.n *= 2;
        for (int i = candidate.n - 1; i >= 0; i--)
            candidate.cut[i] = i % 2 ? mirrored(candidate.cut[i / 2]) : candidate.cut[i / 2];
    }
    for (int i = 0; i < candidate.n; i++) {
        if (tapul_vec2_distance(candidate.cut[i].from, candidate.cut[i].to) < LEAST_CUT_MM ||
            (!choice->narrow && !is_wide(plan, candidate.cut[i], candidate.dart))) {
            g_array_set_size(plan->cuts, before);
            return;
        }
        g_array_append_val(plan->cuts, candidate.cut[i]);
        candidate.cost_mm += tapul_cut_cost_mm(plan, candidate.cut[i], candidate.dart);
    }
    if (candidate.cost_mm >= choice->room_mm) {
        g_array_set_size(plan->cuts, before);
        return;
    }
    candidate.load = look(plan).load;
    g_array_set_size(plan->cuts, before);
    if (merit(choice, &candidate) > merit(choice, &choice->best))
        choice->best = candidate;
}

/* The line through a point in both directions to the plate's edge, other cuts, or where its own
 * mirror image will be. */
static TapulFlatCut across(const Choice *choice, TapulVec2 point, TapulVec2 direction) {
    const double far_mm = 1e5;
    const TapulCutPlan *plan = choice->plan;
    g_autoptr(GArray) cuts = g_array_copy(plan->cuts);
    TapulFlatCut medial = {{0, -far_mm}, {0, far_mm}};
    if (choice->with_mirror)
        g_array_append_val(cuts, medial);
    const TapulFlatCut *cut = (const TapulFlatCut *)(const void *)cuts->data;
    return (TapulFlatCut){
        tapul_tension_reach(plan->tension, point, direction, cut, (int)cuts->len),
        tapul_tension_reach(plan->tension, point, tapul_vec2_scale(direction, -1), cut,
                            (int)cuts->len)};
}

/* n lines in a direction, evenly over the width of the metal at the place; the outermost first,
 * so that mirror images follow each other. */
static void try_parallels(Choice *choice, TapulVec2 direction, int n) {
    TapulFlatCut width = across(choice, choice->place, tapul_vec2(-direction.y, direction.x));
    Candidate candidate = {.n = n};
    for (int i = 0; i < n; i++) {
        int nth = i % 2 == 0 ? i / 2 + 1 : n - i / 2;
        candidate.cut[i] =
            across(choice, tapul_vec2_mix(width.from, width.to, nth / (n + 1.0)), direction);
    }
    try_candidate(choice, candidate);
}

/* A dart from where a line through the place meets the metal's edge or a cut; not over the
 * medial line, where it would hang on nothing but its mirror image. */
static void try_dart(Choice *choice, TapulVec2 direction) {
    Choice alone = *choice;
    alone.with_mirror = FALSE;
    TapulVec2 root = across(&alone, choice->place, direction).from;
    if (!choice->with_mirror || root.x * choice->place.x > 0)
        try_candidate(choice,
                      (Candidate){.cut = {{root, choice->place}}, .n = 1, .dart = TRUE});
}

static void try_direction(Choice *choice, TapulVec2 direction, gboolean darts) {
    TapulFlatCut line = across(choice, choice->place, direction);
    try_candidate(choice, (Candidate){.cut = {line}, .n = 1});
    for (int n = 2; n <= MOST_PARALLELS; n++)
        try_parallels(choice, direction, n);
    if (!darts)
        return;
    try_dart(choice, direction);
    try_dart(choice, tapul_vec2_scale(direction, -1));
}

static Candidate best_candidate(TapulCutPlan *plan, TapulLook seen, gboolean narrow) {
    const TapulTension *tension = plan->tension;
    Choice choice = {.plan = plan,
                     .place = tapul_tension_place(tension, seen.worst),
                     .narrow = narrow,
                     .room_mm = plan->most_cost_mm - tapul_cut_plan_cost_mm(plan),
                     .before = seen.load};
    /* Where the metal is like a saddle a dart's paper would overlap: u is positive there. */
    gboolean darts = tension->u[seen.worst] < 0;
    gboolean on_medial = tension->symmetric && fabs(choice.place.x) < MEDIAL_MM;
    if (on_medial)
        choice.place.x = 0;
    choice.with_mirror = tension->symmetric && !on_medial;
    for (int i = 0; i < DIRECTIONS; i++) {
        double angle_rad = G_PI / 2 + i * G_PI / DIRECTIONS;
        /* On the medial line only what is its own mirror image. */
        if (!on_medial || i == 0 || 2 * i == DIRECTIONS)
            try_direction(&choice, tapul_vec2(cos(angle_rad), sin(angle_rad)),
                          darts && (!on_medial || i == 0));
    }
    return choice.best;
}

gboolean tapul_cut_plan_extend(TapulCutPlan *plan) {
    for (;;) {
        TapulLook seen = look(plan);
        if (seen.most <= plan->aim)
            return TRUE;
        Candidate best = {.n = 0};
        for (int narrow = 0; narrow < 2 && best.n == 0 && plan->cuts->len < MOST_CUTS;
             narrow++) {
            seen = look(plan); /* u is needed as it is now */
            best = best_candidate(plan, seen, narrow);
        }
        if (best.n == 0)
            return FALSE;
        for (int i = 0; i < best.n; i++)
            add(plan, best.cut[i], best.dart);
    }
}

/* --- Changes --- */

static void swap(TapulCutPlan *plan, TapulCutPlan *other) {
    TapulCutPlan kept = *plan;
    *plan = *other;
    *other = kept;
}

/* An end that lies no more on a cut, because that was taken away, goes on to where it meets the
 * next one or the metal's edge. */
static TapulVec2 settled(const Choice *choice, TapulVec2 end, TapulVec2 other_end) {
    TapulVec2 outward = tapul_vec2_sub(end, other_end);
    return across(choice, end, tapul_vec2_scale(outward, 1 / tapul_vec2_length(outward))).from;
}

/* FALSE: a dart and its mirror image would hang on each other alone. */
static gboolean settle(TapulCutPlan *plan) {
    for (guint i = 0; i < plan->cuts->len; i += family_at(plan, i)) {
        guint n = family_at(plan, i);
        gboolean dart = g_array_index(plan->darts, gboolean, i);
        Choice choice = {.plan = plan, .with_mirror = n == 2 && !dart};
        TapulFlatCut cut = cuts_of(plan)[i];
        cuts_of(plan)[i].to = cut.from; /* its own line is not in its way */
        cut.from = settled(&choice, cut.from, cut.to);
        if (!dart)
            cut.to = settled(&choice, cut.to, cut.from);
        cuts_of(plan)[i] = cut;
        if (n == 2)
            cuts_of(plan)[i + 1] = mirrored(cut);
        if (n == 2 && dart && cut.from.x * cut.to.x < 0)
            return FALSE;
    }
    return TRUE;
}

/* The plan without a family; NULL: others would hang on nothing. */
static TapulCutPlan *without(const TapulCutPlan *plan, guint i) {
    g_autoptr(TapulCutPlan) other = tapul_cut_plan_copy(plan);
    guint n = family_at(plan, i);
    g_array_remove_range(other->cuts, i, n);
    g_array_remove_range(other->darts, i, n);
    return settle(other) ? g_steal_pointer(&other) : NULL;
}

void tapul_cut_plan_lengthen(TapulCutPlan *plan, guint i) {
    if (i > 0 && family_at(plan, i - 1) == 2)
        i--;
    for (guint k = i; k < i + family_at(plan, i); k++)
        g_array_index(plan->darts, gboolean, k) = FALSE;
    settle(plan);
}

/* The middle one of the nodes of the grid's middle column that are on the metal; -1: none. */
static int middle_node(const TapulTension *tension) {
    int column = tapul_tension_node(tension, tapul_vec2(0, 0)) % tension->columns, inside = 0;
    for (int row = 0; row < tension->rows; row++)
        inside += !tension->outside[row * tension->columns + column];
    for (int row = 0, seen = 0; row < tension->rows; row++) {
        seen += !tension->outside[row * tension->columns + column];
        if (2 * seen > inside)
            return row * tension->columns + column;
    }
    return -1;
}

void tapul_cut_plan_add_medial(TapulCutPlan *plan) {
    int node = middle_node(plan->tension);
    Choice choice = {.plan = plan};
    if (node < 0)
        return;
    TapulVec2 middle = tapul_tension_place(plan->tension, node);
    add(plan, across(&choice, middle, tapul_vec2(0, 1)), FALSE);
}

/* --- Paring --- */

/* Takes away again what later cuts have made needless, the earliest first. */
static void remove_needless(TapulCutPlan *plan) {
    for (guint i = 0; i < plan->cuts->len;) {
        g_autoptr(TapulCutPlan) other = without(plan, i);
        if (other && look(other).most <= plan->aim)
            swap(plan, other);
        else
            i += family_at(plan, i);
    }
}

/* Whether another cut ends on a dart. */
static gboolean bears_others(const TapulCutPlan *plan, guint i) {
    TapulFlatCut dart = cuts_of(plan)[i];
    TapulVec2 along = tapul_vec2_sub(dart.to, dart.from);
    for (guint k = 0; k < 2 * plan->cuts->len; k++) {
        TapulVec2 end = k % 2 ? cuts_of(plan)[k / 2].from : cuts_of(plan)[k / 2].to;
        double share = tapul_vec2_dot(tapul_vec2_sub(end, dart.from), along) /
                       tapul_vec2_dot(along, along);
        TapulVec2 nearest = tapul_vec2_mix(dart.from, dart.to, CLAMP(share, 0, 1));
        if (k / 2 != i && tapul_vec2_distance(end, nearest) < LEAST_WIDTH_MM)
            return TRUE;
    }
    return FALSE;
}

/* Moves the tips of a family of darts back to a share of their length. */
static void set_tips(TapulCutPlan *plan, guint i, guint n, TapulVec2 tip, double share) {
    TapulFlatCut *cut = &cuts_of(plan)[i];
    cut->to = tapul_vec2_mix(cut->from, tip, share);
    if (n == 2)
        cut[1] = mirrored(*cut);
}

/* Halves the range in which the shortest length that serves must lie. */
static void shorten(TapulCutPlan *plan, guint i, guint n) {
    TapulVec2 tip = cuts_of(plan)[i].to;
    double low = LEAST_CUT_MM / tapul_vec2_distance(cuts_of(plan)[i].from, tip), high = 1;
    for (int k = 0; k < SHORTENINGS && low < high; k++) {
        double middle = 0.5 * (low + high);
        set_tips(plan, i, n, tip, middle);
        *(look(plan).most <= plan->aim ? &high : &low) = middle;
    }
    set_tips(plan, i, n, tip, high);
}

void tapul_cut_plan_pare(TapulCutPlan *plan) {
    remove_needless(plan);
    if (look(plan).most > plan->aim)
        return;
    for (guint i = 0; i < plan->cuts->len; i += family_at(plan, i))
        if (g_array_index(plan->darts, gboolean, i) && !bears_others(plan, i))
            shorten(plan, i, family_at(plan, i));
}

void tapul_cut_plan_better(TapulCutPlan *plan) {
    for (guint i = 0; i < plan->cuts->len;) {
        g_autoptr(TapulCutPlan) other = without(plan, i);
        if (other)
            other->most_cost_mm = tapul_cut_plan_cost_mm(plan) - LEAST_SAVING_MM;
        if (!other || !tapul_cut_plan_extend(other)) {
            i += family_at(plan, i);
            continue;
        }
        other->most_cost_mm = plan->most_cost_mm;
        swap(plan, other);
    }
}
