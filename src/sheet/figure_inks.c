/* What lies on the metal of a figure: which designs, in which order and ink.
 *
 * Developments and views draw the same list.
 */
#include "sheet/figure_parts.h"

#include "sheet/furniture.h"
#include "sheet/plate_lines.h"

/* On the page. */
#define FOUND_DASH_MM  1.3
#define LEAST_FOUND_MM 0.10 /* dashes must be seen */
#define FOUND_HALO     3.0  /* times their width */

TapulColour tapul_shown_ground(TapulShown shown) {
    return shown == TAPUL_SHOWN_ETCHED ? TAPUL_ETCHED_GROUND : TAPUL_PLATE_TINT;
}

TapulColour tapul_shown_line(TapulShown shown) {
    return shown == TAPUL_SHOWN_ETCHED ? TAPUL_ETCHED_LINE : TAPUL_QUIET;
}

TapulInking tapul_figure_inking(TapulColour ink, TapulColour ground, double scale) {
    return (TapulInking){.ink = ink,
                         .ground = ground,
                         .least_width_mm = TAPUL_LEAST_INK_MM / scale,
                         .keeps_tone = TRUE,
                         .picture = -1};
}

static TapulInking inking_of(TapulShown shown, double scale) {
    TapulColour ink = shown == TAPUL_SHOWN_LAID     ? TAPUL_PRINT_INK
                      : shown == TAPUL_SHOWN_ETCHED ? TAPUL_ETCHED_INK
                                                    : TAPUL_BLACK;
    return tapul_figure_inking(ink, tapul_shown_ground(shown), scale);
}

static gboolean shows_laying(const TapulFigure *figure, int laying) {
    const GPtrArray *layings = figure->comparison->question->layings;
    if (figure->laying < 0 || figure->laying == laying)
        return TRUE;
    const TapulCaseLaying *own = layings->pdata[figure->laying],
                          *other = layings->pdata[laying];
    return figure->alike &&
           tapul_figure_same_print(figure->comparison, own->print, other->print);
}

/* A scan's paper would cover the metal: only where the print is laid on it as an overlay is it
 * shown. */
static void add_layings(GArray *inks, const TapulFigure *figure, double scale) {
    const TapulCase *question = figure->comparison->question;
    const GPtrArray *laid = figure->comparison->laid;
    for (guint i = 0; i < laid->len; i++) {
        const TapulCaseLaying *asked = question->layings->pdata[i];
        const TapulPrint *print = g_ptr_array_index(question->prints, asked->print);
        const TapulCaseLaid *one = laid->pdata[i];
        TapulShownInk ink = {.marks = one->ink->marks,
                             .motifs = print->ink->motifs,
                             .name = print->id,
                             .title = print->title ? print->title : print->id,
                             .inking = inking_of(figure->shown, scale)};
        if (!shows_laying(figure, (int)i))
            continue;
        if (figure->shown == TAPUL_SHOWN_LAID && one->picture &&
            figure->kind == TAPUL_FIGURE_DEVELOPMENT) {
            ink.picture = one->picture;
            ink.picture_alone = asked->show == TAPUL_SHOW_PICTURE;
            ink.inking.most_width_mm = TAPUL_OVER_PICTURE_MM / scale;
        }
        g_array_append_val(inks, ink);
    }
}

/* The ground under the found design's dashes, so that they are seen in the densest hatching
 * without colour too. */
static void add_halo(GArray *inks, TapulShownInk ink, TapulColour ground) {
    ink.name = "found-halo";
    ink.title = "The ground about the design found";
    ink.inking.ink = ground;
    ink.inking.halo = FOUND_HALO;
    g_array_append_val(inks, ink);
}

static void add_found(GArray *inks, const TapulFigure *figure, double scale) {
    const TapulInk *found = figure->comparison->question->found;
    TapulShownInk ink = {.marks = found->marks,
                         .motifs = found->motifs,
                         .name = "found",
                         .title = "The design found on the plate",
                         .inking = inking_of(figure->shown, scale)};
    if (figure->shown == TAPUL_SHOWN_LAID) {
        ink.inking.ink = TAPUL_PLATE_INK;
        ink.inking.found = TRUE;
        ink.inking.least_width_mm = LEAST_FOUND_MM / scale;
        ink.inking.keeps_tone = FALSE;
        ink.inking.dash_mm = FOUND_DASH_MM / scale;
        add_halo(inks, ink, tapul_shown_ground(figure->shown));
    }
    g_array_append_val(inks, ink);
}

GArray *tapul_figure_inks(const TapulFigure *figure, double scale) {
    GArray *inks = g_array_new(FALSE, FALSE, sizeof(TapulShownInk));
    gboolean found = figure->comparison->question->found != NULL;
    if (figure->shown == TAPUL_SHOWN_BARE)
        return inks;
    if (figure->shown == TAPUL_SHOWN_LAID || !found)
        add_layings(inks, figure, scale);
    if (found)
        add_found(inks, figure, scale);
    return inks;
}
