/*
 * Quality checks: what duplicates, replicates and blanks on record come to by the farm's own
 * acceptance (`quality checks:` of the farm file, trust/duplicates.h). Worked out from results as
 * they stand whenever it is asked, and never stored: corrections and a changed farm file reach it
 * by themselves.
 *
 * A pair is two portions of one sample, or a check sample (purpose check or duplicate) and the
 * nearest sample of its series that counts; of three portions and more the spread is looked at,
 * where the farm asks for it. Results left out by a person take no part.
 */
#ifndef APP_QUALITY_CHECKS_H
#define APP_QUALITY_CHECKS_H

#include "farmfile/farm.h"
#include "store/doubt_store.h"
#include "store/quality_store.h"

enum quality_kind { QUALITY_DUPLICATES, QUALITY_REPLICATES, QUALITY_BLANK };

extern const char *const quality_kind_words[]; /* "duplicates", "replicates", "blank" */

struct quality_result {
    const struct quality_result_row *row;
    const struct farm_quality *rule; /* that it stands under */
    struct lab_result lab;           /* in the rule's unit */
    const char *text;                /* as reported: "8.0 mg/L" */
};

struct quality_check {
    enum quality_kind kind;
    const struct farm_quality *rule;
    const struct quality_result *const *results; /* compared; of a blank the one */
    size_t count;
    const struct quality_result *const *concerned; /* by a blank that failed */
    size_t concerned_count;
    struct quality_outcome outcome;
    bool in_doubt; /* it failed, and the farm says that those it is about are in doubt */
    instant at;    /* of the check sample, or of the sample */
};

struct quality_checks {
    struct quality_check *items; /* by kind, in each by parameter, series and time */
    size_t count;
    size_t capacity;
};

/*
 * Those of first <= t < until, and of some time around it: whoever wants them of a span alone looks
 * at `at`. A farm without `quality checks:` has none, and is not asked for its results.
 */
MUST_CHECK bool quality_checks_find(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                    instant first, instant until, struct quality_checks *out,
                                    struct err *err);

/* What failed checks put in doubt of readings with first <= t < until, added to `marks`. */
MUST_CHECK bool quality_checks_doubt(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                     instant first, instant until, struct doubt_marks *marks,
                                     struct err *err);

/* "26-0412 (8.0 mg/L) and 26-0413 (10.0 mg/L): they differ by ..., as Quality plan 2026 has it" */
char *quality_check_words(struct arena *mem, const struct quality_check *check);

/*
 * How many days around it a failed blank of that parameter may put results of other places in
 * doubt. False: the farm's file says nothing of the kind.
 */
bool quality_blanks_reach(const struct farm *farm, const char *parameter, int *days);

#endif
