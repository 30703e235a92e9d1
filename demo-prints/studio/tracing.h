/* The tracing: the design as a person would draw it over the photograph, where it can still be
 * made out. */
#ifndef STUDIO_TRACING_H
#define STUDIO_TRACING_H

#include "camera.h"
#include "metal.h"

/* print_path: the print's SVG. */
gboolean tracing_write(const char *print_path, const Metal *metal, const Camera *camera,
                       const char *path, GError **error);

#endif
