/* A lineup as text, 80 columns wide, for a coach at a terminal. */
#include "report/lines.h"
#include "report/matchday.h"
#include "sixturn/bestset.h"
#include "sixturn/evaluate.h"
#include "sixturn/slip.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_WIDTH = 24, SPOT_NAME_WIDTH = 17, CLOSE_CM = 5 };
/* Metres that nobody calls close. */
#define CLEAR 0.60
/* Metres off the middle of the end line that nobody sees. */
#define MIDDLE 0.05
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
    const SxSure *sure; /* NULL: not asked */
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
        sx_phrase_add(&phrase,
                      "best for these ratings: proven that no lineup wins more, each with its "
                      "cheapest formations.");
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

/* The rotation in which the set starts. */
static int start_of(const View *page, SxPhase first) {
    return page->outlook ? page->outlook->start[first] : page->lineup->start;
}

static void print_slips(const View *page) {
    SxSlip slip[SX_PHASES];
    char text[SX_SLIP_SIZE];
    for (int phase = 0; phase < SX_PHASES; phase++) {
        sx_slip_from(page->lineup, page->problem->team, start_of(page, (SxPhase)phase),
                     &slip[phase]);
    }
    fprintf(page->out, "\n%s", sx_slips_text(slip, page->problem->team->name, text, sizeof text));
}

static void print_place(const View *page, const char *places, int slot, SxRow row,
                        const char *remark) {
    const SxOrder *order = &page->lineup->order;
    const SxPlayer *who = player(page, row == SX_FRONT ? order->front[slot] : order->back[slot]);
    fprintf(page->out, "  %s#%-3d", places, who->number);
    sx_lines_field(page->out, who->name, NAME_WIDTH);
    fprintf(page->out, " %s%s%s\n", sx_role_name(page->problem->system->duty[slot][row].role),
            remark, sx_estimated_mark(who));
}

/* A team that receives first turns before it serves. */
static void print_first_servers(const View *page, const int start[SX_PHASES]) {
    const SxOrder *order = &page->lineup->order;
    const int turned = (start[SX_RECEIVE] + 1) % SX_ROTATIONS;
    const int ours = player(page, order->back[start[SX_SERVE]])->number;
    const int after = player(page, order->back[turned])->number;
    if (ours == after) {
        fprintf(page->out, "  #%d serves first of us, whoever begins.\n", ours);
    } else {
        fprintf(page->out, "  #%d serves first if we begin; #%d if they do, once we have turned.\n",
                ours, after);
    }
}

/* Who starts where; below her, where a substitution is planned, who takes over in the other row. */
static void print_order(const View *page) {
    const SxLineup *lineup = page->lineup;
    const int start[SX_PHASES] = {start_of(page, SX_RECEIVE), start_of(page, SX_SERVE)};
    const bool both = start[SX_RECEIVE] != start[SX_SERVE];
    const char *blank = both ? "         " : "    ";
    bool told[SX_MAX_PLAYERS] = {false};
    fputs(both ? "\nServing order: her place if they serve first, if we serve first\n"
               : "\nServing order\n",
          page->out);
    for (int k = 0; k < SX_SLOTS; k++) {
        int slot = (start[SX_SERVE] + k) % SX_SLOTS; /* the first to serve if we do */
        SxRow now = sx_row_of(sx_position(slot, start[SX_SERVE]));
        char places[16];
        snprintf(places, sizeof places, both ? "%-4s %-4s" : "%-4s",
                 sx_roman(sx_position(slot, start[SX_RECEIVE])),
                 sx_roman(sx_position(slot, start[SX_SERVE])));
        told[lineup->order.front[slot]] = told[lineup->order.back[slot]] = true;
        if (lineup->order.front[slot] == lineup->order.back[slot]) {
            print_place(page, places, slot, now, "");
            continue;
        }
        print_place(page, places, slot, now, now == SX_FRONT ? " in front" : " in the back row");
        print_place(page, blank, slot, now == SX_FRONT ? SX_BACK : SX_FRONT,
                    now == SX_FRONT ? " in the back row, in for her" : " in front, in for her");
    }
    for (int k = 0; k < lineup->libero_count; k++) {
        const SxPlayer *who = player(page, lineup->liberos[k]);
        told[lineup->liberos[k]] = true;
        fprintf(page->out, "  %s#%-3d", both ? "L        " : "L   ", who->number);
        sx_lines_field(page->out, who->name, NAME_WIDTH);
        fprintf(page->out, " libero%s\n", sx_estimated_mark(who));
    }
    print_first_servers(page, start);
    sx_lines_estimated(page->out, page->problem->team, told);
}

/* With its weight in the score; one of 0 is not shown. */
static void print_part_name(const View *page, SxPart part) {
    const double weight = page->problem->plan->weight[part];
    char times[16] = "";
    if (weight > 0) {
        snprintf(times, sizeof times, "x%s%.2f", part == SX_PART_RUN ? "-" : "", weight);
    }
    fprintf(page->out, "\n  %-7s %-6s", part == SX_PART_RUN ? "metres" : sx_part_word(part), times);
}

/* The sum of the metres that stand beside the court, each to a tenth. */
static double metres_told(const View *page, int r) {
    const SxFormation *f = page->lineup->rotation[r].receive;
    double sum = 0;
    for (int s = 0; s < SX_SLOTS; s++) {
        sum += round(f->run[s] * 10) / 10;
    }
    return sum;
}

static void print_what_counts(const View *page) {
    const SxLineup *lineup = page->lineup;
    int weak = sx_weak_rotation(lineup);
    fputs("\nWhat counts\n  in rotation   ", page->out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%8d%c", r + 1, r == weak ? '*' : ' ');
    }
    fputs("\n  played, %     ", page->out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%8.1f ", 100 * lineup->rotation[r].weight);
    }
    fprintf(page->out, "\n  score         ");
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page->out, "%8.2f ", lineup->rotation[r].score);
    }
    for (int k = 0; k < SX_PARTS; k++) {
        print_part_name(page, (SxPart)k);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            fprintf(page->out, "%8.2f ",
                    k == SX_PART_RUN ? metres_told(page, r) : lineup->rotation[r].part[k]);
        }
    }
    Phrase note = {.used = 0};
    sx_phrase_add(
        &note,
        "* the weakest rotation. Played: of 100 rallies of a set. All else goes from 0 to "
        "10 but metres, all that the six have to move when they serve%s.",
        page->problem->plan->weight[SX_PART_RUN] > 0
            ? "; less is better, and the score counts long ways and crowding beside them"
            : "");
    fputc('\n', page->out);
    sx_lines_wrap(page->out, 2, 2, note.text);
    if (page->outlook && page->outlook->unsettled) {
        fputs("  How often each is played and the lineup that this leads to did not come to\n"
              "  agree. This is the one of those met that wins most sets.\n",
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

static void fill_labels(const View *page, int r, SxPhase phase, const SxFormation *f,
                        char label[SX_SLOTS][8]) {
    for (int s = 0; s < SX_SLOTS; s++) {
        bool passes = f->passers >> s & 1;
        snprintf(label[s], sizeof label[s], passes ? "[%d]" : "%d",
                 player(page, sx_on_court(page->lineup, r, phase, s))->number);
    }
}

/* Metres to the next task, with a mark if the ball is there before her. */
static void print_spot(const View *page, int r, SxPhase phase, const SxFormation *f, int position) {
    int slot = sx_slot_at(position, r);
    const SxPlayer *who = player(page, sx_on_court(page->lineup, r, phase, slot));
    bool passes = f->passers >> slot & 1;
    fprintf(page->out, "  %-4s#%-3d", sx_roman(position), who->number);
    sx_lines_field(page->out, who->name, SPOT_NAME_WIDTH);
    bool late = sx_player_run(page->problem, r, phase, f, slot).late;
    fprintf(page->out, " %c %4.1f m%s", passes ? 'P' : ' ', f->run[slot], late ? "!" : "");
}

/* The drawing to the left; who stands where, who passes and how far each then runs to the right. */
static void print_court(const View *page, int r, SxPhase phase, const SxFormation *f) {
    char label[SX_SLOTS][8];
    SxDrawing court;
    fill_labels(page, r, phase, f, label);
    sx_draw_court(f->spot, r, label, court);
    for (int row = 0; row < SX_DRAWING_ROWS; row++) {
        fprintf(page->out, "%s", court[row]);
        if (row == 1) {
            fprintf(page->out, phase == SX_RECEIVE ? "  at their serve   P passes   to move"
                                                   : "  at our serve        to move to base");
        } else if (row >= 2 && row < 2 + SX_POSITIONS) {
            print_spot(page, r, phase, f, row - 1);
        }
        fputc('\n', page->out);
    }
}

void sx_receive_court(FILE *out, const SxProblem *problem, const SxLineup *lineup, int rotation,
                      const SxFormation *formation) {
    const View page = {.out = out, .problem = problem, .lineup = lineup};
    print_court(&page, rotation, SX_RECEIVE, formation);
}

static int shirt_at(const View *page, int r, int position) {
    int slot = sx_slot_at(position, r);
    return player(page, sx_on_court(page->lineup, r, SX_RECEIVE, slot))->number;
}

static bool is_close(const SxFormation *f, int pair) {
    return isfinite(f->slack[pair]) && f->slack[pair] < CLEAR &&
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
        sx_phrase_add(&phrase, " #%d %s #%d by only %.2f m%s", shirt_at(page, r, pair->low),
                      pair->axis == SX_SIDEWAYS ? "left of" : "in front of",
                      shirt_at(page, r, pair->high), f->slack[close[n]], n + 1 < count ? ";" : ".");
    }
    sx_lines_wrap(page->out, 2, 4, phrase.text);
}

void sx_phrase_hitters(Phrase *phrase, const SxProblem *problem, const SxLineup *lineup,
                       int rotation, const SxFormation *formation) {
    const char *between = "";
    for (int lane = 0; lane < SX_LANES; lane++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            const int position = sx_position(s, rotation);
            const int p = sx_on_court(lineup, rotation, SX_RECEIVE, s);
            if (sx_is_front_hitter(problem->system, rotation, s) &&
                (int)sx_side_lane(formation->sides, position) == lane) {
                sx_phrase_add(phrase, "%s#%d %s%s", between, problem->team->players[p].number,
                              sx_lane_name((SxLane)lane),
                              sx_attacks_away(problem, p, rotation, s, formation->sides)
                                  ? " (not her usual side)"
                                  : "");
                between = ", ";
            }
        }
    }
}

static void print_hitters(const View *page, int r) {
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "First ball: ");
    sx_phrase_hitters(&phrase, page->problem, page->lineup, r, page->lineup->rotation[r].receive);
    sx_phrase_add(&phrase, ".");
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
    const double off = f->spot[r].x - SX_COURT_WIDTH / 2;
    fprintf(page->out, "  At our serve #%d serves ",
            player(page, sx_on_court(page->lineup, r, SX_SERVE, r))->number);
    if (fabs(off) < MIDDLE) {
        fputs("from the middle of the end line;", page->out);
    } else {
        fprintf(page->out, "%.1f m from the %s side line;", SX_COURT_WIDTH / 2 - fabs(off),
                off < 0 ? "left" : "right");
    }
    fputs(bound ? " the order binds us:\n" : " all stand at base.\n", page->out);
    if (bound) {
        print_court(page, r, SX_SERVE, formation(page, r, SX_SERVE));
        print_runs(page, r, SX_SERVE);
    }
}

static void print_top(const View *page) {
    print_head(page);
    if (page->sure) {
        sx_sure_head(page->out, page->sure);
    }
    print_slips(page);
    print_order(page);
    if (page->outlook->substitutes && page->outlook->after[0].found) {
        fputs("\nThose who come in for others\n", page->out);
        sx_stopping_lines(page->out, page->outlook);
    }
}

char *sx_plan_brief_text(const SxProblem *problem, const SxLineup *lineup, const SxOutlook *outlook,
                         const SxSure *sure) {
    SX_PLAIN_NUMBERS;
    SxStream text;
    if (!sx_stream_open(&text)) {
        return NULL;
    }
    const View page = {text.out, problem, lineup, NULL, outlook, sure};
    print_top(&page);
    return sx_stream_close(&text);
}

char *sx_plan_text(const SxProblem *problem, const SxLineup *lineup, const SxMatchDay *day,
                   const SxOutlook *outlook) {
    SX_PLAIN_NUMBERS;
    SxStream text;
    if (!sx_stream_open(&text)) {
        return NULL;
    }
    View page = {text.out, problem, lineup, day, outlook, day->sure};
    print_top(&page);
    if (day->sure) {
        sx_sure_text(page.out, problem, day->sure);
    }
    print_what_counts(&page);
    sx_matchday_text(page.out, problem, lineup, day);
    if (day->prices) {
        sx_prices_text(page.out, problem, lineup, day->prices);
    }
    fputs("\nThe courts: net at the top, [5] passes the serve\n", page.out);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        fprintf(page.out, "\nRotation %d%s\n", r + 1,
                r == sx_weak_rotation(lineup) ? " (weakest)" : "");
        print_libero(&page, r);
        print_court(&page, r, SX_RECEIVE, formation(&page, r, SX_RECEIVE));
        print_hitters(&page, r);
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
