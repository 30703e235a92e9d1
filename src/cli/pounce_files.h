/* The files of `tapul pounce`. */
#ifndef TAPUL_CLI_POUNCE_FILES_H
#define TAPUL_CLI_POUNCE_FILES_H

#include <tapul/sheets.h>

/* A place of the plate as a case may give it: by tape where the tape leads back to the place
 * within a hundredth of a millimetre, else in space. */
typedef struct {
    gboolean by_tape;
    double across_mm, up_mm;
    TapulVec3 xyz_mm;
} TapulPouncePlace;

TapulPouncePlace tapul_pounce_place(const TapulPlate *plate, TapulSpot spot);
/* "across 12, up 30 mm by tape" */
char *tapul_pounce_say_place(const TapulPouncePlace *place);
/* Of all cuts of the papers, those along which the plate itself was opened first: GPtrArray of
 * GArray of TapulPouncePlace. */
GPtrArray *tapul_pounce_cut_places(const TapulCase *question, const TapulPounce *pounce);

/* Writes pounce.pdf (the summary, then the tiles), resist-N.pdf for each bite, piece-N.svg,
 * with mesh piece-N.obj, and cuts.yaml; papers of further pieces or bites that an earlier run
 * left are removed. Adds their names to files. All or none. */
gboolean tapul_write_pounce(const TapulPouncePages *pages, gboolean mesh, const char *folder,
                            GPtrArray *files, GError **error);

#endif
