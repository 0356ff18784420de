/* The questions, one table entry each. Internal. */
#ifndef SIXTURN_SESSION_QUESTIONS_H
#define SIXTURN_SESSION_QUESTIONS_H

#include "session/session.h"

typedef struct {
    SxStatus (*ask)(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err);
    char *(*report)(const SxAnswer *answer, bool json);
    void (*free)(SxAnswer *answer); /* also after a failed ask; NULL: nothing to free */
    SxStatus (*file)(const SxAnswer *answer, char **bytes, size_t *size,
                     SxError *err); /* or NULL */
} Question;

extern const Question sx_question_plan, sx_question_shares, sx_question_odds,
    sx_question_fit;                                                           /* lineups.c */
extern const Question sx_question_moment;                                      /* moment.c */
extern const Question sx_question_rank, sx_question_absent, sx_question_worth; /* players.c */
extern const Question sx_question_setters, sx_question_systems;                /* systems.c */
extern const Question sx_question_versus;                                      /* sides.c */
extern const Question sx_question_bench;                                       /* bench.c */
extern const Question sx_question_sheet, sx_question_report;                   /* paper.c */
extern const Question sx_question_receive;                                     /* receive.c */
extern const Question sx_question_check, sx_question_mend;                     /* formations.c */

/* The plan's answer, which sheet and report draw. */
SxStatus sx_questions_plan(SxSession *session, SxAnswer *answer, SxError *err);
char *sx_questions_plan_report(const SxAnswer *answer, bool json);

/* Lineups for so many sets with their outlooks, into answer->shares. */
SxStatus sx_questions_shares(SxSession *session, int sets, SxAnswer *answer, SxError *err);

/* Index of the player, or SX_NOBODY and SX_USAGE in err with the nearest spelling. */
int sx_questions_player(const SxTeam *team, const char *who, SxError *err);

/* What a command stopped early has to say: SX_OUT_OF_TIME if there was no time, or SX_NO. */
SxStatus sx_questions_none(const SxSession *session, const char *what, SxError *err);

#endif
