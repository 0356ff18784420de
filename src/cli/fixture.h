/* The options about the opponent and the rally model that odds and fit share. */
#ifndef SIXTURN_CLI_FIXTURE_H
#define SIXTURN_CLI_FIXTURE_H

#include "cli/args.h"
#include "sixturn/forecast.h"
#include "sixturn/session.h"

enum { FIXTURE_ARGS = 5 };

typedef struct {
    const char *opponent, *rates, *level, *model;
    Arg table[FIXTURE_ARGS];
} FixtureOptions;

void fixture_options_init(FixtureOptions *options);
void fixture_options_input(const FixtureOptions *options, SxSessionInput *input);

/* What the options name; fixture points into the rest. Plain values, nothing to free. */
typedef struct {
    SxRallyModel model;
    SxOpponent opponent;
    SxOwnRates measured;
    SxFixture fixture;
} FixtureDesk;

/* The team gives the level of play, unless an option does, and the even opponent. */
SxStatus fixture_load(const FixtureOptions *options, const SxTeam *team, FixtureDesk *desk,
                      SxError *err);

#endif
