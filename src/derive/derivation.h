/*
 * Derivation: an equation put to work at a place: which readings go in, how near in time they have
 * to be, and where the result belongs. Made once of what a farm wrote, and checked in full, so
 * that working out readings (derive.h) meets nothing but readings.
 *
 * The first input that the farm names leads: there is one derived reading for each of its own.
 */
#ifndef DERIVE_DERIVATION_H
#define DERIVE_DERIVATION_H

#include "base/instant.h"
#include "derive/equation.h"
#include "judge/evidence.h"
#include "measure/unit.h"

struct derivation_place {
    const char *station;
    const char *position;              /* NULL: any, or none of what is made */
    const struct parameter *parameter; /* NULL: not read */
};

/* As a farm wrote it. */
struct derivation_asked {
    const char *key;
    const char *equation;
    struct derivation_place made;
    const char *unit; /* canonical name */
    const struct derivation_input_asked {
        const char *as; /* NULL: what the parameter says */
        struct derivation_place place;
    } * inputs;
    size_t input_count;
    int within_s;
    struct settings settings;
};

struct derivation {
    const char *key;
    const struct equation *equation;
    const char *words; /* the equation with what the settings chose, for people */
    struct derivation_place made;
    const char *unit;                                     /* of what is made */
    const char *equation_unit;                            /* what the equation gives */
    struct derivation_place inputs[EQUATION_INPUTS_MOST]; /* by the equation's inputs */
    const char *input_units[EQUATION_INPUTS_MOST];        /* they are taken in */
    int lead;
    int within_s;
    struct settings settings;
};

/* Longest time between readings that go together: they are of the same time. */
enum { DERIVATION_WITHIN_MOST_S = 86400 };

/* Which part of what was asked a problem is about. */
enum derivation_part {
    PART_EQUATION,
    PART_INPUTS,
    PART_SETTINGS,
    PART_UNIT,
    PART_WITHIN,
};

/*
 * ERR_NOT_FOUND, ERR_INVALID: no such equation; an input that it does not have, that is given
 * twice, that lacks or is in another unit; a setting that it lacks or does not use; a weir, flume,
 * form or basis that it cannot take. `part` says where to look.
 */
MUST_CHECK bool derivation_make(struct arena *mem, const struct units *units,
                                const struct derivation_asked *asked, struct derivation *out,
                                enum derivation_part *part, struct err *err);

/* Whether readings of this station and parameter go in. */
bool derivation_reads(const struct derivation *derivation, const char *station,
                      const char *parameter);

/* Whether it makes readings of this station and parameter. */
bool derivation_makes(const struct derivation *derivation, const char *station,
                      const char *parameter);

/* The same as it stands beside each series made so. */
const struct derived_by *derivation_by(struct arena *mem, const struct derivation *derivation);

/* For the equation's functions: without any reading. */
struct equation_call derivation_call(struct arena *mem, const struct derivation *derivation);

#endif
