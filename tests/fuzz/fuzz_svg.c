/* Fuzz target of the SVG's first reading: motifs, references, text sizes, before any renderer
 * sees it. */
#include "ink/svg_source.h"

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    g_autoptr(TapulSvgSource) source = tapul_svg_source_new((const char *)data, size, NULL);
    if (source)
        g_assert(isfinite(source->tallest_text) && source->tallest_text >= 0);
    return 0;
}
