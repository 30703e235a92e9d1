/* Where in its profile a dent lies: the copper's edge leaves a thin line, darker or lighter; or
 * a step, where a film of ink covers the plate's side; or a line and a step; or, lit from one
 * side, a bright line beside a dark one. Each form is fitted by least squares at all places and
 * widths that come into question, and the best is taken. Serves scan_side.c. */
#include "ink/scan.h"

#include <gsl/gsl_multifit.h>
#include <gsl/gsl_statistics_double.h>

#define TERMS_MOST 3
/* Places are tried so far apart, and widths from the first on in this ratio: units. */
#define PLACE_STEP 0.1
#define NARROWEST  0.7
#define WIDER      1.35
#define WIDTHS     6
/* A step with a line on it is nearly a step a little further on: the form with a term more is
 * taken only where the others leave more than this share of all there is, and it leaves less
 * than the other share of theirs. */
#define SIMPLE_LEAVES  0.02
#define CLEARLY_BETTER 0.5

/* After even tone a term or two at t from the middle. Its slope is none of them: over so short
 * a way it is nothing, and could make up for half of a wide line. */
typedef enum { LINE, STEP, DARK_BESIDE_BRIGHT, LINE_AND_STEP, FORMS } Form;

static void fill_row(gsl_matrix *terms, size_t row, double t, double width, Form form) {
    double bell = exp(-0.5 * t * t / (width * width)), step = erf(t / (width * G_SQRT2));
    gsl_matrix_set(terms, row, 0, 1);
    gsl_matrix_set(terms, row, 1,
                   form == STEP                 ? step
                   : form == DARK_BESIDE_BRIGHT ? t / width * bell
                                                : bell);
    if (form == LINE_AND_STEP)
        gsl_matrix_set(terms, row, 2, step);
}

/* The least residual of a form over its widths, its middle at a place. */
static double residual_at(const double *place, const gsl_vector *tone, double at, Form form) {
    size_t n = tone->size, n_terms = form == LINE_AND_STEP ? TERMS_MOST : TERMS_MOST - 1;
    gsl_multifit_linear_workspace *workspace = gsl_multifit_linear_alloc(n, n_terms);
    gsl_matrix *terms = gsl_matrix_alloc(n, n_terms),
               *covariance = gsl_matrix_alloc(n_terms, n_terms);
    gsl_vector *coefficients = gsl_vector_alloc(n_terms);
    double least = INFINITY, residual;
    for (int k = 0; k < WIDTHS; k++) {
        for (size_t i = 0; i < n; i++)
            fill_row(terms, i, place[i] - at, NARROWEST * pow(WIDER, k), form);
        gsl_multifit_linear(terms, tone, coefficients, covariance, &residual, workspace);
        least = fmin(least, residual);
    }
    gsl_vector_free(coefficients);
    gsl_matrix_free(covariance);
    gsl_matrix_free(terms);
    gsl_multifit_linear_free(workspace);
    return least;
}

double tapul_scan_dent_middle(const double *place, const double *tone, int n, double near,
                              double reach) {
    gsl_vector_const_view tones = gsl_vector_const_view_array(tone, (size_t)n);
    double middle = near, least = INFINITY, all = gsl_stats_tss(tone, 1, (size_t)n);
    for (int form = 0; form < FORMS; form++) {
        if (form == LINE_AND_STEP && least < SIMPLE_LEAVES * all)
            break;
        double asked = form == LINE_AND_STEP ? CLEARLY_BETTER * least : least;
        for (double at = near - reach; at <= near + reach; at += PLACE_STEP) {
            double residual = residual_at(place, &tones.vector, at, (Form)form);
            if (residual < asked) {
                asked = least = residual;
                middle = at;
            }
        }
    }
    return middle;
}
