/*
 * Discharge: which days something was discharged, from the outlet's record, the meter and what
 * a person stated.
 *
 * A day is without discharge only when something says so: the outlet's record is shut all day,
 * the meter or the flow did not move, or a person stated that it was shut. Where nothing is
 * known, or two of these disagree, the day counts as discharging, and a disagreement is a
 * finding.
 *
 * - The outlet's record says that it was shut when it is known to be shut from the day's first
 *   instant to its last, and that it was open when any reading of the day, or the one that holds
 *   into it, says so. A reading in doubt can say that it was open, never that it was shut.
 * - What a person stated is a reading of the outlet's record as any other, of kind by hand; where
 *   it and another source disagree, the day does too.
 * - A row set aside that may be of the record, and may have said that it was open, leaves it open
 *   whether nothing was discharged: the day counts as discharging, and what is of it is in doubt.
 * So is what is of a day that would be without discharge if such a row had said that it was shut.
 * - A meter did not move when the day's difference is known, not shared out from several days,
 *   and 0. A flow did not move when every reading of the day is 0 and together they stand for all
 *   of it.
 */
#ifndef JUDGE_DISCHARGE_H
#define JUDGE_DISCHARGE_H

#include "judge/evidence.h"

/*
 * One row a civil day of from..to. `outlet` and `counter` are series indexes or -1; `counter` may
 * be a meter or a flow. A day that has not ended by the evidence's now is judged as far as it has
 * run; one that has not begun is not known.
 */
struct discharge_day *judge_discharge_days(struct arena *mem, const struct evidence *evidence,
                                           int outlet, int counter, day_number from, day_number to);

#endif
