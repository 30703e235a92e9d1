/* One colour scale for stretch: blue where squeezed, vermilion where stretched, paper-white
 * at 1.
 *
 * Colours are mixed in Oklab (Ottosson 2020), where equal steps look equal; the ends are Okabe
 * & Ito's (2008), which the colour-blind tell apart.
 */
#include "sheet/stretch_scale.h"

#include "sheet/furniture.h"

#include <stdlib.h>

/* A map without stretch is not to show its rounding. */
static const double limits[] = {1.005, 1.01, 1.02, 1.03, 1.05, 1.07, 1.1, 1.15,
                                1.2,   1.3,  1.5,  2,    3,    5,    10};
#define AREA_WITHIN 0.995
#define STEPS       256 /* of the drawn scale: one for each level of a channel */

double tapul_stretch_farther(double s1, double s2) {
    return s1 * s2 >= 1 ? s1 : s2;
}

/* --- Colours --- */

static double to_linear(double channel) {
    return channel <= 0.04045 ? channel / 12.92 : pow((channel + 0.055) / 1.055, 2.4);
}

static double from_linear(double light) {
    double channel = light <= 0.0031308 ? 12.92 * light : 1.055 * pow(light, 1 / 2.4) - 0.055;
    return CLAMP(channel, 0, 1);
}

typedef struct {
    double l, a, b;
} Oklab;

static Oklab to_oklab(TapulRgb colour) {
    double r = to_linear(colour.red), g = to_linear(colour.green), b = to_linear(colour.blue);
    double l = cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
    double m = cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
    double s = cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
    return (Oklab){0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
                   1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
                   0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

static TapulRgb from_oklab(Oklab colour) {
    double l = colour.l + 0.3963377774 * colour.a + 0.2158037573 * colour.b;
    double m = colour.l - 0.1055613458 * colour.a - 0.0638541728 * colour.b;
    double s = colour.l - 0.0894841775 * colour.a - 1.2914855480 * colour.b;
    l = l * l * l;
    m = m * m * m;
    s = s * s * s;
    return (TapulRgb){from_linear(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
                      from_linear(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
                      from_linear(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s)};
}

static Oklab mix(Oklab a, Oklab b, double t) {
    return (Oklab){a.l + t * (b.l - a.l), a.a + t * (b.a - a.a), a.b + t * (b.b - a.b)};
}

/* share of the way from 1 to the limit, -1 to 1 */
static Oklab colour_at(double share) {
    static const TapulRgb ends[2] = {{0, 0.447, 0.698}, {0.835, 0.369, 0}};
    static const TapulRgb centre = {0.965, 0.957, 0.940};
    return mix(to_oklab(centre), to_oklab(ends[share > 0]), fabs(share));
}

/* How much farther from 1 the one principal stretch must be than the other to have the colour
 * to itself. */
#define MIXED_WITHIN 0.5

TapulRgb tapul_stretch_colour(TapulStretchScale scale, double s1, double s2) {
    double log_1 = log(fmax(s1, 1e-9)), log_2 = log(fmax(s2, 1e-9)), limit = log(scale.limit);
    double farther = log(fmax(tapul_stretch_farther(s1, s2), 1e-9));
    double share = CLAMP(fabs(farther) / limit, 0, 1);
    if (log_1 <= 0 || log_2 >= 0)
        return from_oklab(colour_at(farther > 0 ? share : -share));
    double balance = (log_1 + log_2) / (log_1 - log_2); /* -1 all squeezed, 1 all stretched */
    double t = CLAMP((balance / MIXED_WITHIN + 1) / 2, 0, 1);
    return from_oklab(mix(colour_at(-share), colour_at(share), t * t * (3 - 2 * t)));
}

/* --- The limit --- */

typedef struct {
    double departure, area; /* |log stretch|; mm2 */
} Part;

static int compare_parts(const void *a, const void *b) {
    double p = ((const Part *)a)->departure, q = ((const Part *)b)->departure;
    return (p > q) - (p < q);
}

static double departure_within(const TapulDevelopment *development, double share) {
    int n = development->mesh->n_triangles;
    g_autofree Part *parts = g_new(Part, n);
    double total = 0, sum = 0;
    for (int t = 0; t < n; t++) {
        double s1, s2;
        tapul_development_stretch(development, t, &s1, &s2, NULL);
        parts[t].departure = fabs(log(fmax(tapul_stretch_farther(s1, s2), 1e-9)));
        parts[t].area = tapul_mesh_triangle_area_mm2(development->mesh, t);
        total += parts[t].area;
    }
    qsort(parts, (size_t)n, sizeof *parts, compare_parts);
    int i = 0;
    while (i < n - 1 && (sum += parts[i].area) < share * total)
        i++;
    return parts[i].departure;
}

TapulStretchScale tapul_stretch_scale_for(const TapulDevelopment *development) {
    double needed = exp(departure_within(development, AREA_WITHIN));
    guint i = 0;
    while (i + 1 < G_N_ELEMENTS(limits) && limits[i] < needed)
        i++;
    return (TapulStretchScale){limits[i]};
}

/* --- The drawn scale --- */

double tapul_stretch_scale_draw(TapulPage *page, TapulVec2 at, double width_mm,
                                TapulStretchScale scale, const TapulFormat *format) {
    double em = format->text_mm, small = fmax(0.85 * em, TAPUL_LEAST_TEXT_MM);
    double top = at.y - 0.3 * em, bottom = top - 1.1 * em;
    if (!page)
        return bottom - 2.4 * em;
    guint8 rgba[STEPS * 4];
    for (int i = 0; i < STEPS; i++) {
        double stretch = pow(scale.limit, 2.0 * i / (STEPS - 1) - 1);
        TapulRgb colour = tapul_stretch_colour(scale, stretch, stretch);
        rgba[4 * i] = (guint8)lround(255 * colour.red);
        rgba[4 * i + 1] = (guint8)lround(255 * colour.green);
        rgba[4 * i + 2] = (guint8)lround(255 * colour.blue);
        rgba[4 * i + 3] = 255;
    }
    TapulBox box = {{at.x, bottom}, {at.x + width_mm, top}};
    tapul_page_picture(page, box, STEPS, 1, rgba);
    g_autoptr(TapulPath) lines = tapul_box_path(box);
    static const TapulAlign align[] = {TAPUL_ALIGN_LEFT, TAPUL_ALIGN_CENTRE, TAPUL_ALIGN_CENTRE,
                                       TAPUL_ALIGN_CENTRE, TAPUL_ALIGN_RIGHT};
    TapulType type = {.size_mm = small, .colour = TAPUL_BLACK};
    for (int i = 0; i <= 4; i++) {
        double x = at.x + width_mm * i / 4, stretch = pow(scale.limit, i / 2.0 - 1);
        g_autofree char *figure = g_strdup_printf(i == 2 ? "%.0f" : "%.3f", stretch);
        tapul_path_move(lines, tapul_vec2(x, bottom));
        tapul_path_line(lines, tapul_vec2(x, bottom - 0.35 * em));
        type.align = align[i];
        tapul_page_text(page, tapul_vec2(x, bottom - 0.5 * em - 0.7 * small), figure, &type);
    }
    tapul_page_path(page, lines,
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = TAPUL_HAIRLINE_MM});
    return bottom - 2.4 * em;
}
