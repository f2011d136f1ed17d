/*
 * Sniff when: which columns of an unknown file tell the time, how, and by what clock.
 */
#ifndef INGEST_SNIFF_WHEN_H
#define INGEST_SNIFF_WHEN_H

#include "ingest/sniff_guess.h"

/*
 * Fills the time, its format and the clock of the source, or asks for them.
 *
 * ERR_INVALID: no column tells a date; or an answer that can't be.
 */
MUST_CHECK bool sniff_when(struct sniffing *sniffing, struct err *err);

/* The clock, once the times can be read. */
MUST_CHECK bool sniff_clock(struct sniffing *sniffing, const struct time_format *format,
                            struct err *err);

#endif
