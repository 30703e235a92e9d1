/* One print's pairs in all three geometries at once, and the least misfit over them. */
#ifndef EVIDENCE_SITTINGS_H
#define EVIDENCE_SITTINGS_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* viewed, developed, rolled: the rules below TAPUL_LAYING_PINNED index them. */
#define TAPUL_GEOMETRIES 3

/* Nobody picks better than this, whatever pick_sd_mm says; it keeps a perfect fit's score
 * finite. */
#define TAPUL_LEAST_PICK_SD_MM 0.01

/* The sittings are NULL where the pairs do not stand in a geometry. */
typedef struct {
    TapulPlane plane[TAPUL_GEOMETRIES];
    TapulSitting *sitting[TAPUL_GEOMETRIES]; /* by TapulLayingRule */
} TapulSittings;

/* In the planes of viewed and developed, and in the chart of rolled about a given spot. */
TapulSittings tapul_sittings_about(const TapulPairSet *pairs, TapulSpot pressing);
/* The same about the found spot that lies nearest to the middle of all of them: whatever pair
 * is named with whatever spot, the planes are the same. */
TapulSittings tapul_sittings_about_middle(const TapulPairSet *pairs);
void tapul_sittings_clear(TapulSittings *sittings);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(TapulSittings, tapul_sittings_clear)

/* The sum of squares of the scaled fit of one geometry and hand; INFINITY where the pairs do
 * not determine it. from, to: as of tapul_plane_fit. */
double tapul_sittings_rss_mm2(const TapulSittings *sittings, TapulLayingRule geometry,
                              gboolean reversed, int m, const int *from, const int *to);
/* The least of them over the geometries and both hands. */
double tapul_sittings_least_rss_mm2(const TapulSittings *sittings, int m, const int *from,
                                    const int *to);

/* The scaled hypothesis of least AICc in a geometry, of either hand, the pressing point given;
 * NULL where there is none. */
const TapulHypothesis *tapul_scaled_row(const GPtrArray *hypotheses, TapulLayingRule geometry);

G_END_DECLS

#endif
