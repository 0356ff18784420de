/* Build-time tool: turns files into a C source with their bytes, so that the program runs from
 * anywhere. Usage: embed OUTPUT.c [--table NAME FILE...]... */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BYTES_A_LINE = 16 };

static const char *base_name(const char *file) {
    const char *slash = strrchr(file, '/');
    return slash ? slash + 1 : file;
}

static long write_bytes(FILE *out, const char *table, int index, const char *file) {
    FILE *in = fopen(file, "rb");
    if (!in) {
        return -1;
    }
    fprintf(out, "static const unsigned char %s_%d[] = {", table, index);
    long length = 0;
    for (int c = getc(in); c != EOF; c = getc(in)) {
        fprintf(out, "%s%d,", length % BYTES_A_LINE == 0 ? "\n" : "", c);
        length++;
    }
    fputs("0};\n", out);
    int failed = ferror(in);
    fclose(in);
    return failed ? -1 : length;
}

/* files[0..count-1] as one table, each under its name without the ending. */
static int write_table(FILE *out, const char *table, char **files, int count) {
    long *length = calloc((size_t)count + 1, sizeof *length);
    if (!length) {
        return 1;
    }
    for (int i = 0; i < count; i++) {
        length[i] = write_bytes(out, table, i, files[i]);
        if (length[i] < 0) {
            fprintf(stderr, "embed: cannot read %s\n", files[i]);
            free(length);
            return 1;
        }
    }
    fprintf(out, "const SxEmbedded sx_embedded_%s[] = {\n", table);
    for (int i = 0; i < count; i++) {
        const char *name = base_name(files[i]);
        fprintf(out, "    {\"%.*s\", (const char *)%s_%d, %ld},\n", (int)strcspn(name, "."), name,
                table, i, length[i]);
    }
    fprintf(out, "};\nconst int sx_embedded_%s_count = %d;\n\n", table, count);
    free(length);
    return 0;
}

int main(int argc, char **argv) {
    FILE *out = argc > 1 ? fopen(argv[1], "w") : NULL;
    if (!out) {
        fputs("usage: embed OUTPUT.c [--table NAME FILE...]...\n", stderr);
        return 1;
    }
    fputs("/* Generated from datasets/; do not edit. */\n#include \"core/embedded.h\"\n\n", out);
    int failed = 0;
    for (int i = 2; i + 1 < argc && !failed;) {
        int first = i + 2, end = first; /* argv[i] is --table, argv[i + 1] its name */
        while (end < argc && strcmp(argv[end], "--table") != 0) {
            end++;
        }
        failed = write_table(out, argv[i + 1], argv + first, end - first);
        i = end;
    }
    return fclose(out) != 0 || failed;
}
