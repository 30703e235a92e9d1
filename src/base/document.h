/* Reading the YAML files people write: every fault is collected with its file and line, so that
 * all of a file's errors are reported together. Base of plate and case files. */
#ifndef TAPUL_BASE_DOCUMENT_H
#define TAPUL_BASE_DOCUMENT_H

#include <tapul/vec.h>
#include <yaml.h>

G_BEGIN_DECLS

#define TAPUL_DOCUMENT_ERROR (tapul_document_error_quark())
GQuark tapul_document_error_quark(void);

typedef enum {
    TAPUL_DOCUMENT_ERROR_FILE,   /* missing, unreadable, too large */
    TAPUL_DOCUMENT_ERROR_SYNTAX, /* not YAML */
    TAPUL_DOCUMENT_ERROR_VALUE   /* keys or values that are not permitted; all of them, one line
                                    each */
} TapulDocumentError;

typedef struct TapulDocument TapulDocument;
typedef yaml_node_t TapulNode;

/* How many documents and what size: one, of at most 16 MiB. name is what messages call the
 * file. */
TapulDocument *tapul_document_load(const char *path, GError **error);
TapulDocument *tapul_document_parse(const char *name, const char *text, gsize length,
                                    GError **error);
void tapul_document_free(TapulDocument *document);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulDocument, tapul_document_free)

const TapulNode *tapul_document_root(const TapulDocument *document);
/* A path written in the file, made relative to the file's folder. */
char *tapul_document_resolve(const TapulDocument *document, const char *path);

/* Adds a fault at a node's line; a NULL node means the whole file. */
void tapul_document_fault(TapulDocument *document, const TapulNode *node, const char *format,
                          ...) G_GNUC_PRINTF(3, 4);
gboolean tapul_document_has_faults(const TapulDocument *document);
/* TRUE if no fault was found; else FALSE with all faults in file order, one line each. */
gboolean tapul_document_check(TapulDocument *document, GError **error);

/* --- Maps. `map` may be NULL wherever it is read: then every key is absent. --- */

/* Faults: not a map, a key twice, a key that is not in the NULL-ended list. */
void tapul_document_expect_keys(TapulDocument *document, const TapulNode *map,
                                const char *const *keys);
/* The keys of a map whose keys are the writer's own, in order; borrowed from the document. Faults: a
 * key twice. */
GPtrArray *tapul_document_keys(TapulDocument *document, const TapulNode *map);
/* The value of a key, or NULL. */
const TapulNode *tapul_document_get(const TapulDocument *document, const TapulNode *map,
                                    const char *key);
/* Reads a number in [low, high]; if absent, leaves *value, which is a fault when required. TRUE
 * if read. */
gboolean tapul_document_number(TapulDocument *document, const TapulNode *map, const char *key,
                               gboolean required, double low, double high, double *value);
/* Text, owned by the document; NULL if absent. */
const char *tapul_document_text(TapulDocument *document, const TapulNode *map, const char *key,
                                gboolean required);
gboolean tapul_document_flag(TapulDocument *document, const TapulNode *map, const char *key,
                             gboolean fallback);
/* One of a NULL-ended list of words: its place, or -1 if absent or not permitted (a fault). */
int tapul_document_choice(TapulDocument *document, const TapulNode *map, const char *key,
                          gboolean required, const char *const *words);
/* A list of [x, y] points within +-limit: GArray of TapulVec2, or NULL if absent or at fault.
 */
GArray *tapul_document_points(TapulDocument *document, const TapulNode *map, const char *key,
                              gboolean required, guint least, double limit);
/* A pair [a, b] of numbers in [low, high]. */
gboolean tapul_document_pair(TapulDocument *document, const TapulNode *map, const char *key,
                             gboolean required, double low, double high, TapulVec2 *value);

/* --- Lists --- */

/* Length of a list; 0 for NULL; a fault and 0 if it is no list. */
int tapul_document_list_length(TapulDocument *document, const TapulNode *list,
                               const char *what);
const TapulNode *tapul_document_list_item(const TapulDocument *document, const TapulNode *list,
                                          int i);
/* Reads a bare scalar as a number in [low, high]; what names it in messages. */
gboolean tapul_document_scalar(TapulDocument *document, const TapulNode *node, const char *what,
                               double low, double high, double *value);
int tapul_node_line(const TapulNode *node);
/* A scalar's text, or NULL. */
const char *tapul_node_text(const TapulNode *node);

G_END_DECLS

#endif
