/* Decimal points, whatever locale the caller has set. Internal.
 *
 * `SX_PLAIN_NUMBERS;` at the head of a block: until the block ends, this thread prints and reads
 * numbers as the C locale does. The caller's locale and other threads stay as they are. */
#ifndef SIXTURN_CORE_NUMBERS_H
#define SIXTURN_CORE_NUMBERS_H

#include <locale.h>

/* The C locale for this thread; returns the one before, for sx_numbers_restore. */
locale_t sx_numbers_plain(void);
void sx_numbers_restore(const locale_t *before);

#define SX_PLAIN_NUMBERS                                                                           \
    __attribute__((cleanup(sx_numbers_restore), unused)) locale_t sx_locale_before =               \
        sx_numbers_plain()

#endif
