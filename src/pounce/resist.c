#include "pounce/parts.h"

TapulResist *tapul_pounce_resist(const TapulCase *question, const GPtrArray *pieces,
                                 GError **error) {
    (void)question, (void)pieces, (void)error;
    return g_new0(TapulResist, 1);
}

void tapul_resist_free(TapulResist *resist) {
    g_free(resist);
}
