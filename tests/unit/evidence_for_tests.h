/* A small question and its evidence, made by hand: a print of two motifs on a cylinder, whose
 * development geometry gives. All invented. */
#ifndef TAPUL_TESTS_EVIDENCE_FOR_TESTS_H
#define TAPUL_TESTS_EVIDENCE_FOR_TESTS_H

#include "test_sheet_cylinders.h"

#include <tapul/evidence.h>

typedef struct {
    Cylinder *cylinder;
    TapulCase question;
    TapulInk found;
} TestQuestion;

/* --- The print --- */

static inline void add_stroke(TapulInk *ink, TapulVec2 from, TapulVec2 to, int motif) {
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = TAPUL_MARK_STROKE;
    mark->path = tapul_path_new();
    tapul_path_move(mark->path, from);
    tapul_path_line(mark->path, to);
    mark->width_mm = 0.3;
    mark->motif = motif;
    g_ptr_array_add(ink->marks, mark);
}

static inline void free_test_motif(gpointer data) {
    g_free(((TapulMotif *)data)->id);
    g_free(data);
}

static inline void add_test_motif(TapulInk *ink, const char *id, TapulBox box_mm) {
    TapulMotif *motif = g_new0(TapulMotif, 1);
    motif->id = g_strdup(id);
    motif->strokes = 2;
    motif->box_mm = box_mm;
    g_ptr_array_add(ink->motifs, motif);
}

/* 80 x 60 mm, crossed lines in two boxes. */
static inline TapulInk *test_print_ink(void) {
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->width_mm = 80;
    ink->height_mm = 60;
    ink->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    ink->motifs = g_ptr_array_new_with_free_func(free_test_motif);
    ink->skipped = g_ptr_array_new();
    add_test_motif(ink, "heron", (TapulBox){{10, 10}, {30, 50}});
    add_test_motif(ink, "reed & rush", (TapulBox){{50, 20}, {70, 50}});
    for (guint i = 0; i < ink->motifs->len; i++) {
        TapulBox box = ((TapulMotif *)ink->motifs->pdata[i])->box_mm;
        add_stroke(ink, box.min, box.max, (int)i);
        add_stroke(ink, tapul_vec2(box.min.x, box.max.y), tapul_vec2(box.max.x, box.min.y),
                   (int)i);
    }
    return ink;
}

/* --- The pairs --- */

static inline void free_test_pair(gpointer data) {
    g_free(((TapulPair *)data)->name);
    g_free(data);
}

static inline void add_test_pair(TestQuestion *made, const char *name, TapulVec2 print_mm,
                                 TapulVec2 developed_mm) {
    TapulPair *pair = g_new0(TapulPair, 1);
    pair->name = g_strdup(name);
    pair->print_mm = print_mm;
    pair->developed_mm = developed_mm;
    ck_assert(tapul_development_finder_spot(made->cylinder->finder, developed_mm, &pair->spot));
    g_ptr_array_add(made->question.pairs, pair);
}

/* Where the print lies on the plate laid flat: at 0.9 of its size, its middle at 0, 100 mm. */
#define TEST_SCALE 0.9
static inline TapulVec2 test_place(TapulVec2 print_mm) {
    return tapul_vec2(TEST_SCALE * (print_mm.x - 40), 100 + TEST_SCALE * (print_mm.y - 30));
}

/* n pairs over the print, each off by up to half a millimetre in a direction of its own. */
static inline void add_test_pairs(TestQuestion *made, int n) {
    for (int i = 0; i < n; i++) {
        g_autofree char *name = g_strdup_printf("point %d", i + 1);
        TapulVec2 print_mm = {5 + fmod(37.0 * i, 70), 5 + fmod(23.0 * i + i * i, 50)};
        TapulVec2 off = {0.4 * cos(2.4 * i), 0.4 * sin(2.4 * i)};
        add_test_pair(made, name, print_mm, tapul_vec2_add(test_place(print_mm), off));
    }
}

/* --- The question --- */

static inline TestQuestion *test_question_new(int n_pairs) {
    TestQuestion *made = g_new0(TestQuestion, 1);
    TapulCase *question = &made->question;
    made->cylinder = cylinder_new(100, 200, 170, "");
    question->path = (char *)"case.yaml";
    question->title = (char *)"Reed cartouche & <heron> on a cylinder";
    question->credit = (char *)"Invented for the test";
    question->plate = made->cylinder->plate;
    question->development = made->cylinder->development;
    question->finder = made->cylinder->finder;
    question->ground = made->cylinder->ground;
    question->pick_sd_mm = 0.5;
    question->prints = g_ptr_array_new();
    question->pairs = g_ptr_array_new_with_free_func(free_test_pair);
    TapulPrint *print = g_new0(TapulPrint, 1);
    print->id = (char *)"cartouche";
    print->file = (char *)"prints/reed cartouche.svg";
    print->ink = test_print_ink();
    g_ptr_array_add(question->prints, print);
    add_test_pairs(made, n_pairs);
    return made;
}

static inline TapulInk *test_ink_of(const TestQuestion *made) {
    return ((TapulPrint *)made->question.prints->pdata[0])->ink;
}

static inline void test_question_free(TestQuestion *made) {
    tapul_ink_free(test_ink_of(made));
    g_free(made->question.prints->pdata[0]);
    g_ptr_array_unref(made->question.prints);
    g_ptr_array_unref(made->question.pairs);
    if (made->found.marks)
        g_ptr_array_unref(made->found.marks);
    cylinder_free(made->cylinder);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestQuestion, test_question_free)

/* A tracing of the print's lines where it lies. */
static inline void add_test_tracing(TestQuestion *made) {
    const TapulInk *ink = test_ink_of(made);
    made->found.marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = ink->marks->pdata[i];
        const TapulVec2 *points = (const TapulVec2 *)(gpointer)mark->path->points->data;
        add_stroke(&made->found, test_place(points[0]), test_place(points[1]), -1);
    }
    made->question.found = &made->found;
}

/* --- Figures of ink, as they might be --- */

static inline void set_test_match(TapulPrintEvidence *found) {
    static const double tolerances_mm[] = {0.25, 0.5, 1, 1.5, 2, 3, 4, 5};
    g_array_set_size(found->match, 0);
    for (guint i = 0; i < G_N_ELEMENTS(tolerances_mm); i++) {
        double t = tolerances_mm[i];
        TapulMatchPoint point = {.tolerance_mm = t,
                                 .print_share = 1 - exp(-1.6 * t),
                                 .plate_share = 1 - exp(-1.2 * t),
                                 .chance_print = {0.04 * t, 0.11 * t},
                                 .chance_plate = {0.03 * t, 0.13 * t}};
        g_array_append_val(found->match, point);
    }
}

static inline void set_test_motifs(TapulPrintEvidence *found) {
    const TapulMotifFinding findings[] = {
        {.motif = 0,
         .fate = TAPUL_MOTIF_MOVED,
         .share = 0.91,
         .share_in_place = 0.2,
         .moved_mm = {3, -4},
         .turned_rad = G_PI / 36,
         .resized = 1.02,
         .box_mm = {{-20, 80}, {0, 120}}},
        {.motif = 1, .fate = TAPUL_MOTIF_LEFT_OUT, .share = 0.1, .share_in_place = 0.1}};
    g_array_set_size(found->motifs, 0);
    g_array_append_vals(found->motifs, findings, G_N_ELEMENTS(findings));
}

#endif
