/* The options about the opponent and the rally model that odds and fit share. */
#include "cli/fixture.h"

#include <string.h>

void fixture_options_init(FixtureOptions *options) {
    memset(options, 0, sizeof *options);
    const Arg table[FIXTURE_ARGS] = {
        {"--opponent", ARG_TEXT, &options->opponent, 0, 0, "FILE",
         "their ratings by rotation; default: as good as we"},
        {"--rates", ARG_TEXT, &options->rates, 0, 0, "FILE",
         "our measured rates, as sixturn fit writes them"},
        {"--level", ARG_TEXT, &options->level, 0, 0, "ID",
         "level of play of the rally model; default: the team's"},
        {"--rally-model", ARG_TEXT, &options->model, 0, 0, "FILE",
         "constants of the rally model; default: built in"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    memcpy(options->table, table, sizeof table);
}

void fixture_options_input(const FixtureOptions *options, SxSessionInput *input) {
    input->opponent.name = options->opponent;
    input->rates.name = options->rates;
    input->level = options->level;
    input->rally_model.name = options->model;
}

SxStatus fixture_load(const FixtureOptions *options, const SxTeam *team, FixtureDesk *desk,
                      SxError *err) {
    memset(desk, 0, sizeof *desk);
    SxStatus status = sx_rally_load(options->model, &desk->model, err);
    if (status == SX_OK) {
        memset(err, 0, sizeof *err);
        status =
            sx_rally_set_level(&desk->model, options->level ? options->level : team->level, err);
    }
    if (status == SX_OK && options->opponent) {
        status = sx_opponent_read(options->opponent, &desk->opponent, err);
    } else if (status == SX_OK) {
        sx_even_opponent(team, &desk->model, &desk->opponent);
    }
    if (status == SX_OK && options->rates) {
        status = sx_rates_read(options->rates, &desk->measured, err);
    }
    desk->fixture =
        (SxFixture){&desk->model, &desk->opponent, options->rates ? &desk->measured : NULL};
    return status;
}
