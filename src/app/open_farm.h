/*
 * The farm a command works for: found by its key, read from the farm file in force.
 */
#ifndef APP_OPEN_FARM_H
#define APP_OPEN_FARM_H

#include "db/db.h"
#include "farmfile/farmfile.h"
#include "store/ledger_store.h"

struct open_farm {
    int64_t farm_id;
    int version; /* of the farm file in force */
    const struct farm *farm;
    const struct units *units;
};

/*
 * Open the farm of that key, or with NULL the only one there is. It lives in mem.
 *
 * ERR_NOT_FOUND: no farm (the hint says how to make one), or none of that key.
 * ERR_INVALID: several farms and no key.
 */
MUST_CHECK bool farm_open(struct db *db, struct arena *mem, struct units *units, const char *key,
                          struct open_farm *out, struct err *err);

/* The version of the farm file in force, which somebody may have loaded meanwhile. */
MUST_CHECK bool farm_version(struct db *db, int64_t farm_id, int *version, struct err *err);

/*
 * That a person of the farm may do something today: `may` is one of enum person_may.
 *
 * ERR_INVALID: nobody was named. ERR_NOT_FOUND: no such person, with the nearest key.
 * ERR_DENIED: the farm file does not let them, or they have left.
 */
MUST_CHECK bool act_allowed(const struct farm *farm, const struct act *act, unsigned may,
                            struct err *err);

/* Whether somebody else than the person of the act may do that today. */
bool act_another_may(const struct farm *farm, const struct act *act, unsigned may);

#endif
