/* Other formations of one rotation: the cheapest shapes of every set of passers and sides, valued
 * in the lineup, and the best that differ enough to be worth telling. */
#include "sixturn/alternatives.h"

#include "analysis/parallel.h"
#include "analysis/stops.h"
#include "sixturn/bestset.h"
#include "sixturn/evaluate.h"
#include "sixturn/kept.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sets of 100 that are told as the same; then the formation's own cost decides. */
static const double same_sets = 0.05;

/* One set of passers with one set of sides. */
typedef struct {
    unsigned passers;
    int sides;
    int count;
    SxFormationShape *shape; /* room for `most` */
    double *loss;            /* sets of 100, by shape */
    bool allowed;            /* by the plan's wishes */
} Group;

typedef struct {
    const SxProblem *problem;
    const SxFixture *fixture;
    const SxLineup *lineup;
    double win;
    int rotation, most;
    SxFormationOptions options;
    int group_count;
    Group group[SX_MASKS * SX_SIDES];
} Search;

double sx_formation_metres(const SxFormation *formation) {
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        sum += formation->run[s];
    }
    return sum;
}

/* The lineup with that formation in the rotation. */
static SxLineup with(const Search *search, const SxFormation *formation) {
    const SxProblem *problem = search->problem;
    const int r = search->rotation;
    SxSix six;
    SxLineup lineup = *search->lineup;
    SxRotation *at = &lineup.rotation[r];
    at->passers = formation->passers;
    at->sides = formation->sides;
    at->receive = formation;
    sx_lineup_six(&lineup, r, &six);
    sx_rotation_parts(problem, r, &six, at->part);
    at->score = sx_rotation_score(problem->plan, at->part);
    return lineup;
}

static bool keeps_wishes(const SxProblem *problem, const SxLineup *lineup) {
    for (int k = 0; k < problem->plan->wish_count; k++) {
        if (!sx_wish_holds(problem, lineup, &problem->plan->wishes[k])) {
            return false;
        }
    }
    return true;
}

static bool same_legs(const SxFormation *a, const SxFormation *b) {
    bool same = true;
    for (int s = 0; s < SX_SLOTS; s++) {
        same &= a->late[s] == b->late[s];
    }
    return same;
}

/* The first shape in which everybody is as late as in this one: the odds are the same. */
static int first_twin(const Group *group, int shape) {
    int k = 0;
    while (!same_legs(&group->shape[k].formation, &group->shape[shape].formation)) {
        k++;
    }
    return k;
}

static SxStatus value_group(void *context, int index, SxError *err) {
    Search *search = context;
    Group *group = &search->group[index];
    SxFormationOptions options = search->options;
    options.sides = group->sides;
    SxStatus status = sx_formation_alternatives(
        search->problem->system, search->rotation, 1u << sx_count_members(group->passers),
        group->passers, &options, group->shape, search->most, &group->count, err);
    for (int k = 0; k < group->count && status == SX_OK; k++) {
        const int twin = first_twin(group, k);
        if (twin < k) {
            group->loss[k] = group->loss[twin];
            continue;
        }
        double win;
        const SxLineup lineup = with(search, &group->shape[k].formation);
        group->allowed = keeps_wishes(search->problem, &lineup);
        if (!group->allowed) {
            group->count = 0;
            break;
        }
        status = sx_lineup_odds(search->problem, &lineup, search->fixture, &win, err);
        group->loss[k] = SX_SETS * (search->win - win);
    }
    return status;
}

static SxStatus add_group(Search *search, unsigned passers, int sides, SxError *err) {
    Group *group = &search->group[search->group_count];
    *group = (Group){.passers = passers,
                     .sides = sides,
                     .shape = calloc((size_t)search->most, sizeof *group->shape),
                     .loss = calloc((size_t)search->most, sizeof *group->loss)};
    search->group_count++; /* what is there is freed with it */
    return group->shape && group->loss ? SX_OK : sx_out_of_memory(err);
}

static SxStatus add_groups(Search *search, const SxFormationTerms *terms, SxError *err) {
    const SxProblem *problem = search->problem;
    const int setter = problem->system->setter_slot[search->rotation];
    SxStatus status = SX_OK;
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        const bool may_pass = problem->plan->setter_passes || !(mask >> setter & 1);
        if (!may_pass || !(problem->plan->passers >> sx_count_members(mask) & 1)) {
            continue;
        }
        for (int sides = 0; sides < SX_SIDES && status == SX_OK; sides++) {
            if (sx_sides_are_open(problem->system, search->rotation, sides, terms)) {
                status = add_group(search, mask, sides, err);
            }
        }
    }
    return status;
}

/* --- the best of them ---------------------------------------------------------------------------
 */

typedef struct {
    const SxFormationShape *shape;
    double loss;
} Candidate;

static int better_first(const void *a, const void *b) {
    const Candidate *one = a, *two = b;
    const double steps[2] = {round(one->loss / same_sets), round(two->loss / same_sets)};
    if (steps[0] != steps[1]) {
        return steps[0] < steps[1] ? -1 : 1;
    }
    if (one->shape->total != two->shape->total) {
        return one->shape->total < two->shape->total ? -1 : 1;
    }
    const SxFormation *f = &one->shape->formation, *g = &two->shape->formation;
    return f->passers != g->passers ? (f->passers < g->passers ? -1 : 1)
           : f->sides != g->sides   ? (f->sides < g->sides ? -1 : 1)
                                    : memcmp(f->lane, g->lane, sizeof f->lane);
}

/* Is it another way to play: other passers, lanes or sides, or somebody stands elsewhere? */
static bool differs(const SxFormation *a, const SxFormation *b) {
    if (a->passers != b->passers || a->sides != b->sides ||
        memcmp(a->lane, b->lane, sizeof a->lane) != 0) {
        return true;
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_distance(a->spot[s], b->spot[s]) >= SX_ELSEWHERE) {
            return true;
        }
    }
    return false;
}

static bool is_new(const SxAlternatives *out, const SxFormation *own, const SxFormation *f) {
    bool fresh = differs(own, f);
    int alike = 0;
    for (int k = 0; k < out->count && fresh; k++) {
        const SxFormation *other = &out->item[k].formation;
        fresh = differs(other, f);
        alike += other->passers == f->passers && other->sides == f->sides;
    }
    return fresh && alike < SX_ALIKE;
}

static SxStatus choose(const Search *search, SxAlternatives *out, SxError *err) {
    const SxFormation *own = search->lineup->rotation[search->rotation].receive;
    Candidate *list = calloc((size_t)search->group_count * (size_t)search->most + 1, sizeof *list);
    size_t count = 0;
    if (!list) {
        return sx_out_of_memory(err);
    }
    for (int g = 0; g < search->group_count; g++) {
        const Group *group = &search->group[g];
        out->choices += group->allowed;
        for (int k = 0; k < group->count; k++) {
            list[count++] = (Candidate){&group->shape[k], group->loss[k]};
        }
    }
    qsort(list, count, sizeof *list, better_first);
    out->hides_behind = SX_NOBODY;
    for (size_t k = 0; k < count; k++) {
        const SxFormation *f = &list[k].shape->formation;
        if (!differs(own, f)) {
            out->hides_behind = list[k].shape->hides_behind;
            break;
        }
    }
    for (size_t k = 0; k < count && out->count < search->most - 1; k++) {
        const SxFormation *f = &list[k].shape->formation;
        if (is_new(out, own, f)) {
            out->item[out->count++] = (SxAlternative){*f, list[k].shape->hides_behind, list[k].loss,
                                                      sx_formation_metres(f)};
        }
    }
    free(list);
    return SX_OK;
}

SxStatus sx_alternatives(const SxProblem *problem, const SxFixture *fixture, const SxLineup *lineup,
                         double win, int rotation, int most, const SxWork *work,
                         SxAlternatives *out, SxError *err) {
    memset(out, 0, sizeof *out);
    if (rotation < 0 || rotation >= SX_ROTATIONS || most < 1 || most > SX_MAX_ALTERNATIVES) {
        return sx_fail(err, SX_USAGE, "1 to %d other formations of rotation 1 to 6 can be told",
                       SX_MAX_ALTERNATIVES);
    }
    Search *search = calloc(1, sizeof *search);
    if (!search) {
        return sx_out_of_memory(err);
    }
    search->problem = problem;
    search->fixture = fixture;
    search->lineup = lineup;
    search->win = win;
    search->rotation = rotation;
    search->most = most + 1; /* the lineup's own may be among them */
    out->rotation = rotation;
    out->win = win;
    out->run = sx_formation_metres(lineup->rotation[rotation].receive);
    SxFormationTerms terms;
    sx_plan_formation_options(problem->plan, &search->options);
    SxStatus status = SX_OK;
    if (!search->options.terms) {
        status = sx_formation_terms_load(NULL, &terms, err);
        search->options.terms = &terms;
    }
    if (status == SX_OK) {
        status = add_groups(search, search->options.terms, err);
    }
    if (status == SX_OK) {
        status = sx_parallel_for(work, search->group_count, value_group, search, NULL, err);
    }
    if (status == SX_OK) {
        out->whole = !work || !sx_work_over(work);
        status = choose(search, out, err);
    }
    for (int g = 0; g < search->group_count; g++) {
        free(search->group[g].shape);
        free(search->group[g].loss);
    }
    free(search);
    return status;
}

void sx_keep_formation(const SxSystem *system, int rotation, const SxFormation *formation,
                       SxKept *kept) {
    memset(kept, 0, sizeof *kept);
    kept->whole = true;
    kept->count = SX_SLOTS;
    for (int position = 1; position <= SX_POSITIONS; position++) {
        const int slot = sx_slot_at(position, rotation);
        const bool hits = sx_is_front_hitter(system, rotation, slot);
        kept->place[position - 1] =
            (SxKeptPlace){.who = {SX_NOBODY, position},
                          .stands = true,
                          .spot = formation->spot[slot],
                          .passes = formation->passers >> slot & 1,
                          .lane = -1,
                          .attacks_from = hits ? (int)sx_side_lane(formation->sides, position) : -1,
                          .behind = {SX_NOBODY, 0}};
    }
}
