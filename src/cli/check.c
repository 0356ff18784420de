/* What the commands about drawn formations share. */
#include "cli/check.h"

#include "core/text.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMNS = 80 };
static const double most_margin = 3.0; /* metres: more leaves a row of three no room */
static const double grain = 1e-6;      /* metres */

static SxStatus read_margin(const char *word, double *margin, SxError *err) {
    char *end = NULL;
    double value = strtod(word, &end);
    if (end == word || *end || !(value >= 0 && value <= most_margin)) {
        return sx_fail(err, SX_USAGE, "--margin: expected metres from 0 to %g, found '%s'",
                       most_margin, word);
    }
    *margin = value;
    return SX_OK;
}

static SxStatus read_lock(const char *word, CheckCommand *ask, SxError *err) {
    const char *digits = word[0] == '#' ? word + 1 : word;
    char *end = NULL;
    long value = strtol(digits, &end, 10);
    if (digits[0] < '0' || digits[0] > '9' || *end || value > SX_MAX_SHIRT) {
        return sx_fail(err, SX_USAGE, "--lock: expected a shirt number from 0 to %d, found '%s'",
                       SX_MAX_SHIRT, word);
    }
    for (int i = 0; i < ask->lock_count; i++) {
        if (ask->locks[i] == (int)value) {
            return SX_OK;
        }
    }
    ask->locks[ask->lock_count++] = (int)value;
    return SX_OK;
}

static SxStatus read_value(const char *option, const char *value, CheckCommand *ask, SxError *err) {
    if (strcmp(option, "--rules") == 0) {
        ask->rules = value;
    } else if (strcmp(option, "-o") == 0) {
        ask->out = value;
    } else if (strcmp(option, "--margin") == 0) {
        return read_margin(value, &ask->margin, err);
    } else {
        return read_lock(value, ask, err);
    }
    return SX_OK;
}

static bool takes_value(const char *option, bool mend) {
    return strcmp(option, "--rules") == 0 || strcmp(option, "--margin") == 0 ||
           (mend && (strcmp(option, "--lock") == 0 || strcmp(option, "-o") == 0));
}

SxStatus check_arguments(int argc, char **argv, bool mend, CheckCommand *ask, SxError *err) {
    memset(ask, 0, sizeof *ask);
    ask->margin = SX_NEAR_MARGIN;
    for (int i = 0; i < argc; i++) {
        const char *word = argv[i];
        if (strcmp(word, "--help") == 0) {
            ask->help = true;
            return SX_OK;
        }
        if (strcmp(word, "--json") == 0) {
            ask->json = true;
        } else if (mend && strcmp(word, "--fewest") == 0) {
            ask->fewest = true;
        } else if (takes_value(word, mend)) {
            if (++i == argc) {
                return sx_fail(err, SX_USAGE, "%s needs a value", word);
            }
            SxStatus status = read_value(word, argv[i], ask, err);
            if (status) {
                return status;
            }
        } else if (word[0] == '-' && word[1]) {
            return sx_fail(err, SX_USAGE, "there is no option '%s'", word);
        } else if (ask->file) {
            return sx_fail(err, SX_USAGE, "one formation file at a time; '%s' is too many", word);
        } else {
            ask->file = word;
        }
    }
    return ask->file ? SX_OK : sx_fail(err, SX_USAGE, "which formation file?");
}

/* A file of many formations names few profiles; each is read once. */
struct CheckRules {
    bool any;
    char name[SX_ERROR_FILE];
    SxRules rules;
};

CheckRules *check_rules_new(void) {
    return calloc(1, sizeof(CheckRules));
}

void check_rules_free(CheckRules *loaded) {
    free(loaded);
}

SxStatus check_rules(CheckRules *loaded, const CheckCommand *ask, const SxDrawn *drawn,
                     SxRules *rules, SxError *err) {
    const char *name = ask->rules ? ask->rules : drawn->rules[0] ? drawn->rules : sx_rules_id(0);
    if (!loaded || !loaded->any || strcmp(loaded->name, name) != 0) {
        SxStatus status = sx_rules_load(name, rules, err);
        if (status || !loaded) {
            return status;
        }
        loaded->any = true;
        loaded->rules = *rules;
        snprintf(loaded->name, sizeof loaded->name, "%s", name);
    }
    *rules = loaded->rules;
    return SX_OK;
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

void check_print_json(cJSON *root) {
    char *text = cJSON_Print(root);
    if (text) {
        puts(text);
    }
    cJSON_free(text);
    cJSON_Delete(root);
}

double check_tidy(double metres) {
    return round(metres / grain) / round(1 / grain) + 0.0;
}

SxStatus check_report(SxStatus status, const char *command, const SxError *err) {
    char text[SX_ERROR_MESSAGE + SX_ERROR_FILE + SX_ERROR_PATH];
    if (status > SX_NO) {
        fprintf(stderr, "sixturn: %s\n", sx_error_text(err, text, sizeof text));
    }
    if (status == SX_USAGE) {
        fprintf(stderr, "see: sixturn %s --help\n", command);
    }
    return status;
}
