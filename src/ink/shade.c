/* What a paint looks like in ink. Stands under the trace. */
#include "ink/shade.h"

#include <string.h>

/* Lighter than this is paper: the same limit the header gives for TapulMark.paper. */
#define PAPER_GREY 0.8
/* Paper this clear no longer hides what is under it. */
#define COVERING_OPACITY 0.5
/* Under one step of 8-bit colour nothing is drawn. */
#define VISIBLE_OPACITY (0.5 / 255)

TapulShade tapul_shade(const TapulPaint *paint, double opacity, double *grey) {
    double luma = 0.2126 * paint->red + 0.7152 * paint->green + 0.0722 * paint->blue;
    double alpha = paint->opacity * opacity;
    *grey = 1 - alpha * (1 - luma);
    if (paint->kind == TAPUL_PAINT_NONE || alpha < VISIBLE_OPACITY)
        return TAPUL_SHADE_INVISIBLE;
    if (luma > PAPER_GREY)
        return alpha >= COVERING_OPACITY ? TAPUL_SHADE_PAPER : TAPUL_SHADE_FAINT;
    return *grey > PAPER_GREY ? TAPUL_SHADE_FAINT : TAPUL_SHADE_INK;
}

void tapul_shade_gradient(const xmlNode *gradient, TapulPaint *paint) {
    double red = 0, green = 0, blue = 0, opacity = 0;
    int stops = 0;
    for (const xmlNode *each = gradient->children; each; each = each->next) {
        if (each->type != XML_ELEMENT_NODE || strcmp((const char *)each->name, "stop") != 0)
            continue;
        TapulStyle style = tapul_style_defaults();
        tapul_style_apply(&style, tapul_attribute(each, "style"));
        red += style.fill.red;
        green += style.fill.green;
        blue += style.fill.blue;
        opacity += style.fill.opacity;
        stops++;
    }
    double share = stops > 0 ? 1.0 / stops : 0;
    paint->kind = stops > 0 ? TAPUL_PAINT_COLOUR : TAPUL_PAINT_NONE;
    paint->red = red * share;
    paint->green = green * share;
    paint->blue = blue * share;
    paint->opacity = opacity * share;
}
