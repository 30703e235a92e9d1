/* Every pair's residuals under every hypothesis, as a table to read elsewhere. */
#ifndef EVIDENCE_RESIDUAL_TABLE_H
#define EVIDENCE_RESIDUAL_TABLE_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* Comma-separated (RFC 4180), a row for each pair and hypothesis, the preferred one first:
 * print, rank (from 1), geometry, freedom, reversed, pressing_free, name, print_x_mm,
 * print_y_mm, found_dev_x_mm, found_dev_y_mm, put_dev_x_mm, put_dev_y_mm, residual_mm,
 * loo_residual_mm; a residual that is not known is empty. Owned. */
char *tapul_residual_table(const TapulCase *question, const TapulEvidence *evidence);

G_END_DECLS

#endif
