/* sixturn fit: rates by rotation from the coach's own rally log. */
#include "cli/commands.h"
#include "cli/fixture.h"
#include "cli/options.h"
#include "core/write.h"
#include "sixturn/oddsreport.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS = 2 };

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn fit TEAM.json LOG.csv [options]\n\n"
         "Our side-out and break points by rotation, from a log of rallies with the\n"
         "columns set, rotation, we (serve or receive), result (won or lost) and, if you\n"
         "like, their_rotation; and how well the ratings explain them.\n");
    args_help(own);
    plan_options_help(options);
}

/* The rates that the ratings give our lineup against an even opponent. */
static SxStatus predict(const Workbench *bench, const FixtureDesk *desk, SxFitReport *report,
                        SxError *err) {
    static SxForecast forecast;
    SxOpponent opponent;
    const SxFixture even = {&desk->model, &opponent, NULL};
    SxRates rates;
    sx_even_opponent(&bench->team, &desk->model, &opponent);
    SxStatus status = sx_forecast(&bench->problem, &bench->solve, &even, &forecast, err);
    if (status != SX_OK) {
        return status;
    }
    sx_lineup_rates(&forecast.lineup, &even, &rates);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        report->predicted[SX_RECEIVE][r] = rates.receive[r][0];
        report->predicted[SX_SERVE][r] = rates.serve[r][0];
    }
    return SX_OK;
}

static SxStatus fit(const FixtureDesk *desk, SxFitReport *report, SxError *err) {
    const double side_out = desk->model.levels[desk->model.level].side_out;
    const double expected[SX_PHASES] = {[SX_RECEIVE] = side_out, [SX_SERVE] = 1 - side_out};
    SxStatus status = sx_fit(report->log, expected, &report->fit, err);
    sx_fit_check(report->log, report->predicted, &report->check);
    return status;
}

static SxStatus write_rates(const char *file, const SxFitReport *report, SxError *err) {
    char *text = sx_rates_json(report->team, report->log, &report->fit);
    if (!text) {
        return sx_out_of_memory(err);
    }
    SxStatus status = sx_write_file(file, text, strlen(text), err);
    free(text);
    return status;
}

static SxStatus print(const SxFitReport *report, bool json, SxError *err) {
    char *text = json ? sx_fit_json(report) : sx_fit_text(report);
    if (!text) {
        return sx_out_of_memory(err);
    }
    const bool written =
        fputs(text, stdout) >= 0 && (!json || putchar('\n') != EOF) && fflush(stdout) == 0;
    free(text);
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

SxStatus cmd_fit(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture_options;
    const char *rates_file = NULL;
    plan_options_init(&options);
    fixture_options_init(&fixture_options);
    const Arg own[] = {
        {"--write-rates", ARG_TEXT, &rates_file, 0, 0, "FILE",
         "write the rates, for sixturn odds --rates FILE"},
        {"--level", ARG_TEXT, &fixture_options.level, 0, 0, "ID",
         "level of play of the rally model; default: the team's"},
        {"--rally-model", ARG_TEXT, &fixture_options.model, 0, 0, "FILE",
         "constants of the rally model; default: built in"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, own);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, options.table, own, &words);
    if (status != SX_OK) {
        return status;
    }
    if (words.count != WORDS) {
        fprintf(stderr, "sixturn: a team file and a rally log are needed, found %d (see --help)\n",
                words.count);
        return SX_USAGE;
    }
    static Workbench bench;
    static FixtureDesk desk;
    static SxRallyLog log;
    SxFitReport report = {.log = &log};
    SxError err = {.status = SX_OK};
    status = workbench_load(&options, words.item[0], &bench, &err);
    report.team = bench.team.name;
    if (status == SX_OK) {
        status = sx_rally_log_read(words.item[1], &log, &err);
    }
    if (status == SX_OK) {
        memset(&err, 0, sizeof err);
        status = fixture_load(&fixture_options, &bench.team, &desk, &err);
    }
    if (status == SX_OK) {
        status = predict(&bench, &desk, &report, &err);
    }
    if (status == SX_OK) {
        status = fit(&desk, &report, &err);
    }
    if (status == SX_OK && rates_file) {
        status = write_rates(rates_file, &report, &err);
    }
    if (status == SX_OK) {
        status = print(&report, options.json, &err);
    }
    workbench_free(&bench);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
