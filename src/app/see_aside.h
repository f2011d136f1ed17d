/*
 * Seeing what was answered: a second person looks at rows set aside that one person answered alone,
 * and agrees. Nothing is answered otherwise by it; what those answers took from outside to inside
 * no longer stands on the first page as seen by one.
 */
#ifndef APP_SEE_ASIDE_H
#define APP_SEE_ASIDE_H

#include "app/correct.h"

struct aside_seen {
    size_t rows;
    const char *texts; /* of the first of them: "S3,,,Out,2026-05-20 09:00,TSS,400,mg/L,,; ..." */
};

/*
 * Rows of the newest file of that name with answers: of line 0 every one that one person answered
 * alone, else those of the line (with column 0 all of it). The act's person is the second.
 *
 * ERR_NOT_FOUND: nothing was answered there. ERR_CONFLICT: two persons saw it already, or the
 * act's person is the one who answered. ERR_INVALID: a contradicting value that was accepted, which
 * is a correction since.
 */
MUST_CHECK bool aside_see(struct db *db, struct arena *mem, const struct open_farm *farm,
                          const struct aside_ref *ref, const struct act *act,
                          struct aside_seen *out, struct err *err);

#endif
