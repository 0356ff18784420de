/* A drawn formation and what is wrong with it, in words for a coach. */
#include "sixturn/sentences.h"

#include "core/numbers.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { LENGTH_SIZE = 32, PLAYER_SIZE = 64, CENTIMETRES = 100 };
static const double whole = 1e-4; /* centimetres: no eye sees less */

char *sx_length_text(double metres, char *text, size_t size) {
    SX_PLAIN_NUMBERS;
    double cm = metres * CENTIMETRES;
    if (cm >= CENTIMETRES) {
        snprintf(text, size, "%.2f m", metres);
    } else if (cm > 0 && cm < 0.1) {
        snprintf(text, size, "under 0.1 cm");
    } else {
        snprintf(text, size, fabs(cm - round(cm)) < whole ? "%.0f cm" : "%.1f cm", cm);
    }
    return text;
}

static const char *player_text(const SxDrawn *drawn, int position, char *text) {
    if (position == 0) {
        text[0] = '\0';
        return text;
    }
    snprintf(text, PLAYER_SIZE, "%snumber %d, %s",
             drawn->stance.libero[position - 1] ? "libero " : "",
             drawn->player[position - 1].number, sx_position_name(position));
    return text;
}

char *sx_drawn_title(const SxDrawn *drawn, char *text, size_t size) {
    const char *phase = drawn->stance.phase == SX_SERVE ? "serve" : "receive";
    const char *colon = drawn->label[0] ? ": " : "";
    if (drawn->rotation >= 0) {
        snprintf(text, size, "%s%srotation %d, %s", drawn->label, colon, drawn->rotation + 1,
                 phase);
    } else {
        snprintf(text, size, "%s%s%s", drawn->label, colon, phase);
    }
    return text;
}

const char *sx_finding_word(SxFindingKind kind) {
    static const char *const words[SX_FINDING_KINDS] = {
        "order",         "near",        "outside",      "server-inside", "server-wide",
        "one-place",     "wrong-order", "wrong-server", "libero-front",  "libero-serves",
        "second-libero", "no-libero",   "libero-out"};
    return (unsigned)kind < SX_FINDING_KINDS ? words[kind] : NULL;
}

/* Left and right players are described by their side, back-row players by their depth. */
static const char *must_be(const SxFinding *finding) {
    const SxOrderPair *pair = &sx_order_pairs[finding->pair];
    if (pair->axis == SX_DEPTH) {
        return "behind";
    }
    return finding->position == pair->low ? "left of" : "right of";
}

static const char *is_instead(const SxFinding *finding) {
    const SxOrderPair *pair = &sx_order_pairs[finding->pair];
    if (pair->axis == SX_DEPTH) {
        return "nearer the net";
    }
    return finding->position == pair->low ? "further right" : "further left";
}

static void pair_text(const SxFinding *finding, const char *who, const char *other, double margin,
                      char *text, size_t size) {
    char length[LENGTH_SIZE], wanted[LENGTH_SIZE];
    bool level = finding->amount < SX_LEVEL;
    if (finding->kind == SX_ORDER_FAULT && level) {
        snprintf(text, size, "%s, is level with %s, but must be %s, for level is a fault here", who,
                 other, must_be(finding));
    } else if (finding->kind == SX_ORDER_FAULT) {
        snprintf(text, size, "%s, is %s %s than %s", who,
                 sx_length_text(finding->amount, length, sizeof length), is_instead(finding),
                 other);
    } else if (level) {
        snprintf(text, size, "%s, is level with %s: legal, but no margin of %s", who, other,
                 sx_length_text(margin, wanted, sizeof wanted));
    } else {
        snprintf(text, size, "%s, is only %s %s %s: legal, but less than the margin of %s", who,
                 sx_length_text(finding->amount, length, sizeof length), must_be(finding), other,
                 sx_length_text(margin, wanted, sizeof wanted));
    }
}

char *sx_finding_text(const SxFinding *finding, const SxDrawn *drawn, double margin, char *text,
                      size_t size) {
    char who[PLAYER_SIZE], other[PLAYER_SIZE], length[LENGTH_SIZE];
    player_text(drawn, finding->position, who);
    player_text(drawn, finding->other, other);
    sx_length_text(finding->amount, length, sizeof length);
    int i = finding->position - 1;
    switch (finding->kind) {
    case SX_ORDER_FAULT:
    case SX_ORDER_NEAR:
        pair_text(finding, who, other, margin, text, size);
        break;
    case SX_OFF_COURT:
        snprintf(text, size, "%s, is %s outside our court", who, length);
        break;
    case SX_SERVER_INSIDE:
        snprintf(text, size, "%s, serves %s too far forward: behind the end line", who, length);
        break;
    case SX_SERVER_WIDE:
        snprintf(text, size, "%s, serves %s beside the service zone", who, length);
        break;
    case SX_ONE_PLACE:
        snprintf(text, size, "%s, and %s, are drawn in one place (%s apart)", who, other, length);
        break;
    case SX_WRONG_ORDER:
        snprintf(text, size, "%s, is out of turn: the order puts number %d there", who,
                 drawn->stance.due[i]);
        break;
    case SX_WRONG_SERVER:
        snprintf(text, size, "%s, serves, but it is the turn of %s", who, other);
        break;
    case SX_LIBERO_FRONT:
        snprintf(text, size, "%s, is a libero in the front row", who);
        break;
    case SX_LIBERO_SERVES:
        snprintf(text, size, "%s, is a libero and may not serve by these rules", who);
        break;
    case SX_LIBERO_SECOND:
        snprintf(text, size, "%s, and %s, are two liberos on court", who, other);
        break;
    case SX_LIBERO_FORBIDDEN:
        snprintf(text, size, "%s, is a libero, but these rules have none", who);
        break;
    case SX_LIBERO_OUT:
        snprintf(text, size, "no libero is in (number %d could stand in for a back-row player)",
                 drawn->liberos[0]);
        break;
    case SX_FINDING_KINDS:
        text[0] = '\0';
    }
    return text;
}
