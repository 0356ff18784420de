/* A hash of bytes, for tables. Internal. */
#ifndef SIXTURN_CORE_HASH_H
#define SIXTURN_CORE_HASH_H

#include <stddef.h>
#include <stdint.h>

/* FNV-1a, 32 bits. */
static inline uint32_t sx_hash(const void *data, size_t size) {
    const unsigned char *byte = data;
    uint32_t sum = 2166136261u;
    for (size_t k = 0; k < size; k++) {
        sum = (sum ^ byte[k]) * 16777619u;
    }
    return sum;
}

#endif
