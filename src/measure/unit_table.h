/*
 * The table behind unit.h: every unit we know, its exact factor, what udunits2 calls it, and
 * every way people spell it; and spellings that are refused, with the reason.
 *
 * Spellings stand in the plain form that unit_text_plain() gives. Several in one text are
 * parted by "|".
 */
#ifndef MEASURE_UNIT_TABLE_H
#define MEASURE_UNIT_TABLE_H

#include <stdbool.h>
#include <stddef.h>

/* What converts into what. The base unit of each stands beside it. */
enum unit_dimension {
    DIMENSION_NUMBER,             /* 1 */
    DIMENSION_COUNT,              /* count */
    DIMENSION_MASS_CONCENTRATION, /* kg/m3 */
    DIMENSION_MASS_FRACTION,      /* kg/kg, of flesh */
    DIMENSION_SETTLED,            /* mL/L, of solids that settle */
    DIMENSION_AMOUNT_VOLUME,      /* mol/m3 */
    DIMENSION_AMOUNT_MASS,        /* mol/kg */
    DIMENSION_MASS,               /* kg */
    DIMENSION_MASS_FLOW,          /* kg/s */
    DIMENSION_MASS_PER_YEAR,      /* kg a calendar year: years differ in length */
    DIMENSION_VOLUME,             /* m3 */
    DIMENSION_VOLUME_FLOW,        /* m3/s */
    DIMENSION_LENGTH,             /* m */
    DIMENSION_AREA,               /* m2 */
    DIMENSION_SPEED,              /* m/s */
    DIMENSION_TIME,               /* s */
    DIMENSION_ENERGY,             /* kWh */
    DIMENSION_TEMPERATURE,        /* degC */
    DIMENSION_TEMPERATURE_RISE,   /* degC: a difference, which has no offset */
    DIMENSION_PRESSURE,           /* Pa */
    DIMENSION_CONDUCTIVITY,       /* S/m */
    DIMENSION_SALINITY,           /* PSU */
    DIMENSION_PH,                 /* pH */
    DIMENSION_NTU,                /* NTU */
    DIMENSION_FNU,                /* FNU */
    DIMENSION_CELLS_VOLUME,       /* cells/mL, of algae */
    DIMENSION_CFU_VOLUME,         /* CFU/100 mL */
    DIMENSION_MPN_VOLUME,         /* MPN/100 mL */
    DIMENSION_CFU_MASS,           /* CFU/100 g */
    DIMENSION_MPN_MASS,           /* MPN/100 g */
    DIMENSION_OTHER,              /* defined by a farm: udunits2 knows what it converts into */
};

/* In the base unit of its dimension a value is value * factor + offset. */
struct unit_row {
    const char *name; /* canonical */
    enum unit_dimension dimension;
    const char *factor;    /* as exact_from_text() reads it */
    const char *offset;    /* NULL: 0 */
    const char *library;   /* for udunits2, which reads our words of unit_library_words too */
    const char *any_case;  /* spellings in upper, lower or mixed case; the name is one of them */
    const char *as_is;     /* spellings in which the case tells units apart; NULL none */
    const char *only_here; /* in any case, where the parameter is of this dimension; NULL none */
};

/* By position: NULL at the end. */
const struct unit_row *unit_row_at(size_t position);

/* Words that are base units to us and that udunits2 is told of; ended by NULL. */
extern const char *const unit_library_words[];

struct unit_refusal {
    const char *spellings; /* in any case */
    const char *hint;
};

/* By position: NULL at the end. */
const struct unit_refusal *unit_refusal_at(size_t position);

/* Whether udunits2 takes this word for something else than people do. */
bool unit_word_is_trap(const char *word);

#endif
