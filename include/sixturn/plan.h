/* The coach's plan ("sixturn-plan-1"): weights, wishes and limits for one lineup.
 *
 * The file; all but "format" may be left out. Slots count from 0 to 5, rotations from 1 to 6; a
 * PLAYER is an id or a shirt number ("7", "#7" or 7): "format", "system", "rules": an id of a
 * shipped one, or a file "weights": {"pass", "attack", "block", "set", "serve", "dig", "run"}, 0 to
 * 100 "balance": 0 to 1; "passers": 2 to 5 or a list; "setter_passes": true or false "specialists":
 * 0 to 2; "start_rotation": 1 to 6; "rotation_weights": six from 0 to 100 "wishes": { "must_play",
 * "must_sit", "never_pass", "always_pass", "not_front_row", "not_back_row", "libero_for",
 * "must_set": [PLAYER, ...] "opposite", "not_adjacent": [[PLAYER, PLAYER], ...] "slots":
 * [{"player": PLAYER, "slot": 0 to 5}, ...] "min_rotations": {PLAYER: 0 to 30, ...}, or one number
 * for everybody who is available and need not sit "max_substitutions": 0 to 12 } Whether wishes can
 * be met together is for the solver to say.
 *
 * "formations": what the coach keeps of single rotations, a list of
 * {"rotation": 1 to 6, one of "spots", "wishes" and "drawn", or none, and "server_x": metres}.
 * WHO is "player": PLAYER or "position": 1 to 6; a place kept by position holds for whoever fills
 * it, one kept by player where she stands in the lineup.
 *   "spots": six of {WHO, "x", "y" (metres), "passes" (optional: false), "attacks_from": "left",
 *     "centre" or "right" (front row, optional)}: a whole formation, 2 to 5 of them pass
 *   "wishes": 1 to 6 of {WHO and at least one of "x" with "y", "passes", "lane": 1 (leftmost) to 5,
 *     "attacks_from", "behind": PLAYER or {"position": 1 to 6}, "at_net": true}
 *   "drawn": a "sixturn-formation-1" object, or the name of such a file, with "passers": [PLAYER,
 *     ...]: the same as "spots", by player and position
 *   "server_x": where the server stands at our serve, from the left side line. */
#ifndef SIXTURN_PLAN_H
#define SIXTURN_PLAN_H

#include "sixturn/api.h"
#include "sixturn/error.h"
#include "sixturn/formationterms.h"
#include "sixturn/system.h"
#include "sixturn/team.h"

SX_C_BEGIN

enum { SX_MAX_WISHES = 256, SX_WISH_ORIGIN = 96 };

/* Of one player, in reception: those of five sets, the most that shares.h plans at once. More than
 * SX_ROTATIONS is for several sets. */
enum { SX_MOST_RECEPTIONS = 5 * SX_ROTATIONS };

typedef enum {
    SX_PART_PASS,
    SX_PART_ATTACK,
    SX_PART_BLOCK,
    SX_PART_SET,
    SX_PART_SERVE,
    SX_PART_DIG,
    SX_PART_RUN, /* metres; its weight is subtracted */
    SX_PARTS
} SxPart;

SX_API const char *sx_part_name(SxPart part); /* "pass", "attack", ... */

typedef enum {
    SX_MUST_PLAY,         /* player starts in the order or is a nominated libero who plays */
    SX_MUST_SIT,          /* player does not play */
    SX_FIXED_SLOT,        /* player fills slot `value` (in at least one row) */
    SX_OPPOSITE_PAIR,     /* player and other: in slots s and s + 3 */
    SX_NOT_ADJACENT,      /* player and other: not in neighbouring slots */
    SX_NEVER_PASSES,      /* player */
    SX_ALWAYS_PASSES,     /* player passes in every rotation in which she is on court */
    SX_NOT_FRONT_ROW,     /* player */
    SX_NOT_BACK_ROW,      /* player is in the back row only to serve: else the libero or a planned
                             substitute stands there */
    SX_MIN_ROTATIONS,     /* player is on court in reception in at least `value` rotations */
    SX_LIBERO_FOR,        /* the libero, not a substitute, stands in for her in every situation of
                             her back row but her own serve */
    SX_MAX_SUBSTITUTIONS, /* at most `value` planned substitutions a cycle of six rotations */
    SX_MUST_SET,          /* player is one of the setters (fills a setting slot) */
    SX_WISH_KINDS
} SxWishKind;

typedef struct {
    SxWishKind kind;
    int player; /* index, -1 if the kind has none */
    int other;  /* index, -1 if the kind has none */
    int value;
    char origin[SX_WISH_ORIGIN]; /* where it was said: "wishes.must_sit[0]", "--out 7" */
} SxWish;

/* A player by who she is, or by where she stands. */
typedef struct {
    int player;   /* index; SX_NOBODY: whoever stands there */
    int position; /* 1 to 6; 0: wherever she stands, or nobody if player is SX_NOBODY too */
} SxWho;

/* What is kept of one player's place when we receive; members not said are false or -1. */
typedef struct {
    SxWho who;
    bool stands;      /* at spot */
    SxSpot spot;      /* metres, whole centimetres */
    int passes;       /* 1: she does, 0: she does not */
    int lane;         /* passes in this lane, 0 from the left */
    int attacks_from; /* SxLane */
    SxWho behind;     /* hides behind or beside her */
    bool at_net;
} SxKeptPlace;

/* What a coach keeps of one rotation. */
typedef struct {
    bool whole; /* a formation of six spots, else wishes */
    int count;  /* 0: nothing in receive */
    SxKeptPlace place[SX_SLOTS];
    bool server_given;
    double server_x;             /* metres from the left side line, at our serve */
    char origin[SX_WISH_ORIGIN]; /* "formations[0]" */
} SxKept;

typedef struct {
    char system[SX_ERROR_FILE]; /* id or file; empty: the command's default */
    char rules[SX_ERROR_FILE];  /* id or file; empty: the team's, then the default */
    double weight[SX_PARTS];    /* >= 0 */
    unsigned weight_given;      /* bit SxPart: by the plan itself */
    bool balance_given;
    double rotation_weight[SX_ROTATIONS]; /* >= 0, sum > 0 */
    bool rotation_weight_given; /* else how often each is played follows from the set chain */
    double balance;             /* 0: only the mean counts, 1: only the weakest rotation counts */
    unsigned passers;           /* bit n set: n passers allowed, n = 2 to 5 */
    bool setter_passes;         /* the setter on duty may be a passer */
    int specialists;            /* back-row specialists that may be planned for front-row players */
    int start;                  /* rotation 0 to 5 in which the set starts; -1: not fixed */
    const SxFormationTerms *terms; /* prices of formations, borrowed; NULL: the shipped ones. No
                                      plan file says them */
    SxKept kept[SX_ROTATIONS];
    int wish_count;
    SxWish wishes[SX_MAX_WISHES];
} SxPlan;

/* Every weight and limit at its documented default, no wishes. */
SX_API void sx_plan_default(SxPlan *plan);

/* Player names in the plan are ids (or shirt numbers) of team. Starts from sx_plan_default. */
SX_API SxStatus sx_plan_parse(const char *text, size_t length, const char *file, const SxTeam *team,
                              SxPlan *plan, SxError *err);
SX_API SxStatus sx_plan_read(const char *file, const SxTeam *team, SxPlan *plan, SxError *err);

/* The text of a plan file (NULL: a new one) with this formation, six spots by position, kept of a
 * rotation; where the server stands there stays, and all else. system: whose formation it is, ""
 * for the default. *out is to be freed with free(). SX_USAGE if the file is a sheet or a plan for
 * another system. */
SX_API SxStatus sx_plan_keep(const char *text, size_t length, const char *file, const char *system,
                             int rotation, const SxKept *kept, char **out, SxError *err);

/* Adds a wish; SX_USAGE when the plan is full. */
SX_API SxStatus sx_plan_wish(SxPlan *plan, SxWishKind kind, int player, int other, int value,
                             const char *origin, SxError *err);
/* Is there a wish of that kind for the player? */
SX_API bool sx_plan_has_wish(const SxPlan *plan, SxWishKind kind, int player);
/* Leaves out all wishes of that kind. */
SX_API void sx_plan_drop_wishes(SxPlan *plan, SxWishKind kind);
/* The wish as a sentence: "#7 Ida Holm must sit (--out 7)". Returns text. */
SX_API char *sx_wish_text(const SxWish *wish, const SxTeam *team, char *text, size_t size);

SX_C_END

#endif
