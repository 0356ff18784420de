// The public headers from C++, against the shared library as another project would link it.
#include "sixturn/sixturn.h"

#include <cstdio>
#include <cstring>

static int failures = 0;

static void expect(bool holds, const char *what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        failures++;
    }
}

int main() {
    expect(std::strcmp(sx_version(), EXPECTED_VERSION) == 0, "the version is the project's");
    // Data objects come through as well: FIVB 7.4.3 names seven order relations.
    expect(sx_order_pairs[0].low >= 1 && sx_order_pairs[SX_ORDER_PAIRS - 1].high <= SX_POSITIONS,
           "order relations are between positions 1 to 6");

    static SxTeam team;
    SxError err = {};
    expect(sx_team_read("datasets/junior-12.json", &team, &err) == SX_OK, "the demo team is read");
    expect(team.player_count == 12, "it has 12 players");

    SxTeam none;
    expect(sx_team_parse("{", 1, "short.json", &none, &err) == SX_BAD_INPUT,
           "half a file is refused");
    expect(std::strcmp(err.file, "short.json") == 0, "the error names the file");
    return failures == 0 ? 0 : 1;
}
