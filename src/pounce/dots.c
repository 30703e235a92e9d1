/* Dots of resist on the bitten ground: placed evenly over the plate as a whole (dot_sample.c),
 * clear of the design and the metal's edge, and carried to the papers through their charts, so
 * that a dot on a seam lies at one place of the metal on both. */
#include "pounce/dot_sample.h"
#include "pounce/resist_parts.h"

/* A cell with what is asked of it for every dot. */
typedef struct {
    const TapulResistCell *cell;
    const GEOSPreparedGeometry *design, *bare[TAPUL_MOST_BITES];
} Prepared;

/* A piece's paper. */
typedef struct {
    const TapulDesign *design;
    GHashTable *cells; /* column and row -> Prepared */
    double cell_mm;
    GEOSGeometry *edge; /* the metal's own, without seams */
    const GEOSPreparedGeometry *near_edge, *paper;
} Paper;

typedef struct {
    const TapulResistPlan *plan;
    GEOSContextHandle_t geos;
    GArray *papers;  /* of Paper */
    double clear_mm; /* from a dot's middle */
} Dotting;

/* --- Papers made ready --- */

static gint64 pair_key(int a, int b) {
    return (gint64)((guint64)(guint32)a << 32 | (guint32)b);
}

static gint64 cell_key(const Paper *paper, TapulVec2 at_mm) {
    return pair_key((int)floor(at_mm.x / paper->cell_mm), (int)floor(at_mm.y / paper->cell_mm));
}

/* The edges of the piece's outline that lie on seams, as its boundary runs. */
static GHashTable *seam_edges(const TapulPattern *pattern, int piece) {
    GHashTable *edges = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint s = 0; s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        for (int side = 0; side < 2; side++)
            for (int i = 0; seam->piece[side] == piece && i + 1 < seam->n; i++) {
                const int *vertex = seam->vertex[side] + i;
                gint64 key = pair_key(vertex[side], vertex[1 - side]);
                g_hash_table_add(edges, g_memdup2(&key, sizeof key));
            }
    }
    return edges;
}

/* The metal's own edge on paper, as lines. */
static GEOSGeometry *metal_edge(GEOSContextHandle_t geos, const TapulPattern *pattern,
                                const TapulPouncePiece *piece) {
    const TapulVec2 *flat_mm = piece->piece->development->flat_mm;
    g_autoptr(GHashTable) seams = seam_edges(pattern, piece->number - 1);
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(piece->piece->mesh);
    g_autoptr(GPtrArray) lines = g_ptr_array_new();
    for (guint l = 0; l < loops->len; l++) {
        const GArray *loop = g_ptr_array_index(loops, l);
        for (guint i = 0; i < loop->len; i++) {
            int from = g_array_index(loop, int, i);
            int to = g_array_index(loop, int, (i + 1) % loop->len);
            gint64 key = pair_key(from, to);
            if (g_hash_table_contains(seams, &key))
                continue;
            GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, 2, 2);
            GEOSCoordSeq_setXY_r(geos, sequence, 0, flat_mm[from].x, flat_mm[from].y);
            GEOSCoordSeq_setXY_r(geos, sequence, 1, flat_mm[to].x, flat_mm[to].y);
            g_ptr_array_add(lines, GEOSGeom_createLineString_r(geos, sequence));
        }
    }
    return GEOSGeom_createCollection_r(geos, GEOS_MULTILINESTRING,
                                       (GEOSGeometry **)lines->pdata, lines->len);
}

static Paper paper_new(const Dotting *dotting, const TapulDottedPiece *piece) {
    Paper paper = {.design = piece->design,
                   .cells = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free),
                   .edge =
                       metal_edge(dotting->geos, dotting->plan->pattern, piece->design->piece)};
    paper.near_edge = GEOSPrepare_r(dotting->geos, paper.edge);
    paper.paper = GEOSPrepare_r(dotting->geos, piece->design->paper);
    for (guint i = 0; i < piece->cells->len; i++) {
        Prepared prepared = {.cell = g_ptr_array_index(piece->cells, i)};
        TapulBox box = prepared.cell->box;
        prepared.design = GEOSPrepare_r(dotting->geos, prepared.cell->design);
        for (int k = 0; k < dotting->plan->n_bites; k++)
            prepared.bare[k] = GEOSPrepare_r(dotting->geos, prepared.cell->bare[k]);
        paper.cell_mm = box.max.x - box.min.x;
        gint64 key = cell_key(&paper, tapul_vec2_mix(box.min, box.max, 0.5));
        g_hash_table_insert(paper.cells, g_memdup2(&key, sizeof key),
                            g_memdup2(&prepared, sizeof prepared));
    }
    return paper;
}

static void paper_clear(GEOSContextHandle_t geos, Paper *paper) {
    GHashTableIter iter;
    gpointer value;
    g_hash_table_iter_init(&iter, paper->cells);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        const Prepared *prepared = value;
        GEOSPreparedGeom_destroy_r(geos, prepared->design);
        for (int k = 0; k < TAPUL_MOST_BITES && prepared->bare[k]; k++)
            GEOSPreparedGeom_destroy_r(geos, prepared->bare[k]);
    }
    g_hash_table_unref(paper->cells);
    GEOSPreparedGeom_destroy_r(geos, paper->near_edge);
    GEOSPreparedGeom_destroy_r(geos, paper->paper);
    GEOSGeom_destroy_r(geos, paper->edge);
}

/* --- Where dots may be --- */

static gboolean is_within(GEOSContextHandle_t geos, const GEOSPreparedGeometry *prepared,
                          TapulVec2 at_mm, double distance_mm) {
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, at_mm.x, at_mm.y);
    gboolean within = GEOSPreparedDistanceWithin_r(geos, prepared, point, distance_mm) == 1;
    GEOSGeom_destroy_r(geos, point);
    return within;
}

static gboolean is_inside(GEOSContextHandle_t geos, const GEOSPreparedGeometry *prepared,
                          TapulVec2 at_mm) {
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, at_mm.x, at_mm.y);
    gboolean inside = GEOSPreparedIntersects_r(geos, prepared, point) == 1;
    GEOSGeom_destroy_r(geos, point);
    return inside;
}

/* The paper that shows a place of the base, and where; NULL if none does. */
static const Paper *find_paper(const Dotting *dotting, TapulVec2 base_mm, TapulVec2 *at_mm) {
    for (guint i = 0; i < dotting->papers->len; i++) {
        const Paper *paper = &g_array_index(dotting->papers, Paper, i);
        if (tapul_chart_paper(g_ptr_array_index(paper->design->charts, 0), base_mm, at_mm))
            return paper;
    }
    return NULL;
}

static const Prepared *find_cell(const Paper *paper, TapulVec2 at_mm) {
    gint64 key = cell_key(paper, at_mm);
    return g_hash_table_lookup(paper->cells, &key);
}

static gboolean is_allowed(TapulVec2 base_mm, gpointer data) {
    const Dotting *dotting = data;
    TapulVec2 at_mm;
    const Paper *paper = find_paper(dotting, base_mm, &at_mm);
    const Prepared *cell = paper ? find_cell(paper, at_mm) : NULL;
    return cell && is_inside(dotting->geos, cell->bare[0], at_mm) &&
           !is_within(dotting->geos, cell->design, at_mm, dotting->clear_mm) &&
           !is_within(dotting->geos, paper->near_edge, at_mm, dotting->clear_mm);
}

/* --- Dots on papers --- */

/* The dot on every paper that shows some of it. */
static void place_dot(const Dotting *dotting, TapulVec2 base_mm, TapulResist *resist) {
    for (guint i = 0; i < dotting->papers->len; i++) {
        const Paper *paper = &g_array_index(dotting->papers, Paper, i);
        const GPtrArray *charts = paper->design->charts;
        for (guint c = 0; c < charts->len; c++) {
            TapulVec2 at_mm;
            if (!tapul_chart_paper(g_ptr_array_index(charts, c), base_mm, &at_mm) ||
                !is_within(dotting->geos, paper->paper, at_mm, resist->dot_diameter_mm / 2))
                continue;
            g_array_append_val((GArray *)g_ptr_array_index(resist->dot_mm, i), at_mm);
        }
    }
}

/* Takes a dot's metal off the bites in which it stands in bare ground: what was painted, less
 * what these bites eat away under it. */
static void take_metal(const Dotting *dotting, TapulVec2 base_mm, TapulResist *resist) {
    TapulVec2 at_mm;
    const Paper *paper = find_paper(dotting, base_mm, &at_mm);
    const Prepared *cell = find_cell(paper, at_mm);
    const TapulResistPlan *plan = dotting->plan;
    int n = 1;
    while (n < plan->n_bites && is_inside(dotting->geos, cell->bare[n], at_mm))
        n++;
    double diameter_mm = resist->dot_diameter_mm -
                         2 * tapul_undercut_mm(plan->total_mm[n], plan->asked->etch_factor);
    double metal_mm2 = G_PI / 4 * diameter_mm * diameter_mm;
    for (int k = 0; k < n; k++)
        ((TapulBite *)g_ptr_array_index(resist->bites, (guint)k))->bitten_area_mm2 -= metal_mm2;
    resist->wanted_area_mm2 -= metal_mm2;
}

static void place_dots(Dotting *dotting, TapulResist *resist) {
    const TapulCasePounce *asked = dotting->plan->asked;
    g_autoptr(GArray) dots = tapul_dots_sample(&dotting->plan->question->ground,
                                               asked->dot_spacing_mm, is_allowed, dotting);
    resist->dots = (int)dots->len;
    for (guint i = 0; i < dots->len; i++) {
        TapulVec2 base_mm = g_array_index(dots, TapulVec2, i);
        place_dot(dotting, base_mm, resist);
        take_metal(dotting, base_mm, resist);
    }
}

void tapul_resist_dot(const TapulResistPlan *plan, const GArray *pieces, TapulResist *resist) {
    const TapulCasePounce *asked = plan->asked;
    for (guint i = 0; i < pieces->len; i++)
        g_ptr_array_add(resist->dot_mm, g_array_new(FALSE, FALSE, sizeof(TapulVec2)));
    if (plan->kind != TAPUL_RESIST_GROUND || asked->dot_mm <= 0)
        return;
    TapulRegions regions = tapul_regions_begin();
    Dotting dotting = {.plan = plan,
                       .geos = regions.geos,
                       .papers = g_array_new(FALSE, FALSE, sizeof(Paper)),
                       .clear_mm = asked->dot_clear_mm + asked->dot_mm / 2};
    resist->dot_diameter_mm = asked->dot_mm + 2 * resist->undercut_mm;
    for (guint i = 0; i < pieces->len; i++) {
        Paper paper = paper_new(&dotting, &g_array_index(pieces, TapulDottedPiece, i));
        g_array_append_val(dotting.papers, paper);
    }
    place_dots(&dotting, resist);
    for (guint i = 0; i < pieces->len; i++)
        paper_clear(regions.geos, &g_array_index(dotting.papers, Paper, i));
    g_array_unref(dotting.papers);
    tapul_regions_end(&regions);
}
