/* A side of the plate mark placed in the full picture, to a fraction of a pixel. Profiles of
 * tone across the side, averaged over short pieces of it, are filtered for a thin line and for
 * a step (the first and second derivatives of Gaussians, each of unit norm, so that the one
 * which fits best answers loudest: Canny 1986); the side lies where the answers, summed along
 * it, are greatest. Serves scan_mark.c. */
#include "ink/scan.h"

#include <stdlib.h>

#define PIECES 48
/* The corners of a copper are rounded, and another side runs into them. */
#define CORNER_SHARE 0.04
/* All in the unit, which follows the scan's fineness. Steps are finer than the answers are
 * wide. */
#define STEP   0.5
#define REACH  6.0
#define SIGMAS 3
static const double sigmas[SIGMAS] = {1.0, 2.0, 4.0};
#define KERNEL_REACH 4.0 /* in sigmas; nothing of a Gaussian is left there */
/* The dent's own form is looked at so far to either side of where it answers loudest, and its
 * middle so far. */
#define FORM_STEPS   16 /* of STEP */
#define MIDDLE_REACH 4.0
/* Grey levels: pictures that were drawn have no noise. */
#define QUIETEST 0.2f
/* Along the side the answers must come to this many times the middle of all around, which are
 * the paper's own. */
#define HEARD_LEAST 1.0

typedef struct {
    int places;          /* across the side, STEP apart, the middle one on it */
    int margin;          /* places at either end that have no answer */
    double u[PIECES];    /* of each piece's middle, from -0.5 to 0.5 along the side */
    float *tone[PIECES]; /* [places] */
    /* To the kernel in hand: */
    float *answer[PIECES]; /* [places] */
    float paper;           /* how loud the paper answers */
    float most; /* what a piece's answer counts at most: a line of ink that crosses must not
                   outshout the others, so as much as half of the pieces reach somewhere */
} Profiles;

static float tone_at(const TapulPixels *pixels, TapulVec2 px) {
    double x = CLAMP(px.x - 0.5, 0, pixels->width_px - 1),
           y = CLAMP(px.y - 0.5, 0, pixels->height_px - 1);
    int left = MIN((int)x, MAX(0, pixels->width_px - 2)),
        top = MIN((int)y, MAX(0, pixels->height_px - 2));
    float across = (float)(x - left), down = (float)(y - top), sum = 0;
    gsize right = pixels->width_px > 1 ? (gsize)pixels->bands : 0;
    gsize below = pixels->height_px > 1 ? (gsize)pixels->width_px * (gsize)pixels->bands : 0;
    const guint8 *at = pixels->data + ((gsize)top * (gsize)pixels->width_px + (gsize)left) *
                                          (gsize)pixels->bands;
    for (int band = 0; band < pixels->bands; band++, at++) {
        float upper = at[0] + across * (float)(at[right] - at[0]);
        float lower = at[below] + across * (float)(at[below + right] - at[below]);
        sum += upper + down * (lower - upper);
    }
    return sum / (float)pixels->bands;
}

static void take_profiles(Profiles *profiles, const TapulPixels *pixels, double unit_px,
                          const TapulVec2 end_px[2]) {
    TapulVec2 along = tapul_vec2_sub(end_px[1], end_px[0]);
    double length = tapul_vec2_length(along);
    TapulVec2 across = tapul_vec2_scale(tapul_vec2(-along.y, along.x), STEP * unit_px / length);
    int samples = MAX(1, (int)(length * (1 - 2 * CORNER_SHARE) / PIECES));
    for (int piece = 0; piece < PIECES; piece++) {
        profiles->u[piece] = ((piece + 0.5) / PIECES - 0.5) * (1 - 2 * CORNER_SHARE);
        profiles->tone[piece] = g_new0(float, profiles->places);
        profiles->answer[piece] = g_new0(float, profiles->places);
        for (int k = 0; k < samples; k++) {
            double t = 0.5 + profiles->u[piece] +
                       ((k + 0.5) / samples - 0.5) * (1 - 2 * CORNER_SHARE) / PIECES;
            TapulVec2 middle = tapul_vec2_mix(end_px[0], end_px[1], t);
            for (int i = 0; i < profiles->places; i++)
                profiles->tone[piece][i] +=
                    tone_at(pixels,
                            tapul_vec2_add(
                                middle, tapul_vec2_scale(across, i - profiles->places / 2))) /
                    (float)samples;
        }
    }
}

static void clear_profiles(Profiles *profiles) {
    for (int piece = 0; piece < PIECES; piece++) {
        g_free(profiles->tone[piece]);
        g_free(profiles->answer[piece]);
    }
}

/* --- Answers --- */

static int kernel_reach(double sigma) {
    return (int)ceil(KERNEL_REACH * sigma / STEP);
}

/* Of unit norm, and blind to even tone: kernel[2 reach + 1]. */
static void fill_kernel(float *kernel, double sigma, gboolean is_line) {
    int reach = kernel_reach(sigma);
    double mean = 0, norm = 0;
    for (int i = -reach; i <= reach; i++) {
        double t = i * STEP / sigma, bell = exp(-0.5 * t * t);
        kernel[i + reach] = (float)(is_line ? (t * t - 1) * bell : t * bell);
        mean += (double)kernel[i + reach] / (2 * reach + 1);
    }
    for (int i = 0; i <= 2 * reach; i++) {
        kernel[i] -= (float)mean;
        norm += (double)kernel[i] * kernel[i];
    }
    for (int i = 0; i <= 2 * reach; i++)
        kernel[i] /= (float)sqrt(norm);
}

static int compare(const void *a, const void *b) {
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

static float middle_of(float *values, int n) {
    qsort(values, (gsize)n, sizeof *values, compare);
    return values[n / 2];
}

static void answer(Profiles *profiles, double sigma, gboolean is_line) {
    int reach = kernel_reach(sigma), margin = profiles->margin,
        places = profiles->places - 2 * margin;
    g_autofree float *kernel = g_new(float, 2 * reach + 1),
                     *sizes = g_new(float, PIECES *places);
    float loudest[PIECES];
    fill_kernel(kernel, sigma, is_line);
    for (int piece = 0; piece < PIECES; piece++) {
        loudest[piece] = 0;
        for (int i = 0; i < places; i++) {
            float sum = 0;
            for (int k = -reach; k <= reach; k++)
                sum += kernel[k + reach] * profiles->tone[piece][margin + i + k];
            profiles->answer[piece][margin + i] = sum;
            sizes[piece * places + i] = fabsf(sum);
            loudest[piece] = fmaxf(loudest[piece], fabsf(sum));
        }
    }
    profiles->paper = fmaxf(QUIETEST, middle_of(sizes, PIECES * places));
    profiles->most = fmaxf(QUIETEST, middle_of(loudest, PIECES));
}

/* --- The side's place --- */

typedef struct {
    double offset, lean; /* at the side's middle, and from one end to the other */
    double heard;
} Place;

/* A row of values, one for each place, read at a distance from the side. */
static float read_at(const Profiles *profiles, const float *values, double distance) {
    double at = profiles->places / 2 + distance / STEP;
    int below = (int)floor(at);
    float share = (float)(at - below);
    return values[below] + share * (values[below + 1] - values[below]);
}

static double hear(const Profiles *profiles, double offset, double lean) {
    double sum = 0;
    for (int piece = 0; piece < PIECES; piece++) {
        float value =
            read_at(profiles, profiles->answer[piece], offset + lean * profiles->u[piece]);
        sum += (double)CLAMP(value, -profiles->most, profiles->most);
    }
    return fabs(sum) / PIECES;
}

static Place loudest_place(const Profiles *profiles, double reach) {
    Place best = {0, 0, 0};
    for (double offset = -reach; offset <= reach; offset += STEP)
        for (double lean = -reach; lean <= reach; lean += STEP) {
            double heard = hear(profiles, offset, lean);
            if (heard > best.heard)
                best = (Place){offset, lean, heard};
        }
    return best;
}

/* Where a parabola through three values, STEP apart, is greatest. */
static double summit(double before, double at, double after) {
    double bend = before - 2 * at + after;
    return bend < 0 ? CLAMP(0.5 * (before - after) / bend, -1, 1) * STEP : 0;
}

static void polish(const Profiles *profiles, Place *place) {
    double heard = hear(profiles, place->offset, place->lean);
    double offset = summit(hear(profiles, place->offset - STEP, place->lean), heard,
                           hear(profiles, place->offset + STEP, place->lean));
    double lean = summit(hear(profiles, place->offset, place->lean - STEP), heard,
                         hear(profiles, place->offset, place->lean + STEP));
    place->offset += offset;
    place->lean += lean;
}

/* The dent's middle, from the profile that half of the pieces lie above: loud answers may come
 * from its flanks. */
static double dent_middle(const Profiles *profiles, const Place *found) {
    double place[2 * FORM_STEPS + 1], tone[2 * FORM_STEPS + 1];
    for (guint i = 0; i < G_N_ELEMENTS(place); i++) {
        float values[PIECES];
        place[i] = found->offset + ((int)i - FORM_STEPS) * STEP;
        for (int piece = 0; piece < PIECES; piece++)
            values[piece] = read_at(profiles, profiles->tone[piece],
                                    place[i] + found->lean * profiles->u[piece]);
        tone[i] = (double)middle_of(values, PIECES);
    }
    return tapul_scan_dent_middle(place, tone, (int)G_N_ELEMENTS(place), found->offset,
                                  MIDDLE_REACH);
}

/* At the finest, a step and a line that lie as near and as turned to each other as this, in
 * STEP's unit, are one thing: the copper's inky edge. */
#define AGREED_OFFSET 2.5
#define AGREED_LEAN   1.0

/* Whether the finest answers name one place. The coarser ones would be led off to the middle of
 * a broad, softly lit bevel beside it. */
static gboolean finest_agree(Profiles *profiles, Place *step) {
    answer(profiles, sigmas[0], TRUE);
    Place line = loudest_place(profiles, REACH);
    answer(profiles, sigmas[0], FALSE);
    *step = loudest_place(profiles, REACH);
    if (fabs(line.offset - step->offset) > AGREED_OFFSET ||
        fabs(line.lean - step->lean) > AGREED_LEAN || fabs(step->offset) >= REACH)
        return FALSE;
    polish(profiles, step);
    return TRUE;
}

gboolean tapul_scan_refine_side(const TapulPixels *pixels, double unit_px,
                                TapulVec2 end_px[2]) {
    int margin = kernel_reach(sigmas[SIGMAS - 1]);
    /* At its ends a side is off by half of its lean besides. */
    Profiles profiles = {.margin = margin,
                         .places = 2 * (margin + (int)ceil(1.5 * REACH / STEP) + 3) + 1};
    Place best = {0, 0, 0}, finest;
    double paper = 0;
    take_profiles(&profiles, pixels, unit_px, end_px);
    for (int k = 0; k < 2 * SIGMAS; k++) {
        answer(&profiles, sigmas[k / 2], k % 2);
        Place place = loudest_place(&profiles, REACH);
        if (place.heard <= best.heard)
            continue;
        polish(&profiles, &place);
        best = place;
        paper = profiles.paper;
    }
    /* At the end of the reach it is no summit. */
    gboolean beyond = fabs(best.offset) >= REACH && finest_agree(&profiles, &finest);
    if (beyond) {
        best = finest;
        paper = profiles.paper;
    }
    double middle = beyond ? best.offset : dent_middle(&profiles, &best);
    clear_profiles(&profiles);
    TapulVec2 along = tapul_vec2_sub(end_px[1], end_px[0]);
    TapulVec2 across =
        tapul_vec2_scale(tapul_vec2(-along.y, along.x), unit_px / tapul_vec2_length(along));
    end_px[0] = tapul_vec2_add(end_px[0], tapul_vec2_scale(across, middle - best.lean / 2));
    end_px[1] = tapul_vec2_add(end_px[1], tapul_vec2_scale(across, middle + best.lean / 2));
    return best.heard > HEARD_LEAST * paper;
}
