/* Long commands: progress on a terminal, Ctrl-C and the time limit stop them with what is done. */
#define _POSIX_C_SOURCE 200809L
#include "cli/longrun.h"

#include <glpk.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static volatile sig_atomic_t stop;
static bool shown;

static void on_signal(int number) {
    stop = 1;
    signal(number, SIG_DFL);
}

/* At most a few lines a second, so that showing costs nothing. */
static void show(void *context, long done, long total) {
    (void)context;
    static double last;
    double now = sx_clock();
    if (now - last < 0.1) {
        return;
    }
    last = now;
    shown = true;
    if (total > 0) {
        fprintf(stderr, "\r%ld of %ld ", done, total);
    } else {
        fprintf(stderr, "\r%ld orders ", done);
    }
    fflush(stderr);
}

SxWork longrun_begin(void) {
    SxWork work = {.stop = &stop};
    struct sigaction action = {.sa_handler = on_signal};
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    if (isatty(STDERR_FILENO)) {
        work.progress = show;
    }
    return work;
}

SxWork longrun_timed(const PlanOptions *options) {
    SxWork work = longrun_begin();
    if (options->time_limit > 0) {
        work.deadline = sx_clock() + options->time_limit;
    }
    return work;
}

void longrun_end(void) {
    signal(SIGINT, SIG_DFL);
    if (shown) {
        fprintf(stderr, "\r%20s\r", "");
        shown = false;
    }
}

bool longrun_stopped(void) {
    return stop != 0;
}

SxStatus longrun_read(int argc, char **argv, const PlanOptions *options, const Arg *own,
                      ArgList *words) {
    SxStatus status = args_read(argc, argv, options->table, own, words);
    if (status == SX_OK && options->write_model) {
        fprintf(stderr,
                "sixturn: --write-model is for the command plan, which solves one program\n");
        return SX_USAGE;
    }
    return status;
}

SxStatus longrun_read_team(int argc, char **argv, const PlanOptions *options, const Arg *own,
                           ArgList *words) {
    SxStatus status = longrun_read(argc, argv, options, own, words);
    if (status == SX_OK && words->count == 0) {
        fputs("sixturn: a team file is needed (see --help)\n", stderr);
        return SX_USAGE;
    }
    return status;
}

SxStatus longrun_load_systems(const PlanOptions *options, const char *team_file, bool only_own,
                              Workbench *bench, SxSystemSet *systems, SxError *err) {
    memset(systems, 0, sizeof *systems);
    SxStatus status = workbench_load_team(options, team_file, bench, err);
    if (status != SX_OK) {
        return status;
    }
    const char *named = bench->plan.system;
    const char *own = named[0] ? named : only_own ? "" : plan_default_system;
    status = sx_systems_load(&bench->plan, own, only_own && named[0], NULL, systems, err);
    if (status == SX_OK) {
        bench->problem = sx_problem_under(&bench->problem, &systems->entry[systems->own]);
    }
    return status;
}

SxStatus longrun_print(char *text, SxError *err) {
    if (!text) {
        return sx_out_of_memory(err);
    }
    bool written = fputs(text, stdout) >= 0 && fflush(stdout) == 0;
    free(text);
    return written ? SX_OK : sx_fail(err, SX_NO_WRITE, "cannot write to standard output");
}

int longrun_player(const SxTeam *team, const char *who, SxError *err) {
    int player = sx_team_find(team, who);
    if (player < 0) {
        const char *near = sx_team_nearest(team, who);
        sx_fail(err, SX_USAGE, "the team has no player '%s'%s%s%s", who,
                near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
    }
    return player;
}

SxStatus longrun_over_systems(int argc, char **argv, const char *usage, SystemsWork *work) {
    PlanOptions options;
    plan_options_init(&options);
    if (args_ask_help(argc, argv)) {
        puts(usage);
        plan_options_help(&options);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = longrun_read(argc, argv, &options, NULL, &words);
    const char *team_file = status == SX_OK ? only_team_file(&words) : NULL;
    if (!team_file) {
        return SX_USAGE;
    }
    static Workbench bench;
    SxSystemSet systems;
    SxError err = {.status = SX_OK};
    status = work(&options, team_file, &bench, &systems, &err);
    sx_systems_free(&systems);
    glp_free_env();
    return status == SX_OK ? SX_OK : args_complain(&err);
}
