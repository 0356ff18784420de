/* Preloaded into the program by test_locale: it then runs as inside a caller who has set a locale
 * with decimal commas. Ends the program if there is no such locale. */
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

__attribute__((constructor)) static void set_commas(void) {
    const char *set = setlocale(LC_ALL, "de_DE.UTF-8");
    if (!set || localeconv()->decimal_point[0] != ',') {
        fputs("the locale de_DE.UTF-8 is missing\n", stderr);
        exit(99);
    }
}
