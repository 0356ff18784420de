/* The solved lineup with everything that a drawing of it needs. */
#include "cli/drawing.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static double rate(const SxOutlook *outlook, int rotation, SxPhase phase) {
    double rallies = outlook->rallies_in[rotation][phase];
    return rallies > 0 ? outlook->points_in[rotation][phase] / rallies : NAN;
}

static void take_odds(const SxOutlook *outlook, SxSheetOdds *odds) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        odds->side_out[r] = rate(outlook, r, SX_RECEIVE);
        odds->break_point[r] = rate(outlook, r, SX_SERVE);
        odds->set_receiving[r] = outlook->set.mean[SX_RECEIVE][r];
        odds->set_serving[r] = outlook->set.mean[SX_SERVE][r];
    }
    odds->against = "an even opponent";
}

SxStatus drawing_make(const PlanOptions *options, const char *team_file, Drawing *drawing,
                      SxError *err) {
    SxStatus status = workbench_load(options, team_file, &drawing->bench, err);
    if (status == SX_OK) {
        status = workbench_solve(&drawing->bench, &drawing->forecast, err);
    }
    if (status == SX_OK) {
        status = sx_serve_formations(&drawing->bench.problem, NULL, &drawing->serve, err);
    }
    if (status == SX_OK) {
        take_odds(&drawing->forecast.outlook, &drawing->odds);
        sx_sheet_default(&drawing->sheet, &drawing->bench.problem, &drawing->forecast.lineup);
        drawing->sheet.serve = drawing->serve.at;
        drawing->sheet.odds = &drawing->odds;
    }
    return status;
}

void drawing_free(Drawing *drawing) {
    workbench_free(&drawing->bench);
}

SxStatus drawing_show(const char *word, SxShow *show) {
    static const char *const words[] = {"receive", "serve", "both"};
    *show = SX_SHOW_BOTH;
    for (int k = 0; word && k < 3; k++) {
        if (strcmp(word, words[k]) == 0) {
            *show = (SxShow)k;
            return SX_OK;
        }
    }
    if (word) {
        fprintf(stderr, "sixturn: --phase takes receive, serve or both, found '%s'\n", word);
        return SX_USAGE;
    }
    return SX_OK;
}

SxStatus drawing_check(const PlanOptions *options, const char *file) {
    if (options->json || options->write_model) {
        fprintf(stderr, "sixturn: %s is for the command plan\n",
                options->json ? "--json" : "--write-model");
        return SX_USAGE;
    }
    if (!file || !file[0]) {
        fputs("sixturn: say with -o FILE where to write (see --help)\n", stderr);
        return SX_USAGE;
    }
    return SX_OK;
}
