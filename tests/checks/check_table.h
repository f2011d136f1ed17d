/*
 * Check table: which of the program's functions answers for a name in a list of checks.
 *
 * Lists of checks name quantities in short ("SP", "O2sat_mg_L", "MPN_per_g_2sf") and their inputs
 * by symbols ("S=35;t68=15;p_dbar=0"). A row here says which quantity of src/quantity that is and
 * which input a symbol stands for; where a printed table goes beyond an equation's range, it is
 * the bare equation of src/measure. Nothing is calculated here.
 *
 * A name that is no row may be a quantity's own word, its inputs under their own names
 * ("head=0.3 ft;equation=v-notch-90-cone"), with two more: `figure`, which figure of the answer,
 * and `unit`, the unit it is told in.
 */
#ifndef CHECKS_CHECK_TABLE_H
#define CHECKS_CHECK_TABLE_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "measure/unit.h"
#include "quantity/quantity.h"

/*
 * ERR_NOT_FOUND: no such quantity. ERR_INVALID: inputs that can't be read, are missing, or that the
 * quantity refuses.
 */
MUST_CHECK bool check_answer(struct arena *mem, struct units *units, const char *quantity,
                             const char *inputs, struct quantity_value *out, struct err *err);

#endif
