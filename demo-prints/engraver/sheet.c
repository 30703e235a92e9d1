/* The sheet: hiding of lines behind nearer silhouettes, and the writing of the file.
 * Crossings are found by halving; nothing hidden is ever written. */
#include "sheet.h"

#include <math.h>

typedef struct Group {
    char *identifier;
    GString *fills;
    GArray *strokes; /* Stroke; those carried on by another have an empty path */
} Group;

typedef struct Cover {
    Shape *shape;
    double shadow;
    int owner;
} Cover;

#define COVER_CELL  2.0
#define WIDEST_HALO 0.5
#define WIDTH_STEPS 100.0 /* line widths are whole hundredths of a millimetre */
/* A burin lifted at one edge is set in again within this reach, in mm, and turned by no more
 * than the angle of this cosine; across a mere crack the direction of the gap is of no weight.
 */
#define FARTHEST_CARRIED    1.1
#define STRAIGHTEST_CARRIED 0.8
#define NEAREST_CARRIED     0.3

static const Point towards_light = {-0.66, -0.75};

static void group_free(gpointer data) {
    Group *group = data;
    g_free(group->identifier);
    g_string_free(group->fills, TRUE);
    for (guint i = 0; i < group->strokes->len; i++)
        g_string_free(g_array_index(group->strokes, Stroke, i).path, TRUE);
    g_array_free(group->strokes, TRUE);
    g_free(group);
}

static int cell_columns(const Sheet *sheet) {
    return (int)ceil(sheet->width / COVER_CELL) + 1;
}

static int cell_rows(const Sheet *sheet) {
    return (int)ceil(sheet->height / COVER_CELL) + 1;
}

Sheet *sheet_new(double width, double height, uint64_t seed) {
    Sheet *sheet = g_new0(Sheet, 1);
    sheet->width = width;
    sheet->height = height;
    sheet->halo = 0.2;
    sheet->coarseness = 1;
    hand_start(&sheet->hand, seed);
    sheet->groups = g_ptr_array_new_with_free_func(group_free);
    sheet->covers = g_ptr_array_new_with_free_func(g_free);
    sheet->cover_cells = g_new0(GPtrArray *, (gsize)(cell_columns(sheet) * cell_rows(sheet)));
    return sheet;
}

void sheet_free(Sheet *sheet) {
    g_ptr_array_free(sheet->groups, TRUE);
    g_ptr_array_free(sheet->covers, TRUE);
    for (int i = 0; i < cell_columns(sheet) * cell_rows(sheet); i++)
        if (sheet->cover_cells[i] != NULL)
            g_ptr_array_free(sheet->cover_cells[i], TRUE);
    g_free(sheet->cover_cells);
    g_free(sheet);
    shape_pool_empty();
    curve_pool_empty();
}

void sheet_group(Sheet *sheet, const char *identifier) {
    for (guint i = 0; i < sheet->groups->len; i++) {
        Group *group = g_ptr_array_index(sheet->groups, i);
        if (g_strcmp0(group->identifier, identifier) == 0) {
            sheet->group = group;
            return;
        }
    }
    Group *group = g_new0(Group, 1);
    group->identifier = g_strdup(identifier);
    group->fills = g_string_new(NULL);
    group->strokes = g_array_new(FALSE, FALSE, sizeof(Stroke));
    g_ptr_array_add(sheet->groups, group);
    sheet->group = group;
}

void sheet_set_owner(Sheet *sheet, int owner) {
    sheet->owner = owner;
}

static int cell_index(double value, int limit) {
    return (int)CLAMP(floor(value / COVER_CELL), 0, limit - 1);
}

static void put_in_cells(Sheet *sheet, Cover *cover) {
    double margin = WIDEST_HALO, reach = cover->shadow + WIDEST_HALO;
    int columns = cell_columns(sheet), rows = cell_rows(sheet);
    int last_column = cell_index(cover->shape->right + reach, columns);
    int last_row = cell_index(cover->shape->bottom + reach, rows);
    for (int row = cell_index(cover->shape->top - margin, rows); row <= last_row; row++)
        for (int column = cell_index(cover->shape->left - margin, columns);
             column <= last_column; column++) {
            GPtrArray **cell = &sheet->cover_cells[row * columns + column];
            if (*cell == NULL)
                *cell = g_ptr_array_new();
            g_ptr_array_add(*cell, cover);
        }
}

static const GPtrArray *covers_near(const Sheet *sheet, Point point) {
    int column = cell_index(point.x, cell_columns(sheet));
    int row = cell_index(point.y, cell_rows(sheet));
    return sheet->cover_cells[row * cell_columns(sheet) + column];
}

void sheet_cover(Sheet *sheet, const Shape *shape, double shadow) {
    Cover *cover = g_new0(Cover, 1);
    cover->shape = shape_simplified(shape, 0.02);
    cover->shadow = shadow;
    cover->owner = sheet->owner;
    g_ptr_array_add(sheet->covers, cover);
    put_in_cells(sheet, cover);
}

static bool is_own(const Sheet *sheet, const Cover *cover) {
    return cover->owner != 0 &&
           (cover->owner == sheet->owner || cover->owner == sheet->joined[0] ||
            cover->owner == sheet->joined[1]);
}

bool sheet_shows(const Sheet *sheet, Point point) {
    if (point.x < -sheet->beyond || point.x > sheet->width + sheet->beyond || point.y < 0 ||
        point.y > sheet->height)
        return false;
    if (sheet->window != NULL && !shape_holds(sheet->window, point))
        return false;
    const GPtrArray *covers = covers_near(sheet, point);
    for (guint i = 0; covers != NULL && i < covers->len; i++) {
        const Cover *cover = g_ptr_array_index(covers, i);
        if (is_own(sheet, cover))
            continue;
        if (shape_holds_near(cover->shape, point, sheet->halo))
            return false;
    }
    return true;
}

static double shadow_of(const Cover *cover, Point point) {
    const int steps = 5;
    for (int i = 1; i <= steps; i++) {
        double reach = cover->shadow * i / steps;
        if (shape_holds(cover->shape, point_add(point, point_scale(towards_light, reach))))
            return 1.0 - 0.6 * (i - 1) / steps;
    }
    return 0;
}

double sheet_cast_shadow(const Sheet *sheet, Point point) {
    double darkest = 0;
    const GPtrArray *covers = covers_near(sheet, point);
    for (guint i = 0; covers != NULL && i < covers->len; i++) {
        const Cover *cover = g_ptr_array_index(covers, i);
        if (cover->shadow <= 0 || is_own(sheet, cover))
            continue;
        darkest = MAX(darkest, shadow_of(cover, point));
    }
    return darkest;
}

/* Halves the span between a shown and a hidden point until the crossing is found. */
static Point crossing(const Sheet *sheet, Point shown, Point hidden) {
    for (int i = 0; i < 10; i++) {
        Point middle = point_mix(shown, hidden, 0.5);
        if (sheet_shows(sheet, middle))
            shown = middle;
        else
            hidden = middle;
    }
    return shown;
}

GPtrArray *sheet_visible_pieces(const Sheet *sheet, const Curve *curve) {
    GPtrArray *pieces = g_ptr_array_new();
    guint count = curve_count(curve);
    guint steps = curve->closed ? count + 1 : count;
    Curve *piece = NULL;
    Point previous = {0, 0};
    bool shown_before = false;
    for (guint i = 0; i < steps; i++) {
        Point point = curve_point(curve, i % count);
        bool shown = sheet_shows(sheet, point);
        if (shown && piece == NULL) {
            piece = curve_new(false);
            piece->start_cut = i > 0;
            if (i > 0)
                curve_append(piece, crossing(sheet, point, previous));
        }
        if (shown)
            curve_append(piece, point);
        if (!shown && shown_before) {
            curve_append(piece, crossing(sheet, previous, point));
            piece->end_cut = true;
            g_ptr_array_add(pieces, piece);
            piece = NULL;
        }
        previous = point;
        shown_before = shown;
    }
    if (piece != NULL)
        g_ptr_array_add(pieces, piece);
    return pieces;
}

void sheet_add_fill(Sheet *sheet, const char *path) {
    g_string_append_printf(sheet->group->fills, "<path d=\"%s\"/>\n", path);
}

Stroke stroke_new(double width) {
    return (Stroke){.path = g_string_new(NULL), .width = width};
}

void sheet_take_stroke(Sheet *sheet, Stroke stroke) {
    if (stroke.path->len == 0) {
        g_string_free(stroke.path, TRUE);
        return;
    }
    stroke.width = round(stroke.width * WIDTH_STEPS) / WIDTH_STEPS;
    g_array_append_val(sheet->group->strokes, stroke);
}

/* Whether two free ends face one another closely enough to be one line lifted and set in
 * again; the distance between them then, or infinity. */
static double carried_gap(const Stroke *from, int from_end, const Stroke *to, int to_end) {
    if (from->width < to->width || from->width > to->width)
        return HUGE_VAL;
    Point gap = point_subtract(to->ends[to_end], from->ends[from_end]);
    double reach = point_length(gap);
    if (reach > FARTHEST_CARRIED ||
        point_dot(from->outward[from_end], to->outward[to_end]) > -STRAIGHTEST_CARRIED)
        return HUGE_VAL;
    double ahead = point_dot(gap, from->outward[from_end]);
    return reach < NEAREST_CARRIED || ahead > STRAIGHTEST_CARRIED * reach ? reach : HUGE_VAL;
}

/* Appends one stroke to another where their ends meet; the far end becomes the free one. */
static void carry_on(Stroke *line, int line_end, Stroke *next, int next_end) {
    g_string_append(line->path, next->path->str);
    g_string_truncate(next->path, 0);
    line->ends[line_end] = next->ends[1 - next_end];
    line->outward[line_end] = next->outward[1 - next_end];
}

static bool carry_on_nearest(GArray *strokes, guint index) {
    Stroke *line = &g_array_index(strokes, Stroke, index);
    Stroke *nearest = NULL;
    int line_end = 0, nearest_end = 0;
    double best = HUGE_VAL;
    for (guint j = index + 1; j < strokes->len; j++) {
        Stroke *other = &g_array_index(strokes, Stroke, j);
        for (int pair = 0; pair < 4 && other->path->len > 0; pair++) {
            double gap = carried_gap(line, pair / 2, other, pair % 2);
            if (gap >= best)
                continue;
            best = gap;
            nearest = other;
            line_end = pair / 2;
            nearest_end = pair % 2;
        }
    }
    if (nearest == NULL)
        return false;
    carry_on(line, line_end, nearest, nearest_end);
    return true;
}

void sheet_carry_on_lines(Sheet *sheet) {
    if (sheet->beyond > 0)
        return;
    for (guint i = 0; i < sheet->groups->len; i++) {
        Group *group = g_ptr_array_index(sheet->groups, i);
        for (guint j = 0; j < group->strokes->len; j++) {
            bool carried = g_array_index(group->strokes, Stroke, j).path->len > 0;
            while (carried)
                carried = carry_on_nearest(group->strokes, j);
        }
    }
}

static unsigned group_count_strokes(const Group *group) {
    unsigned count = 0;
    for (guint i = 0; i < group->strokes->len; i++)
        count += g_array_index(group->strokes, Stroke, i).path->len > 0;
    return count;
}

unsigned sheet_count_strokes(const Sheet *sheet) {
    unsigned count = 0;
    for (guint i = 0; i < sheet->groups->len; i++)
        count += group_count_strokes(g_ptr_array_index(sheet->groups, i));
    return count;
}

static void append_strokes(GString *svg, const Group *group) {
    for (guint i = 0; i < group->strokes->len; i++) {
        const Stroke *stroke = &g_array_index(group->strokes, Stroke, i);
        char width[16];
        g_ascii_formatd(width, sizeof width, "%.2f", stroke->width);
        if (stroke->path->len > 0)
            g_string_append_printf(svg, "<path stroke-width=\"%s\" d=\"%s\"/>\n", width,
                                   stroke->path->str);
    }
}

static void append_group(GString *svg, const Group *group) {
    bool stroked = group_count_strokes(group) > 0;
    if (group->fills->len == 0 && !stroked)
        return;
    g_string_append_printf(svg, "<g id=\"%s\">\n", group->identifier);
    if (group->fills->len > 0)
        g_string_append_printf(svg, "<g fill=\"#000\">\n%s</g>\n", group->fills->str);
    if (stroked) {
        g_string_append(svg, "<g fill=\"none\" stroke=\"#000\" stroke-linecap=\"round\" "
                             "stroke-linejoin=\"round\">\n");
        append_strokes(svg, group);
        g_string_append(svg, "</g>\n");
    }
    g_string_append(svg, "</g>\n");
}

bool sheet_write(const Sheet *sheet, const char *file_name, const char *title,
                 const char *description, GError **error) {
    GString *svg = g_string_new("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    g_string_append_printf(svg,
                           "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0fmm\" "
                           "height=\"%.0fmm\" viewBox=\"0 0 %.0f %.0f\">\n",
                           sheet->width, sheet->height, sheet->width, sheet->height);
    g_string_append_printf(svg, "<title>%s</title>\n<desc>%s</desc>\n", title, description);
    for (guint i = 0; i < sheet->groups->len; i++)
        append_group(svg, g_ptr_array_index(sheet->groups, i));
    g_string_append(svg, "</svg>\n");
    bool written = g_file_set_contents(file_name, svg->str, (gssize)svg->len, error);
    g_string_free(svg, TRUE);
    return written;
}
