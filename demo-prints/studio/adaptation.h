/* The adaptation: what the invented etcher took from the print, and where it was put. */
#ifndef STUDIO_ADAPTATION_H
#define STUDIO_ADAPTATION_H

#include "cap.h"
#include "raster.h"

#define ADAPTATION_LEFT_OUT "swag"
#define ADAPTATION_MOVED    "jewels"

/* From the print's place to that on the plate, in the print frame: over the metal, since the
 * sheet was rolled on. */
extern const Vec2 adaptation_moved_mm;
/* Where the sheet was laid. */
Sheet adaptation_sheet(void);
/* TRUE: the motif was taken over, in its place or moved. */
gboolean adaptation_keeps(const char *motif);

/* Beyond this from the pole, over the metal, the ground ends. */
#define ADAPTATION_FIELD_MM 58.0

/* What was bitten, in the print frame, 0 to 1. */
typedef struct {
    Raster *lines;  /* the design's */
    Raster *ground; /* between the motifs: bitten all over, but for dots of resist */
} Etching;

gboolean adaptation_etch(RsvgHandle *print, Etching *etching, GError **error);
void adaptation_clear(Etching *etching);

#endif
