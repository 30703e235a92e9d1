/* What the case's readers share: the file being read and the case being made. */
#ifndef TAPUL_LAYING_CASE_INTERNAL_H
#define TAPUL_LAYING_CASE_INTERNAL_H

#include "base/document.h"

#include <tapul/case.h>

G_BEGIN_DECLS

#define TAPUL_CASE_LARGEST_PRINT_MM 3000.0

typedef struct {
    TapulDocument *document;
    const TapulNode *root;
    TapulCase *made;
} TapulCaseReading;

/* Each adds faults to the document and goes on. */
void tapul_case_read_photos(TapulCaseReading *reading);
void tapul_case_read_prints(TapulCaseReading *reading);
void tapul_case_read_pairs(TapulCaseReading *reading);
void tapul_case_read_layings(TapulCaseReading *reading);
void tapul_case_read_found(TapulCaseReading *reading);
void tapul_case_read_lift(TapulCaseReading *reading);
void tapul_case_read_sheet(TapulCaseReading *reading);

void tapul_case_read_pounce(TapulCaseReading *reading);
/* Whether there are lines under `development: cuts`. */
gboolean tapul_case_has_cuts(const TapulCaseReading *reading);
/* Opens the plate along them; with leave set only as far as it must be to be a disc, and keeps
 * the others in the case. FALSE where they cannot be used. */
gboolean tapul_case_read_cuts(TapulCaseReading *reading, gboolean leave);

void tapul_case_pounce_init(TapulCasePounce *pounce);
void tapul_case_pounce_clear(TapulCasePounce *pounce);
void tapul_case_sheet_init(TapulCaseSheet *sheet);
void tapul_case_sheet_clear(TapulCaseSheet *sheet);

/* The keys of a bordered or filled laying beside those that all have. */
void tapul_case_read_border(TapulCaseReading *reading, const TapulNode *node,
                            TapulCaseLaying *laying);
void tapul_case_read_fill(TapulCaseReading *reading, const TapulNode *node,
                          TapulCaseLaying *laying);

/* The anchor in the case's own words: "across 0, up 260 mm by tape"; owned. */
char *tapul_case_describe_anchor(const TapulDocument *document, const TapulNode *anchor);

/* Whether the comparison pages use this English word, so that it may be replaced. */
gboolean tapul_case_knows_word(const char *word);

/* The print of an id, or -1. */
int tapul_case_print_index(const TapulCase *question, const char *id);

G_END_DECLS

#endif
