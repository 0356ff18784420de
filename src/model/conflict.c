/* Why there is no lineup.
 *
 * The smallest set of wishes that cannot hold together is found by hitting sets: every set of
 * wishes in conflict meets the complement of every set that can hold, so the smallest candidate
 * that meets all complements found so far is either in conflict, hence the answer, or shows a new
 * complement (Ignatiev, Previti, Liffiton, Marques-Silva: Smallest MUS extraction with minimal
 * hitting set dualization, CP 2015; from memory). */
#include "model/conflict.h"

#include "model/lineup_model.h"
#include "sixturn/eligible.h"

#include <limits.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double MILLISECONDS = 1000.0;

/* --- text ---------------------------------------------------------------------------------------
 */

typedef struct {
    char text[SX_ERROR_MESSAGE];
    size_t used;
} Text;

static void say(Text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void say(Text *text, const char *format, ...) {
    va_list args;
    va_start(args, format);
    if (text->used < sizeof text->text) {
        int wrote =
            vsnprintf(text->text + text->used, sizeof text->text - text->used, format, args);
        text->used += wrote > 0 ? (size_t)wrote : 0;
    }
    va_end(args);
}

/* --- shortages ----------------------------------------------------------------------------------
 */

enum { MAX_PLACES = SX_SLOTS * SX_ROWS };

typedef struct {
    int slot[MAX_PLACES];
    SxRow row[MAX_PLACES];
    bool can[MAX_PLACES][SX_MAX_PLAYERS];
    int count;
} Places;

static void list_places(const SxProblem *problem, const bool *sits, Places *places) {
    memset(places, 0, sizeof *places);
    for (int s = 0; s < SX_SLOTS; s++) {
        /* a shared slot may be held by one player in both rows, so it needs only one */
        int rows = problem->system->split[s] ? SX_ROWS : 1;
        for (int row = 0; row < rows; row++) {
            int at = places->count++;
            places->slot[at] = s;
            places->row[at] = (SxRow)row;
            for (int p = 0; p < problem->team->player_count; p++) {
                places->can[at][p] = !sits[p] && sx_can_fill(problem, p, s, (SxRow)row);
            }
        }
    }
}

static int neighbours(const Places *places, unsigned set, int players, bool *who) {
    int count = 0;
    for (int p = 0; p < players; p++) {
        who[p] = false;
        for (int k = 0; k < places->count; k++) {
            who[p] |= (set >> k & 1) && places->can[k][p];
        }
        count += who[p];
    }
    return count;
}

/* By Hall's theorem places can be filled unless some set of them has too few candidates: the
 * smallest such set, or 0. */
static unsigned short_places(const Places *places, int players) {
    unsigned found = 0;
    bool who[SX_MAX_PLAYERS];
    for (unsigned set = 1; set < 1u << places->count; set++) {
        if ((!found || sx_count_members(set) < sx_count_members(found)) &&
            neighbours(places, set, players, who) < sx_count_members(set)) {
            found = set;
        }
    }
    return found;
}

static void say_roles(Text *text, const SxProblem *problem, const Places *places, unsigned set) {
    int needed[SX_ROLE_COUNT] = {0};
    for (int k = 0; k < places->count; k++) {
        if (set >> k & 1) {
            needed[problem->system->duty[places->slot[k]][places->row[k]].role]++;
        }
    }
    const char *separator = "";
    for (int role = 0; role < SX_ROLE_COUNT; role++) {
        if (needed[role]) {
            say(text, "%s%d %s%s", separator, needed[role], sx_role_name((SxRole)role),
                needed[role] > 1 ? "s" : "");
            separator = " and ";
        }
    }
}

static void say_player(Text *text, const SxTeam *team, int p) {
    say(text, "#%d %s", team->players[p].number, team->players[p].name);
}

static void say_players(Text *text, const SxTeam *team, const bool *who) {
    const char *separator = "";
    for (int p = 0; p < team->player_count; p++) {
        if (who[p]) {
            say(text, "%s", separator);
            say_player(text, team, p);
            separator = ", ";
        }
    }
}

/* Players who could fill one of the places if they were available. */
static void say_unavailable(Text *text, const SxProblem *problem, const Places *places,
                            unsigned set) {
    const SxTeam *team = problem->team;
    bool missing[SX_MAX_PLAYERS] = {false};
    bool any = false;
    for (int p = 0; p < team->player_count; p++) {
        for (int k = 0; k < places->count; k++) {
            SxRole role = problem->system->duty[places->slot[k]][places->row[k]].role;
            missing[p] |=
                (set >> k & 1) && !team->players[p].available && team->players[p].fitness[role] > 0;
        }
        any |= missing[p];
    }
    if (any) {
        say(text, "; not available: ");
        say_players(text, team, missing);
    }
}

static bool say_shortage(Text *text, const SxProblem *problem, const bool *sits) {
    Places places;
    list_places(problem, sits, &places);
    unsigned set = short_places(&places, problem->team->player_count);
    if (!set) {
        return false;
    }
    bool who[SX_MAX_PLAYERS];
    int count = neighbours(&places, set, problem->team->player_count, who);
    say(text, "system %s needs ", problem->system->id);
    say_roles(text, problem, &places, set);
    say(text, ", %d available", count);
    if (count) {
        say(text, ": ");
        say_players(text, problem->team, who);
    }
    say_unavailable(text, problem, &places, set);
    return true;
}

static bool say_no_formation(Text *text, const SxProblem *problem) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxFormation *reason = NULL;
        bool any = false;
        for (unsigned mask = 0; mask < SX_MASKS; mask++) {
            const SxFormation *f =
                sx_formation_at(problem->table, r, mask, sx_usual_sides(problem->system, r));
            if (f && problem->plan->passers >> sx_count_members(mask) & 1) {
                any |= f->feasible;
                reason = reason ? reason : f;
            }
        }
        if (!any) {
            say(text, "rotation %d has no legal receive formation: %s", r + 1,
                reason ? reason->reason : "no set of passers is allowed");
            return true;
        }
    }
    return false;
}

static bool say_substitutions(Text *text, const SxProblem *problem) {
    int needed = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        needed += problem->system->split[s] ? 2 : 0;
    }
    int allowed = problem->rules->substitutions;
    if (allowed == SX_UNLIMITED || needed <= allowed) {
        return false;
    }
    say(text, "system %s needs %d substitutions for six rotations, rules %s allow %d a set",
        problem->system->id, needed, problem->rules->id, allowed);
    return true;
}

/* --- the smallest conflict ----------------------------------------------------------------------
 */

typedef struct {
    const SxProblem *problem;
    const SxWork *work;
    int wishes;
    int set_count;
    bool sets[SX_MAX_WISHES][SX_MAX_WISHES]; /* complements of sets of wishes that can hold */
    bool chosen[SX_MAX_WISHES];
} Conflict;

typedef struct {
    LineupModel *model;
    const SxWork *work;
} Question;

/* SX_OK if the program has a solution, SX_NO if not. */
static SxStatus has_solution(void *data, SxError *err) {
    const Question *question = data;
    LineupModel *model = question->model;
    for (int j = 0; j <= glp_get_num_cols(model->mip); j++) {
        glp_set_obj_coef(model->mip, j, 0);
    }
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = GLP_ON;
    control.br_tech = GLP_BR_FFV; /* who plays where comes first */
    const double left = MILLISECONDS * sx_work_left(question->work);
    control.tm_lim = left < INT_MAX ? (int)fmax(left, 1) : INT_MAX;
    int failed = glp_intopt(model->mip, &control);
    int mip_status = glp_mip_status(model->mip);
    if (failed == GLP_ENOPFS || failed == GLP_ENODFS || (!failed && mip_status == GLP_NOFEAS)) {
        return SX_NO;
    }
    if (!failed && (mip_status == GLP_OPT || mip_status == GLP_FEAS)) {
        return SX_OK;
    }
    if (failed == GLP_ETMLIM) {
        return SX_OUT_OF_TIME;
    }
    return sx_fail(err, SX_SOLVER_FAILED,
                   "the solver failed while looking for a conflict (code %d)", failed);
}

/* SX_OK if these wishes can hold together, SX_NO if not. */
static SxStatus can_hold(const SxProblem *problem, const SxWork *work, const bool *wishes,
                         SxError *err) {
    Question question = {.work = work};
    SxStatus status = sx_lineup_model_build(problem, wishes, &question.model, err);
    if (status == SX_OK) {
        status = sx_solver_run(has_solution, &question, &question.model->mip, err);
        sx_lineup_model_free(question.model);
    }
    return status;
}

static int first_missed(const Conflict *c) {
    for (int k = 0; k < c->set_count; k++) {
        bool hit = false;
        for (int w = 0; w < c->wishes; w++) {
            hit |= c->sets[k][w] && c->chosen[w];
        }
        if (!hit) {
            return k;
        }
    }
    return -1;
}

/* Extends `chosen` by at most `more` wishes so that it meets every set. */
static bool hit_all(Conflict *c, int more) {
    int missed = first_missed(c);
    if (missed < 0) {
        return true;
    }
    for (int w = 0; more > 0 && w < c->wishes; w++) {
        if (c->sets[missed][w]) {
            c->chosen[w] = true;
            if (hit_all(c, more - 1)) {
                return true;
            }
            c->chosen[w] = false;
        }
    }
    return false;
}

static void smallest_hitting_set(Conflict *c) {
    for (int size = 0; size <= c->wishes; size++) {
        memset(c->chosen, 0, sizeof c->chosen);
        if (hit_all(c, size)) {
            return;
        }
    }
}

/* Adds wishes to a set that can hold while it still can; what is left over is a new set to meet. */
static SxStatus grow(Conflict *c, SxError *err) {
    bool held[SX_MAX_WISHES];
    memcpy(held, c->chosen, sizeof held);
    for (int w = 0; w < c->wishes; w++) {
        if (held[w]) {
            continue;
        }
        held[w] = true;
        SxStatus status = can_hold(c->problem, c->work, held, err);
        if (sx_is_failure(status)) {
            return status;
        }
        held[w] = status == SX_OK;
    }
    for (int w = 0; w < c->wishes; w++) {
        c->sets[c->set_count][w] = !held[w];
    }
    c->set_count++;
    return SX_OK;
}

static void say_conflict(Text *text, const Conflict *c) {
    bool sits[SX_MAX_PLAYERS] = {false};
    int count = 0;
    for (int w = 0; w < c->wishes; w++) {
        count += c->chosen[w];
    }
    say(text,
        count == 1 ? "this wish cannot be kept with system %s and rules %s:"
                   : "these wishes cannot hold together with system %s and rules %s:",
        c->problem->system->id, c->problem->rules->id);
    for (int w = 0; w < c->wishes; w++) {
        if (c->chosen[w]) {
            const SxWish *wish = &c->problem->plan->wishes[w];
            char line[SX_NAME_SIZE * 3];
            say(text, "\n  - %s", sx_wish_text(wish, c->problem->team, line, sizeof line));
            if (wish->kind == SX_MUST_SIT) {
                sits[wish->player] = true;
            }
        }
    }
    Text shortage = {.used = 0};
    if (say_shortage(&shortage, c->problem, sits)) {
        say(text, "\nthen %s", shortage.text);
    }
}

static SxStatus explain_wishes(const SxProblem *problem, const SxWork *work, Text *text,
                               SxError *err) {
    Conflict *c = calloc(1, sizeof *c);
    if (!c) {
        return sx_out_of_memory(err);
    }
    c->problem = problem;
    c->work = work;
    c->wishes = problem->plan->wish_count;
    SxStatus status;
    do {
        smallest_hitting_set(c);
        status = can_hold(problem, work, c->chosen, err);
        if (status == SX_OK) {
            status = c->set_count < SX_MAX_WISHES ? grow(c, err) : SX_INTERNAL;
        } else if (status == SX_NO) {
            break;
        }
    } while (status == SX_OK);
    if (status == SX_NO) {
        say_conflict(text, c);
    }
    free(c);
    return status;
}

SxStatus sx_conflict_explain(const SxProblem *problem, const SxWork *work, SxError *err) {
    const bool nobody[SX_MAX_PLAYERS] = {false};
    const bool no_wish[SX_MAX_WISHES] = {false};
    Text text = {.used = 0};
    SxStatus status = SX_NO;
    if (work && work->unexplained) {
        return sx_fail(err, SX_NO, "no lineup");
    }
    bool told = say_shortage(&text, problem, nobody) || say_no_formation(&text, problem) ||
                say_substitutions(&text, problem);
    if (!told) {
        status = can_hold(problem, work, no_wish, err);
        if (status == SX_OK) {
            status = explain_wishes(problem, work, &text, err);
        } else if (status == SX_NO) {
            say(&text, "the roster cannot fill system %s under rules %s, wishes apart",
                problem->system->id, problem->rules->id);
        }
    }
    if (status == SX_OUT_OF_TIME) { /* that there is none is known all the same */
        say(&text, "the time was up before it was known why");
        status = SX_NO;
    }
    return status == SX_NO ? sx_fail(err, SX_NO, "no lineup: %s", text.text) : status;
}
