/* Text files in the encodings that spreadsheets write, as UTF-8. Internal. */
#ifndef SIXTURN_CORE_ENCODING_H
#define SIXTURN_CORE_ENCODING_H

#include "sixturn/error.h"

#include <stddef.h>

/* Copies data as UTF-8 without a byte order mark into *text (with a zero after it; free it).
 * *encoding is "UTF-8", "UTF-16" or "Windows-1252". UTF-16 is told by its mark or by the zero bytes
 * of its Latin letters; what is neither that nor UTF-8 is Windows-1252. SX_BAD_INPUT if it is none
 * of them. */
SxStatus sx_text_decode(const char *data, size_t length, const char *file, char **text,
                        size_t *out_length, const char **encoding, SxError *err);

#endif
