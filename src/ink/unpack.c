/* Packed bytes unpacked within bounds. Stands between the file and the readers of SVG and PDF.
 */
#include "ink/unpack.h"

GBytes *tapul_unpack(GBytes *packed, GZlibCompressorFormat format, gsize bytes_max,
                     GError **error) {
    g_autoptr(GInputStream) memory = g_memory_input_stream_new_from_bytes(packed);
    g_autoptr(GConverter) unzip = G_CONVERTER(g_zlib_decompressor_new(format));
    g_autoptr(GInputStream) stream = g_converter_input_stream_new(memory, unzip);
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    g_autoptr(GError) refused = NULL;
    guint8 buffer[65536];
    gssize got;
    while ((got = g_input_stream_read(stream, buffer, sizeof buffer, NULL, &refused)) > 0) {
        if (bytes->len + (gsize)got > bytes_max) {
            g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                        "unpacks to more than %" G_GSIZE_FORMAT " bytes", bytes_max);
            return NULL;
        }
        g_byte_array_append(bytes, buffer, (guint)got);
    }
    if (got < 0) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "cannot be unpacked: %s",
                    refused->message);
        return NULL;
    }
    return g_byte_array_free_to_bytes(g_steal_pointer(&bytes));
}
