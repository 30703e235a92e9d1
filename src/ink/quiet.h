/* Quiet while others draw: what the renderers tell a terminal is nothing a person can act on.
 */
#ifndef TAPUL_INK_QUIET_H
#define TAPUL_INK_QUIET_H

#include <glib.h>

G_BEGIN_DECLS

#define TAPUL_QUIET_DOMAINS 4

typedef struct {
    guint handlers[TAPUL_QUIET_DOMAINS];
} TapulQuiet;

/* Between begin and end, log lines of the renderers' libraries are dropped. */
TapulQuiet tapul_quiet_begin(void);
void tapul_quiet_end(const TapulQuiet *quiet);

G_END_DECLS

#endif
