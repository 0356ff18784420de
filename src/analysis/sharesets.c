/* The best choice of several sets among the ways to play one, by branch and bound.
 *
 * Rewards turn the sum of scores into a sum of losses: against the bound of all choices a set loses
 * what its way is worth less than the best, and every rotation beyond what is asked loses its
 * reward. No loss is negative, so a choice half made that has lost as much as is known to be enough
 * is given up. At each step one player who still lacks rotations is taken, and every way that gives
 * her some is tried. */
#include "analysis/sharesets.h"

#include "analysis/parallel.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LOOKS = 1024 }; /* nodes between two looks at the clock */

/* A way, for those who need rotations only. */
typedef struct {
    double loss, score;
    int index;  /* in ways->item */
    int banned; /* tried before in all that it can be part of */
    signed char got[SX_MAX_PLAYERS];
} Candidate;

typedef struct {
    const ShareTask *task;
    ShareChoice *choice;
    int needy; /* players who need rotations */
    int player[SX_MAX_PLAYERS];
    double reward[SX_MAX_PLAYERS];
    int most[SX_MAX_PLAYERS]; /* that any way gives */
    Candidate *candidate;     /* by loss */
    int count;
    int *list[SX_MAX_PLAYERS]; /* candidates that give her some, by loss */
    int listed[SX_MAX_PLAYERS];
    int *memory;
    double least; /* loss of the best choice known */
    int chosen[SX_MAX_SHARED_SETS];
    long nodes;
    bool stopped;
} Choosing;

/* --- candidates ---------------------------------------------------------------------------------
 */

static int by_loss(const void *a, const void *b) {
    const Candidate *left = a, *right = b;
    if (left->loss != right->loss) {
        return left->loss < right->loss ? -1 : 1;
    }
    return left->index - right->index;
}

static void find_needy(Choosing *choosing) {
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        if (choosing->task->need[p] > 0) {
            choosing->player[choosing->needy] = p;
            choosing->reward[choosing->needy++] = choosing->task->rewards->points[p];
        }
    }
}

static Candidate candidate_of(const Choosing *choosing, int index) {
    const ShareTask *task = choosing->task;
    const SxWay *way = &task->ways->item[index].way;
    Candidate out = {.loss = fmax(0, task->best - sx_way_worth(way, task->rewards)),
                     .score = way->score,
                     .index = index};
    for (int k = 0; k < choosing->needy; k++) {
        out.got[k] = way->got[choosing->player[k]];
    }
    return out;
}

static int by_score(const void *a, const void *b) {
    const Candidate *left = a, *right = b;
    if (left->score != right->score) {
        return left->score > right->score ? -1 : 1;
    }
    return left->index - right->index;
}

/* Does one of the candidates listed so far beat this one? */
static bool is_beaten(const Choosing *choosing, const Candidate *way) {
    const ShareWay *item = choosing->task->ways->item;
    for (int c = 0; c < choosing->count; c++) {
        if (sx_way_beats(&item[choosing->candidate[c].index].way, &item[way->index].way)) {
            return true;
        }
    }
    return false;
}

/* Leaves out ways that lose too much or that another beats. */
static SxStatus list_candidates(Choosing *choosing, SxError *err) {
    const ShareWays *ways = choosing->task->ways;
    const double most = fmin(choosing->least, choosing->task->depth);
    Candidate *candidate = calloc((size_t)ways->count + 1, sizeof *candidate);
    if (!candidate) {
        return sx_out_of_memory(err);
    }
    choosing->candidate = candidate;
    int open = 0;
    for (int k = 0; k < ways->count; k++) {
        candidate[open] = candidate_of(choosing, k);
        open += candidate[open].loss < most;
    }
    qsort(candidate, (size_t)open, sizeof *candidate, by_score);
    for (int k = 0; k < open; k++) {
        if (!is_beaten(choosing, &candidate[k])) {
            candidate[choosing->count++] = candidate[k];
        }
    }
    qsort(candidate, (size_t)choosing->count, sizeof *candidate, by_loss);
    return SX_OK;
}

static SxStatus list_by_player(Choosing *choosing, SxError *err) {
    choosing->memory = calloc((size_t)choosing->needy * (size_t)choosing->count + 1, sizeof(int));
    if (!choosing->memory) {
        return sx_out_of_memory(err);
    }
    for (int k = 0; k < choosing->needy; k++) {
        choosing->list[k] = choosing->memory + (size_t)k * (size_t)choosing->count;
        for (int c = 0; c < choosing->count; c++) {
            const int got = choosing->candidate[c].got[k];
            if (got > 0) {
                choosing->list[k][choosing->listed[k]++] = c;
            }
            choosing->most[k] = got > choosing->most[k] ? got : choosing->most[k];
        }
    }
    return SX_OK;
}

/* --- the search ---------------------------------------------------------------------------------
 */

static bool can_be_met(const Choosing *choosing, const int *lacks, int sets) {
    for (int k = 0; k < choosing->needy; k++) {
        if (lacks[k] > sets * choosing->most[k]) {
            return false;
        }
    }
    return true;
}

/* What a set played so loses in all, and what is lacking after it. */
static double play(const Choosing *choosing, const Candidate *way, const int *lacks, int *after) {
    double loss = way->loss;
    for (int k = 0; k < choosing->needy; k++) {
        const int beyond = way->got[k] - lacks[k];
        after[k] = beyond < 0 ? -beyond : 0;
        loss += beyond > 0 ? choosing->reward[k] * beyond : 0;
    }
    return loss;
}

/* Who lacks rotations and has the fewest ways left to get them; -1: nobody lacks any. */
static int hardest(const Choosing *choosing, const int *lacks, double room) {
    int hardest = -1, fewest = 0;
    for (int k = 0; k < choosing->needy; k++) {
        if (lacks[k] == 0) {
            continue;
        }
        int low = 0, high = choosing->listed[k];
        while (low < high) {
            const int middle = (low + high) / 2;
            if (choosing->candidate[choosing->list[k][middle]].loss < room) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        if (hardest < 0 || low < fewest) {
            hardest = k;
            fewest = low;
        }
    }
    return hardest;
}

static void take_choice(Choosing *choosing, double loss) {
    ShareChoice *choice = choosing->choice;
    choosing->least = loss;
    choice->found = true;
    choice->total = 0;
    for (int n = 0; n < choosing->task->sets; n++) {
        choice->way[n] = choosing->candidate[choosing->chosen[n]].index;
        choice->total += choosing->task->ways->item[choice->way[n]].way.score;
    }
}

static bool give_up(Choosing *choosing) {
    const ShareTask *task = choosing->task;
    choosing->nodes++;
    if ((task->most_nodes && choosing->nodes > task->most_nodes) ||
        (choosing->nodes % LOOKS == 0 && sx_parallel_stopped(task->ways->run))) {
        choosing->stopped = true;
    }
    return choosing->stopped;
}

static void choose(Choosing *choosing, int set, const int *lacks, double lost) {
    const int left = choosing->task->sets - set;
    if (left == 0) {
        take_choice(choosing, lost);
        return;
    }
    if (give_up(choosing)) {
        return;
    }
    const int who = hardest(choosing, lacks, choosing->least - lost);
    const int count = who < 0 ? choosing->count : choosing->listed[who];
    int tried = 0;
    for (; tried < count; tried++) {
        const int c = who < 0 ? tried : choosing->list[who][tried];
        Candidate *way = &choosing->candidate[c];
        if (lost + way->loss >= choosing->least - SX_SAME_SCORE || choosing->stopped) {
            break;
        }
        int after[SX_MAX_PLAYERS] = {0};
        if (way->banned == 0) {
            const double now = lost + play(choosing, way, lacks, after);
            if (now < choosing->least - SX_SAME_SCORE && can_be_met(choosing, after, left - 1)) {
                choosing->chosen[set] = c;
                choose(choosing, set + 1, after, now);
            }
        }
        way->banned++;
    }
    while (tried-- > 0) {
        choosing->candidate[who < 0 ? tried : choosing->list[who][tried]].banned--;
    }
}

static void search(Choosing *choosing) {
    int lacks[SX_MAX_PLAYERS] = {0};
    for (int k = 0; k < choosing->needy; k++) {
        lacks[k] = choosing->task->need[choosing->player[k]];
    }
    if (can_be_met(choosing, lacks, choosing->task->sets)) {
        choose(choosing, 0, lacks, 0);
    }
    choosing->choice->complete = !choosing->stopped;
}

/* --- the whole ----------------------------------------------------------------------------------
 */

/* No choice of sets has a larger sum. */
static double bound(const ShareTask *task) {
    double sum = task->sets * task->best;
    for (int p = 0; p < SX_MAX_PLAYERS; p++) {
        sum -= task->need[p] ? task->rewards->points[p] * task->need[p] : 0;
    }
    return sum;
}

SxStatus sx_share_choose(const ShareTask *task, ShareChoice *choice, SxError *err) {
    Choosing *choosing = calloc(1, sizeof *choosing);
    if (!choosing) {
        return sx_out_of_memory(err);
    }
    choosing->task = task;
    choosing->choice = choice;
    choosing->least = choice->found ? bound(task) - choice->total : INFINITY;
    find_needy(choosing);
    SxStatus status = list_candidates(choosing, err);
    if (status == SX_OK) {
        status = list_by_player(choosing, err);
    }
    if (status == SX_OK) {
        search(choosing);
    }
    free(choosing->memory);
    free(choosing->candidate);
    free(choosing);
    return status;
}
