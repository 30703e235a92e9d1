/* Cloth: fluttering streamers, bows, folded hangings and plumes.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_DRAPERY_H
#define ENGRAVER_DRAPERY_H

#include "form.h"

/* A flat band swept along a curve by a fixed breadth: it shows its face where the curve runs
 * one way and its back, darker, where it runs the other. */
void drapery_streamer(Sheet *sheet, const Curve *axis, Point breadth, double base);

/* The two long edges of one fold, the lit edge first, and the darkness it falls to. */
typedef struct Fold {
    const char *lit;
    const char *shaded;
    double dark;
} Fold;

/* Cloth with one outline, folds shaded from edge to edge, and drawn fold lines. */
void drapery_cloth(Sheet *sheet, Frame frame, const char *outline, const Fold *folds,
                   guint count, double base);

/* An ostrich plume: soft ragged edge, barbs leaving the shaft in curves. */
void drapery_plume(Sheet *sheet, const Curve *axis, double width, double base);

/* A tassel hanging from a cord end. */
void drapery_tassel(Sheet *sheet, Point top, double length, double swing);

#endif
