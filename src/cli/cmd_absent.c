/* sixturn absent: what the team loses without each player. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    bool each, pairs;
    int top;
} AbsentOptions;

enum { DEFAULT_TOP = 20, MOST_TOP = 10000 };

/* The players after the team file, "1," and "1,3" parted at the commas. True if there were any. */
static bool split_at_commas(const ArgList *words, char names[ARG_LIST_MAX][SX_ID_SIZE],
                            ArgList *players) {
    bool parted = false;
    for (int k = 1; k < words->count; k++) {
        const char *word = words->item[k];
        parted = parted || strchr(word, ',');
        for (word += strspn(word, ","); *word && players->count < ARG_LIST_MAX;
             word += strspn(word, ",")) {
            char *name = names[players->count];
            const size_t length = strcspn(word, ",");
            snprintf(name, SX_ID_SIZE, "%.*s", (int)length, word);
            players->item[players->count++] = name;
            word += length;
        }
    }
    return parted;
}

SxStatus cmd_absent(int argc, char **argv) {
    PlanOptions options;
    plan_options_init(&options, TAKES_NO_MODEL);
    AbsentOptions own = {.top = DEFAULT_TOP};
    const Arg table[] = {
        {"--each", ARG_FLAG, &own.each, 0, 0, NULL, "each of those named alone"},
        {"--pairs", ARG_FLAG, &own.pairs, 0, 0, NULL, "also every two of them together"},
        {"--top", ARG_INT, &own.top, 1, MOST_TOP, "K", "how many to print (20)"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn absent TEAM.json [PLAYER ...] [options]\n\n"
             "What the best lineup loses without each player, and who steps in. The first is\n"
             "the one the team can least do without. Players are named by shirt number or\n"
             "id: 'absent TEAM 1 3' is without both, 'absent TEAM 1, 3' each alone.\n");
        args_help(table);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, table, &words);
    if (status != SX_OK || !team_and_players(&words)) {
        return SX_USAGE;
    }
    plan_options_input(&options, words.item[0], &input);
    sx_ask_default(SX_ASK_ABSENT, &ask);
    char names[ARG_LIST_MAX][SX_ID_SIZE];
    ArgList players = {.count = 0};
    const bool parted = split_at_commas(&words, names, &players);
    ask.absent = (SxAbsentAsk){.players = players.item,
                               .count = players.count,
                               .together = !parted && !own.each && !own.pairs,
                               .pairs = own.pairs,
                               .most = own.top};
    return question_run(&input, &ask, &(Output){.json = options.json});
}
