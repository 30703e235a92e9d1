/* A page's PDF after cairo has written it. Internal to sheet/. */
#ifndef TAPUL_SHEET_PAGE_PDF_H
#define TAPUL_SHEET_PAGE_PDF_H

#include <tapul/page.h>

/* Puts into a PDF, in its place in memory, what cairo does not write: the language, that the
 * title is shown, and, of tagged pages, that they are tagged, what their figures show and where
 * figures and tables lie. path only names the file in errors. */
gboolean tapul_pdf_complete(GByteArray *pdf, TapulPage *const *pages, int n_pages,
                            const char *path, GError **error);

#endif
