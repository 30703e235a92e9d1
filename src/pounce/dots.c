#include "pounce/resist_parts.h"
void tapul_resist_dot(const TapulResistPlan *plan, const GArray *piece, TapulResist *resist) {
    (void)plan;
    for (guint i = 0; i < piece->len; i++)
        g_ptr_array_add(resist->dot_mm, g_array_new(FALSE, FALSE, sizeof(TapulVec2)));
}
