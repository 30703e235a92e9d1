/* A drawn page: a list of things to draw in mm, true to scale, written as SVG, PDF or PNG.
 *
 * Page frame: origin at the page's lower left, y up; the writers flip y, once. */
#ifndef TAPUL_PAGE_H
#define TAPUL_PAGE_H

#include <tapul/ink.h>

G_BEGIN_DECLS

typedef struct TapulPage TapulPage;

typedef struct {
    double red, green, blue, alpha; /* 0 to 1 */
} TapulColour;

#define TAPUL_BLACK ((TapulColour){0.08, 0.07, 0.06, 1})
#define TAPUL_WARM_WHITE ((TapulColour){0.992, 0.984, 0.965, 1})
#define TAPUL_PRINT_INK ((TapulColour){0xD5 / 255.0, 0x5E / 255.0, 0x00 / 255.0, 1}) /* Okabe-Ito vermilion */
#define TAPUL_PLATE_INK ((TapulColour){0x00 / 255.0, 0x72 / 255.0, 0xB2 / 255.0, 1}) /* Okabe-Ito blue */

typedef struct {
    TapulColour fill;     /* alpha 0: none */
    gboolean even_odd;
    TapulColour stroke;   /* alpha 0: none */
    double width_mm;
    TapulCap cap;
    TapulJoin join;
    int n_dash;
    double dash_mm[6];
} TapulPen;

typedef enum { TAPUL_ALIGN_LEFT, TAPUL_ALIGN_CENTRE, TAPUL_ALIGN_RIGHT } TapulAlign;

typedef struct {
    double size_mm;       /* em height */
    gboolean italic, bold, small_capitals;
    TapulAlign align;
    TapulColour colour;
    double turn_rad;
    const char *language; /* BCP 47, for the letters' forms; NULL: the page's, and "en" where only measured */
} TapulType;

/* title and description go into the files' metadata (SVG title and desc, PDF title and subject). */
TapulPage *tapul_page_new(double width_mm, double height_mm, const char *title, const char *description);
void tapul_page_free(TapulPage *page);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPage, tapul_page_free)
const char *tapul_page_title(const TapulPage *page);
double tapul_page_width_mm(const TapulPage *page);
double tapul_page_height_mm(const TapulPage *page);

/* For readers of PDF and SVG: BCP 47 language of the text ("en" unless set), who made it (NULL: not said), and the
 * page's entry in the outline of a PDF of several pages (its title unless set). Of several pages the first's
 * language and author go into the PDF. */
void tapul_page_set_language(TapulPage *page, const char *language);
void tapul_page_set_author(TapulPage *page, const char *author);
void tapul_page_set_outline(TapulPage *page, const char *entry);
/* What a PDF of several pages is called: of them the first's; its title unless set. */
void tapul_page_set_document(TapulPage *page, const char *title);

/* What a part of the page is to a person who has it read out (ISO 32000-1, 14.8.4): drawn and read in the order of
 * the calls. Parts do not nest, except CAPTION inside a FIGURE, ROW inside a TABLE and CELL inside a ROW; they
 * may stand in groups, and hold them. alternative: of a FIGURE what it shows, in words; else NULL. Everything outside
 * parts is ornament and is not read.
 *
 * A CAPTION inside a FIGURE begins when all groups of the figure have ended, and ends the figure for readers, who
 * hear the alternative in place of all that it holds: the caption is written as what follows it, and what else is
 * drawn before the FIGURE's end is ornament, or a part of its own. */
typedef enum {
    TAPUL_PART_TITLE,    /* H1 */
    TAPUL_PART_HEADING,  /* H2 */
    TAPUL_PART_PARAGRAPH,
    TAPUL_PART_FIGURE,
    TAPUL_PART_CAPTION,
    TAPUL_PART_TABLE,
    TAPUL_PART_ROW,
    TAPUL_PART_CELL
} TapulPart;
void tapul_page_begin_part(TapulPage *page, TapulPart part, const char *alternative);
void tapul_page_end_part(TapulPage *page);

/* Groups nest; id must be unique on the page (made so by a suffix), title may be NULL. The transform maps group
 * coordinates to the enclosing ones: p -> (xx x + xy y + dx, yx x + yy y + dy). */
typedef struct {
    double xx, xy, yx, yy, dx, dy;
} TapulAffine;
void tapul_page_begin_group(TapulPage *page, const char *id, const char *title, const TapulAffine *transform);
void tapul_page_end_group(TapulPage *page);
/* Everything drawn until the matching end is clipped to the path. */
void tapul_page_begin_clip(TapulPage *page, const TapulPath *path);
void tapul_page_end_clip(TapulPage *page);

void tapul_page_path(TapulPage *page, const TapulPath *path, const TapulPen *pen);
/* One line of text, UTF-8, its baseline starting (centred, ending) at `at`. */
void tapul_page_text(TapulPage *page, TapulVec2 at, const char *text, const TapulType *type);
/* Text broken into lines of at most width_mm; at is the first baseline, at its left. Text of a script that runs to
 * the left is set to the right edge where align is left. Returns the y of the next baseline. */
double tapul_page_paragraph(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                            const TapulType *type);
double tapul_page_text_width_mm(const char *text, const TapulType *type);
/* A picture, RGBA 8 bit not premultiplied, rows from the top; pixels are copied. box in group coordinates. */
void tapul_page_picture(TapulPage *page, TapulBox box, int width_px, int height_px, const guint8 *rgba);

/* Each file appears whole or not at all. PDF takes several pages. */
gboolean tapul_page_write_svg(const TapulPage *page, const char *path, GError **error);
gboolean tapul_page_write_pdf(TapulPage *const *pages, int n_pages, const char *path, GError **error);
/* Each page as SVG (svg_paths[n_pages]) and all as one PDF, written at the same time. */
gboolean tapul_pages_write(TapulPage *const *pages, const char *const *svg_paths, int n_pages,
                           const char *pdf_path, GError **error);
gboolean tapul_page_write_png(const TapulPage *page, double dpi, const char *path, GError **error);

G_END_DECLS

#endif
