/*
 * Nutrients of a month: what the water brought, what was added, what left by discharge, and what
 * is then kept (measure/nutrient_balance.h). Nitrogen, phosphorus, and solids by water alone.
 *
 * - Water brings and takes the mean concentration of the month at each intake and discharge times
 *   the volume of the month there. Samples taken while the outlet was shut don't count. A flow that
 * is not known for all of the month is not known.
 * - Additions count by their content and mass, shared by time where they go over an edge of the
 *   month. A fertiliser or feed without content or mass makes its term not known; so does a farm
 *   that never wrote an addition down: nothing on record is not nothing.
 * - What animals took out is not on record, and stays in what is kept.
 */
#ifndef APP_NUTRIENT_MONTH_H
#define APP_NUTRIENT_MONTH_H

#include "app/farm_flows.h"
#include "measure/nutrient_balance.h"
#include "store/addition_store.h"

enum nutrient { NUTRIENT_NITROGEN, NUTRIENT_PHOSPHORUS, NUTRIENT_SOLIDS, NUTRIENTS };

struct nutrient_figures {
    const char *name;      /* "nitrogen, as N" */
    const char *parameter; /* "total-nitrogen" */
    struct nutrient_month month;
    const char *rests_on[NUTRIENT_TERM_COUNT]; /* or why it is not known */
    struct nutrient_kept kept;
    const char *kept_words; /* what kept may be instead */
};

/* ERR_INVALID: the month has not begun. */
MUST_CHECK bool nutrient_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                    day_number month, instant now,
                                    struct nutrient_figures out[NUTRIENTS], struct err *err);

#endif
