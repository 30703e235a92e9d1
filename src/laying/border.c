/* The bordered rule's runs: where the middle of a border goes, and how many whole repeats are
 * fitted on it. bordered.c lays the print along them. */
#include "laying/border.h"
#include "laying/rule.h"
#include "laying/run_base.h"

/* The border's lower side keeps this far from the edge unless the case says otherwise. */
#define EDGE_MARGIN_MM     3.0
#define EDGE_OFFSET_MIN_MM 1.0
#define OFFSET_MAX_MM      500.0
/* More repeats than this on a plate are a slip of the pen. */
#define REPEATS_MAX 10000
/* How far the middle line is sampled apart. */
#define SAMPLE_SPACING_MM 2.0

static void run_clear(gpointer data) {
    tapul_run_line_free(((TapulBorderRun *)data)->line);
}

void tapul_border_free(TapulBorder *border) {
    if (!border)
        return;
    g_array_unref(border->runs);
    g_array_unref(border->samples);
    g_free(border);
}

const TapulBorderRun *tapul_border_run(const TapulBorder *border, guint i) {
    return &g_array_index(border->runs, TapulBorderRun, i);
}

double tapul_border_run_stretch(const TapulBorder *border, const TapulBorderRun *run) {
    return run->length_mm / (run->repeats * border->repeat_mm * border->scale);
}

/* The length of the run's segments that have left the edge. */
static double run_off_edge_mm(const TapulBorderRun *run) {
    double sum_mm = 0;
    for (guint i = 0; i < run->line->segments->len; i++) {
        const TapulRunSegment *segment =
            &g_array_index(run->line->segments, TapulRunSegment, i);
        double from_mm = segment->before_mm - run->start_mm;
        if (run->line->closed && from_mm < 0)
            from_mm += run->line->length_mm;
        if (segment->off_edge && from_mm >= 0 && from_mm < run->length_mm)
            sum_mm += segment->length_mm;
    }
    return sum_mm;
}

TapulLayingRun tapul_border_figures(const TapulBorder *border) {
    TapulLayingRun figures = {0, 0, 1, 0};
    for (guint i = 0; i < border->runs->len; i++) {
        const TapulBorderRun *run = tapul_border_run(border, i);
        double stretch = tapul_border_run_stretch(border, run);
        figures.repeats += run->repeats;
        figures.run_mm += run->length_mm;
        figures.off_edge_mm += run_off_edge_mm(run);
        if (fabs(log(stretch)) >= fabs(log(figures.along)))
            figures.along = stretch;
    }
    return figures;
}

/* --- Making the runs --- */

/* The whole number of repeats that is stretched or shrunk by the smaller factor. */
static int fitted_repeats(double length_mm, double repeat_mm) {
    double wanted = length_mm / repeat_mm, fewer = floor(wanted);
    return fewer < 1 ? 1 : (int)(wanted * wanted < fewer * (fewer + 1) ? fewer : fewer + 1);
}

static gboolean add_run(TapulBorder *border, TapulRunLine *line, double start_mm,
                        double length_mm, gboolean closed, GError **error) {
    TapulBorderRun run = {line, start_mm, length_mm, closed, 0, 0};
    double wanted = length_mm / (border->repeat_mm * border->scale);
    run.first_repeat = 0;
    for (guint i = 0; i < border->runs->len; i++)
        run.first_repeat += tapul_border_run(border, i)->repeats;
    run.repeats = wanted < REPEATS_MAX
                      ? fitted_repeats(length_mm, border->repeat_mm * border->scale)
                      : REPEATS_MAX;
    g_array_append_val(border->runs, run);
    if (wanted < REPEATS_MAX)
        return TRUE;
    g_set_error(
        error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
        "repeat_mm %g at scale %g: the run of %.0f mm would take %.0f repeats, expected at "
        "most %d",
        border->repeat_mm, border->scale, length_mm, wanted, REPEATS_MAX);
    return FALSE;
}

static void line_fault(double offset_mm, GError **error) {
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                "offset_mm %g: too little of the border's middle line lies on the plate for a "
                "run",
                offset_mm);
}

static double spot_along(const TapulRunLine *line, TapulSpot spot) {
    return tapul_run_line_nearest(line, tapul_mesh_smooth_position_mm(line->mesh, spot));
}

/* Where the whole loop starts when nothing says so: below, nearest to the development's
 * origin, which is the medial line's lower end. */
static double origin_along(const TapulGround *ground, const TapulRunLine *line) {
    double best = 0, best_mm = INFINITY;
    int n = MAX(1, (int)(line->length_mm / SAMPLE_SPACING_MM));
    for (int i = 0; i < n; i++) {
        TapulGeodesicEnd square;
        double aside_mm, along_mm = line->length_mm * i / n;
        if (!tapul_run_line_square(line, along_mm, &square, &aside_mm))
            continue;
        double away_mm =
            tapul_vec2_length(tapul_development_point_mm(ground->development, square.spot));
        if (away_mm >= best_mm)
            continue;
        best = along_mm;
        best_mm = away_mm;
    }
    return best;
}

static gboolean run_edge(TapulBorder *border, const TapulGround *ground,
                         const TapulBorderOptions *options, double offset_mm, GError **error) {
    double half_mm = border->middle_mm * border->scale;
    g_autoptr(GArray) bases = tapul_run_edge(ground, offset_mm + half_mm, error);
    if (!bases)
        return FALSE;
    TapulRunLine *line =
        tapul_run_line_beside(ground->development->mesh, bases, TRUE, offset_mm);
    if (!line) {
        line_fault(offset_mm, error);
        return FALSE;
    }
    double from_mm =
        options->has_from ? spot_along(line, options->from) : origin_along(ground, line);
    double length_mm = line->length_mm;
    if (options->has_to) {
        length_mm = spot_along(line, options->to) - from_mm;
        if (length_mm <= 0)
            length_mm += line->length_mm;
    }
    return add_run(border, line, from_mm, length_mm, !options->has_to, error);
}

static gboolean run_ends(TapulBorder *border, const TapulGround *ground, double offset_mm,
                         GError **error) {
    g_autoptr(GPtrArray) ends = tapul_run_ends(ground);
    for (guint i = 0; i < ends->len; i++) {
        TapulRunLine *line = tapul_run_line_beside(
            ground->development->mesh, g_ptr_array_index(ends, i), FALSE, offset_mm);
        if (!line) {
            line_fault(offset_mm, error);
            return FALSE;
        }
        if (!add_run(border, line, 0, line->length_mm, TRUE, error))
            return FALSE;
    }
    if (ends->len == 0)
        line_fault(offset_mm, error);
    return ends->len > 0;
}

static gboolean run_given(TapulBorder *border, const TapulGround *ground,
                          const TapulBorderOptions *options, double offset_mm, GError **error) {
    double reach_mm = fabs(offset_mm) + border->middle_mm * border->scale;
    g_autoptr(GArray) bases = tapul_run_given(ground, options->n_points, options->points,
                                              options->smooth, reach_mm, error);
    if (!bases)
        return FALSE;
    TapulRunLine *line =
        tapul_run_line_beside(ground->development->mesh, bases, FALSE, offset_mm);
    if (!line) {
        line_fault(offset_mm, error);
        return FALSE;
    }
    return add_run(border, line, 0, line->length_mm, FALSE, error);
}

static gboolean check_range(const char *name, double value, double low, double high,
                            GError **error) {
    if (value >= low && value <= high)
        return TRUE;
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                "%s %g: expected a number from %g to %g", name, value, low, high);
    return FALSE;
}

static gboolean check_options(const TapulLayingOptions *options, GError **error) {
    const TapulBorderOptions *border = &options->border;
    const double least_mm = 0.1, most_mm = 10000;
    gboolean along_edge = border->n_points == 0;
    if (!tapul_laying_check_scale(options->scale, error) ||
        !check_range("print width", border->width_mm, least_mm, most_mm, error) ||
        !check_range("print height", border->height_mm, least_mm, most_mm, error) ||
        (border->repeat_mm != 0 &&
         !check_range("repeat_mm", border->repeat_mm, least_mm, most_mm, error)))
        return FALSE;
    if (!isnan(border->offset_mm) &&
        !check_range("offset_mm", border->offset_mm,
                     along_edge ? EDGE_OFFSET_MIN_MM : -OFFSET_MAX_MM, OFFSET_MAX_MM, error))
        return FALSE;
    if (border->n_points == 1 || (border->has_to && !border->has_from) ||
        (!along_edge && border->has_from)) {
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
            "a border runs along at least 2 points, or along the edge, there from a point, "
            "from a point to another, or all round");
        return FALSE;
    }
    return TRUE;
}

static void take_samples(TapulBorder *border, const TapulDevelopment *development) {
    for (guint i = 0; i < border->runs->len; i++) {
        const TapulBorderRun *run = tapul_border_run(border, i);
        int n = MAX(1, (int)ceil(run->length_mm / SAMPLE_SPACING_MM));
        for (int k = 0; k <= n; k++) {
            TapulBorderSample sample = {{0, 0}, run->length_mm * k / n, (int)i};
            double along_mm = run->start_mm + sample.along_mm, aside_mm;
            TapulGeodesicEnd square;
            if (run->line->closed)
                along_mm = fmod(along_mm, run->line->length_mm);
            if (!tapul_run_line_square(run->line, along_mm, &square, &aside_mm))
                continue;
            sample.developed_mm = tapul_development_point_mm(development, square.spot);
            g_array_append_val(border->samples, sample);
        }
    }
}

static TapulBorder *border_alloc(const TapulLayingOptions *options) {
    TapulBorder *border = g_new0(TapulBorder, 1);
    border->repeat_mm =
        options->border.repeat_mm > 0 ? options->border.repeat_mm : options->border.width_mm;
    border->middle_mm = options->border.height_mm / 2;
    border->scale = options->scale;
    border->reversed = options->reversed;
    border->runs = g_array_new(FALSE, FALSE, sizeof(TapulBorderRun));
    g_array_set_clear_func(border->runs, run_clear);
    border->samples = g_array_new(FALSE, FALSE, sizeof(TapulBorderSample));
    return border;
}

TapulBorder *tapul_border_new(const TapulGround *ground, const TapulLayingOptions *options,
                              GError **error) {
    if (!check_options(options, error))
        return NULL;
    g_autoptr(TapulBorder) border = border_alloc(options);
    gboolean along_edge = options->border.n_points == 0, good;
    double offset_mm = options->border.offset_mm;
    if (isnan(offset_mm))
        offset_mm = along_edge ? border->middle_mm * border->scale + EDGE_MARGIN_MM : 0;
    if (!along_edge)
        good = run_given(border, ground, &options->border, offset_mm, error);
    else if (tapul_plate_has_seam(ground->plate) && !options->border.has_from)
        good = run_ends(border, ground, offset_mm, error);
    else
        good = run_edge(border, ground, &options->border, offset_mm, error);
    if (!good)
        return NULL;
    take_samples(border, ground->development);
    return g_steal_pointer(&border);
}
