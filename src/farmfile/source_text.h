/*
 * Source text: a guessed source as the lines of a farm file.
 *
 * Where a question is open its key stands with nothing behind it and the question's number as a
 * remark, so that the farm file is refused at that very place until it is answered.
 */
#ifndef FARMFILE_SOURCE_TEXT_H
#define FARMFILE_SOURCE_TEXT_H

#include "ingest/sniff_guess.h"

/* One item of the list `sources:`, indented by two, to be pasted there. */
char *source_text(struct arena *mem, const struct sniff_guess *guess);

#endif
