/*
 * The writing of units: bring what people type into one plain form, and part a basis from it.
 */
#ifndef MEASURE_UNIT_TEXT_H
#define MEASURE_UNIT_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/*
 * The plain form: micro signs become u, degree signs deg, raised digits plain ones, raised dots
 * a dot, the per mille sign the word permille; blanks around "/" go, others become one; " per "
 * becomes "/"; "^" and brackets around the whole go. Case stays.
 */
char *unit_text_plain(struct arena *mem, const char *text);

/* One way to take a plain text apart into a unit and a basis. */
struct unit_split {
    const char *unit;  /* "mg/L" */
    const char *basis; /* "as N"; NULL for oxygen as itself */
};

/*
 * The `nth` way, from 0; false when there are no more. "mg/L as N", "mg/L (as N)", "mg/L-N",
 * "mg N/L", "mg-N/L", "mgN/L", "mg/L NO3-N" all give "mg/L" and "as N" in one of them; whether
 * the unit is one is for the caller to see.
 */
bool unit_text_split(struct arena *mem, const char *plain, size_t nth, struct unit_split *out);

#endif
