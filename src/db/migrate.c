#include "db/migrate.h"

#include <string.h>

#include "base/crypto.h"
#include "db/db_private.h"
#include "db/migrate_private.h"

static struct migration_list migrations_known(void)
{
    return (struct migration_list){sql_migrations, sql_migrations_count};
}

int migrate_newest(void)
{
    return (int)sql_migrations_count;
}

const char *migrate_roles_sql(void)
{
    return sql_admin_roles.text;
}

bool migrate_roles(struct db *admin, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    if (!db_tx_begin(admin, 0, &tx, err))
        return false;

    if (!db_do(&tx, &sql_admin_roles, DB_NO_PARAMS, err)) {
        if (err->code == ERR_DENIED)
            err_hint(err, "Ask whoever looks after the server to run the statements that "
                          "`weirbook database sql` prints.");
        return false;
    }
    if (admin->private_cluster && !db_do(&tx, &sql_admin_roles_login, DB_NO_PARAMS, err))
        return false;

    return db_tx_commit(&tx, err);
}

/* --- what was run against what is known ---------------------------------------------------- */

/* One migration that was run must be the one we know under its number, byte for byte. */
static bool same_as_known(const struct db_rows *rows, size_t row, struct migration_list known,
                          struct arena *mem, struct err *err)
{
    long long number = (long long)db_rows_int(rows, row, 0);

    if (row >= known.count) {
        err_set(err, ERR_CONFLICT,
                "the database holds migration %lld (%s), and this program knows %zu", number,
                db_rows_text(rows, row, 1), known.count);
        return err_hint(err, "A newer version of the program was here: use that one.");
    }

    size_t length = 0;
    const void *stored = db_rows_bytes(rows, row, 2, mem, &length);
    struct digest expected = sha256(known.items[row].text, known.items[row].length);

    if (number != known.items[row].number || length != SHA256_SIZE ||
        memcmp(stored, expected.bytes, SHA256_SIZE) != 0)
        return err_set(err, ERR_CONFLICT,
                       "these records were made by another build of weirbook: step %lld (%s) of the "
                       "schema differs",
                       number, db_rows_text(rows, row, 1)) ||
               err_hint(err, "Use the program that made them, or another data folder: --data "
                             "FOLDER. Nothing was changed.");

    return true;
}

/* How many of the known migrations were run; fails unless they are the first ones we know. */
static bool count_run(struct db_tx *tx, struct migration_list known, size_t *out, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_migration_list, DB_NO_PARAMS, &rows, err))
        return false;

    for (size_t i = 0; i < db_rows_count(&rows); i++) {
        if (!same_as_known(&rows, i, known, mem, err))
            return false;
    }
    *out = db_rows_count(&rows);

    return true;
}

/* --- up ------------------------------------------------------------------------------------ */

static bool migration_run(struct db_tx *tx, const struct sql_migration *migration, struct err *err)
{
    struct digest digest = sha256(migration->text, migration->length);

    if (!db_script(tx, migration->name, migration->text, err) ||
        !db_do(tx, &sql_owner_migration_add,
               DB_PARAMS(db_int(migration->number), db_text(migration->name),
                         db_bytes(digest.bytes, SHA256_SIZE)),
               err))
        return err_wrap(err, "migration %04d", migration->number);

    return true;
}

/* Under the lock, run the next migration that is missing; *ran says whether there was one. */
static bool step_up(struct db *owner, struct migration_list known, bool *ran, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    size_t run = 0;

    if (!db_tx_begin(owner, 0, &tx, err) ||
        !db_do(&tx, &sql_owner_migration_lock, DB_NO_PARAMS, err) ||
        !db_do(&tx, &sql_owner_migration_table, DB_NO_PARAMS, err) ||
        !count_run(&tx, known, &run, err))
        return false;

    bool missing = run < known.count;

    if ((missing && !migration_run(&tx, &known.items[run], err)) || !db_tx_commit(&tx, err))
        return false;
    *ran = missing;

    return true;
}

bool migrate_up_with(struct db *owner, struct migration_list known, int *applied, struct err *err)
{
    bool ran = true;
    int count = 0;

    owner->schema = 0; /* the check of every transaction would see us at work */
    while (ran) {
        if (!step_up(owner, known, &ran, err))
            return err_wrap(err, "bringing the database up to date");
        count += ran;
    }
    *applied = count;

    return true;
}

bool migrate_up(struct db *owner, int *applied, struct err *err)
{
    return migrate_up_with(owner, migrations_known(), applied, err);
}

/* --- check --------------------------------------------------------------------------------- */

static bool list_is_there(struct db_tx *tx, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_migration_ready, DB_NO_PARAMS, &rows, err))
        return false;
    if (!db_rows_bool(&rows, 0, 0))
        return err_set(err, ERR_CONFLICT, "the database has not been set up for this program");

    return true;
}

bool migrate_check_with(struct db *db, struct migration_list known, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    size_t run = 0;

    db->schema = 0;
    if (!db_tx_begin(db, 0, &tx, err) || !list_is_there(&tx, err) ||
        !count_run(&tx, known, &run, err))
        return false;
    if (run != known.count)
        return err_set(err, ERR_CONFLICT,
                       "the database stands at migration %zu, and this program needs %zu", run,
                       known.count);
    if (!db_tx_commit(&tx, err))
        return false;

    db->schema = (int)known.count;

    return true;
}

bool migrate_check(struct db *db, struct err *err)
{
    return migrate_check_with(db, migrations_known(), err);
}
