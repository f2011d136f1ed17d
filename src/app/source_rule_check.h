/*
 * Whether a rule about a source's word can be: it must mean something there, and may not make of a
 * word what it is not.
 */
#ifndef APP_SOURCE_RULE_CHECK_H
#define APP_SOURCE_RULE_CHECK_H

#include "app/source_rules.h"
#include "store/aside_store.h"

struct source_rule_question {
    struct arena *mem;
    const struct open_farm *farm;
    const struct source *source;      /* as it reads today */
    const struct aside_rows *waiting; /* of all sources */
    const struct source_rule_order *order;
};

/*
 * *means: the rule's meaning as it is kept (a unit's and a parameter's own name), NULL of "blank".
 * Errors as source_rule_make() gives them.
 */
MUST_CHECK bool source_rule_check(const struct source_rule_question *ask, const char **means,
                                  struct err *err);

#endif
