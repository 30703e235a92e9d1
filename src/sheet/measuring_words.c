/* What the measuring sheet tells the person at the bench: numbered steps, and how the figures
 * are typed. The steps are common practice, no source, but for the caution to ask the
 * conservator, which stands above all of them.
 */
#include "sheet/measuring.h"

#include <string.h>

#define NUMBER_EMS 1.9  /* room for a step's number */
#define GAP_EMS    2.4  /* between columns */
#define STEP_EMS   0.35 /* between steps */

/* --- Steps --- */

#define CARE                                                                                   \
    "Ask the conservator first, and work with someone who may handle the plate. "              \
    "Clean nitrile gloves, no rings or cuffs; the plate on foam, low over the "                \
    "table.",                                                                                  \
        "No metal touches the surface. Use a contour gauge with soft tips only (wood, "        \
        "plastic, or felted), callipers and depth rule with covered jaws, and a soft "         \
        "tape. Press gently and lift off; never drag anything over the metal."
#define MARKS                                                                                  \
    "Set the board upright behind the plate and leave it there to the end. Mark "              \
    "the levels on the board with low-tack tape, not on the metal. The heights "               \
    "printed in grey are proposals: if another serves better, write it in their "              \
    "place."
#define GIRTHS                                                                                 \
    "Girths: lay the tape over the metal along the level, from the medial line to "            \
    "the left edge, then to the right."
#define CHECKS                                                                                 \
    "Take height, width and depth by callipers; the thickness in three places, "               \
    "away from turned edges; the weight. At the end repeat three readings without "            \
    "looking at the first, and write by how much they differ."

static const char *const steps_open[] = {
    CARE,
    MARKS,
    "From L1 up: hold the gauge level and press it to the plate from the medial line "
    "outward. Lift it off and draw round it on squared paper, then read x and z from the "
    "drawing. Set the drawing in its place by the depth rule: z of one reading, from the "
    "board.",
    "The x printed in grey are proposals. Take others where the metal bends more, and write "
    "them in their place. Behind the board\u2019s face z is negative.",
    "If both halves look alike, read the right one and check one level on the left. If not, "
    "print the table twice; to the left x is negative.",
    GIRTHS,
    "Points of the outline: x and y with a set square against the board, as seen straight "
    "from the front; or from a photograph taken ten times the plate\u2019s depth away or "
    "more, scaled by its width. Grey figures tell where on a curve the point lies.",
    "A level marked \u00b0: lay a strip of card on the plate, upright, so that it runs on "
    "past the edge, and read to the card where there is no metal. Its figures only bring the "
    "surface past the edge.",
    CHECKS,
};

static const char *const steps_closed[] = {
    CARE,
    MARKS,
    "From L1 up: hold the gauge level and press it to the front, from the middle to the "
    "side; lift it off and draw round it on squared paper; then the same at the back. Read x "
    "and z from the drawings, all z forward from the board.",
    "The x printed in grey are proposals: first those of the front, going outward, then "
    "those of the back, coming in. Write others in their place where they serve better.",
    "If both halves look alike, read the right one and check one level on the left. If not, "
    "print the table twice; to the left x is negative.",
    "Girths: lay the tape over the metal along the level, from the middle of the front to "
    "the middle of the back, on the left, then on the right.",
    "Width and depth by callipers at L1 and at the highest level check the drawings.",
    "A level marked \u00b0: lay a strip of card on the plate, upright, so that it runs on "
    "past the edge, and read to the card where there is no metal.",
    CHECKS,
};

#define SOLID                                                                                  \
    "At each level take the width across by callipers, and the depth by the depth "            \
    "rule: from the board\u2019s face to the middle of the front."

static const char *const steps_round[] = {
    CARE,
    MARKS,
    SOLID,
    GIRTHS,
    "The figures check each other: the girth of a half round is 1.57 times its width, that "
    "of a whole one 3.14 times. Where they do not agree within 2 mm the plate is not round, "
    "and is better read by level cuts, as a plate of kind stations is.",
    CHECKS,
};

static const char *const steps_sphere[] = {
    CARE,
    MARKS,
    SOLID,
    GIRTHS,
    "Take the width of the rim upright too, and the girth over the middle from below to "
    "above. Where they differ by more than 2 mm from those taken level the plate is no part "
    "of a sphere, and is better read by level cuts, as a plate of kind stations is.",
    CHECKS,
};

typedef struct {
    const char *const *text;
    guint n;
} Steps;

static Steps steps_for(const TapulMeasuring *measuring) {
    if (strcmp(tapul_plate_kind(measuring->plate), "sphere") == 0)
        return (Steps){steps_sphere, G_N_ELEMENTS(steps_sphere)};
    if (!measuring->stations)
        return (Steps){steps_round, G_N_ELEMENTS(steps_round)};
    if (measuring->closed)
        return (Steps){steps_closed, G_N_ELEMENTS(steps_closed)};
    return (Steps){steps_open, G_N_ELEMENTS(steps_open)};
}

static double set_step(TapulPage *page, TapulVec2 at, double width_mm, guint number,
                       const char *text, const TapulFormat *format) {
    double em = format->text_mm, indent_mm = NUMBER_EMS * em;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    g_autofree char *figure = g_strdup_printf("%u.", number);
    tapul_set_paragraph(page, at, indent_mm, figure, &type);
    double y = tapul_set_paragraph(page, tapul_vec2(at.x + indent_mm, at.y),
                                   width_mm - indent_mm, text, &type);
    return y - STEP_EMS * em;
}

static double set_steps(TapulPage *page, TapulVec2 at, double width_mm,
                        const char *const *steps, guint first, guint last,
                        const TapulFormat *format) {
    for (guint i = first; i < last; i++)
        at.y = set_step(page, at, width_mm, i + 1, steps[i], format);
    return at.y;
}

double tapul_measuring_steps(TapulPage *page, TapulBox room, const TapulMeasuring *measuring) {
    const TapulFormat *format = &measuring->format;
    Steps steps = steps_for(measuring);
    double gap_mm = GAP_EMS * format->text_mm;
    double width_mm = (room.max.x - room.min.x - gap_mm) / 2, best = -INFINITY;
    if (page)
        tapul_page_begin_group(page, "steps", "What to do, in this order", NULL);
    double top =
        tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), room.max.x - room.min.x,
                          "What to do, in this order", format);
    TapulVec2 left = {room.min.x, top}, right = {room.min.x + width_mm + gap_mm, top};
    guint half = 1;
    for (guint i = 1; i < steps.n; i++) {
        double lower = fmin(set_steps(NULL, left, width_mm, steps.text, 0, i, format),
                            set_steps(NULL, right, width_mm, steps.text, i, steps.n, format));
        if (lower <= best)
            continue;
        best = lower;
        half = i;
    }
    if (!page)
        return best;
    set_steps(page, left, width_mm, steps.text, 0, half, format);
    set_steps(page, right, width_mm, steps.text, half, steps.n, format);
    tapul_page_end_group(page);
    return best;
}

/* --- Typing --- */

static const char example_open[] =
    "tapul: plate/1\n"
    "name: Breastplate, no. 1234\n"
    "source: contour gauge and callipers, A. Reader, 2 May\n"
    "surface:\n"
    "  kind: stations\n"
    "  stations:\n"
    "    - y_mm: 0\n"
    "      section_mm: [[0, 118], [50, 106], [95, 81], [125, 2]]\n"
    "    - y_mm: 80\n"
    "      section_mm: [[0, 150], [55, 134], [105, 103], [140, 0.5]]\n"
    "    - y_mm: 160\n"
    "      section_mm: [[0, 139], [60, 124], [115, 93], [155, -1]]\n"
    "outline_mm: [[0, 0], [110, 14], [200, 40], [200, 150], [0, 144],\n"
    "             [-200, 150], [-200, 40], [-110, 14]]\n"
    "ridge: true\n"
    "thickness_mm: 2.1\n";

static const char example_closed[] =
    "tapul: plate/1\n"
    "name: Cannon of a vambrace, no. 1234\n"
    "source: contour gauge and callipers, A. Reader, 2 May\n"
    "surface:\n"
    "  kind: stations\n"
    "  stations:\n"
    "    - y_mm: 0\n"
    "      section_mm: [[0, 68], [24, 62], [39, 34], [24, 6], [0, 0]]\n"
    "    - y_mm: 110\n"
    "      section_mm: [[0, 78], [29, 69], [46, 37], [29, 5], [0, -4]]\n"
    "    - y_mm: 220\n"
    "      section_mm: [[0, 94], [35, 82], [56, 44], [35, 2], [0, -9]]\n"
    "thickness_mm: 1.2\n";

static const char example_cylinder[] =
    "tapul: plate/1\n"
    "name: Lame, no. 1234\n"
    "source: callipers and tape, A. Reader, 2 May\n"
    "surface: { kind: cylinder, radius_mm: 62.5, height_mm: 48,\n"
    "           sweep_deg: 170 }\n"
    "thickness_mm: 1.4\n";

static const char example_cone[] =
    "tapul: plate/1\n"
    "name: Cuff of a gauntlet, no. 1234\n"
    "source: callipers and tape, A. Reader, 2 May\n"
    "surface: { kind: cone, lower_radius_mm: 92, upper_radius_mm: 58,\n"
    "           height_mm: 120, sweep_deg: 200 }\n"
    "thickness_mm: 1.4\n";

static const char example_sphere[] =
    "tapul: plate/1\n"
    "name: Boss, no. 1234\n"
    "source: callipers and tape, A. Reader, 2 May\n"
    "surface: { kind: sphere, radius_mm: 150, half_angle_deg: 60 }\n"
    "thickness_mm: 1.4\n";

static const char example_revolved[] = "tapul: plate/1\n"
                                       "name: Cup, no. 1234\n"
                                       "source: callipers and tape, A. Reader, 2 May\n"
                                       "surface:\n"
                                       "  kind: revolved\n"
                                       "  profile_mm: [[60, 0], [66, 20], [63, 40], [52, 60]]\n"
                                       "  sweep_deg: 180\n"
                                       "thickness_mm: 1.4\n";

/* The kinds that have a sheet, with what is said about typing each. */
static const struct {
    const char *kind;
    const char *example, *typing;
} kinds[] = {
    {"stations", example_open,
     "Type one y_mm and one section_mm for each level, from the lower edge up, with x and z "
     "of each reading from the medial line outward. A section that starts at x = 0 stands "
     "for both halves alike; where they differ, type the whole of it, from the left edge to "
     "the right. The outline goes once round; a left half like the right one has the same "
     "figures with a minus before x. \u2018ridge: true\u2019 says that the medial line is a "
     "crease."},
    {"cylinder", example_cylinder,
     "The radius is half the width across of a half round. Of a shallower piece, w across "
     "and d deep from the board, it is (w\u00b2/4 + d\u00b2) / 2d. The sweep in degrees is "
     "57.3 times the whole girth over the radius."},
    {"cone", example_cone,
     "Each radius is half the width across of a half round. Of a shallower piece, w across "
     "and d deep from the board, it is (w\u00b2/4 + d\u00b2) / 2d. The sweep in degrees is "
     "57.3 times the whole girth over the radius of that level. The height is upright, not "
     "over the metal."},
    {"sphere", example_sphere,
     "From the width w across the rim and the depth d from the board to the middle, the "
     "radius is (w\u00b2/4 + d\u00b2) / 2d. The half angle in degrees is 57.3 times half the "
     "girth over the middle, over the radius."},
    {"revolved", example_revolved,
     "The profile is the radius and the height of each level, from below: the radius is half "
     "the width across of a half round. The sweep in degrees is 57.3 times the whole girth "
     "over the radius of that level."},
};

static const char typing_closed[] =
    "Type one y_mm and one section_mm for each level, from the lower edge up, with x and z "
    "of each reading: from the middle of the front, where x is 0, outward and round to the "
    "middle of the back, where it is 0 again. That stands for both halves alike; where they "
    "differ, type the whole of it, from the back round the left side to the back. The plate "
    "is opened along its back when it is laid flat.";

static guint kind_of(const TapulMeasuring *measuring) {
    const char *kind = tapul_plate_kind(measuring->plate);
    guint i = 0;
    while (i + 1 < G_N_ELEMENTS(kinds) && strcmp(kinds[i].kind, kind) != 0)
        i++;
    return i;
}

static const char *typing_for(const TapulMeasuring *measuring) {
    return measuring->closed && measuring->stations ? typing_closed
                                                    : kinds[kind_of(measuring)].typing;
}

const char *tapul_measuring_example(const TapulMeasuring *measuring) {
    return measuring->closed && measuring->stations ? example_closed
                                                    : kinds[kind_of(measuring)].example;
}

/* Line for line, indented as typed: a proportional face would lose leading blanks. */
static double set_file(TapulPage *page, TapulVec2 at, const char *file,
                       const TapulFormat *format) {
    double em = format->text_mm;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    g_auto(GStrv) lines = g_strsplit(file, "\n", -1);
    for (guint i = 0; lines[i] && *lines[i]; i++) {
        double indent_mm = 0.45 * em * (double)strspn(lines[i], " ");
        at.y = tapul_set_paragraph(page, tapul_vec2(at.x + indent_mm, at.y), format->width_mm,
                                   g_strchug(lines[i]), &type);
    }
    return at.y;
}

double tapul_measuring_typing(TapulPage *page, TapulBox room, const TapulMeasuring *measuring) {
    static const char save[] = "Save it as a plain text file whose name ends in .yaml, and let "
                               "the program measure the plate from it:";
    static const char command[] = "tapul plate plate-1234.yaml";
    static const char after[] =
        "It names what it cannot read, line by line, and tells which reading is far from the "
        "surface that the others make, so that a slip of the pen shows. A second plate of "
        "the same type needs no new form: print this one again.";
    const TapulFormat *format = &measuring->format;
    double em = format->text_mm, gap_mm = GAP_EMS * em;
    double width_mm = (room.max.x - room.min.x - gap_mm) / 2;
    TapulType type = {.size_mm = em, .colour = TAPUL_BLACK};
    TapulType quiet = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    tapul_page_begin_group(page, "typing", "How the figures are typed", NULL);
    double top =
        tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), room.max.x - room.min.x,
                          "How the figures are typed", format);
    double right = room.min.x + width_mm + gap_mm;
    double y = tapul_set_paragraph(page, tapul_vec2(right, top), width_mm,
                                   typing_for(measuring), &type);
    y = tapul_set_paragraph(page, tapul_vec2(right, y - 0.6 * em), width_mm, save, &type);
    y = tapul_set_paragraph(page, tapul_vec2(right + 1.5 * em, y - 0.2 * em), width_mm, command,
                            &type);
    y = tapul_set_paragraph(page, tapul_vec2(right, y - 0.2 * em), width_mm, after, &type);
    double left = tapul_set_paragraph(page, tapul_vec2(room.min.x, top), width_mm,
                                      "An example; its figures are invented:", &quiet);
    left = set_file(page, tapul_vec2(room.min.x, left - 0.4 * em),
                    tapul_measuring_example(measuring), format);
    tapul_page_end_group(page);
    return fmin(y, left);
}
