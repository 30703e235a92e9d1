/* A plate: a curved piece of sheet metal, made from readings, as a solid, or from a mesh.
 *
 * Plate frame: seen from outside, x to the viewer's right, y up, z towards the viewer; x = 0 is
 * the medial plane, y = 0 the level where the medial line meets the lower edge. Solids have
 * their axis (a sphere its centre) on x = z = 0. A closed plate is cut along the back, where
 * its seam is. */
#ifndef TAPUL_PLATE_H
#define TAPUL_PLATE_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

#define TAPUL_PLATE_ERROR (tapul_plate_error_quark())
GQuark tapul_plate_error_quark(void);

typedef enum {
    TAPUL_PLATE_ERROR_FILE,  /* the description cannot be used; the message lists every fault */
    TAPUL_PLATE_ERROR_SHAPE, /* readings or outline that make no plate */
    TAPUL_PLATE_ERROR_NOT_A_DISC, /* the mesh or the trimmed surface is not one disc */
    TAPUL_PLATE_ERROR_OFF_PLATE   /* a point that is not on the plate */
} TapulPlateError;

typedef struct TapulPlate TapulPlate;

/* A named region, its outline as seen from the front. */
typedef struct {
    char *id;
    int n;
    TapulVec2 *outline_mm; /* [n] */
} TapulField;

/* The measures of a real plate that a type plate is stretched to, along the axes of the plate frame; 0: not
 * known, then the mean stretch of the others is taken. */
typedef struct {
    double height_mm, width_mm, depth_mm;
} TapulPlateFit;

typedef struct {
    double chord_error_mm; /* how far the flat triangles may lie from the surface; 0.05 */
    TapulPlateFit fit;     /* all 0: as described; else instead of the description's own */
    gboolean to_be_opened; /* a mesh that is no disc is let pass: tapul_plate_open is to follow */
} TapulPlateOptions;

TapulPlateOptions tapul_plate_options_defaults(void);

/* Reads a plate description (YAML, tapul: plate/1) or a bare mesh (obj, ply, stl, off; in mm).
 */
TapulPlate *tapul_plate_load(const char *path, const TapulPlateOptions *options,
                             GError **error);
void tapul_plate_free(TapulPlate *plate);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPlate, tapul_plate_free)

/* A cut: a line over the metal through its points. Ends within TAPUL_CUT_REACH_MM of the plate's edge or of
 * another cut are carried on to it; other ends lie inside the metal (a dart). */
typedef struct {
    int n;           /* at least 2 */
    TapulSpot *spot; /* [n], of the plate's mesh */
} TapulCutLine;

#define TAPUL_CUT_REACH_MM 5.0

/* Opens a plate, once, along cuts, each a seam from then on: its mesh is divided along them, so that spots found before
 * are not valid any more; tapes run over the cuts as over whole metal. If it cannot be done the plate stays as it was.
 * Errors: SHAPE (a cut that leaves the metal, crosses itself, or ends inside it at both ends; cuts that divide the
 * plate), NOT_A_DISC (the opened plate is none). at_fault, unless NULL, receives the cut at fault, -1: all of them. */
gboolean tapul_plate_open(TapulPlate *plate, const TapulCutLine *cut, int n_cuts, int *at_fault, GError **error);

const char *tapul_plate_name(const TapulPlate *plate);
const char *tapul_plate_kind(const TapulPlate *plate);    /* stations, cylinder, ... */
const char *tapul_plate_source(const TapulPlate *plate);  /* how it was measured, or "" */
double tapul_plate_thickness_mm(const TapulPlate *plate); /* 0: not given */
const TapulMesh *tapul_plate_mesh(const TapulPlate *plate);
const TapulMeshTree *tapul_plate_tree(const TapulPlate *plate);
int tapul_plate_n_fields(const TapulPlate *plate);
const TapulField *tapul_plate_field(const TapulPlate *plate, int i);
/* The smallest upright box around the metal: its lower left hind and upper right front corners. */
void tapul_plate_extent_mm(const TapulPlate *plate, TapulVec3 *low, TapulVec3 *high);
/* How a type plate was stretched to a real one's measures. The form between the measures is the type's own. */
typedef struct {
    TapulVec3 stretch;     /* along x, y, z */
    double uncertain_mm;   /* 95 % of places lie within this of where another type of the same sort, fitted to
                              the same measures, would put them (found on the breastplates of shapes/) */
} TapulPlateFitted;

/* NULL where the plate is as described. */
const TapulPlateFitted *tapul_plate_fitted(const TapulPlate *plate);
/* Heights of the stations a plate was made from, upward: GArray of double, NULL for other kinds. */
const GArray *tapul_plate_station_heights_mm(const TapulPlate *plate);
gboolean tapul_plate_has_ridge(const TapulPlate *plate);
gboolean tapul_plate_has_seam(const TapulPlate *plate);
/* By tapul_plate_open: then its seams are cuts, wherever they run. */
gboolean tapul_plate_is_opened(const TapulPlate *plate);

/* The medial line from the lower edge up: spots on mesh edges, in order. Returns a GArray of
 * TapulSpot (owned by the plate), NULL where the plane x = 0 misses the plate. */
const GArray *tapul_plate_medial_line(const TapulPlate *plate);

/* --- Three ways of giving a point; all errors are OFF_PLATE and say how far the plate reaches.
 * --- */

/* By tape: up the medial line over the metal, then along the level cut, positive to the
 * viewer's right. */
gboolean tapul_plate_spot_from_tape(const TapulPlate *plate, double across_mm, double up_mm,
                                    TapulSpot *spot, GError **error);
/* As seen from the front: the nearest metal to the viewer at x, y. */
gboolean tapul_plate_spot_from_front(const TapulPlate *plate, double x_mm, double y_mm,
                                     TapulSpot *spot, GError **error);
/* By position: the nearest surface point, at most 5 mm off. */
gboolean tapul_plate_spot_from_xyz(const TapulPlate *plate, TapulVec3 xyz_mm, TapulSpot *spot,
                                   GError **error);

/* The tape coordinates of a spot; FALSE where its level cut does not reach the medial line. */
gboolean tapul_plate_tape_from_spot(const TapulPlate *plate, TapulSpot spot, double *across_mm,
                                    double *up_mm);

/* The level cut through the medial line at height y_mm: its extent over the metal to the left
 * (negative) and right of the medial line; FALSE where there is none. */
gboolean tapul_plate_level_extent(const TapulPlate *plate, double y_mm, double *left_mm,
                                  double *right_mm);

/* One reading of a plate made from stations, and how far it is from the surface that the other
 * readings make: the smaller of its distance from its own section drawn without it, and of what it
 * is off, beyond its neighbours, from the plate drawn without its section. */
typedef struct {
    double y_mm, x_mm, z_mm;
    double off_mm;
    gboolean at_end;      /* the first or last of its section: only the other stations speak */
    gboolean likely_slip; /* off by more than 3 mm and six times the median, three times as much at
                             ends (common practice, no source) */
} TapulReading;

/* All readings that others stand around, in the file's order: GArray of TapulReading, empty for
 * other kinds. */
GArray *tapul_plate_check_readings(const TapulPlate *plate);

/* Warnings found while making the plate, one line each; owned by the plate. */
const GPtrArray *tapul_plate_problems(const TapulPlate *plate);

G_END_DECLS

#endif
