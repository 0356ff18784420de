/* The lineup program.
 *
 * Sets: players p, slots s, rotations r, phases f (serve, receive); t runs over the twelve
 * situations (r, f) in the order of play; k over the choices of a rotation: a formation with its
 * passers P(k) and sides, together with the back-row attacker b(k) whom the libero replaces in
 * reception, if any.
 *
 * Variables, 0 to 1:
 *   x[p,s,row]  p fills s in the front or the back row (integer; one variable where both are one)
 *   h[s]        two players share s by the coach's leave (integer)
 *   u[p]        p is named as a libero (integer)
 *   v[p,s,t]    libero p is in for s (integer)
 *   y[p,s,t]    p herself is on court for back-row slot s: x[p,s,back] times (1 - sum_l v[l,s,t])
 *   c[r,k]      rotation r uses choice k
 *   q[p,s,r,n]  p passes from s as one of n
 *   a[p,s,r,g]  p attacks from s in attack class g: choices that give s the same lane and share
 *   e[..]       products of two of these, for connections
 *
 * Constraints, by the names of their rows:
 *   place       sum_p x[p,s,row] = 1
 *   player      sum_s (p has s) + u[p] <= 1
 *   share       |x[p,s,front] - x[p,s,back]| <= h[s];  leave: sum_s h[s] <= specialists
 *   changes     2 (split slots + sum_s h[s]) <= the rules' substitutions
 *   liberos     sum_p u[p] <= the rules' liberos;  named: sum_s v[p,s,t] <= u[p];
 *               used: u[p] <= sum_{s,t} v[p,s,t]
 *   one         sum_{p,s} v[p,s,t] <= 1
 *   rally       sum_p v[p,s,t] + sum_{p, s' not s} v[p,s',t+1] <= 1 (FIVB 19: a rally between two
 *               replacements; where the profile lets a libero serve, s' serving in t+1 is exempt)
 *   libserve    sum_{p,r} v[p,r,(r,serve)] <= 1
 *   self        y[p,s,t] <= x[p,s,back];  filled: sum_p y[p,s,t] + sum_p v[p,s,t] = 1
 *   choice      sum_k c[r,k] = 1;  for: sum_{k: b(k)=s} c[r,k] = sum_p v[p,s,(r,receive)]
 *   passers     sum_p q[p,s,r,n] = sum_{k: s in P(k), |P(k)|=n} c[r,k];
 *   passing     sum_n q[p,s,r,n] <= p on court for s in reception
 *   hits        sum_g a[p,s,r,g] = x[p,s,front] (y in the back row);
 *   from        sum_p a[p,s,r,g] = sum_{k in g} c[r,k]
 *   both, link  the products of connections
 *   wish        see wishes.c
 *   half_turn   where both halves of the system are alike: sum_p p x[p,0,front] is less than
 *               sum_p p x[p,3,front], p counted from 0
 *   weakest     w <= z[r], where z[r] stands for the weighted parts of rotation r
 *
 * Where playing time is rewarded (program.h) a column n[p] counts p's rotations in reception up to
 * the most that are rewarded: n[p] <= sum of her places in them, and <= the most that her places
 * allow.
 *
 * Objective: maximise (1 - balance) sum_r weight[r] z[r] + balance w.
 *
 * With the integer variables fixed, every other product is exact, and the rest is a choice of k in
 * each rotation that is no better when mixed; so only x, h, u and v need be integer. */
#include "model/lineup_model.h"

#include "model/lineup_build.h"
#include "sixturn/eligible.h"

#include <math.h>
#include <stdlib.h>

/* --- the whole ----------------------------------------------------------------------------------
 */

/* Of two orders that are half a turn apart and score the same, the one with the smaller shirt
 * number in slot 0. */
static void add_symmetry(Builder *b) {
    if (!sx_halves_alike(b->problem)) {
        return;
    }
    MipRow *row = sx_build_row(b);
    for (int p = 0; p < b->team->player_count; p++) {
        sx_build_add(row, b->m->fills[p][0][SX_FRONT], p);
        sx_build_add(row, b->m->fills[p][SX_SLOTS / 2][SX_FRONT], -p);
    }
    sx_build_put(b, row, (Name){"half_turn"}, -HUGE_VAL, -1);
}

static SxStatus build(void *data, SxError *err) {
    (void)err;
    Builder *b = data;
    LineupModel *m = b->m;
    m->mip = glp_create_prob();
    glp_set_prob_name(m->mip, "sixturn_lineup");
    glp_set_obj_name(m->mip, "points");
    glp_set_obj_dir(m->mip, GLP_MAX);
    sx_build_rules(b);
    sx_build_scores(b);
    for (int k = 0; k < b->plan->wish_count; k++) {
        m->wish_row[k] = glp_get_num_rows(m->mip) + 1;
        sx_build_wish(b, &b->plan->wishes[k]);
    }
    m->rows_of_wishes_end = glp_get_num_rows(m->mip) + 1;
    sx_build_objective(b);
    add_symmetry(b);
    return SX_OK;
}

SxStatus sx_lineup_model_build(const SxProblem *problem, LineupModel **model, SxError *err) {
    Builder *b = calloc(1, sizeof *b);
    LineupModel *m = calloc(1, sizeof *m);
    if (!b || !m) {
        free(b);
        free(m);
        return sx_out_of_memory(err);
    }
    *b = (Builder){.m = m,
                   .problem = problem,
                   .team = problem->team,
                   .rules = problem->rules,
                   .system = problem->system,
                   .plan = problem->plan};
    m->problem = problem;
    SxStatus status = sx_solver_run(build, b, &m->mip, err);
    free(b->work);
    free(b);
    if (status == SX_OK) {
        *model = m;
    } else {
        sx_lineup_model_free(m);
    }
    return status;
}

void sx_lineup_model_free(LineupModel *model) {
    if (model) {
        if (model->mip) {
            glp_delete_prob(model->mip);
        }
        sx_mip_row_free(&model->row);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            sx_mip_row_free(&model->score[r]);
        }
        free(model);
    }
}

typedef struct {
    LineupModel *model;
    LineupWork work;
    void *data;
} Run;

static SxStatus run_built(void *data, SxError *err) {
    const Run *run = data;
    return run->work(run->model, run->data, err);
}

SxStatus sx_lineup_model_run(const SxProblem *problem, LineupWork work, void *data, SxError *err) {
    Run run = {.work = work, .data = data};
    SxStatus status = sx_lineup_model_build(problem, &run.model, err);
    if (status == SX_OK) {
        status = sx_solver_run(run_built, &run, &run.model->mip, err);
        sx_lineup_model_free(run.model);
    }
    return status;
}

/* --- orders -------------------------------------------------------------------------------------
 */

void sx_lineup_model_cut(LineupModel *model, const SxOrder *order) {
    MipRow *row = &model->row;
    for (int s = 0; s < SX_SLOTS; s++) {
        int front = model->fills[order->front[s]][s][SX_FRONT];
        int back = model->fills[order->back[s]][s][SX_BACK];
        sx_build_add(row, front, 1);
        sx_build_add(row, back != front ? back : 0, 1);
    }
    int count = row->count;
    sx_mip_row_put(model->mip, row, NULL, -HUGE_VAL, count - 1);
}

/* Adds value times the rotations in which a player is on court in reception. */
static void add_receptions(LineupModel *model, int p, double value) {
    MipRow *row = &model->row;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (sx_slot_row(s, r) == SX_FRONT) {
                sx_build_add(row, model->fills[p][s][SX_FRONT], value);
            } else {
                sx_build_add(row, model->self[p][s][r][SX_RECEIVE], value);
                sx_build_add(row, model->in[p][s][r][SX_RECEIVE], value);
            }
        }
    }
}

/* Adds value times the most of those rotations that count with the places a player has. */
static void add_room(LineupModel *model, int p, int most, double value) {
    const int one_row = most < SX_BACK_TURNS ? most : SX_BACK_TURNS;
    for (int s = 0; s < SX_SLOTS; s++) {
        const int *fills = model->fills[p][s];
        const bool one = fills[SX_FRONT] == fills[SX_BACK];
        sx_build_add(&model->row, fills[SX_FRONT], value * (one ? most : one_row));
        sx_build_add(&model->row, one ? 0 : fills[SX_BACK], value * one_row);
    }
    sx_build_add(&model->row, model->named[p], value * most);
}

/* What counts is at most her rotations, and at most what her places leave room for: a fraction of a
 * place with all six must not pass for the one or two that count. */
void sx_lineup_model_reward(LineupModel *model, int player, double points, int most) {
    const int counts = sx_mip_column(model->mip, NULL, 0, most, points, false);
    model->counted[player] = counts;
    sx_build_add(&model->row, counts, 1);
    add_receptions(model, player, -1);
    sx_mip_row_put(model->mip, &model->row, NULL, -HUGE_VAL, 0);
    sx_build_add(&model->row, counts, 1);
    add_room(model, player, most, -1);
    sx_mip_row_put(model->mip, &model->row, NULL, -HUGE_VAL, 0);
}

void sx_lineup_model_order(const LineupModel *model, SxOrder *order) {
    for (int s = 0; s < SX_SLOTS; s++) {
        for (int p = 0; p < model->problem->team->player_count; p++) {
            int front = model->fills[p][s][SX_FRONT];
            int back = model->fills[p][s][SX_BACK];
            if (front && glp_mip_col_val(model->mip, front) > 0.5) {
                order->front[s] = p;
            }
            if (back && glp_mip_col_val(model->mip, back) > 0.5) {
                order->back[s] = p;
            }
        }
    }
}
