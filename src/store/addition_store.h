/*
 * Addition store: fertiliser, treatments, feed and medicine that were put in. Only added to: a
 * correction is a row of its own that names the one it stands in place of.
 */
#ifndef STORE_ADDITION_STORE_H
#define STORE_ADDITION_STORE_H

#include "base/decimal.h"
#include "db/db.h"

struct addition {
    int number; /* 1, 2, 3, ... of the farm */
    const char *station;
    const char *kind;    /* one of addition_kind_words */
    const char *product; /* in the farm's own words */
    struct decimal amount;
    const char *unit; /* canonical name, of a mass or a volume */
    instant at;
    instant until; /* equal to at for an instant */
    /* Shares of the product's mass, as N and as P. */
    bool nitrogen_known;
    struct decimal nitrogen_percent;
    bool phosphorus_known;
    struct decimal phosphorus_percent;
    int withhold_hours; /* from `until`; -1: none told */
    const char *reason; /* or NULL */
    int instead_of;     /* number of the one it corrects; 0: none */
    const char *person;
    /* What became of it. */
    int replaced_by;        /* 0: by none */
    const char *taken_back; /* why, or NULL */
};

struct additions {
    struct addition *items;
    size_t count;
};

/* "fertiliser", "treatment", "feed", "medicine"; ended by NULL. */
extern const char *const addition_kind_words[];

/* Neither replaced nor taken back. */
bool addition_stands(const struct addition *addition);

/*
 * Add it; `number` is drawn here. ERR_CONFLICT: somebody else added one in the same moment, or
 * the one it corrects was corrected already.
 */
MUST_CHECK bool addition_store_add(struct db_tx *tx, struct arena *mem,
                                   const struct addition *addition, instant said_at, int *number,
                                   struct err *err);

MUST_CHECK bool addition_store_take_back(struct db_tx *tx, int number, const char *reason,
                                         const char *person, instant said_at, struct err *err);

/* Those that lie in first <= time < until, also in part, whether they stand or not; by time. */
MUST_CHECK bool addition_store_list(struct db_tx *tx, struct arena *mem, instant first,
                                    instant until, struct additions *out, struct err *err);

#endif
