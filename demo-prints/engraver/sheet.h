/* The sheet: named groups of ink, the forms already drawn in front, and the SVG writer.
 * Forms are drawn front to back; each adds its silhouette, and later lines stop at it. */
#ifndef ENGRAVER_SHEET_H
#define ENGRAVER_SHEET_H

#include "shape.h"

/* A line of the graver: any number of pieces cut at one width. */
typedef struct Stroke {
    GString *path;
    double width;
    Point ends[2];
    Point outward[2]; /* unit directions in which the line would run on at its ends */
} Stroke;

typedef struct Sheet {
    double width;
    double height;
    Hand hand;
    GPtrArray *groups;
    GPtrArray *covers;
    GPtrArray **cover_cells; /* which covers, or their shadows, may touch each square */
    struct Group *group;
    int owner;           /* covers of the same owner do not hide one another; 0 is nobody */
    int joined[2];       /* owners of pieces that run on into this one, and do not hide it */
    double halo;         /* the thin gap left where a nearer form crosses */
    double coarseness;   /* all hatching is this much wider apart than asked for */
    const Shape *window; /* when set, nothing shows outside it */
    double beyond;       /* a repeat runs on this far past both ends, and is cut off there */
} Sheet;

Sheet *sheet_new(double width, double height, uint64_t seed);
void sheet_free(Sheet *sheet);

/* Ink goes into this group from now on; a group may be taken up again. */
void sheet_group(Sheet *sheet, const char *identifier);

/* Adds a silhouette; shadow is how far (mm) it throws its shadow, 0 for none. */
void sheet_cover(Sheet *sheet, const Shape *shape, double shadow);
void sheet_set_owner(Sheet *sheet, int owner);

bool sheet_shows(const Sheet *sheet, Point point);

/* Darkness 0..1 thrown on a point by the forms in front of it. */
double sheet_cast_shadow(const Sheet *sheet, Point point);

/* The visible pieces of a curve, each a Curve; free the array, not its items. */
GPtrArray *sheet_visible_pieces(const Sheet *sheet, const Curve *curve);

void sheet_add_fill(Sheet *sheet, const char *path);

Stroke stroke_new(double width);

/* Lays a stroke down and owns it from now on; an empty one is dropped. */
void sheet_take_stroke(Sheet *sheet, Stroke stroke);

/* Lines that are cut on, beyond a form or a fold, in the direction they had become one; but
 * not from one repeat into the next. */
void sheet_carry_on_lines(Sheet *sheet);
unsigned sheet_count_strokes(const Sheet *sheet);

bool sheet_write(const Sheet *sheet, const char *file_name, const char *title,
                 const char *description, GError **error);

#endif
