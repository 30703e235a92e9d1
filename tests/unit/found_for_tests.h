/* Designs as they would be found on a plate, whose truth is known: an invented print laid by
 * closed form, some of its motifs moved, left out or reversed, one added from elsewhere; worn,
 * and traced by an unsteady hand. */
#ifndef FOUND_FOR_TESTS_H
#define FOUND_FOR_TESTS_H

#include "closed_forms_for_tests.h"
#include "evidence/motifs.h"
#include "evidence/placement.h"
#include "evidence/rolled_fit.h"
#include "grounds_for_tests.h"

#include <gsl/gsl_randist.h>

/* How unsteady the tracing hand is, line by line, and the picking of pairs; standard deviations
 * in each direction. */
#define HAND_SD_MM 0.25
#define PICK_SD_MM 0.5
#define N_PAIRS    12
/* Worn places and what is left between them are some mm long. */
#define WORN_SHARE  0.3
#define WORN_RUN_MM 3.0
#define MOVED_MM    8.0

typedef struct {
    const char *print;
    const char *movable[12];  /* figures that an engraver would move or leave out */
    const char *one_sided[6]; /* which look otherwise in a mirror */
} FoundSubject;

static const FoundSubject found_subjects[] = {
    {"small-motifs",
     {"bird", "shell", "dragonfly", "fish", "flower", "mask", "frog", "snail", "knot"},
     {"bird", "fish", "snail"}},
    {"kingfishers",
     {"dragonfly", "bulrushes-right", "kingfisher-perched", "kingfisher-diving", "branch",
      "lilies", "bulrushes-left"},
     {"kingfisher-perched", "kingfisher-diving", "branch"}},
    {"reed-cartouche",
     {"mask", "fruit-bunch", "snail", "dragonfly", "fruit-left", "fruit-right", "heron"},
     {"snail", "heron", "dragonfly"}},
    {"river-trophy",
     {"helmet", "shield", "drum-right", "quiver", "drum-left", "flag-left", "flag-right",
      "bulrushes"},
     {"helmet", "quiver", "flag-left", "flag-right"}},
    {"grotesque-panel",
     {"mask", "shell", "bird-left", "bird-right", "snail-left", "snail-right", "medallion",
      "urn", "swag-left", "swag-right"},
     {"bird-left", "bird-right", "snail-left", "snail-right"}},
};

typedef struct {
    TapulInk *print;           /* owned */
    TapulInk *found;           /* developed frame; marks alone */
    TapulMotifFate *truth;     /* of each motif of the print */
    TapulPlacement *placement; /* fitted to pairs that someone picked */
    double fit_sd_mm;
    int moved; /* the motif moved, and by how much, in the print's frame */
    TapulVec2 moved_mm;
    double added_mm;
    TapulBox added_mm_box; /* developed frame */
} FoundCase;

typedef struct {
    const ClosedForm *form;
    const TestGround *made;
    TapulVec3 pressed; /* where the print's middle is pressed on */
    TapulVec2 middle_mm;
    gboolean reversed;
    double scale, turn_rad;
    gsl_rng *random;
} FoundLaying;

static inline TapulInk *demo_print(const char *name) {
    g_autofree char *file = g_strdup_printf("%s.svg", name);
    g_autofree char *path =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "demo-prints", "prints", file, NULL);
    g_autoptr(GError) error = NULL;
    TapulInk *ink = tapul_ink_read(path, NULL, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : path);
    return ink;
}

static inline int found_motif(const TapulInk *print, const char *id) {
    for (guint i = 0; i < print->motifs->len; i++)
        if (g_str_equal(((const TapulMotif *)g_ptr_array_index(print->motifs, i))->id, id))
            return (int)i;
    ck_abort_msg("the print has no motif %s", id);
}

static inline TapulVec3 found_place(const FoundLaying *laying, TapulVec2 print_mm) {
    TapulVec2 p = tapul_vec2_sub(print_mm, laying->middle_mm);
    p.x = laying->reversed ? -p.x : p.x;
    p = tapul_vec2_scale(tapul_vec2_turn(p, laying->turn_rad), laying->scale);
    return form_pressed_on(laying->form, laying->pressed, p);
}

static inline gboolean found_developed(const FoundLaying *laying, TapulVec2 print_mm,
                                       TapulVec2 *developed_mm) {
    TapulSpot spot;
    if (!tapul_plate_spot_from_xyz(laying->made->plate, found_place(laying, print_mm), &spot,
                                   NULL))
        return FALSE;
    *developed_mm = tapul_development_point_mm(laying->made->development, spot);
    return TRUE;
}

/* What an engraver made of a motif, in the print's frame: mirrored, turned, resized about a
 * middle, and shifted. */
typedef struct {
    TapulVec2 shift_mm, middle_mm;
    gboolean mirrored;
    double turn_rad, resized; /* resized 0: not */
} FoundEdit;

static inline TapulVec2 found_edited(const FoundEdit *edit, TapulVec2 point_mm) {
    TapulVec2 p = tapul_vec2_sub(point_mm, edit->middle_mm);
    p.x = edit->mirrored ? -p.x : p.x;
    p = tapul_vec2_scale(tapul_vec2_turn(p, edit->turn_rad),
                         edit->resized > 0 ? edit->resized : 1);
    return tapul_vec2_add(p, tapul_vec2_add(edit->middle_mm, edit->shift_mm));
}

static inline TapulVec2 found_middle_mm(const TapulInk *print, int motif) {
    TapulBox box = ((const TapulMotif *)g_ptr_array_index(print->motifs, (guint)motif))->box_mm;
    return tapul_vec2_mix(box.min, box.max, 0.5);
}

/* Lays a mark, worn; returns how long what is left of it is. */
static inline double found_add_mark(const FoundLaying *laying, const TapulMark *mark,
                                    const FoundEdit *edit, TapulInk *found, TapulBox *box) {
    TapulVec2 hand = {gsl_ran_gaussian(laying->random, HAND_SD_MM),
                      gsl_ran_gaussian(laying->random, HAND_SD_MM)};
    gboolean worn = gsl_rng_uniform(laying->random) < WORN_SHARE, open = FALSE;
    double left_mm = 0, drawn_mm = 0;
    TapulPath *path = tapul_path_new();
    TapulVec2 last = {0, 0};
    TapulPathWalk walk = tapul_path_walk(mark->path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        int n = MAX(1, (int)ceil(tapul_vec2_distance(piece.p[0], piece.p[3])));
        for (int i = piece.starts_subpath ? 0 : 1; i <= n; i++) {
            TapulVec2 at;
            gboolean laid = found_developed(
                laying,
                tapul_vec2_add(hand,
                               found_edited(edit, tapul_cubic_point(piece.p, (double)i / n))),
                &at);
            if (left_mm <= 0) {
                worn = !worn;
                left_mm = gsl_ran_exponential(
                    laying->random,
                    worn ? WORN_RUN_MM : WORN_RUN_MM * (1 - WORN_SHARE) / WORN_SHARE);
            }
            left_mm -= i > 0 ? tapul_vec2_distance(piece.p[0], piece.p[3]) / n : 0;
            open &= laid && !worn && i > 0;
            if (laid && !worn) {
                if (open) {
                    tapul_path_line(path, at);
                    drawn_mm += tapul_vec2_distance(last, at);
                } else {
                    tapul_path_move(path, at);
                }
                if (box)
                    tapul_box_add(box, at);
                open = TRUE;
            }
            last = at;
        }
    }
    test_ink_take(found, TAPUL_MARK_STROKE, path);
    return drawn_mm;
}

static inline const char *found_pick(const char *const *from, guint most, const char *but,
                                     gsl_rng *random) {
    guint n = 0;
    while (n < most && from[n])
        n++;
    const char *picked;
    do
        picked = from[gsl_rng_uniform_int(random, n)];
    while (but && g_str_equal(picked, but));
    return picked;
}

/* The placement that someone would find who picks pairs. */
static inline TapulPlacement *found_fit(const FoundLaying *laying, const TapulInk *print,
                                        double *fit_sd_mm) {
    TapulVec2 print_mm[N_PAIRS];
    TapulSpot spot[N_PAIRS];
    for (int i = 0; i < N_PAIRS; i++) {
        print_mm[i] = tapul_vec2(print->width_mm * gsl_rng_uniform(laying->random),
                                 print->height_mm * gsl_rng_uniform(laying->random));
        TapulVec3 at = form_picked(laying->form, found_place(laying, print_mm[i]), PICK_SD_MM,
                                   laying->random);
        ck_assert(tapul_plate_spot_from_xyz(laying->made->plate, at, &spot[i], NULL));
    }
    TapulPairSet pairs = {&laying->made->ground, N_PAIRS,   print_mm, spot,
                          laying->middle_mm,     PICK_SD_MM};
    TapulRolledFit start = {0};
    ck_assert(tapul_rolled_start(&pairs, laying->reversed, &start));
    *fit_sd_mm = sqrt(start.fit.rss_mm2 / (2 * N_PAIRS - 4));
    TapulPlacement *placement = tapul_placement_new_take(&start.plane, &start.fit);
    tapul_rolled_fit_clear(&start);
    return placement;
}

static inline void found_choose(const FoundSubject *subject, FoundCase *made, FoundEdit *edits,
                                gsl_rng *random) {
    const char *reversed =
        found_pick(subject->one_sided, G_N_ELEMENTS(subject->one_sided), NULL, random);
    const char *moved = found_pick(subject->movable, G_N_ELEMENTS(subject->movable), reversed,
                                   random),
               *out;
    do
        out = found_pick(subject->movable, G_N_ELEMENTS(subject->movable), reversed, random);
    while (g_str_equal(out, moved));
    int r = found_motif(made->print, reversed), m = found_motif(made->print, moved);
    made->truth[r] = TAPUL_MOTIF_REVERSED;
    made->truth[m] = TAPUL_MOTIF_MOVED;
    made->truth[found_motif(made->print, out)] = TAPUL_MOTIF_LEFT_OUT;
    edits[r].mirrored = TRUE;
    edits[r].middle_mm = found_middle_mm(made->print, r);
    made->moved = m;
    edits[m].shift_mm = made->moved_mm =
        tapul_vec2_turn(tapul_vec2(MOVED_MM, 0), 2 * G_PI * gsl_rng_uniform(random));
}

/* Something from elsewhere beside the print: a motif of another. */
static inline void found_add_other(const FoundLaying *laying, FoundCase *made) {
    g_autoptr(TapulInk) other = demo_print("scrolled-frieze");
    int motif = found_motif(other, "bird");
    TapulBox box = ((const TapulMotif *)g_ptr_array_index(other->motifs, (guint)motif))->box_mm;
    FoundEdit edit = {.shift_mm = {made->print->width_mm + 8 - box.min.x,
                                   made->print->height_mm / 2 - box.min.y}};
    made->added_mm_box = tapul_box_empty();
    for (guint i = 0; i < other->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(other->marks, i);
        if (mark->motif == motif && !mark->paper)
            made->added_mm +=
                found_add_mark(laying, mark, &edit, made->found, &made->added_mm_box);
    }
}

/* Lays all but what was left out, each motif as it was edited. */
static inline void found_lay(const FoundLaying *laying, FoundCase *made,
                             const FoundEdit *edits) {
    static const FoundEdit none;
    for (guint i = 0; i < made->print->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(made->print->marks, i);
        if (mark->paper ||
            (mark->motif >= 0 && made->truth[mark->motif] == TAPUL_MOTIF_LEFT_OUT))
            continue;
        found_add_mark(laying, mark, mark->motif < 0 ? &none : &edits[mark->motif], made->found,
                       NULL);
    }
}

typedef void (*FoundChoice)(const FoundSubject *subject, FoundCase *made, FoundEdit *edits,
                            gsl_rng *random);

/* One case on the test grounds' cylinder or sphere; the seed decides all that is random in it.
 */
static inline FoundCase *found_case_made(const FoundSubject *subject, FoundChoice choose,
                                         const TestGround *ground, gboolean on_cylinder,
                                         guint seed) {
    ClosedForm form = on_cylinder ? (ClosedForm){FORM_CYLINDER, 100, 0, 0}
                                  : (ClosedForm){FORM_SPHERE, 150, SPHERE_MIDDLE_MM, 0};
    FoundCase *made = g_new0(FoundCase, 1);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, seed);
    made->print = demo_print(subject->print);
    made->found = test_ink_new();
    made->truth = g_new0(TapulMotifFate, made->print->motifs->len);
    g_autofree FoundEdit *edits = g_new0(FoundEdit, made->print->motifs->len);
    double middle_mm = on_cylinder ? CYLINDER_MIDDLE_MM : SPHERE_MIDDLE_MM;
    FoundLaying laying = {
        .form = &form, .made = ground, .random = random, .reversed = seed % 2 == 1};
    laying.pressed = form_seen_at(&form, tapul_vec2(5, middle_mm + 8));
    laying.middle_mm = tapul_vec2(made->print->width_mm / 2, made->print->height_mm / 2);
    laying.scale = 0.9 + 0.3 * gsl_rng_uniform(random);
    laying.turn_rad = 0.2 * gsl_rng_uniform(random) - 0.1;
    choose(subject, made, edits, random);
    found_lay(&laying, made, edits);
    found_add_other(&laying, made);
    made->placement = found_fit(&laying, made->print, &made->fit_sd_mm);
    gsl_rng_free(random);
    return made;
}

/* The print goes by the seed; one motif is moved, one left out, one reversed. */
static inline FoundCase *found_case_new(const TestGround *ground, gboolean on_cylinder,
                                        guint seed) {
    return found_case_made(&found_subjects[seed % G_N_ELEMENTS(found_subjects)], found_choose,
                           ground, on_cylinder, seed);
}

static inline void found_case_free(FoundCase *made) {
    tapul_ink_free(made->print);
    test_ink_free(made->found);
    tapul_placement_free(made->placement);
    g_free(made->truth);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(FoundCase, found_case_free)

#endif
