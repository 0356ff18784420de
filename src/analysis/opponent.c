/* The average opponent, and one from JSON. */
#include "sixturn/opponent.h"

#include "analysis/opponentsheet.h"
#include "core/jsonread.h"

#include <stdio.h>
#include <string.h>

void sx_opponent_average(SxOpponent *opponent) {
    memset(opponent, 0, sizeof *opponent);
    snprintf(opponent->name, sizeof opponent->name, "an average team");
    opponent->rotations_told = 1;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        opponent->rotation[r] = sx_average_side();
    }
}

static void read_side(const SxJsonAt *at, SxSide *side) {
    const char *keys[SX_SKILL_COUNT];
    SxJsonAt member[SX_SKILL_COUNT];
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        keys[k] = sx_skill_name((SxSkill)k);
    }
    sx_json_members(at, keys, SX_SKILL_COUNT, member);
    for (int k = 0; k < SX_SKILL_COUNT; k++) {
        sx_json_number(&member[k], 0, SX_SKILL_MAX, &side->rating[k]);
    }
}

static void read_opponent(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, NAME, ROTATIONS, FIELDS };
    static const char *const keys[FIELDS] = {"format", "name", "rotations"};
    SxJsonAt at[FIELDS];
    SxOpponent *opponent = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    sx_json_text(&at[NAME], opponent->name, sizeof opponent->name);
    if (sx_json_array(&at[ROTATIONS], 1, SX_ROTATIONS)) {
        for (SxJsonAt e = sx_json_first(&at[ROTATIONS]); e.item; sx_json_next(&e)) {
            read_side(&e, &opponent->rotation[opponent->rotations_told++]);
        }
        if (opponent->rotations_told != 1 && opponent->rotations_told != SX_ROTATIONS) {
            sx_json_fail(&at[ROTATIONS], "expected one entry for all rotations or six, found %d",
                         opponent->rotations_told);
        }
    }
    for (int r = 1; opponent->rotations_told == 1 && r < SX_ROTATIONS; r++) {
        opponent->rotation[r] = opponent->rotation[0];
    }
}

static const SxJsonKind opponent_kind = {"sixturn-opponent-1", sizeof(SxOpponent), read_opponent};

SxStatus sx_opponent_parse_json(const char *text, size_t length, const char *file,
                                SxOpponent *opponent, SxError *err) {
    return sx_json_parse(&opponent_kind, text, length, file, NULL, opponent, err);
}
