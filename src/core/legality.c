/* Positional faults at the service hit, FIVB 7.4, and the libero's and server's place. */
#include "sixturn/legality.h"

#include <math.h>
#include <string.h>

/* Depth and sideways rules are confirmed; 7.4 (within the own court), 7.7.1 (rotational fault),
 * 12.4.3 (server outside the court, in the service zone) and the third level of 19 from memory,
 * save 19.3.1.3, which is confirmed. */
static const char rule_depth[] = "7.4.3.1";
static const char rule_sideways[] = "7.4.3.2";
static const char rule_inside[] = "7.4";
static const char rule_order[] = "7.7.1";
static const char rule_server_spot[] = "12.4.3";
static const char rule_libero_back[] = "19.3.1.1";
static const char rule_libero_serve[] = "19.3.1.3";
static const char rule_libero_count[] = "19.1";

void sx_stance_default(SxStance *stance) {
    memset(stance, 0, sizeof *stance);
    for (int i = 0; i < SX_POSITIONS; i++) {
        stance->player[i] = stance->due[i] = SX_NOBODY;
    }
    stance->phase = SX_RECEIVE;
}

int sx_stance_server(const SxStance *stance) {
    if (stance->phase != SX_SERVE) {
        return 0;
    }
    return stance->server ? stance->server : 1;
}

bool sx_pair_binds(const SxStance *stance, const SxRules *rules, int pair) {
    if (stance->phase != SX_SERVE) {
        return true;
    }
    int server = sx_stance_server(stance);
    const SxOrderPair *p = &sx_order_pairs[pair];
    return rules->serving_team_bound && p->low != server && p->high != server;
}

/* The older wording looks from one player's side: the front-row or the outer one's. */
static bool subject_is_low(const SxOrderPair *pair) {
    return pair->axis == SX_DEPTH || pair->low == 4 || pair->low == 5;
}

double sx_order_allowance(const SxRules *rules, int pair, double reach_low, double reach_high) {
    if (!rules->level_is_fault) {
        return reach_low + reach_high;
    }
    return subject_is_low(&sx_order_pairs[pair]) ? reach_low - reach_high : reach_high - reach_low;
}

bool sx_slack_is_legal(const SxRules *rules, double slack) {
    return rules->level_is_fault ? slack > SX_LEVEL : slack >= -SX_LEVEL;
}

SxStanceBox sx_stance_box(const SxStance *stance, int position) {
    double reach = stance->reach[position - 1];
    SxStanceBox box = {{reach, reach}, {SX_COURT_WIDTH - reach, SX_COURT_DEPTH - reach}};
    if (position == sx_stance_server(stance)) {
        box.low.y = SX_COURT_DEPTH + reach;
        box.high.y = INFINITY;
    }
    return box;
}

static void note(SxLegality *out, SxFinding finding) {
    if (out->finding_count == SX_MAX_FINDINGS) {
        return;
    }
    /* Faults before warnings, each in the order found. */
    int at = out->finding_count++;
    if (finding.fault) {
        at = out->fault_count++;
        memmove(&out->finding[at + 1], &out->finding[at],
                (size_t)(out->finding_count - 1 - at) * sizeof finding);
    }
    out->finding[at] = finding;
}

static double along(SxSpot spot, SxAxis axis) {
    return axis == SX_SIDEWAYS ? spot.x : spot.y;
}

/* The player whom a sentence is about: the back-row one, or the one at the side. */
static int sentence_subject(const SxOrderPair *pair) {
    return pair->axis == SX_SIDEWAYS && subject_is_low(pair) ? pair->low : pair->high;
}

static void judge_pair(const SxStance *stance, const SxRules *rules, double margin, int pair,
                       SxLegality *out) {
    const SxOrderPair *p = &sx_order_pairs[pair];
    out->judged[pair] = sx_pair_binds(stance, rules, pair);
    if (!out->judged[pair]) {
        out->slack[pair] = INFINITY;
        return;
    }
    int low = p->low - 1, high = p->high - 1;
    double slack = along(stance->spot[high], p->axis) - along(stance->spot[low], p->axis) +
                   sx_order_allowance(rules, pair, stance->reach[low], stance->reach[high]);
    slack = fabs(slack) < SX_LEVEL ? 0 : slack;
    out->slack[pair] = slack;
    bool fault = !sx_slack_is_legal(rules, slack);
    if (fault || slack < margin - SX_LEVEL) {
        int subject = sentence_subject(p);
        note(out, (SxFinding){fault ? SX_ORDER_FAULT : SX_ORDER_NEAR, fault, pair, subject,
                              subject == p->low ? p->high : p->low, fabs(slack),
                              p->axis == SX_DEPTH ? rule_depth : rule_sideways});
    }
}

static double beyond(double value, double low, double high) {
    return fmax(fmax(low - value, value - high), 0);
}

static void judge_place(const SxStance *stance, int position, SxLegality *out) {
    SxStanceBox box = sx_stance_box(stance, position);
    SxSpot spot = stance->spot[position - 1];
    double across = beyond(spot.x, box.low.x, box.high.x);
    double deep = beyond(spot.y, box.low.y, box.high.y);
    if (position != sx_stance_server(stance)) {
        if (fmax(across, deep) > SX_LEVEL) {
            note(out,
                 (SxFinding){SX_OFF_COURT, true, -1, position, 0, fmax(across, deep), rule_inside});
        }
        return;
    }
    if (deep > SX_LEVEL) {
        note(out, (SxFinding){SX_SERVER_INSIDE, true, -1, position, 0, deep, rule_server_spot});
    }
    if (across > SX_LEVEL) {
        note(out, (SxFinding){SX_SERVER_WIDE, true, -1, position, 0, across, rule_server_spot});
    }
}

static void judge_room(const SxStance *stance, SxLegality *out) {
    for (int a = 1; a <= SX_POSITIONS; a++) {
        for (int b = a + 1; b <= SX_POSITIONS; b++) {
            SxSpot one = stance->spot[a - 1], two = stance->spot[b - 1];
            double apart = fmax(fabs(one.x - two.x), fabs(one.y - two.y));
            if (apart < SX_BODY_ROOM - SX_LEVEL) {
                note(out, (SxFinding){SX_ONE_PLACE, true, -1, a, b, sx_distance(one, two), ""});
            }
        }
    }
}

static void judge_order(const SxStance *stance, SxLegality *out) {
    for (int i = 0; i < SX_POSITIONS; i++) {
        if (stance->due[i] != SX_NOBODY && stance->due[i] != stance->player[i]) {
            note(out, (SxFinding){SX_WRONG_ORDER, true, -1, i + 1, 0, 0, rule_order});
        }
    }
    int server = sx_stance_server(stance);
    if (server > 1) {
        note(out, (SxFinding){SX_WRONG_SERVER, true, -1, server, 1, 0, rule_order});
    }
}

static void judge_libero(const SxStance *stance, const SxRules *rules, SxLegality *out) {
    int server = sx_stance_server(stance), first = 0;
    for (int p = 1; p <= SX_POSITIONS; p++) {
        if (!stance->libero[p - 1]) {
            continue;
        }
        if (rules->liberos == 0) {
            note(out, (SxFinding){SX_LIBERO_FORBIDDEN, true, -1, p, 0, 0, rule_libero_count});
        }
        if (sx_row_of(p) == SX_FRONT) {
            note(out, (SxFinding){SX_LIBERO_FRONT, true, -1, p, 0, 0, rule_libero_back});
        }
        if (p == server && !rules->libero_serves) {
            note(out, (SxFinding){SX_LIBERO_SERVES, true, -1, p, 0, 0, rule_libero_serve});
        }
        if (first) {
            note(out, (SxFinding){SX_LIBERO_SECOND, true, -1, first, p, 0, rule_libero_count});
        }
        first = first ? first : p;
    }
    if (!first && stance->libero_named && stance->phase == SX_RECEIVE) {
        note(out, (SxFinding){SX_LIBERO_OUT, false, -1, 0, 0, 0, ""});
    }
}

void sx_legality(const SxStance *stance, const SxRules *rules, double margin, SxLegality *out) {
    out->fault_count = out->finding_count = 0;
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        judge_pair(stance, rules, margin, pair, out);
    }
    for (int p = 1; p <= SX_POSITIONS; p++) {
        judge_place(stance, p, out);
    }
    judge_room(stance, out);
    judge_order(stance, out);
    judge_libero(stance, rules, out);
    out->legal = out->fault_count == 0;
}
