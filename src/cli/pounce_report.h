/* The report of `tapul pounce`. */
#ifndef TAPUL_CLI_POUNCE_REPORT_H
#define TAPUL_CLI_POUNCE_REPORT_H

#include "cli/verbs.h"

#include <tapul/pounce.h>

/* brief: for people, of each cut only its ends and of what is too thin only the longest. files
 * is ended by this call. */
JsonNode *tapul_pounce_report(const TapulCase *question, const TapulPounce *pounce,
                              gboolean brief, GPtrArray *files);

#endif
