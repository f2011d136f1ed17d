/*
 * Evidence digest: of everything that a clause reads for a month, and of nothing else, so that it
 * is the same whichever other clauses were loaded with it. It changes when any of that does.
 *
 * In it, by the forms of the clause in force in the month and those judged beside them: the stored
 * readings of what they look at, of what that is worked out from and of the discharge point, as
 * far around the days as they reach; the equations; where a form asks for them, accreditations and
 * its tide table; and the rows set aside that the verdict weighed.
 */
#ifndef APP_EVIDENCE_DIGEST_H
#define APP_EVIDENCE_DIGEST_H

#include "app/load_evidence.h"

/* Readings of a series whose digest is known; they are read by more clauses than one. */
struct hashed_part {
    size_t series;
    size_t first;
    size_t after;
    struct digest digest;
};

/* For the verdicts of one month; begins as zeros but for its first three. */
struct evidence_hashing {
    struct arena *mem;
    const struct farm *farm;
    const struct loaded_evidence *loaded;
    struct {
        struct hashed_part *items;
        size_t count;
        size_t capacity;
    } parts;
};

/* `forms`: of the one clause, as they were loaded. */
struct digest evidence_digest(struct evidence_hashing *hashing, const struct clause_limits *forms,
                              const struct verdict *verdict);

#endif
