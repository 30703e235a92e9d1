/* What a case says of its comparison pages: their language, captions, names for readers, places
 * to point to. */
#include "laying/case_internal.h"
#include "plate/point.h"

#include <string.h>

#define DEFAULT_LANGUAGE "en"
/* More would fill no page of A2 legibly. */
#define MOST_CALLS 60
/* A page of prose; setting more takes long and reads badly. */
#define LONGEST_TEXT 2000

static void call_free(gpointer data) {
    TapulCaseCall *call = data;
    g_free(call->text);
    g_free(call);
}

static GHashTable *texts_new(void) {
    return g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
}

void tapul_case_sheet_init(TapulCaseSheet *sheet) {
    sheet->language = g_strdup(DEFAULT_LANGUAGE);
    sheet->captions = texts_new();
    sheet->motifs = texts_new();
    sheet->words = texts_new();
    sheet->calls = g_ptr_array_new_with_free_func(call_free);
}

void tapul_case_sheet_clear(TapulCaseSheet *sheet) {
    g_free(sheet->language);
    g_free(sheet->author);
    g_free(sheet->rights);
    g_hash_table_unref(sheet->captions);
    g_hash_table_unref(sheet->motifs);
    g_hash_table_unref(sheet->words);
    g_ptr_array_unref(sheet->calls);
}

/* Two or three letters, then parts of one to eight letters and digits (RFC 5646, 2.1, without
 * its registry and the long names it keeps in reserve). */
static gboolean is_language(const char *text) {
    g_auto(GStrv) parts = g_strsplit(text, "-", -1);
    for (int i = 0; parts[i]; i++) {
        gsize length = strlen(parts[i]);
        if (length < (i == 0 ? 2 : 1) || length > (i == 0 ? 3 : 8))
            return FALSE;
        for (const char *c = parts[i]; *c; c++)
            if (!(g_ascii_isalpha(*c) || (i > 0 && g_ascii_isdigit(*c))))
                return FALSE;
    }
    return parts[0] != NULL;
}

static void read_language(TapulCaseReading *reading, const TapulNode *node) {
    TapulCaseSheet *sheet = &reading->made->sheet;
    const char *language = tapul_document_text(reading->document, node, "language", FALSE);
    if (!language)
        return;
    if (!is_language(language)) {
        tapul_document_fault(
            reading->document, tapul_document_get(reading->document, node, "language"),
            "language: '%s' is no language tag: en, de, pt-BR, ... (BCP 47)", language);
        return;
    }
    g_free(sheet->language);
    sheet->language = g_strdup(language);
}

/* A text of bearable length, or NULL. */
static const char *read_text(TapulCaseReading *reading, const TapulNode *map, const char *key,
                             gboolean required) {
    const char *text = tapul_document_text(reading->document, map, key, required);
    glong length = text ? g_utf8_strlen(text, -1) : 0;
    if (length <= LONGEST_TEXT)
        return text;
    tapul_document_fault(reading->document, tapul_document_get(reading->document, map, key),
                         "%s: %ld characters are more than the %d permitted", key, length,
                         LONGEST_TEXT);
    return NULL;
}

/* Whether a key of one of the maps of texts is permitted; else adds the fault. */
typedef gboolean (*KeyCheck)(TapulCaseReading *reading, const TapulNode *node, const char *key);

static gboolean is_layout(TapulCaseReading *reading, const TapulNode *node, const char *key) {
    static const char *const layouts[] = {"beside", "sequence", "details",
                                          "plate",  "border",   NULL};
    if (g_strv_contains(layouts, key))
        return TRUE;
    tapul_document_fault(
        reading->document, node,
        "captions: '%s' is no layout: beside, sequence, details, plate, border", key);
    return FALSE;
}

static gboolean is_word(TapulCaseReading *reading, const TapulNode *node, const char *key) {
    if (tapul_case_knows_word(key))
        return TRUE;
    tapul_document_fault(
        reading->document, node,
        "words: '%s' is no word of the pages; tapul sheet --words writes them all", key);
    return FALSE;
}

static gboolean has_motif(const TapulPrint *print, const char *id) {
    for (guint i = 0; print->ink && i < print->ink->motifs->len; i++)
        if (strcmp(((const TapulMotif *)g_ptr_array_index(print->ink->motifs, i))->id, id) == 0)
            return TRUE;
    return FALSE;
}

/* "motif" of any print, or "print/motif". */
static gboolean is_motif(TapulCaseReading *reading, const TapulNode *node, const char *key) {
    const GPtrArray *prints = reading->made->prints;
    for (guint i = 0; i < prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(prints, i);
        gsize length = strlen(print->id);
        /* A print that could not be read has been named as a fault already. */
        if (!print->ink || has_motif(print, key) ||
            (strncmp(key, print->id, length) == 0 && key[length] == '/' &&
             has_motif(print, key + length + 1)))
            return TRUE;
    }
    tapul_document_fault(reading->document, node, "motifs: '%s' is a motif of no print", key);
    return FALSE;
}

static void read_texts(TapulCaseReading *reading, const TapulNode *sheet, const char *name,
                       KeyCheck permitted, GHashTable *texts) {
    TapulDocument *document = reading->document;
    const TapulNode *map = tapul_document_get(document, sheet, name);
    if (!map)
        return;
    if (map->type != YAML_MAPPING_NODE) {
        tapul_document_fault(document, map, "%s: names with their texts were expected", name);
        return;
    }
    g_autoptr(GPtrArray) keys = tapul_document_keys(document, map);
    for (guint i = 0; i < keys->len; i++) {
        const char *key = g_ptr_array_index(keys, i);
        const char *text = read_text(reading, map, key, FALSE);
        if (permitted(reading, map, key) && text)
            g_hash_table_insert(texts, g_strdup(key), g_strdup(text));
    }
}

static void read_call(TapulCaseReading *reading, const TapulNode *node) {
    static const char *const keys[] = {"at", "text", NULL};
    TapulDocument *document = reading->document;
    TapulCase *made = reading->made;
    TapulSpot spot;
    tapul_document_expect_keys(document, node, keys);
    const char *text = read_text(reading, node, "text", TRUE);
    const TapulNode *at = tapul_document_get(document, node, "at");
    if (!at) {
        tapul_document_fault(document, node, "calls: 'at', a point of the plate, is missing");
        return;
    }
    if (!tapul_point_read(document, at, made->plate, &spot) || !text || !made->development)
        return;
    TapulCaseCall *call = g_new0(TapulCaseCall, 1);
    call->spot = spot;
    call->developed_mm = tapul_development_point_mm(made->development, spot);
    call->text = g_strdup(text);
    g_ptr_array_add(made->sheet.calls, call);
}

static void read_calls(TapulCaseReading *reading, const TapulNode *sheet) {
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, sheet, "calls");
    int n = tapul_document_list_length(document, list, "calls");
    if (n > MOST_CALLS)
        tapul_document_fault(document, list, "calls: %d are more than the %d permitted", n,
                             MOST_CALLS);
    for (int i = 0; i < MIN(n, MOST_CALLS); i++)
        read_call(reading, tapul_document_list_item(document, list, i));
}

void tapul_case_read_sheet(TapulCaseReading *reading) {
    static const char *const keys[] = {"language", "author", "rights", "captions",
                                       "motifs",   "words",  "calls",  NULL};
    TapulDocument *document = reading->document;
    TapulCaseSheet *sheet = &reading->made->sheet;
    const TapulNode *node = tapul_document_get(document, reading->root, "sheet");

    tapul_document_expect_keys(document, node, keys);
    read_language(reading, node);
    sheet->author = g_strdup(tapul_document_text(document, node, "author", FALSE));
    sheet->rights = g_strdup(tapul_document_text(document, node, "rights", FALSE));
    read_texts(reading, node, "captions", is_layout, sheet->captions);
    read_texts(reading, node, "motifs", is_motif, sheet->motifs);
    read_texts(reading, node, "words", is_word, sheet->words);
    read_calls(reading, node);
}

char *tapul_case_motif_name(const TapulCase *question, int print, int motif) {
    const TapulPrint *source = g_ptr_array_index(question->prints, print);
    const TapulMotif *named = g_ptr_array_index(source->ink->motifs, motif);
    g_autofree char *full = g_strconcat(source->id, "/", named->id, NULL);
    const char *given = g_hash_table_lookup(question->sheet.motifs, full);
    if (!given)
        given = g_hash_table_lookup(question->sheet.motifs, named->id);
    if (given)
        return g_strdup(given);
    g_autofree char *words = g_strdelimit(g_utf8_make_valid(named->id, -1), "-_", ' ');
    char first[7] = "";
    g_unichar_to_utf8(g_unichar_toupper(g_utf8_get_char(words)), first);
    return *words ? g_strconcat(first, g_utf8_next_char(words), NULL) : g_strdup(named->id);
}
