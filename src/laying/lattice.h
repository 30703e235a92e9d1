/* A laying taken on a lattice of its print: the way back from the development to the print for
 * whole pictures, where the rules' own inverses would cost too much. */
#ifndef LAYING_LATTICE_H
#define LAYING_LATTICE_H

#include <tapul/laying.h>

G_BEGIN_DECLS

typedef struct TapulLattice TapulLattice;

/* Of the print from (0, 0) to size_mm; of a bordered laying all repeats of its one period.
 * progress, which may be NULL, is called with 0 to 1. */
TapulLattice *tapul_lattice_new(const TapulLaying *laying, TapulVec2 size_mm,
                                void (*progress)(double fraction, gpointer data),
                                gpointer progress_data);
void tapul_lattice_free(TapulLattice *lattice);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLattice, tapul_lattice_free)

/* What of the development it covers; empty where no print reaches the plate. */
TapulBox tapul_lattice_box_mm(const TapulLattice *lattice);
/* How long a millimetre of the print is in the development: the median. */
double tapul_lattice_ratio(const TapulLattice *lattice);
/* Development -> print, a border's x within its period; FALSE where no print lies. Safe from
 * several threads. */
gboolean tapul_lattice_print(const TapulLattice *lattice, TapulVec2 developed_mm,
                             TapulVec2 *print_mm);

G_END_DECLS

#endif
