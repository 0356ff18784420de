/* `sixturn check`: is a drawn formation legal, and how close is it? */
#include "cli/check.h"
#include "cli/commands.h"
#include "core/jsonwrite.h"
#include "core/text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char help[] =
    "usage: sixturn check FORMATION.json [options]\n\n"
    "Is a drawn formation legal at the service hit, and how close are the calls?\n"
    "A file may hold several formations; all are checked. Exit status 0: all legal,\n"
    "1: at least one fault.\n\n";

static void print_text(const SxDrawn *drawn, const SxRules *rules, double margin,
                       const SxLegality *result) {
    char title[SX_NAME_SIZE + 64], line[512], sentence[400];
    snprintf(line, sizeof line, "%s, by %s: %s", sx_drawn_title(drawn, title, sizeof title),
             rules->name, result->legal ? "legal" : "NOT LEGAL");
    check_print_wrapped(line, 0);
    for (int i = 0; i < result->finding_count; i++) {
        const SxFinding *finding = &result->finding[i];
        sx_finding_text(finding, drawn, margin, sentence, sizeof sentence);
        if (finding->rule[0]) {
            snprintf(line, sizeof line, "  %s  %s (FIVB %s)", finding->fault ? "fault" : "note ",
                     sentence, finding->rule);
        } else {
            snprintf(line, sizeof line, "  %s  %s", finding->fault ? "fault" : "note ", sentence);
        }
        check_print_wrapped(line, 9);
    }
}

static void add_position(cJSON *item, const char *key, const SxDrawn *drawn, int position) {
    if (position) {
        cJSON *who = sx_put_object(item, key);
        sx_put_number(who, "position", position);
        sx_put_number(who, "number", drawn->player[position - 1].number);
    }
}

static cJSON *finding_json(const SxFinding *finding, const SxDrawn *drawn, double margin) {
    char sentence[400];
    cJSON *item = cJSON_CreateObject();
    sx_put_text(item, "kind", sx_finding_word(finding->kind));
    sx_put_bool(item, "fault", finding->fault);
    add_position(item, "player", drawn, finding->position);
    add_position(item, "other", drawn, finding->other);
    sx_put_number(item, "metres", check_tidy(finding->amount));
    if (finding->rule[0]) {
        sx_put_text(item, "fivb_rule", finding->rule);
    }
    sx_put_text(item, "sentence",
                sx_finding_text(finding, drawn, margin, sentence, sizeof sentence));
    return item;
}

static cJSON *result_json(const SxDrawn *drawn, const SxRules *rules, double margin,
                          const SxLegality *result) {
    char title[SX_NAME_SIZE + 64];
    cJSON *item = cJSON_CreateObject();
    sx_put_text(item, "title", sx_drawn_title(drawn, title, sizeof title));
    sx_put_text(item, "rules", rules->id);
    sx_put_bool(item, "legal", result->legal);
    cJSON *pairs = sx_put_array(item, "pairs");
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        cJSON *entry = cJSON_CreateObject();
        sx_put_number(entry, "low", sx_order_pairs[pair].low);
        sx_put_number(entry, "high", sx_order_pairs[pair].high);
        sx_put_bool(entry, "judged", result->judged[pair]);
        if (result->judged[pair]) {
            sx_put_number(entry, "slack", check_tidy(result->slack[pair]));
        }
        sx_push(pairs, entry);
    }
    cJSON *findings = sx_put_array(item, "findings");
    for (int i = 0; i < result->finding_count; i++) {
        sx_push(findings, finding_json(&result->finding[i], drawn, margin));
    }
    return item;
}

static SxStatus check_all(const CheckCommand *ask, const SxDrawnFile *file, const SxRules *rules,
                          SxError *err) {
    SxStatus answer = SX_OK;
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; i < file->count; i++) {
        const SxDrawn *drawn = &file->formation[i];
        SxLegality result;
        sx_legality(&drawn->stance, &rules[i], ask->margin, &result);
        answer = result.legal ? answer : SX_NO;
        if (ask->json) {
            sx_push(list, result_json(drawn, &rules[i], ask->margin, &result));
        } else {
            print_text(drawn, &rules[i], ask->margin, &result);
        }
    }
    if (ask->json) {
        cJSON *root = cJSON_CreateObject();
        sx_put_text(root, "format", "sixturn-check-1");
        sx_put_bool(root, "legal", answer == SX_OK);
        sx_put_number(root, "margin", ask->margin);
        sx_put(root, "formations", list);
        SxStatus status = check_print_json(root, err);
        return status == SX_OK ? answer : status;
    }
    cJSON_Delete(list);
    return answer;
}

SxStatus cmd_check(int argc, char **argv) {
    SxError err = {.status = SX_OK};
    CheckCommand ask;
    SxDrawnFile file = {0};
    SxStatus status = check_arguments(argc, argv, help, false, &ask);
    if (status != SX_OK || ask.help) {
        return status;
    }
    SxRules *rules = NULL;
    status = sx_drawn_read(ask.file, &file, &err);
    if (status == SX_OK) {
        status = check_rules(&ask, &file, &rules, &err);
    }
    if (status == SX_OK) {
        status = check_all(&ask, &file, rules, &err);
    }
    free(rules);
    sx_drawn_free(&file);
    return status > SX_NO ? args_complain(&err) : status;
}
