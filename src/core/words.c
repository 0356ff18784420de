/* The words that people use in sheets for what sixturn reads. */
#include "core/words.h"

#include "core/text.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { FIRST_BEYOND_ASCII = 0x80, MOST_WORDS = 24, LONGEST_ROLE = 3 /* words */ };

char *sx_fold(const char *word, char folded[SX_FOLDED_SIZE]) {
    size_t used = 0;
    for (const char *c = word; *c && used + 1 < SX_FOLDED_SIZE; c++) {
        if (*c == '(' && used > 0) {
            break;
        }
        bool capital = *c >= 'A' && *c <= 'Z';
        if (capital || (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') || *c == '#' ||
            (unsigned char)*c >= FIRST_BEYOND_ASCII) {
            folded[used++] = (char)(capital ? *c - 'A' + 'a' : *c);
        }
    }
    folded[used] = '\0';
    return folded;
}

/* Copies the next of the words between '|'; false at the end. */
static bool next_word(const char **words, char *word, size_t size) {
    if (!**words) {
        return false;
    }
    size_t length = strcspn(*words, "|");
    snprintf(word, size, "%.*s", (int)length, *words);
    *words += length + ((*words)[length] == '|');
    return true;
}

int sx_meaning(const char *word, const SxMeaning *meanings, int count) {
    char folded[SX_FOLDED_SIZE], known[SX_FOLDED_SIZE];
    sx_fold(word, folded);
    for (int i = 0; i < count; i++) {
        const char *words = meanings[i].words;
        while (next_word(&words, known, sizeof known)) {
            if (strcmp(folded, known) == 0) {
                return i;
            }
        }
    }
    return -1;
}

const char *sx_nearest_meaning(const char *word, const SxMeaning *meanings, int count) {
    char folded[SX_FOLDED_SIZE], known[SX_FOLDED_SIZE];
    const char *best = NULL;
    int least = SX_FOLDED_SIZE;
    sx_fold(word, folded);
    for (int i = 0; i < count; i++) {
        const char *words = meanings[i].words;
        while (next_word(&words, known, sizeof known)) {
            SxNearest nearest = {folded, NULL, 0};
            if (strlen(known) > 2) { /* anything is near to two letters */
                sx_text_consider(&nearest, known);
            }
            if (nearest.best && nearest.distance < least) {
                least = nearest.distance;
                best = meanings[i].name;
            }
        }
    }
    return best;
}

/* Short forms as the trade writes them; common practice, no source. */
static const SxMeaning roles[SX_ROLE_COUNT] = {
    [SX_SETTER] = {"setter", "setter|setters|s|set|setting"},
    [SX_OUTSIDE] = {"outside",
                    "outside|outsides|o|oh|out|outsidehitter|outsidehitters|left|leftside|"
                    "lefthitter|lefthitters|ls|lh"},
    [SX_MIDDLE] = {"middle", "middle|middles|m|mb|mid|mh|middleblocker|middleblockers|middlehitter|"
                             "middlehitters|centre|center"},
    [SX_OPPOSITE] = {"opposite",
                     "opposite|opposites|opp|op|x|rs|rh|right|rightside|rightsidehitter|"
                     "rightsides|oppositehitter|oppositehitters"},
    [SX_LIBERO] = {"libero", "libero|liberos|l|lib"},
    [SX_SPECIALIST] = {"specialist", "specialist|specialists|d|ds|defensivespecialist|"
                                     "defensivespecialists|defencespecialist|defensespecialist"},
};

static const SxMeaning sides[SX_LANES] = {
    [SX_LEFT] = {"left", "left|l|4|outside"},
    [SX_CENTRE] = {"centre", "centre|center|c|m|middle|3"},
    [SX_RIGHT] = {"right", "right|r|2|opposite"},
};

/* The meaning of so many words run together; a number after a role ("OH1") is its rank in the team.
 */
static int meaning_of_run(char word[][SX_FOLDED_SIZE], int count, const SxMeaning *meanings,
                          int known) {
    char joined[LONGEST_ROLE * SX_FOLDED_SIZE] = "";
    for (int i = 0; i < count; i++) {
        strcat(joined, word[i]);
    }
    int meaning = sx_meaning(joined, meanings, known);
    size_t length = strlen(joined);
    if (meaning < 0 && length > 1 && strchr("123", joined[length - 1])) {
        joined[length - 1] = '\0';
        meaning = sx_meaning(joined, meanings, known);
    }
    return meaning;
}

static int split(const char *text, char word[MOST_WORDS][SX_FOLDED_SIZE]) {
    static const char between[] = " ,/+;&|\t";
    int count = 0;
    while (*(text += strspn(text, between)) && count < MOST_WORDS) {
        size_t length = strcspn(text, between);
        char piece[SX_FOLDED_SIZE];
        snprintf(piece, sizeof piece, "%.*s", (int)length, text);
        sx_fold(piece, word[count]);
        count += word[count][0] && strcmp(word[count], "and") != 0;
        text += length;
    }
    return count;
}

static unsigned set_of(const char *text, const SxMeaning *meanings, int known,
                       char wrong[SX_FOLDED_SIZE], const char **nearest) {
    char word[MOST_WORDS][SX_FOLDED_SIZE];
    int count = split(text, word), used = 0;
    unsigned set = 0;
    wrong[0] = '\0';
    *nearest = NULL;
    while (used < count) {
        int meaning = -1, run = count - used < LONGEST_ROLE ? count - used : LONGEST_ROLE;
        for (; run > 0 && meaning < 0; run--) {
            meaning = meaning_of_run(word + used, run, meanings, known);
        }
        if (meaning < 0) {
            memcpy(wrong, word[used], SX_FOLDED_SIZE);
            *nearest = sx_nearest_meaning(wrong, meanings, known);
            return 0;
        }
        set |= 1u << meaning;
        used += run + 1; /* the loop has counted once more */
    }
    return set;
}

unsigned sx_roles_of(const char *text, char wrong[SX_FOLDED_SIZE], const char **nearest) {
    return set_of(text, roles, SX_ROLE_COUNT, wrong, nearest);
}

unsigned sx_sides_of(const char *text, char wrong[SX_FOLDED_SIZE], const char **nearest) {
    return set_of(text, sides, SX_LANES, wrong, nearest);
}
