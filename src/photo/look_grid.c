/* What a photograph shows of all places of a rectified picture, taken on a grid.
 *
 * taken.c fills each photograph's masks from it, blend.c its weights, relief_draw.c the plate's
 * normals. A pixel of its own is looked at only where its cell's corners disagree, so that
 * masks are exact to the pixel at a small part of the price.
 */
#include "photo/look_grid.h"

/* Cells are this wide, unless that is more than a millimetre: no part of a plate's edge or of a
 * roll that hides another is narrower (common practice, no source). */
#define STEP_PX        8
#define WIDEST_CELL_MM 1.0
/* Normals of a cell's corners that differ by more than this lie on both sides of a ridge. */
#define CREASE_COSINE 0.996 /* 5 degrees */

TapulVec2 tapul_rectified_place(const TapulRectified *frame, TapulVec2 px) {
    return tapul_vec2(frame->box_mm.min.x + px.x * frame->pixel_mm,
                      frame->box_mm.max.y - px.y * frame->pixel_mm);
}

TapulLookGrid *tapul_look_grid_new(const TapulEye *eye, const TapulRectified *frame) {
    TapulLookGrid *grid = g_new(TapulLookGrid, 1);
    grid->eye = *eye;
    grid->frame = frame;
    grid->step_px = CLAMP((int)(WIDEST_CELL_MM / frame->pixel_mm), 1, STEP_PX);
    grid->columns = (frame->width_px + grid->step_px - 1) / grid->step_px + 1;
    grid->rows = (frame->height_px + grid->step_px - 1) / grid->step_px + 1;
    grid->node = g_new(TapulLook, (gsize)grid->columns * (gsize)grid->rows);
#pragma omp parallel for schedule(dynamic, 4)
    for (int j = 0; j < grid->rows; j++)
        for (int i = 0; i < grid->columns; i++) {
            TapulVec2 px = {i * grid->step_px, j * grid->step_px};
            grid->node[(gsize)j * (gsize)grid->columns + (gsize)i] =
                tapul_look(eye, tapul_rectified_place(frame, px));
        }
    return grid;
}

void tapul_look_grid_free(TapulLookGrid *grid) {
    if (!grid)
        return;
    g_free(grid->node);
    g_free(grid);
}

/* A pixel's cell: its upper left node, and how far into it the pixel's centre lies. */
typedef struct {
    gsize first;
    float right, down; /* 0 to 1 */
} Place;

static Place place_of(const TapulLookGrid *grid, int x_px, int y_px) {
    int i = x_px / grid->step_px, j = y_px / grid->step_px;
    return (Place){(gsize)j * (gsize)grid->columns + (gsize)i,
                   ((float)(x_px - i * grid->step_px) + 0.5f) / (float)grid->step_px,
                   ((float)(y_px - j * grid->step_px) + 0.5f) / (float)grid->step_px};
}

static float mix(float upper_left, float upper_right, float lower_left, float lower_right,
                 Place place) {
    float upper = upper_left + place.right * (upper_right - upper_left);
    float lower = lower_left + place.right * (lower_right - lower_left);
    return upper + place.down * (lower - upper);
}

float tapul_look_grid_value(const TapulLookGrid *grid, const float *value, int x_px, int y_px) {
    Place place = place_of(grid, x_px, y_px);
    const float *upper = value + place.first, *lower = upper + grid->columns;
    return mix(upper[0], upper[1], lower[0], lower[1], place);
}

static TapulLook look_at_pixel(const TapulLookGrid *grid, int x_px, int y_px) {
    return tapul_look(&grid->eye,
                      tapul_rectified_place(grid->frame, tapul_vec2(x_px + 0.5, y_px + 0.5)));
}

/* --- Masks --- */

static gboolean alike(const TapulLook *upper, const TapulLook *lower) {
    TapulSeen seen = upper[0].seen;
    return upper[1].seen == seen && lower[0].seen == seen && lower[1].seen == seen;
}

static void fill_cell(const TapulLookGrid *grid, int i, int j, guint8 *seen, float *px_per_mm) {
    const TapulRectified *frame = grid->frame;
    const TapulLook *upper = grid->node + (gsize)j * (gsize)grid->columns + (gsize)i;
    const TapulLook *lower = upper + grid->columns;
    gboolean even = alike(upper, lower);
    int right = MIN((i + 1) * grid->step_px, frame->width_px);
    int below = MIN((j + 1) * grid->step_px, frame->height_px);
    for (int y = j * grid->step_px; y < below; y++)
        for (int x = i * grid->step_px; x < right; x++) {
            gsize at = (gsize)y * (gsize)frame->width_px + (gsize)x;
            TapulLook look = even ? upper[0] : look_at_pixel(grid, x, y);
            if (even)
                look.px_per_mm = mix(upper[0].px_per_mm, upper[1].px_per_mm, lower[0].px_per_mm,
                                     lower[1].px_per_mm, place_of(grid, x, y));
            seen[at] = (guint8)look.seen;
            px_per_mm[at] = look.seen >= TAPUL_SEEN_GRAZING ? look.px_per_mm : 0;
        }
}

void tapul_look_grid_fill(const TapulLookGrid *grid, guint8 *seen, float *px_per_mm) {
#pragma omp parallel for schedule(dynamic, 4)
    for (int j = 0; j < grid->rows - 1; j++)
        for (int i = 0; i < grid->columns - 1; i++)
            fill_cell(grid, i, j, seen, px_per_mm);
}

/* --- Normals --- */

static TapulVec3 normal_of(const TapulLook *look) {
    return tapul_vec3(look->normal[0], look->normal[1], look->normal[2]);
}

TapulVec3 tapul_look_grid_normal(const TapulLookGrid *grid, int x_px, int y_px) {
    Place place = place_of(grid, x_px, y_px);
    const TapulLook *upper = grid->node + place.first, *lower = upper + grid->columns;
    TapulVec3 first = normal_of(upper);
    /* A node off the plate has no normal, and fails here too. */
    if (tapul_vec3_dot(first, normal_of(&upper[1])) < CREASE_COSINE ||
        tapul_vec3_dot(first, normal_of(&lower[0])) < CREASE_COSINE ||
        tapul_vec3_dot(first, normal_of(&lower[1])) < CREASE_COSINE) {
        TapulLook look = look_at_pixel(grid, x_px, y_px);
        return normal_of(&look);
    }
    float n[3];
    for (int k = 0; k < 3; k++)
        n[k] = mix(upper[0].normal[k], upper[1].normal[k], lower[0].normal[k],
                   lower[1].normal[k], place);
    return tapul_vec3_unit(tapul_vec3(n[0], n[1], n[2]));
}
