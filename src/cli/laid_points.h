/* Single points of prints, laid on the plate: a table in, a table out. */
#ifndef TAPUL_CLI_LAID_POINTS_H
#define TAPUL_CLI_LAID_POINTS_H

#include <tapul/case.h>

G_BEGIN_DECLS

/* Lays each row of a table (print,x_mm,y_mm) by the first laying of its print; laid is what
 * tapul_case_lay gave. Returns the table's text, rows in the same order, with
 * plate_x_mm,plate_y_mm,plate_z_mm,dev_x_mm,dev_y_mm added; these five are empty where the
 * point falls beyond the plate's edge. */
char *tapul_lay_points(const TapulCase *question, const GPtrArray *laid, const char *path,
                       GError **error);

G_END_DECLS

#endif
