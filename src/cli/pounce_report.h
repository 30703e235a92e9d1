/* The report of `tapul pounce`. */
#ifndef TAPUL_CLI_POUNCE_REPORT_H
#define TAPUL_CLI_POUNCE_REPORT_H

#include "cli/verbs.h"

#include <tapul/pounce.h>

/* most_too_thin: how many of what is too thin are listed. files is ended by this call. */
JsonNode *tapul_pounce_report(const TapulCase *question, const GPtrArray *laid,
                              const TapulPounce *pounce, guint most_too_thin, GPtrArray *files);

#endif
