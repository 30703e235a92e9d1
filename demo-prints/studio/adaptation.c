#include "adaptation.h"

#include "chance.h"
#include "print.h"

#define ETCHING_PX_PER_MM 32.0 /* half as fine again as the photograph sees */
#define FIGURE_PX_PER_MM  12.0 /* of what lies within outlines: its edges are soft anyway */
#define MARGIN_MM         24.0 /* the field reaches beyond the print's page */

const Vec2 adaptation_moved_mm = {0, -8};

Sheet adaptation_sheet(void) {
    /* Off the pole both ways, so that a map about the pole will not do. */
    return cap_sheet((Tape){-3.5, 74.5}, (Vec2){PRINT_MM / 2, PRINT_MM / 2}, 2.5);
}

/* Motifs, the front ones last. The print's frame and its hatched ground were not taken over. */
static const char *const kept[] = {"strap-upper-left",
                                   "strap-upper-right",
                                   "strap-lower-left",
                                   "strap-lower-right",
                                   "tails",
                                   "ribbon-left",
                                   "ribbon-right",
                                   "rings",
                                   "crown",
                                   "beard",
                                   "mask",
                                   "fruit-left",
                                   "fruit-right",
                                   NULL};

gboolean adaptation_keeps(const char *motif) {
    return g_strv_contains(kept, motif) || g_str_equal(motif, ADAPTATION_MOVED);
}

static Raster *page_new(double px_per_mm) {
    return raster_new((Vec2){-MARGIN_MM, -MARGIN_MM}, PRINT_MM + 2 * MARGIN_MM,
                      PRINT_MM + 2 * MARGIN_MM, px_per_mm);
}

static Raster *motif_new(RsvgHandle *print, const char *motif, double px_per_mm,
                         GError **error) {
    Raster *raster = page_new(px_per_mm);
    if (raster_draw_print(raster, print, motif, error))
        return raster;
    g_prefix_error(error, "motif %s: ", motif);
    raster_free(raster);
    return NULL;
}

/* A figure filled: its lines run together over gaps up to twice reach_mm. */
static Raster *filled_new(const Raster *lines, double reach_mm) {
    Raster *filled = page_new(FIGURE_PX_PER_MM);
    raster_join(filled, lines);
    raster_close(filled, (Vec2){reach_mm, reach_mm});
    return filled;
}

static gboolean take_lines(Raster *lines, RsvgHandle *print, GError **error) {
    for (guint i = 0; kept[i]; i++) {
        g_autoptr(Raster) motif = motif_new(print, kept[i], ETCHING_PX_PER_MM, error);
        if (!motif)
            return FALSE;
        raster_join(lines, motif);
    }
    return TRUE;
}

static void draw_outside(cairo_t *cr, gconstpointer data) {
    const double frame_mm = 3.0; /* the hatching ends within the print's frame */
    (void)data;
    cairo_paint(cr);
    cairo_set_operator(cr, CAIRO_OPERATOR_CLEAR);
    cairo_rectangle(cr, frame_mm, frame_mm, PRINT_MM - 2 * frame_mm, PRINT_MM - 2 * frame_mm);
    cairo_fill(cr);
}

/* The print's own hatching, whose lines lie 0.5 to 0.7 mm apart and break off here and there,
 * tells where its background is; the etcher's ground goes on beyond the frame, and up to a rim
 * of bright metal about the motifs. */
static Raster *ground_new(RsvgHandle *print, const Raster *gone, const Raster *lines,
                          GError **error) {
    const Vec2 hatch_reach_mm = {0.5, 0.75}, steps_mm = {0.35, 0.35}, rim_mm = {0.17, 0.17};
    g_autoptr(Raster) ground = motif_new(print, "ground", FIGURE_PX_PER_MM, error);
    if (!ground)
        return NULL;
    g_autoptr(Raster) outside = page_new(FIGURE_PX_PER_MM);
    raster_draw(outside, draw_outside, NULL);
    raster_join(ground, outside);
    raster_join(ground, gone);
    raster_close(ground, hatch_reach_mm);
    raster_widen(ground, steps_mm); /* its edge goes in steps, line by line */
    g_autoptr(Raster) figures = filled_new(lines, 0.33);
    raster_widen(figures, rim_mm);
    raster_take_away(ground, figures);
    return g_steal_pointer(&ground);
}

/* Dots of resist: rows put down by hand. */
static void draw_dots(cairo_t *cr, gconstpointer data) {
    const double pitch_mm = 0.92;
    (void)data;
    int last = (int)ceil((PRINT_MM + 2 * MARGIN_MM) / pitch_mm);
    for (int row = 0; row <= last; row++)
        for (int column = 0; column <= last; column++) {
            if (chance(31, column, row) < 0.06)
                continue;
            double wander = 0.5 * noise(33, column / 9.0, row / 9.0);
            double x =
                (column + 0.5 * (row % 2) + wander + 0.16 * chance_normal(34, column, row)) *
                pitch_mm;
            double y = (row + 0.4 * noise(35, column / 8.0, row / 8.0) +
                        0.16 * chance_normal(36, column, row)) *
                       pitch_mm * 0.9;
            double radius_mm = fmax(0.08, 0.165 + 0.04 * chance_normal(37, column, row));
            cairo_save(cr);
            cairo_translate(cr, x - MARGIN_MM, y - MARGIN_MM);
            cairo_rotate(cr, 6 * chance(38, column, row));
            cairo_scale(cr, 1, 0.75 + 0.25 * chance(39, column, row));
            cairo_arc(cr, 0, 0, radius_mm, 0, 2 * M_PI);
            cairo_fill(cr);
            cairo_restore(cr);
        }
}

gboolean adaptation_etch(RsvgHandle *print, Etching *etching, GError **error) {
    g_autoptr(Raster) moved = motif_new(print, ADAPTATION_MOVED, ETCHING_PX_PER_MM, error);
    g_autoptr(Raster) left_out =
        moved ? motif_new(print, ADAPTATION_LEFT_OUT, FIGURE_PX_PER_MM, error) : NULL;
    g_autoptr(Raster) lines = page_new(ETCHING_PX_PER_MM);
    if (!left_out || !take_lines(lines, print, error))
        return FALSE;
    g_autoptr(Raster) figure = filled_new(moved, 1.6);
    g_autoptr(Raster) gone = filled_new(left_out, 0.9);
    raster_join(gone, figure);
    g_autoptr(Raster) ground = ground_new(print, gone, lines, error);
    if (!ground)
        return FALSE;
    raster_move(figure, adaptation_moved_mm);
    raster_move(moved, adaptation_moved_mm);
    raster_take_away(lines, figure);
    raster_join(lines, moved);
    raster_widen(figure, (Vec2){0.17, 0.17});
    raster_take_away(ground, figure);
    raster_blur(ground, 0.12);
    raster_sharpen_edges(ground, 0.3, 0.7);
    etching->ground = page_new(ETCHING_PX_PER_MM);
    raster_join(etching->ground, ground);
    g_autoptr(Raster) dots = page_new(ETCHING_PX_PER_MM);
    raster_draw(dots, draw_dots, NULL);
    raster_take_away(etching->ground, dots);
    etching->lines = g_steal_pointer(&lines);
    return TRUE;
}

void adaptation_clear(Etching *etching) {
    raster_free(etching->lines);
    raster_free(etching->ground);
    *etching = (Etching){0};
}
