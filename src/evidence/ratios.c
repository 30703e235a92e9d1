/* The simple ratios at which designs were enlarged or reduced by squaring-up. */
#include "evidence/bootstrap.h"

void tapul_ratios_fill(TapulRatio ratios[7], TapulInterval scale) {
    static const TapulRatio simple[7] = {{"1/2", 1.0 / 2, FALSE}, {"2/3", 2.0 / 3, FALSE},
                                         {"3/4", 3.0 / 4, FALSE}, {"1/1", 1, FALSE},
                                         {"4/3", 4.0 / 3, FALSE}, {"3/2", 3.0 / 2, FALSE},
                                         {"2/1", 2, FALSE}};
    for (int i = 0; i < 7; i++) {
        ratios[i] = simple[i];
        ratios[i].inside = ratios[i].value >= scale.low && ratios[i].value <= scale.high;
    }
}
