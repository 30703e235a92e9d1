/* Packed bytes unpacked within bounds. Serves gzipped SVG and the object streams of PDF. */
#ifndef TAPUL_INK_UNPACK_H
#define TAPUL_INK_UNPACK_H

#include <tapul/ink.h>

#include <gio/gio.h>

G_BEGIN_DECLS

/* At most bytes_max bytes: a small file may unpack to any size. What follows the packed bytes
 * is left alone. Errors: TAPUL_INK_ERROR_SIZE and TAPUL_INK_ERROR_SYNTAX. */
GBytes *tapul_unpack(GBytes *packed, GZlibCompressorFormat format, gsize bytes_max,
                     GError **error);

G_END_DECLS

#endif
