/* Scrolled frieze: a stem that winds in four great scrolls with acanthus at every parting,
 * each scroll closing on a different blossom, with a snail and a bird for company. */
#include <math.h>

#include "creatures.h"
#include "foliage.h"
#include "ink.h"
#include "prints.h"
#include "scenery.h"

#define SCROLLS 4
#define REACH   13.4

static Point scroll_centre(int index) {
    static const double places[SCROLLS][2] = {
        {20.4, 20.2}, {57, 19.9}, {93.4, 20.3}, {130, 19.8}};
    return (Point){places[index][0], places[index][1]};
}

/* Scrolls turn by turns with and against the clock. */
static int scroll_sense(int index) {
    return index % 2 == 0 ? 1 : -1;
}

static Point on_scroll(int index, double degrees, double reach) {
    double angle = degrees * G_PI / 180 * scroll_sense(index);
    Point centre = scroll_centre(index);
    return (Point){centre.x + reach * cos(angle), centre.y + reach * sin(angle)};
}

/* The stem comes from the last scroll, goes round over or under, and winds in. */
static Curve *scroll_axis(int index) {
    Point points[40];
    guint count = 0;
    if (index == 0) {
        points[count++] = (Point){1, 26};
        points[count++] = (Point){4.4, 18};
    } else {
        points[count++] = on_scroll(index - 1, -52, REACH);
        points[count++] = point_mix(on_scroll(index - 1, -46, REACH + 1.4),
                                    on_scroll(index, -138, REACH + 1.4), 0.5);
    }
    for (double degrees = -142; degrees < 330; degrees += 16) {
        double share = (degrees + 142) / 472;
        points[count++] = on_scroll(index, degrees, REACH * (1 - 0.62 * pow(share, 1.25)));
    }
    return curve_through(points, count, false);
}

static Curve *leaf_axis(int index, const double places[4][2]) {
    Point points[4];
    for (int i = 0; i < 4; i++)
        points[i] = on_scroll(index, places[i][0], places[i][1]);
    return curve_through(points, 4, false);
}

/* Leaves round the blossom, and the blossom on them. */
static void blossom(Sheet *sheet, int index) {
    Point centre = scroll_centre(index);
    sheet_group(sheet, "blossoms");
    if (index == 0)
        foliage_rosette(sheet, centre, 5, 5, 10);
    else if (index == 1)
        foliage_rosette(sheet, centre, 5, 7, 25);
    else if (index == 2)
        foliage_side_flower(sheet, frame_at(centre.x - 0.6, centre.y + 4.6, 0.86, -8));
    else
        foliage_rosette(sheet, centre, 5.2, 6, 0);
    sheet_group(sheet, "calyx-leaves");
    const int leaves = 6;
    for (int i = 0; i < leaves; i++) {
        double degrees = index * 20 + i * 360.0 / leaves + hand_between(&sheet->hand, -8, 8);
        double angle = degrees * G_PI / 180;
        double reach = index == 2 ? 6 : 8.4;
        Point tip = {centre.x + reach * cos(angle + 0.25),
                     centre.y + reach * sin(angle + 0.25)};
        Point points[3] = {
            centre, {centre.x + 4.6 * cos(angle), centre.y + 4.6 * sin(angle)}, tip};
        foliage_acanthus(sheet, curve_through(points, 3, false), 2.7, 3, 0.22);
    }
}

/* A leaf clasping the stem on its outer side, in front of it. */
static void sheath(Sheet *sheet, int index) {
    static const double along[4][2] = {{-160, 12.4}, {-132, 12.4}, {-104, 12.2}, {-78, 11.2}};
    static const double inside[4][2] = {{10, 12.4}, {36, 11.6}, {60, 10.6}, {84, 8.4}};
    int sense = scroll_sense(index);
    sheet_group(sheet, "sheaths");
    foliage_half_acanthus(sheet, leaf_axis(index, along), 4.4, 5, -sense, 0.06);
    foliage_half_acanthus(sheet, leaf_axis(index, inside), 4.2, 4, sense, 0.16);
}

/* Great leaves fill the corners between one scroll and the next. */
static void corner_leaves(Sheet *sheet, int index) {
    int sense = scroll_sense(index);
    Point middle = {scroll_centre(index).x + 18.3, 20};
    if (index == SCROLLS - 1)
        middle.x -= 0.8;
    Frame frame = {middle, 1, sense, 0};
    sheet_group(sheet, "corner-leaves");
    foliage_acanthus(sheet,
                     curve_open(frame, "-9 -10.6, -4.6 -13.4, 0.4 -13.4, 4 -10.4, 3.6 -6.6"), 5,
                     6, 0.1);
    foliage_acanthus(sheet,
                     curve_open(frame, "5.4 7.4, 2.6 11, -1.6 13.6, -6.8 14.4, -11.6 12.4"),
                     4.8, 6, 0.18);
    if (index > 1)
        foliage_tendril(sheet, frame_apply(frame, (Point){-1, -1.6}), sense > 0 ? -52 : 52, 1.7,
                        1.6 * sense, 0.8);
}

static void first_corner(Sheet *sheet) {
    sheet_group(sheet, "corner-leaves");
    Frame frame = frame_identity();
    foliage_acanthus(sheet, curve_open(frame, "2 22, 3.6 27, 6.4 31.4, 11 34.4"), 4.4, 5, 0.16);
    foliage_acanthus(sheet, curve_open(frame, "2.6 20, 3.4 14, 5.6 9, 9.4 5.8"), 4, 5, 0.08);
}

static void mouldings(Sheet *sheet) {
    static const double levels[4] = {1.6, 2.6, 37.4, 38.4};
    sheet_group(sheet, "mouldings");
    for (int i = 0; i < 4; i++) {
        Curve *line = curve_new(false);
        for (double x = 1; x <= 149; x += 1)
            curve_append(line, (Point){x, levels[i]});
        line = curve_drifted(&sheet->hand, line, 17, 0.07, 40);
        ink_edge(sheet, line, 0.2, i == 0 || i == 3 ? 0.34 : 0.2, 1);
    }
    for (double x = 1.6; x < 148.4; x += 1.15)
        for (int row = 0; row < 2; row++) {
            double y = row == 0 ? 1.75 : 37.55;
            Point tick[2] = {{x + hand_between(&sheet->hand, -0.1, 0.1), y},
                             {x + 0.42, y + 0.72}};
            ink_flick(sheet, curve_through(tick, 2, false), row == 0 ? 0.2 : 0.26);
        }
}

/* A snail creeps down the first slope and a bird sits on the second. */
static void company(Sheet *sheet) {
    sheet_group(sheet, "snail");
    creature_snail(sheet, frame_at(39.4, 19.4, 0.56, 43));
    sheet_group(sheet, "bird");
    creature_songbird(sheet, frame_at(73.4, 21.2, 0.86, -14));
}

void print_scrolled_frieze(Sheet *sheet) {
    mouldings(sheet);
    sheet->window = scenery_box(1, 2.7, 149, 37.3);
    company(sheet);
    for (int i = 0; i < SCROLLS; i++)
        blossom(sheet, i);
    for (int i = 0; i < SCROLLS; i++) {
        Point parting = i > 0 ? on_scroll(i - 1, -50, REACH) : (Point){3, 21};
        sheet_group(sheet, "husks");
        foliage_husk(sheet, frame_at(parting.x, parting.y, 1.15,
                                     i == 0 ? 20 : (scroll_sense(i - 1) > 0 ? 128 : 52)));
        sheath(sheet, i);
        sheet_group(sheet, "stems");
        foliage_stem(sheet, scroll_axis(i), "0 0.7, 0.15 1, 0.6 0.8, 1 0.4", 2.3, 0.14);
    }
    first_corner(sheet);
    for (int i = 0; i < SCROLLS; i++)
        corner_leaves(sheet, i);
    Form ground = form_plain();
    ground.round = 0;
    ground.base = 0.52;
    ground.thick = 0.2;
    ground.shadow = 0.4;
    ground.angle = 0;
    ground.spacing = 0.38;
    ground.widths = 2;
    ground.ruled = true;
    ground.dots = 0;
    ground.no_contour = true;
    ground.cross_threshold = 0.7;
    sheet_group(sheet, "ground");
    form_hatch(sheet, scenery_box(1.4, 2.8, 148.6, 37.2), &ground);
}
