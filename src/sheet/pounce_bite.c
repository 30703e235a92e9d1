/* The first page of a bite's resist: every caution, large, and what to do with the pages that
 * follow. */
#include "sheet/pounce_summary.h"

#include "sheet/shortened.h"

#include <string.h>

/* Read across a bench, and beside a bath. */
#define CAUTIONS_MM  4.6
#define TEXT_MM      3.8
#define TITLE_EMS    1.75
#define SUBTITLE_EMS 1.1
#define AFTER_MM     5.0

typedef struct {
    TapulPounceSummary *summary;
    const TapulResist *resist;
    int bite, step;
} Sheet;

static void add_step(Sheet *sheet, const char *text) {
    tapul_summary_step(sheet->summary, ++sheet->step, text);
}

static gboolean face_down(const Sheet *sheet) {
    return sheet->summary->pages->question->pounce.face_down;
}

/* --- What is stopped out --- */

/* A name of the case's for readers: "Fish", or a print's title. */
static char *stopped_name(const TapulCase *question, const char *given) {
    for (guint p = 0; p < question->prints->len; p++) {
        const TapulPrint *print = question->prints->pdata[p];
        gsize length = strlen(print->id);
        if (strcmp(given, print->id) == 0)
            return g_strdup(print->title ? print->title : print->id);
        if (strncmp(given, print->id, length) != 0 || given[length] != '/')
            continue;
        for (guint m = 0; m < print->ink->motifs->len; m++) {
            const TapulMotif *motif = print->ink->motifs->pdata[m];
            if (strcmp(motif->id, given + length + 1) == 0)
                return tapul_case_motif_name(question, (int)p, (int)m);
        }
    }
    return g_strdup(given);
}

/* "Fish, Mask", of the bites from the first to the last; NULL: none. */
static char *stopped_in(const TapulCase *question, int first, int last) {
    g_autoptr(GString) names = g_string_new(NULL);
    const GArray *bites = question->pounce.bites;
    for (int i = first; i <= last && i < (int)bites->len; i++) {
        char *const *given = g_array_index(bites, TapulCaseBite, i).stop_out;
        for (int k = 0; given && given[k]; k++) {
            g_autofree char *name = stopped_name(question, given[k]);
            g_string_append_printf(names, "%s%s", names->len > 0 ? ", " : "", name);
        }
    }
    return names->len > 0 ? g_strdup(names->str) : NULL;
}

static void say_stopped(Sheet *sheet) {
    const TapulCase *question = sheet->summary->pages->question;
    g_autofree char *now = stopped_in(question, sheet->bite, sheet->bite);
    g_autofree char *before = stopped_in(question, 0, sheet->bite - 1);
    g_autoptr(GString) text = g_string_new(NULL);
    if (now)
        g_string_append_printf(text,
                               "Stopped out before this bite, and not bitten by it: %s.%s", now,
                               sheet->bite + 1 < (int)sheet->resist->bites->len
                                   ? " What is stopped out stays covered from then on."
                                   : "");
    if (before)
        g_string_append_printf(text, "%sStopped out before, and covered still: %s.",
                               now ? " " : "", before);
    if (text->len > 0)
        add_step(sheet, text->str);
}

/* --- Steps --- */

static void say_black(Sheet *sheet) {
    g_autoptr(GString) text = g_string_new(NULL);
    gboolean lines = sheet->resist->kind == TAPUL_RESIST_LINES;
    g_string_printf(text,
                    "Black is what the resist covers: it stays. White, within the outlines, is "
                    "bare metal and is bitten: %s. The drawing allows for the undercut, so "
                    "lines are %s here than they will be on the metal.",
                    lines ? "the design\u2019s lines" : "the ground around the design",
                    lines ? "narrower" : "wider");
    if (sheet->resist->dots > 0)
        g_string_append(text, " The dots stand on the ground.");
    add_step(sheet, text->str);
}

static void say_transfer(Sheet *sheet) {
    const char *how =
        face_down(sheet)
            ? "lay them face down on the metal by their notches, the arrows to the "
              "plate\u2019s upper edge, and tape them. The pages are mirrored: rub or press "
              "them down, so that the print itself goes over to the metal, or trace it from "
              "the back."
            : "lay them on the metal this side up by their notches, the arrows to the "
              "plate\u2019s upper edge, and tape them. Trace the edges of the black through, "
              "transfer paper beneath, or prick and pounce them.";
    g_autofree char *text = g_strdup_printf(
        "%s Cut the pieces out along their outlines; %s Lift the paper, paint the resist where "
        "it is black, and retouch: close what is open in it, scratch clean what is to be bare.",
        sheet->bite == 0
            ? "Degrease the metal."
            : "Leave the resist of the bite before on the metal: what was black stays black. "
              "Cover besides what is black here and was not.",
        how);
    add_step(sheet, text);
}

static void say_bite(Sheet *sheet) {
    const TapulBite *bite = sheet->resist->bites->pdata[sheet->bite];
    gboolean last = sheet->bite + 1 == (int)sheet->resist->bites->len;
    g_autofree char *depth = g_strdup_printf(
        "Bite %.3g mm deep. How long that takes only a trial tells: bite scrap of the same "
        "steel with the same bath first.",
        bite->depth_mm);
    add_step(sheet, "Cover the back, the edges and everything off the papers with resist too: "
                    "the figures of the etch count the front only, within the papers.");
    add_step(sheet, depth);
    add_step(sheet, last
                        ? "After the bite rinse, neutralise slowly, rinse again, take the "
                          "resist off, dry at once and oil."
                        : "After the bite rinse, neutralise slowly, rinse again and dry, and "
                          "leave the resist on for the next bite. Dry and oil after the last.");
}

static void set_steps(Sheet *sheet) {
    tapul_summary_heading(sheet->summary, "What to do");
    add_step(sheet,
             "Print at 100 %, without fitting to the page. Measure the bar and the square of "
             "every page, and join tiles as those of the papers are joined.");
    say_black(sheet);
    say_stopped(sheet);
    say_transfer(sheet);
    say_bite(sheet);
}

/* --- The page --- */

static void set_head(Sheet *sheet, const char *name) {
    TapulPounceSummary *summary = sheet->summary;
    const TapulCase *question = summary->pages->question;
    const TapulTiling *tiling = summary->pages->pounce->tiling;
    double em = summary->format.text_mm, width_mm = tapul_summary_width_mm(summary);
    TapulType title = {.size_mm = TITLE_EMS * em, .colour = TAPUL_WORK_BLACK};
    TapulType subtitle = {
        .size_mm = SUBTITLE_EMS * em, .italic = TRUE, .colour = TAPUL_WORK_BLACK};
    g_autofree char *short_title = tapul_text_shortened(question->title, width_mm, 2, &title);
    g_autofree char *about = g_strdup_printf(
        "%s, on the %u %s of %g \u00d7 %g mm that %s, at full size%s.", name, tiling->used->len,
        tiling->used->len == 1 ? "page" : "pages", tiling->tile_width_mm,
        tiling->tile_height_mm, tiling->used->len == 1 ? "follows" : "follow",
        face_down(sheet) ? "; mirrored, to be laid face down" : "");
    tapul_summary_part(summary, TAPUL_PART_TITLE, short_title, &title);
    tapul_summary_part(summary, TAPUL_PART_PARAGRAPH, about, &subtitle);
    summary->y -= AFTER_MM;
}

void tapul_pounce_bite_pages(const TapulPouncePages *pages, int bite, GPtrArray *made) {
    const TapulResist *resist = pages->pounce->resist;
    const TapulBite *bitten = resist->bites->pdata[bite];
    g_autofree char *name = g_strdup_printf("Resist, bite %d of %u, %.3g mm deep", bite + 1,
                                            resist->bites->len, bitten->depth_mm);
    g_autofree char *foot = g_strdup_printf("page of cautions, bite %d", bite + 1);
    TapulPounceSummary summary = {pages, TAPUL_SUMMARY_FORMAT, made, 0};
    summary.format.text_mm = TEXT_MM;
    Sheet sheet = {&summary, resist, bite, 0};
    tapul_summary_turn(&summary, name);
    set_head(&sheet, name);
    tapul_summary_block(&summary, CAUTIONS_MM, "Cautions", tapul_etching_cautions());
    set_steps(&sheet);
    tapul_summary_feet(&summary, foot);
}
