/*
 * What unit.c and unit_convert.c share, and nobody else: the insides of struct unit and
 * struct units.
 */
#ifndef MEASURE_UNIT_PARTS_H
#define MEASURE_UNIT_PARTS_H

#include <stdbool.h>
#include <stddef.h>
#include <udunits2.h>

#include "measure/unit.h"
#include "measure/unit_table.h"

struct unit {
    const char *name;
    enum unit_dimension dimension;
    const struct exact *factor; /* to the base unit of the dimension; NULL for DIMENSION_OTHER */
    const struct exact *offset;
    ut_unit *library;
    const struct unit *next; /* of the farm's own */
};

/* One way to write one unit. */
struct spelling {
    const char *text;
    const struct unit *unit;
    bool any_case;
};

struct spelling_list {
    struct spelling *items;
    size_t count;
    size_t capacity;
};

struct units {
    struct arena *mem;
    ut_system *library;
    struct unit *items; /* of our table, in its order */
    size_t count;
    const struct unit *own;         /* defined by farms, newest first */
    struct spelling_list spellings; /* in order of their texts, without regard to case */
    struct spelling_list only_here; /* understood where the parameter's dimension is the unit's */
};

/* The unit of our table that this spelling in plain form means everywhere, or NULL. */
const struct unit *unit_spelled(const struct units *units, const char *text);

/* The hint on a spelling in plain form that is refused on purpose, or NULL. */
const char *unit_refused_because(const char *plain);

#endif
