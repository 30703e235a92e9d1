/* Foliage: acanthus leaves, husks, blossoms, tendrils and stems for scrollwork.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_FOLIAGE_H
#define ENGRAVER_FOLIAGE_H

#include "form.h"

/* A leaf of toothed lobes along an axis; lobes are lobe_length long at the widest. */
void foliage_acanthus(Sheet *sheet, const Curve *axis, double lobe_length, int lobes,
                      double base);

/* A half leaf that clasps a stem: lobes on one side only (side 1 right of travel, -1 left). */
void foliage_half_acanthus(Sheet *sheet, const Curve *axis, double lobe_length, int lobes,
                           int side, double base);

/* A round stem that may swell and taper. */
void foliage_stem(Sheet *sheet, Curve *axis, const char *widths, double scale, double base);

/* A sheath of three short leaves from which a stem comes; it points along the frame's up. */
void foliage_husk(Sheet *sheet, Frame frame);

/* An open flower of the given number of petals, radius in mm. */
void foliage_rosette(Sheet *sheet, Point centre, double radius, int petals, double turn);

/* A flower seen from the side, opening upward in its frame, about ten units tall. */
void foliage_side_flower(Sheet *sheet, Frame frame);

/* A curling tendril. */
void foliage_tendril(Sheet *sheet, Point from, double degrees, double size, double turns,
                     double width);

#endif
