/* A case: one question about one plate, with its prints, layings, pairs, photographs and tracing; one YAML
 * file. */
#ifndef TAPUL_CASE_H
#define TAPUL_CASE_H

#include <tapul/laying.h>
#include <tapul/photo.h>

G_BEGIN_DECLS

#define TAPUL_CASE_ERROR (tapul_case_error_quark())
GQuark tapul_case_error_quark(void);

typedef enum {
    TAPUL_CASE_ERROR_FILE /* the case cannot be used; the message lists every fault, a line each */
} TapulCaseError;

typedef struct {
    char *id;
    char *file;
    char *title, *credit; /* for captions; NULL where the case gives none */
    TapulInk *ink;
} TapulPrint;

/* How a laid scan is shown: as its lines, as its pixels, or the lines over the pixels. */
typedef enum { TAPUL_SHOW_INK, TAPUL_SHOW_PICTURE, TAPUL_SHOW_BOTH } TapulShow;

typedef struct {
    int print;                  /* index into prints */
    TapulLayingOptions options; /* pins borrowed from the case's pairs */
    char *place;                /* where it is laid, in the case's own words: "0, 260 mm by tape" */
    TapulShow show;             /* of a vector print: its ink */
} TapulCaseLaying;

/* A point of a print and the point of the plate that is thought to come from it. */
typedef struct {
    int print;
    char *name;
    TapulVec2 print_mm;
    TapulSpot spot;
    TapulVec2 developed_mm;
} TapulPair;

/* How the found design is to be lifted; what the case does not say is the verb's to choose. */
typedef struct {
    gboolean has_rule, has_anchor;
    TapulLayingRule rule; /* rolled, developed or viewed */
    TapulSpot anchor;
    double turn_rad;
    char *place;       /* the anchor in the case's own words, or NULL */
    TapulPath *region; /* developed frame; NULL: all is lifted */
    char *region_name; /* "the field belly", "the region given"; NULL: all */
} TapulCaseLift;

/* A place of the plate that the comparison pages point to. */
typedef struct {
    TapulVec2 developed_mm;
    TapulSpot spot;
    char *text;
} TapulCaseCall;

/* What a case says of its comparison pages; all of it may be left out. */
typedef struct {
    char *language;       /* BCP 47 (IETF), "en" */
    char *author, *rights; /* NULL where not given */
    GHashTable *captions; /* layout name -> text that follows the figure's own caption */
    GHashTable *motifs;   /* "print/motif" or "motif" -> the motif's name for readers */
    GHashTable *words;    /* English word of the pages -> the word to set instead */
    GPtrArray *calls;     /* of TapulCaseCall* */
} TapulCaseSheet;

typedef struct {
    char *path, *title, *credit;
    TapulPlate *plate;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
    TapulGround ground;   /* of the three above */
    GPtrArray *prints;    /* of TapulPrint* */
    GPtrArray *layings;   /* of TapulCaseLaying* */
    GPtrArray *pairs;     /* of TapulPair* */
    double pick_sd_mm;    /* 0.5 */
    GPtrArray *photos;    /* of TapulPhoto*, their cameras fitted */
    TapulInk *found;      /* the design found on the plate, developed frame, or NULL; its
                             figures are the tracing's */
    double found_lost_mm; /* length of the tracing that lies off the plate */
    TapulCaseLift lift;
    TapulCaseSheet sheet;
} TapulCase;

typedef struct {
    TapulPlateOptions plate;
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulCaseOptions;

TapulCaseOptions tapul_case_options_defaults(void);

/* Reads a case and all that it names, and develops its plate. All faults of the case file are reported together. */
TapulCase *tapul_case_load(const char *path, const TapulCaseOptions *options, GError **error);
void tapul_case_free(TapulCase *question);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulCase, tapul_case_free)

/* --- Everything laid --- */

typedef struct {
    TapulLaying *map;
    TapulLaidInk *ink;
    TapulLaidPicture *picture; /* NULL where only the ink is shown */
    char *caption;             /* "rolled from 0, 260 mm by tape; scale 1; reversed" */
} TapulCaseLaid;

typedef struct {
    double tolerance_mm;       /* of laid curves, 0.02 */
    gboolean pictures;         /* scans are laid as pictures where the case shows them so */
    gboolean picture_ink_only; /* of those the ink alone, the paper clear */
    void (*progress)(double fraction, const char *stage, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulCaseLayOptions;

TapulCaseLayOptions tapul_case_lay_options_defaults(void);

/* A GPtrArray of TapulCaseLaid*, one for each of the case's layings; the case must outlive it. Errors name the
 * case and the laying. */
GPtrArray *tapul_case_lay(const TapulCase *question, const TapulCaseLayOptions *options, GError **error);

/* --- The words of its comparison pages --- */

/* The word to set for an English one of the list that the manual page gives (a programming mistake if it is none
 * of them): its own, unless the case gives another. */
const char *tapul_case_word(const TapulCase *question, const char *word);
/* A motif's name for readers: what the case gives, or its id with spaces for hyphens and a capital; owned. */
char *tapul_case_motif_name(const TapulCase *question, int print, int motif);

/* Moves a plate's development into the developed frame: the medial line's lower end at the origin, the line upright.
 * Without a medial line the plate's lowest edge point is the origin and +y points up the metal from there. */
void tapul_ground_place(const TapulPlate *plate, TapulDevelopment *development);

G_END_DECLS

#endif
