/* The filled rule: a part of the print is stretched over a named field of the plate, frame to
 * outline, corners to corners. Both are mapped one-to-one on the unit square (region.c), the
 * field in the development; the print goes through the square from one to the other. */
#include "laying/region.h"
#include "laying/rule.h"

#include <geos_c.h>

/* The field's outline is carried from the front view to the development this finely. */
#define OUTLINE_SPACING_MM 1.0
/* A corner given for the field may be this far from its outline. */
#define SNAP_MM 25.0
/* A frame of four corners is a parallelogram if its diagonals' middles are this near, as a
 * share of the diagonal. */
#define PARALLEL_SHARE 1e-9
/* Print points this far outside a frame, as a share of it, are on it. */
#define ON_FRAME 1e-9

struct TapulFill {
    /* A parallelogram for a frame needs no region: print = origin + u by_u + v by_v. */
    TapulVec2 origin, by_u, by_v;
    TapulRegion *frame; /* or NULL */
    TapulRegion *field;
    gboolean reversed;
};

void tapul_fill_free(TapulFill *fill) {
    if (!fill)
        return;
    tapul_region_free(fill->frame);
    tapul_region_free(fill->field);
    g_free(fill);
}

static void add_point(GArray *outline, TapulVec2 p, int corner) {
    TapulRegionPoint point = {p, corner};
    g_array_append_val(outline, point);
}

static gboolean value_fault(GError **error, const char *text) {
    g_set_error_literal(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE, text);
    return FALSE;
}

static gboolean is_simple(const GArray *outline) {
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, outline->len + 1, 2);
    for (guint i = 0; i <= outline->len; i++) {
        TapulVec2 p = g_array_index(outline, TapulRegionPoint, i % outline->len).point;
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(geos, sequence);
    GEOSGeometry *polygon = ring ? GEOSGeom_createPolygon_r(geos, ring, NULL, 0) : NULL;
    gboolean simple = polygon && GEOSisValid_r(geos, polygon) == 1;
    if (polygon)
        GEOSGeom_destroy_r(geos, polygon);
    GEOS_finish_r(geos);
    return simple;
}

/* --- The frame --- */

static gboolean take_frame(TapulFill *fill, const TapulFillOptions *options, GError **error) {
    const TapulVec2 *p = options->frame_mm;
    g_autoptr(GArray) outline = g_array_new(FALSE, FALSE, sizeof(TapulRegionPoint));
    if (options->n_frame < 4)
        return value_fault(error, "print_frame_mm: at least 4 corners are needed");
    for (int i = 0; i < options->n_frame; i++) {
        if (!isfinite(p[i].x) || !isfinite(p[i].y))
            return value_fault(error, "print_frame_mm: expected finite numbers");
        add_point(outline, p[i], options->n_frame == 4 ? i : -1);
    }
    if (!is_simple(outline))
        return value_fault(error, "print_frame_mm: the frame crosses itself or has no area");
    gboolean in_order = options->n_frame == 4 ? tapul_region_is_in_order(outline)
                                              : tapul_region_take_box_corners(outline);
    if (!in_order)
        return value_fault(error,
                           "print_frame_mm: its corners are to be given counter-clockwise "
                           "from the lower left");
    TapulVec2 middle_a = tapul_vec2_mix(p[0], p[2], 0.5),
              middle_b = tapul_vec2_mix(p[1], p[3], 0.5);
    fill->origin = p[0];
    fill->by_u = tapul_vec2_sub(p[1], p[0]);
    fill->by_v = tapul_vec2_sub(p[3], p[0]);
    if (options->n_frame == 4 && tapul_vec2_distance(middle_a, middle_b) <=
                                     PARALLEL_SHARE * tapul_vec2_distance(p[0], p[2]))
        return TRUE;
    fill->frame = tapul_region_new(outline, "print_frame_mm", error);
    return fill->frame != NULL;
}

/* --- The field --- */

static gboolean carry_outline(const TapulGround *ground, const TapulField *field,
                              GArray *outline, GError **error) {
    for (int i = 0; i < field->n; i++) {
        TapulVec2 a = field->outline_mm[i], b = field->outline_mm[(i + 1) % field->n];
        int n = MAX(1, (int)ceil(tapul_vec2_distance(a, b) / OUTLINE_SPACING_MM));
        for (int k = 0; k < n; k++) {
            TapulVec2 p = tapul_vec2_mix(a, b, (double)k / n);
            TapulSpot spot;
            if (!tapul_plate_spot_from_front(ground->plate, p.x, p.y, &spot, NULL)) {
                g_set_error(
                    error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                    "field '%s' leaves the plate, as seen from the front, at %.1f, %.1f "
                    "mm: only a field that lies wholly on the plate can be filled",
                    field->id, p.x, p.y);
                return FALSE;
            }
            add_point(outline, tapul_development_point_mm(ground->development, spot), -1);
        }
    }
    if (is_simple(outline))
        return TRUE;
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                "field '%s': on the plate its outline crosses itself", field->id);
    return FALSE;
}

static double signed_area(const GArray *outline) {
    double twice = 0;
    for (guint i = 0; i < outline->len; i++)
        twice += tapul_vec2_cross(
            g_array_index(outline, TapulRegionPoint, i).point,
            g_array_index(outline, TapulRegionPoint, (i + 1) % outline->len).point);
    return twice / 2;
}

static void turn_counter_clockwise(GArray *outline) {
    if (signed_area(outline) > 0)
        return;
    for (guint i = 0, k = outline->len - 1; i < k; i++, k--) {
        TapulRegionPoint swap = g_array_index(outline, TapulRegionPoint, i);
        g_array_index(outline, TapulRegionPoint, i) =
            g_array_index(outline, TapulRegionPoint, k);
        g_array_index(outline, TapulRegionPoint, k) = swap;
    }
}

/* Makes the outline's point nearest to p a corner, a new one where no point is. Returns its
 * distance. */
static double snap_corner(GArray *outline, TapulVec2 p, int corner) {
    double nearest_mm = INFINITY, share = 0;
    guint nearest = 0;
    for (guint i = 0; i < outline->len; i++) {
        TapulVec2 a = g_array_index(outline, TapulRegionPoint, i).point;
        TapulVec2 b = g_array_index(outline, TapulRegionPoint, (i + 1) % outline->len).point;
        TapulVec2 along = tapul_vec2_sub(b, a);
        double t = tapul_vec2_dot(tapul_vec2_sub(p, a), along) / tapul_vec2_dot(along, along);
        t = CLAMP(t, 0, 1);
        double away_mm = tapul_vec2_distance(p, tapul_vec2_mix(a, b, t));
        if (away_mm >= nearest_mm)
            continue;
        nearest_mm = away_mm;
        nearest = i;
        share = t;
    }
    const double at_point = 0.05; /* of a millimetre's piece of the outline */
    guint next = (nearest + 1) % outline->len;
    if (share > at_point && share < 1 - at_point) {
        TapulVec2 a = g_array_index(outline, TapulRegionPoint, nearest).point;
        TapulVec2 b = g_array_index(outline, TapulRegionPoint, next).point;
        TapulRegionPoint point = {tapul_vec2_mix(a, b, share), corner};
        g_array_insert_val(outline, nearest + 1, point);
    } else {
        g_array_index(outline, TapulRegionPoint, share > 0.5 ? next : nearest).corner = corner;
    }
    return nearest_mm;
}

static gboolean take_corners(const TapulGround *ground, const TapulFillOptions *options,
                             GArray *outline, GError **error) {
    for (int k = 0; k < 4; k++) {
        TapulVec2 p = tapul_development_point_mm(ground->development, options->corners[k]);
        double away_mm = snap_corner(outline, p, k);
        if (away_mm <= SNAP_MM)
            continue;
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
            "field_corners: corner %d is %.1f mm from the field's outline, expected at most "
            "%g mm",
            k + 1, away_mm, SNAP_MM);
        return FALSE;
    }
    return tapul_region_is_in_order(outline) ||
           value_fault(error,
                       "field_corners: expected four different points of the outline, the "
                       "lower left first and then counter-clockwise");
}

static gboolean take_field(TapulFill *fill, const TapulGround *ground,
                           const TapulFillOptions *options, GError **error) {
    if (options->field < 0 || options->field >= tapul_plate_n_fields(ground->plate)) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "field %d: the plate has %d", options->field,
                    tapul_plate_n_fields(ground->plate));
        return FALSE;
    }
    const TapulField *field = tapul_plate_field(ground->plate, options->field);
    g_autoptr(GArray) outline = g_array_new(FALSE, FALSE, sizeof(TapulRegionPoint));
    if (!carry_outline(ground, field, outline, error))
        return FALSE;
    turn_counter_clockwise(outline);
    if (options->has_corners) {
        if (!take_corners(ground, options, outline, error))
            return FALSE;
    } else if (!tapul_region_take_box_corners(outline)) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "field '%s' has no four corners of its own: give field_corners", field->id);
        return FALSE;
    }
    g_autofree char *what = g_strdup_printf("field '%s'", field->id);
    fill->field = tapul_region_new(outline, what, error);
    return fill->field != NULL;
}

static gboolean filled_prepare(TapulLaying *laying, GError **error) {
    TapulFill *fill = laying->fill = g_new0(TapulFill, 1);
    fill->reversed = laying->options.reversed;
    return take_frame(fill, &laying->options.fill, error) &&
           take_field(fill, &laying->ground, &laying->options.fill, error);
}

/* --- The map --- */

static gboolean frame_square(const TapulFill *fill, TapulVec2 print_mm, TapulVec2 *square) {
    if (fill->frame)
        return tapul_region_square(fill->frame, print_mm, square);
    TapulVec2 p = tapul_vec2_sub(print_mm, fill->origin);
    double whole = tapul_vec2_cross(fill->by_u, fill->by_v);
    *square = tapul_vec2(tapul_vec2_cross(p, fill->by_v) / whole,
                         tapul_vec2_cross(fill->by_u, p) / whole);
    return square->x >= -ON_FRAME && square->x <= 1 + ON_FRAME && square->y >= -ON_FRAME &&
           square->y <= 1 + ON_FRAME;
}

static gboolean frame_point(const TapulFill *fill, TapulVec2 square, TapulVec2 *print_mm) {
    if (fill->frame)
        return tapul_region_point(fill->frame, square, print_mm);
    *print_mm =
        tapul_vec2_add(fill->origin, tapul_vec2_add(tapul_vec2_scale(fill->by_u, square.x),
                                                    tapul_vec2_scale(fill->by_v, square.y)));
    return TRUE;
}

static gboolean filled_forward(const TapulLaying *laying, TapulVec2 print_mm,
                               TapulLaidPoint *point) {
    const TapulFill *fill = laying->fill;
    TapulVec2 square;
    if (!frame_square(fill, print_mm, &square))
        return FALSE;
    if (fill->reversed)
        square.x = 1 - square.x;
    return tapul_region_point(fill->field, square, &point->developed_mm) &&
           tapul_development_finder_spot(laying->ground.finder, point->developed_mm,
                                         &point->spot);
}

static gboolean filled_inverse(const TapulLaying *laying, TapulSpot spot, TapulVec2 *print_mm) {
    const TapulFill *fill = laying->fill;
    TapulVec2 square;
    if (!tapul_region_square(
            fill->field, tapul_development_point_mm(laying->ground.development, spot), &square))
        return FALSE;
    if (fill->reversed)
        square.x = 1 - square.x;
    return frame_point(fill, square, print_mm);
}

const TapulLayingMethods tapul_laying_filled = {
    .name = "filled",
    .places = FALSE,
    .prepare = filled_prepare,
    .forward = filled_forward,
    .differential = tapul_laying_differences,
    .inverse = filled_inverse,
};
