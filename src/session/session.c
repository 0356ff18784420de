/* What a session owns, from its input: team, plan, rules, system, fixture. */
#include "session/session.h"
#include "core/text.h"
#include "sixturn/kept.h"

#include <glpk.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- sources ------------------------------------------------------------------------------------
 */

static bool given(const SxSource *source) {
    return source->text || source->name;
}

/* A reader leaves its file's name in err when all went well. */
static SxStatus tidy(SxStatus status, SxError *err) {
    if (status == SX_OK) {
        *err = (SxError){.status = SX_OK};
    }
    return status;
}

/* A name that the caller chose and that names nothing is bad usage, not bad input. */
static SxStatus blame_caller(SxStatus status, SxError *err) {
    if (status == SX_BAD_INPUT && !err->file[0]) {
        err->status = status = SX_USAGE;
    }
    return status;
}

/* --- the parts ----------------------------------------------------------------------------------
 */

static SxStatus read_team(const SxSessionInput *input, SxSession *session, SxError *err) {
    const SxSource *source = &input->team;
    if (source->text) {
        return sx_team_parse(source->text, source->length, source->name, &session->team, err);
    }
    return source->name ? sx_team_read(source->name, &session->team, err) : SX_OK;
}

static SxStatus read_plan(const SxSessionInput *input, SxSession *session, SxError *err) {
    const SxSource *source = &input->plan;
    SxPlan *plan = &session->bench.plan;
    sx_plan_default(plan);
    if (!given(source)) {
        return SX_OK;
    }
    snprintf(session->plan_name, sizeof session->plan_name, "%s", source->name ? source->name : "");
    session->plan_length = source->length;
    SxStatus status = SX_OK;
    if (source->text) {
        session->plan_text = malloc(source->length + 1);
        status = session->plan_text ? SX_OK : sx_out_of_memory(err);
    } else {
        status = sx_text_read_file(source->name, &session->plan_text, &session->plan_length, err);
    }
    if (status == SX_OK && source->text) {
        memcpy(session->plan_text, source->text, source->length);
        session->plan_text[source->length] = '\0';
    }
    return status == SX_OK ? sx_plan_parse(session->plan_text, session->plan_length,
                                           session->plan_name, &session->team, plan, err)
                           : status;
}

static SxStatus leave_out(const SxSessionInput *input, SxSession *session, SxError *err) {
    for (int k = 0; k < input->out_count; k++) {
        const char *who = input->out[k];
        const int player = sx_team_find(&session->team, who);
        if (player < 0) {
            const char *near = sx_team_nearest(&session->team, who);
            return sx_fail(err, SX_USAGE, "--out: the team has no player '%s'%s%s%s", who,
                           near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
        }
        char origin[SX_WISH_ORIGIN];
        snprintf(origin, sizeof origin, "--out %.40s", who);
        SxStatus status =
            sx_plan_wish(&session->bench.plan, SX_MUST_SIT, player, -1, 0, origin, err);
        if (status != SX_OK) {
            return status;
        }
        session->bench.out_count++;
    }
    return SX_OK;
}

static SxStatus apply(const SxSessionInput *input, SxSession *session, SxError *err) {
    SxPlan *plan = &session->bench.plan;
    if (input->passers && (input->passers < SX_MIN_PASSERS || input->passers > SX_MAX_PASSERS)) {
        return sx_fail(err, SX_USAGE, "passers are %d to %d, not %d", SX_MIN_PASSERS,
                       SX_MAX_PASSERS, input->passers);
    }
    if (input->start >= SX_ROTATIONS || input->balance > 1) {
        return sx_fail(err, SX_USAGE, "there are rotations 0 to 5, and a balance from 0 to 1");
    }
    if (input->passers) {
        plan->passers = 1u << input->passers;
    }
    if (input->balance >= 0) {
        plan->balance = input->balance;
        plan->balance_given = true;
    }
    if (input->start >= 0) {
        plan->start = input->start;
    }
    if (!input->system.text && input->system.name) {
        snprintf(plan->system, sizeof plan->system, "%s", input->system.name);
    }
    return leave_out(input, session, err);
}

static SxStatus read_rules(const SxSessionInput *input, SxSession *session, SxError *err) {
    const char *fallback = session->bench.plan.rules[0] ? session->bench.plan.rules
                           : session->team.rules[0]     ? session->team.rules
                                                        : SX_DEFAULT_RULES;
    const SxSource *source = &input->rules;
    SxRules *rules = &session->bench.rules;
    session->rules_given = given(source);
    return source->text   ? sx_rules_parse(source->text, source->length, source->name, rules, err)
           : source->name ? blame_caller(sx_rules_load(source->name, rules, err), err)
                          : sx_rules_load(fallback, rules, err);
}

/* A system given as text is read now; one that is named waits until somebody needs it. */
static SxStatus read_system(const SxSessionInput *input, SxSession *session, SxError *err) {
    const SxSource *source = &input->system;
    session->system_named = !source->text && source->name;
    if (!source->text) {
        return SX_OK;
    }
    session->system_by_text = true;
    return sx_system_parse(source->text, source->length, source->name, &session->bench.system, err);
}

/* After the plan, which they go with. */
static SxStatus read_terms(const SxSessionInput *input, SxSession *session, SxError *err) {
    const SxSource *source = &input->formation_terms;
    if (!given(source)) {
        return SX_OK;
    }
    session->bench.plan.terms = &session->terms;
    return source->text ? sx_formation_terms_parse(source->text, source->length, source->name,
                                                   &session->terms, err)
                        : sx_formation_terms_load(source->name, &session->terms, err);
}

static SxStatus read_fixture(const SxSessionInput *input, SxSession *session, SxError *err) {
    const SxSource *model = &input->rally_model, *opponent = &input->opponent;
    const SxSource *rates = &input->rates;
    SxStatus status =
        model->text ? sx_rally_parse(model->text, model->length, model->name, &session->model, err)
                    : sx_rally_load(model->name, &session->model, err);
    if (tidy(status, err) == SX_OK) {
        status = sx_rally_set_level(&session->model,
                                    input->level ? input->level : session->team.level, err);
    }
    if (status == SX_OK) {
        sx_even_opponent(&session->team, &session->model, &session->opponent);
        sx_rally_scoring(&session->model, &session->scoring);
    }
    if (tidy(status, err) == SX_OK && given(opponent)) {
        status = opponent->text ? sx_opponent_parse(opponent->text, opponent->length,
                                                    opponent->name, &session->opponent, err)
                                : sx_opponent_read(opponent->name, &session->opponent, err);
    }
    if (tidy(status, err) == SX_OK && given(rates)) {
        status = rates->text ? sx_rates_parse(rates->text, rates->length, rates->name,
                                              &session->measured, err)
                             : sx_rates_read(rates->name, &session->measured, err);
    }
    const bool day = sx_day_given(&input->day);
    if (status == SX_OK && day) {
        status = given(rates) ? sx_fail(err, SX_USAGE,
                                        "measured rates and a log of the day both say how often "
                                        "we win: give one of the two")
                              : sx_session_take_day(&input->day, session, err);
    }
    session->fixture = (SxFixture){&session->model, &session->opponent,
                                   given(rates) || day ? &session->measured : NULL};
    session->against = (SxFixture){&session->model, &session->opponent, NULL};
    session->goal = input->goal;
    return status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

void sx_session_input_default(SxSessionInput *input) {
    *input = (SxSessionInput){.start = -1, .balance = -1};
}

/* The one place that makes a problem of what the session owns. */
static SxProblem problem_of(const SxSession *session, const Bench *bench) {
    return (SxProblem){.team = &session->team,
                       .rules = &bench->rules,
                       .system = &bench->system,
                       .plan = &bench->plan,
                       .table = bench->table,
                       .scoring = &session->scoring,
                       .against = session->goal == SX_GOAL_SETS ? &session->against : NULL};
}

static SxStatus fill(const SxSessionInput *input, SxSession *session, SxError *err) {
    typedef SxStatus Step(const SxSessionInput *input, SxSession *session, SxError *err);
    static Step *const steps[] = {read_team,  read_plan,   read_terms,  apply,
                                  read_rules, read_system, read_fixture};
    SxStatus status = SX_OK;
    for (size_t k = 0; k < sizeof steps / sizeof steps[0] && status == SX_OK; k++) {
        status = tidy(steps[k](input, session, err), err);
    }
    Bench *bench = &session->bench;
    bench->problem = problem_of(session, bench);
    sx_session_weigh(session, &bench->plan);
    return status;
}

/* How the lineup plays on that is the best when the time is up takes up to about a second and no
 * deadline, for cut short it would tell two figures for one lineup. So a search ends before. */
static double time_to_search(double limit) {
    static const double afterwards = 1, most_of_limit = 0.2;
    return limit - fmin(afterwards, most_of_limit * limit);
}

SxStatus sx_session_new(const SxSessionInput *input, SxSession **session, SxError *err) {
    SxError spare = {.status = SX_OK};
    err = err ? err : &spare;
    *session = NULL;
    SxSession *fresh = calloc(1, sizeof *fresh);
    if (!fresh) {
        return sx_out_of_memory(err);
    }
    fresh->work = input->work;
    if (input->time_limit > 0) {
        fresh->work.deadline = sx_clock() + time_to_search(input->time_limit);
    }
    if (input->write_model) {
        snprintf(fresh->model_file, sizeof fresh->model_file, "%s", input->write_model);
        fresh->write_model = fresh->model_file;
    }
    SxStatus status = fill(input, fresh, err);
    if (status != SX_OK) {
        sx_session_free(fresh);
        return status;
    }
    *session = fresh;
    return SX_OK;
}

void sx_session_free(SxSession *session) {
    if (!session) {
        return;
    }
    sx_formation_table_free(session->bench.table);
    for (int k = 0; k < 2; k++) {
        if (session->systems_ready[k]) {
            sx_systems_free(&session->systems[k]);
        }
    }
    free(session->plan_text);
    free(session);
    glp_free_env();
}

bool sx_session_warning(const SxSession *session, int k, char *text, size_t size) {
    int others = 0;
    if (sx_team_warning(&session->team, k, text, size)) {
        return true;
    }
    while (sx_team_warning(&session->team, others, text, size)) {
        others++;
    }
    return k == others && sx_day_warning(&session->day, text, size);
}

void sx_session_weigh(const SxSession *session, SxPlan *plan) {
    double natural[SX_PARTS];
    sx_natural_weights(&session->model, &session->opponent, natural);
    for (int k = 0; k < SX_PARTS; k++) {
        plan->weight[k] = plan->weight_given >> k & 1 ? plan->weight[k] : natural[k];
    }
    plan->balance = plan->balance_given ? plan->balance : 0;
}

SxStatus sx_session_furnish(SxSession *session, Bench *bench, SxError *err) {
    bench->plan.terms = session->bench.plan.terms;
    SxStatus status = SX_OK;
    if (!bench->system.id[0]) {
        const char *name = bench->plan.system[0]           ? bench->plan.system
                           : session->bench.plan.system[0] ? session->bench.plan.system
                                                           : SX_DEFAULT_SYSTEM;
        status = tidy(sx_system_load(name, &bench->system, err), err);
    }
    if (status == SX_OK) {
        status = sx_plan_formation_table(&bench->plan, &bench->system, &session->work,
                                         &bench->table, err);
    }
    if (status == SX_OK) {
        status = sx_kept_apply(&bench->plan, &bench->rules, &bench->system, bench->table, err);
    }
    bench->problem = problem_of(session, bench);
    sx_session_weigh(session, &bench->plan);
    return status;
}

SxStatus sx_session_need_system(SxSession *session, SxError *err) {
    if (session->bench.problem.table) {
        return SX_OK;
    }
    SxStatus status = sx_session_furnish(session, &session->bench, err);
    return session->system_named ? blame_caller(status, err) : status;
}

/* A system given as text stands before the shipped ones, as one that is named by its file. */
static SxStatus put_first(SxSession *session, SxSystemSet *set, SxError *err) {
    memmove(&set->entry[1], &set->entry[0], (size_t)set->count * sizeof *set->entry);
    set->entry[0] = (SxSystemEntry){.system = session->bench.system};
    set->count++;
    set->own = 0;
    return sx_plan_formation_table(&session->bench.plan, &set->entry[0].system, &session->work,
                                   &set->entry[0].table, err);
}

SxStatus sx_session_need_systems(SxSession *session, bool only_own, SxError *err) {
    Bench *bench = &session->bench;
    SxSystemSet *set = &session->systems[only_own];
    if (session->systems_ready[only_own]) {
        return SX_OK;
    }
    const char *named = bench->plan.system;
    const char *own = session->system_by_text ? NULL
                      : named[0]              ? named
                      : only_own              ? ""
                                              : SX_DEFAULT_SYSTEM;
    const bool alone = only_own && (session->system_by_text || named[0]);
    SxStatus status = sx_systems_load(&bench->plan, own, alone, &session->work, set, err);
    if (status == SX_OK && session->system_by_text) {
        status = put_first(session, set, err);
    }
    if (status == SX_OK) { /* what is kept is kept in the plan's own system */
        status = sx_kept_apply(&bench->plan, &bench->rules, &set->entry[set->own].system,
                               set->entry[set->own].table, err);
    }
    if (status != SX_OK) {
        sx_systems_free(set);
        return session->system_named ? blame_caller(status, err) : status;
    }
    session->systems_ready[only_own] = true;
    if (!bench->problem.table) {
        bench->system = set->entry[set->own].system;
        bench->problem.table = set->entry[set->own].table;
    }
    return tidy(status, err);
}
