/*
 * Command line: one row a command. Help, option checks and dispatch come from the same rows.
 */
#ifndef CLI_CLI_H
#define CLI_CLI_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "app/open_farm.h"
#include "base/arena.h"
#include "base/json.h"
#include "cluster/cluster.h"
#include "db/db.h"

/* What `weirbook` ends with; also in its help and in README.md. */
enum exit_status {
    EXIT_FINE = 0,
    EXIT_FAULT = 1,       /* a fault of the program or the machine */
    EXIT_INPUT = 2,       /* a wrong word, file, farm file or option */
    EXIT_DATABASE = 3,    /* the database or the disk is not available */
    EXIT_REFUSED = 4,     /* not allowed, or something else changed it first */
    EXIT_OUTSIDE = 10,    /* with --strict: something is outside a limit */
    EXIT_INCOMPLETE = 11, /* with --strict: not assessable, missed or set aside */
};

enum option_id {
    OPTION_DATA,
    OPTION_DATABASE,
    OPTION_FARM,
    OPTION_BY,
    OPTION_SECOND,
    OPTION_BECAUSE,
    OPTION_JSON,
    OPTION_QUIET,
    OPTION_STRICT,
    OPTION_BRIEF,
    OPTION_DRY_RUN,
    OPTION_OUT,
    OPTION_LICENCE,
    OPTION_LIST,
    OPTION_SAMPLE,
    OPTION_MADE_BY,
    OPTION_UNIT,
    OPTION_REASON,
    OPTION_ALL,
    OPTION_WHAT,
    OPTION_NITROGEN,
    OPTION_PHOSPHORUS,
    OPTION_WITHHOLD,
    OPTION_INSTEAD_OF,
    OPTION_SAYING,
    OPTION_FROM,
    OPTION_TO,
    OPTION_UNIT_FILE,
    OPTION_KIND,
    OPTION_ABOUT,
    OPTION_DOCUMENT,
    OPTION_LOT,
    OPTION_EXPIRES,
    OPTION_VERSION,
    OPTION_HELP,
    OPTIONS
};

#define OPTION_BIT(id) (UINT64_C(1) << (id))

enum command_needs {
    NEEDS_NOTHING,
    NEEDS_UNITS,    /* the unit table */
    NEEDS_DATABASE, /* and a database, which may be made */
    NEEDS_FARM,     /* and a farm in it */
};

struct cli {
    struct arena *mem;
    const char *values[OPTIONS]; /* of an option with a value; "" of one that was given without */
    const char *const *words;    /* what stands after the command's name */
    size_t word_count;
    struct units *units;
    struct cluster *cluster; /* NULL on somebody else's server */
    struct db *db;
    const char *data_folder;
    struct open_farm farm;
    struct act act;
    instant now;
    int status;               /* what a command that worked ends with */
    const char *const *wrong; /* what was wrong one by one, where the error is of several */
    size_t wrong_count;
    FILE *out;
};

struct command {
    const char *name;    /* "take-in" or "farm load" */
    const char *usage;   /* what stands after the name: "SOURCE FILE..." */
    const char *summary; /* one line, lower case, no full stop */
    const char *about;   /* a few lines for its own help, or NULL */
    uint64_t options;    /* OPTION_BIT, or-ed, beside those that all have */
    enum command_needs needs;
    size_t words_least;
    size_t words_most; /* SIZE_MAX: any number */
    bool (*run)(struct cli *cli, struct err *err);
};

extern const struct command commands[];
extern const size_t command_count;

/* Everything: parse, open, run, report. `argv` without the program's own name. */
int cli_main(int argc, const char *const *argv);

static inline bool cli_has(const struct cli *cli, enum option_id id)
{
    return cli->values[id] != NULL;
}

#endif
