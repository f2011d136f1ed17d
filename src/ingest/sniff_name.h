/*
 * Sniff name: what the names that loggers and laboratories give to columns usually mean. A name
 * that may mean two things gives both: nothing is chosen here.
 */
#ifndef INGEST_SNIFF_NAME_H
#define INGEST_SNIFF_NAME_H

#include "ingest/csv_header.h"
#include "measure/parameter.h"
#include "measure/unit.h"

/* The field of a row that a column of this name holds; CSV_FIELDS: none that is known. */
enum csv_field sniff_name_field(struct arena *mem, const char *name);

/* How much a name sounds like the time at which it was measured: 0 not at all, negative another. */
int sniff_name_time(struct arena *mem, const char *name);

enum { SNIFF_PARAMETERS_MOST = 8 };

/* What a name may be. */
struct sniff_parameters {
    const struct parameter *items[SNIFF_PARAMETERS_MOST];
    size_t count;
    const char *unit;  /* that the name itself tells ("DO_mgl"), or NULL */
    bool basis_untold; /* they are kept as N, or P, and the name does not say that it is */
};

/*
 * `unit` (NULL: not told) leaves only those that can be in it. `own` are the farm's parameters.
 */
struct sniff_parameters sniff_name_parameters(struct arena *mem, const struct units *units,
                                              const struct parameter_list *own, const char *name,
                                              const char *unit);

/*
 * Of several that a name may be, those that can be in one of the units that stand with it; all,
 * where none can. A unit that names the basis settles that too.
 */
void sniff_name_fit(const struct units *units, const char *const *words, size_t count,
                    struct sniff_parameters *may_be);

/* Those that can be in that unit, the farm's own first; *more: others that have no room. */
struct sniff_parameters sniff_name_by_unit(const struct units *units,
                                           const struct parameter_list *own, const char *unit,
                                           bool *more);

/* Whether a column of that name holds the flags of the column `of`: "F_Temp", "Temp flag". */
bool sniff_name_flags(struct arena *mem, const char *name, const char *of);

#endif
