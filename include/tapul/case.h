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

/* What a case says of the maker's papers; defaults stand beside. */
typedef struct {
    double stretch_limit;     /* 0.01: how much paper may be asked to stretch */
    gboolean uncut;           /* no cuts are looked for: without given ones the plate is one paper */
    double allowance_mm;      /* 5 */
    gboolean face_down;       /* the design is drawn mirrored, for paper laid on face down */
    char *paper;              /* "A4" (default), "A3" or "roll" */
    double roll_width_mm;     /* 610 */
    double overlap_mm;        /* 10, of tiles */
    int resist;               /* a TapulResistKind (pounce.h): 0 none, 1 the ground is bitten, 2 the lines */
    double depth_mm, etch_factor; /* 0.12; 2 */
    double finest_mm;         /* 0.3: lines and gaps below are listed */
    double dot_mm, dot_spacing_mm, dot_clear_mm; /* of a dotted ground; dot_mm 0: none */
    double working_share;     /* 0.5 of what the bath could dissolve */
    GArray *bites;            /* of TapulCaseBite; empty: one of depth_mm */
} TapulCasePounce;

typedef struct {
    double depth_mm;
    char **stop_out;          /* NULL-ended: print ids, or "print/motif", covered before this bite */
} TapulCaseBite;

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
    TapulCasePounce pounce;
    GPtrArray *cuts;      /* of GArray of TapulSpot: lines given under `development: cuts` that the plate's mesh is
                             not opened along, for tapul_pounce_new */
    GPtrArray *opening_mm; /* of GArray of TapulVec3: the other lines given there, along which it was opened */
} TapulCase;

typedef struct {
    TapulPlateOptions plate;
    gboolean leave_cuts;  /* a plate that is a disc without its cuts is developed whole, and they are kept in `cuts` */
    gboolean ground_only; /* the plate alone is read and developed, not what is laid on it */
    const TapulDevelopmentRule *rule; /* unless NULL, instead of the case's own */
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

/* All English words and sentences of the pages, NULL-ended. */
const char *const *tapul_case_words(void);
/* The word to set for one of them (a programming mistake if it is none): its own, unless the case gives another. */
const char *tapul_case_word(const TapulCase *question, const char *word);
/* A motif's name for readers: what the case gives, or its id with spaces for hyphens and a capital; owned. */
char *tapul_case_motif_name(const TapulCase *question, int print, int motif);

/* Moves a plate's development into the developed frame: the medial line's lower end at the origin, the line upright.
 * Without a medial line the plate's lowest edge point is the origin and +y points up the metal from there. */
void tapul_ground_place(const TapulPlate *plate, TapulDevelopment *development);

G_END_DECLS

#endif
