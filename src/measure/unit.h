/*
 * Units: what people write, what it means, and exact conversion.
 *
 * A table of our own says which spellings are units ("mg/l", "MG/L", "g m-3", "S.U.") and gives
 * each an exact factor. udunits2 never sees what a user wrote: it reads "gal" as the galileo,
 * "ppt" as parts per trillion, "pH" as the picohenry and "mg/L as N" as a product with the
 * newton. It is asked about units that a farm defines for itself, and a test holds our factors
 * against it.
 *
 * A unit has a canonical name, which is what is stored: "mg/L", "CFU/100 mL", "degC".
 *
 * A difference of temperatures has units of its own, "degC rise" and "degF rise"
 * (temperature_rise.h): 1 degC more is not 1 degC. Counts of bacteria by different methods (CFU,
 * MPN) and turbidities by different optics (NTU, FNU) never convert into one another.
 */
#ifndef MEASURE_UNIT_H
#define MEASURE_UNIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/exact.h"
#include "base/macro.h"
#include "measure/parameter.h"

struct units; /* the table, loaded; udunits2 behind it */
struct unit;  /* lives as long as its units */

/*
 * Load the table and udunits2's own data. One a program; after unit_define() calls are over
 * it may be read by several threads.
 *
 * ERR_BUG: udunits2's data can't be read (the package libudunits2-data is missing).
 */
MUST_CHECK bool units_load(struct units **out, struct err *err);
void units_free(struct units **units); /* for CLEANUP; fine on NULL */

/* "mg/L": as stored and shown. */
const char *unit_name(const struct unit *unit);

/*
 * The unit of that canonical name, no other spelling; NULL when there is none. For what comes
 * back from the store.
 */
const struct unit *unit_named(const struct units *units, const char *name);

/* What a spelling says. */
struct unit_reading {
    const struct unit *unit;
    const char *basis; /* "as N" in "mg/L as N" or "mg N/L"; NULL when the spelling names none */
};

/*
 * What a person or a laboratory wrote as a unit. With a parameter, words that mean a unit only
 * there are understood ("ppt" for salinity, "%" always), the unit must be one the parameter
 * allows, and a basis in the spelling must be the parameter's own. `parameter` may be NULL.
 *
 * ERR_NOT_FOUND: no such unit; the hint has the nearest spelling, or says why this one is not
 *                taken.
 * ERR_INVALID:   a unit, but not of this parameter, or of another basis.
 */
MUST_CHECK bool unit_read(const struct units *units, const char *text,
                          const struct parameter *parameter, struct unit_reading *out,
                          struct err *err);

/* unit_read() for those who need the unit alone. */
MUST_CHECK bool unit_find(const struct units *units, const char *text,
                          const struct parameter *parameter, const struct unit **out,
                          struct err *err);

/*
 * Take a unit that is not in our table from udunits2, for parameters that a farm defines for
 * itself: letters, digits, ".", "/", "^" and "-" only, as "umol/L" or "W.m-2". Words that
 * udunits2 understands in another way than people do are refused. The same text again gives the
 * same unit; a spelling of our own table gives that one.
 *
 * ERR_INVALID: udunits2 doesn't know it, or it is refused.
 */
MUST_CHECK bool unit_define(struct units *units, const char *text, const struct unit **out,
                            struct err *err);

bool unit_convertible(const struct unit *from, const struct unit *to);

/*
 * How values get from one unit to another: value * scale + offset. Exact between units of our
 * table; with `is_exact` false the result is worked out in double and brought to 12 digits.
 */
struct unit_conversion {
    const struct exact *scale;
    const struct exact *offset;
    bool is_exact;
    bool is_same; /* scale 1, offset 0 */
    double scale_double;
    double offset_double;
};

/* Worked out once for a pair, applied many times. ERR_INVALID: the units don't convert. */
MUST_CHECK bool unit_conversion(const struct units *units, struct arena *mem,
                                const struct unit *from, const struct unit *to,
                                struct unit_conversion *out, struct err *err);

const struct exact *unit_apply(struct arena *mem, const struct unit_conversion *conversion,
                               const struct exact *value);

/* For charts and sensor tests only; never compared with a bound. */
double unit_apply_double(const struct unit_conversion *conversion, double value);

/* Both in one, for a single value. */
MUST_CHECK bool unit_convert(const struct units *units, struct arena *mem, const struct unit *from,
                             const struct unit *to, const struct exact *value,
                             const struct exact **out, struct err *err);

/* Canonical names by position, for help and lists: NULL at the end. */
const char *unit_at(const struct units *units, size_t position);

/*
 * What udunits2 by itself says of a pair: false when it does not convert. For the test that
 * holds our table against it, and for units it alone knows.
 */
bool unit_library_conversion(const struct units *units, const struct unit *from,
                             const struct unit *to, double *scale, double *offset);

#endif
