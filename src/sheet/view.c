/* Carries the development's ink into a view of the plate: development -> metal -> seen, cut
 * where hidden.
 *
 * The overlay sheet draws with it. The depth of the shaded picture (raster.c) tells what is
 * hidden.
 */
#include "sheet/view.h"

/* How far behind the drawn metal a point of it may lie and still be seen: smooth positions
 * stand off the flat triangles by their chord error (0.05 mm), which counts more the more the
 * metal turns away. */
#define DEPTH_TOLERANCE_MM 0.3
#define CHORD_ERROR_MM     0.05
#define LEAST_FACING       0.02 /* cosine: beyond, a line on the metal is seen end-on */

static TapulVec3 to_seen(const TapulView *view, TapulVec3 v) {
    return (TapulVec3){tapul_vec3_dot(v, view->right), tapul_vec3_dot(v, view->up),
                       tapul_vec3_dot(v, view->towards)};
}

TapulView *tapul_view_new(const TapulGround *ground, double turn_rad, double tilt_rad) {
    const TapulMesh *mesh = ground->development->mesh;
    double c = cos(turn_rad), s = sin(turn_rad), ct = cos(tilt_rad), st = sin(tilt_rad);
    TapulView *view = g_new0(TapulView, 1);
    view->ground = ground;
    view->right = tapul_vec3(c, 0, s);
    view->up = tapul_vec3(st * s, ct, -st * c);
    view->towards = tapul_vec3(-ct * s, st, ct * c);
    view->seen_mm = g_new(TapulVec3, mesh->n_vertices);
    view->box_mm = tapul_box_empty();
    for (int i = 0; i < mesh->n_vertices; i++) {
        TapulVec3 seen = to_seen(view, mesh->position_mm[i]);
        view->seen_mm[i] = seen;
        tapul_box_add(&view->box_mm, tapul_vec2(seen.x, seen.y));
    }
    return view;
}

void tapul_view_free(TapulView *view) {
    if (!view)
        return;
    g_free(view->seen_mm);
    tapul_raster_free(view->shade);
    g_free(view);
}

void tapul_view_shade(TapulView *view, double pixel_mm, TapulMetal metal) {
    tapul_raster_free(view->shade);
    view->shade =
        tapul_metal_draw(view->ground->development->mesh, view->seen_mm,
                         (TapulVec3[3]){view->right, view->up, view->towards}, pixel_mm, metal);
}

gboolean tapul_view_point(const TapulView *view, TapulVec2 developed_mm, TapulVec2 *seen_mm) {
    const TapulMesh *mesh = view->ground->development->mesh;
    TapulSpot spot;
    if (!tapul_development_finder_spot(view->ground->finder, developed_mm, &spot))
        return FALSE;
    TapulVec3 seen = to_seen(view, tapul_mesh_smooth_position_mm(mesh, spot));
    double facing = tapul_vec3_dot(tapul_mesh_smooth_normal(mesh, spot), view->towards);
    *seen_mm = tapul_vec2(seen.x, seen.y);
    if (facing < LEAST_FACING)
        return FALSE;
    return tapul_raster_sees(view->shade, *seen_mm, seen.z,
                             DEPTH_TOLERANCE_MM + CHORD_ERROR_MM / facing);
}

static gboolean view_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    return tapul_view_point(data, from, to);
}

TapulPath *tapul_view_path(const TapulView *view, const TapulPath *developed, gboolean area,
                           double tolerance_mm) {
    return tapul_path_warp(developed, view_map, (gpointer)view, tolerance_mm, area, NULL);
}
