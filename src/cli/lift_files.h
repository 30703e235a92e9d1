/* The files of `tapul lift`. */
#ifndef TAPUL_CLI_LIFT_FILES_H
#define TAPUL_CLI_LIFT_FILES_H

#include <tapul/sheets.h>

G_BEGIN_DECLS

/* Writes into a folder, and adds to files what it wrote: for each rule lifted-RULE.svg, .png
 * (the sheet alone, true to size), the same -reversed, and lifted-RULE-page.svg; for several
 * rules lifted-comparison.svg; all pages as lifted.pdf. */
gboolean tapul_write_lifted(const TapulLiftSheet *sheet, const char *folder, GPtrArray *files,
                            GError **error);

G_END_DECLS

#endif
