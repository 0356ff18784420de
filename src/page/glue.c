/* The engine's one call inside the page's worker, with progress told to the script. */
#include "sixturn/door.h"

#include <emscripten.h>

/* JavaScript. */
/* clang-format off */
EM_JS(void, tell_progress, (int done, int total), {
    if (typeof self !== 'undefined' && self.sixturnProgress) {
        self.sixturnProgress(done, total);
    }
});
/* clang-format on */

static void progress(void *context, long done, long total) {
    (void)context;
    tell_progress((int)done, (int)total);
}

EMSCRIPTEN_KEEPALIVE char *sx_door_ask(const char *request, int length) {
    const SxWork work = {.threads = 1, .progress = progress};
    return sx_door(request, (size_t)length, &work);
}
