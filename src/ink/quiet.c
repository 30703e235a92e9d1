/* Quiet while others draw: log lines of the renderers' libraries, such as pango's on letters
 * larger than its fonts can be, are dropped; what they mean is read from the result. Serves the
 * readers of SVG and PDF. */
#include "ink/quiet.h"

/* librsvg and poppler draw letters through pango and cairo; GObject complains for them. */
static const char *const domains[TAPUL_QUIET_DOMAINS] = {"Pango", "librsvg", "GLib-GObject",
                                                         "Poppler"};

static void drop(const char *domain, GLogLevelFlags level, const char *message,
                 gpointer unused) {
    (void)domain;
    (void)level;
    (void)message;
    (void)unused;
}

TapulQuiet tapul_quiet_begin(void) {
    TapulQuiet quiet;
    for (guint i = 0; i < TAPUL_QUIET_DOMAINS; i++)
        quiet.handlers[i] = g_log_set_handler(domains[i], G_LOG_LEVEL_MASK, drop, NULL);
    return quiet;
}

void tapul_quiet_end(const TapulQuiet *quiet) {
    for (guint i = 0; i < TAPUL_QUIET_DOMAINS; i++)
        g_log_remove_handler(domains[i], quiet->handlers[i]);
}
