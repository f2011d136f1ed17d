/*
 * Watch findings: what tanks and intakes find in a month, beside limits and sampling (findings.h).
 *
 * - A pump stop in which oxygen came nearer to the farm's own floor than its margin: one a tank
 *   and day, of the stop that came nearest. A reading in doubt counts, and is said to be.
 * - A fall of a station's salinity by more than the farm's own amount within its own time: one an
 *   unbroken run of days, of the largest fall on its first. It needs no rain to be known. Salinity
 *   that is worked out, as from conductivity, counts as what is read.
 */
#ifndef APP_WATCH_FINDINGS_H
#define APP_WATCH_FINDINGS_H

#include "app/open_farm.h"
#include "store/verdict_store.h"

/* Those of the days from..to added to `rows`, which live in mem. */
MUST_CHECK bool watch_findings_add(struct db_tx *tx, struct arena *mem,
                                   const struct open_farm *farm, day_number from, day_number to,
                                   instant now, struct finding_rows *rows, struct err *err);

#endif
