/* Opens a plate along cuts, so that it can be laid flat where it could not, or with less
 * stretch: from then on a cut is a seam, as that of a tube. */
#include "plate/imprint.h"
#include "plate/plate_private.h"

/* Takes over the opened mesh, and the one before for tapes. */
static void take(TapulPlate *plate, TapulImprint *imprint, TapulMeshPart *part) {
    tapul_mesh_free(plate->mesh);
    tapul_mesh_tree_free(plate->tree);
    plate->mesh = g_steal_pointer(&part->mesh);
    plate->whole = g_steal_pointer(&imprint->mesh);
    plate->tree = tapul_mesh_tree_new(plate->mesh);
    plate->seam = TRUE;
    if (!plate->medial_cut)
        return;
    g_clear_pointer(&plate->medial, g_array_unref);
    g_clear_pointer(&plate->medial_cut, tapul_cut_free);
    tapul_plate_find_medial_line(plate);
}

gboolean tapul_plate_open(TapulPlate *plate, const TapulCutLine *cut, int n_cuts, int *at_fault,
                          GError **error) {
    g_autoptr(GError) why = NULL;
    g_assert(!plate->whole);
    if (at_fault)
        *at_fault = -1;
    g_autoptr(TapulImprint) imprint =
        tapul_mesh_imprint(plate->mesh, cut, n_cuts, TAPUL_CUT_REACH_MM, at_fault, &why);
    g_autoptr(GPtrArray) parts = imprint ? tapul_imprint_parts(imprint, &why) : NULL;
    if (!parts) {
        g_set_error_literal(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_SHAPE, why->message);
        return FALSE;
    }
    if (parts->len > 1) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_SHAPE,
                    "these cuts divide the plate in %u pieces: tapul pounce lays pieces out, "
                    "develop needs one",
                    parts->len);
        return FALSE;
    }
    TapulMeshPart *part = g_ptr_array_index(parts, 0);
    if (!tapul_mesh_check_disc(part->mesh, &why)) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_NOT_A_DISC,
                    "opened along these cuts, %s", why->message);
        return FALSE;
    }
    take(plate, imprint, part);
    return TRUE;
}
