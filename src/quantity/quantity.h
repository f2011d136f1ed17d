/*
 * Quantity: what a person can have worked out, one row each: the word people say, what has to be
 * given, the equation with its publication, where it holds, and the function that does it. The
 * formulas are those of measure/ and stat/; nothing is calculated here that they have.
 *
 * The rows stand in one table a family (quantity_water.c, quantity_oxygen.c, ...). Lists, help,
 * errors and answers all come from the row.
 *
 *     const struct quantity *quantity = quantity_find("practical salinity");
 *     struct quantity_given given[] = {{"conductivity", "50 mS/cm"}, {"temperature", "68 degF"}};
 *     struct quantity_asked *asked;
 *     struct quantity_answer answer;
 *
 *     if (!quantity_ask(mem, units, quantity, given, 2, &asked, err) ||
 *         !quantity_work_out(mem, asked, &answer, err))
 *         return false;
 */
#ifndef QUANTITY_QUANTITY_H
#define QUANTITY_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/exact.h"
#include "base/macro.h"
#include "measure/unit.h"
#include "stat/censored_value.h"

enum {
    QUANTITY_INPUTS_MOST = 12,
    QUANTITY_FIGURES_MOST = 10,
    QUANTITY_VALUES_MOST = 100000, /* in one list */
    QUANTITY_TEXT_MOST = 1000000,  /* bytes of one input */
};

/* What stands behind "name=". */
enum quantity_kind {
    QUANTITY_NUMBER,  /* a number, with or without a unit */
    QUANTITY_NUMBERS, /* numbers parted by commas; one unit for all may stand at the end */
    QUANTITY_RESULTS, /* the same, and a number may be a less-than: 3.2,1.7,<2 */
    QUANTITY_WORD,    /* one of a few words */
};

struct quantity_input {
    const char *name; /* "temperature" */
    enum quantity_kind kind;

    /*
     * What a bare number is in; "" for a pure number. NULL: any unit or none, the same for all such
     * inputs of the row, and the answer is in it too.
     */
    const char *unit;

    /* What stands when it is not given, as a person would write it. NULL: it has to be given.
     * "": it may be left out, and the row does without. */
    const char *otherwise;

    const char *about; /* a few words, or NULL */

    /* The words by position, NULL at the end; what each means may be NULL. */
    const char *(*word_at)(size_t position, const char **means);
};

/* One figure of an answer. */
struct quantity_figure {
    const char *name;
    const char *unit; /* "" for a pure number, NULL for the unit of the inputs without one */
    int digits;       /* significant figures that people are shown */
};

/* A figure's value. */
struct quantity_value {
    bool known;                /* false: not part of this answer */
    char qualifier;            /* '=', '<' or '>' */
    double number;             /* may be infinite: no end */
    const struct exact *exact; /* the same where it is exact or brought to 12 figures; or NULL */
};

struct quantity_asked;
struct quantity_answer;

struct quantity {
    const char *word;     /* "practical salinity" */
    const char *equation; /* its name, and how it goes where that fits a line */
    const char *source;   /* the publication; where it was not at hand measure/unseen.h says so */
    const char *range;    /* where it holds, in words */
    const char *caution;  /* where it can hurt someone; or NULL */
    const char *example;  /* inputs for one line of help: "conductivity=45 temperature=18" */
    struct quantity_input inputs[QUANTITY_INPUTS_MOST + 1];    /* ended by a name of NULL */
    struct quantity_figure figures[QUANTITY_FIGURES_MOST + 1]; /* the first is the answer */
    bool (*work_out)(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err);
};

struct quantity_family {
    const char *word; /* "sea and fresh water" */
    const struct quantity *rows;
    size_t count;
};

/* By position: NULL at the end. */
const struct quantity_family *quantity_family_at(size_t position);

/* In capitals or not, with blanks or hyphens. NULL when there is none of that word. */
const struct quantity *quantity_find(const char *word);

/* The same for a word that a person typed: ERR_NOT_FOUND, with those near in the hint. */
MUST_CHECK bool quantity_require(struct arena *mem, const char *word, const struct quantity **out,
                                 struct err *err);

/* The family that a row stands in. */
const struct quantity_family *quantity_family_of(const struct quantity *quantity);

/* What somebody gave: the parts of "temperature=68 degF". */
struct quantity_given {
    const char *name;
    const char *text;
};

/* One input, read. */
struct quantity_input_value {
    bool there;       /* given, or by the row's own `otherwise` */
    bool given;       /* by the person */
    const char *text; /* as it was written: "68 degF" */
    const char *unit; /* of a number or list without a unit, that which it is in; else "" */

    /* of QUANTITY_NUMBER and QUANTITY_NUMBERS, in the row's unit */
    double number;
    const struct exact *exact;
    const double *numbers;
    size_t count;

    const struct censored_value *results; /* of QUANTITY_RESULTS; count as above */
    size_t word;                          /* of QUANTITY_WORD */
};

/* All inputs of a row, read: one for each of its inputs, in their order. */
struct quantity_asked {
    const struct quantity *quantity;
    struct quantity_input_value values[QUANTITY_INPUTS_MOST];
    const char *own_unit; /* of the inputs without a unit of their own; "" where none was said */
    struct units *units;
};

/*
 * Read what was given for a row. A unit that is not in the unit table may be defined in `units`.
 *
 * ERR_INVALID: an input that the row doesn't have, that is given twice, missing, no number, a word
 *              it can't be or of another unit: the text names the input and what was expected, the
 *              hint says what to do.
 */
MUST_CHECK bool quantity_ask(struct arena *mem, struct units *units,
                             const struct quantity *quantity, const struct quantity_given *given,
                             size_t count, struct quantity_asked **out, struct err *err);

struct quantity_answer {
    struct quantity_value figures[QUANTITY_FIGURES_MOST]; /* as the row lists them */

    /* The row's own, or those that the inputs chose. */
    const char *equation;
    const char *source;
    const char *range;

    const char *note; /* what else a person has to know about this answer; or NULL */
};

/* ERR_INVALID: the inputs lie outside the equation's range, or don't go together. */
MUST_CHECK bool quantity_work_out(struct arena *mem, const struct quantity_asked *asked,
                                  struct quantity_answer *out, struct err *err);

/* The unit of a figure of this answer: "" for a pure number. */
const char *quantity_figure_unit(const struct quantity_asked *asked, size_t figure);

/*
 * A figure in another unit. ERR_NOT_FOUND, ERR_INVALID: no such unit, or the figure is not one that
 * can be told in it.
 */
MUST_CHECK bool quantity_figure_in(struct arena *mem, const struct quantity_asked *asked,
                                   size_t figure, const struct quantity_value *value,
                                   const char *unit, struct quantity_value *out, struct err *err);

/* "34.23", "<3.0", "no end": with so many significant figures; 12 are all there are. */
const char *quantity_value_text(struct arena *mem, const struct quantity_value *value, int digits);

#endif
