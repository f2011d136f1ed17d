/*
 * Reading store: readings in, by COPY, and out again as evidence.
 *
 * Two ways in (DEVELOPERS.md, "Taking in"): straight, when nothing stored lies where they go;
 * else staged, where every row gets its answer: stored, known already, or set aside.
 */
#ifndef STORE_READING_STORE_H
#define STORE_READING_STORE_H

#include "base/decimal.h"
#include "db/db.h"

/* A reading as it is stored; numbers are kept by their digits. */
struct reading_row {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion; /* 0: no sample */
    double value;    /* canonical unit; NaN for a not-detected */
    int64_t receipt;
    int32_t line;
    int32_t column;
    bool in_doubt;
    char qualifier;
    struct decimal reported; /* nothing with qualifier 'n' */
    const char *unit;
};

/* Detection limits, why a reading is in doubt, and who read it. */
struct reading_note {
    struct decimal detection; /* coefficient 0: not told */
    struct decimal quantitation;
    const char *doubt;    /* or NULL */
    const char *taken_by; /* of a reading without a sample, which says it itself; or NULL */
};

/* Make sure the months of a span can hold readings; in a transaction of its own. */
MUST_CHECK bool reading_store_partitions(struct db_tx *tx, instant first, instant last,
                                         struct err *err);

/* Whether any of these series has a stored reading in first..last. `series`: "{1,2,3}". */
MUST_CHECK bool reading_store_any(struct db_tx *tx, const char *series, instant first, instant last,
                                  bool *found, struct err *err);

/* Straight in: begin, put rows, db_copy_end(). */
MUST_CHECK bool reading_store_copy(struct db_tx *tx, struct db_copy *copy, struct err *err);
void reading_store_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row);

MUST_CHECK bool reading_store_note_copy(struct db_tx *tx, struct db_copy *copy, struct err *err);
void reading_store_note_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row,
                            const struct reading_note *note);

/* Keep what the copies of notes brought; once, at the end. */
MUST_CHECK bool reading_store_note_settle(struct db_tx *tx, struct err *err);

/* Staged: the same, then reading_store_settle(). */
MUST_CHECK bool reading_store_stage(struct db_tx *tx, struct db_copy *copy, struct err *err);
void reading_store_stage_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row,
                             const struct reading_note *note);

struct settle_counts {
    int64_t stored;
    int64_t already_known;
    int64_t set_aside;
};

/* What is known of the staged rows before each has its answer. */
struct settle_order {
    const char *series; /* "{1,2,3}": those they are of */
    instant first;      /* the span they lie in, both included */
    instant last;
    int64_t rows;
    bool noted;     /* some of them have detection limits or are in doubt */
    bool each_once; /* no two of them speak of the same thing */
    bool set_aside; /* what contradicts; else those rows are set aside already and stay so */
};

/*
 * Give every staged row its answer, store what is new and set aside what contradicts.
 *
 * ERR_CONFLICT: somebody else stored one of them in the meantime.
 */
MUST_CHECK bool reading_store_settle(struct db_tx *tx, const struct settle_order *order,
                                     struct settle_counts *out, struct err *err);

/* The staged rows that were stored, in the order of the file. */
typedef bool (*reading_each)(void *context, const struct reading_row *row, struct err *err);
MUST_CHECK bool reading_store_staged(struct db_tx *tx, reading_each each, void *context,
                                     struct err *err);

/*
 * Instants of a series' last reading before first and first one at or after until, within 400
 * days; INSTANT_NONE where there is none. For states and counters, which reach over.
 */
MUST_CHECK bool reading_store_neighbours(struct db_tx *tx, int64_t series_id, instant first,
                                         instant until, instant *before, instant *after,
                                         struct err *err);

/*
 * The oldest of the `most` newest instants at which a series has a reading, and how many were
 * found. INSTANT_NONE and 0: none.
 */
struct reading_newest {
    int64_t series_id;
    size_t most;
    instant oldest;
    size_t found;
};

/* Fill in what was found of some series before `first`, within ten years; none found as yet. */
MUST_CHECK bool reading_store_newest(struct db_tx *tx, struct arena *mem,
                                     struct reading_newest *items, size_t count, instant first,
                                     struct err *err);

/* What was told beside a reading. */
struct reading_told {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion;
    struct decimal detection; /* in the reading's own unit; coefficient 0: not told */
    struct decimal quantitation;
    const char *doubt;    /* or NULL */
    const char *taken_by; /* or NULL */
};

struct reading_tolds {
    struct reading_told *items;
    size_t count;
};

/* Of readings with first <= at < until, in order of series, time and portion. */
MUST_CHECK bool reading_store_notes(struct db_tx *tx, struct arena *mem, instant first,
                                    instant until, struct reading_tolds *out, struct err *err);

struct portion_row {
    int64_t portion;
    const char *sample;
    const char *replicate; /* "" where there is one portion */
    const char *purpose;
    const char *taken_by; /* or NULL */
};

struct portion_rows {
    struct portion_row *items;
    size_t count;
};

/* Samples taken in a span, sorted by the number their readings carry. */
MUST_CHECK bool reading_store_portions(struct db_tx *tx, struct arena *mem, instant first,
                                       instant until, struct portion_rows *out, struct err *err);

/* What is stored for a station and parameter at one instant. */
struct reading_found {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion;
    char qualifier;
    const char *reported;
    const char *unit;
    bool left_out;
    int64_t receipt;
    int32_t line;
    const char *made_by;
    const char *sample;   /* or NULL */
    const char *position; /* "" none */
};

struct reading_founds {
    struct reading_found *items;
    size_t count;
};

MUST_CHECK bool reading_store_at(struct db_tx *tx, struct arena *mem, const char *station,
                                 const char *parameter, instant at, struct reading_founds *out,
                                 struct err *err);

/* First and last instant that any receipt stored; INSTANT_NONE for none. */
MUST_CHECK bool reading_store_span(struct db_tx *tx, instant *first, instant *last,
                                   struct err *err);

#endif
