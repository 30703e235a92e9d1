/* The files of `tapul weigh`. */
#ifndef TAPUL_CLI_WEIGH_FILES_H
#define TAPUL_CLI_WEIGH_FILES_H

#include <tapul/evidence.h>

/* Writes the evidence sheets, the table of residuals, and the annotations of prints whose
 * motifs were sought; image: the IRI that these point to, or NULL. Adds their names to files.
 * All or none. */
gboolean tapul_write_weighed(const TapulCase *question, const TapulEvidence *evidence,
                             const char *image, const char *folder, GPtrArray *files,
                             GError **error);

#endif
