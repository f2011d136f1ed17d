/* A visit and an instrument as the command line tells them. */
#ifndef CLI_VISIT_WORDS_H
#define CLI_VISIT_WORDS_H

#include "app/probe_book.h"
#include "cli/cli.h"

/* The number of a visit as typed. */
MUST_CHECK bool visit_number(const char *typed, int *out, struct err *err);

/* "oxygen: found failed, left good; to be added -0.42 mg/L for fouling and 0.2 for drift; ..." */
const char *visit_outcome_words(struct arena *mem, const struct probe_check_row *check);

void visit_say(struct cli *cli, const struct probe_book *book, const struct probe_visit_row *row);
void visit_json(struct cli *cli, struct json_writer *json, const struct probe_visit_row *row);

/* "probe-4, fixed probe at outlet: Oxygen probe, serial number PX-4471" */
const char *instrument_words(struct arena *mem, const struct farm_instrument *instrument);

/* How it stands now: "good", "in doubt: ...", "not in use". */
const char *track_state(struct arena *mem, const struct probe_book *book,
                        const struct probe_track *track, instant now);

#endif
