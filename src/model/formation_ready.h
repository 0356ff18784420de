/* Formation tables that were computed when the program was built. Internal.
 *
 * A table is a list of whole numbers, entry after entry in the order of sx_ready_next(): a
 * formation that does not exist is minus its reason (1, 2, ...); any other is its cost in grains,
 * then for every place x, y (centimetres) and lane + 1 packed into one number. */
#ifndef SIXTURN_MODEL_FORMATION_READY_H
#define SIXTURN_MODEL_FORMATION_READY_H

#include "sixturn/formation.h"

#include <stdint.h>

typedef struct {
    uint64_t key; /* of everything that the formations depend on */
    const int32_t *data;
} ReadyTable;

extern const ReadyTable sx_ready_tables[];
extern const int sx_ready_table_count;

/* Rotation, passers and sides of an entry. */
typedef struct {
    int rotation;
    unsigned passers;
    int sides;
} ReadyEntry;

/* The key of a system with these terms and margin. */
uint64_t sx_ready_key(const SxSystem *system, const SxFormationTerms *terms, double margin);
/* NULL if it is not among those computed. */
const int32_t *sx_ready_find(uint64_t key);
/* Starts with {0, 0, SX_SIDES}; steps to the next entry of a table with every open side and all
 * sets of 2 to 5 passers without the setter on duty. False after the last one. */
bool sx_ready_next(const SxSystem *system, const SxFormationTerms *terms, ReadyEntry *entry);

enum { READY_NUMBERS = 1 + SX_POSITIONS };
/* Writes the numbers of a formation to out; returns how many, at most READY_NUMBERS. */
int sx_ready_pack(int rotation, const SxFormation *formation, int32_t out[READY_NUMBERS]);
/* Reads a formation; returns how many numbers it took. */
int sx_ready_unpack(const SxSystem *system, const ReadyEntry *entry, const int32_t *data,
                    SxFormation *out);

#endif
