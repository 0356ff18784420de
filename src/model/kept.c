/* A coach's own formations and wishes: from places of players to the formation table. */
#include "sixturn/kept.h"

#include "model/formation_table.h"
#include "sixturn/mend.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void sx_plan_formation_options(const SxPlan *plan, SxFormationOptions *options) {
    sx_formation_default(options);
    options->terms = plan->terms;
}

SxStatus sx_plan_formation_table(const SxPlan *plan, const SxSystem *system, const SxWork *work,
                                 SxFormationTable **table, SxError *err) {
    SxFormationOptions options;
    sx_plan_formation_options(plan, &options);
    options.work = work;
    return sx_formation_table_build(system, plan->passers, plan->setter_passes, &options, table,
                                    err);
}

bool sx_is_kept(const SxPlan *plan, int rotation) {
    return plan->kept[rotation].count > 0;
}

static bool is_open(SxWho who) {
    return who.player >= 0 && who.position == 0;
}

bool sx_kept_is_placed(const SxKept *kept) {
    for (int k = 0; k < kept->count; k++) {
        if (is_open(kept->place[k].who) || is_open(kept->place[k].behind)) {
            return false;
        }
    }
    return true;
}

/* --- players and positions ----------------------------------------------------------------------
 */

static int position_in(const SxLineup *lineup, int rotation, int player) {
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        if (sx_on_court(lineup, rotation, SX_RECEIVE, slot) == player) {
            return sx_position(slot, rotation);
        }
    }
    return 0;
}

static SxStatus place_one(const SxTeam *team, const SxLineup *lineup, int rotation,
                          const SxKept *kept, SxWho *who, SxError *err) {
    if (is_open(*who)) {
        who->position = position_in(lineup, rotation, who->player);
        if (who->position == 0) {
            return sx_fail(err, SX_NO,
                           "%s: #%d %s is not on court when we receive in rotation %d; keep the "
                           "place by position, or wish that she plays",
                           kept->origin, team->players[who->player].number,
                           team->players[who->player].name, rotation + 1);
        }
    }
    return SX_OK;
}

static SxStatus claims_differ(const SxKept *kept, int rotation, SxError *err) {
    unsigned taken = 0;
    for (int k = 0; k < kept->count; k++) {
        const int position = kept->place[k].who.position;
        if (taken >> position & 1) {
            return sx_fail(err, SX_NO, "%s: %s is kept twice in rotation %d", kept->origin,
                           sx_position_name(position), rotation + 1);
        }
        taken |= 1u << position;
    }
    return SX_OK;
}

SxStatus sx_kept_place(const SxTeam *team, const SxLineup *lineup, SxPlan *plan, SxError *err) {
    SxStatus status = SX_OK;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxKept *kept = &plan->kept[r];
        for (int k = 0; k < kept->count && status == SX_OK; k++) {
            status = place_one(team, lineup, r, kept, &kept->place[k].who, err);
            if (status == SX_OK) {
                status = place_one(team, lineup, r, kept, &kept->place[k].behind, err);
            }
        }
        if (status == SX_OK) {
            status = claims_differ(kept, r, err);
        }
    }
    return status;
}

static SxStatus stands(const SxTeam *team, const SxLineup *lineup, int rotation, const SxKept *kept,
                       SxWho who, SxError *err) {
    if (who.player < 0) {
        return SX_OK;
    }
    const int position = position_in(lineup, rotation, who.player);
    if (position == who.position) {
        return SX_OK;
    }
    const SxPlayer *player = &team->players[who.player];
    return position
               ? sx_fail(
                     err, SX_NO,
                     "%s: #%d %s is kept at %s in rotation %d, but stands at %s in this lineup; "
                     "keep the place by position, or give her a serving place by a wish",
                     kept->origin, player->number, player->name, sx_position_name(who.position),
                     rotation + 1, sx_position_name(position))
               : sx_fail(err, SX_NO,
                         "%s: #%d %s is kept at %s in rotation %d, but is not on court then in "
                         "this lineup; keep the place by position, or wish that she plays",
                         kept->origin, player->number, player->name, sx_position_name(who.position),
                         rotation + 1);
}

SxStatus sx_kept_stands(const SxTeam *team, const SxPlan *plan, const SxLineup *lineup,
                        SxError *err) {
    SxStatus status = SX_OK;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxKept *kept = &plan->kept[r];
        for (int k = 0; k < kept->count && status == SX_OK; k++) {
            status = stands(team, lineup, r, kept, kept->place[k].who, err);
            if (status == SX_OK) {
                status = stands(team, lineup, r, kept, kept->place[k].behind, err);
            }
        }
    }
    return status;
}

/* --- the table ----------------------------------------------------------------------------------
 */

/* One rotation under work. */
typedef struct {
    const SxPlan *plan;
    const SxKept *kept;
    const SxRules *rules;
    const SxSystem *system;
    SxFormationTable *table;
    int rotation;
    SxFormationWishes wishes;
    SxFormationOptions options;
    SxFormationTerms terms;
    unsigned must_pass; /* slots */
    bool sides[SX_SIDES];
    int made;
    SxError last; /* why the last entry could not be */
} Work;

static void gather(Work *w) {
    sx_formation_no_wishes(&w->wishes);
    for (int k = 0; k < w->kept->count; k++) {
        const SxKeptPlace *place = &w->kept->place[k];
        const int slot = sx_slot_at(place->who.position, w->rotation);
        w->wishes.fixed[slot] = place->stands;
        w->wishes.spot[slot] = place->spot;
        w->wishes.lane[slot] = place->lane;
        w->wishes.no_pass[slot] = place->passes == 0;
        w->wishes.attacks_from[slot] = place->attacks_from;
        w->wishes.at_net[slot] = place->at_net;
        w->wishes.behind[slot] =
            place->behind.position ? sx_slot_at(place->behind.position, w->rotation) : -1;
        w->must_pass |= (unsigned)(place->passes == 1 || place->lane >= 0) << slot;
    }
}

static bool sides_fit(const Work *w, int sides) {
    for (int position = 2; position <= 4; position++) {
        const int lane = w->wishes.attacks_from[sx_slot_at(position, w->rotation)];
        if (lane >= 0 && lane != (int)sx_side_lane(sides, position)) {
            return false;
        }
    }
    return sx_sides_are_open(w->system, w->rotation, sides, &w->terms);
}

/* Of the sides that the table had those that fit the wishes; if none does, all that fit. */
static SxStatus choose_sides(Work *w, SxError *err) {
    int had = 0, fit = 0;
    for (int sides = 0; sides < SX_SIDES; sides++) {
        fit += sides_fit(w, sides);
        had += sides_fit(w, sides) && sx_table_holds(w->table, w->rotation, sides);
    }
    for (int sides = 0; sides < SX_SIDES; sides++) {
        w->sides[sides] =
            sides_fit(w, sides) && (had == 0 || sx_table_holds(w->table, w->rotation, sides));
    }
    return fit ? SX_OK
               : sx_fail(err, SX_NO,
                         "%s: rotation %d: the three front-row players cannot attack from there: "
                         "each needs a lane of her own, in the front row, and not where the setter "
                         "sets",
                         w->kept->origin, w->rotation + 1);
}

/* Does the kept formation fit these passers? */
static bool passers_fit(const Work *w, unsigned mask) {
    if (!(w->plan->passers >> sx_count_members(mask) & 1)) {
        return false;
    }
    if (w->kept->whole) {
        return mask == w->must_pass;
    }
    const int setter = w->system->setter_slot[w->rotation];
    if ((mask >> setter & 1) && !w->plan->setter_passes && !(w->must_pass >> setter & 1)) {
        return false;
    }
    for (int slot = 0; slot < SX_SLOTS; slot++) {
        if (w->wishes.no_pass[slot] && (mask >> slot & 1)) {
            return false;
        }
    }
    return (mask & w->must_pass) == w->must_pass;
}

static SxStatus solve(Work *w, unsigned mask, SxFormation *out, SxError *err) {
    if (!w->kept->whole) {
        w->options.wishes = &w->wishes;
        return sx_formation_receive(w->system, w->rotation, mask, &w->options, out, err);
    }
    return sx_formation_given(w->system, w->rules, w->rotation, mask, w->wishes.spot, &w->options,
                              out, err);
}

static SxStatus add(Work *w, unsigned mask, int sides, SxError *err) {
    SxFormation formation;
    w->options.sides = sides;
    SxStatus status = solve(w, mask, &formation, &w->last);
    if (status == SX_NO) {
        return SX_OK; /* others may do */
    }
    if (status != SX_OK) {
        *err = w->last;
        return status;
    }
    w->made++;
    return sx_table_put(w->table, w->rotation, &formation, err);
}

/* "; mend moves middle back to 4.20 m from the left side line, 6.10 m from the net" */
static void propose(const Work *w, char *text, size_t size) {
    SxStance stance;
    SxMend mend;
    SxError err = {.status = SX_OK};
    sx_stance_default(&stance);
    for (int position = 1; position <= SX_POSITIONS; position++) {
        stance.spot[position - 1] = w->wishes.spot[sx_slot_at(position, w->rotation)];
    }
    text[0] = '\0';
    if (sx_mend(&stance, w->rules, NULL, &mend, &err) != SX_OK) {
        return;
    }
    size_t used = 0;
    for (int k = 0; k < SX_POSITIONS && used < size; k++) {
        if (sx_distance(mend.spot[k], stance.spot[k]) > SX_LEVEL) {
            used += (size_t)snprintf(text + used, size - used, "%s%s to x %.2f, y %.2f",
                                     used ? ", " : "; the smallest change that mends it: ",
                                     sx_position_name(k + 1), mend.spot[k].x, mend.spot[k].y);
        }
    }
}

static SxStatus refuse(Work *w, SxError *err) {
    char proposal[SX_ERROR_MESSAGE / 2] = "";
    const int passers = sx_count_members(w->must_pass);
    if (w->kept->whole && !(w->plan->passers >> passers & 1)) {
        return sx_fail(err, SX_NO,
                       "%s: %d players pass in rotation %d; say so in the plan's \"passers\"",
                       w->kept->origin, passers, w->rotation + 1);
    }
    if (w->kept->whole) {
        propose(w, proposal, sizeof proposal);
    }
    return sx_fail(err, SX_NO, "%s: %.600s%s", w->kept->origin,
                   w->last.message[0] ? w->last.message : "no allowed passers fit these wishes",
                   proposal);
}

static SxStatus apply(Work *w, SxError *err) {
    gather(w);
    SxStatus status = SX_OK;
    if (w->plan->terms) {
        w->terms = *w->plan->terms;
    } else {
        status = sx_formation_terms_load(NULL, &w->terms, err);
    }
    if (status == SX_OK) {
        status = choose_sides(w, err);
    }
    if (status != SX_OK) {
        return status;
    }
    sx_table_clear(w->table, w->rotation);
    for (unsigned mask = 1; mask < SX_MASKS && status == SX_OK; mask++) {
        for (int sides = 0; sides < SX_SIDES && status == SX_OK; sides++) {
            if (passers_fit(w, mask) && w->sides[sides]) {
                status = add(w, mask, sides, err);
            }
        }
    }
    return status == SX_OK && w->made == 0 ? refuse(w, err) : status;
}

SxStatus sx_kept_apply(const SxPlan *plan, const SxRules *rules, const SxSystem *system,
                       SxFormationTable *table, SxError *err) {
    SxStatus status = SX_OK;
    for (int r = 0; r < SX_ROTATIONS && status == SX_OK; r++) {
        Work work = {.plan = plan,
                     .kept = &plan->kept[r],
                     .rules = rules,
                     .system = system,
                     .table = table,
                     .rotation = r};
        if (!sx_is_kept(plan, r) || !sx_kept_is_placed(&plan->kept[r])) {
            continue;
        }
        sx_formation_default(&work.options);
        work.options.terms = &work.terms;
        status = claims_differ(work.kept, r, err);
        if (status == SX_OK) {
            status = apply(&work, err);
        }
    }
    return status;
}
