/* The questions about orders and players: rank, absent, worth. */
#include "session/questions.h"
#include "sixturn/analysis_report.h"

#include <stdlib.h>

/* System and settled weights: what all three begin with. */
static SxStatus prepare(SxSession *session, SxError *err) {
    SxStatus status = sx_session_need_system(session, err);
    return status == SX_OK ? sx_session_settle(session, &session->bench, false, err) : status;
}

/* --- rank ---------------------------------------------------------------------------------------
 */

static SxStatus ask_rank(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxRankAnswer *rank = &answer->rank;
    rank->doubt_options = ask->rank.doubt;
    rank->doubtful = ask->rank.doubt.size > 0;
    if (ask->rank.top < 1 || ask->rank.top > SX_MAX_TOP) {
        return sx_fail(err, SX_USAGE, "1 to %d orders are ranked, not %d", SX_MAX_TOP,
                       ask->rank.top);
    }
    SxStatus status = prepare(session, err);
    if (status == SX_OK) {
        status = sx_rank(answer->problem, ask->rank.top, &session->work, &rank->ranking, err);
    }
    if (status == SX_OK && rank->ranking.count == 0) {
        return sx_questions_none(session, "no order was found", err);
    }
    if (status == SX_OK) {
        status = sx_rank_explain(answer->problem, &rank->ranking, &session->work, err);
    }
    return status == SX_OK && rank->doubtful
               ? sx_doubt(answer->problem, &rank->ranking, &rank->doubt_options, &session->work,
                          &rank->doubt, err)
               : status;
}

static char *rank_report(const SxAnswer *answer, bool json) {
    const SxRankAnswer *rank = &answer->rank;
    return (json ? sx_rank_json : sx_rank_text)(answer->problem, &rank->ranking,
                                                rank->doubtful ? &rank->doubt : NULL,
                                                &rank->doubt_options);
}

static void rank_free(SxAnswer *answer) {
    sx_doubt_free(&answer->rank.doubt);
    sx_ranking_free(&answer->rank.ranking);
}

const Question sx_question_rank = {ask_rank, rank_report, rank_free, NULL};

/* --- absent -------------------------------------------------------------------------------------
 */

typedef struct {
    int player[SX_MAX_PLAYERS];
    int count;
} Players;

/* Those who are named, or everybody who is available. */
static SxStatus choose(const SxSession *session, const SxAbsentAsk *ask, Players *players,
                       SxError *err) {
    const SxTeam *team = &session->team;
    bool named[SX_MAX_PLAYERS] = {false};
    players->count = 0;
    for (int k = 0; k < ask->count; k++) {
        const int player = sx_questions_player(team, ask->players[k], err);
        if (player < 0) {
            return SX_USAGE;
        }
        named[player] = true;
    }
    for (int p = 0; p < team->player_count; p++) {
        if (ask->count ? named[p]
                       : team->players[p].available &&
                             !sx_plan_has_wish(&session->bench.plan, SX_MUST_SIT, p)) {
            players->player[players->count++] = p;
        }
    }
    return SX_OK;
}

static int list_cases(const Players *players, bool pairs, bool together,
                      int (*cases)[SX_TOGETHER]) {
    int listed = 0;
    if (together) {
        for (int i = 0; i < SX_TOGETHER; i++) {
            cases[0][i] = i < players->count ? players->player[i] : SX_NOBODY;
        }
        return 1;
    }
    for (int i = 0; i < players->count; i++) {
        cases[listed][0] = players->player[i];
        cases[listed++][1] = SX_NOBODY;
        for (int j = i + 1; pairs && j < players->count; j++) {
            cases[listed][0] = players->player[i];
            cases[listed][1] = players->player[j];
            cases[listed++][2] = SX_NOBODY;
        }
    }
    return listed;
}

static SxStatus ask_absent(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    Players players;
    SxStatus status = choose(session, &ask->absent, &players, err);
    const bool together = ask->absent.together && ask->absent.count > 1;
    if (status == SX_OK && together && players.count > SX_TOGETHER) {
        return sx_fail(err, SX_USAGE, "at most %d players can be absent together, not %d",
                       SX_TOGETHER, players.count);
    }
    if (status == SX_OK) {
        status = sx_session_need_systems(session, false, err);
    }
    if (status == SX_OK) {
        status = prepare(session, err);
    }
    if (status != SX_OK) {
        return status;
    }
    int(*cases)[SX_TOGETHER] = calloc(SX_MAX_PLAYERS * SX_MAX_PLAYERS, sizeof *cases);
    if (!cases) {
        return sx_out_of_memory(err);
    }
    const int count = list_cases(&players, ask->absent.pairs, together, cases);
    answer->systems = &session->systems[0];
    answer->absent.most = ask->absent.most;
    status = sx_absent(answer->problem, answer->systems, cases, count, &session->work,
                       &answer->absent.absences, err);
    free(cases);
    return status;
}

static char *absent_report(const SxAnswer *answer, bool json) {
    const SxAbsentAnswer *absent = &answer->absent;
    return json ? sx_absent_json(answer->problem, answer->systems, &absent->absences)
                : sx_absent_text(answer->problem, answer->systems, &absent->absences, absent->most);
}

static void absent_free(SxAnswer *answer) {
    sx_absences_free(&answer->absent.absences);
}

const Question sx_question_absent = {ask_absent, absent_report, absent_free, NULL};

/* --- worth --------------------------------------------------------------------------------------
 */

static SxStatus ask_worth(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxWorthAnswer *worth = &answer->worth;
    const int count = ask->worth.count;
    SxStatus status = prepare(session, err);
    worth->worth = calloc((size_t)count + 1, sizeof *worth->worth);
    if (!worth->worth) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < count && status == SX_OK; k++) {
        const int player = sx_questions_player(&session->team, ask->worth.players[k], err);
        if (player < 0) {
            return SX_USAGE;
        }
        status = sx_worth(answer->problem, player, &session->work, &worth->worth[k], err);
    }
    worth->count = count;
    if (status == SX_OK) {
        status = sx_point_values(answer->problem, &session->work, &worth->values, err);
    }
    if (status == SX_OUT_OF_TIME && count > 0 && worth->worth[0].best.score > 0) {
        worth->values.best = worth->worth[0].best; /* the time went into the players named */
        return SX_OK;
    }
    return status;
}

static char *worth_report(const SxAnswer *answer, bool json) {
    const SxWorthAnswer *worth = &answer->worth;
    return (json ? sx_worth_json : sx_worth_text)(answer->problem, worth->worth, worth->count,
                                                  &worth->values);
}

static void worth_free(SxAnswer *answer) {
    sx_point_values_free(&answer->worth.values);
    free(answer->worth.worth);
}

const Question sx_question_worth = {ask_worth, worth_report, worth_free, NULL};
