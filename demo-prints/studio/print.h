/* The print that everything here comes from: ../prints/mask-drapery.svg, whose page is its
 * plate mark. */
#ifndef STUDIO_PRINT_H
#define STUDIO_PRINT_H

#define PRINT_MM 80.0 /* each side of its plate mark */

#endif
