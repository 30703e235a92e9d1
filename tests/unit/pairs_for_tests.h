/* Pairs of an invented print on a ball of 150 mm, laid by closed forms: as an eye in front sees
 * it, or pressed on over the metal. */
#ifndef PAIRS_FOR_TESTS_H
#define PAIRS_FOR_TESTS_H

#include "closed_forms_for_tests.h"
#include "evidence/placement.h"
#include "grounds_for_tests.h"

/* The middle of an invented plate mark of 200 mm square. */
#define PAIRS_MIDDLE_MM 100.0

static const ClosedForm ball = {FORM_SPHERE, 150, 129.9038105676658, 0};

typedef struct {
    TapulPairSet set;
    TapulVec2 *print_mm;
    TapulSpot *spot;
} TestPairs;

typedef struct {
    int n;
    gboolean as_seen, reversed;
    double radius_mm; /* of the disc that the points are spread over, on the plate */
    double scale, turn_rad;
    double pick_sd_mm;
} TestPairsKind;

static inline TapulSpot spot_at(const TestGround *made, TapulVec3 at_mm) {
    TapulSpot spot;
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_plate_spot_from_xyz(made->plate, at_mm, &spot, &error), "%s",
                  error ? error->message : "no error told");
    return spot;
}

static inline TapulSpot spot_of_step(const TestGround *made, const TestPairsKind *kind,
                                     TapulVec2 step_mm, gsl_rng *random) {
    TapulVec3 pole = form_seen_at(&ball, tapul_vec2(0, ball.centre_y_mm));
    TapulVec3 at =
        kind->as_seen
            ? form_seen_at(&ball, tapul_vec2_add(tapul_vec2(0, ball.centre_y_mm), step_mm))
            : form_pressed_on(&ball, pole, step_mm);
    return spot_at(made, form_picked(&ball, at, kind->pick_sd_mm, random));
}

static inline TestPairs test_pairs_new(const TestGround *made, const TestPairsKind *kind,
                                       gsl_rng *random) {
    TestPairs pairs = {.print_mm = g_new(TapulVec2, kind->n),
                       .spot = g_new(TapulSpot, kind->n)};
    for (int k = 0; k < kind->n; k++) {
        TapulVec2 step = form_point_of_disc(kind->radius_mm, random);
        TapulVec2 back =
            tapul_vec2_scale(tapul_vec2_turn(step, -kind->turn_rad), 1 / kind->scale);
        pairs.print_mm[k] = tapul_vec2(PAIRS_MIDDLE_MM + (kind->reversed ? -back.x : back.x),
                                       PAIRS_MIDDLE_MM + back.y);
        pairs.spot[k] = spot_of_step(made, kind, step, random);
    }
    pairs.set = (TapulPairSet){.ground = &made->ground,
                               .n = kind->n,
                               .print_mm = pairs.print_mm,
                               .spot = pairs.spot,
                               .pressing_mm = {PAIRS_MIDDLE_MM, PAIRS_MIDDLE_MM},
                               .pick_sd_mm = kind->pick_sd_mm};
    return pairs;
}

static inline void test_pairs_clear(TestPairs *pairs) {
    g_free(pairs->print_mm);
    g_free(pairs->spot);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(TestPairs, test_pairs_clear)

#endif
