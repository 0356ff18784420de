/* The least program that links the installed library. */
#include <sixturn/sixturn.h>
#include <stdio.h>

int main(void) {
    puts(sx_version());
    return sx_position(0, 0) == 1 ? 0 : 1; /* slot 0 serves in rotation 1 */
}
