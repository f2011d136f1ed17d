/*
 * The farm file: YAML text in, a checked farm out. Every problem is found in one pass and named
 * with line and column, what was expected, and the nearest word for a misspelt one.
 */
#ifndef FARMFILE_FARMFILE_H
#define FARMFILE_FARMFILE_H

#include "farmfile/farm.h"
#include "measure/unit.h"

struct farmfile_problem {
    int line;
    int column;
    const char *words; /* what is wrong and what was expected: lower case, no full stop */
    const char *hint;  /* a sentence, or NULL */
};

struct farmfile_problems {
    struct farmfile_problem *items;
    size_t count;
    size_t capacity;
};

/*
 * Read a farm file. True with *out when it is sound. On problems: false, err says how many and
 * the first of them ("line 12, column 3: ..."), `problems` has them all in order of place.
 */
MUST_CHECK bool farmfile_read(struct arena *mem, const char *text, size_t length,
                              const struct units *units, const struct farm **out,
                              struct farmfile_problems *problems, struct err *err);

/*
 * The farm file in force, which an earlier version of the program may have accepted: as far as it
 * can be read. A limit that lacks what today's program asks for is there all the same
 * (`limit.lacks`). Where more than that is wrong `problem` is filled: such a farm can't be worked
 * with, only given a mended file. It may lack anything then, its zone too.
 */
const struct farm *farmfile_accepted(struct arena *mem, const char *text, size_t length,
                                     const struct units *units, struct err *problem);

/*
 * One limit or interval from its canonical text (a stored, older version of a clause). The text
 * was checked when it was stored: a failure is ERR_BUG.
 */
MUST_CHECK bool farmfile_limit(struct arena *mem, const char *definition, const struct farm *farm,
                               struct limit *out, struct err *err);
MUST_CHECK bool farmfile_interval(struct arena *mem, const char *definition,
                                  const struct farm *farm, struct interval *out, struct err *err);

/*
 * One source from its part of a farm file, a list of one item, as it would be read in the farm's own
 * file: its stations and parameters are those of `farm`, whose own sources play no part.
 *
 * ERR_INVALID: what the file would be refused for, with the first problem; `problems` has all.
 */
MUST_CHECK bool farmfile_source(struct arena *mem, const char *text, const struct farm *farm,
                                const struct units *units, struct source *out,
                                struct farmfile_problems *problems, struct err *err);

/* A farm of which nothing is known but the parameters that are built in. */
struct farm *farmfile_nothing_known(struct arena *mem);

#endif
