/*
 * Rows set aside of one file answered together: all that a filter names, by one act with one reason
 * and one entry in the ledger that names them.
 */
#ifndef APP_ASIDE_BULK_H
#define APP_ASIDE_BULK_H

#include "app/aside_filter.h"
#include "app/correct.h"

struct aside_bulk_order {
    const char *file_name;             /* of several files of one name the newest that has any */
    const struct aside_filter *filter; /* which of its rows */
    const char *reason;
    const char *second_person; /* or NULL */
};

struct aside_bulk_done {
    size_t values;
    size_t lines;
    struct aside_counts reasons; /* why they were set aside, the most first */
    const char *places;          /* "column 5: 12-400, 410; column 7: 12" */
    bool left_more;              /* other rows of the file go on waiting */
};

/*
 * Leave out all rows that wait and fit. Each stays on record with the reason, and counts as if it
 * had been left out by itself.
 *
 * ERR_NOT_FOUND: nothing that waits fits. ERR_DENIED, ERR_INVALID: as with a single one.
 * ERR_CONFLICT: somebody answered one of them meanwhile.
 */
MUST_CHECK bool asides_leave_out(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 const struct aside_bulk_order *order, const struct act *act,
                                 struct aside_bulk_done *done, struct err *err);

/*
 * The other way: rows that were left out, together or one by one, wait again. The answer stays on
 * record beside it, and so does who gave it.
 */
MUST_CHECK bool asides_put_back(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const struct aside_bulk_order *order, const struct act *act,
                                struct aside_bulk_done *done, struct err *err);

#endif
