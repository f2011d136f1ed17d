/*
 * Parameters: what is measured. Nitrate in water as nitrogen is one parameter, nitrate in
 * water as nitrate another: the basis and the matrix are part of it, never of the unit.
 *
 * The built-in table and the farm's own parameters have the same struct. No parameter carries
 * a limit of any kind: limits are the farm's to copy from its licence.
 */
#ifndef MEASURE_PARAMETER_H
#define MEASURE_PARAMETER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

enum parameter_kind {
    PARAMETER_NUMBER,
    PARAMETER_COUNTER, /* a meter that runs up: its differences count */
    PARAMETER_STATE,   /* a word that holds until the next one */
};

enum { PARAMETER_UNITS_MOST = 16, PARAMETER_STATES_MOST = 8 };

/* What can be at all, in the canonical unit: a value beyond it is a fault of the file. */
struct parameter_range {
    double least; /* -HUGE_VAL: no end */
    double most;  /* HUGE_VAL: no end */
};

struct parameter {
    const char *key;  /* "ammonia": in farm files and commands */
    const char *name; /* "Total ammonia": for people; the basis is not in it */
    enum parameter_kind kind;
    const char *matrix;                        /* "water" or "flesh" */
    const char *basis;                         /* "as N", "as P", or "" */
    const char *unit;                          /* canonical name of a unit; NULL for a state */
    const char *units[PARAMETER_UNITS_MOST];   /* allowed, canonical names, `unit` among them;
                                                  ended by NULL */
    const char *states[PARAMETER_STATES_MOST]; /* words of a state, ended by NULL */
    bool never_negative; /* by what it is: a value below 0 is a fault of the file */
    const struct parameter_range *possible; /* of the farm's own; NULL: nothing is stated */
};

/* Parameters of a farm. It need not hold the built-in ones; it does no harm if it does. */
struct parameter_list {
    struct parameter *items;
    size_t count;
    size_t capacity;
};

/* The built-in ones, by position: NULL at the end of the table. */
const struct parameter *parameter_built_in(size_t position);

/*
 * The parameter of that key: first among the farm's own (`own` may be NULL), then among the
 * built-in ones. NULL when there is none.
 */
const struct parameter *parameter_find(const struct parameter_list *own, const char *key);

/*
 * Keys that somebody may have meant, by key or name, a part of either or the first letters of the
 * name: "'ecoli-cfu' or 'ecoli-mpn'" for "E. coli". NULL when none is near.
 */
const char *parameter_near(struct arena *mem, const struct parameter_list *own, const char *word);

/* parameter_find() for keys that a person typed: ERR_NOT_FOUND, with those near in the hint. */
MUST_CHECK bool parameter_require(const struct parameter_list *own, const char *key,
                                  const struct parameter **out, struct err *err);

/* "number", "counter" or "state", and back (false for another word). */
const char *parameter_kind_name(enum parameter_kind kind);
bool parameter_kind_parse(const char *name, enum parameter_kind *out);

/*
 * Whether a value, in the canonical unit, can be at all: below 0 or beyond what any water can have.
 * Wide on purpose: what is merely unlikely is for a person to judge. NULL: it can; else why not, as
 * "pH can't be above 15".
 */
const char *parameter_impossible(struct arena *mem, const struct parameter *parameter,
                                 double canonical);

/* Whether the unit of that canonical name is among those the parameter may be reported in. */
bool parameter_allows_unit(const struct parameter *parameter, const char *unit_name);

/* The parameter's own spelling of a state word, found in either case; NULL when it has none such.
 */
const char *parameter_state(const struct parameter *parameter, const char *word);

/* "Total ammonia (as N)", "pH": for headings. */
char *parameter_title(struct arena *mem, const struct parameter *parameter);

/* "mg/L, ug/L, g/m3": for messages. Empty for a state. */
char *parameter_units_text(struct arena *mem, const struct parameter *parameter);

#endif
