/* All receive formations of all systems on one page, to be looked at: passers are squares, others
 * circles, S the setter on duty; arrows lead to the first task, letters below tell the side of the
 * first attack. Usage: contact_sheet [PASSERS [SYSTEM ...]] > sheet.svg */
#include "sixturn/sixturn.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { METRE = 30, CELL_X = 330, CELL_Y = 370, MARGIN = 30 };

static const char lane_letters[] = "lcr";

/* Both outsides and the libero in the middle's place; who else the size needs comes by slot. */
static unsigned usual(const SxSystem *system, int r) {
    unsigned mask = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        SxRow row = sx_slot_row(s, r);
        SxRole role = system->duty[s][row].role;
        bool libero = role == SX_MIDDLE || role == SX_OPPOSITE;
        if (role == SX_OUTSIDE ||
            (libero && row == SX_BACK && system->duty[s][row].lane == SX_LEFT)) {
            mask |= 1u << s;
        }
    }
    return mask;
}

/* The cheapest set of `size` passers that holds the usual ones, or is among them. */
static SxStatus cheapest(const SxSystem *system, int r, int size, const SxFormationOptions *options,
                         SxFormation *best, SxError *err) {
    unsigned three = usual(system, r), setter = 1u << system->setter_slot[r];
    bool found = false;
    for (unsigned mask = 1; mask < SX_MASKS; mask++) {
        SxFormation f;
        bool fits = (mask & three) == three || (mask & three) == mask;
        if (sx_count_members(mask) != size || mask & setter || !fits) {
            continue;
        }
        SxStatus status = sx_formation_receive(system, r, mask, options, &f, err);
        if (status != SX_OK) {
            return status;
        }
        if (!found || (f.feasible && (!best->feasible || f.cost < best->cost))) {
            *best = f;
            found = true;
        }
    }
    return SX_OK;
}

static void mark(const SxSystem *system, int r, int slot, const SxFormation *f, double left,
                 double top) {
    double x = left + f->spot[slot].x * METRE, y = top + f->spot[slot].y * METRE;
    SxSpot task = sx_receive_task(system, r, slot, f->sides);
    bool passes = f->passers >> slot & 1, sets = slot == system->setter_slot[r];
    SxRow row = sx_slot_row(slot, r);
    int position = sx_position(slot, r);
    printf("<line x1='%.1f' y1='%.1f' x2='%.1f' y2='%.1f' stroke='#69c'/>", x, y,
           left + task.x * METRE, top + task.y * METRE);
    printf("<circle cx='%.1f' cy='%.1f' r='3' fill='#69c'/>", left + task.x * METRE,
           top + task.y * METRE);
    const char *fill = sets ? "#fc6" : row == SX_FRONT ? "#fff" : "#ddd";
    if (passes) {
        printf("<rect x='%.1f' y='%.1f' width='20' height='20' fill='%s' stroke='#000'/>", x - 10,
               y - 10, fill);
    } else {
        printf("<circle cx='%.1f' cy='%.1f' r='10' fill='%s' stroke='#000'/>", x, y, fill);
    }
    char role = row == SX_BACK && passes && system->duty[slot][row].role == SX_MIDDLE
                    ? 'L'
                    : sx_role_letter(system->duty[slot][row].role);
    printf("<text x='%.1f' y='%.1f' font-size='12' text-anchor='middle'>%c%d</text>", x, y + 4,
           role, position);
    if (row == SX_FRONT && system->duty[slot][row].attacks && !sets) {
        printf("<text x='%.1f' y='%.1f' font-size='11' fill='#c00'>%c</text>", x + 10, y - 6,
               lane_letters[sx_side_lane(f->sides, position)]);
    }
}

static void court(const SxSystem *system, int r, const SxFormation *f, double left, double top) {
    double late = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        late = fmax(late, f->late[s]);
    }
    printf("<text x='%.0f' y='%.0f' font-size='13'>%s %d: %.2f%s", left, top - 8, system->id, r + 1,
           f->cost, f->feasible ? "" : f->reason);
    printf(late > 0 ? " late %.2f s</text>\n" : "</text>\n", late);
    printf("<rect x='%.0f' y='%.0f' width='%d' height='%d' fill='#fff8ee' stroke='#000'/>", left,
           top, 9 * METRE, 9 * METRE);
    printf("<line x1='%.0f' y1='%.0f' x2='%.0f' y2='%.0f' stroke='#999'/>\n", left, top + 3 * METRE,
           left + 9 * METRE, top + 3 * METRE);
    for (int s = 0; f->feasible && s < SX_SLOTS; s++) {
        mark(system, r, s, f, left, top);
        putchar('\n');
    }
}

static SxStatus row(const SxSystem *system, int size, int k, SxError *err) {
    SxFormationOptions options;
    sx_formation_default(&options);
    options.sides = SX_BEST_SIDES;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxFormation f;
        memset(&f, 0, sizeof f);
        SxStatus status = cheapest(system, r, size, &options, &f, err);
        if (status != SX_OK) {
            return status;
        }
        court(system, r, &f, MARGIN + r * CELL_X, MARGIN + k * CELL_Y);
    }
    return SX_OK;
}

int main(int argc, char **argv) {
    int size = argc > 1 ? atoi(argv[1]) : 3, own = argc > 2 ? argc - 2 : 0;
    int rows = own ? own : sx_system_count();
    SxStatus status = size < SX_MIN_PASSERS || size > SX_MAX_PASSERS ? SX_USAGE : SX_OK;
    SxError err = {.status = status, .message = "usage: contact_sheet [PASSERS [SYSTEM ...]]"};
    printf("<svg xmlns='http://www.w3.org/2000/svg' width='%d' height='%d' "
           "font-family='sans-serif'>\n<rect width='100%%' height='100%%' fill='#fff'/>\n",
           6 * CELL_X + MARGIN, rows * CELL_Y + MARGIN);
    for (int k = 0; k < rows && status == SX_OK; k++) {
        SxSystem system;
        status = sx_system_load(own ? argv[k + 2] : sx_system_id(k), &system, &err);
        if (status == SX_OK) {
            status = row(&system, size, k, &err);
        }
    }
    puts("</svg>");
    if (status != SX_OK) {
        fprintf(stderr, "contact_sheet: %s\n", err.message);
    }
    return status == SX_OK ? EXIT_SUCCESS : EXIT_FAILURE;
}
