/*
 * embed_sql SQLDIR OUT.h OUT.c: turn the statements and migrations of a folder into C.
 *
 *     SQLDIR/query/<aggregate>/<verb>.sql   -> struct sql_text sql_<aggregate>_<verb>
 *     SQLDIR/migrate/NNNN_name.sql          -> sql_migrations[], numbered 1, 2, 3 ...
 *
 * The output depends on the files alone: they are taken in byte order of their names. Every
 * problem is reported as FILE:LINE: what, and ends the build. A build tool: it runs, writes and
 * exits, so what it takes from the heap lives until the end.
 */
#include <dirent.h>
#include <errno.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_MOST = 63 - 1, PARAMETERS_MOST = 64 };

struct file {
    char *path;
    char *name; /* "receipt_add"; for a migration what follows the number */
    char *text;
    size_t length;
    int number;     /* of a migration */
    int parameters; /* of a statement */
};

enum { FILES_MOST = 2000 };

struct files {
    struct file items[FILES_MOST];
    size_t count;
};

struct names {
    char **items;
    size_t count;
};

static struct files statements;
static struct files migrations;

static _Noreturn void fail(const char *path, size_t line, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

static void fail(const char *path, size_t line, const char *fmt, ...)
{
    va_list args;

    if (line)
        fprintf(stderr, "%s:%zu: ", path, line);
    else
        fprintf(stderr, "%s: ", path);
    va_start(args, fmt);
    vfprintf(stderr, fmt, args);
    va_end(args);
    fputc('\n', stderr);
    exit(1);
}

/* Memory for the rest of the run: a chain from here keeps every block in sight. */
static void *keep(size_t size)
{
    static void **last;
    void **block = malloc(sizeof(*block) + size);

    if (!block)
        fail("embed_sql", 0, "no memory left");
    *block = last;
    last = block;

    return block + 1;
}

static char *join(const char *a, const char *between, const char *b)
{
    size_t size = strlen(a) + strlen(between) + strlen(b) + 1;
    char *joined = keep(size);

    snprintf(joined, size, "%s%s%s", a, between, b);

    return joined;
}

static struct file *files_add(struct files *files)
{
    if (files->count == FILES_MOST)
        fail("embed_sql", 0, "more than %d files", FILES_MOST);
    files->items[files->count] = (struct file){0};

    return &files->items[files->count++];
}

static void file_read(struct file *file)
{
    FILE *in = fopen(file->path, "rb");
    long size = -1;

    if (in && fseek(in, 0, SEEK_END) == 0)
        size = ftell(in);
    if (size < 0 || fseek(in, 0, SEEK_SET) != 0)
        fail(file->path, 0, "can't be opened: %s", strerror(errno));

    file->length = (size_t)size;
    file->text = keep(file->length + 1);
    if (fread(file->text, 1, file->length, in) != file->length)
        fail(file->path, 0, "can't be read: %s", strerror(errno));
    fclose(in);

    file->text[file->length] = '\0';
    if (memchr(file->text, '\0', file->length))
        fail(file->path, 0, "holds a NUL byte");
}

/* Names in byte order, without those that begin with a dot; none when there is no such folder. */
static struct names folder_names(const char *path)
{
    struct dirent **entries = NULL;
    int count = scandir(path, &entries, NULL, alphasort);
    struct names names = {0};

    if (count < 0 && errno == ENOENT)
        return names;
    if (count < 0)
        fail(path, 0, "can't be listed: %s", strerror(errno));

    names.items = keep((size_t)count * sizeof(*names.items));
    for (int i = 0; i < count; i++) {
        if (entries[i]->d_name[0] != '.')
            names.items[names.count++] = join("", "", entries[i]->d_name);
        free(entries[i]);
    }
    free(entries);

    return names;
}

/* Lower-case letters, digits and underscores, a letter first: what may stand in a C name. */
static bool word_fits(const char *word, size_t length)
{
    if (length == 0 || word[0] < 'a' || word[0] > 'z')
        return false;

    return strspn(word, "abcdefghijklmnopqrstuvwxyz0123456789_") >= length;
}

/* Length of a file name without ".sql"; the build stops at any other file. */
static size_t stem_length(const char *path, const char *name)
{
    size_t length = strlen(name);

    if (length <= 4 || strcmp(name + length - 4, ".sql") != 0)
        fail(path, 0, "is not a .sql file and has no place here");

    return length - 4;
}

/* --- one statement ------------------------------------------------------------------------- */

struct scan {
    const char *path;
    const char *at;
    size_t line;
};

static void scan_to(struct scan *scan, const char *to)
{
    for (; scan->at < to; scan->at++)
        scan->line += *scan->at == '\n';
}

/* Step over what runs from here to the end of `close`. */
static void scan_past(struct scan *scan, size_t open, const char *close, const char *what)
{
    const char *end = strstr(scan->at + open, close);

    if (!end)
        fail(scan->path, scan->line, "%s is not closed", what);
    scan_to(scan, end + strlen(close));
}

static void scan_past_line(struct scan *scan)
{
    scan_to(scan, scan->at + strcspn(scan->at, "\n"));
}

static bool is_word(char c)
{
    return c == '_' || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* $1 is noted; $$ and $tag$ open a text that is stepped over. */
static void scan_dollar(struct scan *scan, bool *used)
{
    const char *at = scan->at;
    char close[NAME_MOST + 3];

    if (at[1] >= '0' && at[1] <= '9') {
        long number = strtol(at + 1, NULL, 10);

        if (number < 1 || number > PARAMETERS_MOST)
            fail(scan->path, scan->line, "parameter $%ld is not in 1 to %d", number,
                 PARAMETERS_MOST);
        used[number] = true;
        scan->at += 1 + strspn(at + 1, "0123456789");
        return;
    }

    size_t tag = 1;

    while (is_word(at[tag]) && tag <= NAME_MOST)
        tag++;
    if (at[tag] != '$')
        fail(scan->path, scan->line, "a $ that is neither a parameter nor a quote");
    snprintf(close, sizeof(close), "%.*s", (int)(tag + 1), at);
    scan_past(scan, tag + 1, close, "a $ quote");
}

/* Step over one token or one character; note parameters, and the end of the statement. */
static void scan_step(struct scan *scan, bool *used, bool *ended)
{
    const char *at = scan->at;

    if (at[0] == '-' && at[1] == '-') {
        scan_past_line(scan);
    } else if (at[0] == '/' && at[1] == '*') {
        scan_past(scan, 2, "*/", "a comment");
    } else if (at[0] == '\n' || at[0] == ' ') {
        scan_to(scan, at + 1);
    } else if (*ended) {
        fail(scan->path, scan->line, "more than one statement in the file");
    } else if (at[0] == '\'') {
        scan_past(scan, 1, "'", "a text");
    } else if (at[0] == '"') {
        scan_past(scan, 1, "\"", "a name");
    } else if (at[0] == '$') {
        scan_dollar(scan, used);
    } else if (is_word(at[0])) {
        while (is_word(*scan->at) || *scan->at == '$')
            scan->at++;
    } else {
        *ended = at[0] == ';';
        scan_to(scan, at + 1);
    }
}

/* Check that the file holds one statement under a comment, and count its parameters. */
static void statement_check(struct file *file)
{
    struct scan scan = {file->path, file->text, 1};
    bool used[PARAMETERS_MOST + 1] = {false};
    bool ended = false;

    if (strncmp(file->text, "-- ", 3) != 0)
        fail(file->path, 1, "the first line must be a comment that says what the statement does");

    while (*scan.at)
        scan_step(&scan, used, &ended);
    if (!ended)
        fail(file->path, scan.line, "the statement does not end in ;");

    for (int number = 1; number <= PARAMETERS_MOST; number++) {
        if (!used[number])
            continue;
        if (number > file->parameters + 1)
            fail(file->path, 1, "$%d is used, but not $%d", number, file->parameters + 1);
        file->parameters = number;
    }
}

/* --- the two folders ----------------------------------------------------------------------- */

static void statements_of(const char *folder, const char *aggregate)
{
    struct names names = folder_names(folder);

    for (size_t i = 0; i < names.count; i++) {
        const char *name = names.items[i];
        char *path = join(folder, "/", name);
        size_t stem = stem_length(path, name);

        if (!word_fits(name, stem) || strlen(aggregate) + 1 + stem > NAME_MOST)
            fail(path, 0, "name must be a word of lower-case letters, digits and underscores");

        struct file *file = files_add(&statements);

        file->path = path;
        file->name = join(aggregate, "_", name);
        file->name[strlen(file->name) - 4] = '\0';
        file_read(file);
        statement_check(file);
    }
}

static void statements_read(const char *sql)
{
    char *query = join(sql, "/", "query");
    struct names names = folder_names(query);

    for (size_t i = 0; i < names.count; i++) {
        const char *name = names.items[i];

        if (!word_fits(name, strlen(name)))
            fail(join(query, "/", name), 0, "aggregate must be a word in lower case");
        statements_of(join(query, "/", name), name);
    }

    for (size_t i = 0; i < statements.count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(statements.items[i].name, statements.items[j].name) == 0)
                fail(statements.items[i].path, 0, "has the same name as %s",
                     statements.items[j].path);
        }
    }
}

static void migrations_read(const char *sql)
{
    char *folder = join(sql, "/", "migrate");
    struct names names = folder_names(folder);

    for (size_t i = 0; i < names.count; i++) {
        const char *name = names.items[i];
        char *path = join(folder, "/", name);
        size_t stem = stem_length(path, name);

        if (strspn(name, "0123456789") != 4 || name[4] != '_' || !word_fits(name + 5, stem - 5))
            fail(path, 0, "name must be four digits, an underscore and a word: 0001_name.sql");

        struct file *file = files_add(&migrations);

        file->path = path;
        file->number = (int)strtol(name, NULL, 10);
        file->name = join("", "", name + 5);
        file->name[stem - 5] = '\0';
        file_read(file);
        if (file->number != (int)migrations.count)
            fail(path, 0, "expected number %04zu here", migrations.count);
    }
}

/* --- output -------------------------------------------------------------------------------- */

static FILE *out_open(const char *path)
{
    FILE *out = fopen(path, "wb");

    if (!out)
        fail(path, 0, "can't be written: %s", strerror(errno));

    return out;
}

static void out_close(FILE *out, const char *path)
{
    if (ferror(out) | fclose(out))
        fail(path, 0, "can't be written: %s", strerror(errno));
}

/* A char array and not a string literal: compilers need not take long literals. */
static void out_text(FILE *out, const struct file *file)
{
    fprintf(out, "\nstatic const char text_%04d_%s[] = {", file->number, file->name);
    for (size_t i = 0; i <= file->length; i++)
        fprintf(out, "%s%d,", i % 24 ? "" : "\n    ", (signed char)file->text[i]);
    fprintf(out, "\n};\n");
}

static void header_write(const char *path)
{
    FILE *out = out_open(path);

    fprintf(out, "/* Made by embed_sql from sql/: do not edit. */\n"
                 "#ifndef DB_SQL_CATALOG_H\n#define DB_SQL_CATALOG_H\n\n"
                 "#include <stddef.h>\n\n#include \"db/db.h\"\n\n"
                 "struct sql_migration {\n    int number;\n    const char *name;\n"
                 "    const char *text;\n    size_t length;\n};\n\n"
                 "extern const struct sql_migration sql_migrations[]; /* by number */\n"
                 "extern const size_t sql_migrations_count;\n\n"
                 "extern const struct sql_text *const sql_catalog[]; /* all, by name */\n"
                 "extern const size_t sql_catalog_count;\n\n");
    for (size_t i = 0; i < statements.count; i++)
        fprintf(out, "extern const struct sql_text sql_%s;\n", statements.items[i].name);
    fprintf(out, "\n#endif\n");
    out_close(out, path);
}

static void statements_write(FILE *out)
{
    for (size_t i = 0; i < statements.count; i++) {
        const struct file *file = &statements.items[i];

        out_text(out, file);
        fprintf(out, "const struct sql_text sql_%s = {\"%s\", text_0000_%s, %d};\n", file->name,
                file->name, file->name, file->parameters);
    }

    fprintf(out,
            "\nconst size_t sql_catalog_count = %zu;\n"
            "const struct sql_text *const sql_catalog[] = {\n",
            statements.count);
    for (size_t i = 0; i < statements.count; i++)
        fprintf(out, "    &sql_%s,\n", statements.items[i].name);
    fprintf(out, "    NULL,\n};\n");
}

static void migrations_write(FILE *out)
{
    for (size_t i = 0; i < migrations.count; i++)
        out_text(out, &migrations.items[i]);

    fprintf(out,
            "\nconst size_t sql_migrations_count = %zu;\n"
            "const struct sql_migration sql_migrations[] = {\n",
            migrations.count);
    for (size_t i = 0; i < migrations.count; i++) {
        const struct file *file = &migrations.items[i];

        fprintf(out, "    {%d, \"%s\", text_%04d_%s, %zu},\n", file->number, file->name,
                file->number, file->name, file->length);
    }
    fprintf(out, "    {0, NULL, NULL, 0},\n};\n");
}

static void source_write(const char *path)
{
    FILE *out = out_open(path);

    fprintf(out, "/* Made by embed_sql from sql/: do not edit. */\n"
                 "#include \"db/sql_catalog.h\"\n");
    statements_write(out);
    migrations_write(out);
    out_close(out, path);
}

int main(int argc, char **argv)
{
    if (argc != 4) {
        fprintf(stderr, "usage: embed_sql SQLDIR OUT.h OUT.c\n");
        return 2;
    }

    statements_read(argv[1]);
    migrations_read(argv[1]);
    header_write(argv[2]);
    source_write(argv[3]);

    return 0;
}
