/*
 * Quality findings: duplicates, replicates and blanks of a month that failed, one each, with the
 * values side by side. Opened and ended with the month's other findings (findings.h).
 */
#ifndef APP_QUALITY_FINDINGS_H
#define APP_QUALITY_FINDINGS_H

#include "app/open_farm.h"
#include "store/verdict_store.h"

/* Those of the days from..to added to `rows`, which live in mem. */
MUST_CHECK bool quality_findings_add(struct db_tx *tx, struct arena *mem,
                                     const struct open_farm *farm, day_number from, day_number to,
                                     instant now, struct finding_rows *rows, struct err *err);

#endif
