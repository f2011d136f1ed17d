/*
 * Migrations: sql/migrate/NNNN_name.sql, forward only, each with its SHA-256 in
 * weirbook.migration. They run as weirbook_owner under an advisory lock.
 */
#ifndef DB_MIGRATE_H
#define DB_MIGRATE_H

#include "db/db.h"

/* Newest migration this program knows. */
int migrate_newest(void);

/*
 * Bring the schema up to this program's. `applied` counts what was run. Roles and the schema
 * must be there (migrate_roles).
 *
 * ERR_CONFLICT: the database holds a migration that this program lacks (a newer program was
 * here) or whose text differs.
 */
MUST_CHECK bool migrate_up(struct db *owner, int *applied, struct err *err);

/*
 * Make the roles weirbook_owner, weirbook_program and weirbook_reader and the schema weirbook,
 * where the connection may. Nothing happens when they are there. Where it may not: ERR_DENIED,
 * and the hint says to ask for the statements with `weirbook database sql`.
 */
MUST_CHECK bool migrate_roles(struct db *admin, struct err *err);

/*
 * ERR_CONFLICT unless the schema is exactly this program's. Every program calls it on connect;
 * from then on each transaction of this connection looks at the newest migration again, in the
 * round trip that begins it, and fails the same way when another program has migrated meanwhile.
 */
MUST_CHECK bool migrate_check(struct db *db, struct err *err);

/* The statements of migrate_roles, for an administrator to run. */
const char *migrate_roles_sql(void);

#endif
