/* A lineup as text, 80 columns wide, for a coach at a terminal. */
#include "report/lines.h"
#include "report/matchday.h"
#include "sixturn/bestset.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_WIDTH = 28, SPOT_NAME_WIDTH = 17, CLOSE_CM = 5 };
/* A setter who has further to run from the back row than this is told who forces it. */
#define LONG_RELEASE 6.0
/* Passers nearer to her than this are named as the ones whose way she leaves free. */
#define PASSER_REACH 3.7

typedef struct {
    FILE *out;
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxMatchDay *day;
    const SxOutlook *outlook;
} View;

static const SxPlayer *player(const View *page, int p) {
    return &page->problem->team->players[p];
}

/* Sets are of 100. */
static void print_sets(const View *page) {
    const SxLineup *lineup = page->lineup;
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "Wins %.1f of 100 sets against %s, ", SX_SETS * lineup->win,
                  page->problem->against->opponent->name);
    if (lineup->proof == SX_OPTIMAL) {
        sx_phrase_add(&phrase, "best for these ratings: proven that no legal lineup wins more.");
    } else if (lineup->proof == SX_CHOSEN) {
        sx_phrase_add(&phrase, "the limit of substitutions counted; the best of those looked at, "
                               "not proven.");
    } else {
        sx_phrase_add(&phrase, "the best found in the time; at most %.1f more are possible.",
                      SX_SETS * (lineup->win_bound - lineup->win));
    }
    sx_lines_wrap(page->out, 0, 0, phrase.text);
}

static void print_head(const View *page) {
    const SxLineup *lineup = page->lineup;
    fprintf(page->out, "%s: system %s, rules %s\n", page->problem->team->name,
            page->problem->system->id, page->problem->rules->id);
    if (page->problem->against) {
        print_sets(page);
        return;
    }
    if (lineup->proof == SX_OPTIMAL) {
        fprintf(page->out, "Score %.3f points, proven: no legal lineup scores more.\n",
                lineup->score);
    } else {
        fprintf(page->out,
                "Score %.3f points, best found in the time; at most %.3f more is possible.\n",
                lineup->score, lineup->gap);
    }
}

static void print_place(const View *page, const char *place, int slot, SxRow row,
                        const char *remark) {
    const SxOrder *order = &page->lineup->order;
    const SxPlayer *who = player(page, row == SX_FRONT ? order->front[slot] : order->back[slot]);
    fprintf(page->out, "  %-4s#%-3d", place, who->number);
    sx_lines_field(page->out, who->name, NAME_WIDTH);
    fprintf(page->out, "  %s%s\n", sx_role_name(page->problem->system->duty[slot][row].role),
            remark);
}

/* Who starts; below her, where a substitution is planned, who takes over in the other row. */
static void print_order(const View *page) {
    const SxLineup *lineup = page->lineup;
    fprintf(page->out, "\nServing order (the set starts in rotation %d)\n", lineup->start + 1);
    if (page->problem->plan->start < 0 && page->outlook) {
        fprintf(page->out, "  Best start: rotation %d if they serve first, rotation %d if we do.\n",
                page->outlook->start[SX_RECEIVE] + 1, page->outlook->start[SX_SERVE] + 1);
    }
    for (int k = 0; k < SX_SLOTS; k++) {
        int slot = (lineup->start + k) % SX_SLOTS;
        int position = sx_position(slot, lineup->start);
        SxRow now = sx_row_of(position);
        if (lineup->order.front[slot] == lineup->order.back[slot]) {
            print_place(page, sx_roman(position), slot, now, "");
            continue;
        }
        bool front = now == SX_FRONT;
        print_place(page, sx_roman(position), slot, now,
                    front ? " while in front" : " while in the back row");
        print_place(page, "", slot, front ? SX_BACK : SX_FRONT,
                    front ? " in the back row, comes in for her" : " in front, comes in for her");
    }
    for (int k = 0; k < lineup->libero_count; k++) {
        const SxPlayer *who = player(page, lineup->liberos[k]);
        fprintf(page->out, "  L   #%-3d%s, libero\n", who->number, who->name);
    }
}

/* With its weight in the score; one of 0 is not shown. */
static void print_part_name(const View *page, SxPart part) {
    const double weight = page->problem->plan->weight[part];
    char times[16] = "";
    if (weight > 0) {
        snprintf(times, sizeof times, "x%s%.2f", part == SX_PART_RUN ? "-" : "", weight);
    }
    fprintf(page->out, "\n  %-7s %-6s", sx_part_name(part), times);
}

static void print_parts(const View *page) {
    const SxLineup *lineup = page->lineup;
    int weak = sx_weak_rotation(lineup);
    fprintf(page->out, "\nRotation        ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%8d%c", r + 1, r == weak ? '*' : ' ');
    }
    fprintf(page->out, "\n  share of set  ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%7.1f%% ", 100 * lineup->rotation[r].weight);
    }
    fprintf(page->out, "\n  score         ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%8.2f ", lineup->rotation[r].score);
    }
    for (int k = 0; k < SX_PARTS; k++) {
        print_part_name(page, (SxPart)k);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            fprintf(page->out, "%8.2f ", lineup->rotation[r].part[k]);
        }
    }
    fprintf(page->out, "\n  * the weak rotation. Parts go from 0 to 10, run is in metres%s.\n",
            page->problem->plan->weight[SX_PART_RUN] > 0 ? " and counts against" : "");
    if (page->outlook && page->outlook->unsettled) {
        fputs("  The shares did not settle: each lineup met asks for the shares of another. This\n"
              "  is the one of them that wins most sets.\n",
              page->out);
    }
}

static void print_libero(const View *page, int r) {
    const SxRotation *at = &page->lineup->rotation[r];
    if (at->libero < 0) {
        return;
    }
    int p = sx_slot_player(page->lineup, r, at->libero_slot);
    fprintf(page->out, "  Libero #%d stands in for #%d %s", player(page, at->libero)->number,
            player(page, p)->number, player(page, p)->name);
    if (at->libero_slot == r) {
        fprintf(page->out, at->libero_serves ? ", and serves for her" : "; #%d serves herself",
                player(page, p)->number);
    }
    fprintf(page->out, ".\n");
}

static const SxFormation *formation(const View *page, int r, SxPhase phase) {
    return phase == SX_RECEIVE ? page->lineup->rotation[r].receive : &page->day->serve.at[r];
}

static void fill_labels(const View *page, int r, SxPhase phase, char label[SX_SLOTS][8]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        bool passes = formation(page, r, phase)->passers >> s & 1;
        snprintf(label[s], sizeof label[s], passes ? "[%d]" : "%d",
                 player(page, sx_on_court(page->lineup, r, phase, s))->number);
    }
}

/* Metres to the next task, with a mark if the ball is there before her. */
static void print_spot(const View *page, int r, SxPhase phase, int position) {
    int slot = sx_slot_at(position, r);
    const SxFormation *f = formation(page, r, phase);
    const SxPlayer *who = player(page, sx_on_court(page->lineup, r, phase, slot));
    bool passes = f->passers >> slot & 1;
    fprintf(page->out, "  %-4s#%-3d", sx_roman(position), who->number);
    sx_lines_field(page->out, who->name, SPOT_NAME_WIDTH);
    bool late = sx_player_run(page->problem, r, phase, f, slot).late;
    fprintf(page->out, " %c %4.1f m%s", passes ? 'P' : ' ', f->run[slot], late ? "!" : "");
}

/* The drawing to the left; who stands where, who passes and how far each then runs to the right. */
static void print_court(const View *page, int r, SxPhase phase) {
    char label[SX_SLOTS][8];
    SxDrawing court;
    fill_labels(page, r, phase, label);
    sx_draw_court(formation(page, r, phase)->spot, r, label, court);
    for (int row = 0; row < SX_DRAWING_ROWS; row++) {
        fprintf(page->out, "%s", court[row]);
        if (row == 1) {
            fprintf(page->out, phase == SX_RECEIVE ? "  at their serve        passes   run"
                                                   : "  at our serve          run to base");
        } else if (row >= 2 && row < 2 + SX_POSITIONS) {
            print_spot(page, r, phase, row - 1);
        }
        fputc('\n', page->out);
    }
}

static int shirt_at(const View *page, int r, int position) {
    int slot = sx_slot_at(position, r);
    return player(page, sx_on_court(page->lineup, r, SX_RECEIVE, slot))->number;
}

static bool is_close(const SxFormation *f, int pair) {
    return isfinite(f->slack[pair]) &&
           f->slack[pair] * 100 <= round(f->margin * 100) + CLOSE_CM + 0.5;
}

static void print_close(const View *page, int r) {
    const SxFormation *f = page->lineup->rotation[r].receive;
    int close[SX_ORDER_PAIRS];
    int count = 0;
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        if (is_close(f, k)) {
            close[count++] = k;
        }
    }
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, count ? "Legal, but close:" : "Legal with room to spare.");
    for (int n = 0; n < count; n++) {
        const SxOrderPair *pair = &sx_order_pairs[close[n]];
        sx_phrase_add(&phrase, " #%d %s #%d by %.2f m%s", shirt_at(page, r, pair->low),
                      pair->axis == SX_SIDEWAYS ? "left of" : "in front of",
                      shirt_at(page, r, pair->high), f->slack[close[n]], n + 1 < count ? ";" : ".");
    }
    sx_lines_wrap(page->out, 2, 4, phrase.text);
}

static void print_passers_beside(const View *page, int r, int setter) {
    const SxFormation *f = page->lineup->rotation[r].receive;
    const char *separator = " she keeps out of the way of";
    for (int position = 1; position <= SX_POSITIONS; position++) {
        int slot = sx_slot_at(position, r);
        if ((f->passers >> slot & 1) && slot != setter &&
            sx_distance(f->spot[slot], f->spot[setter]) <= PASSER_REACH) {
            fprintf(page->out, "%s #%d", separator, shirt_at(page, r, position));
            separator = ",";
        }
    }
    fputc('.', page->out);
}

static void print_long_release(const View *page, int r) {
    const SxSystem *system = page->problem->system;
    const SxFormation *f = page->lineup->rotation[r].receive;
    int slot = system->setter_slot[r];
    int position = sx_position(slot, r);
    if (sx_row_of(position) == SX_FRONT || f->run[slot] <= LONG_RELEASE) {
        return;
    }
    fprintf(page->out, "  The setter's run is long:");
    bool held = false;
    for (int k = 0; k < SX_ORDER_PAIRS; k++) {
        const SxOrderPair *pair = &sx_order_pairs[k];
        if (is_close(f, k) && (pair->low == position || pair->high == position)) {
            int other = pair->low == position ? pair->high : pair->low;
            fprintf(page->out, " #%d holds her back.", shirt_at(page, r, other));
            held = true;
        }
    }
    if (!held) {
        print_passers_beside(page, r, slot);
    }
    fputc('\n', page->out);
}

/* The setter and the hitters who are later than the ball, and runs that meet. */
static void print_runs(const View *page, int r, SxPhase phase) {
    const SxFormation *f = formation(page, r, phase);
    for (int s = 0; s < SX_SLOTS; s++) {
        SxRun run = sx_player_run(page->problem, r, phase, f, s);
        if (run.late) {
            fprintf(page->out, "  ! #%d needs %.1f s for her run, the ball gives %.1f s.\n",
                    player(page, sx_on_court(page->lineup, r, phase, s))->number, run.task_time,
                    run.given);
        }
    }
    SxCrossing crossing[SX_MAX_CROSSINGS];
    int count = sx_meeting_runs(page->problem, r, phase, f, crossing);
    for (int k = 0; k < count; k++) {
        fprintf(page->out, "  The runs of #%d and #%d meet: agree who gives way.\n",
                player(page, sx_on_court(page->lineup, r, phase, crossing[k].a))->number,
                player(page, sx_on_court(page->lineup, r, phase, crossing[k].b))->number);
    }
}

static void print_serve(const View *page, int r) {
    const SxFormation *f = &page->day->serve.at[r];
    bool bound = page->problem->rules->serving_team_bound;
    fprintf(page->out, "  At our serve #%d serves %.1f m in from the left side line;%s\n",
            player(page, sx_on_court(page->lineup, r, SX_SERVE, r))->number, f->spot[r].x,
            bound ? " the order binds us:" : " all stand at base.");
    if (bound) {
        print_court(page, r, SX_SERVE);
        print_runs(page, r, SX_SERVE);
    }
}

char *sx_plan_text(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                   const SxOutlook *outlook) {
    SX_PLAIN_NUMBERS;
    SxStream text;
    if (!sx_stream_open(&text)) {
        return NULL;
    }
    View page = {text.out, problem, lineup, day, outlook};
    print_head(&page);
    print_order(&page);
    print_parts(&page);
    sx_matchday_text(page.out, problem, lineup, day);
    if (day->prices) {
        sx_prices_text(page.out, problem, lineup, day->prices);
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page.out, "\nRotation %d%s\n", r + 1,
                r == sx_weak_rotation(lineup) ? " (weak)" : "");
        print_libero(&page, r);
        print_court(&page, r, SX_RECEIVE);
        print_close(&page, r);
        print_long_release(&page, r);
        print_runs(&page, r, SX_RECEIVE);
        print_serve(&page, r);
    }
    fputs("\nRatings are opinions and some weights are invented; the competition's rule book\n"
          "and its referees prevail. Sixturn is no medical advice.\n",
          page.out);
    return sx_stream_close(&text);
}
