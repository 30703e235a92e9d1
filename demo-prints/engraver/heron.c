/* A heron standing: S of the neck, dagger beak, trailing crest, long jointed legs.
 * Coordinates are placed by hand with the feet at the origin and the bird facing right. */
#include <math.h>

#include "bird.h"
#include "ink.h"

static Form plumage(double base, double round) {
    Form form = form_plain();
    form.base = base;
    form.round = round;
    form.contrast = 0.62;
    form.spacing = 0.32;
    form.thick = 0.18;
    form.dots = 0.8;
    form.throws = 1;
    return form;
}

static void heron_head(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    Form beak = plumage(0.3, 0.5 * size);
    beak.angle = 12;
    form_draw_text(sheet, frame, "7.9 -35.9, 10.4 -35.5, 15.6 -33.7 /, 11.4 -34.4, 7.8 -34.6",
                   &beak);
    beak.base = 0.12;
    form_draw_text(sheet, frame, "7.8 -34.6, 11 -34.3, 14.6 -33.6 /, 10.6 -33.6, 7.4 -33.7",
                   &beak);
    Point pupil = frame_apply(frame, (Point){7, -35.2});
    ink_solid(sheet, curve_oval(&sheet->hand, pupil, 0.3 * size, 0.3 * size, 0, 0.04));
    ink_line(sheet, curve_oval(&sheet->hand, pupil, 0.5 * size, 0.47 * size, 0, 0.04), 0.12);
    static const char *const crest[] = {"6.8 -36.5, 3.8 -36.9, 0 -35.4, -3.6 -31.4",
                                        "6.2 -36.2, 3.4 -36.2, 0.6 -34.4, -1.6 -30.6",
                                        "5.4 -35.8, 3 -35.4, 1.4 -33.6"};
    for (int i = 0; i < 3; i++) {
        Ribbon plume =
            ribbon_new(curve_open(frame, crest[i]), "0 0.35, 0.3 0.95, 0.6 0.6, 1 0.05", size);
        Form form = plumage(0.75, 0);
        form.spacing = 0.24;
        form.first = plume.left;
        form.last = plume.right;
        form.cross_threshold = 2;
        form_draw(sheet, plume.shape, &form);
    }
    Form head = plumage(0.1, 0.8 * size);
    form_draw_text(sheet, frame,
                   "8 -36, 6.8 -36.9, 5 -37, 3.6 -36, 3.1 -34.6, 4.6 -33.8, 6.2 -33.4, "
                   "7.6 -33.6",
                   &head);
}

static void heron_neck(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    for (int i = 0; i < 9; i++) {
        Point root = {4.6 - i * 0.35 + hand_between(&sheet->hand, -0.2, 0.2), -19.6 + i * 0.35};
        Point line[3] = {
            root,
            {root.x + 0.9 - i * 0.1, root.y + 2.2},
            {root.x + 0.7 - i * 0.3, root.y + 4.4 + hand_between(&sheet->hand, 0, 1)}};
        for (int k = 0; k < 3; k++)
            line[k] = frame_apply(frame, line[k]);
        Ribbon shag = ribbon_new(curve_through(line, 3, false), "0 0.5, 0.5 0.6, 1 0.02", size);
        Form form = plumage(0.06, 0);
        form.throws = 0.6;
        form.light_width = 0.08;
        form.dark_width = 0.2;
        form_draw(sheet, shag.shape, &form);
    }
    for (int i = 0; i < 22; i++) {
        double share = 0.1 + i * 0.038;
        Curve *front =
            curve_open(frame, "5.9 -33.4, 4.3 -31.4, 4.2 -29, 6.2 -25.6, 6.9 -22.6, 5.4 -19.4");
        ink_flick(sheet, curve_part(front, share, share + 0.022), 0.22);
    }
    Ribbon neck = ribbon_new(
        curve_open(frame,
                   "5.2 -34.8, 3.5 -32.8, 3 -30.2, 4.2 -27, 5.6 -24.2, 5.2 -21, 2.6 -18.6"),
        "0 1.9, 0.2 1.7, 0.5 1.9, 0.75 2.6, 1 5", size);
    Form form = plumage(0.12, 1 * size);
    form.contrast = 0.75;
    ribbon_draw(sheet, &neck, &form, 0.25, 0);
}

static void heron_leg(Sheet *sheet, Frame frame, const char *axis, double base) {
    double size = fabs(frame.scale_y);
    Ribbon leg =
        ribbon_new(curve_open(frame, axis),
                   "0 1.3, 0.12 0.85, 0.4 0.62, 0.47 1, 0.54 0.6, 0.94 0.55, 1 0.7", size);
    Form form = plumage(base, 0.35 * size);
    form.spacing = 0.3;
    form.dark_width = 0.26;
    ribbon_draw(sheet, &leg, &form, 0.2, 0);
}

void bird_heron(Sheet *sheet, Frame frame) {
    double size = fabs(frame.scale_y);
    heron_head(sheet, frame);
    heron_neck(sheet, frame);
    bird_wing(sheet, curve_open(frame, "3.6 -17.4, 2 -19.6, -1.4 -20, -4 -18.8"),
              curve_open(frame, "1.6 -13.4, -3 -10.8, -7.6 -9.4, -11.4 -9.6"), 7, 0.24);
    Form body = plumage(0.14, 3.2 * size);
    body.first = curve_open(frame, "4 -22, -2 -22, -8 -16, -12 -9");
    body.last = curve_open(frame, "7 -18, 4 -11, -2 -9, -9 -7");
    Form thigh = plumage(0.2, 0.9 * size);
    thigh.angle = 80;
    form_draw_text(sheet, frame,
                   "1.8 -12.4, 2.2 -10.4, 1.3 -8.6, 0.4 -8.4, -0.4 -10.2, -0.8 -12.2", &thigh);
    form_draw_text(sheet, frame,
                   "5.6 -20.4, 6.4 -18, 5.6 -14.6, 3 -11.8, -1.4 -10.4, -6 -9.8, "
                   "-11 -8.6 /, -9.6 -11, -6.6 -15, -3.4 -18.8, 0.6 -20.6",
                   &body);
    heron_leg(sheet, frame, "0.8 -9, 0.4 -6.8, 0 -4.8, 0.7 -2, 1.2 1", 0.2);
    heron_leg(sheet, frame, "-1.4 -11.6, -2.5 -7.4, -3.3 -5, -2.5 -2, -2 0.6", 0.5);
}
