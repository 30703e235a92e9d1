/* The bordered rule: a repeat run along the plate's edge or a given line. The border's middle
 * runs at a geodesic offset from the line; what lies above or below the middle in the print is
 * laid along the geodesic that leaves it square there (Fermi's coordinates about the middle;
 * by Gauss's lemma also square to the edge and to all offset lines). Whole repeats are fitted
 * by stretching them along the run. */
#include "laying/border.h"
#include "laying/rule.h"

/* A print point this far, as a share of a repeat, before a run's start or behind its end is at
 * it. */
#define END_SHARE 1e-9
/* Step of the difference along the run: a hundredth of a triangle. */
#define DIFFERENCE_STEP_MM 0.1
/* The inverse's promise is 0.005 mm; Newton may stop at the goal. It starts from so many of the
 * nearest samples. */
#define INVERSE_TOLERANCE_MM 0.004
#define INVERSE_GOAL_MM      1e-5
#define INVERSE_MAX_STEPS    40
#define INVERSE_STARTS       6
/* Above and below the print's own height the inverse answers no more than rounding asks. */
#define STRIP_MARGIN_MM 0.01

static gboolean bordered_prepare(TapulLaying *laying, GError **error) {
    laying->border = tapul_border_new(&laying->ground, &laying->options, error);
    return laying->border != NULL;
}

/* --- The map --- */

/* The run that a repeat lies on. */
static const TapulBorderRun *run_of_repeat(const TapulBorder *border, int repeat) {
    guint i = 0;
    while (i + 1 < border->runs->len && tapul_border_run(border, i + 1)->first_repeat <= repeat)
        i++;
    return tapul_border_run(border, i);
}

/* The run of a print point, and where on it: a reversed print runs from its end. FALSE before
 * the start or behind the end of one that does not come round. */
static gboolean find_run(const TapulLaying *laying, double x_mm, const TapulBorderRun **run,
                         double *along_mm) {
    const TapulBorder *border = laying->border;
    double repeat = x_mm / border->repeat_mm;
    if (laying->repeat >= 0) {
        *run = run_of_repeat(border, laying->repeat);
        repeat += laying->repeat;
    } else {
        *run = run_of_repeat(border, (int)CLAMP(floor(repeat), -1, 1e9));
    }
    double within = (repeat - (*run)->first_repeat) / (*run)->repeats;
    if (border->reversed)
        within = 1 - within;
    if ((*run)->closed)
        within -= floor(within);
    else if (!(within >= -END_SHARE && within <= 1 + END_SHARE))
        return FALSE;
    *along_mm = CLAMP(within, 0, 1) * (*run)->length_mm;
    return TRUE;
}

static gboolean lay_on_run(const TapulLaying *laying, const TapulBorderRun *run,
                           double along_mm, double up_mm, TapulGeodesicEnd *end) {
    double at_mm = run->start_mm + along_mm, aside_mm;
    TapulGeodesicEnd square;
    if (run->line->closed)
        at_mm = fmod(at_mm, run->line->length_mm);
    if (!tapul_run_line_square(run->line, at_mm, &square, &aside_mm))
        return FALSE;
    double way_mm = up_mm + aside_mm;
    TapulVec3 forward = square.direction;
    if (way_mm < 0)
        square.direction = tapul_vec3_scale(forward, -1);
    *end = square;
    if (way_mm != 0 &&
        !tapul_geodesic_trace(laying->ground.development->mesh, square, fabs(way_mm), end))
        return FALSE;
    if (way_mm < 0)
        end->direction = tapul_vec3_scale(end->direction, -1);
    return TRUE;
}

static gboolean lay_print_point(const TapulLaying *laying, TapulVec2 print_mm, double ahead_mm,
                                TapulGeodesicEnd *end) {
    const TapulBorder *border = laying->border;
    const TapulBorderRun *run;
    double along_mm;
    if (!isfinite(print_mm.x) || !isfinite(print_mm.y) ||
        !find_run(laying, print_mm.x, &run, &along_mm))
        return FALSE;
    along_mm += ahead_mm;
    if (run->closed)
        along_mm -= run->length_mm * floor(along_mm / run->length_mm);
    else if (along_mm < 0 || along_mm > run->length_mm)
        return FALSE;
    return lay_on_run(laying, run, along_mm, (print_mm.y - border->middle_mm) * border->scale,
                      end);
}

static gboolean bordered_forward(const TapulLaying *laying, TapulVec2 print_mm,
                                 TapulLaidPoint *point) {
    TapulGeodesicEnd end;
    if (!lay_print_point(laying, print_mm, 0, &end))
        return FALSE;
    point->spot = end.spot;
    point->developed_mm = tapul_development_point_mm(laying->ground.development, end.spot);
    return TRUE;
}

/* Up the print the derivative is the geodesic's direction; along the run it is taken by a
 * difference, to whichever side is on the plate. */
static gboolean derivatives(const TapulLaying *laying, TapulVec2 print_mm,
                            TapulGeodesicEnd *end, TapulVec3 *by_x, TapulVec3 *by_y) {
    const TapulBorder *border = laying->border;
    const TapulMesh *mesh = laying->ground.development->mesh;
    TapulGeodesicEnd beside;
    const TapulBorderRun *run;
    double along_mm, step_mm = DIFFERENCE_STEP_MM;
    if (!lay_print_point(laying, print_mm, 0, end) ||
        !find_run(laying, print_mm.x, &run, &along_mm))
        return FALSE;
    if (along_mm + step_mm > run->length_mm)
        step_mm = -step_mm; /* not over the seam of a tube */
    if (!lay_print_point(laying, print_mm, step_mm, &beside)) {
        step_mm = -step_mm;
        if (!lay_print_point(laying, print_mm, step_mm, &beside))
            return FALSE;
    }
    TapulVec3 moved = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, beside.spot),
                                     tapul_mesh_smooth_position_mm(mesh, end->spot));
    double rate = tapul_border_run_stretch(border, run) * border->scale;
    *by_x = tapul_vec3_scale(moved, (border->reversed ? -rate : rate) / step_mm);
    *by_y = tapul_vec3_scale(end->direction, border->scale);
    return TRUE;
}

static gboolean bordered_differential(const TapulLaying *laying, TapulVec2 print_mm,
                                      TapulLaidJet *jet) {
    const TapulDevelopment *development = laying->ground.development;
    TapulGeodesicEnd end;
    if (!derivatives(laying, print_mm, &end, &jet->metal_by_x, &jet->metal_by_y))
        return FALSE;
    jet->at.spot = end.spot;
    jet->at.developed_mm = tapul_development_point_mm(development, end.spot);
    jet->developed_by_x = tapul_laying_develop_vector(development, end.spot, jet->metal_by_x);
    jet->developed_by_y = tapul_laying_develop_vector(development, end.spot, jet->metal_by_y);
    return TRUE;
}

/* --- And back --- */

/* Newton's method, each step halved until it leads nearer; the point of the print within the
 * sample's run. */
static gboolean search_from(const TapulLaying *of_run, TapulVec3 target, TapulVec2 guess,
                            TapulVec2 *found) {
    const TapulMesh *mesh = of_run->ground.development->mesh;
    TapulVec2 point = guess, step = {0, 0};
    double near_mm = INFINITY;
    for (int i = 0; i < INVERSE_MAX_STEPS && near_mm > INVERSE_GOAL_MM; i++) {
        TapulGeodesicEnd end;
        TapulVec3 by_x, by_y, gap = {0, 0, 0};
        gboolean nearer = derivatives(of_run, point, &end, &by_x, &by_y);
        if (nearer) {
            gap = tapul_vec3_sub(target, tapul_mesh_smooth_position_mm(mesh, end.spot));
            nearer = tapul_vec3_length(gap) < near_mm;
        }
        if (nearer) {
            *found = point;
            near_mm = tapul_vec3_length(gap);
            step = tapul_geodesic_newton_step(by_x, by_y, gap);
        } else if (!isfinite(near_mm)) {
            return FALSE;
        } else {
            step = tapul_vec2_scale(step, 0.5);
        }
        point = tapul_vec2_add(*found, step);
    }
    return near_mm <= INVERSE_TOLERANCE_MM;
}

/* From the print point on the middle line beside a sample. x counts from the run's first
 * repeat. */
static gboolean search_beside(const TapulLaying *laying, const TapulBorderSample *sample,
                              TapulSpot spot, TapulVec2 *print_mm) {
    const TapulBorder *border = laying->border;
    const TapulBorderRun *run = tapul_border_run(border, (guint)sample->run);
    TapulLaying of_run = *laying;
    of_run.repeat = run->first_repeat;
    double run_mm = run->repeats * border->repeat_mm; /* in the print */
    TapulVec3 target = tapul_mesh_smooth_position_mm(laying->ground.development->mesh, spot);
    TapulVec2 guess = {sample->along_mm / run->length_mm * run_mm, border->middle_mm};
    if (border->reversed)
        guess.x = run_mm - guess.x;
    if (!search_from(&of_run, target, guess, print_mm))
        return FALSE;
    if (fabs(print_mm->y - border->middle_mm) > border->middle_mm + STRIP_MARGIN_MM)
        return FALSE;
    if (run->closed)
        print_mm->x -= run_mm * floor(print_mm->x / run_mm);
    print_mm->x += run->first_repeat * border->repeat_mm;
    return TRUE;
}

static gboolean bordered_inverse(const TapulLaying *laying, TapulSpot spot,
                                 TapulVec2 *print_mm) {
    const GArray *samples = laying->border->samples;
    TapulVec2 at = tapul_development_point_mm(laying->ground.development, spot);
    g_autofree gboolean *tried = g_new0(gboolean, samples->len);
    for (int start = 0; start < INVERSE_STARTS; start++) {
        int nearest = -1;
        double nearest_mm = INFINITY;
        for (guint i = 0; i < samples->len; i++) {
            double away_mm = tapul_vec2_distance(
                at, g_array_index(samples, TapulBorderSample, i).developed_mm);
            if (tried[i] || away_mm >= nearest_mm)
                continue;
            nearest = (int)i;
            nearest_mm = away_mm;
        }
        if (nearest < 0)
            return FALSE;
        tried[nearest] = TRUE;
        if (search_beside(laying, &g_array_index(samples, TapulBorderSample, nearest), spot,
                          print_mm))
            return TRUE;
    }
    return FALSE;
}

const TapulLayingMethods tapul_laying_bordered = {
    .name = "bordered",
    .places = FALSE,
    .prepare = bordered_prepare,
    .forward = bordered_forward,
    .differential = bordered_differential,
    .inverse = bordered_inverse,
};
