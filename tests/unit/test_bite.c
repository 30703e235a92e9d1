/* Figures of the bite against outside ones. The sources of each stand beside it. */
#include <check.h>
#include <stdlib.h>
#include <string.h>
#include <tapul/pounce.h>

/* Half of the last digit that the figure is given with. */
#define LAST_DIGIT 0.5

/* 5.80876 g of FeCl3 a gram of iron: recomputed from Fe + 2 FeCl3 -> 3 FeCl2 (Allen, PCMI
 * Journal 137, 2021, p. 20, read), Fe 55.845 (CIAAW, read), Cl 35.45 (from memory). */
START_TEST(iron_chloride_is_two_for_one_iron) {
    ck_assert_double_eq_tol(tapul_bite_iron_chloride_g(1), 5.80876, LAST_DIGIT * 1e-5);
}
END_TEST

/* 45.599 g a cm3 at 7.85 g/cm3 (mild steel, at second hand; recomputed). */
START_TEST(a_cubic_centimetre_of_steel_uses_up_46_g) {
    double steel_g = tapul_bite_steel_g(1000, 1);
    ck_assert_double_eq_tol(steel_g, 7.85, 1e-12);
    ck_assert_double_eq_tol(tapul_bite_iron_chloride_g(steel_g), 45.599, LAST_DIGIT * 1e-3);
}
END_TEST

/* 600 cm2, of which 45 %, 0.15 mm deep: 4.05 cm3; 1000 cm2, 30 %, 0.10 mm: 3.00 cm3
 * (recomputed). */
START_TEST(two_plates_of_the_table) {
    double first_g = tapul_bite_steel_g(60000 * 0.45, 0.15);
    double second_g = tapul_bite_steel_g(100000 * 0.30, 0.10);
    ck_assert_double_eq_tol(first_g, 31.79, LAST_DIGIT * 1e-2);
    ck_assert_double_eq_tol(tapul_bite_iron_chloride_g(first_g), 184.67, LAST_DIGIT * 1e-2);
    ck_assert_double_eq_tol(second_g, 23.55, 1e-9);
    ck_assert_double_eq_tol(tapul_bite_iron_chloride_g(second_g), 136.80, LAST_DIGIT * 1e-2);
}
END_TEST

/* 42 Baume is SG 1.40777 (recomputed); at 40 % by weight (from memory) a litre holds 563.1 g
 * and could take 96.94 g of iron: an upper bound. */
START_TEST(a_litre_could_dissolve_97_g_of_iron) {
    ck_assert_double_eq_tol(1 / tapul_bite_etchant_l(1, 1), 96.94, LAST_DIGIT * 1e-2);
    ck_assert_double_eq_tol(tapul_bite_iron_chloride_g(1) / tapul_bite_etchant_l(1, 1), 563.1,
                            LAST_DIGIT * 1e-1);
    ck_assert_double_eq_tol(tapul_bite_etchant_l(96.94, 0.5), 2, 1e-4);
}
END_TEST

/* Loss per side of 0.15 mm (recomputed; etch factor = depth / undercut: Allen, Horne & Stevens
 * 1982, read). */
START_TEST(undercut_is_depth_by_etch_factor) {
    ck_assert_double_eq_tol(tapul_undercut_mm(0.15, 1.5), 0.100, 1e-12);
    ck_assert_double_eq_tol(tapul_undercut_mm(0.15, 2), 0.075, 1e-12);
    ck_assert_double_eq_tol(tapul_undercut_mm(0.15, 3), 0.050, 1e-12);
}
END_TEST

/* What the trade's notes ask for wherever etching figures are shown. */
START_TEST(cautions_name_every_danger) {
    static const char *const wanted[] = {"corrosive",
                                         "gloves",
                                         "eye protection",
                                         "air is changed",
                                         "to water, slowly",
                                         "foams",
                                         "luminium",
                                         "persulphates",
                                         "local rules",
                                         "drain",
                                         "food",
                                         "estimates",
                                         "supplier's safety sheet",
                                         "licensed practice",
                                         "not protective equipment"};
    g_autofree char *all = g_strjoinv("\n", (char **)tapul_etching_cautions());
    for (guint i = 0; i < G_N_ELEMENTS(wanted); i++)
        ck_assert_msg(strstr(all, wanted[i]) != NULL, "no caution speaks of '%s'", wanted[i]);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("bite");
    TCase *facts = tcase_create("facts");
    tcase_add_test(facts, iron_chloride_is_two_for_one_iron);
    tcase_add_test(facts, a_cubic_centimetre_of_steel_uses_up_46_g);
    tcase_add_test(facts, two_plates_of_the_table);
    tcase_add_test(facts, a_litre_could_dissolve_97_g_of_iron);
    tcase_add_test(facts, undercut_is_depth_by_etch_factor);
    tcase_add_test(facts, cautions_name_every_danger);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
