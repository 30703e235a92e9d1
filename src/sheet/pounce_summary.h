/* The parts of the maker's summary. Internal to sheet/pounce_*.c.
 *
 * All set from y down within the page's margins and leave y below what they set. */
#ifndef TAPUL_SHEET_POUNCE_SUMMARY_H
#define TAPUL_SHEET_POUNCE_SUMMARY_H

#include "sheet/pounce_parts.h"

/* A4, ISO 216. */
#define TAPUL_SUMMARY_FORMAT ((TapulFormat){210, 297, 15, 3.1})

/* The pages while they are set. */
typedef struct {
    const TapulPouncePages *pages;
    TapulFormat format;
    GPtrArray *made; /* of TapulPage*; the last is being set */
    double y;
} TapulPounceSummary;

TapulPage *tapul_summary_page(const TapulPounceSummary *summary);
double tapul_summary_width_mm(const TapulPounceSummary *summary);
/* The rest of the page down to its lower margin. */
double tapul_summary_room_mm(const TapulPounceSummary *summary);
/* Begins a page, of a title in its outline. */
void tapul_summary_turn(TapulPounceSummary *summary, const char *title);
void tapul_summary_heading(TapulPounceSummary *summary, const char *text);
void tapul_summary_paragraph(TapulPounceSummary *summary, const char *text);

void tapul_summary_part(TapulPounceSummary *summary, TapulPart part, const char *text,
                        const TapulType *type);
/* Lines that are not to be overlooked, between thick rules. */
void tapul_summary_block(TapulPounceSummary *summary, double text_mm, const char *heading,
                         const char *const *lines);
/* The credit, and "name, page 1 of 2", on all pages. */
void tapul_summary_feet(const TapulPounceSummary *summary, const char *name);

/* --- Steps (pounce_steps.c) --- */

void tapul_summary_step(TapulPounceSummary *summary, int number, const char *text);
/* What to do with the papers. */
void tapul_summary_steps(TapulPounceSummary *summary);

/* --- Figures (pounce_figures.c) --- */

/* The pieces, all at one scale, and the map of tiles, side by side, at most so high. */
void tapul_summary_figures(TapulPounceSummary *summary, double most_mm);

/* The sheet with its tiles in a room, a caption below; with places, numbered from 1, or
 * without them with the pieces' numbers. Returns the y below. */
double tapul_summary_tile_map(TapulPounceSummary *summary, TapulBox room,
                              const TapulVec2 *place_mm, int n_places, const char *caption);

/* --- Tables (pounce_tables.c) --- */

typedef struct {
    const char *head;
    double width_mm;
    TapulAlign align; /* left or right */
} TapulSummaryColumn;

/* A table of rows[n_rows][n_columns], set in as many columns side by side as are asked for, and
 * over as many pages as it takes. */
void tapul_summary_table(TapulPounceSummary *summary, const TapulSummaryColumn *columns,
                         int n_columns, const GPtrArray *cells, int side_by_side);

void tapul_summary_pieces(TapulPounceSummary *summary);
void tapul_summary_seams(TapulPounceSummary *summary);
void tapul_summary_tapes(TapulPounceSummary *summary);

/* --- Etching (pounce_etching.c) --- */

void tapul_summary_etching(TapulPounceSummary *summary);
#endif
