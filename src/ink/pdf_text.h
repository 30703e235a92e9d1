/* What a PDF's own text says of its pages, where poppler keeps it to itself. Serves the reader
 * of PDF. */
#ifndef TAPUL_INK_PDF_TEXT_H
#define TAPUL_INK_PDF_TEXT_H

#include <tapul/ink.h>

G_BEGIN_DECLS

typedef struct {
    GByteArray *objects; /* the text of all objects, without streams; packed objects unpacked */
    gboolean hidden;     /* some packed objects could not be unpacked, as when encrypted */
} TapulPdfText;

TapulPdfText *tapul_pdf_text_new(GBytes *file);
void tapul_pdf_text_free(TapulPdfText *text);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPdfText, tapul_pdf_text_free)

/* The unit of the pages in 1/72 inch: /UserUnit (ISO 32000-1, table 30), 1 where none is
 * written. It is honoured where all pages have the same; FALSE where pages may differ, or
 * where it is no number above 0. */
gboolean tapul_pdf_user_unit(const TapulPdfText *text, int pages, double *unit, GError **error);

/* FALSE if a media box is missing or impossible. To be asked of pages that poppler takes for
 * Letter, which it does in silence then. */
gboolean tapul_pdf_check_media_boxes(const TapulPdfText *text, GError **error);

G_END_DECLS

#endif
