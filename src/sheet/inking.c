/* Marks drawn on a page in one ink: the print's, or the found design's.
 *
 * The overlay draws the development and each view with it, from laid ink and from ink carried
 * to the view.
 */
#include "sheet/inking.h"

#include "sheet/page_items.h"

/* Widths follow the local stretch; told apart no finer than this, strokes come in runs of one
 * pen, which make small files. A fifteenth of a hairline either way. */
#define WIDTH_STEP_MM 0.005
/* A stroke is taken to be no thinner than this share of the least that is drawn: it must be
 * seen. */
#define LEAST_SHARE 0.2
/* Told apart no finer, so that strokes still come in runs of one pen. */
#define TONE_STEPS 8.0

static TapulColour mix(TapulColour a, TapulColour b, double t) {
    return (TapulColour){a.red + t * (b.red - a.red), a.green + t * (b.green - a.green),
                         a.blue + t * (b.blue - a.blue), 1};
}

/* A stroke drawn wider than it is is given less ink: all of it would close up hatching, its own
 * share would lose single lines. The root is between the two (by eye, no source). */
static double strength_of(const TapulMark *mark, const TapulInking *inking) {
    double share = mark->width_mm / inking->least_width_mm;
    if (!inking->keeps_tone || mark->kind != TAPUL_MARK_STROKE || share >= 1)
        return 1;
    return ceil(TONE_STEPS * sqrt(fmax(share, LEAST_SHARE))) / TONE_STEPS;
}

static void set_dashes(TapulPen *pen, const TapulMark *mark, const TapulInking *inking) {
    if (inking->found) {
        pen->n_dash = 2;
        pen->dash_mm[0] = inking->dash_mm;
        pen->dash_mm[1] = 0.45 * inking->dash_mm;
        return;
    }
    int room = (int)G_N_ELEMENTS(pen->dash_mm);
    pen->n_dash = mark->dash_mm ? MIN((int)mark->dash_mm->len, room) : 0;
    for (int i = 0; i < pen->n_dash; i++)
        pen->dash_mm[i] = g_array_index(mark->dash_mm, double, i);
}

static TapulPen pen_of(const TapulMark *mark, const TapulInking *inking) {
    TapulColour full = mix(inking->ink, inking->ground, CLAMP(mark->grey, 0, 1));
    TapulColour colour = mix(full, inking->ground, 1 - strength_of(mark, inking));
    TapulPen pen = {.even_odd = mark->even_odd, .cap = mark->cap, .join = mark->join};
    if (mark->paper)
        colour = inking->ground;
    if (mark->kind == TAPUL_MARK_STROKE || inking->found) {
        pen.stroke = colour;
        pen.width_mm =
            fmax(round(mark->width_mm / WIDTH_STEP_MM) * WIDTH_STEP_MM, inking->least_width_mm);
        if (inking->halo > 0)
            pen.width_mm *= inking->halo;
        else
            set_dashes(&pen, mark, inking);
    }
    if (inking->most_width_mm > 0) {
        pen.stroke = colour;
        pen.width_mm = mark->kind == TAPUL_MARK_FILL
                           ? inking->most_width_mm
                           : fmin(pen.width_mm, inking->most_width_mm);
    } else if (mark->kind == TAPUL_MARK_FILL) {
        pen.fill = colour;
        pen.fill.alpha = inking->found ? 0.16 : 1;
    }
    return pen;
}

static void draw_mark(TapulPage *page, const TapulMark *mark, const TapulPath *path,
                      const TapulInking *inking) {
    if (inking->halo > 0 && mark->kind == TAPUL_MARK_FILL)
        return;
    if (mark->paper && (inking->found || inking->most_width_mm > 0))
        return;
    if (!mark->paper || mark->kind == TAPUL_MARK_STROKE || inking->picture < 0) {
        TapulPen pen = pen_of(mark, inking);
        tapul_page_path(page, path, &pen);
        return;
    }
    if (mark->even_odd)
        tapul_page_begin_clip_even_odd(page, path);
    else
        tapul_page_begin_clip(page, path);
    tapul_page_draw_picture(page, inking->picture_box_mm, inking->picture);
    tapul_page_end_clip(page);
}

static void begin_motif(TapulPage *page, const GPtrArray *motifs, int motif, const char *name) {
    if (!motifs || motif < 0 || (guint)motif >= motifs->len) {
        g_autofree char *id = g_strconcat(name, "-ink", NULL);
        tapul_page_begin_group(page, id, NULL, NULL);
        return;
    }
    const TapulMotif *known = motifs->pdata[motif];
    g_autofree char *id = g_strconcat(name, "-", known->id, NULL);
    tapul_page_begin_group(page, id, known->id, NULL);
}

void tapul_inking_draw(TapulPage *page, const GPtrArray *marks, TapulPath *const *paths,
                       const GPtrArray *motifs, const char *name, const TapulInking *inking) {
    int motif = 0;
    gboolean open = FALSE;
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        const TapulPath *path = paths ? paths[i] : mark->path;
        if (tapul_path_is_empty(path))
            continue;
        if (open && mark->motif != motif) {
            tapul_page_end_group(page);
            open = FALSE;
        }
        if (!open)
            begin_motif(page, motifs, mark->motif, name);
        motif = mark->motif;
        open = TRUE;
        draw_mark(page, mark, path, inking);
    }
    if (open)
        tapul_page_end_group(page);
}
