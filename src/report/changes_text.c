/* A planned substitution as a coach calls it. */
#include "sixturn/sentences.h"

#include <stdio.h>

char *sx_ordinal(int number, char *text, size_t size) {
    static const char *const words[] = {"zeroth", "first",    "second",  "third",  "fourth",
                                        "fifth",  "sixth",    "seventh", "eighth", "ninth",
                                        "tenth",  "eleventh", "twelfth"};
    enum { WORDS = sizeof words / sizeof *words, TENS = 10, TEEN = 1 };
    static const char *const endings[] = {"th", "st", "nd", "rd"};
    if (number >= 0 && number < WORDS) {
        snprintf(text, size, "%s", words[number]);
        return text;
    }
    const int last = number % TENS;
    const bool plain =
        number / TENS % TENS != TEEN && last >= 0 && last < (int)(sizeof endings / sizeof *endings);
    snprintf(text, size, "%d%s", number, endings[plain ? last : 0]);
    return text;
}

char *sx_change_text(const SxChange *change, const SxTeam *team, char *text, size_t size) {
    char times[SX_ORDINAL_SIZE];
    snprintf(text, size, "Into rotation %d, %s time round: #%d for #%d (%s)", change->rotation + 1,
             sx_ordinal(change->cycle + 1, times, sizeof times), team->players[change->in].number,
             team->players[change->out].number,
             sx_position_name(sx_position(change->slot, change->rotation)));
    return text;
}
