/* sixturn receive: what else to do in a rotation when they serve, and to keep one of those. */
#include "cli/commands.h"
#include "cli/options.h"

#include <stdio.h>

enum { DEFAULT_TOP = 5 };

static void help(const PlanOptions *options, const Arg *own) {
    puts("usage: sixturn receive TEAM.json [--rotation N] [options]\n\n"
         "What else could we do in this rotation when they serve? Other legal formations\n"
         "for the best lineup, the best first: who passes, where the setter waits, who\n"
         "attacks from where, what each costs in sets of 100 and in metres to move, and\n"
         "what it asks of whom. Order, libero and the other rotations stay as planned.\n\n"
         "--keep writes one of them into the plan file, whose other lines stay.\n");
    args_help(own);
    plan_options_help(options);
}

/* Where the plan with the choice goes: NULL and a complaint if nobody says. */
static const char *plan_file(const PlanOptions *options, const char *file, int keep) {
    if (!keep && file) {
        fputs("sixturn: -o goes with --keep, which says what to write\n", stderr);
        return NULL;
    }
    if (keep && !file && !options->plan) {
        fputs("sixturn: --keep needs a plan: --plan FILE.json, or -o FILE.json for a new one\n",
              stderr);
        return NULL;
    }
    return file ? file : options->plan;
}

SxStatus cmd_receive(int argc, char **argv) {
    PlanOptions options;
    int rotation = 0, top = DEFAULT_TOP, keep = 0;
    const char *file = NULL;
    plan_options_init(&options, TAKES_NO_MODEL);
    const Arg own[] = {
        {"--rotation", ARG_INT, &rotation, 1, SX_ROTATIONS, "N",
         "rotation 1 to 6; the weak one if not given"},
        {"--top", ARG_INT, &top, 1, SX_MAX_ALTERNATIVES, "K", "how many others (5)"},
        {"--keep", ARG_INT, &keep, 1, SX_MAX_ALTERNATIVES, "K", "write choice K into the plan"},
        {"-o", ARG_TEXT, &file, 0, 0, "FILE.json",
         "write that plan here, and leave --plan as it is"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        help(&options, own);
        return SX_OK;
    }
    ArgList words;
    SxAsk ask;
    SxSessionInput input;
    SxStatus status = plan_options_read(argc, argv, &options, own, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file || ((keep || file) && !plan_file(&options, file, keep))) {
        return SX_USAGE;
    }
    sx_ask_default(SX_ASK_RECEIVE, &ask);
    ask.receive.rotation = rotation ? rotation - 1 : ask.receive.rotation;
    ask.receive.top = top;
    ask.receive.keep = keep;
    plan_options_input(&options, team_file, &input);
    const char *target = keep ? plan_file(&options, file, keep) : NULL;
    status = question_run(&input, &ask, &(Output){.json = options.json, .file = target});
    if (status == SX_OK && target && !options.json) {
        printf("Written: %s\n", target);
    }
    return status;
}
