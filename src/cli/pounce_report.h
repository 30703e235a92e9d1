/* The report of `tapul pounce`. */
#ifndef TAPUL_CLI_POUNCE_REPORT_H
#define TAPUL_CLI_POUNCE_REPORT_H

#include "cli/verbs.h"

#include <tapul/sheets.h>

/* The largest stretch or shrink that paper is asked for, in per cent. */
double tapul_pounce_asked_percent(const TapulDevelopment *development);
/* Sentences, owned: what the papers ask that is more than the limit, what is lost, what closes.
 */
GPtrArray *tapul_pounce_notes(const TapulCase *question, const TapulPounce *pounce);
/* brief: for people, of each cut only its ends and of what is too thin only the worst. files is
 * ended by this call. */
JsonNode *tapul_pounce_report(const TapulPouncePages *pages, gboolean brief, GPtrArray *files);

#endif
