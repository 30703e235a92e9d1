/* Paths with only as many pieces as a small drawing shows. Internal to sheet/. */
#ifndef TAPUL_SHEET_THIN_H
#define TAPUL_SHEET_THIN_H

#include <tapul/path.h>

/* The path with runs of pieces made one line where they keep within tolerance_mm of it; ends of
 * subpaths stay where they are. */
TapulPath *tapul_path_thinned(const TapulPath *path, double tolerance_mm);

#endif
