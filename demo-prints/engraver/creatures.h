/* Small creatures and things for grotesques and motif sheets, each in its own frame.
 * Lengths are in units of the frame, about a millimetre at scale one. */
#ifndef ENGRAVER_CREATURES_H
#define ENGRAVER_CREATURES_H

#include "form.h"

/* Crawling right, the foot on the origin line, about eighteen units long. */
void creature_snail(Sheet *sheet, Frame frame);

/* A small bird facing right, feet at the origin, about eleven tall. */
void creature_songbird(Sheet *sheet, Frame frame);

/* A bearded water fish swimming right, about twenty-four long, centre at the origin. */
void creature_fish(Sheet *sheet, Frame frame);

/* Seen from above, nose upward, about eighteen long, centre at the origin. */
void creature_frog(Sheet *sheet, Frame frame);

/* A scallop shell, hinge at the origin, the fan upward, about sixteen tall. */
void creature_shell(Sheet *sheet, Frame frame);

/* An endless three-looped knot of flat band, radius in mm. */
void creature_knot(Sheet *sheet, Point centre, double radius, double width, int owner);

#endif
