/* Figures of the bite, and the cautions that belong beside them.
 *
 * Fe + 2 FeCl3 -> 3 FeCl2 (D. Allen, PCMI Journal 137, 2021, p. 20). The grades of each figure:
 * Fe 55.845 (CIAAW, read at the source); Cl 35.45 and steel's 7.85 g/cm3 (from memory and at
 * second hand); 42 degrees Baume is a specific gravity of 145 / (145 - 42) = 1.40777
 * (computed), at which a solution of FeCl3 holds 40 % by weight (from memory). */
#include "pounce/parts.h"

#define FE_G_PER_MOL      55.845
#define CL_G_PER_MOL      35.45
#define STEEL_G_PER_MM3   7.85e-3
#define BATH_G_PER_L      1407.77
#define BATH_SHARE        0.40
#define FECL3_MOL_PER_MOL 2.0

static double iron_chloride_g_per_g(void) {
    return FECL3_MOL_PER_MOL * (FE_G_PER_MOL + 3 * CL_G_PER_MOL) / FE_G_PER_MOL;
}

double tapul_undercut_mm(double depth_mm, double etch_factor) {
    g_assert(etch_factor > 0);
    return depth_mm / etch_factor;
}

double tapul_bite_steel_g(double area_mm2, double depth_mm) {
    return area_mm2 * depth_mm * STEEL_G_PER_MM3;
}

double tapul_bite_iron_chloride_g(double steel_g) {
    return steel_g * iron_chloride_g_per_g();
}

double tapul_bite_etchant_l(double steel_g, double working_share) {
    g_assert(working_share > 0);
    return tapul_bite_iron_chloride_g(steel_g) / (BATH_G_PER_L * BATH_SHARE * working_share);
}

const char *const *tapul_etching_cautions(void) {
    static const char *const cautions[] = {
        "Etchants are corrosive: wear gloves and eye protection, and work where the air is "
        "changed.",
        "Splashes on the skin or in the eyes: rinse at once with much water, and see a doctor.",
        "Add acid or solid to water, slowly; never water to acid or solid.",
        "Neutralise slowly: it foams and grows warm.",
        "Keep aluminium away from ferric chloride: they react violently.",
        "Never mix etchants with persulphates.",
        "Spent etchant and rinsings are waste by local rules: not down the drain.",
        "Make no vessel for food or drink with them, and use none for them.",
        "All figures of metal, etchant and undercut are estimates: try them on scrap first.",
        "Follow the supplier's safety sheet, local codes and licensed practice.",
        "A reproduction is not protective equipment.",
        NULL};
    return cautions;
}
