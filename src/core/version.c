/* The version, as the build states it. */
#include "sixturn/version.h"

const char *sx_version(void) {
    return SIXTURN_VERSION;
}
