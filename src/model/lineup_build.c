/* What the files that build the lineup program share: names, rows, columns and terms. */
#include "model/lineup_build.h"

#include <assert.h>
#include <stdio.h>

Name sx_build_name(const Builder *b, const char *kind, int player, int slot, int rotation) {
    Name name;
    int used = snprintf(name.text, sizeof name.text, "%s", kind);
    const struct {
        char letter;
        int index;
    } part[] = {{'p', player < 0 ? NO_INDEX : b->team->players[player].number},
                {'s', slot},
                {'r', rotation < 0 ? NO_INDEX : rotation + 1}};
    for (size_t k = 0; k < sizeof part / sizeof part[0]; k++) {
        if (part[k].index >= 0 && used < (int)sizeof name.text) {
            used += snprintf(name.text + used, sizeof name.text - (size_t)used, "_%c%d",
                             part[k].letter, part[k].index);
        }
    }
    return name;
}

MipRow *sx_build_row(Builder *b) {
    assert(b->m->row.count == 0);
    return &b->m->row;
}

void sx_build_add(MipRow *row, int column, double value) {
    if (column) {
        sx_mip_row_add(row, column, value);
    }
}

void sx_build_put(Builder *b, MipRow *row, Name name, double low, double high) {
    if (row->count || low > 0 || high < 0) {
        sx_mip_row_put(b->m->mip, row, name.text, low, high);
    }
}

int sx_build_column(Builder *b, Name name, bool integer) {
    return sx_mip_column(b->m->mip, name.text, 0, 1, 0, integer);
}

void sx_build_score(Builder *b, int rotation, int column, double points) {
    if (column && points != 0) {
        sx_mip_row_add(&b->m->score[rotation], column, points);
    }
}

void sx_build_on_court(const Builder *b, MipRow *row, int p, int s, int r, SxPhase phase,
                       double value) {
    if (sx_slot_row(s, r) == SX_FRONT) {
        sx_build_add(row, b->m->fills[p][s][SX_FRONT], value);
        return;
    }
    sx_build_add(row, b->m->self[p][s][r][phase], value);
    sx_build_add(row, b->m->in[p][s][r][phase], value);
}

void sx_build_any_libero(const Builder *b, MipRow *row, int s, int r, SxPhase phase, double value) {
    for (int p = 0; p < b->team->player_count; p++) {
        sx_build_add(row, b->m->in[p][s][r][phase], value);
    }
}

void sx_build_place(const Builder *b, MipRow *row, int p, int s, double value) {
    int front = b->m->fills[p][s][SX_FRONT];
    int back = b->m->fills[p][s][SX_BACK];
    sx_build_add(row, front, value);
    if (back != front) {
        sx_build_add(row, back, value);
    }
}
