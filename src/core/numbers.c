/* Decimal points, whatever locale the caller has set. */
#define _GNU_SOURCE /* uselocale */
#include "core/numbers.h"

locale_t sx_numbers_plain(void) {
    /* The C locale is built in: glibc and musl hand out the same one each time, without memory. */
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    return plain ? uselocale(plain) : (locale_t)0;
}

void sx_numbers_restore(const locale_t *before) {
    if (*before) {
        uselocale(*before);
    }
}
