/*
 * Source rule store: what a word of a source's files means, beside what the farm file says.
 */
#ifndef STORE_SOURCE_RULE_STORE_H
#define STORE_SOURCE_RULE_STORE_H

#include "db/db.h"

struct source_rule {
    const char *source;
    const char *kind; /* "unit", "parameter", "station", "state", "blank" */
    const char *word;
    const char *means; /* NULL of "blank" */
    const char *reason;
    const char *person;
    const char *second_person; /* who saw it then or later, or NULL */
    instant made_at;
    int nth;               /* of the rules about that word; 0 of one that is to be added */
    const char *withdrawn; /* why it was taken back; NULL: it stands */
    const char *withdrawn_by;
    instant withdrawn_at;
};

struct source_rules {
    struct source_rule *items;
    size_t count;
};

/* Beside those about the word that were taken back. */
MUST_CHECK bool source_rule_store_add(struct db_tx *tx, const struct source_rule *rule,
                                      struct err *err);

/* ERR_CONFLICT: it is taken back already. */
MUST_CHECK bool source_rule_store_withdraw(struct db_tx *tx, const struct source_rule *rule,
                                           const char *reason, const char *person, instant at,
                                           struct err *err);

/* A second person saw it. ERR_CONFLICT: somebody has. */
MUST_CHECK bool source_rule_store_see(struct db_tx *tx, const struct source_rule *rule,
                                      const char *person, instant at, struct err *err);

/* Of all sources, oldest first; those that were taken back too. */
MUST_CHECK bool source_rule_store_list(struct db_tx *tx, struct arena *mem,
                                       struct source_rules *out, struct err *err);

#endif
