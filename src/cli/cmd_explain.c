/* sixturn explain: what can be written in the files, with examples. */
#include "cli/args.h"
#include "cli/commands.h"
#include "sixturn/template.h"
#include "sixturn/wishes.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static SxStatus explain_wishes(char **text, SxError *err) {
    *text = sx_wishes_guide();
    return *text ? SX_OK : sx_out_of_memory(err);
}

typedef struct {
    const char *topic, *brief;
    SxStatus (*explain)(char **text, SxError *err);
} Topic;

static const Topic topics[] = {
    {"wishes", "every wish, in a plan file and in a sheet", explain_wishes},
    {"team", "what stands in a roster and how to rate", sx_template_guide},
};
enum { TOPICS = sizeof topics / sizeof topics[0] };

SxStatus cmd_explain(int argc, char **argv) {
    const Arg table[] = {{NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL}};
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn explain TOPIC\n\n"
             "What can be written in the files, with examples. Topics:\n");
        for (int t = 0; t < TOPICS; t++) {
            printf("  %-9s %s\n", topics[t].topic, topics[t].brief);
        }
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, table, NULL, &words);
    if (status != SX_OK) {
        return status;
    }
    for (int t = 0; t < TOPICS && words.count == 1; t++) {
        if (strcmp(words.item[0], topics[t].topic) == 0) {
            SxError err = {.status = SX_OK};
            char *text = NULL;
            status = topics[t].explain(&text, &err);
            fputs(text ? text : "", stdout);
            free(text);
            return status == SX_OK ? SX_OK : args_complain(&err);
        }
    }
    fputs("sixturn: expected one topic: wishes or team; see sixturn explain --help\n", stderr);
    return SX_USAGE;
}
