/* sixturn moment: the best substitution at this score, or to hold; or a card of rules of thumb. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>
#include <string.h>

enum { MOST_USED = 99 };

typedef struct {
    const char *score, *serving;
    int rotation, started, their_rotation; /* 1 to 6; 0: not given */
    int used;                              /* SX_NOT_SAID: not given */
    bool deciding, card;
    ArgList consider, made, back;
} MomentOptions;

static void help(const PlanOptions *options, const FixtureOptions *fixture, const Arg *table) {
    puts("usage: sixturn moment TEAM.json [options]\n\n"
         "The best substitution at this moment of the set, or to hold, and what it gains.\n"
         "An exchange is written OUT:IN, as 9:12 when 12 comes in for 9, who starts;\n"
         "9:12+4:3 makes two at once, the double substitution. Without --consider sixturn\n"
         "takes the most useful ones from the bench. Without --their-rotation each of\n"
         "their six counts alike.\n");
    args_help(table);
    args_help(fixture->table);
    plan_options_help(options);
}

static SxStatus read_serving(const char *word, int *serving) {
    if (!word) {
        return SX_OK;
    }
    if (strcmp(word, "us") != 0 && strcmp(word, "them") != 0) {
        fprintf(stderr, "sixturn: --serving takes 'us' or 'them', found '%s'\n", word);
        return SX_USAGE;
    }
    *serving = strcmp(word, "us") == 0 ? SX_SERVE : SX_RECEIVE;
    return SX_OK;
}

static SxExchangeNames names(const ArgList *list) {
    return (SxExchangeNames){list->item, list->count};
}

static SxStatus fill(const MomentOptions *own, SxMomentAsk *ask) {
    ask->card = own->card;
    ask->score = own->score;
    ask->deciding = own->deciding;
    ask->used = own->used;
    if (own->rotation > 0) {
        ask->rotation = own->rotation - 1;
    }
    if (own->started > 0) {
        ask->started = own->started - 1;
    }
    if (own->their_rotation > 0) {
        ask->their_rotation = own->their_rotation - 1;
    }
    ask->consider = names(&own->consider);
    ask->made = names(&own->made);
    ask->back = names(&own->back);
    return read_serving(own->serving, &ask->serving);
}

SxStatus cmd_moment(int argc, char **argv) {
    PlanOptions options;
    FixtureOptions fixture;
    MomentOptions own = {.used = SX_NOT_SAID};
    plan_options_init(&options, TAKES_NO_MODEL);
    fixture_options_init(&fixture);
    const Arg table[] = {
        {"--score", ARG_TEXT, &own.score, 0, 0, "OURS-THEIRS", "as 14-17; default: 0-0"},
        {"--rotation", ARG_INT, &own.rotation, 1, SX_ROTATIONS, "N", "ours now, 1 to 6"},
        {"--started", ARG_INT, &own.started, 1, SX_ROTATIONS, "N",
         "where we began this set; default: as planned"},
        {"--serving", ARG_TEXT, &own.serving, 0, 0, "us|them", "who serves the next rally"},
        {"--their-rotation", ARG_INT, &own.their_rotation, 1, SX_ROTATIONS, "N",
         "theirs now, 1 to 6, as in the opponent's file"},
        {"--used", ARG_INT, &own.used, 0, MOST_USED, "N",
         "substitutions so far in this set; default: those told"},
        {"--made", ARG_LIST, &own.made, 0, 0, "OUT:IN", "an exchange that stands now"},
        {"--back", ARG_LIST, &own.back, 0, 0, "OUT:IN", "one after which the players went back"},
        {"--consider", ARG_LIST, &own.consider, 0, 0, "OUT:IN",
         "one to think of; default: from the bench"},
        {"--deciding", ARG_FLAG, &own.deciding, 0, 0, NULL, "in the deciding set"},
        {"--card", ARG_FLAG, &own.card, 0, 0, NULL, "a few rules of thumb instead of one move"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, &fixture, table);
        return SX_OK;
    }
    enum { OWN = sizeof table / sizeof *table - 1 };
    Arg both[OWN + FIXTURE_ARGS];
    memcpy(both, table, OWN * sizeof *table);
    memcpy(both + OWN, fixture.table, sizeof fixture.table);
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, both, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    sx_ask_default(SX_ASK_MOMENT, &ask);
    if (!team_file || fill(&own, &ask.moment) != SX_OK) {
        return SX_USAGE;
    }
    plan_options_input(&options, team_file, &input);
    fixture_options_input(&fixture, &input);
    return question_run(&input, &ask, &(Output){.json = options.json});
}
