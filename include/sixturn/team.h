/* The roster, as a team file ("sixturn-team-1") gives it.
 *
 * The file:
 *   "format", "name"; optional "rules" (an id of a shipped profile, or a file), "level" (an id)
 *   "players": 6 to 64 of {"id", "name", "number": 0 to 99, "roles", "skills", "available": true or
 *     false (optional), "attacks_from": a list of left, centre, right (optional),
 *     "estimated": a list of those skills that nobody has rated (optional)}; ids and numbers
 * are unique; an id is a word of letters, digits, '-', '_' and '.', and does not read as a shirt
 * number; roles: a list of words, or an object with a fitness from 0 to 1 for each; skills: all
 * six, 0 to 10 "connections" (optional): [{"setter": PLAYER, "hitter": PLAYER, "bonus": -3 to 3},
 * ...], PLAYER being an id or a shirt number; no pair twice */
#ifndef SIXTURN_TEAM_H
#define SIXTURN_TEAM_H

#include "sixturn/api.h"
#include "sixturn/court.h"
#include "sixturn/error.h"

SX_C_BEGIN

enum {
    SX_ID_SIZE = 48,    /* bytes with the closing zero */
    SX_NAME_SIZE = 128, /* bytes of UTF-8 with the closing zero */
    SX_MAX_PLAYERS = 64,
    SX_MAX_CONNECTIONS = 512,
    SX_MAX_SHIRT = 99
};

#define SX_SKILL_MAX 10.0
#define SX_BONUS_MAX 3.0 /* a connection adds -3 to 3 points to the hitter's attacking */

typedef struct {
    char id[SX_ID_SIZE];
    char name[SX_NAME_SIZE];
    int number; /* shirt, 0 to 99, unique in the team */
    bool available;
    double fitness[SX_ROLE_COUNT]; /* 0 (cannot play the role) to 1 */
    double skill[SX_SKILL_COUNT];  /* 0 to 10 */
    unsigned estimated;            /* skills that are estimates, a bit for each SxSkill */
    unsigned attacks_from;         /* her usual sides, a bit for each SxLane; sx_team_parse fills in
                                      sx_sides_by_role where the file says nothing */
} SxPlayer;

typedef struct {
    int setter, hitter; /* indices into players */
    double bonus;       /* points on the hitter's attacking while both are in, -3 to 3 */
} SxConnection;

/* A plain value: copy it freely. Players are sorted by shirt number, the project's canonical
 * order, so nothing depends on the order in the file. */
typedef struct {
    char name[SX_NAME_SIZE];
    char rules[SX_ID_SIZE]; /* rule profile id, or empty */
    char level[SX_ID_SIZE]; /* level of play for the rally model, or empty */
    int player_count;
    SxPlayer players[SX_MAX_PLAYERS];
    int connection_count;
    SxConnection connections[SX_MAX_CONNECTIONS];
} SxTeam;

/* Both write *team only when they succeed. */
SX_API SxStatus sx_team_parse(const char *text, size_t length, const char *file, SxTeam *team,
                              SxError *err);
SX_API SxStatus sx_team_read(const char *file, SxTeam *team, SxError *err);

/* The sides a player usually attacks from, as her roles say: outside left, middle centre, opposite
 * and setter right, together if she has several; 0 for liberos and specialists. Common practice, no
 * source. A bit for each SxLane. */
SX_API unsigned sx_sides_by_role(const SxPlayer *player);

/* What is legal in a team and yet of no use: the k-th such remark as a sentence (k from 0), false
 * if there are not that many. A connection whose hitter has no role that attacks; ratings that are
 * estimates. */
SX_API bool sx_team_warning(const SxTeam *team, int k, char *text, size_t size);

/* Index of the player with this id, or with this shirt number written like "7" or "#7"; -1 if there
 * is none. */
SX_API int sx_team_find(const SxTeam *team, const char *who);
/* The id (or shirt) nearest in spelling, for 'did you mean'; NULL if none is near. */
SX_API const char *sx_team_nearest(const SxTeam *team, const char *who);

SX_C_END

#endif
