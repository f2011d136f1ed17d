/*
 * Rules about a source's words: "in this source `mgl` means mg/L". A record, with who and why; from
 * then on the source reads so, and its files with rows that wait are read again. A second person
 * may see it later; and it may be taken back, which changes nothing that was stored by it.
 */
#ifndef APP_SOURCE_RULES_H
#define APP_SOURCE_RULES_H

#include "app/open_farm.h"
#include "app/read_again.h"
#include "store/aside_store.h"
#include "store/source_rule_store.h"

enum { SOURCE_RULE_WORD_MOST = 200 };

struct source_rule_order {
    const char *source;
    const char *kind; /* "unit", "parameter", "station", "state", "blank" */
    const char *word;
    const char *means; /* NULL of "blank" */
    const char *reason;
    const char *second_person; /* or NULL */
};

/* A file that was read again; with trouble it could not be, and waits as before. */
struct source_file_mended {
    struct read_again_result result;
    const char *trouble; /* NULL: none */
};

struct source_files_mended {
    struct source_file_mended *items;
    size_t count;
    size_t capacity;
    const char *seen_by; /* of a rule that stood already: who saw it now; NULL: it is new */
    size_t seen;         /* rows answered by it that are seen by two persons now */
};

/*
 * Make a rule and read again every file of the source with rows that wait, each in a transaction of
 * its own; the rule stands also where one of them can't be read. The same rule again, with another
 * person than the one who made it, is how a second person agrees later: to the rule, and to what
 * was read again by it.
 *
 * ERR_CONFLICT: the farm file or an earlier rule speaks of the word. ERR_NOT_FOUND: no such source,
 * unit, parameter, station or state. ERR_INVALID: the rule would make of a word what it is not (a
 * unit into another, one basis into another, a number into nothing), or mend nothing in this
 * source.
 */
MUST_CHECK bool source_rule_make(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 const struct source_rule_order *order, const struct act *act,
                                 struct source_files_mended *out, struct err *err);

/* Which rule, and why it is taken back. */
struct source_rule_back {
    const char *source;
    const char *kind;
    const char *word;
    const char *reason;
};

/*
 * Take a rule back: its source reads so no more, and the word may get another. What came in by it
 * stays on record as it is; `*files`: how many rows were read again by it, of each file.
 * ERR_NOT_FOUND: no such rule stands.
 */
MUST_CHECK bool source_rule_take_back(struct db *db, struct arena *mem,
                                      const struct open_farm *farm,
                                      const struct source_rule_back *back, const struct act *act,
                                      struct source_rule *rule, struct aside_counts *files,
                                      struct err *err);

/* Oldest first; those that were taken back too. */
MUST_CHECK bool source_rules_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                                  struct source_rules *out, struct err *err);

#endif
