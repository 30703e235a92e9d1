/* What a plate description says, read whole before anything is built. */
#ifndef TAPUL_PLATE_DESCRIPTION_H
#define TAPUL_PLATE_DESCRIPTION_H

#include "base/document.h"
#include "plate/plate_private.h"

G_BEGIN_DECLS

typedef enum {
    TAPUL_SURFACE_STATIONS,
    TAPUL_SURFACE_CYLINDER,
    TAPUL_SURFACE_CONE,
    TAPUL_SURFACE_SPHERE,
    TAPUL_SURFACE_REVOLVED,
    TAPUL_SURFACE_MESH
} TapulSurfaceKind;

typedef struct {
    TapulDocument *document;
    const TapulNode *surface_node;
    int kind;              /* TapulSurfaceKind */
    GArray *y_mm;          /* stations: of double */
    GPtrArray *sections;   /* stations: of GArray */
    GArray *station_lines; /* of const TapulNode* */
    GArray *profile_mm;
    double lower_radius_mm, upper_radius_mm, height_mm, radius_mm, sweep_deg, half_angle_deg;
    const char *mesh_file;
    int unit;
    gboolean ridge;
    GArray *outline_mm;
    TapulPlateFit fit;
} TapulDescription;

/* The kinds' names in files, ended by NULL; a TapulSurfaceKind is a place in it. */
extern const char *const tapul_surface_kind_names[];

/* Reads all of the document into description and plate (name, source, ridge, fields,
 * thickness); faults are added to the document. */
void tapul_description_read(TapulDescription *description, TapulPlate *plate);
void tapul_description_clear(TapulDescription *description);

G_END_DECLS

#endif
