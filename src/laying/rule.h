/* What a laying is made of, and what each rule gives: shared by the files of this folder. */
#ifndef LAYING_RULE_H
#define LAYING_RULE_H

#include "laying/border.h"
#include "laying/geodesic.h"
#include "laying/region.h"
#include "laying/spline.h"

#include <tapul/laying.h>

G_BEGIN_DECLS

/* A point laid: where on the metal, and where in the development. */
typedef struct {
    TapulSpot spot;
    TapulVec2 developed_mm;
} TapulLaidPoint;

/* The same with the derivatives by the two coordinates it was laid from. */
typedef struct {
    TapulLaidPoint at;
    TapulVec3 metal_by_x, metal_by_y;
    TapulVec2 developed_by_x, developed_by_y;
} TapulLaidJet;

/* A rule takes points of the sheet's plane (the print placed: scaled, turned, mirrored) to the
 * plate. */
typedef struct {
    const char *name;
    gboolean places; /* the print is placed by anchor, scale and turn; else the rule takes print
                        points */
    gboolean (*prepare)(TapulLaying *laying, GError **error); /* NULL: nothing to do */
    gboolean (*forward)(const TapulLaying *laying, TapulVec2 plane_mm, TapulLaidPoint *point);
    gboolean (*differential)(const TapulLaying *laying, TapulVec2 plane_mm, TapulLaidJet *jet);
    gboolean (*inverse)(const TapulLaying *laying, TapulSpot spot, TapulVec2 *plane_mm);
} TapulLayingMethods;

extern const TapulLayingMethods tapul_laying_rolled, tapul_laying_developed_rule,
    tapul_laying_viewed, tapul_laying_pinned, tapul_laying_bordered, tapul_laying_filled;

struct TapulLaying {
    TapulGround ground;
    TapulLayingOptions options; /* its pins, points and frame are not kept */
    const TapulLayingMethods *methods;
    /* plane = by_x * (x - print_anchor.x) + by_y * (y - print_anchor.y) */
    TapulVec2 plane_by_x, plane_by_y, print_anchor_mm;
    TapulVec2 anchor_developed_mm; /* rolled, developed */
    TapulVec2 anchor_front_mm;     /* viewed */
    TapulGeodesicChart chart;      /* rolled */
    TapulSpline *spline;           /* pinned; else NULL */
    TapulBorder *border;           /* bordered; else NULL */
    int repeat;                    /* bordered: the repeat that print points are of; -1: by x */
    TapulFill *fill;               /* filled; else NULL */
};

/* FALSE with an error unless the scale is a possible one. */
gboolean tapul_laying_check_scale(double scale, GError **error);

/* The differential by one-sided differences, inward where the plate ends. */
gboolean tapul_laying_differences(const TapulLaying *laying, TapulVec2 plane_mm,
                                  TapulLaidJet *jet);

/* The image in the development of a tangent vector of the metal. */
TapulVec2 tapul_laying_develop_vector(const TapulDevelopment *development, TapulSpot spot,
                                      TapulVec3 tangent);

/* Print point -> plate with derivatives by the print's coordinates. */
gboolean tapul_laying_jet(const TapulLaying *laying, TapulVec2 print_mm, TapulLaidJet *jet);

/* A linear map of the print's plane, measured on the metal: lengths and products of its two
 * columns. */
typedef struct {
    double xx, xy, yy;
    gboolean folded;
} TapulLaidMetric;

TapulLaidMetric tapul_laying_metric(const TapulLaying *laying, const TapulLaidJet *jet);
/* Principal stretches s1 >= s2 >= 0. */
void tapul_laid_metric_stretch(const TapulLaidMetric *metric, double *s1, double *s2);

G_END_DECLS

#endif
