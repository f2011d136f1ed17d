/*
 * Reading again what was set aside: the kept bytes of a file are read by its source as the farm
 * file has it now. Rows that can be read now are stored, with the origin they always had, and
 * answered; those that now read as blank are left out; the others go on waiting. So a word or unit
 * that a source learns mends every row at once.
 */
#ifndef APP_READ_AGAIN_H
#define APP_READ_AGAIN_H

#include "app/open_farm.h"

struct read_again_result {
    const char *file_name;
    int64_t waited;        /* rows that were set aside before */
    int64_t accepted;      /* of them, now stored or known */
    int64_t blank;         /* of them, now known to hold no value */
    int64_t contradicting; /* of them, readable and at odds with each other or with the record */
};

/* `second_person` or NULL. ERR_NOT_FOUND: no file of that name has a row that waits. */
MUST_CHECK bool read_again(struct db *db, struct arena *mem, const struct open_farm *farm,
                           const char *file_name, const char *second_person, const struct act *act,
                           struct read_again_result *result, struct err *err);

/* The same of one receipt. */
MUST_CHECK bool read_again_receipt(struct db *db, struct arena *mem, const struct open_farm *farm,
                                   int64_t receipt, const char *second_person,
                                   const struct act *act, struct read_again_result *result,
                                   struct err *err);

#endif
