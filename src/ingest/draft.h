/*
 * Drafts: rows of a file, resolved but not yet stored; and problems, rows that could not be
 * accepted, each with its place, a reason, and what to do.
 */
#ifndef INGEST_DRAFT_H
#define INGEST_DRAFT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/decimal.h"
#include "base/err.h"
#include "base/instant.h"
#include "measure/parameter.h"
#include "measure/unit.h"

enum { DRAFT_BATCH_MOST = 4096 };

/*
 * What makes values comparable. Drafts of one file share few of these: the reader keeps each
 * once and gives it a number from 0 in order of first appearance.
 */
struct draft_series {
    const char *station;
    const char *position;  /* "" none */
    const char *parameter; /* with its basis: parameters of different basis are different ones */
    const char *matrix;    /* "water", "flesh" */
    const char *method;    /* "" not told */
    const char *made_by;   /* instrument or laboratory, "" not told */
    const char *kind;      /* "probe", "grab", "composite", "by hand" */
};

struct draft {
    uint32_t series; /* number in the reader's series list */
    instant at;
    instant until;
    char qualifier; /* enum qualifier of judge/evidence.h */
    struct decimal reported;
    const char *unit; /* canonical name of the unit as stored, or the state word; lives as long as
                         the reader */
    double value;     /* in the parameter's canonical unit: for charts and sensor tests only */
    bool has_limits;
    struct decimal detection; /* in `unit`; coefficient 0 not told */
    struct decimal quantitation;
    const char *sample;    /* number, or NULL; lives until the batch callback returns */
    const char *replicate; /* or NULL */
    const char *purpose;   /* one of purpose_words (purpose.h), or NULL: required */
    const char *taken_by;
    const char *doubt; /* a flag column's word, or NULL */
    int32_t line;
    int32_t column; /* of the value cell, from 1 */
};

enum problem_reason {
    PROBLEM_TIME_UNREADABLE,
    PROBLEM_TIME_IMPOSSIBLE,   /* 31 February, 25:00 */
    PROBLEM_TIME_MISSING_HOUR, /* clocks jumped over it */
    PROBLEM_TIME_TWICE, /* the hour that comes twice, and the file does not run through it twice */
    PROBLEM_TIME_FUTURE,
    PROBLEM_TIME_TOO_OLD, /* before 1950 */
    PROBLEM_STATION_UNKNOWN,
    PROBLEM_PARAMETER_UNKNOWN,
    PROBLEM_UNIT_UNKNOWN,
    PROBLEM_UNIT_UNFIT, /* a known unit that the parameter can't be in */
    PROBLEM_VALUE_UNREADABLE,
    PROBLEM_STATE_UNKNOWN,
    PROBLEM_ROW_SHAPE,          /* too many cells, or broken quotes, or a cell that is too long */
    PROBLEM_BYTES,              /* not text in the charset told */
    PROBLEM_FLAGGED,            /* the file's own flag says the value may not be used */
    PROBLEM_CONTRADICTS_STORED, /* set by app/ */
    PROBLEM_CONTRADICTS_FILE,   /* set by app/: rows of this file contradict each other */
    PROBLEM_SAMPLE_CONTRADICTS_STORED, /* set by app/: taken elsewhere, by another, ... */
    PROBLEM_SAMPLE_CONTRADICTS_FILE,   /* set by app/: the same among rows of this file */
    PROBLEM_METER,                     /* reset or misread */
    PROBLEM_VALUE_IMPOSSIBLE,          /* below 0 or beyond where nothing can be */
    PROBLEM_PURPOSE_UNKNOWN,
    PROBLEM_ROW_CUT, /* it ends before its value, or the file ends in the middle of it */
    PROBLEM_REASONS
};

/* "time-unreadable" and so on: the stable word stored with a row set aside. */
const char *problem_reason_name(enum problem_reason reason);

/* A row (of a long file) or cell (of a wide one) that is set aside. Texts live until the callback
 * returns. */
struct problem {
    enum problem_reason reason;
    int32_t line;
    int32_t column;    /* of the cell at fault, from 1; 0 the whole row */
    const char *words; /* what is wrong, for people: "there is no unit 'mgl'" */
    const char *todo;  /* what to do: "Did you mean mg/L? ..." */
    const char
        *text; /* the row or cell as it stands in the file, at most PROBLEM_TEXT_MOST bytes */
    /* What could be read, for deciding whether it could belong to a clause; NULL or INSTANT_NONE
     * where not. */
    const char *station;
    const char *parameter;
    instant at;
    bool has_value;
    char qualifier;
    struct decimal value;
    const char *unit; /* only when readable */
    bool from_probe;
};

enum { PROBLEM_TEXT_MOST = 2000 };

struct row_typed;

/* What the reader knows of the farm. */
struct ingest_world {
    const char *const *stations; /* keys, sorted or not */
    size_t station_count;
    const struct parameter_list *parameters;
    const struct units *units;
    const struct zone *zone;
    instant received_at;
    const struct row_typed *typed; /* by a person, for one row (row_typed.h); NULL: nothing */
};

/* A sheet of a workbook, as it was read. */
struct ingest_sheet {
    int32_t number; /* from 0, as the workbook lists them */
    const char *name;
    bool hidden;
    bool taken;          /* false: no header, not asked for, or hidden and left */
    int64_t rows;        /* of data */
    int64_t hidden_rows; /* of them; or left out, where the source says so */
};

/*
 * Where a reader hands its batches. Arrays hold at most DRAFT_BATCH_MOST items and are reused
 * after the call. Returning false (err set) stops the reader.
 */
struct ingest_sink {
    void *context;
    bool (*drafts)(void *context, const struct draft *drafts, size_t count, struct err *err);
    bool (*problems)(void *context, const struct problem *problems, size_t count, struct err *err);
    /* A series was met for the first time; its number is the count of calls so far. */
    bool (*series)(void *context, const struct draft_series *series, struct err *err);
    /* A value that is blank: its row, and the column of its cell. NULL: not asked for. */
    bool (*blank)(void *context, int32_t line, int32_t column, struct err *err);
    /* A sheet of a workbook is at its end. NULL: not asked for. */
    bool (*sheet)(void *context, const struct ingest_sheet *sheet, struct err *err);
};

/* What a reader counted: of a long file rows, of a wide one cells. */
struct ingest_counts {
    int64_t values_in; /* = drafts + blank + problems */
    int64_t drafts;
    int64_t blank;
    int64_t problems;
    int64_t rows;          /* lines of data read */
    int64_t ignored_rows;  /* of them: of parameters that the source ignores; no values */
    int64_t ignored_cells; /* of columns that are not taken; counted where a sink asks for blanks */
    int64_t short_rows;    /* of them: with fewer cells than the header, the missing ones blank */
    const char *charset;   /* what the text turned out to be: one of charset_names; NULL not told */
    char separator;        /* of the cells; 0 where there is none */
    instant first_at;      /* of drafts; INSTANT_NONE when none */
    instant last_at;
};

#endif
