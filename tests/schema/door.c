/* The door as a program, for tests: a request on standard input, its answer on standard output. */
#include "sixturn/door.h"

#include <stdio.h>
#include <stdlib.h>

int main(void) {
    enum { ROOM = 1 << 24 };
    char *request = malloc(ROOM);
    if (!request) {
        return EXIT_FAILURE;
    }
    const size_t length = fread(request, 1, ROOM, stdin);
    char *answer = sx_door(request, length, NULL);
    puts(answer ? answer : "no memory");
    free(answer);
    free(request);
    return EXIT_SUCCESS;
}
