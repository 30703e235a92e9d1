/* The likelihood ratios of a case's prints against a pool of unrelated ones. */
#ifndef EVIDENCE_WEIGH_POOL_H
#define EVIDENCE_WEIGH_POOL_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* Of each print that has a match, if there are a pool and a tracing; progress as of all the
 * work. FALSE with an error where the pool cannot be read. */
gboolean tapul_weigh_pool(TapulEvidence *evidence, const TapulCase *question,
                          const TapulWeighOptions *options, GError **error);

G_END_DECLS

#endif
