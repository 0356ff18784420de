/* Verdicts on drawn formations, as text and as JSON. */
#include "core/jsonwrite.h"
#include "report/lines.h"
#include "sixturn/drawnreport.h"
#include "sixturn/sentences.h"

#include <stdio.h>

enum { LINE_SIZE = 512, SENTENCE_SIZE = 400, NOTE_INDENT = 9 };

static void print_text(FILE *out, const SxDrawn *drawn, const SxRules *rules, double margin,
                       const SxLegality *result) {
    char title[SX_NAME_SIZE + 64], line[LINE_SIZE], sentence[SENTENCE_SIZE];
    snprintf(line, sizeof line, "%s, by %s: %s", sx_drawn_title(drawn, title, sizeof title),
             rules->name, result->legal ? "legal" : "NOT LEGAL");
    sx_lines_wrap_spaced(out, line, 0);
    for (int i = 0; i < result->finding_count; i++) {
        const SxFinding *finding = &result->finding[i];
        sx_finding_text(finding, drawn, margin, sentence, sizeof sentence);
        if (finding->rule[0]) {
            snprintf(line, sizeof line, "  %s  %s (FIVB %s)", finding->fault ? "fault" : "note ",
                     sentence, finding->rule);
        } else {
            snprintf(line, sizeof line, "  %s  %s", finding->fault ? "fault" : "note ", sentence);
        }
        sx_lines_wrap_spaced(out, line, NOTE_INDENT);
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
    char sentence[SENTENCE_SIZE];
    cJSON *item = cJSON_CreateObject();
    sx_put_text(item, "kind", sx_finding_word(finding->kind));
    sx_put_bool(item, "fault", finding->fault);
    add_position(item, "player", drawn, finding->position);
    add_position(item, "other", drawn, finding->other);
    sx_put_number(item, "metres", sx_json_metres(finding->amount));
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
            sx_put_number(entry, "slack", sx_json_metres(result->slack[pair]));
        }
        sx_push(pairs, entry);
    }
    cJSON *findings = sx_put_array(item, "findings");
    for (int i = 0; i < result->finding_count; i++) {
        sx_push(findings, finding_json(&result->finding[i], drawn, margin));
    }
    return item;
}

char *sx_check_text(const SxDrawnFile *file, const SxRules *rules, double margin,
                    const SxLegality *results) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    for (int i = 0; i < file->count; i++) {
        print_text(page.out, &file->formation[i], &rules[i], margin, &results[i]);
    }
    return sx_lines_close(&page);
}

char *sx_check_json(const SxDrawnFile *file, const SxRules *rules, double margin,
                    const SxLegality *results) {
    bool legal = true;
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; i < file->count; i++) {
        legal = legal && results[i].legal;
        sx_push(list, result_json(&file->formation[i], &rules[i], margin, &results[i]));
    }
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-check-1");
    sx_put_bool(root, "legal", legal);
    sx_put_number(root, "margin", margin);
    sx_put(root, "formations", list);
    return sx_json_finish(root);
}
