/* What the commands about drawn formations share. */
#include "cli/check.h"

#include "core/jsonwrite.h"
#include "core/text.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMNS = 80 };
static const double most_margin = 3.0; /* metres: more leaves a row of three no room */
static const double grain = 1e-6;      /* metres */

static SxStatus read_lock(const char *word, CheckCommand *ask) {
    const char *digits = word[0] == '#' ? word + 1 : word;
    char *end = NULL;
    long value = strtol(digits, &end, 10);
    if (digits[0] < '0' || digits[0] > '9' || *end || value < 0 || value > SX_MAX_SHIRT) {
        fprintf(stderr, "sixturn: --lock takes a shirt number from 0 to %d, found '%s'\n",
                SX_MAX_SHIRT, word);
        return SX_USAGE;
    }
    ask->locks[ask->lock_count++] = (int)value;
    return SX_OK;
}

SxStatus check_arguments(int argc, char **argv, const char *help, bool mend, CheckCommand *ask) {
    memset(ask, 0, sizeof *ask);
    ask->margin = SX_NEAR_MARGIN;
    ArgList words, locks = {.count = 0};
    const Arg table[] = {
        {"--rules", ARG_TEXT, &ask->rules, 0, 0, "ID",
         "rule profile, id or file, instead of the file's own"},
        {"--margin", ARG_REAL, &ask->margin, 0, most_margin, "METRES",
         "metres by which a call must be clear; 0.30 if not given"},
        {"--json", ARG_FLAG, &ask->json, 0, 0, NULL, "the answer as JSON"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    const Arg mend_table[] = {
        {"--fewest", ARG_FLAG, &ask->fewest, 0, 0, NULL, "move as few players as possible"},
        {"--lock", ARG_LIST, &locks, 0, 0, "N", "number N stays; may be given again"},
        {"-o", ARG_TEXT, &ask->out, 0, 0, "OUT.json", "write the mended formation file"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        ask->help = true;
        fputs(help, stdout);
        args_help(table);
        if (mend) {
            args_help(mend_table);
        }
        puts("\nThe competition's own rule book and its referees prevail.");
        return SX_OK;
    }
    SxStatus status = args_read(argc, argv, table, mend ? mend_table : NULL, &words);
    for (int i = 0; i < locks.count && status == SX_OK; i++) {
        status = read_lock(locks.item[i], ask);
    }
    if (status == SX_OK && words.count != 1) {
        fputs("sixturn: expected one formation file (see --help)\n", stderr);
        status = SX_USAGE;
    }
    ask->file = words.count == 1 ? words.item[0] : NULL;
    return status;
}

static SxStatus rules_for(const CheckCommand *ask, const SxDrawn *drawn, SxRules *rules,
                          SxError *err) {
    const char *name = ask->rules ? ask->rules : drawn->rules[0] ? drawn->rules : sx_rules_id(0);
    return sx_rules_load(name, rules, err);
}

SxStatus check_rules(const CheckCommand *ask, const SxDrawnFile *file, SxRules **rules,
                     SxError *err) {
    SxRules *list = calloc((size_t)file->count, sizeof *list);
    SxStatus status = list ? SX_OK : sx_out_of_memory(err);
    for (int i = 0; i < file->count && status == SX_OK; i++) {
        /* A file of many formations names few profiles: the one before is mostly the same. */
        bool same = i > 0 && (ask->rules ||
                              strcmp(file->formation[i].rules, file->formation[i - 1].rules) == 0);
        if (same) {
            list[i] = list[i - 1];
        } else {
            status = rules_for(ask, &file->formation[i], &list[i], err);
        }
    }
    if (status != SX_OK) {
        free(list);
        list = NULL;
    }
    *rules = list;
    return status;
}

/* Columns that bytes of UTF-8 take, counting one for each character. */
static int columns(const char *text, size_t bytes) {
    int count = 0;
    for (size_t i = 0; i < bytes; i++) {
        count += ((unsigned char)text[i] & 0xc0) != 0x80;
    }
    return count;
}

void check_print_wrapped(const char *line, int indent) {
    size_t lead = strspn(line, " ");
    int column = (int)lead;
    printf("%*s", (int)lead, "");
    bool first = true;
    for (const char *word = line + lead; *word;) {
        size_t blanks = strspn(word, " "), bytes = strcspn(word + blanks, " ");
        int width = columns(word + blanks, bytes);
        if (!first && column + (int)blanks + width > COLUMNS) {
            printf("\n%*s", indent, "");
            column = indent;
        } else {
            printf("%*s", (int)blanks, "");
            column += (int)blanks;
        }
        fwrite(word + blanks, 1, bytes, stdout);
        column += width;
        word += blanks + bytes;
        first = false;
    }
    putchar('\n');
}

SxStatus check_print_json(cJSON *root, SxError *err) {
    char *text = sx_put_print(root);
    if (!text) {
        return sx_out_of_memory(err);
    }
    puts(text);
    cJSON_free(text);
    return SX_OK;
}

double check_tidy(double metres) {
    return round(metres / grain) / round(1 / grain) + 0.0;
}
