/* Sparse symmetric positive definite systems over CHOLMOD. Under every linear solve of the
 * developments: a pattern is analysed once, its values are factorised as often as they change.
 * Chen, Davis, Hager & Rajamanickam, Algorithm 887, ACM TOMS 35(3), 2008. */
#include <tapul/sparse.h>

#include <omp.h>
#include <string.h>
#include <suitesparse/cholmod.h>

struct TapulFactor {
    cholmod_common common;
    cholmod_factor *factor;
    cholmod_dense *solution, *work, *scratch; /* kept from solve to solve */
};

/* Writes the entries of list (column, row) sorted by `key` of each, keeping their order within
 * equal keys; start[n + 1] is filled with where each key begins. */
static void sort_by_key(int n, int n_entries, const int (*from)[2], int (*to)[2], int key,
                        int *start) {
    memset(start, 0, sizeof *start * ((gsize)n + 1));
    for (int i = 0; i < n_entries; i++)
        start[from[i][key] + 1]++;
    for (int i = 0; i < n; i++)
        start[i + 1] += start[i];
    for (int i = 0; i < n_entries; i++) {
        int place = start[from[i][key]]++;
        to[place][0] = from[i][0];
        to[place][1] = from[i][1];
    }
    for (int i = n; i > 0; i--)
        start[i] = start[i - 1];
    start[0] = 0;
}

/* Drops entries equal to the one before them; returns the count left. */
static int drop_duplicates(int n_entries, int (*entry)[2]) {
    int kept = 0;
    for (int i = 0; i < n_entries; i++) {
        if (kept > 0 && entry[i][0] == entry[kept - 1][0] && entry[i][1] == entry[kept - 1][1])
            continue;
        entry[kept][0] = entry[i][0];
        entry[kept][1] = entry[i][1];
        kept++;
    }
    return kept;
}

TapulSparse *tapul_sparse_new(int n, int n_pairs, const int (*pairs)[2]) {
    g_assert(n > 0 && n_pairs >= 0 && n_pairs <= G_MAXINT - n);
    int n_entries = n + n_pairs;
    int(*entry)[2] = g_malloc_n((gsize)n_entries, sizeof *entry);
    int(*sorted)[2] = g_malloc_n((gsize)n_entries, sizeof *sorted);
    for (int i = 0; i < n; i++)
        entry[i][0] = entry[i][1] = i;
    for (int i = 0; i < n_pairs; i++) {
        g_assert(pairs[i][0] >= 0 && pairs[i][0] < n && pairs[i][1] >= 0 && pairs[i][1] < n);
        entry[n + i][0] = MIN(pairs[i][0], pairs[i][1]);
        entry[n + i][1] = MAX(pairs[i][0], pairs[i][1]);
    }
    TapulSparse *matrix = g_new(TapulSparse, 1);
    matrix->n = n;
    matrix->column_start = g_new(int, (gsize)n + 1);
    sort_by_key(n, n_entries, (const int(*)[2])entry, sorted, 1, matrix->column_start);
    sort_by_key(n, n_entries, (const int(*)[2])sorted, entry, 0, matrix->column_start);
    n_entries = drop_duplicates(n_entries, entry);
    memset(matrix->column_start, 0, sizeof(int) * ((gsize)n + 1));
    matrix->row = g_new(int, n_entries);
    for (int i = 0; i < n_entries; i++) {
        matrix->row[i] = entry[i][1];
        matrix->column_start[entry[i][0] + 1] = i + 1;
    }
    matrix->value = g_new0(double, n_entries);
    g_free(entry);
    g_free(sorted);
    return matrix;
}

void tapul_sparse_free(TapulSparse *matrix) {
    if (!matrix)
        return;
    g_free(matrix->column_start);
    g_free(matrix->row);
    g_free(matrix->value);
    g_free(matrix);
}

int tapul_sparse_index(const TapulSparse *matrix, int i, int j) {
    int column = MIN(i, j), row = MAX(i, j);
    g_assert(column >= 0 && row < matrix->n);
    int low = matrix->column_start[column], high = matrix->column_start[column + 1] - 1;
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (matrix->row[middle] < row)
            low = middle + 1;
        else
            high = middle;
    }
    g_assert(matrix->row[low] == row);
    return low;
}

/* CHOLMOD's view of a matrix; the arrays stay the matrix's own. */
static cholmod_sparse cholmod_view(const TapulSparse *matrix) {
    return (cholmod_sparse){
        .nrow = (size_t)matrix->n,
        .ncol = (size_t)matrix->n,
        .nzmax = (size_t)matrix->column_start[matrix->n],
        .p = matrix->column_start,
        .i = matrix->row,
        .x = matrix->value,
        .stype = -1,
        .itype = CHOLMOD_INT,
        .xtype = CHOLMOD_REAL,
        .dtype = CHOLMOD_DOUBLE,
        .sorted = TRUE,
        .packed = TRUE,
    };
}

TapulFactor *tapul_factor_new(const TapulSparse *matrix, const int *order) {
    TapulFactor *factor = g_new0(TapulFactor, 1);
    cholmod_common *common = &factor->common;
    cholmod_start(common);
    common->print = 0;
    common->nmethods = 1;
    common->method[0].ordering = order ? CHOLMOD_GIVEN : CHOLMOD_AMD;
    cholmod_sparse view = cholmod_view(matrix);
    factor->factor = cholmod_analyze_p(&view, (int *)order, NULL, 0, common);
    if (!factor->factor)
        g_error("no memory to analyse a system of %d unknowns", matrix->n);
    return factor;
}

void tapul_factor_free(TapulFactor *factor) {
    if (!factor)
        return;
    cholmod_free_dense(&factor->solution, &factor->common);
    cholmod_free_dense(&factor->work, &factor->common);
    cholmod_free_dense(&factor->scratch, &factor->common);
    cholmod_free_factor(&factor->factor, &factor->common);
    cholmod_finish(&factor->common);
    g_free(factor);
}

void tapul_factor_order(const TapulFactor *factor, int *order) {
    memcpy(order, factor->factor->Perm, sizeof *order * factor->factor->n);
}

/* L of a supernode is a dense block of columns, stored full. */
static gboolean supernode_is_positive(const cholmod_factor *factor, size_t supernode) {
    const int *first = factor->super, *rows = factor->pi, *start = factor->px;
    const double *value = (const double *)factor->x + start[supernode];
    int n_rows = rows[supernode + 1] - rows[supernode];
    int n_columns = first[supernode + 1] - first[supernode];
    for (int i = 0; i < n_columns; i++)
        if (!(value[(gsize)i * (gsize)(n_rows + 1)] > 0))
            return FALSE;
    return TRUE;
}

/* The simplicial factor is L D L', which exists for indefinite matrices too: D tells. The
 * supernodal one is L L'; values that are not numbers pass through it unnoticed. */
static gboolean diagonal_is_positive(const cholmod_factor *factor) {
    for (size_t i = 0; factor->is_super && i < factor->nsuper; i++)
        if (!supernode_is_positive(factor, i))
            return FALSE;
    const int *start = factor->p;
    for (size_t i = 0; !factor->is_super && i < factor->n; i++)
        if (!(((const double *)factor->x)[start[i]] > 0))
            return FALSE;
    return TRUE;
}

/* One system at a time: a BLAS without locks, as Debian's serial OpenBLAS, spoils factors that
 * are made at the same time. */
static GMutex blas;

/* CHOLMOD starts four threads for every few columns, however many processors there are: on two
 * of them waking and waiting takes more than half of a factorisation. Here it keeps to one. */
static gboolean factorise_alone(TapulFactor *factor, cholmod_sparse *matrix) {
    g_mutex_lock(&blas);
    int levels = omp_get_max_active_levels();
    omp_set_max_active_levels(0);
    int known = cholmod_factorize(matrix, factor->factor, &factor->common);
    omp_set_max_active_levels(levels);
    g_mutex_unlock(&blas);
    return known && factor->common.status == CHOLMOD_OK;
}

gboolean tapul_factor_update(TapulFactor *factor, const TapulSparse *matrix) {
    g_assert((size_t)matrix->n == factor->factor->n);
    cholmod_sparse view = cholmod_view(matrix);
    return factorise_alone(factor, &view) && diagonal_is_positive(factor->factor);
}

void tapul_factor_solve(TapulFactor *factor, int n_columns, const double *b, double *x) {
    size_t n = factor->factor->n, size = n * (size_t)n_columns;
    cholmod_dense right = {
        .nrow = n,
        .ncol = (size_t)n_columns,
        .nzmax = size,
        .d = n,
        .x = (void *)b,
        .xtype = CHOLMOD_REAL,
        .dtype = CHOLMOD_DOUBLE,
    };
    g_mutex_lock(&blas);
    int solved = cholmod_solve2(CHOLMOD_A, factor->factor, &right, NULL, &factor->solution,
                                NULL, &factor->work, &factor->scratch, &factor->common);
    g_mutex_unlock(&blas);
    if (!solved)
        g_error("no memory to solve a system of %zu unknowns", n);
    memcpy(x, factor->solution->x, sizeof *x * size);
}
