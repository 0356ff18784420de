/* Build-time tool: solves every receive formation of the shipped systems and writes them as a C
 * source. Usage: tabulate OUTPUT.c */
#include "model/formation_ready.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

/* The tool itself has none ready. */
const ReadyTable sx_ready_tables[] = {{0, NULL}};
const int sx_ready_table_count = 0;

static const unsigned all_sizes = 1u << 2 | 1u << 3 | 1u << 4 | 1u << 5;

static SxStatus write_table(FILE *out, int index, const SxSystem *system,
                            const SxFormationOptions *options, SxError *err) {
    SxFormationTable *table = NULL;
    SxStatus status = sx_formation_table_build(system, all_sizes, false, options, &table, err);
    if (status != SX_OK) {
        return status;
    }
    ReadyEntry entry = {0, 0, SX_SIDES};
    fprintf(out, "static const int32_t table_%d[] = {\n", index);
    while (sx_ready_next(system, options->terms, &entry)) {
        int32_t numbers[READY_NUMBERS];
        const SxFormation *formation =
            sx_formation_at(table, entry.rotation, entry.passers, entry.sides);
        int count = sx_ready_pack(entry.rotation, formation, numbers);
        for (int k = 0; k < count; k++) {
            fprintf(out, "%" PRId32 "%s", numbers[k], k + 1 < count ? "," : ",\n");
        }
    }
    fputs("};\n", out);
    sx_formation_table_free(table);
    return SX_OK;
}

static SxStatus write_all(FILE *out, SxError *err) {
    SxFormationTerms terms;
    SxFormationOptions options;
    uint64_t key[64] = {0};
    SxStatus status = sx_formation_terms_load(NULL, &terms, err);
    sx_formation_default(&options);
    options.terms = &terms;
    options.every_side = true;
    fputs("/* Generated from datasets/ by tabulate; do not edit. */\n"
          "#include \"model/formation_ready.h\"\n\n",
          out);
    for (int k = 0; status == SX_OK && k < sx_system_count(); k++) {
        SxSystem system;
        status = sx_system_load(sx_system_id(k), &system, err);
        if (status == SX_OK) {
            key[k] = sx_ready_key(&system, &terms, options.margin);
            status = write_table(out, k, &system, &options, err);
        }
    }
    fputs("\nconst ReadyTable sx_ready_tables[] = {\n", out);
    for (int k = 0; status == SX_OK && k < sx_system_count(); k++) {
        fprintf(out, "    {%" PRIu64 "u, table_%d},\n", key[k], k);
    }
    fprintf(out, "};\nconst int sx_ready_table_count = %d;\n", sx_system_count());
    return status;
}

int main(int argc, char **argv) {
    SxError err = {.status = SX_OK};
    FILE *out = argc == 2 ? fopen(argv[1], "w") : NULL;
    if (!out) {
        fputs("usage: tabulate OUTPUT.c\n", stderr);
        return EXIT_FAILURE;
    }
    SxStatus status = write_all(out, &err);
    if (status != SX_OK) {
        fprintf(stderr, "tabulate: %s\n", err.message);
    }
    return fclose(out) != 0 || status != SX_OK ? EXIT_FAILURE : EXIT_SUCCESS;
}
