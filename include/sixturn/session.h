/* A session: one team with its plan, rules, system, opponent and limits, and every question that
 * can be asked of it. The command line, a page and any C program get the same answers by the same
 * calls.
 *
 *     SxSessionInput input;
 *     sx_session_input_default(&input);
 *     input.team = (SxSource){text, length, "team.json"};
 *     SxSession *session;
 *     SxAnswer *answer;
 *     const SxAsk ask = {.question = SX_ASK_PLAN};
 *     if (sx_session_new(&input, &session, &err) == SX_OK &&
 *         sx_session_ask(session, &ask, &answer, &err) == SX_OK) {
 *         char *text = sx_answer_text(answer);   (or sx_answer_json)
 *         ...
 *     }
 *
 * The lineup is settled once, at the first question that needs it, and kept. A session is for one
 * thread at a time, and is freed by the thread that asked; it uses more threads by itself. It frees
 * the solver's memory of that thread, so nobody else there may hold objects of GLPK. */
#ifndef SIXTURN_SESSION_H
#define SIXTURN_SESSION_H

#include "sixturn/api.h"
#include "sixturn/doubt.h"
#include "sixturn/forecast.h"
#include "sixturn/goalset.h"
#include "sixturn/matchday.h"
#include "sixturn/stuck.h"

SX_C_BEGIN

/* --- what goes in -------------------------------------------------------------------------------
 */

/* A text, as it stands in a file. Without text the name is an id of something shipped, or a file's
 * name to be read; without a name either, nothing is given. */
typedef struct {
    const char *text;
    size_t length;
    const char *name; /* for messages, if there is a text */
} SxSource;

/* Borrowed until sx_session_new returns, but for work's stop flag and context: those as long as the
 * session lives. */
typedef struct {
    SxSource team;          /* needed by all questions but SX_ASK_CHECK and SX_ASK_MEND */
    SxSource plan;          /* none: every default, no wishes */
    SxSource system;        /* instead of the plan's */
    SxSource rules;         /* instead of the plan's, the team's, the drawn formation's own */
    SxSource opponent;      /* none: an even one */
    SxSource rates;         /* our measured rates; none: by the ratings */
    SxSource rally_model;   /* none: the one that is built in */
    const char *level;      /* level of play; NULL: the team's */
    int passers;            /* instead of the plan's, 2 to 5; 0: the plan's */
    int start;              /* rotation 0 to 5; -1: the plan's */
    double balance;         /* 0 to 1; negative: the plan's */
    const char *const *out; /* players to plan without, id or shirt number */
    int out_count;
    double time_limit;       /* seconds from sx_session_new on for all that is asked; 0: none */
    const char *write_model; /* SX_ASK_PLAN writes the integer program to this file; NULL: not */
    SxWork work;             /* threads, stop flag, progress */
} SxSessionInput;

SX_API void sx_session_input_default(SxSessionInput *input);

typedef struct SxSession SxSession;

/* SX_BAD_INPUT with file and path for what cannot be read, SX_USAGE for a name that is not known.
 * On failure *session is NULL. */
SX_API SxStatus sx_session_new(const SxSessionInput *input, SxSession **session, SxError *err);
SX_API void sx_session_free(SxSession *session);

/* What is legal in the input and yet of no use: the k-th such remark (k from 0) as a sentence,
 * false if there are not that many. */
SX_API bool sx_session_warning(const SxSession *session, int k, char *text, size_t size);

/* --- what is asked ------------------------------------------------------------------------------
 */

typedef enum {
    SX_ASK_PLAN, /* the best lineup */
    SX_ASK_RANK, /* the best different orders */
    SX_ASK_ODDS, /* where to start, serve or receive, will the substitutions last */
    SX_QUESTIONS
} SxQuestion;

typedef struct {
    bool for_set; /* the best set odds instead of the best score */
} SxPlanAsk;

typedef struct {
    int top;              /* how many orders; 0: five */
    SxDoubtOptions doubt; /* size 0: not asked */
} SxRankAsk;

/* A question and, in the member of its name, what it needs. All zero is a good default. */
typedef struct {
    SxQuestion question;
    SxPlanAsk plan;
    SxRankAsk rank;
} SxAsk;

/* --- what comes out -----------------------------------------------------------------------------
 */

typedef struct {
    SxForecast forecast; /* the lineup and its set odds */
    SxMatchDay day;
    bool for_set;
    SxGoalSet goal; /* only if for_set */
} SxPlanAnswer;

typedef struct {
    SxRanking ranking;
    bool doubtful;
    SxDoubtOptions doubt_options;
    SxDoubt doubt; /* only if doubtful */
} SxRankAnswer;

typedef struct {
    SxForecast forecast; /* with what playing on without substitutions costs */
    SxStuck stuck[SX_PHASES];
} SxOddsAnswer;

/* Borrows from the session, so free it before the session. */
typedef struct {
    SxQuestion question;
    const SxProblem *problem; /* what was solved, with the settled weights of the rotations */
    const SxFixture *fixture;
    SxPlanAnswer plan; /* the member of the question's name is filled */
    SxRankAnswer rank;
    SxOddsAnswer odds;
} SxAnswer;

/* SX_NO with an explanation if the answer is 'no', SX_OUT_OF_TIME if the time was up before there
 * was any. On failure *answer is NULL. */
SX_API SxStatus sx_session_ask(SxSession *session, const SxAsk *ask, SxAnswer **answer,
                               SxError *err);
SX_API void sx_answer_free(SxAnswer *answer);

/* Text of 80 columns and JSON, to be freed with free(); NULL when memory runs out. */
SX_API char *sx_answer_text(const SxAnswer *answer);
SX_API char *sx_answer_json(const SxAnswer *answer);

SX_C_END

#endif
