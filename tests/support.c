/* Running the program, reading files, setting up a problem. */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

const char *const all_systems[5] = {"5-1-outside", "5-1-middle", "6-2", "6-2-double", "4-2"};
const char *const all_rules[6] = {"fivb-2025", "fivb-2024", "fivb-2021",
                                  "usav",      "nfhs",      "ncaa-women"};

const Relation relations[RELATIONS] = {{'x', 4, 3}, {'x', 3, 2}, {'x', 5, 6}, {'x', 6, 1},
                                       {'y', 4, 5}, {'y', 3, 6}, {'y', 2, 1}};

int widest_line(const char *text, int *line) {
    int widest = 0;
    int width = 0;
    int at = 1;
    for (; *text; text++) {
        if (*text == '\n') {
            width = 0;
            at++;
        } else if (((unsigned char)*text & 0xC0) != 0x80 && ++width > widest) {
            widest = width;
            *line = at;
        }
    }
    return widest;
}

void columns_within_80(const char *text) {
    int line = 0;
    int widest = widest_line(text, &line);
    cr_assert_leq(widest, 80, "line %d has %d columns of:\n%s", line, widest, text);
}

double json_number(const cJSON *item, const char *key) {
    const cJSON *value = cJSON_GetObjectItemCaseSensitive(item, key);
    cr_assert(cJSON_IsNumber(value), "%s is no number", key);
    return value->valuedouble;
}

char *slurp(const char *file) {
    FILE *in = fopen(file, "rb");
    cr_assert_not_null(in, "cannot read %s", file);
    size_t used = 0;
    size_t room = 4096;
    char *text = malloc(room);
    for (size_t got; (got = fread(text + used, 1, room - used - 1, in)) > 0;) {
        used += got;
        if (used + 1 == room) {
            room *= 2;
            text = realloc(text, room);
        }
    }
    fclose(in);
    text[used] = '\0';
    return text;
}

Run run_shell(const char *command) {
    char file[2][32] = {"/tmp/sixturn-test-XXXXXX", "/tmp/sixturn-test-XXXXXX"};
    for (int k = 0; k < 2; k++) {
        int made = mkstemp(file[k]);
        cr_assert(made >= 0, "no temporary file");
        close(made);
    }
    size_t size = strlen(command) + 128;
    char *line = malloc(size);
    snprintf(line, size, "( %s ) >%s 2>%s", command, file[0], file[1]);
    int status = system(line);
    free(line);
    Run run = {WIFEXITED(status) ? WEXITSTATUS(status) : -1, slurp(file[0]), slurp(file[1])};
    remove(file[0]);
    remove(file[1]);
    return run;
}

Run run_sixturn(const char *words) {
    const char *program = getenv("SIXTURN");
    cr_assert_not_null(program, "the environment variable SIXTURN names no program");
    size_t size = strlen(program) + strlen(words) + 8;
    char *line = malloc(size);
    snprintf(line, size, "'%s' %s", program, words);
    Run run = run_shell(line);
    free(line);
    return run;
}

void run_free(Run *run) {
    free(run->out);
    free(run->err);
    run->out = run->err = NULL;
}

void desk_set(Desk *desk, const char *system, const char *rules, unsigned sizes) {
    static struct {
        char system[SX_ID_SIZE];
        unsigned sizes;
        SxFormationTable *table;
    } kept[32];
    static int kept_count;
    SxError err = {.status = SX_OK};
    char text[sizeof err + 64];
    cr_assert_eq(sx_rules_load(rules, &desk->rules, &err), SX_OK, "%s",
                 sx_error_text(&err, text, sizeof text));
    cr_assert_eq(sx_system_load(system, &desk->system, &err), SX_OK, "%s",
                 sx_error_text(&err, text, sizeof text));
    sx_plan_default(&desk->plan);
    desk->plan.passers = sizes;
    desk->table = NULL;
    for (int k = 0; k < kept_count; k++) {
        if (strcmp(kept[k].system, system) == 0 && kept[k].sizes == sizes) {
            desk->table = kept[k].table;
        }
    }
    if (!desk->table) {
        cr_assert_eq(
            sx_formation_table_build(&desk->system, sizes, false, NULL, &desk->table, &err), SX_OK,
            "%s", sx_error_text(&err, text, sizeof text));
        cr_assert(kept_count < 32);
        snprintf(kept[kept_count].system, sizeof kept[0].system, "%s", system);
        kept[kept_count].sizes = sizes;
        kept[kept_count++].table = desk->table;
    }
    desk->problem =
        (SxProblem){&desk->team, &desk->rules, &desk->system, &desk->plan, desk->table, NULL, NULL};
}

void desk_read(Desk *desk, const char *team_file, const char *system, const char *rules) {
    SxError err = {.status = SX_OK};
    char text[sizeof err + 64];
    cr_assert_eq(sx_team_read(team_file, &desk->team, &err), SX_OK, "%s",
                 sx_error_text(&err, text, sizeof text));
    desk_set(desk, system, rules, 1u << 3);
}

void evening_read(Evening *evening, const char *team_file, const char *system, const char *rules) {
    SxError err = {.status = SX_OK};
    desk_read(&evening->desk, team_file, system, rules);
    cr_assert_eq(sx_rally_load(NULL, &evening->model, &err), SX_OK, "%s", err.message);
    sx_even_opponent(&evening->desk.team, &evening->model, &evening->opponent);
    evening->fixture = (SxFixture){&evening->model, &evening->opponent, NULL};
}

void evening_solve(Evening *evening) {
    SxError err = {.status = SX_OK};
    cr_assert_eq(sx_lineup_solve(&evening->desk.problem, NULL, &evening->lineup, &err), SX_OK, "%s",
                 err.message);
}
