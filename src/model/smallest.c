/* The smallest set of wishes that cannot hold together.
 *
 * First one from which none can go, by trying to leave out each. Whether there is a smaller one is
 * asked by hitting sets: every set of wishes in conflict meets the complement of every set that can
 * hold, so the smallest candidate that meets all complements found so far is as large as the
 * conflict at hand, which is then the smallest; or in conflict, hence the answer; or it can hold
 * and shows a new complement (Ignatiev, Previti, Liffiton, Marques-Silva: Smallest MUS extraction
 * with minimal hitting set dualization, CP 2015; from memory). */
#include "model/smallest.h"

#include "model/lineup_model.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Effort until the conflict at hand is told without the proof that it is the smallest; counted, not
 * timed, so that every machine tells the same. */
enum {
    MOST_SETS = 256,
    MOST_STEPS = 1000000,
    NODES_A_QUESTION = 100,
    MOST_NODES = 5000,
    MOST_UNANSWERED = 4
};
enum { WORD_BITS = 64, WORDS = SX_MAX_WISHES / WORD_BITS };

/* A set of wishes, a bit each. */
typedef struct {
    uint64_t word[WORDS];
} Set;

/* What a row of a wish asks for, kept while it asks for nothing. */
typedef struct {
    int type;
    double low, high;
} Bounds;

typedef struct {
    /* The problem without its score: whether there is a lineup does not depend on it, and without
     * parts that count the program is a fraction as large. */
    SxPlan plan;
    SxProblem problem;
    LineupModel *model;
    Bounds *bounds; /* of the wishes' rows, from that of the first wish */
    const SxWork *work;
    int wishes;
    bool asked[SX_MAX_WISHES]; /* of the solver */
    bool asks_any;
    bool kept[SX_MAX_WISHES]; /* by what it found, asked or not */
    int set_count;
    Set sets[MOST_SETS]; /* complements of sets of wishes that can hold */
    Set chosen;
    int least; /* wishes that it takes to meet all of them */
    long steps, nodes;
    int nodes_of_question;
    int unanswered; /* questions given up */
} Search;

/* --- can they hold? -----------------------------------------------------------------------------
 */

static int rows_end(const Search *c, int wish) {
    return wish + 1 < c->wishes ? c->model->wish_row[wish + 1] : c->model->rows_of_wishes_end;
}

static const Bounds *bounds_of(const Search *c, int row) {
    return &c->bounds[row - c->model->wish_row[0]];
}

static void ask_rows(const Search *c) {
    for (int w = 0; w < c->wishes; w++) {
        for (int row = c->model->wish_row[w]; row < rows_end(c, w); row++) {
            const Bounds *bounds = bounds_of(c, row);
            glp_set_row_bnds(c->model->mip, row, c->asked[w] ? bounds->type : GLP_FR, bounds->low,
                             bounds->high);
        }
    }
}

static bool keeps(const Search *c, int wish) {
    static const double rounding = 1e-6;
    bool kept = true;
    for (int row = c->model->wish_row[wish]; row < rows_end(c, wish); row++) {
        const double value = glp_mip_row_val(c->model->mip, row);
        kept &= value >= bounds_of(c, row)->low - rounding;
        kept &= value <= bounds_of(c, row)->high + rounding;
    }
    return kept;
}

/* The dual simplex goes on from the question before; mostly the relaxation says no already. */
static int relax(const Search *c) {
    glp_smcp simplex;
    glp_init_smcp(&simplex);
    simplex.msg_lev = GLP_MSG_OFF;
    simplex.meth = GLP_DUALP;
    simplex.tm_lim = sx_mip_milliseconds(sx_work_left(c->work));
    ask_rows(c);
    return glp_simplex(c->model->mip, &simplex) ? GLP_UNDEF : glp_get_status(c->model->mip);
}

static void count_nodes(glp_tree *tree, void *info) {
    Search *c = info;
    int active, all;
    glp_ios_tree_size(tree, &active, &all, &c->nodes_of_question);
    if (c->nodes_of_question > NODES_A_QUESTION && c->asks_any) {
        glp_ios_terminate(tree);
    }
}

/* SX_OK if the program has a solution, SX_NO if not, SX_OUT_OF_TIME if that is not known. */
static SxStatus find_solution(void *data, SxError *err) {
    Search *c = data;
    glp_prob *mip = c->model->mip;
    const int relaxed = relax(c);
    if (relaxed == GLP_NOFEAS) {
        return SX_NO;
    }
    if (c->nodes > MOST_NODES || c->unanswered == MOST_UNANSWERED) {
        return SX_OUT_OF_TIME;
    }
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = relaxed == GLP_OPT ? GLP_OFF : GLP_ON;
    control.br_tech = GLP_BR_FFV; /* who plays where comes first */
    control.tm_lim = sx_mip_milliseconds(sx_work_left(c->work));
    control.cb_func = count_nodes;
    control.cb_info = c;
    c->nodes_of_question = 0;
    const int failed = glp_intopt(mip, &control);
    const int status = glp_mip_status(mip);
    c->nodes += c->nodes_of_question;
    if (failed == GLP_ENOPFS || failed == GLP_ENODFS || (!failed && status == GLP_NOFEAS)) {
        return SX_NO;
    }
    if (status == GLP_OPT || status == GLP_FEAS) {
        for (int w = 0; w < c->wishes; w++) {
            c->kept[w] = c->asked[w] || keeps(c, w);
        }
        return SX_OK;
    }
    if (failed == GLP_ETMLIM || failed == GLP_ESTOP) {
        c->unanswered++;
        return SX_OUT_OF_TIME;
    }
    return sx_fail(err, SX_SOLVER_FAILED,
                   "the solver failed while looking for a conflict (code %d)", failed);
}

/* SX_OK if these wishes can hold together, with `kept` what it found; SX_NO if not; SX_OUT_OF_TIME
 * if that is not known. */
static SxStatus can_hold(Search *c, const bool *wishes, SxError *err) {
    memcpy(c->asked, wishes, sizeof c->asked);
    c->asks_any = false;
    for (int w = 0; w < c->wishes; w++) {
        c->asks_any |= wishes[w];
    }
    return sx_solver_run(find_solution, c, &c->model->mip, err);
}

/* --- one from which none can go ----------------------------------------------------------------
 */

/* The last are left out first, so that what was wished first is named. A wish of which it is not
 * known whether it can go stays. */
static SxStatus shrink(Search *c, SxConflict *out, SxError *err) {
    for (int w = 0; w < c->wishes; w++) {
        out->wish[w] = true;
    }
    out->count = c->wishes;
    out->kind = SX_IRREDUCIBLE;
    for (int w = c->wishes - 1; w >= 0; w--) {
        out->wish[w] = false;
        const SxStatus status = can_hold(c, out->wish, err);
        out->wish[w] = status != SX_NO;
        out->count -= status == SX_NO;
        if (status == SX_OUT_OF_TIME) {
            out->kind = SX_SOME;
        } else if (sx_is_failure(status)) {
            return status;
        }
    }
    return out->count == c->wishes && out->kind == SX_SOME ? SX_OUT_OF_TIME : SX_OK;
}

/* --- a smaller one? -----------------------------------------------------------------------------
 */

static bool has(const Set *set, int wish) {
    return set->word[wish / WORD_BITS] >> wish % WORD_BITS & 1;
}

static void flip(Set *set, int wish) {
    set->word[wish / WORD_BITS] ^= UINT64_C(1) << wish % WORD_BITS;
}

static bool meet(const Set *one, const Set *other) {
    uint64_t both = 0;
    for (int k = 0; k < WORDS; k++) {
        both |= one->word[k] & other->word[k];
    }
    return both != 0;
}

static int first_missed(const Search *c) {
    for (int k = 0; k < c->set_count; k++) {
        if (!meet(&c->sets[k], &c->chosen)) {
            return k;
        }
    }
    return -1;
}

/* Extends `chosen` by at most `more` wishes so that it meets every set. */
static bool hit_all(Search *c, int more) {
    const int missed = first_missed(c);
    if (missed < 0) {
        return true;
    }
    for (int w = 0; more > 0 && w < c->wishes && c->steps < MOST_STEPS; w++) {
        if (has(&c->sets[missed], w)) {
            c->steps++;
            flip(&c->chosen, w);
            if (hit_all(c, more - 1)) {
                return true;
            }
            flip(&c->chosen, w);
        }
    }
    return false;
}

/* Chooses as few wishes as meet every set; false if that takes `below` or more. */
static bool choose(Search *c, int below) {
    for (; c->least < below; c->least++) {
        c->chosen = (Set){{0}};
        if (hit_all(c, c->least)) {
            return true;
        }
    }
    return false;
}

/* Adds wishes to the chosen ones, which can hold, while they still can; what is left over is a new
 * set to meet. */
static SxStatus grow(Search *c, SxError *err) {
    bool held[SX_MAX_WISHES];
    memcpy(held, c->kept, sizeof held);
    for (int w = 0; w < c->wishes; w++) {
        if (held[w]) {
            continue;
        }
        held[w] = true;
        const SxStatus status = can_hold(c, held, err);
        if (sx_is_failure(status) && status != SX_OUT_OF_TIME) {
            return status;
        }
        held[w] = status == SX_OK;
        if (held[w]) {
            memcpy(held, c->kept, sizeof held);
        }
    }
    for (int w = 0; w < c->wishes; w++) {
        if (!held[w]) {
            flip(&c->sets[c->set_count], w);
        }
    }
    c->set_count++;
    return SX_OK;
}

/* The smallest that may be in conflict, one after the other, until one is. */
static SxStatus find_smaller(Search *c, SxConflict *out, SxError *err) {
    SxStatus status = SX_OK;
    while (status == SX_OK && choose(c, out->count)) {
        bool wishes[SX_MAX_WISHES];
        for (int w = 0; w < SX_MAX_WISHES; w++) {
            wishes[w] = has(&c->chosen, w);
        }
        status = can_hold(c, wishes, err);
        if (status == SX_NO) {
            out->count = c->least;
            memcpy(out->wish, wishes, sizeof out->wish);
        } else if (status == SX_OK && c->set_count == MOST_SETS) {
            return SX_OK;
        } else if (status == SX_OK) {
            status = grow(c, err);
        }
    }
    if (status != SX_OUT_OF_TIME && c->steps < MOST_STEPS) {
        out->kind = SX_SMALLEST;
    }
    return status == SX_NO || status == SX_OUT_OF_TIME ? SX_OK : status;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

static void read_bounds(Search *c) {
    glp_prob *mip = c->model->mip;
    for (int row = c->model->wish_row[0]; row < c->model->rows_of_wishes_end; row++) {
        c->bounds[row - c->model->wish_row[0]] = (Bounds){
            glp_get_row_type(mip, row), glp_get_row_lb(mip, row), glp_get_row_ub(mip, row)};
    }
}

static void search_free(Search *c) {
    if (c) {
        sx_lineup_model_free(c->model);
        free(c->bounds);
        free(c);
    }
}

/* *out is NULL only without memory. Free with search_free, whatever the status. */
static SxStatus search_new(const SxProblem *problem, const SxWork *work, Search **out,
                           SxError *err) {
    Search *c = *out = calloc(1, sizeof *c);
    if (!c) {
        return sx_out_of_memory(err);
    }
    c->plan = *problem->plan;
    memset(c->plan.weight, 0, sizeof c->plan.weight);
    c->plan.balance = 0;
    c->problem = *problem;
    c->problem.plan = &c->plan;
    c->work = work;
    c->wishes = problem->plan->wish_count;
    const SxStatus status = sx_lineup_model_build(&c->problem, &c->model, err);
    if (status == SX_OK && c->wishes) {
        const int rows = c->model->rows_of_wishes_end - c->model->wish_row[0];
        c->bounds = calloc((size_t)rows + 1, sizeof *c->bounds);
        if (!c->bounds) {
            return sx_out_of_memory(err);
        }
        read_bounds(c);
    }
    return status;
}

SxStatus sx_smallest_conflict(const SxProblem *problem, const SxWork *work, SxConflict *out,
                              SxError *err) {
    *out = (SxConflict){.kind = SX_SMALLEST};
    Search *c = NULL;
    SxStatus status = search_new(problem, work, &c, err);
    status = status == SX_OK ? can_hold(c, out->wish, err) : status; /* none */
    if (status == SX_OK) {
        status = shrink(c, out, err);
        status = status == SX_OK ? find_smaller(c, out, err) : status;
    } else if (status == SX_NO) {
        status = SX_OK;
    }
    search_free(c);
    return status;
}

static SxStatus ask_relaxed(void *data, SxError *err) {
    (void)err;
    return relax(data) == GLP_NOFEAS ? SX_NO : SX_OK;
}

SxStatus sx_wishes_ruled_out(const SxProblem *problem, const SxWork *work, bool *ruled_out,
                             SxError *err) {
    Search *c = NULL;
    SxStatus status = search_new(problem, work, &c, err);
    if (status == SX_OK) {
        memset(c->asked, true, sizeof c->asked);
        status = sx_solver_run(ask_relaxed, c, &c->model->mip, err);
    }
    *ruled_out = status == SX_NO;
    search_free(c);
    return status == SX_NO ? SX_OK : status;
}
