/* Motifs found on the plate, as Web Annotations over the print's picture. */
#ifndef EVIDENCE_ANNOTATION_H
#define EVIDENCE_ANNOTATION_H

#include <json-glib/json-glib.h>
#include <tapul/evidence.h>

G_BEGIN_DECLS

/* An annotation page (W3C Web Annotation Data Model, 2017) with one annotation for each motif
 * that was found, its place in the print as an SvgSelector. image: the IRI of the print's
 * picture that they are to stand over; NULL: the print's file as the case names it. Coordinates
 * are pixels of a scan, upright; of a vector print mm of its plate mark, y down, which the
 * svg's viewBox says. */
JsonNode *tapul_annotations_new(const TapulCase *question, const TapulPrintEvidence *found,
                                const char *image);

G_END_DECLS

#endif
