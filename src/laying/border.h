/* The bordered rule's state: one or more runs along lines of the plate. */
#ifndef LAYING_BORDER_H
#define LAYING_BORDER_H

#include "laying/run_line.h"

#include <tapul/laying.h>

G_BEGIN_DECLS

/* A part of a line with whole repeats on it. */
typedef struct {
    TapulRunLine *line;
    double start_mm, length_mm; /* the part, along the line */
    gboolean closed;            /* it comes round to its start */
    int first_repeat, repeats;
} TapulBorderRun;

/* A place on a run's middle line: where the way back starts. */
typedef struct {
    TapulVec2 developed_mm;
    double along_mm; /* of the run */
    int run;
} TapulBorderSample;

typedef struct {
    double repeat_mm, middle_mm; /* of the print: its period, and half its height */
    double scale;
    gboolean reversed;
    GArray *runs;    /* of TapulBorderRun; each goes on counting repeats from the one before */
    GArray *samples; /* of TapulBorderSample */
} TapulBorder;

TapulBorder *tapul_border_new(const TapulGround *ground, const TapulLayingOptions *options,
                              GError **error);
void tapul_border_free(TapulBorder *border);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulBorder, tapul_border_free)

TapulLayingRun tapul_border_figures(const TapulBorder *border);
const TapulBorderRun *tapul_border_run(const TapulBorder *border, guint i);
/* By how much its repeats are stretched along the run, scale left out. */
double tapul_border_run_stretch(const TapulBorder *border, const TapulBorderRun *run);

G_END_DECLS

#endif
