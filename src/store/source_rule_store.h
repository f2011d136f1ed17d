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
    const char *second_person; /* or NULL */
    instant made_at;
};

struct source_rules {
    struct source_rule *items;
    size_t count;
};

/* ERR_CONFLICT: the source has a rule of that kind for that word. */
MUST_CHECK bool source_rule_store_add(struct db_tx *tx, const struct source_rule *rule,
                                      struct err *err);

/* Of all sources, oldest first. */
MUST_CHECK bool source_rule_store_list(struct db_tx *tx, struct arena *mem,
                                       struct source_rules *out, struct err *err);

#endif
