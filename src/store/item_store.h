/*
 * Item store: the parts of a farm file (people, authorities, licences, stations, ...) as rows,
 * each with the version of the farm file that brought its present form. One table here names
 * every kind, so that loading, comparing and storing go through the same rows.
 */
#ifndef STORE_ITEM_STORE_H
#define STORE_ITEM_STORE_H

#include "db/db.h"
#include "farmfile/farm.h"

/* In the order in which they can be stored: what others name comes first. */
enum item_kind {
    ITEM_PERSON,
    ITEM_AUTHORITY,
    ITEM_STATION,
    ITEM_PARAMETER, /* the built-in ones and then the farm's own */
    ITEM_LICENCE,
    ITEM_PATH,
    ITEM_METER,
    ITEM_SOURCE,
    ITEM_LIMIT,
    ITEM_INTERVAL,
    ITEM_KINDS
};

const char *item_kind_name(enum item_kind kind); /* "person"; also in item/current.sql */

size_t item_count(const struct farm *farm, enum item_kind kind);

/* The item's key (of a path and a meter made from its parts) and canonical text. */
char *item_key(struct arena *mem, const struct farm *farm, enum item_kind kind, size_t index);
const char *item_definition(const struct farm *farm, enum item_kind kind, size_t index);

/* "licence changed" or "copied wrongly" of a limit or interval; NULL for others or when not said. */
const char *item_change(const struct farm *farm, enum item_kind kind, size_t index);

/* Of a limit or interval: its canonical text without what changes no verdict; NULL for others. */
const char *item_judged(const struct farm *farm, enum item_kind kind, size_t index);

struct item_row {
    const char *kind;
    const char *key;
    int version;
    const char *definition;
};

struct item_rows {
    struct item_row *items;
    size_t count;
};

/* Every item that has not gone, as last written. */
MUST_CHECK bool item_store_current(struct db_tx *tx, struct arena *mem, struct item_rows *out,
                                   struct err *err);

/* Store one item as it is in `farm`, new with `version`; `gone` when the new file lacks it. */
MUST_CHECK bool item_store_put(struct db_tx *tx, const struct farm *farm, enum item_kind kind,
                               size_t index, int version, bool gone, struct err *err);

#endif
