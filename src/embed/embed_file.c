/*
 * embed_file SYMBOL ROOT OUT.c FILES...: turn files into one C array.
 *
 *     const struct embedded_file SYMBOL[];   in byte order of the names, then one all zero
 *     const size_t SYMBOL_count;
 *
 * A name is the file's path relative to ROOT. Bytes end in a NUL that the length does not count.
 * A build tool: it runs, writes and exits.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static _Noreturn void fail(const char *path, const char *what)
{
    fprintf(stderr, "%s: %s\n", path, what);
    exit(1);
}

static int by_path(const void *a, const void *b)
{
    const char *const *first = a;
    const char *const *second = b;

    return strcmp(*first, *second);
}

/* The path below root, which must hold it. */
static const char *name_below(const char *root, const char *path)
{
    size_t length = strlen(root);

    while (length && root[length - 1] == '/')
        length--;
    if (strncmp(root, path, length) != 0 || path[length] != '/' || path[length + 1] == '\0')
        fail(path, "is not below the root folder given");

    return path + length + 1;
}

/* Writes the bytes as they are read; returns how many there were. */
static size_t bytes_write(FILE *out, const char *path, size_t index)
{
    FILE *in = fopen(path, "rb");
    size_t count = 0;
    int byte;

    if (!in)
        fail(path, strerror(errno));

    fprintf(out, "\nstatic const unsigned char bytes_%zu[] = {", index);
    while ((byte = fgetc(in)) != EOF)
        fprintf(out, "%s%d,", count++ % 24 ? "" : "\n    ", byte);
    fprintf(out, "\n    0,\n};\n");

    if (ferror(in))
        fail(path, strerror(errno));
    fclose(in);

    return count;
}

/* A C string literal of a name. */
static void name_write(FILE *out, const char *name)
{
    fputc('"', out);
    for (; *name; name++) {
        if (*name == '"' || *name == '\\' || (unsigned char)*name < ' ')
            fail(name, "a file name holds a quote, backslash or control byte");
        fputc(*name, out);
    }
    fputc('"', out);
}

static void files_write(FILE *out, const char *symbol, const char *root, char **files, size_t count)
{
    size_t *lengths = calloc(count + 1, sizeof(*lengths));

    if (!lengths)
        fail(symbol, "no memory left");

    fprintf(out,
            "/* Made by embed_file: do not edit. */\n#include \"base/embedded.h\"\n\n"
            "extern const size_t %s_count;\nextern const struct embedded_file %s[];\n",
            symbol, symbol);
    for (size_t i = 0; i < count; i++)
        lengths[i] = bytes_write(out, files[i], i);

    fprintf(out, "\nconst size_t %s_count = %zu;\nconst struct embedded_file %s[] = {\n", symbol,
            count, symbol);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "    {");
        name_write(out, name_below(root, files[i]));
        fprintf(out, ", bytes_%zu, %zu},\n", i, lengths[i]);
    }
    fprintf(out, "    {0},\n};\n");
    free(lengths);
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        fprintf(stderr, "usage: embed_file SYMBOL ROOT OUT.c FILES...\n");
        return 2;
    }

    size_t count = (size_t)argc - 4;
    FILE *out = fopen(argv[3], "wb");

    if (!out)
        fail(argv[3], strerror(errno));

    qsort(argv + 4, count, sizeof(*argv), by_path);
    files_write(out, argv[1], argv[2], argv + 4, count);
    if (ferror(out) | fclose(out))
        fail(argv[3], strerror(errno));

    return 0;
}
