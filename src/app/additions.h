/*
 * Additions: fertiliser, treatments, feed and medicine put into a tank, pond or path of water, as
 * records of their own: what, how much, where, when, by whom, and how long animals and water are
 * withheld afterwards.
 *
 * The first record is never changed. A correction is a new one that names the old
 * (`instead_of`); one that never happened is taken back with a reason.
 */
#ifndef APP_ADDITIONS_H
#define APP_ADDITIONS_H

#include "app/open_farm.h"
#include "store/addition_store.h"

enum { ADDITION_WORDS_MOST = 200, ADDITION_WITHHOLD_MOST_H = 24 * 366 };

/* As typed. */
struct addition_order {
    const char *station;
    const char *kind;
    const char *amount;     /* "25 kg" */
    const char *product;    /* what it was */
    const char *nitrogen;   /* percent of its mass, as N; NULL: not told */
    const char *phosphorus; /* percent of its mass, as P; NULL: not told */
    const char *withhold;   /* hours; NULL: none told */
    const char *reason;     /* NULL: none */
    const char *instead_of; /* number of the addition this one corrects; NULL: none */
    instant at;
    instant until;
};

/*
 * Write one down. ERR_NOT_FOUND: no such station, unit, or addition to correct. ERR_INVALID: a
 * word or number that can't be; a time to come; the one to correct no longer stands.
 */
MUST_CHECK bool addition_add(struct db *db, struct arena *mem, const struct open_farm *farm,
                             const struct addition_order *order, const struct act *act,
                             struct addition *out, struct err *err);

/* It never was. ERR_NOT_FOUND, ERR_INVALID as above. */
MUST_CHECK bool addition_take_back(struct db *db, struct arena *mem, const struct open_farm *farm,
                                   const char *number, const char *reason, const struct act *act,
                                   struct addition *out, struct err *err);

/* Those of a span, whether they stand or not; INSTANT_NONE for either end: all before or after. */
MUST_CHECK bool additions_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                               instant first, instant until, struct additions *out,
                               struct err *err);

/*
 * Kilograms of an addition; false where its amount is a volume, whose mass is not known.
 */
bool addition_kg(struct arena *mem, const struct units *units, const struct addition *addition,
                 double *kg);

/* "25 kg of urea (fertiliser) at pond, 2026-03-04 09:00". */
char *addition_words(struct arena *mem, const struct farm *farm, const struct addition *addition);

#endif
