/* What a session holds. Internal. */
#ifndef SIXTURN_SESSION_SESSION_H
#define SIXTURN_SESSION_SESSION_H

#include "sixturn/session.h"
#include "sixturn/systems.h"

/* A problem with everything it points to, and its lineup once that is settled. Do not move it. */
typedef struct {
    SxPlan plan;
    SxRules rules;
    SxSystem system;
    SxFormationTable *table; /* owned; NULL: problem's is another's, or is not made yet */
    SxProblem problem;
    int out_count;        /* the last wishes of the plan, said by the input's `out` */
    bool placed;          /* the positions of those whose place is kept by player are known */
    bool settled;         /* the plan holds the rotation weights to be used */
    bool without_shares;  /* and they were settled as if nobody had a share */
    bool everybody_known; /* everybody is filled */
    SxForecast everybody; /* the lineup that decided the weights */
    bool known;           /* forecast is filled */
    SxForecast forecast;  /* the lineup asked for */
} Bench;

struct SxSession {
    SxTeam team; /* player_count 0: none */
    Bench bench;
    bool system_named; /* by the input, not the plan: a wrong name is bad usage */
    bool system_by_text;
    char *plan_text; /* owned: the plan file as it came; NULL: none */
    size_t plan_length;
    char plan_name[SX_ERROR_FILE];
    SxFormationTerms terms; /* the bench's plan points here, if they were given */
    SxRallyModel model;
    SxScoring scoring; /* of the level of play */
    SxOpponent opponent;
    SxOwnRates measured;
    SxRallyLog day; /* no rallies: none was given */
    SxFixture fixture;
    SxFixture against; /* the same by ratings alone: whom a lineup is to beat */
    SxGoal goal;
    bool rules_given; /* by the input */
    SxWork work;
    const char *write_model; /* owned copy below */
    char model_file[SX_ERROR_FILE];
    SxSystemSet systems[2]; /* [only the one that is named] */
    bool systems_ready[2];
};

/* day.c: reads the rallies of a day; SX_USAGE if there is none. */
SxStatus sx_session_read_day(const SxDay *day, SxRallyLog *log, SxError *err);
bool sx_day_given(const SxDay *day);
/* Rates by rotation from a log, drawn to those of the team and the level of play. */
SxStatus sx_session_fit(const SxSession *session, const SxRallyLog *log, SxFit *fit, SxError *err);
/* The day's rates become the measured ones. */
SxStatus sx_session_take_day(const SxDay *day, SxSession *session, SxError *err);
/* The first gap of a log as a remark; false if there is none. */
bool sx_day_warning(const SxRallyLog *log, char *text, size_t size);

/* Loads the plan's own system and its formation table, unless that is done. */
SxStatus sx_session_need_system(SxSession *session, SxError *err);
/* Loads the shipped systems and the plan's own; problem is then the bench's under its own.
 * only_own: no others, unless neither plan nor input name one. */
SxStatus sx_session_need_systems(SxSession *session, bool only_own, SxError *err);
/* Finishes a bench whose plan and rules are filled: its system by the name in the plan (unless
 * system is filled), its formations, its problem. */
SxStatus sx_session_furnish(SxSession *session, Bench *bench, SxError *err);
/* Weights and balance that the plan itself does not give. */
void sx_session_weigh(const SxSession *session, SxPlan *plan);

/* settle.c: weighs the rotations in the bench's plan by how often they are played, unless the plan
 * gives the weights. The lineup with everybody decides, whoever is out, so that a team with and
 * without a player is measured alike; and as if nobody had a share (min_rotations) if `shares`. */
SxStatus sx_session_settle(SxSession *session, Bench *bench, bool shares, SxError *err);
/* What a lineup wins that was chosen to win sets; its rotations weigh as often as they are played.
 */
SxStatus sx_session_foresee(const SxSession *session, const Bench *bench, SxLineup *lineup,
                            SxOutlook *outlook, SxError *err);
/* The one place where the lineup is settled: the best one and its set odds, kept in
 * bench->forecast. Unless a start is fixed it starts where the odds are best when the other team
 * serves first. */
SxStatus sx_session_lineup(SxSession *session, Bench *bench, SxError *err);

#endif
