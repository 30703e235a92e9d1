/* Reed cartouche: a pierced strapwork plate with straps that roll forward through it, round
 * an oval in which a heron stands among reeds. Drawn from the rolled ends back to the wall. */
#include <math.h>

#include "arms.h"
#include "cartouche_scene.h"
#include "creatures.h"
#include "ink.h"
#include "mask.h"
#include "plate.h"
#include "prints.h"
#include "scenery.h"

#define MIDDLE_X 46.0
#define MIDDLE_Y 63.0

static const char half_outline[] =
    "0 -46.4 /, 5 -46.2, 6.6 -44 /, 6.2 -41.6, 8.4 -39.8, 12 -40.6, 14.6 -44.2, 18.6 -46.6, "
    "22.2 -44.8 /, 20.2 -42.6, 20.8 -40, 24.6 -38.8, 28.6 -41.4, 33.4 -41.6, 36.8 -38.4 /, "
    "33.2 -37.2, 31 -34, 31.8 -29.4, 30.2 -25.4 /, 33.4 -24.4, 37.2 -25.2, 39.6 -22.6, "
    "39.6 -17.2, 37.4 -14.2, 33.8 -14.8 /, 33 -12, 34 -7.4, 33.4 0, 34 7.4, 33 12 /, "
    "33.8 14.8, 37.6 14.2, 39.8 17.4, 39.6 22.8, 37 25.4, 33.2 24.6 /, 30.2 26, 31.6 30, "
    "30.6 34.6, 33 38, 36.2 39.6 /, 33 43, 28.2 42.8, 24.4 39.8, 20.6 40.6, 19.8 43.4, "
    "21.4 46 /, 17.6 47.8, 13.6 45.6, 11.4 42, 8.2 41.4, 6.4 43.6, 7 46.6 /, 4.6 49.6, 0 50.4 "
    "/";

static Point placed(double x, double y) {
    return (Point){MIDDLE_X + x, MIDDLE_Y + y};
}

/* The left side was set out again by eye, and answers the right side without copying it. */
static Frame side_frame(int side) {
    return side > 0 ? frame_at(MIDDLE_X, MIDDLE_Y, 1, 0)
                    : frame_mirrored(MIDDLE_X - 0.3, MIDDLE_Y + 0.3, 1, 0.9);
}

/* How far the strapwork departs from its setting out; pieces that touch depart together. */
static Curve *by_eye(const Hand *hand, const Curve *curve) {
    return curve_drifted(hand, curve_drifted(hand, curve, 23, 0.8, 63), 9, 0.45, 60);
}

static Curve *whole_outline(const Hand *hand) {
    Curve *right = curve_open(side_frame(1), half_outline);
    Curve *left = curve_open(side_frame(-1), half_outline);
    Curve *whole = curve_joined(right, curve_reversed(left), true);
    return by_eye(hand, whole);
}

static void pierce(const Hand *hand, Shape *plate) {
    static const char *const holes[] = {
        "22.6 -34.6, 25.4 -35.8, 28.2 -33.8, 28.6 -29.6, 26.4 -27.4, 25 -30.2 /",
        "22.6 34.8, 25.6 35.6, 28 33.4, 28.2 29.6, 26.2 27.6, 25 30.4 /",
        "35.2 -21.8, 37.2 -21.6, 37.4 -18, 35.4 -17.6",
        "35.2 17.8, 37.2 18, 37.4 21.8, 35.4 22",
        "28.6 -11.4 /, 31.4 -9.6, 31.8 -5, 31.6 0, 31.8 5, 31.4 9.6, 28.6 11.4 /, 29.4 5, 29.2 "
        "0, 29.4 -5",
        "8.4 -36.9 /, 11 -39, 15 -39.6, 18.6 -38, 20 -34.6, 20.6 -31.4 /, 18.2 -33.6, 17.4 "
        "-36.2, 13.6 -37",
        "8.2 37.2 /, 11 39.2, 15 39.8, 18.4 38, 19.8 34.6, 20.4 31.6 /, 18 33.8, 17.2 36.4, "
        "13.4 37.2",
    };
    for (guint i = 0; i < G_N_ELEMENTS(holes); i++)
        for (int side = -1; side <= 1; side += 2)
            shape_add_hole(plate, by_eye(hand, curve_closed(side_frame(side), holes[i])));
}

static void oval_frame(Sheet *sheet) {
    sheet_group(sheet, "oval-frame");
    for (int i = 0; i < 30; i++) {
        double angle = 2 * G_PI * (i + 0.5) / 30;
        arms_rivet(sheet, placed(24.5 * cos(angle), 30.6 * sin(angle)),
                   i % 5 == 2 ? 0.85 : 0.5);
    }
    const double outer[3] = {26.6, 25.7, 23.3}, inner[3] = {25.7, 23.3, 22.3};
    for (int ring = 0; ring < 3; ring++) {
        Shape *shape = shape_new(
            curve_oval(&sheet->hand, placed(0, 0), outer[ring], outer[ring] + 6.1, 0, 0.006));
        shape_add_hole(shape, curve_oval(&sheet->hand, placed(0, 0), inner[ring],
                                         inner[ring] + 6.1, 0, 0.006));
        Form form = form_plain();
        form.round = ring == 1 ? 1.2 : 0.5;
        form.base = ring == 1 ? 0.12 : 0.2;
        form.contrast = ring == 1 ? -0.55 : 0.8;
        form.first = g_ptr_array_index(shape->rings, 1);
        form.last = shape_outline(shape);
        form.across = true;
        form.lean = 0.004;
        form.spacing = 0.7;
        form.dots = 0.25;
        form.cross_threshold = 0.9;
        form.throws = 1.8;
        form_draw(sheet, shape, &form);
    }
}

typedef struct Strap {
    const char *name;
    const char *axis; /* from under the frame, out through a pierced place, over the rim */
    const char *left_axis;
    double over_from; /* share of the axis from which it lies in front of the plate */
    double width;
    double roll_degrees[2]; /* left, right */
    double roll[2];
} Strap;

static const Strap straps[] = {
    {"strap-upper",
     "20.5 -25.4, 24.6 -29.6, 29.4 -34.4, 34.2 -39.6, 37.6 -45.4",
     "20.5 -25.4, 24.4 -29.8, 29 -34.8, 34.4 -39, 39.2 -42.6",
     0.42,
     5,
     {49, 33},
     {3.7, 4.6}},
    {"strap-lower",
     "20.6 26, 24.6 29.8, 29 33.8, 33.8 38.6, 37.2 44.6",
     "20.6 26, 24.6 29.8, 28.8 34, 32.4 39.8, 34.4 46.4",
     0.42,
     4.8,
     {-20, -33},
     {4.5, 4}},
};

static Curve *strap_axis(const Sheet *sheet, const Strap *strap, int side) {
    return by_eye(&sheet->hand,
                  curve_open(side_frame(side), side > 0 ? strap->axis : strap->left_axis));
}

static void strap_group(Sheet *sheet, const Strap *strap, int side, int index) {
    char *name = g_strdup_printf("%s-%s", strap->name, side > 0 ? "right" : "left");
    sheet_group(sheet, name);
    sheet_set_owner(sheet, 10 + index * 2 + (side > 0 ? 1 : 0));
    g_free(name);
}

static void straps_in_front(Sheet *sheet) {
    for (guint i = 0; i < G_N_ELEMENTS(straps); i++)
        for (int side = -1; side <= 1; side += 2) {
            const Strap *strap = &straps[i];
            strap_group(sheet, strap, side, (int)i);
            Curve *axis = strap_axis(sheet, strap, side);
            sheet_set_owner(sheet, 0);
            double degrees = strap->roll_degrees[side > 0];
            plate_roll(sheet, curve_at(axis, 1), side > 0 ? degrees : 180 - degrees,
                       strap->width * 1.25, strap->roll[side > 0]);
            strap_group(sheet, strap, side, (int)i);
            Plate plate = plate_plain();
            plate.base = side > 0 ? 0.16 : 0.1;
            plate.dark_start = 0.3;
            plate_band(sheet, curve_part(axis, strap->over_from, 0.98), "0 0.94, 0.6 0.9, 1 1",
                       strap->width, &plate);
        }
    sheet_set_owner(sheet, 0);
}

static void straps_behind(Sheet *sheet) {
    for (guint i = 0; i < G_N_ELEMENTS(straps); i++)
        for (int side = -1; side <= 1; side += 2) {
            const Strap *strap = &straps[i];
            strap_group(sheet, strap, side, (int)i);
            Plate plate = plate_plain();
            plate.base = 0.42;
            plate_band(sheet, curve_part(strap_axis(sheet, strap, side), 0, strap->over_from),
                       "0 1, 1 0.94", strap->width, &plate);
        }
    sheet_set_owner(sheet, 0);
}

/* A hoop threaded over the corners of the plate and under its side lugs. */
static void hoop_pieces(Sheet *sheet, bool over) {
    static const char right[] = "0 -50.4, 7 -50.6, 13 -49.6, 20.6 -47.6, 27.4 -43.6, 32.4 -37, "
                                "35.4 -28.6, 36.6 -19.6, 37.6 -9, 38 0, "
                                "37.6 9, 36.6 19.8, 35.2 28.8, 31.8 37.2, 26.6 43.6, 20.4 "
                                "47.4, 12.6 50.2, 6 51.2, 0 51";
    static const double over_parts[3][2] = {{0.15, 0.33}, {0.67, 0.86}, {0.43, 0.57}};
    static const double under_parts[4][2] = {{0, 0.15}, {0.33, 0.43}, {0.57, 0.67}, {0.86, 1}};
    for (int side = -1; side <= 1; side += 2) {
        sheet_group(sheet, side > 0 ? "hoop-right" : "hoop-left");
        sheet_set_owner(sheet, side > 0 ? 31 : 30);
        Curve *axis = by_eye(&sheet->hand, curve_open(side_frame(side), right));
        for (int i = 0; i < (over ? 3 : 4); i++) {
            const double *part = over ? over_parts[i] : under_parts[i];
            Plate plate = plate_plain();
            plate.inner_line = 0.5;
            plate.base = over ? 0.05 : 0.16;
            plate_band(sheet, curve_part(axis, part[0], part[1]), "0 1, 1 1", 2.5, &plate);
        }
    }
    sheet_set_owner(sheet, 0);
}

/* Straps that wind up flat in the four corners. */
static void corner_volutes(Sheet *sheet) {
    static const char *const leads[2] = {"3.4 -47, 7.4 -50.6, 12 -54, 17 -55.2, 21.4 -54.8",
                                         "4.6 50, 9 53.4, 13.6 55.8, 18 56.8, 22 56.4"};
    static const double centres[2][2] = {{22, -51}, {22.4, 52.8}};
    static const double turns[2][2] = {{1.75, 1.5}, {1.35, 1.6}};
    static const double radii[2][2] = {{4, 3.6}, {3.4, 4.1}};
    for (int end = 0; end < 2; end++)
        for (int side = -1; side <= 1; side += 2) {
            Frame frame = side_frame(side);
            char *name = g_strdup_printf("volute-%s-%s", end == 0 ? "upper" : "lower",
                                         side > 0 ? "right" : "left");
            sheet_group(sheet, name);
            g_free(name);
            Plate plate = plate_plain();
            plate.inner_line = 0.5;
            plate.base = side > 0 ? 0.16 : 0.06;
            double sense = (end == 0 ? side : -side) * turns[end][side > 0];
            double radius = radii[end][side > 0];
            Point centre = {centres[end][0],
                            centres[end][1] + (end == 0 ? 1 : -1) * (radius - 3.7)};
            plate_volute(sheet, curve_open(frame, leads[end]), frame_apply(frame, centre),
                         radius, end == 0 ? -92 : 92, sense, 2.6, &plate);
        }
}

static void studs(Sheet *sheet) {
    static const double places[][3] = {
        {30.9, -40.2, 0},   {27, -37.8, 0.75}, {29, 39.2, 0.75},  {36.4, -23.4, 0.6},
        {36.4, -15.9, 0.6}, {36.4, 16, 0.6},   {36.4, 23.4, 0.6}, {10.4, -39, 0},
        {17.6, -43.8, 0.7}, {17.2, 45.2, 0.7}, {31.7, 0, 0},      {3.4, -43.4, 0.55},
        {3.6, 46.6, 0.6},   {29.6, -24.4, 0}};
    sheet_group(sheet, "studs");
    for (guint i = 0; i < G_N_ELEMENTS(places); i++)
        for (int side = -1; side <= 1; side += 2)
            if (places[i][2] > 0)
                arms_rivet(sheet,
                           frame_apply(side_frame(side), (Point){places[i][0], places[i][1]}),
                           places[i][2]);
}

static void fruit_drops(Sheet *sheet) {
    static const Fruit right[] = {
        {0, -0.4, 2.1, 4, 10},     {0.3, 3.6, 2, 1, 170},     {-1.8, 2, 1.4, 0, -20},
        {0.2, -4, 1.8, 0, 8},      {1.9, 1.8, 1.4, 0, 40},    {-1.5, 5.8, 1.4, 4, 0},
        {1.4, 6.4, 1.5, 0, 25},    {-0.1, 9, 1.6, 2, 0},      {-1.4, -2.6, 1.3, 0, 0},
        {1.8, -2.4, 1.3, 1, 60},   {0, -6.6, 1.3, 2, 180},    {2.4, -5, 1.6, 3, 50},
        {-2.2, -5, 1.6, 3, -45},   {2.6, 0, 1.6, 3, 85},      {-2.6, -0.4, 1.6, 3, -80},
        {2.4, 4.6, 1.5, 3, 105},   {-2.4, 4.4, 1.5, 3, -110}, {1.6, 8.6, 1.5, 3, 140},
        {-1.8, 8.4, 1.5, 3, -140}, {0, 11.2, 1.5, 3, 178},    {0.4, -8, 1.4, 3, 5},
    };
    static const Fruit left[] = {
        {0.2, 1, 2.3, 1, 200},      {-0.4, -3, 2, 2, 0},       {1.7, -1.4, 1.5, 4, 30},
        {0.4, 5.2, 2, 4, -10},      {-1.9, 3.4, 1.5, 0, 10},   {1.9, 3.6, 1.2, 0, -30},
        {-0.3, 8.6, 1.6, 0, 0},     {1.6, 7.8, 1.1, 0, 60},    {-1.6, 7.2, 1.1, 0, 0},
        {0.2, -6.6, 1.5, 0, -12},   {-1.6, -5.6, 1, 0, 0},     {0.6, 11, 1.1, 2, 10},
        {2.5, -3.8, 1.7, 3, 62},    {-2.4, -2.2, 1.8, 3, -70}, {-2.6, 1.2, 1.5, 3, -96},
        {2.7, 1.6, 1.7, 3, 92},     {2.3, 6, 1.6, 3, 118},     {-2.4, 5.6, 1.7, 3, -118},
        {-1.2, 10.6, 1.5, 3, -150}, {1.8, 10, 1.4, 3, 146},    {-0.8, -8.4, 1.6, 3, -16},
        {1.2, -8, 1.3, 3, 30},
    };
    for (int side = -1; side <= 1; side += 2) {
        sheet_group(sheet, side > 0 ? "fruit-right" : "fruit-left");
        Frame frame = side_frame(side);
        frame.origin = frame_apply(frame, (Point){37.3, -0.8});
        frame.scale_x *= 0.92;
        frame.scale_y *= 0.92;
        frame.angle += side < 0 ? 0.05 : -0.02;
        if (side > 0)
            mask_fruit_bunch(sheet, frame, right, G_N_ELEMENTS(right));
        else
            mask_fruit_bunch(sheet, frame, left, G_N_ELEMENTS(left));
    }
}

static void jewels(Sheet *sheet) {
    static const double places[][5] = {{29, -18.4, 1.1, 1.9, 12},
                                       {29, 18.6, 1.1, 1.9, -12},
                                       {14.6, -34.2, 1.7, 1, 24},
                                       {14.4, 34.4, 1.7, 1, -24}};
    sheet_group(sheet, "jewels");
    for (guint i = 0; i < G_N_ELEMENTS(places); i++)
        for (int side = -1; side <= 1; side += 2) {
            Point at = frame_apply(side_frame(side), (Point){places[i][0], places[i][1]});
            plate_jewel(sheet, frame_at(at.x, at.y, 1, side * places[i][4]), places[i][2],
                        places[i][3]);
        }
    plate_jewel(sheet, frame_at(MIDDLE_X, MIDDLE_Y + 38.2, 1, 1), 3.2, 1.7);
}

static void top_and_bottom(Sheet *sheet) {
    static const Fruit bunch[] = {
        {0, 0.4, 2.4, 4, 0},      {-3.4, 0, 2, 0, -30},    {3.4, -0.1, 2, 1, 240},
        {-1.7, 3, 1.7, 2, 0},     {2, 3.2, 1.8, 0, 30},    {-6.2, -1, 1.5, 0, 10},
        {6.2, -1.1, 1.6, 4, -60}, {-4.6, 2, 1.8, 3, -130}, {4.8, 2, 1.9, 3, 125},
        {0.3, 5.4, 1.6, 3, 175},  {-8, -1.4, 1.7, 3, -95}, {8.2, -1.6, 1.8, 3, 92},
        {-3, -2, 1.6, 3, -20},    {3, -2.2, 1.6, 3, 25},
    };
    static const Fruit leaves[] = {
        {0, -2.4, 3, 3, 2},       {-3.2, -1.6, 2.8, 3, -28}, {3.4, -1.6, 2.7, 3, 30},
        {-5.6, 0.2, 2.7, 3, -58}, {5.8, 0.2, 2.8, 3, 60},    {-6.6, 3, 2.6, 3, -88},
        {6.8, 3, 2.6, 3, 88},
    };
    sheet_group(sheet, "mask");
    mask_river(sheet, frame_at(MIDDLE_X + 0.1, MIDDLE_Y - 45.6, 1.12, 1));
    sheet_group(sheet, "mask-leaves");
    mask_fruit_bunch(sheet, frame_at(MIDDLE_X, MIDDLE_Y - 49, 1, 0), leaves,
                     G_N_ELEMENTS(leaves));
    sheet_group(sheet, "fruit-bunch");
    mask_fruit_bunch(sheet, frame_at(MIDDLE_X, MIDDLE_Y + 50, 1.05, -1), bunch,
                     G_N_ELEMENTS(bunch));
}

/* What has strayed onto the frame, on one side only. */
static void strays(Sheet *sheet) {
    sheet_group(sheet, "snail");
    creature_snail(sheet, frame_at(MIDDLE_X - 34, MIDDLE_Y + 61.6, 0.66, -1));
    sheet_group(sheet, "dragonfly");
    scenery_dragonfly(sheet, frame_at(MIDDLE_X + 36.4, MIDDLE_Y + 53.4, 0.62, -38));
}

static void wall(Sheet *sheet) {
    Form form = form_plain();
    form.round = 0;
    form.base = 0.4;
    form.streak = 0.1;
    form.ruled = true;
    form.shadow = 0.5;
    form.angle = 0.6;
    form.spacing = 0.57;
    form.widths = 2;
    form.thick = 0.18;
    form.dots = 0.2;
    form.no_contour = true;
    form.cross_threshold = 0.78;
    sheet_group(sheet, "ground");
    form_hatch(sheet, scenery_box(2.5, 2.5, 89.5, 125.5), &form);
}

/* The face swells a little round the oval: its lines run round it, from the top down either
 * side, and thin out on the swelling; hollows lie at the roots of the limbs. */
static void face_of_plate(Plate *plate) {
    static const double hollows[][4] = {
        {-27, -26, 7, 0.2},   {-30, 0, 8, 0.12},  {-26, 27, 8, 0.16},   {26, -27, 6, 0.16},
        {-13, -37, 6, 0.2},   {14, -37, 5, 0.16}, {0, 40, 9, 0.14},     {-14, 39, 6, 0.16},
        {-36, -20, 5, 0.16},  {-36, 20, 5, 0.16}, {-19, -29, 4, -0.12}, {19, -30, 4, -0.1},
        {-28.5, 12, 4, -0.1}, {28, -9, 5, -0.1},
    };
    static Spot spots[G_N_ELEMENTS(hollows)];
    for (guint i = 0; i < G_N_ELEMENTS(hollows); i++)
        spots[i] = (Spot){placed(hollows[i][0], hollows[i][1]), hollows[i][2], hollows[i][3]};
    Curve *guides[2];
    for (int ring = 0; ring < 2; ring++) {
        guides[ring] = curve_new(false);
        for (int i = 0; i <= 180; i++) {
            double angle = -G_PI / 2 + 2 * G_PI * i / 180, reach = ring == 0 ? 20 : 44;
            curve_append(guides[ring], placed(reach * cos(angle), (reach + 6.1) * sin(angle)));
        }
    }
    plate->first = guides[0];
    plate->last = guides[1];
    plate->bevel = 2.4;
    plate->base = 0.2;
    plate->shaded_from = placed(-30, -38);
    plate->shaded_to = placed(32, 44);
    plate->shade = 0.2;
    plate->spots = spots;
    plate->spot_count = G_N_ELEMENTS(spots);
}

void print_reed_cartouche(Sheet *sheet) {
    sheet_group(sheet, "border");
    scenery_border(sheet, 1.6, 0.8);
    top_and_bottom(sheet);
    strays(sheet);
    straps_in_front(sheet);
    studs(sheet);
    fruit_drops(sheet);
    hoop_pieces(sheet, true);
    oval_frame(sheet);
    jewels(sheet);
    sheet_group(sheet, "strapwork");
    Shape *main_plate = shape_new(whole_outline(&sheet->hand));
    Curve *opening = curve_oval(&sheet->hand, placed(0, 0), 22.5, 28.6, 0, 0);
    pierce(&sheet->hand, main_plate);
    shape_add_hole(main_plate, opening);
    Plate plate = plate_plain();
    face_of_plate(&plate);
    plate_draw(sheet, main_plate, &plate);
    straps_behind(sheet);
    hoop_pieces(sheet, false);
    corner_volutes(sheet);
    cartouche_scene(sheet, placed(0, 0));
    wall(sheet);
}
