/* What a plate is made of; only the files of this folder see it. */
#ifndef TAPUL_PLATE_PRIVATE_H
#define TAPUL_PLATE_PRIVATE_H

#include "plate/cut.h"
#include "plate/surface.h"

#include <tapul/plate.h>

G_BEGIN_DECLS

struct TapulPlate {
    char *name, *kind, *source;
    double thickness_mm;
    gboolean ridge, seam;
    TapulMesh *mesh;
    TapulMesh *whole; /* NULL, or, of a plate opened along cuts, the mesh before: the same
                         triangles, for tapes, which run over cuts */
    TapulMeshTree *tree;
    double eye_z_mm;          /* in front of all metal */
    GArray *section_y_mm;     /* stations: of double; else NULL */
    GPtrArray *sections;      /* stations: of GArray of TapulVec2; else NULL */
    GPtrArray *fields;        /* of TapulField* */
    GPtrArray *problems;      /* of char* */
    TapulPlateFitted *fitted; /* NULL: as described */
    TapulCut *medial_cut;     /* from the lower edge up, or NULL */
    GArray *medial;           /* its points as TapulSpot, or NULL */
};

/* Builds the mesh of a smooth surface, trimmed to outline_mm unless NULL; the crease along the
 * medial line is kept if ridge. */
TapulMesh *tapul_plate_build_mesh(const TapulSurface *surface, const GArray *outline_mm,
                                  gboolean ridge, double chord_error_mm, char **fault);

/* Cuts a mesh along the outline as seen from the front and keeps the inside. Corners of the
 * outline are as sharp as the mesh is fine. */
TapulMesh *tapul_plate_trim_mesh(const TapulMesh *mesh, const GArray *outline_mm,
                                 GError **error);

/* Stretches the built mesh, fields and readings to the measures asked for, if any. */
void tapul_plate_apply_fit(TapulPlate *plate, const TapulPlateFit *fit);

/* The mesh that tapes run over. */
const TapulMesh *tapul_plate_tape_mesh(const TapulPlate *plate);
/* Finds the medial line and its tape lengths; adds a problem if there is none. */
void tapul_plate_find_medial_line(TapulPlate *plate);

/* A fault for a self-crossing polygon, or for an open line that crosses itself; else NULL. */
char *tapul_plate_polygon_fault(const GArray *polygon_mm);
char *tapul_plate_line_fault(const GArray *line_mm);

G_END_DECLS

#endif
