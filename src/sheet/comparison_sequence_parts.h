/* The sequence's steps: what is shown and said of each. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_SEQUENCE_PARTS_H
#define TAPUL_SHEET_COMPARISON_SEQUENCE_PARTS_H

#include "sheet/comparison_row.h"

#define TAPUL_MOST_STEPS 4

/* Prints stand at one scale, the plate as seen at another. */
typedef enum { TAPUL_STEP_PRINT, TAPUL_STEP_VIEW, TAPUL_STEP_KINDS } TapulStepKind;

typedef struct {
    const char *id;
    TapulStepKind kind;
    TapulFigure *figure;
    char *label, *text, *alternative;
} TapulStep;

typedef struct {
    int laying, print, n;
    TapulStep steps[TAPUL_MOST_STEPS];
    char *scale_label;
} TapulSequence;

/* The laying with most ink, a border only where nothing else is laid; -1: none. */
int tapul_sequence_main_laying(const TapulComparison *comparison);

void tapul_sequence_init(TapulSequence *sequence, const TapulComparison *comparison,
                         int laying);
void tapul_sequence_clear(TapulSequence *sequence);

#endif
