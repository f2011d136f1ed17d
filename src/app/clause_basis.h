/*
 * Clause basis: what a limit's figures are worked out with besides the clause itself, as the farm
 * file says it: derived readings that it reads through, running meters, the farm's own parameters,
 * sensor tests, instruments and quality checks of what it reads, its tide table, laboratories'
 * accreditation where it asks for one, the dates of its licence, its outlet's record and meter, and
 * the farm's clocks. Changed, it judges the past otherwise too, as a changed clause does; so a
 * person compares it again (clauses.h).
 *
 * Sources are not in it: how files are read is stored with what was read.
 */
#ifndef APP_CLAUSE_BASIS_H
#define APP_CLAUSE_BASIS_H

#include "farmfile/farmfile.h"

struct clause_limit;

/* Every form of one clause. */
struct basis_forms {
    const struct clause_limit *items;
    size_t count;
};

struct basis_change {
    const char *what;  /* "derived reading outlet-flow" */
    const char *words; /* "settings, zero at: 0.10 -> 0.15"; "new"; "gone" */
};

struct basis_changes {
    struct basis_change *items;
    size_t count;
    size_t capacity;
};

/* What differs between two farm files; NULL: nothing. */
const struct basis_changes *basis_changed(struct arena *mem, const struct farm *then,
                                          const struct farm *now, const struct basis_forms *forms);

/* "derived reading outlet-flow, meter outlet discharge-meter": of many the first few. */
const char *basis_names(struct arena *mem, const struct basis_changes *changes);

#endif
