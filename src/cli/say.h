/*
 * Words that several commands share.
 */
#ifndef CLI_SAY_H
#define CLI_SAY_H

#include "cli/cli.h"

/* "1 row", "2 rows". */
char *say_count(struct arena *mem, int64_t count, const char *one, const char *many);

/* 12345 as "12,345". */
char *say_number(struct arena *mem, int64_t number);

/* The farm's name, with the mark of an invented one. */
char *say_farm(struct arena *mem, const struct farm *farm);

/* A line as far as a terminal of 80 columns takes it, the rest indented below. */
void say_wrapped(FILE *out, const char *first, const char *indent, const char *text);

/* "note: ..." for each. */
void say_notes(FILE *out, const char *const *notes, size_t count);

/* "Next: ..." as the last line. Nothing when quiet. */
void say_next(const struct cli *cli, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Whether people read the answer: neither JSON nor quiet. */
bool say_aloud(const struct cli *cli);

/* An answer in JSON is written into `text`, then printed with its line end. */
void say_json(const struct cli *cli, const struct buf *text);

#endif
