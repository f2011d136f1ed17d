/*
 * Place values: the readings of a place (a station's parameter) over a span, as plain numbers in
 * one unit, for figures that advise and never judge. Limits are judged by exact amounts, with what
 * is in doubt weighed on both sides (judge/judge.h); here what is in doubt is counted and kept
 * apart, and the caller says so.
 *
 * Left out by a person, check samples and the authority's own never take part. What the farm works
 * out to be there (derive/derive.h) stands before what was read there in the same span.
 */
#ifndef APP_PLACE_VALUES_H
#define APP_PLACE_VALUES_H

#include "app/open_farm.h"
#include "store/series_store.h"

struct place_value {
    instant at;
    instant until; /* equal to at for an instant */
    double value;
    char qualifier; /* enum qualifier, never not detected: a `<X` has the value X */
    bool in_doubt;
};

struct place_values {
    struct place_value *items; /* in order of time */
    size_t count;
    size_t capacity;
    size_t in_doubt;  /* of them */
    size_t less_than; /* of them: a `<X` */
    size_t unread;    /* not among them: not detected without a limit, or a unit that can't be
                         turned */
};

/* A record of a state: its word holds until the next. */
struct place_state {
    instant at;
    const char *word;
    bool in_doubt;
};

struct place_states {
    struct place_state *items; /* in order of time */
    size_t count;
    size_t capacity;
};

/* A run of loads: the farm's series, asked for once. */
struct place_reader {
    struct db_tx *tx;
    struct arena *mem;
    const struct open_farm *farm;
    struct series_rows series;
};

MUST_CHECK bool place_reader_open(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                  struct place_reader *out, struct err *err);

/*
 * first <= at < until. All series of the place together; `unit` is a canonical name, NULL for the
 * parameter's own. A place without readings gives none.
 *
 * ERR_INVALID: the unit is not one that the parameter converts to.
 */
MUST_CHECK bool place_values_load(struct place_reader *reader, const struct farm_place *place,
                                  const char *unit, instant first, instant until,
                                  struct place_values *out, struct err *err);

/* The same, with the last one before the span and the first one after: for meters. */
MUST_CHECK bool place_values_load_around(struct place_reader *reader,
                                         const struct farm_place *place, const char *unit,
                                         instant first, instant until, struct place_values *out,
                                         struct err *err);

/* The state's record of the span and the last one before it, which may hold into it. */
MUST_CHECK bool place_states_load(struct place_reader *reader, const struct farm_place *place,
                                  instant first, instant until, struct place_states *out,
                                  struct err *err);

/* The readings of each series by itself, read and worked out, in its own unit and exactly:
 * judge/evidence.h. */
struct evidence_series;
MUST_CHECK bool place_series_load(struct place_reader *reader, const struct farm_place *place,
                                  instant first, instant until, struct evidence_series **out,
                                  size_t *count, struct err *err);

/* An amount of the farm file in a unit; 0 where it is not told. It must convert. */
double place_amount(const struct place_reader *reader, const struct farm_amount *amount,
                    const char *unit);

/*
 * How many rows wait set aside that belong, or may belong, to one of the places in first <= time <
 * until: what can't be read of a row may be anything. A place without a parameter is none.
 */
MUST_CHECK bool place_rows_waiting(struct place_reader *reader,
                                   const struct farm_place *const *places, size_t count,
                                   instant first, instant until, int *rows, struct err *err);

/* A plain mean, without what is in doubt. False where nothing is left. */
bool place_mean(const struct place_values *values, double *mean, size_t *readings);

/* "mean of 4 readings of total-nitrogen, 1 of them a less-than taken at its limit". */
char *place_rests_on(struct arena *mem, const struct place_values *values, const char *of);

#endif
