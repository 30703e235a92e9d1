/* The display list behind a page: what page.c collects and the writers (page_svg.c,
 * page_cairo.c) read. Internal to sheet/. */
#ifndef TAPUL_SHEET_PAGE_ITEMS_H
#define TAPUL_SHEET_PAGE_ITEMS_H

#include <tapul/page.h>

/* Baseline to baseline, in ems: a book's leading for a serif face (common practice, no source).
 */
#define TAPUL_LEADING 1.32
/* SVG 1.1's own mitre limit, which cairo is set to as well. */
#define TAPUL_MITRE_LIMIT 4.0
/* The one face, and what stands in for it. Where the face comes cut for two sizes, as metal
 * type does, titles take the cut for 12 points. */
#define TAPUL_FONT_FAMILY       "EB Garamond, Garamond, Georgia, serif"
#define TAPUL_TITLE_FONT_FAMILY "EB Garamond 12, " TAPUL_FONT_FAMILY
#define TAPUL_TITLE_FROM_MM     3.7

typedef enum {
    TAPUL_ITEM_BEGIN_GROUP,
    TAPUL_ITEM_END_GROUP,
    TAPUL_ITEM_BEGIN_CLIP,
    TAPUL_ITEM_END_CLIP,
    TAPUL_ITEM_PATH,
    TAPUL_ITEM_TEXT,
    TAPUL_ITEM_PICTURE,
    TAPUL_ITEM_BEGIN_PART,
    TAPUL_ITEM_END_PART
} TapulItemKind;

typedef struct {
    TapulItemKind kind;
    union {
        struct {
            char *id, *title; /* title may be NULL */
            gboolean moved;   /* transform is not the identity */
            TapulAffine transform;
        } group;
        struct {
            TapulPath *path;
            TapulPen pen; /* of a clip: its fill rule only */
        } drawn;
        struct {
            TapulVec2 at;
            char *text;
            TapulType type;
        } text;
        struct {
            TapulBox box;
            int number; /* index into the page's pictures */
        } picture;
        struct {
            TapulPart part;
            char *alternative; /* may be NULL; of an end always */
        } part;
    } as;
} TapulItem;

typedef struct {
    TapulItemKind kind;
    TapulPart part;
    gboolean ended; /* of a figure: by its caption */
} TapulOpenItem;

typedef struct {
    int width_px, height_px;
    guint8 *rgba; /* not premultiplied, rows from the top */
} TapulPicture;

struct TapulPage {
    double width_mm, height_mm;
    char *title, *description;
    char *language, *author, *outline; /* author may be NULL */
    char *document;                    /* the title of a file of several pages, or NULL */
    GArray *items;                     /* of TapulItem */
    GPtrArray *pictures;               /* of TapulPicture* */
    GHashTable *ids;                   /* ids given out */
    GArray *open;                      /* of TapulOpenItem: what has begun and not ended */
    gboolean has_parts;
};

gboolean tapul_same_colour(TapulColour a, TapulColour b);
gboolean tapul_same_pen(const TapulPen *a, const TapulPen *b);

/* How many items from first on, itself a path, are paths drawn with the same pen. */
guint tapul_page_count_same_pen(const TapulPage *page, guint first);

/* A clip whose path fills by the even-odd rule. */
void tapul_page_begin_clip_even_odd(TapulPage *page, const TapulPath *path);

/* A picture kept once and drawn as often as wanted: its number, and a drawing of it. */
int tapul_page_keep_picture(TapulPage *page, int width_px, int height_px, const guint8 *rgba);
void tapul_page_draw_picture(TapulPage *page, TapulBox box, int number);

/* The lines that text breaks into at width_mm, each running the way that all of the text does;
 * a GPtrArray of char *. */
GPtrArray *tapul_page_break_lines(const char *text, double width_mm, const TapulType *type);

/* Whether text is of a script written from right to left (by its first letter or mark that
 * tells). */
gboolean tapul_page_text_runs_left(const char *text);

/* A picture as a PNG file's bytes. */
GBytes *tapul_picture_png(const TapulPicture *picture);

#endif
