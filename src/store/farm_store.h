/*
 * Farm store: the farms of a database and the loadings of their farm files.
 *
 * As everywhere in store/: one function a statement, no transaction begins or ends here, and
 * nothing is decided here.
 */
#ifndef STORE_FARM_STORE_H
#define STORE_FARM_STORE_H

#include "base/crypto.h"
#include "db/db.h"

struct farm_row {
    int64_t farm_id;
    const char *key;
};

struct farm_rows {
    struct farm_row *items;
    size_t count;
};

/* Every farm's number and key, whatever farm the transaction is for. */
MUST_CHECK bool farm_store_list(struct db_tx *tx, struct arena *mem, struct farm_rows *out,
                                struct err *err);

/* Wait for whoever is making a farm: until the transaction ends, only this one does. */
MUST_CHECK bool farm_store_making(struct db_tx *tx, struct err *err);

/* ERR_CONFLICT: the number is taken. */
MUST_CHECK bool farm_store_add(struct db_tx *tx, const char *key, struct err *err);

struct farm_file_row {
    int version; /* 0: none was ever loaded */
    struct digest sha256;
    const char *bytes;
    size_t length;
    const char *name;
    const char *zone;
    bool invented;
    instant loaded_at;
    const char *person;
};

/* name, zone and invented are not read back: they are in the bytes. */
MUST_CHECK bool farm_store_file_latest(struct db_tx *tx, struct arena *mem,
                                       struct farm_file_row *out, struct err *err);

/* The same of one version; ERR_NOT_FOUND. */
MUST_CHECK bool farm_store_file_of(struct db_tx *tx, struct arena *mem, int version,
                                   struct farm_file_row *out, struct err *err);

/* ERR_CONFLICT: somebody loaded that version at the same time. */
MUST_CHECK bool farm_store_file_add(struct db_tx *tx, const struct farm_file_row *file,
                                    struct err *err);

/*
 * When the farm's first file was loaded (INSTANT_NONE: never), and the newest version that changed
 * a licence, a limit or an interval.
 */
MUST_CHECK bool farm_store_since(struct db_tx *tx, instant *loaded_at, int *changed,
                                 struct err *err);

#endif
