#include "cli/open.h"

#include <stdlib.h>

#include "base/clock.h"
#include "base/interrupt.h"
#include "base/str.h"
#include "db/migrate.h"

static const char *const server_variables[] = {"PGHOST", "PGHOSTADDR", "PGSERVICE", NULL};

/* Whether a server of somebody else is asked for; its connection string. */
static const char *own_server(const struct cli *cli)
{
    if (cli_has(cli, OPTION_DATABASE))
        return cli->values[OPTION_DATABASE];
    for (size_t i = 0; server_variables[i]; i++) {
        if (!str_empty(getenv(server_variables[i])))
            return "";
    }

    return NULL;
}

static const char *conninfo_of(const struct cli *cli)
{
    return cli->cluster ? cluster_conninfo(cli->cluster) : own_server(cli);
}

bool cli_data_folder(struct cli *cli, struct err *err)
{
    char *folder = NULL;

    if (cli_has(cli, OPTION_DATA)) {
        cli->data_folder = cli->values[OPTION_DATA];
        return true;
    }
    if (!str_empty(getenv("WEIRBOOK_DATA"))) {
        cli->data_folder = getenv("WEIRBOOK_DATA");
        return true;
    }
    if (!cluster_default_folder(cli->mem, &folder, err))
        return false;
    cli->data_folder = folder;

    return true;
}

bool cli_prepare_database(struct cli *cli, int *applied, struct err *err)
{
    CLEANUP(db_close) struct db *admin = NULL;
    CLEANUP(db_close) struct db *owner = NULL;
    bool private = cli->cluster != NULL;

    if (!conninfo_of(cli)) {
        err_set(err, ERR_INVALID, "no server was named");
        return err_hint(err, "The private database looks after itself. For a server of your own: "
                             "--database URI, or PGHOST.");
    }
    return db_open(conninfo_of(cli), private, DB_ROLE_ADMIN, &admin, err) &&
           migrate_roles(admin, err) &&
           db_open(conninfo_of(cli), private, DB_ROLE_OWNER, &owner, err) &&
           migrate_up(owner, applied, err);
}

static bool program_connect(struct cli *cli, struct err *err)
{
    if (!db_open(conninfo_of(cli), cli->cluster != NULL, DB_ROLE_PROGRAM, &cli->db, err))
        return false;
    if (migrate_check(cli->db, err))
        return true;
    db_close(&cli->db);

    return false;
}

/* Only what makes a farm makes a database: a folder's name typed wrongly must not. */
static bool cluster_open(struct cli *cli, bool create, struct err *err)
{
    if (!cli_data_folder(cli, err))
        return false;
    if (cluster_hold(cli->data_folder, create, &cli->cluster, err))
        return true;
    if (err->code == ERR_NOT_FOUND)
        err_hint(err, "To make one: weirbook farm load FILE --by PERSON. If there is one already, "
                      "name its folder: --data FOLDER.");

    return false;
}

/* Why somebody else's server can't be used; it is for its keeper to make it ready. */
static bool not_ready(const struct err *first, struct err *err)
{
    *err = *first;
    if (first->code == ERR_UNAVAILABLE || first->code == ERR_INVALID || first->hint[0])
        return false;
    err->code = ERR_UNAVAILABLE;
    err_wrap(err, "this server is not ready for weirbook");

    return err_hint(err, "Run `weirbook database prepare` there first, as a role that may make "
                         "roles and a schema.");
}

/* A private database is brought up to date as it goes; somebody else's only when asked. */
static bool database_open(struct cli *cli, bool create, struct err *err)
{
    struct err first = ERR_INIT;
    int applied = 0;

    if (!own_server(cli) && !cluster_open(cli, create, err))
        return false;
    if (program_connect(cli, &first))
        return true;
    if (!cli->cluster)
        return not_ready(&first, err);

    return cli_prepare_database(cli, &applied, err) && program_connect(cli, err);
}

bool cli_open(struct cli *cli, enum command_needs needs, struct err *err)
{
    cli->now = clock_now();
    cli->act = (struct act){.person = cli->values[OPTION_BY], .at = cli->now};
    if (needs >= NEEDS_UNITS && !units_load(&cli->units, err))
        return false;
    /* A first Ctrl-C lets the command come to an end, so that the server is let go too. */
    if (needs >= NEEDS_DATABASE)
        interrupt_flag();
    if (needs >= NEEDS_DATABASE && !database_open(cli, needs == NEEDS_DATABASE, err))
        return false;

    return needs < NEEDS_FARM ||
           farm_open(cli->db, cli->mem, cli->units, cli->values[OPTION_FARM], &cli->farm, err);
}

bool cli_connect(struct cli *cli, struct err *err)
{
    return database_open(cli, false, err);
}

void cli_disconnect(struct cli *cli)
{
    db_close(&cli->db);
    cluster_leave(&cli->cluster);
}

void cli_close(struct cli *cli)
{
    cli_disconnect(cli);
    units_free(&cli->units);
}
