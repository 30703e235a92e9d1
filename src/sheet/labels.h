/* Words and figures set in a drawing, clear of its edge and of each other. Internal to sheet/.
 */
#ifndef TAPUL_SHEET_LABELS_H
#define TAPUL_SHEET_LABELS_H

#include <tapul/page.h>

/* How far off its line a label may stand, in ems of the labels. */
#define TAPUL_LABEL_REACH_EMS 3.2

typedef struct TapulLabels TapulLabels;

/* Labels of size em_mm on a page, in the group open now, kept clear of the path edge. */
TapulLabels *tapul_labels_new(TapulPage *page, double em_mm, const TapulPath *edge);
void tapul_labels_free(TapulLabels *labels);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLabels, tapul_labels_free)

/* Keeps the labels to come clear of another path too. */
void tapul_labels_avoid(TapulLabels *labels, const TapulPath *path);

/* Sets text off both ends of a line, outward along it, as near as it is clear; an end with no
 * such place within reach goes without. */
void tapul_labels_line(TapulLabels *labels, const TapulPath *line, const char *text);

/* Sets a name inside a closed outline, where it is widest but clear of other labels. */
void tapul_labels_field(TapulLabels *labels, const TapulPath *outline, const char *name);

#endif
