/* The print's outlines are thin filled figures, as a graver cuts them. Of each the middle line
 * is found, carried to the plate and into the picture, and drawn with a hand's unsteadiness;
 * what is worn away is left out, and so is the hatching, which no one traces. */
#include "tracing.h"

#include "chance.h"
#include "print.h"

#include <string.h>

enum { SEED_HAND = 901 };

#define LEAST_LENGTH_MM 2.2  /* shorter lines are shading */
#define MOST_WIDTH_MM   0.85 /* wider figures are no lines */
#define STEP_MM         0.35 /* between the points of a traced line */
#define LEAST_POINTS    4
#define PEN_PX          6
#define LEAST_SEEN      0.42 /* of a line's depth: fainter ones are not made out */
#define UNSTEADY_MM     0.10

typedef struct {
    const Metal *metal;
    const Camera *camera;
    Sheet sheet;
    GString *svg;
    cairo_t *flattener;
    char *motif; /* whose group is open; NULL: none, or one that was not taken over */
    int depth;   /* of groups within it */
    int line;    /* number of the line */
} Tracer;

/* --- Paths: M, L, C and Z, absolute, as the engraver writes them --- */

static void path_to_cairo(cairo_t *cr, const char *d) {
    double v[6];
    int wanted = 0, have = 0;
    char verb = 0;
    while (*d) {
        if (strchr("MLCZ", *d)) {
            verb = *d++;
            wanted = verb == 'C' ? 6 : 2;
            have = 0;
            if (verb == 'Z')
                cairo_close_path(cr);
            continue;
        }
        char *end;
        double number = g_ascii_strtod(d, &end);
        if (end == d) {
            d++;
            continue;
        }
        d = end;
        v[have++] = number;
        if (have < wanted)
            continue;
        have = 0;
        if (verb == 'M')
            cairo_move_to(cr, v[0], v[1]);
        else if (verb == 'L')
            cairo_line_to(cr, v[0], v[1]);
        else
            cairo_curve_to(cr, v[0], v[1], v[2], v[3], v[4], v[5]);
    }
}

/* --- Middle lines --- */

static double apart(Vec2 a, Vec2 b) {
    return hypot(a.x - b.x, a.y - b.y);
}

static Vec2 nth(const GArray *points, guint i) {
    return g_array_index(points, Vec2, i % points->len);
}

static double round_length_mm(const GArray *points) {
    double sum = 0;
    for (guint i = 0; i < points->len; i++)
        sum += apart(nth(points, i), nth(points, i + 1));
    return sum;
}

/* So far around the figure from its first point. */
static Vec2 round_at(const GArray *points, double way_mm) {
    for (guint i = 0; i < 2 * points->len; i++) {
        Vec2 a = nth(points, i), b = nth(points, i + 1);
        double step_mm = apart(a, b);
        if (way_mm <= step_mm && step_mm > 0)
            return (Vec2){mix(a.x, b.x, way_mm / step_mm), mix(a.y, b.y, way_mm / step_mm)};
        way_mm -= step_mm;
    }
    return nth(points, 0);
}

/* A thin figure's ends lie half its round apart; from an end both sides run close together.
 * Returns how wide they part at most, as they run from an end so far around. */
static double parting_mm(const GArray *points, double end_mm, double round_mm, guint n,
                         GArray *middle) {
    double most_mm = 0;
    for (guint i = 0; i < n; i++) {
        double way_mm = round_mm / 2 * i / (n - 1);
        Vec2 a = round_at(points, end_mm + way_mm);
        Vec2 b = round_at(points, end_mm + round_mm - way_mm);
        most_mm = fmax(most_mm, apart(a, b));
        g_array_index(middle, Vec2, i) = (Vec2){(a.x + b.x) / 2, (a.y + b.y) / 2};
    }
    return most_mm;
}

/* NULL: the figure is short or broad. */
static GArray *middle_line(const GArray *points) {
    const int tries = 40; /* ends, all around the figure's first half */
    double round_mm = round_length_mm(points), best_mm = MOST_WIDTH_MM, best_end_mm = -1;
    if (points->len < 4 || round_mm / 2 < LEAST_LENGTH_MM)
        return NULL;
    guint n = (guint)ceil(round_mm / 2 / STEP_MM) + 1;
    g_autoptr(GArray) middle = g_array_sized_new(FALSE, FALSE, sizeof(Vec2), n);
    g_array_set_size(middle, n);
    for (int k = 0; k < tries; k++) {
        double end_mm = round_mm / 2 * k / tries;
        double wide_mm = parting_mm(points, end_mm, round_mm, n, middle);
        if (wide_mm < best_mm) {
            best_mm = wide_mm;
            best_end_mm = end_mm;
        }
    }
    if (best_end_mm < 0)
        return NULL;
    parting_mm(points, best_end_mm, round_mm, n, middle);
    return g_steal_pointer(&middle);
}

/* --- Drawing --- */

/* FALSE: nothing can be made out there. */
static gboolean traced_px(const Tracer *tracer, Vec2 print_mm, Vec2 *px) {
    if (metal_line(tracer->metal, print_mm) < LEAST_SEEN)
        return FALSE;
    double x = print_mm.x / 5, y = print_mm.y / 5;
    guint64 own = SEED_HAND + 10 * (guint64)tracer->line;
    Vec2 drawn = {print_mm.x + UNSTEADY_MM * noise_layers(own, x, y, 2),
                  print_mm.y + UNSTEADY_MM * noise_layers(own + 5, x, y, 2)};
    *px = camera_pixel(tracer->camera, cap_point_mm(cap_from_sheet(&tracer->sheet, drawn)));
    return TRUE;
}

static void put_run(Tracer *tracer, const GArray *run) {
    if (run->len < LEAST_POINTS)
        return;
    for (guint i = 0; i < run->len; i++)
        g_string_append_printf(tracer->svg, "%s%.1f %.1f", i == 0 ? "<path d=\"M" : " L",
                               nth(run, i).x, nth(run, i).y);
    g_string_append(tracer->svg, "\"/>\n");
}

static void put_line(Tracer *tracer, const GArray *line) {
    gboolean moved = g_str_equal(tracer->motif, ADAPTATION_MOVED);
    g_autoptr(GArray) run = g_array_new(FALSE, FALSE, sizeof(Vec2));
    tracer->line++;
    for (guint i = 0; i < line->len; i++) {
        Vec2 at_mm = nth(line, i), px;
        if (moved)
            at_mm = (Vec2){at_mm.x + adaptation_moved_mm.x, at_mm.y + adaptation_moved_mm.y};
        if (traced_px(tracer, at_mm, &px)) {
            g_array_append_val(run, px);
            continue;
        }
        put_run(tracer, run);
        g_array_set_size(run, 0);
    }
    put_run(tracer, run);
}

static void take_figure(Tracer *tracer, const char *d) {
    cairo_new_path(tracer->flattener);
    path_to_cairo(tracer->flattener, d);
    cairo_path_t *flat = cairo_copy_path_flat(tracer->flattener);
    g_autoptr(GArray) points = g_array_new(FALSE, FALSE, sizeof(Vec2));
    for (int i = 0; i < flat->num_data; i += flat->data[i].header.length) {
        const cairo_path_data_t *part = &flat->data[i];
        if (part->header.type == CAIRO_PATH_CLOSE_PATH)
            break; /* a figure has one outline */
        Vec2 at = {part[1].point.x, PRINT_MM - part[1].point.y};
        g_array_append_val(points, at);
    }
    cairo_path_destroy(flat);
    g_autoptr(GArray) line = middle_line(points);
    if (line)
        put_line(tracer, line);
}

/* --- Reading the print --- */

static const char *attribute(const char **names, const char **values, const char *wanted) {
    for (int i = 0; names[i]; i++)
        if (g_str_equal(names[i], wanted))
            return values[i];
    return NULL;
}

static void element_begins(GMarkupParseContext *context, const char *element,
                           const char **names, const char **values, gpointer data,
                           GError **error) {
    Tracer *tracer = data;
    (void)context;
    (void)error;
    if (g_str_equal(element, "path")) {
        const char *d = attribute(names, values, "d");
        if (tracer->motif && d && !attribute(names, values, "stroke-width"))
            take_figure(tracer, d);
        return;
    }
    if (!g_str_equal(element, "g"))
        return;
    const char *id = attribute(names, values, "id");
    if (tracer->motif) {
        tracer->depth++;
    } else if (id && adaptation_keeps(id)) {
        tracer->motif = g_strdup(id);
        tracer->depth = 0;
        g_string_append_printf(tracer->svg, "<g id=\"%s\">\n", id);
    }
}

static void element_ends(GMarkupParseContext *context, const char *element, gpointer data,
                         GError **error) {
    Tracer *tracer = data;
    (void)context;
    (void)error;
    if (!g_str_equal(element, "g") || !tracer->motif || tracer->depth-- > 0)
        return;
    g_clear_pointer(&tracer->motif, g_free);
    g_string_append(tracer->svg, "</g>\n");
}

static const char head[] =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d "
    "%d\">\n"
    "<title>Tracing over the photograph front.jpg</title>\n"
    "<desc>Invented for the demonstration. The page is the photograph's, in pixels. Lines that "
    "wear has taken "
    "are left out. Not made by the laying rules.</desc>\n"
    "<g fill=\"none\" stroke=\"#000\" stroke-width=\"%d\" stroke-linecap=\"round\" "
    "stroke-linejoin=\"round\">\n";

gboolean tracing_write(const char *print_path, const Metal *metal, const Camera *camera,
                       const char *path, GError **error) {
    g_autofree char *text = NULL;
    gsize length = 0;
    if (!g_file_get_contents(print_path, &text, &length, error))
        return FALSE;
    cairo_surface_t *nowhere = cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    Tracer tracer = {.metal = metal, .camera = camera, .sheet = adaptation_sheet()};
    tracer.svg = g_string_new(NULL);
    tracer.flattener = cairo_create(nowhere);
    cairo_set_tolerance(tracer.flattener, 0.02); /* mm */
    g_string_append_printf(tracer.svg, head, camera->width_px, camera->height_px,
                           camera->width_px, camera->height_px, PEN_PX);
    const GMarkupParser parser = {.start_element = element_begins, .end_element = element_ends};
    GMarkupParseContext *context =
        g_markup_parse_context_new(&parser, G_MARKUP_DEFAULT_FLAGS, &tracer, NULL);
    gboolean done = g_markup_parse_context_parse(context, text, (gssize)length, error);
    g_string_append(tracer.svg, "</g>\n</svg>\n");
    done = done && g_file_set_contents(path, tracer.svg->str, (gssize)tracer.svg->len, error);
    g_markup_parse_context_free(context);
    g_string_free(tracer.svg, TRUE);
    cairo_destroy(tracer.flattener);
    cairo_surface_destroy(nowhere);
    g_free(tracer.motif);
    return done;
}
