/*
 * Source clock: the words for a clock, in a farm file and in a file's own column of clocks.
 */
#ifndef INGEST_SOURCE_CLOCK_H
#define INGEST_SOURCE_CLOCK_H

#include "ingest/source.h"

/*
 * "local", "UTC" (in either case) or an offset of at most 14 hours as "+12:00" or "-03:30"; false
 * for anything else. *offset_s is 0 but for an offset.
 */
bool source_clock_parse(const char *text, enum source_clock *clock, int *offset_s);

/* What a cell of the clock column says, by the source's words or as it stands. */
bool source_clock_of_cell(const struct source *source, const char *cell, enum source_clock *clock,
                          int *offset_s);

#endif
