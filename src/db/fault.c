#include <string.h>

#include "db/db_private.h"

/* Tests use one thread; a program never switches it on. */
static int calls_left;
static bool hit;

void db_fault_after(int calls)
{
    calls_left = calls;
    hit = false;
}

bool db_fault_hit(void)
{
    return hit;
}

bool db_fault_now(struct db *db, struct err *err)
{
    if (calls_left == 0 || --calls_left > 0)
        return false;

    hit = true;
    db->stopped = true;
    memcpy(db->sqlstate, "08006", sizeof(db->sqlstate));
    err_set(err, ERR_UNAVAILABLE, "the connection to the database was lost [08006]");

    return true;
}
