/* The question about the bench: may she come in for her now, and what would it cost? */
#include "session/questions.h"
#include "sixturn/benchreport.h"

#include <stdio.h>
#include <string.h>

static void start_bench(const SxProblem *problem, const SxLineup *lineup, int started,
                        SxBench *bench) {
    int starters[SX_SLOTS];
    const int start = started == SX_NOT_SAID ? lineup->start : started;
    for (int s = 0; s < SX_SLOTS; s++) {
        starters[s] = sx_slot_player(lineup, start, s);
    }
    sx_bench_start(problem->rules, problem->team, starters, lineup->liberos, lineup->libero_count,
                   bench);
}

static SxStatus read_swap(const SxTeam *team, const SxNamedSwap *named, SxSwap *swap,
                          SxError *err) {
    swap->out = sx_questions_player(team, named->out ? named->out : "", err);
    swap->in = swap->out < 0 ? -1 : sx_questions_player(team, named->in ? named->in : "", err);
    return swap->in < 0 ? SX_USAGE : SX_OK;
}

static SxStatus play_made(const SxTeam *team, const SxBenchAsk *ask, SxBenchAnswer *answer,
                          SxError *err) {
    for (int k = 0; k < ask->made_count; k++) {
        SxSwap swap;
        SxStatus status = read_swap(team, &ask->made[k], &swap, err);
        if (status != SX_OK) {
            return status;
        }
        const SxSwapVerdict verdict = sx_bench_make(&answer->before, swap);
        if (verdict != SX_SWAP_ALLOWED) {
            return sx_fail(err, SX_USAGE, "substitution %d, %d for %d, was not allowed: %s", k + 1,
                           team->players[swap.in].number, team->players[swap.out].number,
                           sx_swap_reason(verdict));
        }
    }
    return SX_OK;
}

static void put_in(SxOrder *order, SxSwap swap) {
    for (int s = 0; s < SX_SLOTS; s++) {
        order->front[s] = order->front[s] == swap.out ? swap.in : order->front[s];
        order->back[s] = order->back[s] == swap.out ? swap.in : order->back[s];
    }
}

/* The lineup with her in that place from the start, the libero and the passers chosen anew. */
static SxStatus value(SxSession *session, const SxProblem *problem, SxBenchAnswer *answer,
                      SxError *err) {
    SxPlan settled = *problem->plan;
    SxProblem same = *problem;
    SxOrder order = session->bench.forecast.lineup.order;
    settled.rotation_weight_given = true;
    same.plan = &settled;
    put_in(&order, answer->swap);
    const SxSolveOptions options = {.work = &session->work, .fixed = &order, .any_tie = true};
    SxOutlook outlook;
    SxLineup lineup;
    SxStatus status = sx_lineup_solve(&same, &options, &lineup, err);
    if (status == SX_NO) { /* an answer too: she cannot play there */
        snprintf(answer->why_no_value, sizeof answer->why_no_value, "%s", err->message);
        *err = (SxError){.status = SX_OK};
        return SX_OK;
    }
    if (status == SX_OK) {
        lineup.start = session->bench.forecast.lineup.start;
        status = sx_lineup_outlook(&same, &lineup, &session->fixture, &outlook, err);
    }
    if (status == SX_OK) {
        answer->valued = true;
        answer->win_after = outlook.win;
    }
    return status;
}

static SxStatus ask_bench(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxBenchAnswer *bench = &answer->bench;
    SxStatus status = sx_session_need_system(session, err);
    if (status == SX_OK) {
        status = read_swap(&session->team, &ask->bench.swap, &bench->swap, err);
    }
    if (status == SX_OK) {
        status = sx_session_lineup(session, &session->bench, err);
    }
    if (status != SX_OK) {
        return status;
    }
    bench->win_before = session->bench.forecast.outlook.win;
    start_bench(answer->problem, &session->bench.forecast.lineup, ask->bench.started,
                &bench->before);
    status = play_made(&session->team, &ask->bench, bench, err);
    if (status != SX_OK) {
        return status;
    }
    bench->after = bench->before;
    bench->verdict = sx_bench_make(&bench->after, bench->swap);
    return value(session, answer->problem, bench, err);
}

static char *bench_report(const SxAnswer *answer, bool json) {
    return (json ? sx_bench_json : sx_bench_text)(answer->problem->team, &answer->bench);
}

const Question sx_question_bench = {ask_bench, bench_report, NULL, NULL};
