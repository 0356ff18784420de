/* sixturn odds: where to start, serve or receive, and will the substitutions last. */
#include "cli/commands.h"
#include "cli/fixture.h"
#include "cli/options.h"
#include "sixturn/oddsreport.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>

static void help(const PlanOptions *options, const FixtureOptions *fixture) {
    puts("usage: sixturn odds TEAM.json [options]\n\n"
         "The odds of a set for each rotation to start in, serving or receiving first, and\n"
         "what follows: the match, how often each rotation is played, the substitutions.\n");
    args_help(fixture->table);
    plan_options_help(options);
}

static SxStatus print(const Workbench *bench, const SxFixture *fixture, const SxForecast *forecast,
                      const SxStuck *stuck, bool json, SxError *err) {
    char *text = json ? sx_odds_json(&bench->problem, fixture, forecast, stuck)
                      : sx_odds_text(&bench->problem, fixture, forecast, stuck);
    if (!text) {
        return sx_out_of_memory(err);
    }
    const bool written =
        fputs(text, stdout) >= 0 && (!json || putchar('\n') != EOF) && fflush(stdout) == 0;
    free(text);
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

SxStatus cmd_odds(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture_options;
    plan_options_init(&options);
    fixture_options_init(&fixture_options);
    if (args_ask_help(argc, argv)) {
        help(&options, &fixture_options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, options.table, fixture_options.table, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    static Workbench bench;
    static FixtureDesk desk;
    static SxForecast forecast;
    static SxStuck stuck[SX_PHASES];
    SxError err = {.status = SX_OK};
    status = workbench_load(&options, team_file, &bench, &err);
    if (status == SX_OK) {
        status = fixture_load(&fixture_options, &bench.team, &desk, &err);
    }
    if (status == SX_OK) {
        status = sx_forecast(&bench.problem, &bench.solve, &desk.fixture, &forecast, &err);
    }
    if (status == SX_OK) {
        status = sx_outlook_with_limit(&bench.problem, &desk.fixture, &forecast.lineup,
                                       &forecast.outlook, stuck, &err);
    }
    if (status == SX_OK) {
        status = print(&bench, &desk.fixture, &forecast, stuck, options.json, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
