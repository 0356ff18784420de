/* The question of two lineups side by side. */
#include "core/text.h"
#include "session/questions.h"
#include "sixturn/analysis_report.h"
#include "sixturn/orderfile.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    Bench bench;
    SxOrderFile order;
    bool given; /* the source gives the order */
} Side;

typedef struct {
    Bench yardstick;
    Side side[2];
} Kept;

/* A plan, or the result of one. */
static SxStatus parse(const SxSource *source, const SxTeam *team, Side *side, SxError *err) {
    SxStatus status =
        sx_order_file_is_result(source->text, source->length, source->name, &side->given, err);
    if (status == SX_OK && side->given) {
        return sx_order_file_parse(source->text, source->length, source->name, team, &side->order,
                                   err);
    }
    return status == SX_OK ? sx_plan_parse(source->text, source->length, source->name, team,
                                           &side->bench.plan, err)
                           : status;
}

static SxStatus read_side(const SxSource *source, const SxTeam *team, Side *side, SxError *err) {
    if (source->text || !source->name) {
        return source->text ? parse(source, team, side, err)
                            : sx_fail(err, SX_USAGE, "two plans or lineups are needed");
    }
    char *text = NULL;
    SxSource read = {.name = source->name};
    SxStatus status = sx_text_read_file(source->name, &text, &read.length, err);
    read.text = text;
    if (status == SX_OK) {
        status = parse(&read, team, side, err);
    }
    free(text);
    return status;
}

/* In a lineup of which the setter on duty is no passer she may not become one. */
static bool setter_passed(const SxOrderFile *file) {
    SxSystem system;
    if (sx_system_load(file->system, &system, NULL) != SX_OK) {
        return false; /* told where the side is furnished */
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const int slot = system.setter_slot[r];
        const bool front = sx_slot_row(slot, r) == SX_FRONT;
        const int setter = front ? file->order.front[slot] : file->order.back[slot];
        if (file->passing[r] >> setter & 1) {
            return true;
        }
    }
    return false;
}

/* System, rules and formations of a side; its own where it names them, else the session's. */
static SxStatus furnish(SxSession *session, Side *side, SxError *err) {
    Bench *bench = &side->bench;
    if (side->given) {
        bench->plan = session->bench.plan;
        bench->plan.wish_count = 0;
        bench->plan.passers = side->order.passers;
        bench->plan.setter_passes = setter_passed(&side->order);
        bench->plan.start = side->order.start;
        sx_text_cut(side->order.system, bench->plan.system, sizeof bench->plan.system);
    }
    bench->rules = session->bench.rules;
    SxStatus status = SX_OK;
    if (!side->given && bench->plan.rules[0]) {
        status = sx_rules_load(bench->plan.rules, &bench->rules, err);
    }
    return status == SX_OK ? sx_session_furnish(session, bench, err) : status;
}

/* Two lineups of one system are valued as plan values them; rotation weights of two systems do not
 * compare. */
static SxStatus settle_yardstick(SxSession *session, Kept *kept, SxError *err) {
    Bench *yard = &kept->yardstick;
    yard->plan = session->bench.plan;
    yard->rules = session->bench.rules;
    yard->out_count = session->bench.out_count;
    if (strcmp(kept->side[0].bench.system.id, kept->side[1].bench.system.id) != 0) {
        return SX_OK;
    }
    yard->system = kept->side[0].bench.system;
    SxStatus status = sx_session_furnish(session, yard, err);
    return status == SX_OK ? sx_session_settle(session, yard, false, err) : status;
}

static SxStatus solve(SxSession *session, const Kept *kept, Side *side, SxContender *out,
                      SxError *err) {
    Bench *bench = &side->bench;
    SxStatus status;
    if (side->given) {
        const SxSolveOptions options = {.fixed = &side->order.order, .work = &session->work};
        memcpy(bench->plan.rotation_weight, kept->yardstick.plan.rotation_weight,
               sizeof bench->plan.rotation_weight);
        status = bench->problem.against
                     ? sx_order_best(&bench->problem, &side->order.order, &out->lineup, err)
                     : sx_lineup_solve(&bench->problem, &options, &out->lineup, err);
        out->lineup.start = side->order.start;
    } else {
        status = sx_session_lineup(session, bench, err);
        out->lineup = bench->forecast.lineup;
    }
    out->problem = bench->problem;
    return status;
}

static SxStatus ask_versus(SxSession *session, const SxAsk *ask, SxAnswer *answer, SxError *err) {
    SxVersusAnswer *versus = &answer->versus;
    Kept *kept = versus->kept = calloc(1, sizeof *kept);
    SxStatus status = kept ? SX_OK : sx_out_of_memory(err);
    for (int k = 0; k < 2 && status == SX_OK; k++) {
        const SxSource *source = &ask->versus.side[k];
        snprintf(versus->name[k], sizeof versus->name[k], "%s", source->name ? source->name : "");
        status = read_side(source, &session->team, &kept->side[k], err);
        if (status == SX_OK) {
            *err = (SxError){.status = SX_OK};
            status = furnish(session, &kept->side[k], err);
        }
    }
    if (status == SX_OK) {
        status = settle_yardstick(session, kept, err);
    }
    for (int k = 0; k < 2 && status == SX_OK; k++) {
        status = solve(session, kept, &kept->side[k], &versus->side[k], err);
        if (status != SX_OK) {
            snprintf(err->file, sizeof err->file, "%s", versus->name[k]);
        }
    }
    if (status == SX_OK) {
        versus->yardstick = kept->yardstick.plan;
        status =
            sx_versus(&versus->yardstick, &versus->side[0], &versus->side[1], &versus->versus, err);
    }
    return status;
}

static char *versus_report(const SxAnswer *answer, bool json) {
    const SxVersusAnswer *versus = &answer->versus;
    const char *const name[2] = {versus->name[0], versus->name[1]};
    return (json ? sx_versus_json : sx_versus_text)(&versus->yardstick, &versus->side[0],
                                                    &versus->side[1], name, &versus->versus);
}

static void versus_free(SxAnswer *answer) {
    Kept *kept = answer->versus.kept;
    if (kept) {
        sx_formation_table_free(kept->yardstick.table);
        sx_formation_table_free(kept->side[0].bench.table);
        sx_formation_table_free(kept->side[1].bench.table);
    }
    free(kept);
}

const Question sx_question_versus = {ask_versus, versus_report, versus_free, NULL};
