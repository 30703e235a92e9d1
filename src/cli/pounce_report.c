/* The report of `tapul pounce`: the papers and what they ask, the seams, the figures of the
 * bite, and what a maker ought to know before going to work. */
#include "cli/pounce_report.h"
#include "cli/pounce_files.h"

/* How many of what is too thin a report for people lists. */
#define TOO_THIN_FOR_PEOPLE 10

static void begin_list(JsonBuilder *builder, const char *name) {
    json_builder_set_member_name(builder, name);
    json_builder_begin_array(builder);
}

/* --- Papers --- */

/* The largest stretch or shrink that paper is asked for, in per cent. */
double tapul_pounce_asked_percent(const TapulDevelopment *development) {
    return 100 * (fmax(development->stretch.max, 1 / development->stretch.min) - 1);
}

static void add_paper(JsonBuilder *builder, const TapulPouncePiece *piece) {
    const TapulDevelopment *development = piece->piece->development;
    TapulBox box = tapul_path_box(piece->cut);
    json_builder_begin_object(builder);
    tapul_report_integer(builder, "number", piece->number);
    tapul_report_number(builder, "area_mm2", development->area_mm2, 2);
    tapul_report_number(builder, "stretch_min", development->stretch.min, 6);
    tapul_report_number(builder, "stretch_max", development->stretch.max, 6);
    tapul_report_number(builder, "stretch_percent", tapul_pounce_asked_percent(development), 3);
    tapul_report_number(builder, "width_mm", box.max.x - box.min.x, 2);
    tapul_report_number(builder, "height_mm", box.max.y - box.min.y, 2);
    json_builder_end_object(builder);
}

static void add_stretch(JsonBuilder *builder, const TapulCase *question,
                        const TapulPounce *pounce) {
    double least = INFINITY, most = 0;
    for (guint i = 0; i < pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pounce->pieces, i);
        least = fmin(least, piece->piece->development->stretch.min);
        most = fmax(most, piece->piece->development->stretch.max);
    }
    json_builder_set_member_name(builder, "stretch");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "min", least, 6);
    tapul_report_number(builder, "max", most, 6);
    tapul_report_number(builder, "percent", 100 * pounce->pattern->stretch, 3);
    tapul_report_number(builder, "limit_percent", 100 * question->pounce.stretch_limit, 3);
    json_builder_end_object(builder);
}

/* --- Cuts and seams --- */

static void add_place(JsonBuilder *builder, const TapulPouncePlace *place) {
    json_builder_begin_object(builder);
    if (place->by_tape) {
        tapul_report_number(builder, "across_mm", place->across_mm, 3);
        tapul_report_number(builder, "up_mm", place->up_mm, 3);
    } else {
        begin_list(builder, "xyz_mm");
        for (int k = 0; k < 3; k++)
            json_builder_add_double_value(builder, (&place->xyz_mm.x)[k]);
        json_builder_end_array(builder);
    }
    json_builder_end_object(builder);
}

static void add_points(JsonBuilder *builder, const GArray *line) {
    begin_list(builder, "points");
    for (guint k = 0; k < line->len; k++)
        add_place(builder, &g_array_index(line, TapulPouncePlace, k));
    json_builder_end_array(builder);
}

static void add_ends(JsonBuilder *builder, const GArray *line) {
    g_autofree char *from = tapul_pounce_say_place(&g_array_index(line, TapulPouncePlace, 0));
    g_autofree char *to =
        tapul_pounce_say_place(&g_array_index(line, TapulPouncePlace, line->len - 1));
    tapul_report_text(builder, "from", from);
    tapul_report_text(builder, "to", to);
}

static void add_cuts(JsonBuilder *builder, const TapulCase *question, const TapulPounce *pounce,
                     gboolean brief) {
    g_autoptr(GPtrArray) lines = tapul_pounce_cut_places(question, pounce);
    begin_list(builder, "cuts");
    for (guint i = 0; i < lines->len; i++) {
        json_builder_begin_object(builder);
        json_builder_set_member_name(builder, "given");
        json_builder_add_boolean_value(builder,
                                       pounce->cuts_given || i < question->opening_mm->len);
        (brief ? add_ends : add_points)(builder, g_ptr_array_index(lines, i));
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

/* How long a seam's edge is on one of its two papers. */
static double edge_mm(const TapulPattern *pattern, const TapulSeam *seam, int side) {
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]);
    const TapulVec2 *flat_mm = piece->development->flat_mm;
    double sum_mm = 0;
    for (int i = 1; i < seam->n; i++)
        sum_mm += tapul_vec2_distance(flat_mm[seam->vertex[side][i - 1]],
                                      flat_mm[seam->vertex[side][i]]);
    return sum_mm;
}

static void add_seam(JsonBuilder *builder, const TapulPattern *pattern, int number) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)number);
    g_autofree char *name = tapul_pounce_seam_name(number);
    double left_mm = edge_mm(pattern, seam, 0), right_mm = edge_mm(pattern, seam, 1);
    json_builder_begin_object(builder);
    tapul_report_text(builder, "name", name);
    tapul_report_integer(builder, "a", seam->piece[0] + 1);
    tapul_report_integer(builder, "b", seam->piece[1] + 1);
    tapul_report_number(builder, "length_mm", (left_mm + right_mm) / 2, 3);
    tapul_report_number(builder, "difference_mm", fabs(left_mm - right_mm), 4);
    json_builder_end_object(builder);
}

static void add_pattern(JsonBuilder *builder, const TapulCase *question,
                        const TapulPounce *pounce, gboolean brief) {
    const GPtrArray *seams = pounce->pattern->seams;
    begin_list(builder, "papers");
    for (guint i = 0; i < pounce->pieces->len; i++)
        add_paper(builder, g_ptr_array_index(pounce->pieces, i));
    json_builder_end_array(builder);
    add_cuts(builder, question, pounce, brief);
    begin_list(builder, "seams");
    for (guint i = 0; i < seams->len; i++)
        add_seam(builder, pounce->pattern, (int)i);
    json_builder_end_array(builder);
}

/* --- The bite --- */

static void add_too_thin(JsonBuilder *builder, const TapulResist *resist, guint most) {
    tapul_report_integer(builder, "too_thin_in_all", resist ? resist->too_thin_in_all : 0);
    tapul_report_integer(builder, "closes_in_all", resist ? resist->closes_in_all : 0);
    begin_list(builder, "too_thin");
    for (guint i = 0; resist && i < MIN(most, resist->too_thin->len); i++) {
        const TapulTooThin *thin = &g_array_index(resist->too_thin, TapulTooThin, i);
        json_builder_begin_object(builder);
        tapul_report_text(builder, "what", thin->gap ? "gap" : "line");
        tapul_report_integer(builder, "piece", thin->piece);
        tapul_report_number(builder, "x_mm", thin->at_mm.x, 1);
        tapul_report_number(builder, "y_mm", thin->at_mm.y, 1);
        tapul_report_number(builder, "width_mm", thin->width_mm, 3);
        tapul_report_number(builder, "length_mm", thin->length_mm, 2);
        json_builder_set_member_name(builder, "closes");
        json_builder_add_boolean_value(builder, thin->closes);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static void add_bites(JsonBuilder *builder, const TapulResist *resist) {
    begin_list(builder, "bites");
    for (guint i = 0; i < resist->bites->len; i++) {
        const TapulBite *bite = g_ptr_array_index(resist->bites, i);
        json_builder_begin_object(builder);
        tapul_report_number(builder, "depth_mm", bite->depth_mm, 4);
        tapul_report_number(builder, "bitten_area_mm2", bite->bitten_area_mm2, 2);
        tapul_report_number(builder, "metal_g", bite->steel_g, 3);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static double deepest_mm(const TapulResist *resist) {
    double sum_mm = 0;
    for (guint i = 0; i < resist->bites->len; i++)
        sum_mm += ((const TapulBite *)g_ptr_array_index(resist->bites, i))->depth_mm;
    return sum_mm;
}

static void add_resist(JsonBuilder *builder, const TapulCase *question,
                       const TapulResist *resist, gboolean brief) {
    static const char *const kinds[] = {"none", "ground", "lines"};
    tapul_report_text(builder, "resist", kinds[resist ? resist->kind : TAPUL_RESIST_NONE]);
    if (!resist && brief)
        return;
    tapul_report_number(builder, "bitten_area_mm2", resist ? resist->bitten_area_mm2 : NAN, 2);
    tapul_report_number(builder, "metal_g", resist ? resist->steel_g : NAN, 3);
    if (!resist)
        return;
    tapul_report_number(builder, "wanted_area_mm2", resist->wanted_area_mm2, 2);
    tapul_report_number(builder, "depth_mm", deepest_mm(resist), 4);
    tapul_report_number(builder, "etch_factor", question->pounce.etch_factor, 3);
    tapul_report_number(builder, "undercut_mm", resist->undercut_mm, 4);
    tapul_report_number(builder, "iron_chloride_g", resist->iron_chloride_g, 2);
    tapul_report_number(builder, "etchant_l", resist->etchant_l, 3);
    tapul_report_number(builder, "working_share", question->pounce.working_share, 3);
    add_bites(builder, resist);
    tapul_report_integer(builder, "dots", resist->dots);
}

static void add_cautions(JsonBuilder *builder) {
    begin_list(builder, "cautions");
    for (const char *const *line = tapul_etching_cautions(); *line; line++)
        json_builder_add_string_value(builder, *line);
    json_builder_end_array(builder);
}

/* --- All --- */

static void add_notes(JsonBuilder *builder, char *const *notes, const TapulResist *resist,
                      guint most_too_thin) {
    g_autoptr(GPtrArray) all = g_ptr_array_new();
    g_autofree char *listed = NULL;
    for (; *notes; notes++)
        g_ptr_array_add(all, *notes);
    if (resist && resist->too_thin->len > most_too_thin) {
        listed = g_strdup_printf(
            "the worst %u of what is too thin are listed; --json lists more", most_too_thin);
        g_ptr_array_add(all, listed);
    }
    tapul_report_notes(builder, all);
}

/* For people, what there is not is not told. */
static void add_etching(JsonBuilder *builder, const TapulCase *question,
                        const TapulResist *resist, gboolean brief) {
    add_resist(builder, question, resist, brief);
    if (resist || !brief)
        add_too_thin(builder, resist, brief ? TOO_THIN_FOR_PEOPLE : G_MAXUINT);
    if (resist)
        add_cautions(builder);
}

JsonNode *tapul_pounce_report(const TapulPouncePages *pages, gboolean brief, GPtrArray *files) {
    const TapulCase *question = pages->question;
    const TapulPounce *pounce = pages->pounce;
    JsonBuilder *builder = tapul_report_begin("pounce");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_fit(builder, question->plate);
    tapul_report_integer(builder, "pieces", pounce->pieces->len);
    tapul_report_integer(builder, "tiles", pounce->tiling->used->len);
    tapul_report_text(builder, "paper", question->pounce.paper);
    tapul_report_text(builder, "face", question->pounce.face_down ? "down" : "up");
    add_stretch(builder, question, pounce);
    add_pattern(builder, question, pounce, brief);
    add_etching(builder, question, pounce->resist, brief);
    add_notes(builder, pages->notes, pounce->resist, brief ? TOO_THIN_FOR_PEOPLE : G_MAXUINT);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}
