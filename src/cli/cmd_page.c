/* sixturn page: the page as one HTML file, with a team in it. */
#include "cli/args.h"
#include "cli/commands.h"
#include "core/text.h"
#include "core/write.h"
#include "sixturn/page.h"
#include "sixturn/team.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Where the page lies, seen from the folder of the program: in the build, and installed. */
static const char *const places[] = {"src/page/sixturn.html", "../share/sixturn/sixturn.html"};

static SxStatus find_page(char *file, size_t size, SxError *err) {
    char own[PATH_MAX];
    const ssize_t length = readlink("/proc/self/exe", own, sizeof own - 1);
    own[length < 0 ? 0 : length] = '\0';
    char *slash = strrchr(own, '/');
    for (size_t k = 0; slash && k < sizeof places / sizeof *places; k++) {
        snprintf(file, size, "%.*s/%s", (int)(slash - own), own, places[k]);
        if (access(file, R_OK) == 0) {
            return SX_OK;
        }
    }
    return sx_fail(err, SX_USAGE, "this build has no page; README tells how to build it");
}

static SxStatus write_page(const char *file, const char *team_file, SxError *err) {
    char place[PATH_MAX], *page = NULL, *team = NULL, *out = NULL;
    size_t page_length = 0, team_length = 0, length = 0;
    SxStatus status = find_page(place, sizeof place, err);
    if (status == SX_OK) {
        status = sx_text_read_file(place, &page, &page_length, err);
    }
    if (status == SX_OK && team_file) {
        SxTeam *read = malloc(sizeof *read);
        status = sx_text_read_file(team_file, &team, &team_length, err);
        if (status == SX_OK) {
            status = read ? sx_team_parse(team, team_length, team_file, read, err)
                          : sx_out_of_memory(err);
        }
        free(read);
        if (status == SX_OK) {
            status = sx_page_with_team(page, page_length, team, team_length, &out, &length, err);
        }
    }
    if (status == SX_OK) {
        status = sx_write_file(file, out ? out : page, out ? length : page_length, err);
    }
    free(page);
    free(team);
    free(out);
    return status;
}

SxStatus cmd_page(int argc, char **argv) {
    const char *file = NULL;
    const Arg table[] = {
        {"-o", ARG_TEXT, &file, 0, 0, "FILE", "the HTML file"},
        {NULL, ARG_FLAG, NULL, 0, 0, NULL, NULL},
    };
    if (args_ask_help(argc, argv)) {
        puts("usage: sixturn page -o FILE.html [TEAM.json]\n\n"
             "Writes the page: everything that sixturn does in one HTML file for a phone or\n"
             "a computer without it, with the team in it if one is named. It needs no\n"
             "network. Only for builds that have the page (see README).\n");
        args_help(table);
        return SX_OK;
    }
    ArgList words;
    SxStatus status = args_read(argc, argv, table, NULL, &words);
    if (status != SX_OK) {
        return status;
    }
    if (words.count > 1 || !file) {
        fputs("sixturn: expected -o FILE.html and at most one team; see sixturn page --help\n",
              stderr);
        return SX_USAGE;
    }
    SxError err = {.status = SX_OK};
    status = write_page(file, words.count ? words.item[0] : NULL, &err);
    return status == SX_OK ? SX_OK : args_complain(&err);
}
