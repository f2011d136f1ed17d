/*
 * Evidence: what a judgement rests on, as plain values. app/ fills it from the store; tests write
 * it by hand. Nothing here knows a database.
 */
#ifndef JUDGE_EVIDENCE_H
#define JUDGE_EVIDENCE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/decimal.h"
#include "base/instant.h"
#include "base/zone.h"
#include "measure/parameter.h"
#include "measure/unit.h"

enum qualifier {
    QUALIFIER_NONE = '=',
    QUALIFIER_LESS = '<',
    QUALIFIER_GREATER = '>',
    QUALIFIER_NOT_DETECTED = 'n', /* and no detection limit told: `reported` means nothing */
};

/* Where a reading came from: enough for a person to find it. */
struct origin {
    int64_t receipt;
    int32_t line;
    int32_t column;
};

struct reading_beside;

struct evidence_reading {
    instant at;
    instant until; /* equal to at for an instant */
    char qualifier;
    struct decimal reported;
    const char *unit;         /* as stored: a name unit_find knows; of a state, its word */
    const char *doubt;        /* why it is in doubt, or NULL */
    const char *left_out;     /* why a person left it out, or NULL: never counts, always listed */
    bool corrected;           /* `reported` is a correction; the first value is in the record */
    const char *corrected_by; /* the visit to its probe that proved it; NULL: a person did */
    bool counts;           /* false: a check sample or the authority's own: shown, never counted */
    const char *sample;    /* the sample's number, or NULL */
    const char *replicate; /* which portion of it, or NULL */
    const char *taken_by;  /* as the row named them, or NULL */
    bool looks_for_cause;  /* its sample's purpose */
    /* In the reading's own unit; coefficient 0: not told. */
    struct decimal detection;
    struct decimal quantitation;
    /* Of a derived reading: what it was worked out from; else NULL. */
    const struct derived_input *inputs;
    size_t input_count;
    const struct reading_beside *beside; /* beside.h; NULL: nothing */
    struct origin origin;
    /* What was stored first, digit for digit; the same as above where nobody corrected it. Of a
       derived reading: the digits that are shown, where all of them are judged. */
    char first_qualifier;
    struct decimal first_reported;
    const char *first_unit;
};

/* What an equation was told beside readings: "zero at", "0.12". */
struct derived_setting {
    const char *name;
    const char *value;
};

/* How derived readings were worked out: all that it takes to do so again. */
struct derived_by {
    const char *key;        /* the farm's own name for it */
    const char *equation;   /* its word: "v-notch-90-cone" */
    const char *words;      /* for people, with its source and what the settings chose */
    const char *unit;       /* of what the equation gives */
    int figures;            /* significant ones that are shown of it, in the unit of the reading */
    const char *from_basis; /* of the first input's parameter, and of the one made: "as N" or "" */
    const char *made_basis;
    const struct derived_setting *settings;
    size_t setting_count;
};

/* A reading that a derived one was worked out from. */
struct derived_input {
    const char *as; /* what it is in the equation: "temperature" */
    const char *station;
    const char *parameter;
    const char *unit;
    struct decimal value;
    struct decimal shown; /* the same, of a derived one in the digits that are shown */
    instant at;
    instant until;
    char qualifier;              /* enum qualifier */
    const char *doubt;           /* why it is in doubt, or NULL */
    const struct derived_by *by; /* where it was itself worked out, from `inputs`; else NULL */
    const struct derived_input *inputs;
    size_t input_count;
    struct origin origin;
};

/* A visit to the instrument that took readings of a series. */
struct evidence_check {
    int visit; /* its number */
    instant at;
    bool left_good;    /* readings after it rest on it */
    const char *words; /* who, in which standards, what it came to */
};

/* Readings that may be compared with each other, in order of time. */
struct evidence_series {
    const char *station;
    const char *position; /* NULL: none */
    const char *parameter;
    const char *method;          /* NULL: not told */
    const char *made_by;         /* instrument or laboratory, or NULL */
    unsigned kind;               /* one of enum limit_kinds */
    const struct derived_by *by; /* of a derived series: how it was worked out; else NULL */
    const char *instrument;      /* on record, with its serial number; NULL: it is not on record */
    const struct evidence_check *checks; /* of it, from the last good one before the span on */
    size_t check_count;
    const struct evidence_reading *readings;
    size_t count;
};

/*
 * A row set aside that could belong here. Its value or unit may be unreadable: then `has_value`
 * or `unit` say so, and it is tried in every unit the parameter allows. A field that could not
 * be read is NULL (station, parameter) or INSTANT_NONE (at) and fits anything.
 */
struct evidence_set_aside {
    const char *station;
    const char *parameter;
    instant at;
    bool has_value;
    char qualifier;
    struct decimal value;
    const char *unit; /* NULL: not readable */
    const char *reason;
    unsigned kind;     /* one of enum limit_kinds; 0: by `from_probe`, of whatever kind else */
    const char *place; /* for people, where a line does not say it: "sheet Results, row 14" */
    bool from_probe;   /* with no number at all: a gap for a probe, not assessable for a sample */
    bool all_read; /* of a derived reading not given: nothing lacked, so that it is no gap either */
    /*
     * Rows of one sample portion, series and instant that contradict each other have the same words
     * here, and one of their values at most is true. NULL: it contradicts none of its file.
     */
    const char *contradicts;
    bool beside_stored; /* it contradicts what is stored of its station, parameter and instant */
    /* Of a derived reading that was not given: the equation, and what was found to go in. */
    const struct derived_by *by;
    const struct derived_input *inputs;
    size_t input_count;
    struct origin origin;
};

/* A laboratory's or instrument owner's accreditation, as the farm has it on record. */
struct evidence_accreditation {
    const char *made_by; /* as the series names it */
    const char *number;
    const char *parameter; /* NULL: every one */
    const char *method;    /* NULL: every one */
    day_number from;
    day_number to; /* last day, or DAY_NONE */
};

/* A tide table that the farm brought in: high and low waters in order of time. */
struct tide {
    instant at;
    bool is_high;
};

struct evidence_tides {
    const char *key;
    const struct tide *tides;
    size_t count;
};

enum discharge_state {
    DISCHARGE_YES,  /* something says it discharged */
    DISCHARGE_NONE, /* the outlet was shut all day, the counter did not move, or a person says so */
    DISCHARGE_UNKNOWN,   /* nothing known: counts as discharging */
    DISCHARGE_DISAGREES, /* two of these disagree: counts as discharging, and is a finding */
};

struct discharge_day {
    day_number day;
    enum discharge_state state;
    const char *because; /* words: "outlet shut all day", "counter did not move" */
    /* By a row set aside it may not count, or count, otherwise than its state says; NULL: none. */
    const char *doubt;
};

struct evidence {
    const struct zone *zone;
    instant now; /* what "the period still runs" is measured by */
    const struct units *units;
    const struct parameter_list *parameters; /* the farm's own beside the built-in ones */
    const struct evidence_series *series;
    size_t series_count;
    const struct evidence_set_aside *set_aside;
    size_t set_aside_count;
    /* For the licence's discharge point: one row a day over at least the period; may be empty. */
    const struct discharge_day *days;
    size_t day_count;
    /*
     * Series index of the outlet's record for the clause's station, or -1. Each reading's `unit`
     * is "open" or "shut" and holds until the next one. A sample taken while the outlet is shut
     * is kept and is no sample of the discharge.
     */
    int outlet_series;
    const char *outlet_station; /* where that record is kept, also while it is empty; or NULL */
    const char *outlet_parameter;
    int state_holds_s; /* after this long without a new one a state is unknown; 0: it holds on */
    const struct evidence_accreditation *accreditations;
    size_t accreditation_count;
    const struct evidence_tides *tide_tables;
    size_t tide_table_count;
    /* Size and multiplier of counters: by station and parameter. */
    const struct evidence_counter *counters;
    size_t counter_count;
    /* First day on which the licence has ended: the day after its last. DAY_NONE: it has not. */
    day_number licence_ends;
};

struct evidence_counter {
    const char *station;
    const char *parameter;
    /* Counts of one full turn (100000), or its highest reading (99999); coefficient 0: not on
     * record. */
    struct decimal size;
    struct decimal multiplier; /* canonical units per count */
    struct decimal
        most_per_day;     /* greatest possible flow in canonical units a day; 0: not on record */
    bool share_over_days; /* the clause allows sharing a difference over several days */
    /* When a meter was replaced: the instant of its last reading, of the new one's first, or both.
     */
    const instant *replaced_at;
    size_t replaced_count;
};

#endif
