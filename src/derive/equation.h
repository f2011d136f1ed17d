/*
 * Equation: a way in which one reading is worked out from others, a row each: the word a farm
 * writes, what goes in and in which unit, which settings it asks for, what comes out, its
 * publication and its range. The formulas themselves are those of measure/.
 *
 * Digits. A clause's own rounding is the only one that counts: what an equation gives is judged
 * with twelve figures, more than the readings and the fit are good for. It is shown with the
 * significant figures that the equation's printed tables have and one more (a salinity of 35.000, a
 * density of 1024.763, a flow of 4 figures, an oxygen of 8.26), plain arithmetic (differences,
 * loads, shares, bases) with all of them.
 */
#ifndef DERIVE_EQUATION_H
#define DERIVE_EQUATION_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/exact.h"
#include "base/macro.h"
#include "measure/parameter.h"

/* What an equation is told beside readings. */
enum setting {
    SETTING_ALPHA,        /* of specific conductance, per degC */
    SETTING_NOTCH_ANGLE,  /* degrees */
    SETTING_CREST,        /* m */
    SETTING_CREST_HEIGHT, /* m above the channel's floor */
    SETTING_COEFFICIENT,  /* a weir's own */
    SETTING_HEAD_ADDED,   /* m, beside such a coefficient */
    SETTING_ZERO_AT,      /* the level in m at which nothing flows */
    SETTING_THROAT,       /* word: of a flume, "6 in" */
    SETTING_PRESSURE,     /* word: "local" or "sea level" */
    SETTING_ALTITUDE,     /* m */
    SETTING_AIR_PRESSURE, /* kPa */
    SETTING_SALINITY,     /* PSU */
    SETTING_DEPTH,        /* m under the surface: so many dbar of water above */
    SETTING_AMMONIA_FORM, /* word: a key of measure/ammonia */
    SETTING_PH_SCALE,     /* word: "NBS" or "total": of the readings */
    SETTING_COUNT,
};

#define SETTING_BIT(setting) (1U << (setting))

/* As the farm file writes it: "notch angle". */
const char *setting_name(enum setting setting);

struct settings {
    double number[SETTING_COUNT];    /* NAN: not told */
    const char *word[SETTING_COUNT]; /* NULL: not told */
};

struct settings settings_none(void);
bool settings_told(const struct settings *settings, enum setting setting);

/* How the result goes with an input while all others stay, over the whole of the range. */
enum direction { FALLS = -1, NOT_ONE_WAY = 0, RISES = 1 };

enum { EQUATION_INPUTS_MOST = 5, EQUATION_KEYS_MOST = 3, EQUATION_FIGURES_MOST = 12 };

struct equation_input {
    const char *as;   /* "temperature" */
    const char *unit; /* it is taken in; NULL: in the unit of the first parameter given */
    const char *keys[EQUATION_KEYS_MOST]; /* parameters that are it without being told so */
    enum direction direction;
    unsigned instead; /* settings, or-ed, that may stand in its place */
    bool optional;
};

/* One working out. */
struct equation_call {
    struct arena *mem;
    const struct settings *settings;
    const char *from_basis; /* of the first input's parameter, and of the one made: "as N" or "" */
    const char *made_basis;
    int64_t span_us; /* of the first reading; 0: of an instant */
    /* By position of the equation's inputs: NULL and NAN where not read. */
    const struct exact *exact[EQUATION_INPUTS_MOST];
    double number[EQUATION_INPUTS_MOST];
};

struct equation {
    const char *word;    /* "practical salinity" */
    const char *name;    /* for people, beside every figure */
    const char *formula; /* as a person reads it, or NULL */
    const char *source;
    const char *range; /* in words */
    const char *unit;  /* of what comes out; NULL: that of its inputs */
    int figures;       /* significant ones that are shown */
    unsigned needs;    /* settings, or-ed */
    unsigned takes;    /* beside them */
    struct equation_input inputs[EQUATION_INPUTS_MOST]; /* ended by `as` NULL */

    /* What else has to be right before the first reading; NULL: nothing. */
    bool (*check)(const struct equation_call *call, struct err *err);

    /* ERR_INVALID: outside the equation's range; the text says which and by how much. */
    bool (*work_out)(const struct equation_call *call, const struct exact **out, struct err *err);

    /* Its name with what the settings chose, for people; NULL: `name` and `source`. */
    char *(*words)(const struct equation_call *call);
};

/* By position: NULL at the end. */
const struct equation *equation_at(size_t position);

/* In either case, with blanks or hyphens. ERR_NOT_FOUND, with the nearest word in the hint. */
MUST_CHECK bool equation_find(const char *word, const struct equation **out, struct err *err);

size_t equation_input_count(const struct equation *equation);

/* The input of that word; -1: none. */
int equation_input_named(const struct equation *equation, const char *as);

/* The input that a parameter is without being told so; -1: none. */
int equation_input_of(const struct equation *equation, const char *parameter);

/* "practical salinity (PSS-78), UNESCO ...": what stands beside every figure. */
char *equation_words(const struct equation *equation, const struct equation_call *call);

#endif
