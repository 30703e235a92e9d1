/* One print laid, as a section of the comparison's page for a browser. Internal to sheet/. */
#ifndef TAPUL_SHEET_HTML_SECTION_H
#define TAPUL_SHEET_HTML_SECTION_H

#include "sheet/html_figures.h"

/* What the sections of one document share. */
typedef struct {
    const TapulComparison *comparison;
    TapulHtmlCanvas *canvas;
    GString *rules; /* of style, that hold for this document's figures only */
    GString *body;
} TapulHtmlDocument;

/* Text of a case as HTML holds it, in elements and in quoted attributes. */
void tapul_html_text(GString *out, const char *text);
/* The same in an element; nothing where there is no text. */
void tapul_html_line(GString *out, const char *element, const char *class, const char *text);

/* Appends the section of a laying, its id "laying-<number>". */
void tapul_html_section(TapulHtmlDocument *document, int laying, int number);

/* --- Its parts --- */

typedef struct {
    int number, laying, print; /* number: of the section, from 1 */
    const TapulInk *ink;
    GPtrArray *motifs; /* of TapulShownMotif* */
    TapulFlatPlace place;
    TapulBox print_box_mm; /* of the print with the paper about it, as drawn */
    TapulBox box_mm;       /* of the plate's part; developed frame */
    double scale;          /* canvas mm for a mm of the plate */
    TapulShown shown;
    TapulVec2 print_size_mm, plate_size_mm; /* on the canvas */
} TapulHtmlSection;

/* A word of the pages, with a capital if it begins a sentence. */
void tapul_html_word(TapulHtmlDocument *document, const char *word, gboolean capital);

/* Opens an svg of the class whose name for readers is a word of the pages and what it shows;
 * part and the section's number make its ids. */
void tapul_html_begin_svg(TapulHtmlDocument *document, const TapulHtmlSection *section,
                          const char *part, const char *class, TapulVec2 size_mm,
                          const char *word, const char *name);

/* A scale bar, to stand below a figure of the plate as wide as that. */
void tapul_html_bar(TapulHtmlDocument *document, const TapulHtmlSection *section);

/* Print and plate side by side, and their motifs. (html_beside.c) */
void tapul_html_beside(TapulHtmlDocument *document, const TapulHtmlSection *section);

#endif
