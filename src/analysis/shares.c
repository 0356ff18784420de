/* Playing time over several sets: lineups that together give everyone her share, at the least
 * loss. */
#include "sixturn/shares.h"

#include "analysis/parallel.h"
#include "sixturn/program.h"
#include "solver/glpk.h"
#include "solver/solver.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_LINEUPS = 400, MOST_ROUNDS = 150, MOST_PASSES = 20, MOST_NODES = 20000 };
/* What a missing rotation costs while lineups are still being generated: more than any set. */
static const double SHORTAGE = 1000;
static const double PAYS = 1e-6;
/* Points a set that count as a proof. */
static const double PROVEN = 1e-6;

typedef struct {
    SxLineup lineup;
    int receptions[SX_MAX_PLAYERS];
} Choice;

typedef struct {
    const SxProblem *asked;
    SxPlan plan; /* without the shares */
    SxProblem problem;
    const SxWork *run;
    int sets;
    int need[SX_MAX_PLAYERS];
    Choice *choice;
    int count;
    double bound;
    int solved;
    int times[MOST_LINEUPS]; /* how many sets each choice is played, in the incumbent */
    double short_of[SX_MAX_PLAYERS];
} Work;

static int players(const Work *work) {
    return work->asked->team->player_count;
}

static void count_receptions(const SxLineup *lineup, int *count) {
    memset(count, 0, SX_MAX_PLAYERS * sizeof *count);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            count[sx_on_court(lineup, r, SX_RECEIVE, s)]++;
        }
    }
}

/* Adds a lineup unless one like it is there; returns whether it is new. */
static bool add_choice(Work *work, const SxLineup *lineup) {
    if (work->count == MOST_LINEUPS) {
        return false;
    }
    Choice *choice = &work->choice[work->count];
    choice->lineup = *lineup;
    count_receptions(lineup, choice->receptions);
    for (int k = 0; k < work->count; k++) {
        if (memcmp(&work->choice[k].lineup.order, &lineup->order, sizeof lineup->order) == 0 &&
            memcmp(work->choice[k].receptions, choice->receptions, sizeof choice->receptions) ==
                0) {
            return false;
        }
    }
    work->count++;
    return true;
}

/* The best lineup of a set in which these rotations of reception must be reached. */
static SxStatus solve_set(Work *work, const int *least, SxLineup *lineup, SxError *err) {
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return sx_out_of_memory(err);
    }
    *plan = work->plan;
    SxStatus status = SX_OK;
    for (int p = 0; p < players(work) && status == SX_OK; p++) {
        if (least[p] > 0) {
            status = sx_plan_wish(plan, SX_MIN_ROTATIONS, p, -1, least[p], "share", err);
        }
    }
    if (status == SX_OK) {
        SxProblem problem = work->problem;
        problem.plan = plan;
        const SxSolveOptions options = {.work = work->run};
        status = sx_lineup_solve(&problem, &options, lineup, err);
        work->solved++;
    }
    free(plan);
    return status;
}

/* --- the choice among the lineups at hand -------------------------------------------------------
 */

typedef struct {
    Work *work;
    glp_prob *mip;
    MipRow terms;
    int row[SX_MAX_PLAYERS];   /* 0: no share */
    int lacks[SX_MAX_PLAYERS]; /* column: rotations missing */
    int column[MOST_LINEUPS];
    int sets_row;
    double base, reward[SX_MAX_PLAYERS]; /* what a set and a rotation of a share are worth */
} Master;

static void build_master(Master *master) {
    const Work *work = master->work;
    MipRow *row = &master->terms;
    memset(master->row, 0, sizeof master->row);
    memset(master->lacks, 0, sizeof master->lacks);
    sx_mip_row_clear(row);
    master->mip = glp_create_prob();
    glp_set_obj_dir(master->mip, GLP_MAX);
    for (int k = 0; k < work->count; k++) {
        master->column[k] =
            sx_mip_column(master->mip, NULL, 0, work->sets, work->choice[k].lineup.score, true);
    }
    for (int k = 0; k < work->count; k++) {
        sx_mip_row_add(row, master->column[k], 1);
    }
    master->sets_row = sx_mip_row_put(master->mip, row, NULL, work->sets, work->sets);
    for (int p = 0; p < players(work); p++) {
        if (work->need[p] == 0) {
            continue;
        }
        master->lacks[p] = sx_mip_column(master->mip, NULL, 0, work->need[p], -SHORTAGE, false);
        for (int k = 0; k < work->count; k++) {
            if (work->choice[k].receptions[p]) {
                sx_mip_row_add(row, master->column[k], work->choice[k].receptions[p]);
            }
        }
        sx_mip_row_add(row, master->lacks[p], 1);
        master->row[p] = sx_mip_row_put(master->mip, row, NULL, work->need[p], HUGE_VAL);
    }
}

static SxStatus solve_relaxed(const Master *master, SxError *err) {
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    if (glp_simplex(master->mip, &simplex) || glp_get_status(master->mip) != GLP_OPT) {
        return sx_fail(err, SX_SOLVER_FAILED, "the solver failed on the choice of lineups");
    }
    return SX_OK;
}

/* A good choice is enough here, as the bound does not come from it. Nodes are counted, not seconds,
 * so that every machine chooses the same. */
static void stop_late(glp_tree *tree, void *info) {
    (void)info;
    int active, all, total;
    glp_ios_tree_size(tree, &active, &all, &total);
    if (total > MOST_NODES) {
        glp_ios_terminate(tree);
    }
}

/* Fills times and short_of. */
static SxStatus choose_times(void *data, SxError *err) {
    Master *master = data;
    Work *work = master->work;
    build_master(master);
    SxStatus status = solve_relaxed(master, err);
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.cb_func = stop_late;
    if (status == SX_OK) {
        int failed = glp_intopt(master->mip, &control);
        int found = glp_mip_status(master->mip);
        if ((failed && failed != GLP_ESTOP) || (found != GLP_OPT && found != GLP_FEAS)) {
            status = sx_fail(err, SX_SOLVER_FAILED, "the solver failed on the choice of lineups");
        }
    }
    for (int k = 0; status == SX_OK && k < work->count; k++) {
        work->times[k] = (int)lround(glp_mip_col_val(master->mip, master->column[k]));
    }
    for (int p = 0; status == SX_OK && p < players(work); p++) {
        work->short_of[p] = master->lacks[p] ? glp_mip_col_val(master->mip, master->lacks[p]) : 0;
    }
    glp_delete_prob(master->mip);
    return status;
}

/* What the relaxed choice pays for one more set and for one more rotation of each share. */
static SxStatus find_rewards(void *data, SxError *err) {
    Master *master = data;
    build_master(master);
    SxStatus status = solve_relaxed(master, err);
    if (status == SX_OK) {
        master->base = glp_get_row_dual(master->mip, master->sets_row);
        for (int p = 0; p < players(master->work); p++) {
            master->reward[p] =
                master->row[p] ? fmax(0, -glp_get_row_dual(master->mip, master->row[p])) : 0;
        }
    }
    glp_delete_prob(master->mip);
    return status;
}

static SxStatus choose(Work *work, SxError *err) {
    Master *master = calloc(1, sizeof *master);
    if (!master) {
        return sx_out_of_memory(err);
    }
    master->work = work;
    SxStatus status = sx_solver_run(choose_times, master, &master->mip, err);
    sx_mip_row_free(&master->terms);
    free(master);
    return status;
}

/* --- lineups that pay ---------------------------------------------------------------------------
 */

/* The lineup with the most points and rewards; *value is their sum, the solver's upper bound. */
static SxStatus price(Work *work, const double *reward, double *value, bool *fresh, SxError *err) {
    SxRewarded found;
    SxStatus status = sx_lineup_rewarded(&work->problem, reward, work->run, &found, err);
    work->solved++;
    if (status != SX_OK) {
        return status;
    }
    *value = found.value;
    /* The same order, at least as much reception for those who are rewarded, at its best. */
    SxPlan *plan = malloc(sizeof *plan);
    if (!plan) {
        return sx_out_of_memory(err);
    }
    *plan = work->plan;
    for (int p = 0; p < players(work); p++) {
        if (found.receptions[p] > 0) {
            sx_plan_wish(plan, SX_MIN_ROTATIONS, p, -1, found.receptions[p], "share", NULL);
        }
    }
    SxProblem problem = work->problem;
    problem.plan = plan;
    SxSolveOptions fixed = {.fixed = &found.order};
    SxLineup lineup;
    status = sx_lineup_solve(&problem, &fixed, &lineup, err);
    *fresh = status == SX_OK && add_choice(work, &lineup);
    free(plan);
    return status;
}

static SxStatus generate(Work *work, SxError *err) {
    Master *master = calloc(1, sizeof *master);
    if (!master) {
        return sx_out_of_memory(err);
    }
    master->work = work;
    SxStatus status = SX_OK;
    for (int round = 0; round < MOST_ROUNDS && status == SX_OK; round++) {
        if (sx_parallel_stopped(work->run)) {
            break;
        }
        double asked = 0, value = 0;
        bool fresh = false;
        status = sx_solver_run(find_rewards, master, &master->mip, err);
        for (int p = 0; p < players(work); p++) {
            asked += master->reward[p] * work->need[p];
        }
        if (status == SX_OK) {
            status = price(work, master->reward, &value, &fresh, err);
        }
        if (status == SX_OUT_OF_TIME) { /* what is there is an answer */
            status = SX_OK;
            break;
        }
        if (status == SX_OK) {
            /* Rewards for what is asked can be taken off again: what is left bounds all choices. */
            work->bound = fmin(work->bound, work->sets * value - asked);
        }
        if (work->run && work->run->progress) {
            work->run->progress(work->run->context, work->solved, 0);
        }
        if (value <= master->base + PAYS || !fresh) {
            break;
        }
    }
    sx_mip_row_free(&master->terms);
    free(master);
    return status;
}

/* --- bettering each set with the others held ----------------------------------------------------
 */

static double total(const Work *work) {
    double sum = 0;
    for (int k = 0; k < work->count; k++) {
        sum += work->times[k] * work->choice[k].lineup.score;
    }
    for (int p = 0; p < players(work); p++) {
        sum -= SHORTAGE * work->short_of[p];
    }
    return sum;
}

static SxStatus better_sets(Work *work, bool *fresh, SxError *err) {
    *fresh = false;
    SxStatus status = SX_OK;
    int known = work->count;
    for (int k = 0; k < known && status == SX_OK; k++) {
        if (work->times[k] == 0 || sx_parallel_stopped(work->run)) {
            continue;
        }
        int least[SX_MAX_PLAYERS];
        bool possible = true;
        for (int p = 0; p < players(work); p++) {
            least[p] = work->need[p] + work->choice[k].receptions[p];
            for (int j = 0; j < known; j++) {
                least[p] -= work->times[j] * work->choice[j].receptions[p];
            }
            possible = possible && least[p] <= SX_ROTATIONS;
        }
        SxLineup lineup;
        status = possible ? solve_set(work, least, &lineup, err) : SX_NO;
        *fresh |= status == SX_OK && add_choice(work, &lineup);
        status = status == SX_NO || status == SX_OUT_OF_TIME ? SX_OK : status;
    }
    return status;
}

static SxStatus improve(Work *work, SxError *err) {
    SxStatus status = choose(work, err);
    for (int pass = 0; pass < MOST_PASSES && status == SX_OK; pass++) {
        if (work->bound - total(work) <= PROVEN * work->sets || sx_parallel_stopped(work->run)) {
            break;
        }
        bool fresh;
        status = better_sets(work, &fresh, err);
        if (status == SX_OK && fresh) {
            status = choose(work, err);
        } else {
            break;
        }
    }
    return status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static void take_shares(Work *work, const SxPlan *plan) {
    work->plan = *plan;
    work->plan.wish_count = 0;
    for (int k = 0; k < plan->wish_count; k++) {
        const SxWish *wish = &plan->wishes[k];
        if (wish->kind == SX_MIN_ROTATIONS) {
            int *need = &work->need[wish->player];
            *need = wish->value > *need ? wish->value : *need;
        } else {
            work->plan.wishes[work->plan.wish_count++] = *wish;
        }
    }
    work->problem = *work->asked;
    work->problem.plan = &work->plan;
}

static int better_first(const void *a, const void *b) {
    const SxLineup *left = a, *right = b;
    if (left->score != right->score) {
        return left->score > right->score ? -1 : 1;
    }
    return memcmp(left->order.front, right->order.front, sizeof left->order.front);
}

static SxStatus hand_over(const Work *work, SxShares *out, SxError *err) {
    for (int p = 0; p < players(work); p++) {
        if (work->short_of[p] > 0.5) {
            const SxPlayer *who = &work->asked->team->players[p];
            bool proven = work->bound < -SHORTAGE / 2;
            if (!proven && sx_parallel_stopped(work->run)) {
                return sx_fail(err, SX_OUT_OF_TIME,
                               "the time was up before lineups were found that give everyone her "
                               "playing time");
            }
            return sx_fail(
                err, SX_NO,
                "%s for %d set%s that give everyone her playing time: #%d %s lacks %d of %d "
                "rotations",
                proven ? "there are no lineups" : "no lineups were found", work->sets,
                work->sets == 1 ? "" : "s", who->number, who->name, (int)lround(work->short_of[p]),
                work->need[p]);
        }
    }
    for (int k = 0; k < work->count; k++) {
        for (int n = 0; n < work->times[k]; n++) {
            out->set[out->sets++] = work->choice[k].lineup;
            out->total += work->choice[k].lineup.score;
        }
    }
    qsort(out->set, (size_t)out->sets, sizeof out->set[0], better_first);
    for (int n = 0; n < out->sets; n++) {
        int count[SX_MAX_PLAYERS];
        count_receptions(&out->set[n], count);
        for (int p = 0; p < players(work); p++) {
            out->got[p][n] = count[p];
        }
    }
    memcpy(out->need, work->need, sizeof out->need);
    out->bound = fmax(work->bound, out->total);
    out->proof = out->bound - out->total <= PROVEN * work->sets ? SX_OPTIMAL : SX_FEASIBLE;
    out->free_score = work->choice[0].lineup.score;
    out->solved = work->solved;
    return SX_OK;
}

SxStatus sx_shares(const SxProblem *problem, int sets, const SxWork *run, SxShares *out,
                   SxError *err) {
    memset(out, 0, sizeof *out);
    if (sets < 1 || sets > SX_MAX_SHARED_SETS) {
        return sx_fail(err, SX_USAGE, "playing time is shared over 1 to %d sets, not %d",
                       SX_MAX_SHARED_SETS, sets);
    }
    Work *work = calloc(1, sizeof *work);
    Choice *choice = calloc(MOST_LINEUPS, sizeof *choice);
    SxStatus status = work && choice ? SX_OK : sx_out_of_memory(err);
    if (status == SX_OK) {
        work->asked = problem;
        work->run = run;
        work->sets = sets;
        work->choice = choice;
        take_shares(work, problem->plan);
        int nothing[SX_MAX_PLAYERS] = {0};
        SxLineup best;
        status = solve_set(work, nothing, &best, err);
        if (status == SX_OK) {
            add_choice(work, &best);
            work->bound = sets * best.bound;
            status = generate(work, err);
        }
    }
    if (status == SX_OK) {
        status = improve(work, err);
    }
    if (status == SX_OK) {
        status = hand_over(work, out, err);
    }
    free(choice);
    free(work);
    return status;
}
