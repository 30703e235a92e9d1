/* A pool of unrelated prints: what a search would make of prints that are not the source. */
#ifndef EVIDENCE_POOL_H
#define EVIDENCE_POOL_H

#include "evidence/ink_map.h"

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* TapulInk* of every print of a folder (svg, svgz, pdf, png, jpeg, tiff; other files and
 * subfolders are not looked at), in the order of their names. Left out are those of the case's
 * own prints, and drawings that come twice: the same bytes, or the same name but for its
 * ending. Each is scaled to the plate mark's area of the print in question, which keeps the
 * size of the sheet out of the comparison. NULL with an error if the folder or one of its
 * prints cannot be read. */
GPtrArray *tapul_pool_read(const char *folder, const TapulCase *question, int print,
                           GError **error);

typedef struct {
    double lost_share;  /* of the print's ink that the design found does not show, 0 to 1 */
    double added_share; /* of the design's ink that the print does not explain, 0 to 1 */
    double pick_sd_mm;
    guint64 seed;
    void (*progress)(double fraction, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulPoolOptions;

/* The likelihood ratio of one print against the pool. A print's score on a design is a / (a +
 * b), a the match that a search without pairs finds, at about the placement's scale and in
 * either hand, b that with the design turned half round: what density and manner of the lines
 * make by chance stands in both. It is taken of the print in question; of each of the pool on
 * the design found (different source); and of each of the pool on its own tracing (same
 * source): laid by the placement in the print's stead, worn and added to as the design found
 * is, and traced with the picking error. Of a pool of fewer than TAPUL_FEWEST_OF_POOL prints
 * there is no ratio, and words say so. */
TapulLikelihoodRatio tapul_pool_ratio(const GPtrArray *pool, const TapulInk *print,
                                      const TapulPlacement *placement, const TapulInkMap *plate,
                                      const TapulPoolOptions *options);

/* The ink of one print laid by a placement made for another, the middles of their plate marks
 * together, worn and traced; of `besides` as much as options asks for is added. */
TapulInkMap *tapul_pool_tracing(const TapulInk *ink, const TapulInk *besides,
                                const TapulInk *print, const TapulPlacement *placement,
                                const TapulPoolOptions *options, guint64 seed);

G_END_DECLS

#endif
