/* Photometric stereo: how the metal lies at each place, from photographs under several lamps.
 *
 * Woodham, Photometric Method for Determining Surface Orientation from Multiple Images, Optical
 * Engineering 19(1), 1980: light = albedo (normal . towards), solved by least squares.
 * relief_draw.c asks it for each pixel of a rectified photograph.
 */
#include "photo/relief.h"

#include <gsl/gsl_linalg.h>

/* Linear light of the brightest pixels that are still told apart from saturated ones (250 of
 * 255). */
#define SATURATED 0.95f
/* Less light than this share of the same place's brightest is a shadow, or lost in noise. */
#define SHADOW_SHARE 0.05f
/* Below this, two steps of 8 bits over black, nothing is told. */
#define DARK 0.0006f
/* Lamps whose directions have singular values of a larger ratio lie nearly in one plane: noise
 * would grow by as much. */
#define WORST_CONDITION 30.0

/* For each set of samples kept (a bit for each lamp) the matrix that takes them to albedo times
 * normal; nothing where the set does not tell it. */
struct TapulRelief {
    int n;
    double *inverse;  /* [1 << n][3][n] */
    gboolean *usable; /* [1 << n] */
};

/* --- Pseudo-inverses --- */

/* V S^-1 U', its columns put where the kept lamps are. */
static void put_inverse(const gsl_matrix *u, const gsl_vector *s, const gsl_matrix *v,
                        guint kept, int n, double *inverse) {
    gsize row = 0;
    for (int lamp = 0; lamp < n; lamp++) {
        if (!(kept & 1u << lamp))
            continue;
        for (gsize k = 0; k < 3; k++) {
            double sum = 0;
            for (gsize m = 0; m < 3; m++)
                sum +=
                    gsl_matrix_get(v, k, m) * gsl_matrix_get(u, row, m) / gsl_vector_get(s, m);
            inverse[(int)k * n + lamp] = sum;
        }
        row++;
    }
}

static gboolean invert(const TapulVec3 *towards, guint kept, int n, double *inverse) {
    double values[TAPUL_RELIEF_MOST_LAMPS * 3], v_values[9], s_values[3], work_values[3];
    gsize rows = 0;
    for (int lamp = 0; lamp < n; lamp++) {
        if (!(kept & 1u << lamp))
            continue;
        values[3 * rows] = towards[lamp].x;
        values[3 * rows + 1] = towards[lamp].y;
        values[3 * rows + 2] = towards[lamp].z;
        rows++;
    }
    if (rows < TAPUL_RELIEF_LEAST_LAMPS)
        return FALSE;
    gsl_matrix_view u = gsl_matrix_view_array(values, rows, 3);
    gsl_matrix_view v = gsl_matrix_view_array(v_values, 3, 3);
    gsl_vector_view s = gsl_vector_view_array(s_values, 3);
    gsl_vector_view work = gsl_vector_view_array(work_values, 3);
    gsl_linalg_SV_decomp(&u.matrix, &v.matrix, &s.vector, &work.vector);
    if (!(s_values[0] < WORST_CONDITION * s_values[2]))
        return FALSE;
    put_inverse(&u.matrix, &s.vector, &v.matrix, kept, n, inverse);
    return TRUE;
}

TapulRelief *tapul_relief_new(const TapulVec3 *towards, int n, GError **error) {
    if (n < TAPUL_RELIEF_LEAST_LAMPS || n > TAPUL_RELIEF_MOST_LAMPS) {
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE,
                    "photographs under %d lamps are given, %d to %d can be used", n,
                    TAPUL_RELIEF_LEAST_LAMPS, TAPUL_RELIEF_MOST_LAMPS);
        return NULL;
    }
    guint n_sets = 1u << n;
    g_autoptr(TapulRelief) relief = g_new0(TapulRelief, 1);
    relief->n = n;
    relief->inverse = g_new0(double, n_sets * 3 * (guint)n);
    relief->usable = g_new(gboolean, n_sets);
    for (guint kept = 0; kept < n_sets; kept++)
        relief->usable[kept] = invert(towards, kept, n, relief->inverse + kept * 3 * (guint)n);
    if (!relief->usable[n_sets - 1]) {
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE,
                    "the %d lamps stand nearly in one plane with the plate; at least one must "
                    "stand to a side of the others",
                    n);
        return NULL;
    }
    return g_steal_pointer(&relief);
}

void tapul_relief_free(TapulRelief *relief) {
    if (!relief)
        return;
    g_free(relief->inverse);
    g_free(relief->usable);
    g_free(relief);
}

/* --- One place --- */

static guint kept_samples(const float *light, int n) {
    float brightest = 0;
    guint kept = 0;
    for (int i = 0; i < n; i++)
        if (light[i] < SATURATED)
            brightest = MAX(brightest, light[i]);
    for (int i = 0; i < n; i++)
        if (light[i] < SATURATED && light[i] > DARK && light[i] > SHADOW_SHARE * brightest)
            kept |= 1u << i;
    return kept;
}

gboolean tapul_relief_solve(const TapulRelief *relief, const float *light, TapulVec3 *normal,
                            double *albedo) {
    guint kept = kept_samples(light, relief->n);
    if (!relief->usable[kept])
        return FALSE;
    const double *inverse = relief->inverse + kept * 3 * (guint)relief->n;
    double scaled[3] = {0, 0, 0}; /* albedo times normal */
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < relief->n; i++)
            scaled[k] += inverse[k * relief->n + i] * light[i];
    TapulVec3 both = {scaled[0], scaled[1], scaled[2]};
    *albedo = tapul_vec3_length(both);
    *normal = tapul_vec3_unit(both);
    return *albedo > 0;
}
