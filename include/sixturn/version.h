/* The version of the library. */
#ifndef SIXTURN_VERSION_H
#define SIXTURN_VERSION_H

#include "sixturn/api.h"

SX_C_BEGIN

/* The version of the library that the program runs with, as "0.1.0". */
SX_API const char *sx_version(void);

SX_C_END

#endif
