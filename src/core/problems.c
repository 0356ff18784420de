/* All that is wrong with a sheet, collected in one pass; and what is worth a note. */
#include "core/problems.h"

#include "core/numbers.h"
#include "core/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROOM_TO_END = 64 }; /* for "... and 12 more problems" */

static void add_line(SxLineList *lines, const char *line) {
    size_t length = strlen(line);
    if (lines->used + length + 2 > lines->room) {
        size_t room = 2 * (lines->used + length + 2);
        char *grown = lines->failed ? NULL : realloc(lines->text, room);
        if (!grown) {
            lines->failed = true;
            return;
        }
        lines->text = grown;
        lines->room = room;
    }
    memcpy(lines->text + lines->used, line, length);
    memcpy(lines->text + lines->used + length, "\n", 2);
    lines->used += length + 1;
    lines->count++;
}

void sx_line_add(SxLineList *lines, const char *format, ...) {
    SX_PLAIN_NUMBERS;
    char line[SX_ERROR_MESSAGE], shown[SX_ERROR_MESSAGE];
    va_list args;
    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    add_line(lines, sx_text_show(line, false, shown, sizeof shown));
}

static void write_place(char *path, size_t size, int row, int column, const char *heading) {
    char letters[SX_COLUMN_SIZE];
    int used = 0;
    path[0] = '\0';
    if (row > 0) {
        used = snprintf(path, size, "row %d%s", row, column >= 0 || heading ? ", " : "");
    }
    if (column >= 0) {
        used += snprintf(path + used, size - (size_t)used, "column %s",
                         sx_grid_column(column, letters));
    }
    if (heading && (size_t)used < size) {
        snprintf(path + used, size - (size_t)used, column >= 0 ? " (%s)" : "%s", heading);
    }
}

static void keep(SxProblems *problems, int row, int column, const char *heading,
                 const char *message) {
    enum { FIRST_ROOM = 16 };
    if (problems->each_count == problems->each_room) {
        const int room = problems->each_room ? 2 * problems->each_room : FIRST_ROOM;
        SxSheetProblem *grown = realloc(problems->each, (size_t)room * sizeof *grown);
        if (!grown) {
            problems->lines.failed = true;
            return;
        }
        problems->each = grown;
        problems->each_room = room;
    }
    SxSheetProblem *one = &problems->each[problems->each_count];
    *one = (SxSheetProblem){.row = row, .column = column, .message = strdup(message)};
    snprintf(one->heading, sizeof one->heading, "%s", heading ? heading : "");
    problems->lines.failed |= !one->message;
    problems->each_count += one->message != NULL;
}

void sx_problem(SxProblems *problems, int row, int column, const char *heading, const char *format,
                ...) {
    SX_PLAIN_NUMBERS;
    SxError err = {.status = SX_BAD_INPUT};
    char text[sizeof err + 64];
    va_list args;
    sx_text_blame(&err, problems->file);
    write_place(err.path, sizeof err.path, row, column, heading);
    va_start(args, format);
    vsnprintf(err.message, sizeof err.message, format, args);
    va_end(args);
    add_line(&problems->lines, sx_error_text(&err, text, sizeof text));
    keep(problems, row, column, heading, err.message);
    if (problems->first.status == SX_OK) {
        problems->first = err;
    }
}

void sx_problems_free(SxProblems *problems) {
    for (int k = 0; k < problems->each_count; k++) {
        free(problems->each[k].message);
    }
    free(problems->each);
    free(problems->lines.text);
}

SxStatus sx_problems_status(const SxProblems *problems, SxError *err) {
    if (problems->lines.failed) {
        return sx_out_of_memory(err);
    }
    if (problems->lines.count == 0) {
        return SX_OK;
    }
    if (err) {
        *err = problems->first;
        size_t used = strlen(err->message);
        const char *line = problems->lines.text;
        for (int left = problems->lines.count - 1; left > 0; left--) {
            line = strchr(line, '\n') + 1;
            size_t length = strcspn(line, "\n");
            if (used + length + ROOM_TO_END > sizeof err->message) {
                snprintf(err->message + used, sizeof err->message - used,
                         "\n... and %d more problems", left);
                break;
            }
            used += (size_t)snprintf(err->message + used, sizeof err->message - used, "\n%.*s",
                                     (int)length, line);
        }
    }
    return SX_BAD_INPUT;
}
