/* Words and figures set in a drawing, clear of its edge and of each other.
 *
 * The development sheet labels its grid and its fields with it.
 */
#include "sheet/labels.h"

#include "sheet/furniture.h"
#include "sheet/plate_lines.h"

#include <stdlib.h>

struct TapulLabels {
    TapulPage *page;
    double em_mm;
    GArray *lines; /* of TapulVec2: samples that no label may cover */
    GArray *boxes; /* of TapulBox: labels placed */
};

/* Samples of the edge, in ems: closer than a label is high, so that none falls between. */
#define EDGE_STEP_EMS 0.4
#define OFF_STEP_EMS  0.2
/* Letters' middle above their baseline, in ems. */
#define MIDDLE_EMS 0.22

/* A path in points no more than step_mm apart, with a NAN point between subpaths. */
static GArray *sample_path(const TapulPath *path, double step_mm) {
    GArray *samples = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        TapulVec2 gap = {NAN, NAN};
        if (piece.starts_subpath && samples->len > 0)
            g_array_append_val(samples, gap);
        if (piece.starts_subpath)
            g_array_append_val(samples, piece.p[0]);
        int n = (int)ceil(tapul_vec2_distance(piece.p[0], piece.p[3]) / step_mm);
        for (int i = 1; i <= n; i++) {
            TapulVec2 at = tapul_cubic_point(piece.p, (double)i / n);
            g_array_append_val(samples, at);
        }
    }
    return samples;
}

TapulLabels *tapul_labels_new(TapulPage *page, double em_mm, const TapulPath *edge) {
    TapulLabels *labels = g_new(TapulLabels, 1);
    labels->page = page;
    labels->em_mm = em_mm;
    labels->lines = sample_path(edge, EDGE_STEP_EMS * em_mm);
    labels->boxes = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    return labels;
}

void tapul_labels_avoid(TapulLabels *labels, const TapulPath *path) {
    g_autoptr(GArray) samples = sample_path(path, EDGE_STEP_EMS * labels->em_mm);
    g_array_append_vals(labels->lines, samples->data, samples->len);
}

void tapul_labels_free(TapulLabels *labels) {
    if (!labels)
        return;
    g_array_unref(labels->lines);
    g_array_unref(labels->boxes);
    g_free(labels);
}

static gboolean box_holds(TapulBox box, TapulVec2 p) {
    return p.x > box.min.x && p.x < box.max.x && p.y > box.min.y && p.y < box.max.y;
}

static gboolean is_free(const TapulLabels *labels, TapulBox box) {
    for (guint i = 0; i < labels->lines->len; i++)
        if (box_holds(box, g_array_index(labels->lines, TapulVec2, i)))
            return FALSE;
    for (guint i = 0; i < labels->boxes->len; i++) {
        TapulBox other = g_array_index(labels->boxes, TapulBox, i);
        if (box.min.x < other.max.x && other.min.x < box.max.x && box.min.y < other.max.y &&
            other.min.y < box.max.y)
            return FALSE;
    }
    return TRUE;
}

static void set_label(TapulLabels *labels, TapulVec2 middle, TapulVec2 half, const char *text,
                      const TapulType *type) {
    TapulBox box = tapul_box_about(middle, half);
    tapul_page_text(labels->page, tapul_vec2(middle.x, middle.y - MIDDLE_EMS * labels->em_mm),
                    text, type);
    g_array_append_val(labels->boxes, box);
}

/* --- Ends of lines --- */

static void label_end(TapulLabels *labels, TapulVec2 end, TapulVec2 before, const char *text) {
    double em = labels->em_mm;
    TapulVec2 out = tapul_vec2_sub(end, before);
    double length = tapul_vec2_length(out);
    if (length == 0)
        return;
    out = tapul_vec2_scale(out, 1 / length);
    TapulType type = {.size_mm = em, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_QUIET};
    TapulVec2 half = {tapul_page_text_width_mm(text, &type) / 2 + 0.3 * em, 0.5 * em};
    for (double off = 0.5; off < TAPUL_LABEL_REACH_EMS; off += OFF_STEP_EMS) {
        TapulVec2 middle = tapul_vec2_add(end, tapul_vec2_scale(out, off * em));
        if (!is_free(labels, tapul_box_about(middle, half)))
            continue;
        set_label(labels, middle, half, text, &type);
        return;
    }
}

void tapul_labels_line(TapulLabels *labels, const TapulPath *line, const char *text) {
    const TapulVec2 *p = (const TapulVec2 *)(const void *)line->points->data;
    guint n = line->points->len;
    if (n < 2)
        return;
    label_end(labels, p[0], p[1], text);
    label_end(labels, p[n - 1], p[n - 2], text);
}

/* --- Names of fields --- */

#define LEVELS 15 /* heights tried in a field */

static int compare_doubles(const void *a, const void *b) {
    double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

/* The widest piece of a level that lies inside the outline; FALSE where none does. */
static gboolean widest_inside(const GArray *outline, double y, double *from, double *to) {
    g_autoptr(GArray) crossings = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < outline->len; i++) {
        TapulVec2 a = g_array_index(outline, TapulVec2, i);
        TapulVec2 b = g_array_index(outline, TapulVec2, (i + 1) % outline->len);
        if (isnan(a.x) || isnan(b.x) || (a.y < y) == (b.y < y))
            continue;
        double x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
        g_array_append_val(crossings, x);
    }
    g_array_sort(crossings, compare_doubles);
    *from = *to = 0;
    for (guint i = 0; i + 1 < crossings->len; i += 2) {
        double x0 = g_array_index(crossings, double, i);
        double x1 = g_array_index(crossings, double, i + 1);
        if (x1 - x0 > *to - *from) {
            *from = x0;
            *to = x1;
        }
    }
    return *to > *from;
}

/* The widest place where the label fits and is clear: in the middle of it, or beside a line
 * that runs there. */
static gboolean find_place(const TapulLabels *labels, const GArray *outline, TapulBox box,
                           TapulVec2 half, TapulVec2 *middle) {
    double widest = 0, beside_mm = half.x + 0.4 * labels->em_mm;
    const double shifts_mm[] = {0, -beside_mm, beside_mm};
    for (int level = 1; level < LEVELS; level++) {
        double y = box.min.y + (box.max.y - box.min.y) * level / LEVELS, from, to;
        if (!widest_inside(outline, y, &from, &to) || to - from <= widest)
            continue;
        for (guint i = 0; i < G_N_ELEMENTS(shifts_mm); i++) {
            TapulVec2 at = {(from + to) / 2 + shifts_mm[i], y};
            if (at.x - half.x < from || at.x + half.x > to ||
                !is_free(labels, tapul_box_about(at, half)))
                continue;
            widest = to - from;
            *middle = at;
            break;
        }
    }
    return widest > 0;
}

void tapul_labels_field(TapulLabels *labels, const TapulPath *outline, const char *name) {
    if (tapul_path_is_empty(outline))
        return;
    double em = labels->em_mm;
    TapulType type = {
        .size_mm = em, .italic = TRUE, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    TapulVec2 half = {tapul_page_text_width_mm(name, &type) / 2 + 0.4 * em, 0.65 * em}, middle;
    g_autoptr(GArray) samples = sample_path(outline, EDGE_STEP_EMS * em);
    if (!find_place(labels, samples, tapul_path_box(outline), half, &middle))
        return;
    g_autoptr(TapulPath) patch = tapul_box_path(tapul_box_about(middle, half));
    tapul_page_path(labels->page, patch, &(TapulPen){.fill = TAPUL_PLATE_TINT});
    set_label(labels, middle, half, name, &type);
}
