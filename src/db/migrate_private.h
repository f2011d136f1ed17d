/*
 * Inside of db/migrate: the same functions over any list of migrations, for the tests of db/.
 */
#ifndef DB_MIGRATE_PRIVATE_H
#define DB_MIGRATE_PRIVATE_H

#include "db/migrate.h"
#include "db/sql_catalog.h"

struct migration_list {
    const struct sql_migration *items;
    size_t count;
};

MUST_CHECK bool migrate_up_with(struct db *owner, struct migration_list known, int *applied,
                                struct err *err);
MUST_CHECK bool migrate_check_with(struct db *db, struct migration_list known, struct err *err);

#endif
