/* Playing time over several sets: lineups that together give everyone her share, at the least
 * loss. */
#include "sixturn/shares.h"

#include "analysis/parallel.h"
#include "analysis/sharesets.h"
#include "sixturn/evaluate.h"
#include "sixturn/program.h"
#include "solver/glpk.h"
#include "solver/solver.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_ROUNDS = 150 };
static const ShareLimits USUAL_LIMITS = {
    .listed = 200000, .ways = 30000, .first_nodes = 100000, .nodes = 20000000};
/* What a missing rotation costs while ways are looked for: at first about what it may be worth, and
 * more while rotations are missing, up to more than any set. */
static const double FIRST_SHORTAGE = 1, LAST_SHORTAGE = 1000, DEARER = 10;
/* Points that a way must be worth more than those known to be looked for. */
static const double PAYS = 1e-6;
/* Points a set that count as a proof. */
static const double PROVEN = 1e-6;
/* How much less than the best a way may be worth, while prices are looked for, and at first for the
 * proof; then doubled until all are known that matter. */
static const double NEAR = 0.05, FIRST_DEPTH = 0.125;
/* Two ways of reckoning one score agree to this. */
static const double AGREE = 1e-6;

typedef struct {
    const SxProblem *asked;
    SxPlan plan; /* without the shares */
    SxProblem problem;
    const SxWork *run;
    int sets;
    int need[SX_MAX_PLAYERS];
    double free_score;
    ShareWays ways;
    SxRewards rewards;            /* those that bound best */
    double best;                  /* by those no way is worth more */
    double bound;                 /* no choice of sets has a larger sum */
    double lacks[SX_MAX_PLAYERS]; /* rotations that no mixture of ways can give */
    ShareChoice choice;
    int solved;
} Work;

static int players(const Work *work) {
    return work->asked->team->player_count;
}

/* --- the best mixture of the ways known ---------------------------------------------------------
 */

typedef struct {
    Work *work;
    glp_prob *lp;
    MipRow terms;
    double shortage;
    int sets_row;
    int row[SX_MAX_PLAYERS];   /* 0: no share */
    int lacks[SX_MAX_PLAYERS]; /* column: rotations missing */
    int column;                /* of the first way */
    double base;               /* what a set is worth */
    SxRewards rewards;         /* and a rotation of each share */
} Mixture;

static void add_share(Mixture *mixture, int p) {
    const Work *work = mixture->work;
    mixture->lacks[p] =
        sx_mip_column(mixture->lp, NULL, 0, work->need[p], -mixture->shortage, false);
    for (int k = 0; k < work->ways.count; k++) {
        if (work->ways.item[k].way.got[p]) {
            sx_mip_row_add(&mixture->terms, mixture->column + k, work->ways.item[k].way.got[p]);
        }
    }
    sx_mip_row_add(&mixture->terms, mixture->lacks[p], 1);
    mixture->row[p] = sx_mip_row_put(mixture->lp, &mixture->terms, NULL, work->need[p], HUGE_VAL);
}

static void build(Mixture *mixture) {
    const Work *work = mixture->work;
    mixture->lp = glp_create_prob();
    glp_set_obj_dir(mixture->lp, GLP_MAX);
    for (int k = 0; k < work->ways.count; k++) {
        /* No bound of its own: there its price would hide what a set is worth. */
        const int column =
            sx_mip_column(mixture->lp, NULL, 0, HUGE_VAL, work->ways.item[k].way.score, false);
        sx_mip_row_add(&mixture->terms, column, 1);
        mixture->column = k ? mixture->column : column;
    }
    mixture->sets_row = sx_mip_row_put(mixture->lp, &mixture->terms, NULL, work->sets, work->sets);
    for (int p = 0; p < players(work); p++) {
        if (work->need[p]) {
            add_share(mixture, p);
        }
    }
}

static void read_prices(Mixture *mixture) {
    Work *work = mixture->work;
    mixture->base = glp_get_row_dual(mixture->lp, mixture->sets_row);
    for (int p = 0; p < players(work); p++) {
        const int row = mixture->row[p];
        mixture->rewards.points[p] = row ? fmax(0, -glp_get_row_dual(mixture->lp, row)) : 0;
        work->lacks[p] = row ? glp_get_col_prim(mixture->lp, mixture->lacks[p]) : 0;
    }
}

static SxStatus solve_mixture(void *data, SxError *err) {
    Mixture *mixture = data;
    build(mixture);
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    const bool solved =
        glp_simplex(mixture->lp, &simplex) == 0 && glp_get_status(mixture->lp) == GLP_OPT;
    if (solved) {
        read_prices(mixture);
    }
    glp_delete_prob(mixture->lp);
    return solved ? SX_OK
                  : sx_fail(err, SX_SOLVER_FAILED, "the solver failed on the choice of lineups");
}

/* --- ways that pay ------------------------------------------------------------------------------
 */

/* What is paid for rotations that are asked for is taken off again: what is left bounds all
 * choices. */
static double bound_by(const Work *work, const SxRewards *rewards, double best) {
    double sum = work->sets * best;
    for (int p = 0; p < players(work); p++) {
        sum -= rewards->points[p] * work->need[p];
    }
    return sum;
}

/* By the integer program, where there are too many orders to go through. */
static SxStatus find_by_program(Work *work, const SxRewards *rewards, double *value, SxError *err) {
    SxRewarded found;
    SxStatus status = sx_lineup_rewarded(&work->problem, rewards, work->run, &found, err);
    if (status == SX_OK) {
        *value = found.value;
        status = sx_share_ways_add(&work->ways, &found.order, rewards, *value - AGREE, err);
    }
    return status;
}

/* Adds the best way by these rewards, and others; *value is the most that any is worth. */
static SxStatus find_best(Work *work, const SxRewards *rewards, double *value, SxError *err) {
    ShareSearch found;
    SxStatus status = sx_share_ways_find(&work->ways, rewards, NEAR, &found, err);
    work->solved++;
    *value = fmax(found.best, found.open);
    if (status == SX_OK && found.too_many) {
        status = find_by_program(work, rewards, value, err);
    }
    if (status == SX_OK && bound_by(work, rewards, *value) < work->bound) {
        work->bound = bound_by(work, rewards, *value);
        work->rewards = *rewards;
        work->best = *value;
    }
    return status;
}

static bool anybody_lacks(const Work *work) {
    for (int p = 0; p < players(work); p++) {
        if (work->lacks[p] > PAYS) {
            return true;
        }
    }
    return false;
}

/* Ways are looked for by the prices that the mixture of those known pays, until none is worth more
 * than it pays. */
static SxStatus generate(Work *work, Mixture *mixture, SxError *err) {
    mixture->work = work;
    mixture->shortage = FIRST_SHORTAGE;
    mixture->rewards = work->rewards;
    SxStatus status = SX_OK;
    for (int round = 0; round < MOST_ROUNDS && status == SX_OK; round++) {
        if (sx_parallel_stopped(work->run)) {
            break;
        }
        status = sx_solver_run(solve_mixture, mixture, &mixture->lp, err);
        double value = 0;
        if (status == SX_OK) {
            status = find_best(work, &mixture->rewards, &value, err);
        }
        if (status == SX_OK && value <= mixture->base + PAYS) {
            if (!anybody_lacks(work) || mixture->shortage >= LAST_SHORTAGE) {
                break;
            }
            mixture->shortage *= DEARER;
        }
    }
    return status == SX_OUT_OF_TIME ? SX_OK : status; /* what is there is an answer */
}

static SxStatus find_prices(Work *work, SxError *err) {
    Mixture *mixture = calloc(1, sizeof *mixture);
    if (!mixture) {
        return sx_out_of_memory(err);
    }
    const SxStatus status = generate(work, mixture, err);
    sx_mip_row_free(&mixture->terms);
    free(mixture);
    return status;
}

/* --- the choice of sets -------------------------------------------------------------------------
 */

static SxStatus choose(Work *work, double depth, long most_nodes, SxError *err) {
    const ShareTask task = {.ways = &work->ways,
                            .rewards = &work->rewards,
                            .best = work->best,
                            .depth = depth,
                            .sets = work->sets,
                            .need = work->need,
                            .most_nodes = most_nodes};
    return sx_share_choose(&task, &work->choice, err);
}

static bool is_proven(const Work *work) {
    return work->choice.found && work->bound - work->choice.total <= PROVEN * work->sets;
}

/* Finds all ways worth at most `depth` less than the best, and chooses anew. A choice with any
 * other loses more than that against the bound of all. */
static SxStatus deepen(Work *work, double depth, bool *more, SxError *err) {
    const double bound = bound_by(work, &work->rewards, work->best);
    ShareSearch found;
    SxStatus status = sx_share_ways_find(&work->ways, &work->rewards, depth, &found, err);
    *more = status == SX_OK && found.all;
    if (*more) {
        status = choose(work, depth, work->ways.limits.nodes, err);
        *more = work->choice.complete && !isinf(found.open);
    }
    if (status == SX_OK && found.all && work->choice.complete) {
        const double left = isinf(found.open) ? -INFINITY : bound - depth;
        const double known = work->choice.found ? work->choice.total : -INFINITY;
        work->bound = fmin(work->bound, fmax(left, known));
    }
    return status;
}

static SxStatus prove(Work *work, SxError *err) {
    SxStatus status = choose(work, FIRST_DEPTH, work->ways.limits.first_nodes, err);
    const double bound = bound_by(work, &work->rewards, work->best);
    bool more = work->bound > -LAST_SHORTAGE / 2;
    for (double depth = FIRST_DEPTH; status == SX_OK && more && !is_proven(work); depth *= 2) {
        const double gap = work->choice.found ? bound - work->choice.total : INFINITY;
        more = !sx_parallel_stopped(work->run);
        if (more) {
            status = deepen(work, fmin(depth, gap), &more, err);
            more = more && depth < gap;
        }
    }
    if ((status == SX_OK || status == SX_OUT_OF_TIME) && !work->choice.found) {
        status = choose(work, INFINITY, work->ways.limits.first_nodes,
                        err); /* what is there is an answer */
    }
    return status == SX_OUT_OF_TIME ? SX_OK : status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static void take_shares(Work *work, const SxPlan *plan) {
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        if (wish->kind == SX_MIN_ROTATIONS) {
            int *need = &work->need[wish->player];
            *need = wish->value > *need ? wish->value : *need;
        }
    }
    work->plan = *plan;
    sx_plan_drop_wishes(&work->plan, SX_MIN_ROTATIONS);
    work->problem = *work->asked;
    work->problem.plan = &work->plan;
    work->ways.problem = &work->problem;
    work->ways.run = work->run;
    for (int p = 0; p < players(work); p++) {
        const int most = work->need[p] < SX_ROTATIONS ? work->need[p] : SX_ROTATIONS;
        work->rewards.most[p] = most;
        work->ways.many |= most > SX_BACK_TURNS;
    }
}

/* The best lineup of one set if nobody had a share. */
static SxStatus begin(Work *work, SxError *err) {
    const SxSolveOptions options = {.work = work->run};
    SxLineup free;
    SxStatus status = sx_lineup_solve(&work->problem, &options, &free, err);
    if (status == SX_OK) {
        work->solved++;
        work->free_score = free.score;
        work->best = free.bound;
        work->bound = work->sets * free.bound;
        status =
            sx_share_ways_add(&work->ways, &free.order, &work->rewards, free.score - AGREE, err);
    }
    return status;
}

static int better_first(const void *a, const void *b) {
    const SxLineup *left = a, *right = b;
    if (left->score != right->score) {
        return left->score > right->score ? -1 : 1;
    }
    return memcmp(left->order.front, right->order.front, sizeof left->order.front);
}

SxStatus sx_shares_ask(SxPlan *plan, const signed char *rotations, int players, SxError *err) {
    SxStatus status = SX_OK;
    for (int p = 0; p < players && status == SX_OK; p++) {
        if (rotations[p] > 0) {
            status = sx_plan_wish(plan, SX_MIN_ROTATIONS, p, SX_NOBODY, rotations[p], "share", err);
        }
    }
    return status;
}

/* The lineup of a way. */
static SxStatus lay_out(const Work *work, const ShareWay *way, SxLineup *lineup, SxError *err) {
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return sx_out_of_memory(err);
    }
    *plan = work->plan;
    SxStatus status = sx_shares_ask(plan, way->way.got, players(work), err);
    SxProblem problem = work->problem;
    problem.plan = plan;
    const SxSolveOptions fixed = {.fixed = &way->order};
    if (status == SX_OK) {
        status = sx_lineup_solve(&problem, &fixed, lineup, err);
    }
    if (status == SX_OK && fabs(lineup->score - way->way.score) > AGREE) {
        status = sx_fail(err, SX_INTERNAL, "two reckonings of a set disagree: %.9g and %.9g",
                         way->way.score, lineup->score);
    }
    free(plan);
    return status;
}

static SxStatus say_no(const Work *work, SxError *err) {
    const bool proven = work->bound < -LAST_SHORTAGE / 2;
    if (!proven && sx_parallel_stopped(work->run)) {
        return sx_fail(err, SX_OUT_OF_TIME,
                       "the time was up before lineups were found that give everyone her playing "
                       "time");
    }
    int worst = 0;
    for (int p = 0; p < players(work); p++) {
        worst = work->lacks[p] > work->lacks[worst] + PAYS ? p : worst;
    }
    char who[128] = "";
    if (work->lacks[worst] > PAYS) {
        const SxPlayer *player = &work->asked->team->players[worst];
        snprintf(who, sizeof who, ": #%d %s lacks %d of %d rotations", player->number, player->name,
                 (int)ceil(work->lacks[worst] - PAYS), work->need[worst]);
    }
    return sx_fail(err, SX_NO, "%s for %d set%s that give everyone her playing time%s",
                   proven ? "there are no lineups" : "no lineups were found", work->sets,
                   work->sets == 1 ? "" : "s", who);
}

void sx_shares_count(SxShares *shares) {
    memset(shares->got, 0, sizeof shares->got);
    for (int n = 0; n < shares->sets; n++) {
        for (int k = 0; k < SX_ROTATIONS * SX_SLOTS; k++) {
            const int rotation = k / SX_SLOTS, slot = k % SX_SLOTS;
            shares->got[sx_on_court(&shares->set[n], rotation, SX_RECEIVE, slot)][n]++;
        }
    }
}

static SxStatus hand_over(const Work *work, SxShares *out, SxError *err) {
    if (!work->choice.found) {
        return say_no(work, err);
    }
    SxStatus status = SX_OK;
    for (int n = 0; n < work->sets && status == SX_OK; n++) {
        status = lay_out(work, &work->ways.item[work->choice.way[n]], &out->set[n], err);
        out->total += out->set[n].score;
    }
    if (status != SX_OK) {
        return status == SX_NO ? sx_fail(err, SX_INTERNAL, "a set breaks a wish") : status;
    }
    out->sets = work->sets;
    qsort(out->set, (size_t)out->sets, sizeof out->set[0], better_first);
    sx_shares_count(out);
    memcpy(out->need, work->need, sizeof out->need);
    out->bound = fmax(work->bound, out->total);
    out->proof = out->bound - out->total <= PROVEN * work->sets ? SX_OPTIMAL : SX_FEASIBLE;
    out->free_score = work->free_score;
    out->solved = work->solved;
    return SX_OK;
}

SxStatus sx_shares(const SxProblem *problem, int sets, const SxWork *run, SxShares *out,
                   SxError *err) {
    return sx_shares_within(problem, sets, run, &USUAL_LIMITS, out, err);
}

SxStatus sx_shares_within(const SxProblem *problem, int sets, const SxWork *run,
                          const ShareLimits *limits, SxShares *out, SxError *err) {
    memset(out, 0, sizeof *out);
    if (sets < 1 || sets > SX_MAX_SHARED_SETS) {
        return sx_fail(err, SX_USAGE, "playing time is shared over 1 to %d sets, not %d",
                       SX_MAX_SHARED_SETS, sets);
    }
    Work *work = calloc(1, sizeof *work);
    if (!work) {
        return sx_out_of_memory(err);
    }
    work->asked = problem;
    work->run = run;
    work->sets = sets;
    work->ways.limits = *limits;
    take_shares(work, problem->plan);
    SxStatus status = begin(work, err);
    if (status == SX_OK) {
        status = find_prices(work, err);
    }
    if (status == SX_OK) {
        status = prove(work, err);
    }
    if (status == SX_OK) {
        status = hand_over(work, out, err);
    }
    sx_share_ways_free(&work->ways);
    free(work);
    return status;
}
