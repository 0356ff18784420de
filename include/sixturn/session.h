/* A session: one team with its plan, rules, system, opponent and limits, and every question that
 * can be asked of it. The command line, a page and any C program get the same answers by the same
 * calls.
 *
 *     SxSessionInput input;
 *     sx_session_input_default(&input);
 *     input.team = (SxSource){text, length, "team.json"};
 *     SxSession *session;
 *     SxAnswer *answer;
 *     SxAsk ask;
 *     sx_ask_default(SX_ASK_PLAN, &ask);
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

#include "sixturn/absent.h"
#include "sixturn/advice.h"
#include "sixturn/alternatives.h"
#include "sixturn/api.h"
#include "sixturn/bench.h"
#include "sixturn/bestset.h"
#include "sixturn/doubt.h"
#include "sixturn/drawn.h"
#include "sixturn/forecast.h"
#include "sixturn/matchday.h"
#include "sixturn/mend.h"
#include "sixturn/oddsreport.h"
#include "sixturn/setters.h"
#include "sixturn/shares.h"
#include "sixturn/sheet.h"
#include "sixturn/starts.h"
#include "sixturn/versus.h"
#include "sixturn/worth.h"

SX_C_BEGIN

/* Where neither the input nor the plan (nor the team) names one. */
#define SX_DEFAULT_SYSTEM "5-1-outside"
#define SX_DEFAULT_RULES "fivb-2025"

/* --- what goes in -------------------------------------------------------------------------------
 */

/* A text, as it stands in a file. Without text the name is an id of something shipped, or a file's
 * name to be read; without a name either, nothing is given. */
typedef struct {
    const char *text;
    size_t length;
    const char *name; /* for messages, if there is a text */
} SxSource;

/* What makes a lineup the best. */
typedef enum {
    SX_GOAL_SETS, /* the sets won against the opponent; see bestset.h */
    SX_GOAL_SCORE /* the plan's weighted score */
} SxGoal;

/* The rallies of a day: a log, and sets in letters, a text each (see rallylog.h), played after it.
 */
typedef struct {
    SxSource log; /* none: the sets alone */
    const char *const *set;
    int sets;
} SxDay;

/* Borrowed until sx_session_new returns, but for work's stop flag and context: those as long as the
 * session lives. */
typedef struct {
    SxSource team;            /* needed by all questions but SX_ASK_CHECK and SX_ASK_MEND */
    SxSource plan;            /* none: every default, no wishes */
    SxSource system;          /* instead of the plan's */
    SxSource rules;           /* instead of the plan's, the team's, the drawn formation's own */
    SxSource opponent;        /* none: an even one */
    SxSource rates;           /* our measured rates; none: by the ratings */
    SxDay day;                /* the rates are those that a fit makes of it; none: as above */
    SxSource rally_model;     /* none: the one that is built in */
    SxSource formation_terms; /* what formations cost; none: the shipped terms */
    const char *level;        /* level of play; NULL: the team's */
    SxGoal goal;              /* of every question */
    int passers;              /* instead of the plan's, 2 to 5; 0: the plan's */
    int start;                /* rotation 0 to 5; -1: the plan's */
    double balance;           /* of a score: 0 to 1; negative: the plan's, else 0 */
    const char *const *out;   /* players to plan without, id or shirt number */
    int out_count;
    double time_limit; /* seconds from sx_session_new on for all that is asked, the last one or
                          fifth of them for what is told of a lineup found; 0: none */
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
    SX_ASK_PLAN,    /* the best lineup */
    SX_ASK_SHARES,  /* lineups for several sets in which everybody gets her share */
    SX_ASK_RANK,    /* the best different orders */
    SX_ASK_ABSENT,  /* whom can we least do without */
    SX_ASK_SETTERS, /* which setter, or pair of setters */
    SX_ASK_SYSTEMS, /* which playing system */
    SX_ASK_VERSUS,  /* which of two lineups */
    SX_ASK_WORTH,   /* what to train, what is missing to a place */
    SX_ASK_ODDS,    /* where to start, serve or receive, will the substitutions last */
    SX_ASK_MOMENT,  /* the best substitution at this score, or to hold */
    SX_ASK_RECEIVE, /* what else to do in a rotation when they serve; its file: the plan with one of
                       those kept */
    SX_ASK_FIT,     /* what our rally log says; its file: the measured rates */
    SX_ASK_SHEET,   /* the lineup drawn; its file: PDF, SVG or PNG */
    SX_ASK_REPORT,  /* the lineup on a page with what-if tables; its file: HTML */
    SX_ASK_CHECK,   /* are drawn formations legal */
    SX_ASK_MEND,    /* the smallest change that makes them legal; its file: the mended ones */
    SX_ASK_BENCH,   /* may she come in for her now, and what would it cost */
    SX_QUESTIONS
} SxQuestion;

typedef struct {
    bool brief; /* for a text of the sets won, the slips and the serving order only: no prices */
    bool quick; /* without how sure it is that the lineup is the best */
} SxPlanAsk;

typedef struct {
    int sets; /* 1 to SX_MAX_SHARED_SETS */
} SxSharesAsk;

typedef struct {
    int top;              /* how many orders */
    SxDoubtOptions doubt; /* size 0: not asked */
} SxRankAsk;

typedef struct {
    const char *const *players; /* ids or shirt numbers */
    int count;                  /* 0: everybody who is available */
    bool together;              /* all who are named at the same time, not each alone */
    bool pairs;                 /* also every two of them together */
    int most;                   /* how many the text tells */
} SxAbsentAsk;

typedef struct {
    SxSource side[2]; /* plans, or lineups as sx_answer_json gives them */
} SxVersusAsk;

typedef struct {
    const char *const *players; /* ids or shirt numbers whose way into the lineup is sought */
    int count;
} SxWorthAsk;

/* An exchange is written "9:12", who starts and who comes in, ids or shirt numbers; the double
 * substitution as two of them with a plus between, "9:12+4:3". */
typedef struct {
    const char *const *item;
    int count;
} SxExchangeNames;

typedef struct {
    bool card;         /* rules of thumb from here to the end of the set */
    const char *score; /* "14-17", ours first; NULL: 0-0 */
    int rotation;      /* ours, 0 to 5; SX_NOT_SAID as in SxStanding, and so the next four */
    int started; /* our rotation when the set began; only a lineup's own substitutions ask it */
    int serving; /* SxPhase */
    int their_rotation;       /* 0 to 5 */
    int used;                 /* counted substitutions so far in this set */
    bool deciding;            /* the deciding set */
    SxExchangeNames consider; /* none: what the bench offers */
    SxExchangeNames made;     /* who came in are on court */
    SxExchangeNames back;     /* made before, and the players are back */
} SxMomentAsk;

typedef struct {
    int rotation; /* 0 to 5; SX_NOT_SAID: the weak one */
    int top;      /* how many others, 1 to SX_MAX_ALTERNATIVES */
    int keep;     /* 1 to the number of others: the one that goes into the plan; 0: none */
} SxReceiveAsk;

typedef struct {
    SxDay day;
} SxFitAsk;

typedef struct {
    SxSheetFile kind;
    SxPaper paper;
    SxShow show;
    const char *player; /* one player's card; NULL: the team's pages */
    bool cards;         /* without a player: everybody's cards instead of the team's pages */
    int rotation;       /* the pages of this rotation only, 1 to 6; 0: all */
    int sets, set;      /* of so many sets that share playing time, the set-th (1 is the first); 0:
                           the best lineup of one set */
} SxSheetAsk;

typedef struct {
    bool brief; /* without the what-if tables */
    SxShow show;
    int sets, set; /* as for a sheet; always without the what-if tables, which are about one set */
} SxReportAsk;

enum { SX_MAX_LOCKS = 64 };

/* For SX_ASK_CHECK and SX_ASK_MEND. */
typedef struct {
    SxSource formations;
    double margin;                       /* metres by which a call must be clear */
    bool fewest;                         /* mend: move as few players as possible */
    int lock_count, locks[SX_MAX_LOCKS]; /* mend: shirt numbers of those who stay */
} SxDrawnAsk;

/* Ids or shirt numbers. */
typedef struct {
    const char *out, *in;
} SxNamedSwap;

typedef struct {
    SxNamedSwap swap;
    SxNamedSwap made[SX_MAX_SWAPS]; /* in this set so far, the first one first */
    int made_count;
    int started; /* our rotation when the set began, 0 to 5; SX_NOT_SAID: as the lineup starts */
} SxBenchAsk;

/* A question and, in the member of its name, what it needs. Borrowed while it is asked. */
typedef struct {
    SxQuestion question;
    SxPlanAsk plan;
    SxSharesAsk shares;
    SxRankAsk rank;
    SxAbsentAsk absent;
    SxVersusAsk versus;
    SxWorthAsk worth;
    SxMomentAsk moment;
    SxReceiveAsk receive;
    SxFitAsk fit;
    SxSheetAsk sheet;
    SxReportAsk report;
    SxDrawnAsk drawn;
    SxBenchAsk bench;
} SxAsk;

/* The question with every default: 5 orders or formations, 400 draws from seed 1, a text of 20
 * absences, one set, A4, both phases, a margin of 0.30 m, nobody named. */
SX_API void sx_ask_default(SxQuestion question, SxAsk *ask);

/* --- what comes out -----------------------------------------------------------------------------
 */

typedef struct {
    bool brief;          /* as asked */
    SxForecast forecast; /* the lineup and its set odds */
    SxMatchDay day;
    SxPrices prices; /* if the plan was asked for, not sheet or report; day points here */
    SxSure sure;     /* likewise */
} SxPlanAnswer;

typedef struct {
    SxRanking ranking;
    bool doubtful;
    SxDoubtOptions doubt_options;
    SxDoubt doubt; /* only if doubtful */
} SxRankAnswer;

typedef struct {
    SxAbsences absences;
    int most; /* as asked */
} SxAbsentAnswer;

typedef struct {
    SxPlan yardstick; /* whose weights value both */
    SxContender side[2];
    char name[2][SX_ERROR_FILE];
    SxVersus versus;
    void *kept; /* what the sides borrow */
} SxVersusAnswer;

typedef struct {
    int count;
    SxWorth *worth;
    SxPointValues values;
} SxWorthAnswer;

typedef struct {
    SxForecast forecast;
    SxPrices prices; /* of the kept formations */
} SxOddsAnswer;

typedef struct {
    SxForecast forecast; /* the lineup that the exchanges start from */
    SxAdvice advice;
    bool for_start;  /* at the beginning of a set against an opponent whose rotations differ */
    SxStarts starts; /* only if for_start */
    bool for_card;
    SxThumb card; /* only if for_card */
} SxMomentAnswer;

typedef struct {
    SxForecast forecast; /* the lineup in which the others are valued */
    SxAlternatives others;
    int kept;   /* as asked */
    char *plan; /* the text of the plan file with it; NULL: none is kept */
} SxReceiveAnswer;

typedef struct {
    SxRallyLog log;
    SxFitReport report; /* borrows the log and the team's name */
} SxFitAnswer;

/* Also the lineup as SxPlanAnswer. */
typedef struct {
    SxSheetFile kind;
    SxSheet sheet; /* borrows from this answer */
    SxSheetOdds odds;
    SxAdvice advice; /* at 0-0, of the exchanges that the bench allows */
    SxThumb thumb;   /* told by the sheet unless the lineup substitutes by itself */
} SxSheetAnswer;

/* Also the lineup as SxPlanAnswer and the drawing as SxSheetAnswer. */
typedef struct {
    bool brief;
    bool stopped;    /* before all what-if questions were answered */
    SxPrices prices; /* of the kept formations */
    SxAbsences absences;
    SxSetterChoices setters;
    SxSystemBest *systems; /* one for each of the answer's systems */
} SxReportAnswer;

typedef struct {
    SxDrawnFile file;
    SxRules *rules; /* by formation */
    double margin;
    bool legal;          /* check: all are */
    SxLegality *results; /* check: by formation */
    SxMend *mends;       /* mend: by formation */
} SxDrawnAnswer;

/* The member of the question's name is filled. Borrows from the session, so free it before. */
typedef struct {
    SxQuestion question;
    const SxProblem *problem; /* what was solved, with the settled weights of the rotations */
    const SxFixture *fixture;
    const SxSystemSet *systems; /* those compared; NULL: none */
    SxPlanAnswer plan;
    SxShares shares;
    SxRankAnswer rank;
    SxAbsentAnswer absent;
    SxSetterChoices setters;
    SxSystemBest *best; /* SX_ASK_SYSTEMS: one for each of `systems` */
    SxVersusAnswer versus;
    SxWorthAnswer worth;
    SxOddsAnswer odds;
    SxMomentAnswer moment;
    SxReceiveAnswer receive;
    SxFitAnswer fit;
    SxSheetAnswer sheet;
    SxReportAnswer report;
    SxDrawnAnswer drawn;
    SxBenchAnswer bench;
} SxAnswer;

/* Stopped or out of time, an answer holds what was proven until then and marks the rest as not
 * done. SX_NO with an explanation if the answer is 'no' (an illegal formation is an answer, not a
 * 'no'), SX_OUT_OF_TIME if the time was up before there was any, SX_USAGE for what is not in the
 * team. On failure *answer is NULL. */
SX_API SxStatus sx_session_ask(SxSession *session, const SxAsk *ask, SxAnswer **answer,
                               SxError *err);
SX_API void sx_answer_free(SxAnswer *answer);

/* Text of 80 columns and JSON, to be freed with free(); NULL when memory runs out. Sheet and report
 * say the same as plan. */
SX_API char *sx_answer_text(const SxAnswer *answer);
SX_API char *sx_answer_json(const SxAnswer *answer);
/* The file that goes with the answer, to be freed with free(). SX_USAGE for a question without
 * one. (A build without drawings refuses to be asked for them.) */
SX_API SxStatus sx_answer_file(const SxAnswer *answer, char **bytes, size_t *size, SxError *err);

SX_C_END

#endif
