/* The evidence sheet's overlay: the print where its preferred hypothesis puts it, over the
 * design as found, with the residual of each pair as an arrow.
 *
 * Arrows are drawn many times longer than they are, or nothing would be seen of a good fit.
 */
#include "sheet/evidence_parts.h"

#include "evidence/laid.h"
#include "sheet/carried.h"
#include "sheet/furniture.h"
#include "sheet/inking.h"
#include "sheet/page_items.h"
#include "sheet/plate_lines.h"

#define FOOT_MM        12.0 /* below the window: caption and scale bar */
#define ABOUT_MM       10.0 /* of the plate about the region, on the page */
#define MARGIN_SHARE   0.06 /* of the larger side, about the pairs and the ink */
#define LONGEST_MM     13.0 /* of an arrow, on the page */
#define RING_MM        1.1
#define HEAD_MM        1.9 /* of an arrow */
#define LABEL_MM       TAPUL_LEAST_TEXT_MM
#define LAID_TOLERANCE 0.05 /* mm, of the drawn ink: a third of a hairline */

#define FOUND_DASH_MM 1.6

static TapulVec2 found_mm(const TapulEvidenceParts *parts, int k) {
    const TapulPair *pair =
        g_ptr_array_index(parts->sheet->question->pairs, (guint)parts->found->pair[k]);
    return pair->developed_mm;
}

/* How many times longer than the drawing's own scale arrows may be. */
static double magnification_at(const TapulEvidenceParts *parts, double scale) {
    static const double steps[] = {100, 50, 20, 10, 5, 2};
    double longest_mm = 0;
    for (int k = 0; k < parts->found->n_pairs; k++)
        longest_mm = fmax(longest_mm, tapul_vec2_distance(found_mm(parts, k),
                                                          parts->best->put_developed_mm[k]));
    for (guint i = 0; i < G_N_ELEMENTS(steps); i++)
        if (scale * steps[i] * longest_mm <= LONGEST_MM)
            return steps[i];
    return 1;
}

/* --- What is shown --- */

typedef struct {
    TapulBox seen_mm; /* developed frame */
    double scale;     /* page mm for a mm of it */
    TapulBox window_mm;
    TapulAffine place;
} Window;

static TapulVec2 on_page(const Window *window, TapulVec2 developed_mm) {
    return tapul_vec2(window->scale * developed_mm.x + window->place.dx,
                      window->scale * developed_mm.y + window->place.dy);
}

static void include(TapulBox *box, TapulVec2 at) {
    box->min = tapul_vec2(fmin(box->min.x, at.x), fmin(box->min.y, at.y));
    box->max = tapul_vec2(fmax(box->max.x, at.x), fmax(box->max.y, at.y));
}

void tapul_evidence_lay(TapulEvidenceParts *parts) {
    TapulBox box = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    parts->laid = tapul_placement_lay(parts->found->placement, parts->print->ink,
                                      parts->best->scale, LAID_TOLERANCE);
    for (int k = 0; k < parts->found->n_pairs; k++) {
        include(&box, found_mm(parts, k));
        include(&box, parts->best->put_developed_mm[k]);
    }
    for (guint i = 0; i < parts->laid->len; i++) {
        const TapulMark *mark = parts->laid->pdata[i];
        if (tapul_path_is_empty(mark->path))
            continue;
        TapulBox own = tapul_path_box(mark->path);
        include(&box, own.min);
        include(&box, own.max);
    }
    double pad = MARGIN_SHARE * fmax(box.max.x - box.min.x, box.max.y - box.min.y);
    parts->region_mm = (TapulBox){tapul_vec2_sub(box.min, tapul_vec2(pad, pad)),
                                  tapul_vec2_add(box.max, tapul_vec2(pad, pad))};
}

double tapul_evidence_scale(TapulBox room, const TapulEvidenceParts *parts) {
    static const double scales[] = {2,       1,       1 / 1.5, 1 / 2.0, 1 / 2.5, 1 / 3.0,
                                    1 / 4.0, 1 / 5.0, 1 / 6.0, 1 / 8.0, 1 / 10.0};
    TapulVec2 size = tapul_vec2_sub(room.max, room.min);
    TapulVec2 wanted = tapul_vec2_sub(parts->region_mm.max, parts->region_mm.min);
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++)
        if (wanted.x * scales[i] <= size.x && wanted.y * scales[i] <= size.y - FOOT_MM)
            return scales[i];
    return scales[G_N_ELEMENTS(scales) - 1];
}

static Window fit_window(TapulBox room, const TapulEvidenceParts *parts) {
    TapulBox region = parts->region_mm;
    Window window = {.scale = tapul_evidence_scale(room, parts), .window_mm = room};
    double needed_mm = window.scale * (region.max.y - region.min.y) + 2 * ABOUT_MM;
    window.window_mm.min.y = fmax(room.min.y + FOOT_MM, room.max.y - needed_mm);
    TapulVec2 middle = tapul_vec2_scale(tapul_vec2_add(region.min, region.max), 0.5);
    TapulVec2 centre =
        tapul_vec2_scale(tapul_vec2_add(window.window_mm.min, window.window_mm.max), 0.5);
    window.place = (TapulAffine){window.scale,
                                 0,
                                 0,
                                 window.scale,
                                 centre.x - window.scale * middle.x,
                                 centre.y - window.scale * middle.y};
    return window;
}

/* --- Marks --- */

void tapul_evidence_arrow(TapulPage *page, TapulVec2 from, TapulVec2 to) {
    double length_mm = tapul_vec2_distance(from, to), head_mm = fmin(HEAD_MM, length_mm);
    if (length_mm < 1e-3)
        return;
    TapulVec2 along = tapul_vec2_scale(tapul_vec2_sub(to, from), 1 / length_mm);
    TapulVec2 neck = tapul_vec2_sub(to, tapul_vec2_scale(along, head_mm));
    TapulVec2 side = tapul_vec2(-0.32 * head_mm * along.y, 0.32 * head_mm * along.x);
    g_autoptr(TapulPath) shaft = tapul_path_new();
    g_autoptr(TapulPath) head = tapul_path_new();
    tapul_path_move(shaft, from);
    tapul_path_line(shaft, neck);
    tapul_path_move(head, to);
    tapul_path_line(head, tapul_vec2_add(neck, side));
    tapul_path_line(head, tapul_vec2_sub(neck, side));
    tapul_path_close(head);
    TapulPen halo = {.stroke = TAPUL_PLATE_TINT, .width_mm = 1.0};
    tapul_page_path(page, shaft, &halo);
    tapul_page_path(page, head, &halo);
    tapul_page_path(page, shaft, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.35});
    tapul_page_path(page, head, &(TapulPen){.fill = TAPUL_BLACK});
}

static TapulVec2 arrow_tip(const TapulEvidenceParts *parts, const Window *window, int k) {
    TapulVec2 put = parts->best->put_developed_mm[k];
    TapulVec2 off = tapul_vec2_sub(found_mm(parts, k), put);
    return on_page(window, tapul_vec2_add(put, tapul_vec2_scale(off, parts->magnification)));
}

static void draw_pairs(TapulPage *page, const TapulEvidenceParts *parts, const Window *window) {
    tapul_page_begin_group(page, "pairs", "Pairs as found on the plate", NULL);
    for (int k = 0; k < parts->found->n_pairs; k++)
        tapul_draw_pair(page, on_page(window, found_mm(parts, k)), RING_MM, TAPUL_PLATE_INK,
                        TAPUL_PLATE_TINT);
    tapul_page_end_group(page);
    tapul_page_begin_group(page, "residuals", "Residuals, drawn larger", NULL);
    for (int k = 0; k < parts->found->n_pairs; k++)
        tapul_evidence_arrow(page, on_page(window, parts->best->put_developed_mm[k]),
                             arrow_tip(parts, window, k));
    tapul_page_end_group(page);
}

/* --- Numbers --- */

static gboolean is_clear(const GArray *taken, TapulBox box, TapulBox room) {
    for (guint i = 0; i < taken->len; i++)
        if (tapul_boxes_overlap(g_array_index(taken, TapulBox, i), box))
            return FALSE;
    return box.min.x >= room.min.x && box.max.x <= room.max.x && box.min.y >= room.min.y &&
           box.max.y <= room.max.y;
}

/* Rings and arrows are kept clear of by squares along them. */
static GArray *taken_by_marks(const TapulEvidenceParts *parts, const Window *window) {
    GArray *taken = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    for (int k = 0; k < parts->found->n_pairs; k++) {
        TapulVec2 from = on_page(window, parts->best->put_developed_mm[k]);
        TapulVec2 to = arrow_tip(parts, window, k);
        TapulBox ring =
            tapul_box_about(on_page(window, found_mm(parts, k)), tapul_vec2(RING_MM, RING_MM));
        int steps = 1 + (int)tapul_vec2_distance(from, to);
        g_array_append_val(taken, ring);
        for (int i = 0; i <= steps; i++) {
            TapulBox bit = tapul_box_about(tapul_vec2_mix(from, to, (double)i / steps),
                                           tapul_vec2(0.5, 0.5));
            g_array_append_val(taken, bit);
        }
    }
    return taken;
}

/* Each pair's number beside its ring, in the first direction that is clear; on a crowded sheet
 * the table and its residuals still tell. */
static void draw_numbers(TapulPage *page, const TapulEvidenceParts *parts,
                         const Window *window) {
    TapulType type = {
        .size_mm = LABEL_MM, .bold = TRUE, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    g_autoptr(GArray) taken = taken_by_marks(parts, window);
    tapul_page_begin_group(page, "numbers", "Numbers of the pairs", NULL);
    for (int k = 0; k < parts->found->n_pairs; k++) {
        TapulVec2 at = on_page(window, found_mm(parts, k));
        g_autofree char *number = g_strdup_printf("%d", k + 1);
        double half_mm = tapul_page_text_width_mm(number, &type) / 2 + 0.2;
        for (int i = 0; i < 24; i++) {
            double turn_rad = G_PI / 4 * (i % 8), reach_mm = RING_MM + 1.6 + 1.2 * (i / 8);
            TapulVec2 middle = {at.x + (reach_mm + half_mm / 2) * cos(turn_rad),
                                at.y + reach_mm * sin(turn_rad)};
            TapulBox box = tapul_box_about(middle, tapul_vec2(half_mm, 0.5 * LABEL_MM));
            if (!is_clear(taken, box, window->window_mm))
                continue;
            g_autoptr(TapulPath) patch = tapul_box_path(box);
            TapulColour tint = TAPUL_PLATE_TINT;
            tint.alpha = 0.8;
            tapul_page_path(page, patch, &(TapulPen){.fill = tint});
            tapul_page_text(page, tapul_vec2(middle.x, middle.y - 0.32 * LABEL_MM), number,
                            &type);
            g_array_append_val(taken, box);
            break;
        }
    }
    tapul_page_end_group(page);
}

/* --- Foot --- */

static void draw_bar(TapulPage *page, TapulVec2 at, double scale, const TapulFormat *format) {
    static const double lengths_mm[] = {200, 100, 50, 20, 10};
    double em = format->text_mm, length_mm = lengths_mm[G_N_ELEMENTS(lengths_mm) - 1];
    for (guint i = 0; i < G_N_ELEMENTS(lengths_mm); i++)
        if (lengths_mm[i] * scale <= 50) {
            length_mm = lengths_mm[i];
            break;
        }
    double step_mm = scale * length_mm / 5;
    g_autofree char *words = g_strdup_printf("%.0f\u00a0mm", length_mm);
    TapulType type = {.size_mm = fmax(0.85 * em, TAPUL_LEAST_TEXT_MM), .colour = TAPUL_BLACK};
    tapul_page_begin_group(page, "scale-bar", "Scale bar, in fifths", NULL);
    at.x -= 5 * step_mm + tapul_page_text_width_mm(words, &type) + 0.5 * em;
    for (int i = 0; i < 5; i++) {
        g_autoptr(TapulPath) part = tapul_box_path(
            (TapulBox){{at.x + i * step_mm, at.y}, {at.x + (i + 1) * step_mm, at.y + 1.2}});
        tapul_page_path(page, part,
                        &(TapulPen){.fill = i % 2 ? TAPUL_NO_COLOUR : TAPUL_BLACK,
                                    .stroke = TAPUL_BLACK,
                                    .width_mm = TAPUL_HAIRLINE_MM});
    }
    tapul_page_text(page, tapul_vec2(at.x + 5 * step_mm + 0.5 * em, at.y), words, &type);
    tapul_page_end_group(page);
}

/* Returns the y below. */
static double draw_foot(TapulPage *page, const TapulEvidenceParts *parts,
                        const Window *window) {
    double em = parts->format.text_mm;
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    double y = window->window_mm.min.y - 1.4 * em;
    g_autofree char *scale =
        window->scale > 1 ? g_strdup_printf("%g\u00a0:\u00a01", window->scale)
                          : g_strdup_printf("1\u00a0:\u00a0%g", round(10 / window->scale) / 10);
    g_autofree char *caption =
        g_strdup_printf("The plate laid flat about the pairs, %s", scale);
    tapul_page_text(page, tapul_vec2(window->window_mm.min.x, y), caption, &type);
    draw_bar(page, tapul_vec2(window->window_mm.max.x, y), window->scale, &parts->format);
    return y - 0.4 * em;
}

/* --- The overlay --- */

static void draw_ink(TapulPage *page, const TapulEvidenceParts *parts, double scale) {
    const TapulInk *traced = parts->sheet->question->found;
    TapulInking inking = {.ink = TAPUL_PRINT_INK,
                          .ground = TAPUL_PLATE_TINT,
                          .least_width_mm = TAPUL_LEAST_INK_MM / scale,
                          .picture = -1};
    tapul_page_begin_group(page, "print", "The print as the preferred hypothesis puts it",
                           NULL);
    tapul_inking_draw(page, parts->laid, NULL, parts->print->ink->motifs, parts->print->id,
                      &inking);
    tapul_page_end_group(page);
    if (!traced)
        return;
    inking.ink = TAPUL_PLATE_INK;
    inking.found = TRUE;
    inking.least_width_mm = TAPUL_HAIRLINE_MM / scale;
    inking.dash_mm = FOUND_DASH_MM / scale;
    tapul_page_begin_group(page, "found", "The design found on the plate", NULL);
    tapul_inking_draw(page, traced->marks, NULL, traced->motifs, "found", &inking);
    tapul_page_end_group(page);
}

double tapul_evidence_overlay(TapulPage *page, TapulBox room, TapulEvidenceParts *parts) {
    const TapulGround *ground = &parts->sheet->question->ground;
    g_autoptr(TapulPath) edge = tapul_carried_edge(ground);
    Window window = fit_window(room, parts);
    g_autoptr(TapulPath) frame = tapul_box_path(window.window_mm);
    parts->magnification = magnification_at(parts, window.scale);
    tapul_page_begin_clip(page, frame);
    tapul_page_begin_group(page, "development", "The development", &window.place);
    tapul_page_path(page, edge, &(TapulPen){.fill = TAPUL_PLATE_TINT});
    tapul_plate_lines(page, ground, edge, TAPUL_QUIET);
    draw_ink(page, parts, window.scale);
    tapul_page_end_group(page);
    draw_pairs(page, parts, &window);
    tapul_page_end_clip(page);
    draw_numbers(page, parts, &window);
    tapul_page_path(page, frame,
                    &(TapulPen){.stroke = TAPUL_QUIET, .width_mm = TAPUL_HAIRLINE_MM});
    return draw_foot(page, parts, &window);
}
