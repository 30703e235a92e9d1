/* The program's verbs, and what they share: options, reports, places to write to. */
#ifndef TAPUL_CLI_VERBS_H
#define TAPUL_CLI_VERBS_H

#include <json-glib/json-glib.h>
#include <tapul/laying.h>

G_BEGIN_DECLS

/* What every verb is given. */
typedef struct {
    char *file;    /* the one file on the command line */
    char *out;     /* --out, or NULL */
    gboolean json; /* --json */
} TapulCall;

typedef struct {
    const char *name;
    const char *argument; /* "FILE" or "CASE" */
    const char *summary;
    /* Options of its own, ended by an empty entry; NULL: none. */
    const GOptionEntry *entries;
    /* Does the work and returns the report (owned). */
    JsonNode *(*run)(const TapulCall *call, GError **error);
} TapulVerbEntry;

extern const TapulVerbEntry tapul_verb_plate, tapul_verb_develop, tapul_verb_ink,
    tapul_verb_lay, tapul_verb_lift, tapul_verb_pounce, tapul_verb_rectify, tapul_verb_sheet,
    tapul_verb_weigh;

/* Wrong use of the command line: exit status 2. */
#define TAPUL_USAGE_ERROR (tapul_usage_error_quark())
GQuark tapul_usage_error_quark(void);

/* --- Reports (report.c) --- */

/* Starts an object with "schema": "tapul/<verb>-report/1". */
JsonBuilder *tapul_report_begin(const char *verb);
/* Ends it. */
JsonNode *tapul_report_end(JsonBuilder *builder);
/* A member with a number rounded to so many decimals. */
void tapul_report_number(JsonBuilder *builder, const char *name, double value, int decimals);
void tapul_report_integer(JsonBuilder *builder, const char *name, gint64 value);
void tapul_report_text(JsonBuilder *builder, const char *name, const char *value);
/* "files": [...] from a NULL-ended list of paths. */
void tapul_report_files(JsonBuilder *builder, char *const *files);
/* A box as [left, bottom, right, top]. */
void tapul_report_box(JsonBuilder *builder, const char *name, TapulBox box);
/* Adds to a list of notes if a print's size had to be assumed; name says which print. */
void tapul_note_size(GPtrArray *notes, const char *name, const TapulInk *ink);
/* Adds what a scan's reading leaves in doubt. */
void tapul_note_scan(GPtrArray *notes, const char *name, const TapulInk *ink);
/* "fit": {...} of a type plate fitted to measures; nothing else. */
void tapul_report_fit(JsonBuilder *builder, const TapulPlate *plate);
/* Adds to a list of notes what a fitted type plate cannot tell. */
void tapul_note_fit(GPtrArray *notes, const TapulPlate *plate);
/* "notes": [...] */
void tapul_report_notes(JsonBuilder *builder, const GPtrArray *notes);
/* Prints a report: as JSON, or as lines for people. */
void tapul_report_print(JsonNode *report, gboolean json);

/* --- Output (output.c) --- */

/* The folder to write to, made if it is missing: --out, or output/<name>, the name being the
 * input's own (for a file called case.yaml its folder's). */
char *tapul_output_folder(const TapulCall *call, GError **error);
/* The path of a file in the folder, its name printed by format, added to files, which own it. */
const char *tapul_output_file(GPtrArray *files, const char *folder, const char *format, ...)
    G_GNUC_PRINTF(3, 4);
/* A result of several files is written to a draft, a folder of its own inside the one to write to, and
 * moved into its place when it is whole: what was there before is replaced by all of it or left as it
 * was. The draft's path, owned. */
char *tapul_output_draft(const char *folder, GError **error);
/* Moves files, paths in the draft, into the folder and removes the draft; the paths become the new ones. On
 * failure, and with files NULL, the draft is removed with what it holds. */
gboolean tapul_output_keep(const char *draft, const char *folder, GPtrArray *files, GError **error);
/* Shows progress on a terminal; for use as a callback. */
void tapul_show_progress(double fraction, const char *stage, gpointer data);
/* Clears the progress line. */
void tapul_end_progress(void);

G_END_DECLS

#endif
