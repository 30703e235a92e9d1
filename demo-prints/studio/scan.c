/* The impression: the copper's lines as the press left them, starved here and squashed there, a
 * film of ink within the plate mark, the mark's dent in the scanner's slanting light; then the
 * sheet on the glass. */
#include "scan.h"

#include "chance.h"
#include "paper.h"
#include "print.h"

enum { SEED_INKING = 401, SEED_WIPE, SEED_RIM, SEED_DENSITY, SEED_BED, SEED_VERSO };

#define PX_PER_MM       (SCAN_DPI / 25.4)
#define INK_PX_PER_MM   (2 * PX_PER_MM) /* lines of 0.1 mm are to keep their edges */
#define MARK_ROUND_MM   1.6             /* the copper's corners are filed */
#define BED_WIDTH_MM    116.0
#define BED_HEIGHT_MM   113.0
#define SHEET_WIDTH_MM  104.0
#define SHEET_HEIGHT_MM 99.5
/* The sheet was trimmed a little out of square with the mark. */
#define SHEET_TURN_DEG 0.45

static const Vec2 mark_on_sheet_mm = {11.4, 9.1}; /* the mark's lower left corner */
static const Vec2 mark_on_bed_mm = {58.6, 57.2};  /* the mark's middle */

static Vec2 turned(Vec2 v, double by_deg) {
    double c = cos(by_deg * G_PI / 180), s = sin(by_deg * G_PI / 180);
    return (Vec2){c * v.x - s * v.y, s * v.x + c * v.y};
}

Vec2 scan_pixel(Vec2 print_mm) {
    Vec2 from =
        turned((Vec2){print_mm.x - PRINT_MM / 2, print_mm.y - PRINT_MM / 2}, -SCAN_SKEW_DEG);
    return (Vec2){(mark_on_bed_mm.x + from.x) * PX_PER_MM,
                  (BED_HEIGHT_MM - mark_on_bed_mm.y - from.y) * PX_PER_MM};
}

static Vec2 print_at(int column, int row) {
    Vec2 from = {(column + 0.5) / PX_PER_MM - mark_on_bed_mm.x,
                 BED_HEIGHT_MM - (row + 0.5) / PX_PER_MM - mark_on_bed_mm.y};
    from = turned(from, SCAN_SKEW_DEG);
    return (Vec2){from.x + PRINT_MM / 2, from.y + PRINT_MM / 2};
}

static Vec2 sheet_at(Vec2 print_mm) {
    Vec2 from =
        turned((Vec2){print_mm.x - PRINT_MM / 2, print_mm.y - PRINT_MM / 2}, SHEET_TURN_DEG);
    return (Vec2){from.x + PRINT_MM / 2 + mark_on_sheet_mm.x,
                  from.y + PRINT_MM / 2 + mark_on_sheet_mm.y};
}

/* --- The plate mark --- */

/* How far within the copper's edge, negative outside; the direction inward is (nx, ny). */
static double mark_inside_mm(Vec2 print_mm, Vec2 *inward) {
    double x = print_mm.x - PRINT_MM / 2, y = print_mm.y - PRINT_MM / 2;
    double across = fabs(x) - (PRINT_MM / 2 - MARK_ROUND_MM);
    double up = fabs(y) - (PRINT_MM / 2 - MARK_ROUND_MM);
    double outside_mm = sqrt(pow(fmax(across, 0), 2) + pow(fmax(up, 0), 2));
    if (outside_mm > 0) {
        *inward = (Vec2){-copysign(fmax(across, 0), x) / outside_mm,
                         -copysign(fmax(up, 0), y) / outside_mm};
        return MARK_ROUND_MM - outside_mm;
    }
    *inward = across > up ? (Vec2){-copysign(1, x), 0} : (Vec2){0, -copysign(1, y)};
    return MARK_ROUND_MM - fmax(across, up);
}

/* Light from the head of the scanner: the dent's upper wall is in shade, its lower one bright.
 */
static double dent_light(double inside_mm, Vec2 inward) {
    double wall = exp(-pow((inside_mm + 0.12) / 0.26, 2));
    double lip = exp(-pow((inside_mm + 0.75) / 0.45, 2));
    double towards_light = 0.52 * inward.x - 0.85 * inward.y;
    return 1 - (0.16 * wall - 0.045 * lip) * towards_light - 0.035 * wall;
}

/* Ink that the wiping left on the copper's bevel. */
static double rim_ink(Vec2 print_mm, double inside_mm) {
    double wander_mm = 0.05 * noise_layers(SEED_RIM, print_mm.x / 3, print_mm.y / 3, 3);
    double line = exp(-pow((inside_mm - 0.06 + wander_mm) / 0.09, 2));
    double here =
        ease(-0.25, 0.75, noise_layers(SEED_RIM + 1, print_mm.x / 11, print_mm.y / 11, 3));
    double broken =
        0.55 + 0.45 * noise_layers(SEED_RIM + 2, print_mm.x / 0.5, print_mm.y / 0.5, 2);
    double smear = 0.16 * ease(1.1, 0, inside_mm) * ease(-0.3, 0.1, inside_mm);
    return here * (0.62 * line * broken + smear);
}

/* The film that the wiping hand left, in sweeps. */
static double plate_tone(Vec2 print_mm, double inside_mm) {
    double along = 0.83 * print_mm.x + 0.55 * print_mm.y;
    double aside = -0.55 * print_mm.x + 0.83 * print_mm.y;
    aside += 1.6 * noise(SEED_WIPE + 3, along / 30, aside / 30);
    double sweep = noise_layers(SEED_WIPE, along / 42, aside / 2.1, 4);
    double cloud = noise_layers(SEED_WIPE + 8, print_mm.x / 24, print_mm.y / 24, 3);
    double corner = exp(-inside_mm / 3.5);
    return ease(-0.02, 0.10, inside_mm) *
           fmax(0, 0.060 + 0.032 * sweep + 0.034 * cloud + 0.06 * corner);
}

/* --- The lines --- */

/* -1: starved, the line thin and broken; 1: squashed, the ink run over its edges. */
static double inking_at(Vec2 print_mm) {
    double cloud = noise_layers(SEED_INKING, print_mm.x / 21, print_mm.y / 18, 3);
    double slant = 0.45 * (40 - print_mm.x) / 40 + 0.25 * (print_mm.y - 40) / 40;
    return fmax(-1, fmin(1, 1.5 * cloud + slant));
}

static double line_ink(const Raster *lines, Vec2 print_mm) {
    double covered = raster_at(lines, print_mm.x, print_mm.y);
    if (covered < 0.02)
        return 0;
    double inking = inking_at(print_mm), tooth = paper_tooth(print_mm);
    double edge = 0.46 - 0.20 * inking - 0.10 * tooth +
                  0.05 * noise(SEED_INKING + 20, print_mm.x / 0.16, print_mm.y / 0.16);
    double ink = ease(edge - 0.22, edge + 0.22, covered);
    double starved = clamp01(-inking - 0.15);
    ink *= 1 - starved * ease(0.05, 0.55,
                              tooth + 0.35 * noise(SEED_INKING + 30, print_mm.x / 0.09,
                                                   print_mm.y / 0.09));
    double density = 0.93 + 0.05 * inking +
                     0.05 * noise_layers(SEED_DENSITY, print_mm.x / 0.4, print_mm.y / 0.4, 3);
    return clamp01(ink * density);
}

/* What has come through from the other side, and come off from the sheet that lay upon this
 * one. */
static double show_through(const Raster *soft, Vec2 print_mm) {
    Vec2 verso = turned((Vec2){PRINT_MM + 5.5 - print_mm.x, print_mm.y + 3.1}, 2.2);
    double cloud = 0.65 + 0.35 * noise_layers(SEED_VERSO, print_mm.x / 12, print_mm.y / 12, 2);
    return 0.075 * cloud * raster_at(soft, verso.x, verso.y);
}

/* --- The sheet on the glass --- */

typedef struct {
    Paper *paper;
    Raster *lines; /* the copper's, twice as fine as the scan */
    Raster *soft;  /* the same, blurred */
} Impression;

static Tint sheet_tint(const Impression *impression, Vec2 print_mm, Vec2 sheet_mm) {
    Vec2 inward;
    double inside_mm = mark_inside_mm(print_mm, &inward);
    Tint tint = paper_tint(impression->paper, sheet_mm, ease(-0.2, 0.4, inside_mm));
    double through = show_through(impression->soft, print_mm);
    tint = tint_by(tint, 1 - 0.8 * through, 1 - 0.9 * through, 1 - through);
    double tone = plate_tone(print_mm, inside_mm);
    tint = tint_by(tint, 1 - 0.90 * tone, 1 - 0.92 * tone, 1 - 0.92 * tone);
    double light = dent_light(inside_mm, inward);
    tint = tint_by(tint, light, light, light);
    double ink = fmax(line_ink(impression->lines, print_mm), rim_ink(print_mm, inside_mm));
    const Tint black = {0.021, 0.0175, 0.0150};
    return (Tint){mix(tint.red, black.red, ink), mix(tint.green, black.green, ink),
                  mix(tint.blue, black.blue, ink)};
}

/* The lid's dark felt, with the sheet's shadow near it and some dust. */
static Tint bed_tint(Vec2 bed_mm, double outside_mm) {
    double light = 0.012 + 0.002 * noise_layers(SEED_BED, bed_mm.x / 30, bed_mm.y / 30, 3);
    light *= 1 - 0.55 * exp(-outside_mm / 0.5);
    double dust = ease(0.955, 0.99, noise(SEED_BED + 5, bed_mm.x / 0.16, bed_mm.y / 0.16));
    light += 0.03 * dust;
    return (Tint){light, light * 1.01, light * 1.06};
}

static void scan_pixel_tint(const Impression *impression, int column, int row, float rgb[3]) {
    Vec2 print_mm = print_at(column, row), sheet_mm = sheet_at(print_mm);
    Vec2 bed_mm = {column / PX_PER_MM, row / PX_PER_MM};
    double inside_mm = paper_inside_mm(impression->paper, sheet_mm);
    double on = ease(-0.025, 0.025, inside_mm);
    Tint sheet = {0, 0, 0}, bed = {0, 0, 0};
    if (on > 0)
        sheet = sheet_tint(impression, print_mm, sheet_mm);
    if (on < 1)
        bed = bed_tint(bed_mm, fmax(-inside_mm, 0));
    /* The cut edge catches the lamp. */
    double edge = 1 + 0.10 * exp(-pow((inside_mm - 0.08) / 0.06, 2));
    rgb[0] = (float)mix(bed.red, edge * sheet.red, on);
    rgb[1] = (float)mix(bed.green, edge * sheet.green, on);
    rgb[2] = (float)mix(bed.blue, edge * sheet.blue, on);
}

gboolean scan_make(RsvgHandle *print, Picture **scan, GError **error) {
    g_autoptr(Paper) paper = paper_new(SHEET_WIDTH_MM, SHEET_HEIGHT_MM);
    g_autoptr(Raster) lines =
        raster_new((Vec2){-2, -2}, PRINT_MM + 4, PRINT_MM + 4, INK_PX_PER_MM);
    if (!raster_draw_print(lines, print, NULL, error))
        return FALSE;
    g_autoptr(Raster) soft = raster_copy(lines);
    raster_blur(lines, 0.020);
    raster_blur(soft, 0.16);
    Impression impression = {paper, lines, soft};
    int width_px = (int)lround(BED_WIDTH_MM * PX_PER_MM);
    int height_px = (int)lround(BED_HEIGHT_MM * PX_PER_MM);
    *scan = picture_new(width_px, height_px);
#pragma omp parallel for schedule(dynamic, 16)
    for (int row = 0; row < height_px; row++)
        for (int column = 0; column < width_px; column++)
            scan_pixel_tint(&impression, column, row,
                            (*scan)->rgb + 3 * ((gsize)row * (gsize)width_px + (gsize)column));
    return TRUE;
}
