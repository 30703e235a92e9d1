/* Lines of the plate carried to its development. Internal to sheet/. */
#ifndef TAPUL_SHEET_CARRIED_H
#define TAPUL_SHEET_CARRIED_H

#include <tapul/laying.h>

/* The development's edge, closed; where the metal was cut to open it (empty without a seam);
 * the medial line (empty where there is none); the outline of a field, cut where it leaves the
 * plate. */
TapulPath *tapul_carried_edge(const TapulGround *ground);
TapulPath *tapul_carried_seam(const TapulGround *ground);
TapulPath *tapul_carried_medial(const TapulGround *ground);
TapulPath *tapul_carried_field(const TapulGround *ground, int field);

typedef struct {
    gboolean level; /* a level cut, at a tape height; else a line at one tape distance across */
    double at_mm;   /* that height or distance */
    TapulPath *path; /* developed frame; may be in several pieces */
} TapulGridLine;

/* The plate's tape grid: level cuts at every step_mm up the medial line, and lines at every
 * step_mm across. A GPtrArray of TapulGridLine *. */
GPtrArray *tapul_carried_grid(const TapulGround *ground, double step_mm);

#endif
