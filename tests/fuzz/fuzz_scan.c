/* Fuzz target of the road from a scan to ink: a small picture, perhaps broken, is opened,
 * framed and evened, and becomes ink or an error of one line. */
#include <glib/gstdio.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <tapul/ink.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    TapulInkOptions options = tapul_ink_options_defaults();
    g_autofree char *path = NULL;
    g_autoptr(GError) error = NULL;
    int handle = g_file_open_tmp("tapul-scan-XXXXXX", &path, NULL);
    g_assert(handle >= 0 && g_close(handle, NULL));
    g_assert(g_file_set_contents(path, (const char *)data, (gssize)size, NULL));
    options.scan.dpi = 300;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, &options, &error);
    g_unlink(path);
    g_assert(ink || (error->domain == TAPUL_INK_ERROR &&
                     g_str_has_prefix(error->message, path) && !strchr(error->message, '\n')));
    return 0;
}
