/* The report of `tapul weigh`. */
#ifndef TAPUL_CLI_WEIGH_REPORT_H
#define TAPUL_CLI_WEIGH_REPORT_H

#include <json-glib/json-glib.h>
#include <tapul/evidence.h>

/* Adds the members of the first print that was weighed to the object that is open; of several
 * also "prints": [...], all of them; and "added". */
void tapul_report_evidence(JsonBuilder *builder, const TapulCase *question,
                           const TapulEvidence *evidence);

#endif
