/* Curves: hand-placed points joined by a smooth spline and kept as closely spaced samples.
 * All curves live in one pool which is emptied after each print. Lengths are millimetres. */
#ifndef ENGRAVER_CURVE_H
#define ENGRAVER_CURVE_H

#include <glib.h>
#include <stdbool.h>

#include "hand.h"

typedef struct Curve {
    GArray *points;
    bool closed;
    bool start_cut; /* the beginning was cut away by something in front */
    bool end_cut;
} Curve;

/* A placing of a motif: local points are scaled, then turned, then moved. A negative scale
 * mirrors. */
typedef struct Frame {
    Point origin;
    double scale_x;
    double scale_y;
    double angle;
} Frame;

Point point_add(Point a, Point b);
Point point_subtract(Point a, Point b);
Point point_scale(Point a, double factor);
Point point_mix(Point a, Point b, double share);
double point_length(Point a);
double point_distance(Point a, Point b);
Point point_unit(Point a);
double point_dot(Point a, Point b);

Frame frame_identity(void);
Frame frame_at(double x, double y, double scale, double degrees);
Frame frame_mirrored(double x, double y, double scale, double degrees);
Point frame_apply(Frame frame, Point point);

Curve *curve_new(bool closed);
void curve_pool_empty(void);
void curve_append(Curve *curve, Point point);
Point curve_point(const Curve *curve, guint index);
guint curve_count(const Curve *curve);

/* "x y, x y /, x y": a spline through the points; a slash makes that point a corner. */
Curve *curve_open(Frame frame, const char *text);
Curve *curve_closed(Frame frame, const char *text);
Curve *curve_through(const Point *points, guint count, bool closed);

/* An ellipse drawn by hand: never quite true. */
Curve *curve_oval(const Hand *hand, Point centre, double radius_x, double radius_y,
                  double degrees, double unsteadiness);

/* A spiral that winds inward from the start angle; turns may be negative. */
Curve *curve_spiral(Point centre, double radius, double inner_radius, double start_degrees,
                    double turns);

Curve *curve_copy(const Curve *curve);
Curve *curve_moved(const Curve *curve, Point by);
Curve *curve_reversed(const Curve *curve);
Curve *curve_part(const Curve *curve, double from, double to);
Curve *curve_drifted(const Hand *hand, const Curve *curve, double wavelength, double amplitude,
                     uint64_t layer);
Curve *curve_joined(const Curve *a, const Curve *b, bool closed);
Curve *curve_simplified(const Curve *curve, double tolerance);
Curve *curve_offset(const Curve *curve, double distance);

double curve_length(const Curve *curve);

/* The point a share 0..1 of the way along, and the unit direction there. */
Point curve_at(const Curve *curve, double share);
Point curve_direction(const Curve *curve, double share);
Point curve_tangent_at_index(const Curve *curve, guint index);
double curve_signed_area(const Curve *curve);

/* "t v, t v, ...": a smooth profile, for widths along an axis. */
double profile_value(const char *text, double share);

#endif
