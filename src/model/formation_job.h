/* One question to the formation program: the requests that it allows, and the best of them.
 * Internal.
 */
#ifndef SIXTURN_MODEL_FORMATION_JOB_H
#define SIXTURN_MODEL_FORMATION_JOB_H

#include "model/formation_program.h"
#include "sixturn/error.h"

enum { CENTIMETRES = 100 };

/* Why there is no formation. */
enum { JOB_NO_LANES, JOB_NO_ROOM, JOB_NO_SIDE, JOB_REASONS };
extern const char *const sx_job_reasons[JOB_REASONS];

/* A request, the program under work, and the best so far. */
typedef struct Job {
    Request request;
    SxFormationTerms terms;
    unsigned passers;
    int passer_count;
    int sides; /* as asked */
    Program program;
    void (*each)(
        struct Job *job); /* what is done with every full request; sx_job_solve by default */
    bool found;
    int64_t cost;     /* grains, being away included; with `found` */
    int64_t away;     /* grains, of the request's sides */
    int64_t won_away; /* the same of the best so far */
    int spot[AXES][SX_POSITIONS];
    Request of;
} Job;

/* NULL options: the defaults. */
SxStatus sx_job_open(Job *job, const SxSystem *system, int rotation, SxPhase phase,
                     const SxFormationOptions *options, SxError *err);
/* The set of passers; SX_USAGE if too few or too many. */
SxStatus sx_job_passers(Job *job, unsigned passers, SxError *err);
/* Solves the request as it stands, and keeps it if it is the best so far. */
void sx_job_solve(Job *job);
/* `each` for every set of sides and lanes that is asked for and wished. */
void sx_job_try_all(Job *job);
/* What the request's sides cost by role, in grains. */
int64_t sx_job_away(const Job *job);
/* Everything that follows from a request and its spots; no cost. */
void sx_job_describe(const Request *request, int spot[AXES][SX_POSITIONS], SxFormation *out);
/* Spots by slot in whole centimetres by place. */
void sx_job_spots(const SxSpot at[SX_SLOTS], int rotation, int spot[AXES][SX_POSITIONS]);

#endif
