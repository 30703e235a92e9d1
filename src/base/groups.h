/* Things in groups that grow together: each is known by the first of its group (R. Tarjan,
 * J. van Leeuwen, J. ACM 31(2), 1984; paths are halved). */
#ifndef TAPUL_BASE_GROUPS_H
#define TAPUL_BASE_GROUPS_H

#include <glib.h>

G_BEGIN_DECLS

/* Each of n a group of its own; owned. */
static inline int *tapul_groups_new(int n) {
    int *first = g_new(int, (guint)n);
    for (int i = 0; i < n; i++)
        first[i] = i;
    return first;
}

static inline int tapul_group_of(int *first, int i) {
    while (first[i] != i)
        i = first[i] = first[first[i]];
    return i;
}

static inline void tapul_groups_join(int *first, int a, int b) {
    a = tapul_group_of(first, a);
    b = tapul_group_of(first, b);
    first[MAX(a, b)] = MIN(a, b);
}

G_END_DECLS

#endif
