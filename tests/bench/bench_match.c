/* How often the fates of motifs are found right, and how long that takes: invented prints laid
 * by closed form on a sphere and a cylinder, one motif of each moved by 8 mm, one left out, one
 * reversed, one added from another print; 30 % worn. The motifs' thresholds were set on other
 * cases (seeds 0 to 9) than these. */
#include "../unit/found_for_tests.h"

#include "evidence/added.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

#define CASES      40
#define FIRST_SEED 100

static const char *const fates[] = {"kept",     "moved",    "turned",   "resized",
                                    "reversed", "left out", "undecided"};

typedef struct {
    int right, decided, truth_right[7], truth[7];
    double scale_off[CASES], added_off[CASES];
    double map_s[CASES], match_s[CASES], motifs_s[CASES], added_s[CASES], search_s[CASES];
    int found_added;
} Tally;

static void count_fates(const FoundCase *made, const GArray *findings, int seed, Tally *tally,
                        int i) {
    for (guint k = 0; k < findings->len; k++) {
        const TapulMotifFinding *at = &g_array_index(findings, TapulMotifFinding, k);
        const TapulMotif *motif = g_ptr_array_index(made->print->motifs, (guint)at->motif);
        TapulMotifFate truth = made->truth[at->motif];
        if (motif->length_mm < TAPUL_MOTIF_LEAST_MM)
            continue;
        tally->decided++;
        tally->truth[truth]++;
        tally->right += at->fate == truth;
        tally->truth_right[truth] += at->fate == truth;
        if (at->motif == made->moved)
            tally->scale_off[i] = fabs(at->resized - 1);
        if (at->fate != truth)
            printf("  seed %d, %s of %.0f mm: %s, found %s (share %.2f, in place %.2f, moved "
                   "%.1f mm, turned "
                   "%.0f degrees, resized %.2f)\n",
                   seed, motif->id, motif->length_mm, fates[truth], fates[at->fate], at->share,
                   at->share_in_place, tapul_vec2_length(at->moved_mm),
                   at->turned_rad * 180 / G_PI, at->resized);
    }
}

static void run_case(const FoundCase *made, int seed, Tally *tally, int i) {
    TapulMatchOptions options = tapul_match_options_defaults();
    TapulMatchSearch search = tapul_match_search_defaults();
    options.fit_sd_mm = made->fit_sd_mm;
    double start_s = omp_get_wtime();
    g_autoptr(TapulInkMap) plate = tapul_ink_map_new(made->found);
    double mapped_s = omp_get_wtime();
    g_autoptr(TapulInkMatch) match =
        tapul_ink_match_new(made->print, made->placement, plate, &options);
    double matched_s = omp_get_wtime();
    g_autoptr(GArray) findings = tapul_motif_findings(made->print, match, plate, &options);
    double found_s = omp_get_wtime();
    TapulInkMatch *const matches[] = {match};
    g_autoptr(GArray) added = tapul_ink_added(plate, 1, matches);
    double added_s = omp_get_wtime();
    tapul_ink_match_search(made->print, plate, &search);
    tally->map_s[i] = mapped_s - start_s;
    tally->match_s[i] = matched_s - mapped_s;
    tally->motifs_s[i] = found_s - matched_s;
    tally->added_s[i] = added_s - found_s;
    tally->search_s[i] = omp_get_wtime() - added_s;
    double listed_mm = added->len > 0 ? g_array_index(added, TapulAdded, 0).length_mm : 0;
    tally->added_off[i] = fabs(listed_mm / made->added_mm - 1);
    tally->found_added += added->len == 1;
    count_fates(made, findings, seed, tally, i);
}

static void tell(const char *what, const char *unit, double *value) {
    gsl_sort(value, 1, CASES);
    printf("%-44s median %7.3f, %7.3f to %7.3f %s\n", what,
           gsl_stats_median_from_sorted_data(value, 1, CASES), value[0], value[CASES - 1],
           unit);
}

static void tell_all(Tally *tally) {
    printf("fates right: %d of %d (%.2f %%)\n", tally->right, tally->decided,
           100.0 * tally->right / tally->decided);
    for (int k = 0; k < 7; k++)
        if (tally->truth[k] > 0)
            printf("  %-10s %4d of %4d\n", fates[k], tally->truth_right[k], tally->truth[k]);
    printf("added ink listed as one group: %d of %d\n", tally->found_added, CASES);
    tell("length of added ink, off by a share of", "", tally->added_off);
    tell("scale of the motif moved, off by", "", tally->scale_off);
    tell("distance maps of the plate's ink", "s", tally->map_s);
    tell("match, refined, 200 random placements", "s", tally->match_s);
    tell("motifs", "s", tally->motifs_s);
    tell("added ink", "s", tally->added_s);
    tell("search without pairs", "s", tally->search_s);
}

START_TEST(fates_of_motifs) {
    g_autoptr(TestGround) sphere = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestGround) cylinder = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    Tally tally = {0};
    printf("%d threads\n", omp_get_max_threads());
    for (int i = 0; i < CASES; i++) {
        int seed = FIRST_SEED + i;
        g_autoptr(FoundCase) made =
            found_case_new(i % 2 == 0 ? cylinder : sphere, i % 2 == 0, (guint)seed);
        run_case(made, seed, &tally, i);
    }
    tell_all(&tally);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("bench_match");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 0);
    tcase_add_test(all, fates_of_motifs);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed > 0;
}
