/* Arms and armour for the trophy. Each piece is drawn front to back in its own frame.
 * Lengths are in units of the frame, about a millimetre at scale one. */
#ifndef ENGRAVER_ARMS_H
#define ENGRAVER_ARMS_H

#include "form.h"

void arms_rivet(Sheet *sheet, Point centre, double radius);
void arms_cuirass(Sheet *sheet, Frame frame);
void arms_helmet(Sheet *sheet, Frame frame);
void arms_shield(Sheet *sheet, Point centre, double radius);
void arms_drum(Sheet *sheet, Frame frame);
void arms_quiver(Sheet *sheet, Frame frame);

/* The hilt at the origin, the blade downward, its length in local units. */
void arms_sword(Sheet *sheet, Frame frame, double length);

/* Head upward from the origin; the shaft hangs below for the given length. */
void arms_halberd(Sheet *sheet, Frame frame, double shaft);
void arms_partisan(Sheet *sheet, Frame frame, double shaft);
void arms_trident(Sheet *sheet, Frame frame, double shaft);
void arms_oar(Sheet *sheet, Frame frame, double shaft);

#endif
