/* The formation program as text in the CPLEX LP format, so that any solver can check it. */
#include "model/formation_program.h"

#include <stdio.h>

static const char axis_letter[AXES] = {'x', 'y'};

static double metres(int64_t grains) {
    return (double)grains / GRAINS_A_METRE;
}

static void objective(FILE *out, const Program *program) {
    fputs("Minimize\n cost:", out);
    for (int axis = 0; axis < AXES; axis++) {
        const Costs *costs = &program->costs[axis];
        for (int k = 0; k < costs->pulls; k++) {
            fprintf(out, " + %.5f below_%c%d + %.5f above_%c%d\n", metres(costs->pull[k].below),
                    axis_letter[axis], k, metres(costs->pull[k].above), axis_letter[axis], k);
        }
        for (int k = 0; k < costs->pushes; k++) {
            fprintf(out, " + %.5f short_%c%d\n", metres(costs->push[k].cost), axis_letter[axis], k);
        }
    }
    for (int k = 0; k < program->choices; k++) {
        if (program->choice[k].may_pay) {
            fprintf(out, " + %.5f pay_%d\n", metres(program->choice[k].price), k);
        }
    }
}

/* v[high] - v[low]. */
static void difference(FILE *out, int axis, int high, int low) {
    if (high != SPOTS_ZERO) {
        fprintf(out, " + %c_%d", axis_letter[axis], high + 1);
    }
    if (low != SPOTS_ZERO) {
        fprintf(out, " - %c_%d", axis_letter[axis], low + 1);
    }
}

/* The least that the difference can be. */
static int least(const Program *program, const Need *need) {
    int high = need->high == SPOTS_ZERO ? 0 : program->low[need->axis][need->high];
    int low = need->low == SPOTS_ZERO ? 0 : program->high[need->axis][need->low];
    return high - low;
}

static void soft_rows(FILE *out, const Program *program, int axis) {
    const Costs *costs = &program->costs[axis];
    char letter = axis_letter[axis];
    for (int k = 0; k < costs->pulls; k++) {
        fprintf(out, " below_%c%d + %c_%d >= %d\n", letter, k, letter, costs->pull[k].place + 1,
                costs->pull[k].at);
        fprintf(out, " above_%c%d - %c_%d >= %d\n", letter, k, letter, costs->pull[k].place + 1,
                -costs->pull[k].at);
    }
    for (int k = 0; k < costs->pushes; k++) {
        fprintf(out, " short_%c%d", letter, k);
        difference(out, axis, costs->push[k].high, costs->push[k].low);
        fprintf(out, " >= %d\n", costs->push[k].gap);
    }
}

static void choice_rows(FILE *out, const Program *program, int choice) {
    const Choice *c = &program->choice[choice];
    for (int w = 0; w < c->ways; w++) {
        for (int n = 0; n < c->way[w].count; n++) {
            const Need *need = &c->way[w].need[n];
            int slack = need->gap - least(program, need);
            if (slack > 0) {
                difference(out, need->axis, need->high, need->low);
                fprintf(out, " - %d way_%d_%d >= %d\n", slack, choice, w, need->gap - slack);
            }
        }
    }
    for (int w = 0; w < c->ways; w++) {
        fprintf(out, " + way_%d_%d", choice, w);
    }
    if (c->may_pay) {
        fprintf(out, " + pay_%d", choice);
    }
    fputs(" >= 1\n", out);
}

static void binaries(FILE *out, const Program *program) {
    fputs("Binaries\n", out);
    for (int k = 0; k < program->choices; k++) {
        for (int w = 0; w < program->choice[k].ways; w++) {
            fprintf(out, " way_%d_%d\n", k, w);
        }
        if (program->choice[k].may_pay) {
            fprintf(out, " pay_%d\n", k);
        }
    }
}

void sx_program_write(const Program *program, FILE *out) {
    objective(out, program);
    fputs("Subject To\n", out);
    for (int k = 0; k < program->bounds; k++) {
        const Need *need = &program->bound[k];
        difference(out, need->axis, need->high, need->low);
        fprintf(out, " >= %d\n", need->gap);
    }
    for (int axis = 0; axis < AXES; axis++) {
        soft_rows(out, program, axis);
    }
    for (int k = 0; k < program->choices; k++) {
        choice_rows(out, program, k);
    }
    fputs("Bounds\n", out);
    for (int axis = 0; axis < AXES; axis++) {
        for (int i = 0; i < SX_POSITIONS; i++) {
            fprintf(out, " %d <= %c_%d <= %d\n", program->low[axis][i], axis_letter[axis], i + 1,
                    program->high[axis][i]);
        }
    }
    binaries(out, program);
    fputs("End\n", out);
}
