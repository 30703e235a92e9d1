/* Two borders, both of which repeat exactly: each part of the motif is drawn with the same
 * chance and the same unsteadiness in every repeat. */
#include <math.h>

#include "arms.h"
#include "foliage.h"
#include "ink.h"
#include "plate.h"
#include "prints.h"
#include "scenery.h"

#define PERIOD       20.0
#define BRAID_HEIGHT 24.0
#define ROPE_PERIOD  32.0
#define ROPE_PLIES   9

/* Two repeats are drawn beyond either end of the sheet, so that the outermost of those that
 * show have the same neighbours as any other. */
typedef struct Repeat {
    double period;
    int first;
    int last;
} Repeat;

static const Repeat braid = {PERIOD, -2, 9};

static Curve *strand(double origin, double from, double to, double phase) {
    Curve *curve = curve_new(false);
    for (int i = 0; i <= 60; i++) {
        double share = from + (to - from) * i / 60;
        curve_append(curve, (Point){origin + share * PERIOD,
                                    BRAID_HEIGHT / 2 + phase * 5.3 * cos(2 * G_PI * share)});
    }
    return curve;
}

typedef void (*PartDraw)(Sheet *sheet, double origin);

/* Draws one part of the motif in all repeats before the next part, which lies behind it. */
static void in_every_repeat(Sheet *sheet, const Repeat *repeat, const char *group,
                            uint64_t part, PartDraw draw) {
    sheet_group(sheet, group);
    for (int number = repeat->first; number <= repeat->last; number++) {
        double origin = number * repeat->period;
        hand_repeat(&sheet->hand, (Point){origin, 0}, part);
        draw(sheet, origin);
    }
}

static void braid_piece(Sheet *sheet, double origin, double from, double to, double phase,
                        double base) {
    Plate plate = plate_plain();
    plate.inner_line = 0.75;
    plate.base = base;
    plate.bevel = 1;
    plate_band(sheet, strand(origin, from, to, phase), "0 1, 1 1", 3.7, &plate);
}

static void first_over(Sheet *sheet, double origin) {
    sheet_set_owner(sheet, 1);
    braid_piece(sheet, origin, 0.13, 0.37, 1, 0.17);
    sheet_set_owner(sheet, 2);
    braid_piece(sheet, origin, 0.63, 0.87, -1, 0.17);
    sheet_set_owner(sheet, 0);
}

static void first_under(Sheet *sheet, double origin) {
    sheet_set_owner(sheet, 1);
    braid_piece(sheet, origin, 0.37, 1.13, 1, 0.2);
    sheet_set_owner(sheet, 2);
    braid_piece(sheet, origin, -0.13, 0.63, -1, 0.2);
    sheet_set_owner(sheet, 0);
}

static void eye_rosette(Sheet *sheet, double origin) {
    foliage_rosette(sheet, (Point){origin, BRAID_HEIGHT / 2}, 2.7, 5, 18);
}

static void eye_pearl(Sheet *sheet, double origin) {
    arms_rivet(sheet, (Point){origin + PERIOD / 2, BRAID_HEIGHT / 2}, 1.05);
    Form form = form_plain();
    form.round = 0.8;
    form.contrast = 0.8;
    form.spacing = 0.3;
    form.throws = 0.9;
    form_draw(sheet,
              shape_new(curve_oval(&sheet->hand, (Point){origin + PERIOD / 2, BRAID_HEIGHT / 2},
                                   2.1, 2.05, 0, 0.03)),
              &form);
}

static void corner_leaf(Sheet *sheet, double origin) {
    for (int half = 0; half < 2; half++)
        for (int side = -1; side <= 1; side += 2) {
            double x = origin + PERIOD * (0.25 + 0.5 * half);
            Frame frame = {{x, BRAID_HEIGHT / 2 + side * 3.4}, side, side, 0};
            foliage_acanthus(sheet, curve_open(frame, "0 0, 0.15 2, -0.1 4, 0.2 5.2"), 2.2, 3,
                             0.1);
        }
}

static void bead_row(Sheet *sheet, double origin) {
    for (int row = 0; row < 2; row++)
        for (int i = 0; i < 8; i++) {
            double x = origin + (i + 0.5) * PERIOD / 8, y = row == 0 ? 2 : BRAID_HEIGHT - 2;
            arms_rivet(sheet, (Point){x, y}, i % 2 == 0 ? 0.62 : 0.36);
        }
}

static void rules(Sheet *sheet, double origin) {
    static const double levels[4][2] = {{0.7, 0.34}, {3.2, 0.18}, {20.8, 0.2}, {23.3, 0.34}};
    for (int i = 0; i < 4; i++) {
        Curve *line = curve_new(false);
        for (double x = 0; x <= PERIOD + 0.01; x += 1)
            curve_append(line, (Point){origin + x, levels[i][0]});
        ink_stroke(sheet, line, levels[i][1]);
    }
}

static void braid_ground(Sheet *sheet, double origin) {
    Form form = form_plain();
    form.round = 0;
    form.base = 0.66;
    form.shadow = 0.2;
    form.angle = 0;
    form.spacing = 0.36;
    form.thick = 0.2;
    form.widths = 2;
    form.dots = 0;
    form.no_contour = true;
    form.cross_threshold = 0.58;
    form_hatch(sheet, scenery_box(origin, 3.4, origin + PERIOD, 20.6), &form);
}

void print_braided_border(Sheet *sheet) {
    sheet->beyond = 1.5 * PERIOD;
    in_every_repeat(sheet, &braid, "strand-over", 1, first_over);
    in_every_repeat(sheet, &braid, "rosettes", 2, eye_rosette);
    in_every_repeat(sheet, &braid, "pearls", 3, eye_pearl);
    in_every_repeat(sheet, &braid, "strand-under", 4, first_under);
    in_every_repeat(sheet, &braid, "leaves", 5, corner_leaf);
    in_every_repeat(sheet, &braid, "beads", 6, bead_row);
    in_every_repeat(sheet, &braid, "rules", 7, rules);
    in_every_repeat(sheet, &braid, "ground", 8, braid_ground);
}

static void rope_ply(Sheet *sheet, double x, int number) {
    double lift = hand_between(&sheet->hand, -0.15, 0.15);
    Frame frame = frame_at(x, 8 + lift, 1, hand_between(&sheet->hand, -1.5, 1.5));
    Form form = form_plain();
    form.round = 1.5;
    form.base = number % 3 == 0 ? 0.3 : 0.14;
    form.contrast = 0.75;
    form.spacing = 0.34;
    form.first = curve_open(frame, "-4.8 4.4, -2.2 2.8, -0.6 0, 0.8 -3, 2.2 -4.4");
    form.last = curve_open(frame, "-2.2 4.6, 0.4 3, 2 0, 3.4 -2.8, 5.2 -4.2");
    form.ramped = true;
    form.ramp_from = (Point){x, 9};
    form.ramp_to = (Point){x + 0.6, 12.2};
    form.ramp_end = 0.5;
    form.throws = 1.3;
    form.dots = 0.7;
    form.cross_threshold = 0.7;
    form_draw_text(sheet, frame,
                   "-4.6 4.2, -2.8 3.1, -1.2 0.6, 0 -2.2, 1.4 -4.2, 3 -4.6, 4.8 -4 /, "
                   "3 -2.6, 1.8 0.2, 0.2 3, -1.6 4.5, -3.4 4.7",
                   &form);
}

static void rope_collar(Sheet *sheet, double x) {
    plate_jewel(sheet, frame_at(x, 8, 1, hand_between(&sheet->hand, -2, 2)), 1, 2);
    for (int side = -1; side <= 1; side += 2) {
        Ribbon ring =
            ribbon_new(curve_open(frame_at(x, 8, 1, 0),
                                  side < 0 ? "-2.7 -5.6, -3.2 -3, -3.3 0, -3.1 3, -2.6 5.7"
                                           : "2.8 -5.6, 2.4 -3, 2.3 0, 2.5 3, 2.9 5.7"),
                       "0 0.9, 0.5 1.2, 1 0.9", 1);
        Form form = form_plain();
        form.round = 0.6;
        form.contrast = 0.8;
        form.spacing = 0.34;
        ribbon_draw(sheet, &ring, &form, 0.2, 0);
    }
    Form form = form_plain();
    form.round = 2;
    form.contrast = 0.75;
    form.base = 0.16;
    form.angle = 88;
    form.throws = 1.5;
    form_draw_text(sheet, frame_at(x, 8, 1, 0),
                   "-2.7 -5.1 /, 0 -5.4, 2.8 -5.1 /, 2.4 0, 2.8 5.2 /, 0 5.5, "
                   "-2.7 5.2 /, -3.2 0",
                   &form);
}

static void collar_of_repeat(Sheet *sheet, double origin) {
    rope_collar(sheet, origin + ROPE_PERIOD / 2);
}

static void rope_plies(Sheet *sheet, double origin) {
    for (int i = 0; i < ROPE_PLIES; i++) {
        hand_repeat(&sheet->hand, (Point){origin, 0}, 100 + (uint64_t)i);
        rope_ply(sheet, origin + (i + 0.4) * ROPE_PERIOD / ROPE_PLIES, i);
    }
}

static void rope_leaves(Sheet *sheet, double origin) {
    for (int i = 0; i < 2; i++)
        for (int side = -1; side <= 1; side += 2) {
            Frame frame = {
                {origin + ROPE_PERIOD / 2, 8 + side * 4.6}, i == 0 ? 1 : -1, side, 0};
            foliage_half_acanthus(sheet, curve_open(frame, "1.6 0.4, 4.4 1, 8 0.2, 11.4 -0.4"),
                                  2, 5, side * (i == 0 ? 1 : -1), 0.1);
        }
}

static void rope_rules(Sheet *sheet, double origin) {
    static const double levels[4][2] = {{0.5, 0.32}, {1.2, 0.16}, {14.8, 0.16}, {15.5, 0.32}};
    for (int i = 0; i < 4; i++) {
        Curve *line = curve_new(false);
        for (double x = 0; x <= ROPE_PERIOD + 0.01; x += 1)
            curve_append(line, (Point){origin + x, levels[i][0]});
        ink_stroke(sheet, line, levels[i][1]);
    }
}

static void rope_ground(Sheet *sheet, double origin) {
    Form ground = form_plain();
    ground.round = 0;
    ground.base = 0.5;
    ground.shadow = 0.3;
    ground.angle = 0;
    ground.spacing = 0.38;
    ground.widths = 2;
    ground.dots = 0;
    ground.no_contour = true;
    ground.cross_threshold = 0.7;
    form_hatch(sheet, scenery_box(origin, 1.4, origin + ROPE_PERIOD, 14.6), &ground);
}

void print_roped_border(Sheet *sheet) {
    static const Repeat rope = {ROPE_PERIOD, -2, 6};
    sheet->beyond = 1.5 * ROPE_PERIOD;
    in_every_repeat(sheet, &rope, "collars", 1, collar_of_repeat);
    in_every_repeat(sheet, &rope, "rope", 2, rope_plies);
    in_every_repeat(sheet, &rope, "leaves", 3, rope_leaves);
    in_every_repeat(sheet, &rope, "rules", 4, rope_rules);
    in_every_repeat(sheet, &rope, "ground", 5, rope_ground);
}
