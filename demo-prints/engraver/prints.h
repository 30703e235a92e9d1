/* The prints: each draws itself on a sheet of its own size.
 * The sheet is empty when it is handed over, its hand seeded for that print. */
#ifndef ENGRAVER_PRINTS_H
#define ENGRAVER_PRINTS_H

#include "sheet.h"

void print_kingfishers(Sheet *sheet);
void print_reed_cartouche(Sheet *sheet);
void print_river_trophy(Sheet *sheet);

void print_scrolled_frieze(Sheet *sheet);

void print_grotesque_panel(Sheet *sheet);

void print_braided_border(Sheet *sheet);
void print_roped_border(Sheet *sheet);
void print_mask_drapery(Sheet *sheet);

void print_canopy_figure(Sheet *sheet);
void print_small_motifs(Sheet *sheet);

#endif
