/* Writing a result file all at once or not at all. Internal. */
#ifndef SIXTURN_CORE_WRITE_H
#define SIXTURN_CORE_WRITE_H

#include "sixturn/error.h"

#include <stddef.h>

/* Writes the bytes to a temporary file beside the target and renames it, so that a reader sees the
 * old file or the new one and a failure leaves nothing behind. SX_NO_WRITE with file and reason.
 * A target that is no ordinary file (a terminal, a pipe) is written straight. */
SxStatus sx_write_file(const char *file, const char *data, size_t length, SxError *err);

#endif
