/* Fits a type plate to a real one's height, width and depth: the built surface is stretched
 * along the three axes of the plate frame. For those who have no readings of their plate. */
#include "plate/fit.h"

#include "plate/plate_private.h"

/* How far the breastplates of shapes/ lie apart in depth once they are fitted to the same three
 * measures, for a mm of depth: 95 % of places, the widest of all pairs. Measured by
 * tests/unit/test_plate_fit.c, which holds this figure to the shelf. */
#define FORM_SPREAD_P95 0.195

/* Beyond this ratio of the largest to the smallest stretch another type would be nearer (common
 * practice, no source). */
#define STRAINED_RATIO 1.25

#define LEAST_MEASURE_MM   10.0
#define LARGEST_MEASURE_MM 3000.0

void tapul_plate_fit_read(TapulDocument *document, const TapulNode *map, TapulPlateFit *fit) {
    static const char *const keys[] = {"height_mm", "width_mm", "depth_mm", NULL};
    double *const measures[] = {&fit->height_mm, &fit->width_mm, &fit->depth_mm};
    const TapulNode *node = tapul_document_get(document, map, "fit");
    tapul_document_expect_keys(document, node, keys);
    for (int k = 0; k < 3; k++)
        tapul_document_number(document, node, keys[k], FALSE, LEAST_MEASURE_MM,
                              LARGEST_MEASURE_MM, measures[k]);
    gboolean given = FALSE;
    for (int k = 0; k < 3; k++)
        given = given || tapul_document_get(document, node, keys[k]);
    if (node && !given)
        tapul_document_fault(document, node,
                             "fit: at least one of height_mm, width_mm and depth_mm is needed");
}

gboolean tapul_plate_fit_is_asked(const TapulPlateFit *fit) {
    return fit->height_mm > 0 || fit->width_mm > 0 || fit->depth_mm > 0;
}

/* The stretch of each axis; one that is not given takes the geometric mean of those that are.
 */
static TapulVec3 stretch_of(const TapulPlateFit *fit, TapulVec3 size_mm) {
    const double wanted[] = {fit->width_mm, fit->height_mm, fit->depth_mm};
    const double has[] = {size_mm.x, size_mm.y, size_mm.z};
    double by[3], sum = 0;
    int n = 0;
    for (int k = 0; k < 3; k++) {
        by[k] = wanted[k] > 0 && has[k] > 0 ? wanted[k] / has[k] : 0;
        if (by[k] > 0) {
            sum += log(by[k]);
            n++;
        }
    }
    double mean = exp(sum / MAX(n, 1));
    for (int k = 0; k < 3; k++)
        by[k] = by[k] > 0 ? by[k] : mean;
    return tapul_vec3(by[0], by[1], by[2]);
}

static void stretch_mesh(TapulMesh *mesh, TapulVec3 by) {
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulVec3 *p = &mesh->position_mm[v];
        *p = tapul_vec3(p->x * by.x, p->y * by.y, p->z * by.z);
    }
    /* Normals go by the inverse transpose. */
    for (int t = 0; t < mesh->n_triangles; t++) {
        for (int k = 0; k < 3; k++) {
            TapulVec3 *n = &mesh->normal[t][k];
            *n = tapul_vec3_unit(tapul_vec3(n->x / by.x, n->y / by.y, n->z / by.z));
        }
    }
}

static void stretch_readings(TapulPlate *plate, TapulVec3 by) {
    for (guint i = 0; plate->section_y_mm && i < plate->section_y_mm->len; i++) {
        GArray *section = g_ptr_array_index(plate->sections, i);
        g_array_index(plate->section_y_mm, double, i) *= by.y;
        for (guint k = 0; k < section->len; k++) {
            TapulVec2 *p = &g_array_index(section, TapulVec2, k);
            *p = tapul_vec2(p->x * by.x, p->y * by.z);
        }
    }
    for (guint i = 0; i < plate->fields->len; i++) {
        TapulField *field = g_ptr_array_index(plate->fields, i);
        for (int k = 0; k < field->n; k++) {
            TapulVec2 *p = &field->outline_mm[k];
            *p = tapul_vec2(p->x * by.x, p->y * by.y);
        }
    }
}

static void note_strain(TapulPlate *plate, TapulVec3 by) {
    double most = fmax(by.x, fmax(by.y, by.z)), least = fmin(by.x, fmin(by.y, by.z));
    if (most / least > STRAINED_RATIO)
        g_ptr_array_add(
            plate->problems,
            g_strdup_printf("fit: the type is stretched by %.3f in width, %.3f in height and "
                            "%.3f in depth, which differ by more than %g times: a plate of "
                            "another type may be nearer",
                            by.x, by.y, by.z, STRAINED_RATIO));
}

void tapul_plate_apply_fit(TapulPlate *plate, const TapulPlateFit *fit) {
    if (!tapul_plate_fit_is_asked(fit))
        return;
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    TapulVec3 by = stretch_of(fit, tapul_vec3_sub(high, low));
    stretch_mesh(plate->mesh, by);
    stretch_readings(plate, by);
    plate->fitted = g_new0(TapulPlateFitted, 1);
    plate->fitted->stretch = by;
    plate->fitted->uncertain_mm = FORM_SPREAD_P95 * (high.z - low.z) * by.z;
    note_strain(plate, by);
}
