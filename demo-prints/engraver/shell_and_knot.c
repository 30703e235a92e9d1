/* The scallop shell, rib by rib, and the endless knot with its bands over and under.
 * The knot is cut where it passes under itself, and the pieces over are drawn first. */
#include <math.h>

#include "creatures.h"
#include "ink.h"
#include "plate.h"

void creature_shell(Sheet *sheet, Frame frame) {
    static const int order[9] = {4, 3, 5, 2, 6, 1, 7, 0, 8};
    double size = fabs(frame.scale_y);
    Form ear = form_plain();
    ear.round = 0.6 * size;
    ear.base = 0.2;
    form_draw_text(sheet, frame,
                   "-3.4 -1.6, -3.6 0.4, -1.6 1, 0 1.3, 1.6 1, 3.6 0.4, 3.4 -1.6, 1.4 -1.2, "
                   "0 -1.5, -1.4 -1.2",
                   &ear);
    for (int k = 0; k < 9; k++) {
        double lean = (order[k] - 4) * 0.27, reach = 15.2 - fabs(lean) * 2.3;
        Point line[4];
        for (int i = 0; i < 4; i++) {
            double share = i / 3.0, bend = lean * (0.72 + 0.28 * share);
            line[i] = frame_apply(frame, (Point){sin(bend) * (1 + reach * share),
                                                 -1 - cos(bend) * reach * share});
        }
        Ribbon rib = ribbon_new(curve_through(line, 4, false),
                                "0 0.6, 0.5 2.5, 0.88 4.2, 0.97 3, 1 1.2", size);
        Form form = form_plain();
        form.round = 1.5 * size;
        form.base = 0.12 + (order[k] > 4 ? 0.12 : 0);
        form.contrast = 0.8;
        form.spacing = 0.42;
        form.throws = 0.8;
        form.ramped = true;
        form.ramp_from = line[0];
        form.ramp_to = line[2];
        form.ramp_start = 0.4;
        ribbon_draw(sheet, &rib, &form, 0.2, 0);
    }
}

static Curve *knot_part(Point centre, double radius, double from, double to) {
    Curve *part = curve_new(false);
    int steps = (int)ceil((to - from) * radius * 3 / 0.3);
    for (int i = 0; i <= steps; i++) {
        double t = from + (to - from) * i / steps;
        curve_append(part, (Point){centre.x + radius / 3 * (sin(t) + 2 * sin(2 * t)),
                                   centre.y - radius / 3 * (cos(t) - 2 * cos(2 * t))});
    }
    return part;
}

void creature_knot(Sheet *sheet, Point centre, double radius, double width, int owner) {
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < 3; i++) {
            double middle = G_PI / 2 + i * 2 * G_PI / 3 + pass * G_PI / 3, half = G_PI / 6;
            Plate plate = plate_plain();
            plate.depth = (Point){0.4, 0.55};
            plate.inner_line = width * 0.2;
            plate.bevel = width * 0.3;
            plate.base = pass == 0 ? 0.1 : 0.18;
            sheet_set_owner(sheet, owner + i + pass * 3);
            if (pass == 1) {
                sheet->joined[0] = owner + i;
                sheet->joined[1] = owner + (i + 1) % 3;
            }
            plate_band(sheet, knot_part(centre, radius, middle - half, middle + half),
                       "0 1, 1 1", width, &plate);
        }
    sheet_set_owner(sheet, 0);
    sheet->joined[0] = sheet->joined[1] = 0;
}
