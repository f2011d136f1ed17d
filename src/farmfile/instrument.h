/*
 * Instrument: what the farm file says of its probes and field meters: which they are, where they
 * sit, and how often the farm itself wants them checked, by criteria that it names. Part of struct
 * farm (farm.h); all texts live in the farm's arena. There are no intervals or criteria built in.
 */
#ifndef FARMFILE_INSTRUMENT_H
#define FARMFILE_INSTRUMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/instant.h"
#include "trust/drift.h"

enum farm_instrument_kind { INSTRUMENT_FIXED_PROBE, INSTRUMENT_FIELD_METER };

extern const char *const farm_instrument_kind_words[]; /* "fixed probe", "field meter", NULL */

/* What is checked of it. */
struct farm_instrument_check {
    const char *parameter;
    int check_every_s;              /* 0: not asked */
    int calibrate_every_s;          /* 0: not asked */
    struct drift_criteria criteria; /* in criteria.unit, a canonical name */
    bool as_published;              /* they are those of drift_published_of(criteria.quantity) */
    const char *copied_from;        /* the document the farm copies all this from */
    bool correct_figures;           /* whether figures of clauses may rest on corrected readings */
};

struct farm_instrument {
    const char *key;
    const char *name;
    enum farm_instrument_kind kind;
    const char *serial;
    const char *make;     /* maker and model, or NULL */
    const char *named;    /* as sources name it (`made_by` of a series); the key where not told */
    const char *station;  /* NULL: a field meter that goes about */
    const char *position; /* or NULL */
    const char *const *users; /* people's keys; none: anybody */
    size_t user_count;
    day_number from;         /* first day in use */
    day_number until;        /* last day, DAY_NONE */
    const char *replaced_by; /* an instrument's key, or NULL */
    const struct farm_instrument_check *checks;
    size_t check_count;
    const char *definition;
};

/* Whether a source that names its instrument so means this one: as `named`, by serial number or
 * key.
 */
bool farm_instrument_is(const struct farm_instrument *instrument, const char *word);

/* NULL: its parameter is not checked. */
const struct farm_instrument_check *
farm_instrument_check_of(const struct farm_instrument *instrument, const char *parameter);

#endif
