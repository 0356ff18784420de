/* Rallies one after the other, and counted: what sheets and letters share. */
#include "analysis/rallies.h"

static void count_tally(SxTally *tally, bool won) {
    tally->played++;
    tally->won += won;
}

void sx_log_count(SxRallyLog *log, const SxServing *serving, bool won) {
    log->rallies++;
    count_tally(&log->tally[serving->phase][serving->ours], won);
    if (serving->theirs != SX_UNSEEN) {
        count_tally(&log->pair[serving->phase][serving->ours][serving->theirs], won);
    }
}

SxServing sx_serving_after(const SxServing *serving, bool won) {
    const bool ours = serving->phase == SX_RECEIVE && won;
    const bool theirs = serving->phase == SX_SERVE && !won && serving->theirs != SX_UNSEEN;
    return (SxServing){(serving->ours + ours) % SX_ROTATIONS,
                       theirs ? (serving->theirs + 1) % SX_ROTATIONS : serving->theirs,
                       won ? SX_SERVE : SX_RECEIVE};
}

void sx_log_gap(SxRallyLog *log, const SxLogGap *gap) {
    if (log->gaps < SX_LOG_GAPS) {
        log->gap[log->gaps] = *gap;
    }
    log->gaps++;
}

void sx_rally_log_add(SxRallyLog *log, const SxRallyLog *more) {
    log->rallies += more->rallies;
    log->sets += more->sets;
    for (int g = 0; g < more->gaps; g++) {
        static const SxLogGap untold = {0};
        sx_log_gap(log, g < SX_LOG_GAPS ? &more->gap[g] : &untold);
    }
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            log->tally[phase][r].won += more->tally[phase][r].won;
            log->tally[phase][r].played += more->tally[phase][r].played;
            for (int theirs = 0; theirs < SX_ROTATIONS; theirs++) {
                log->pair[phase][r][theirs].won += more->pair[phase][r][theirs].won;
                log->pair[phase][r][theirs].played += more->pair[phase][r][theirs].played;
            }
        }
    }
}
