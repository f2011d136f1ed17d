/*
 * Look store: when the program last looked at what time alone brings, and into watched folders;
 * which months it judged. Working rows, that may go without harm.
 */
#ifndef STORE_LOOK_STORE_H
#define STORE_LOOK_STORE_H

#include "db/db.h"

struct time_look {
    instant looked_at; /* INSTANT_NONE: never */
};

MUST_CHECK bool look_store_time_put(struct db_tx *tx, const struct time_look *look,
                                    struct err *err);
MUST_CHECK bool look_store_time(struct db_tx *tx, struct time_look *out, struct err *err);

/* A month that was judged in full. */
struct month_look {
    day_number month; /* its first day */
    instant judged_at;
    int farm_file; /* the version that it was judged by */
};

struct month_looks {
    struct month_look *items; /* oldest first */
    size_t count;
};

MUST_CHECK bool look_store_month_put(struct db_tx *tx, const struct month_look *look,
                                     struct err *err);
MUST_CHECK bool look_store_months(struct db_tx *tx, struct arena *mem, struct month_looks *out,
                                  struct err *err);

struct folder_look {
    instant since;   /* INSTANT_NONE: never looked into */
    instant came_at; /* of the last file; INSTANT_NONE: none yet */
};

/* `since` counts the first time only; came_at INSTANT_NONE leaves it as it was. */
MUST_CHECK bool look_store_folder_put(struct db_tx *tx, const char *folder,
                                      const struct folder_look *look, struct err *err);
MUST_CHECK bool look_store_folder(struct db_tx *tx, const char *folder, struct folder_look *out,
                                  struct err *err);

#endif
