/* Included by .ci/run when clang-tidy reads the sources: what it cannot see from another file, that
 * a failure is never SX_OK. */
#include "sixturn/error.h"

#define sx_out_of_memory(err) (sx_out_of_memory(err), SX_NO_MEMORY)
#define sx_fail(err, status, ...) (sx_fail(err, status, __VA_ARGS__), status)
