/*
 * Visit file: what a person writes down at a probe, as a small YAML file: what it read before and
 * after it was cleaned, in standards, beside a field meter, and what was done to it.
 *
 * Names in it are those of the farm file. Nothing here is judged or stored.
 */
#ifndef FARMFILE_VISIT_FILE_H
#define FARMFILE_VISIT_FILE_H

#include "farmfile/farmfile.h"
#include "trust/probe_check.h"

enum { VISIT_BYTES_MOST = 65536, VISIT_STANDARDS_MOST = 50 };

struct visit_standard {
    struct probe_standard read;
    const char *name;   /* "saturated air", or NULL */
    const char *meter;  /* a field meter's key: its reading is the standard; or NULL */
    const char *lot;    /* or NULL */
    day_number expires; /* last day, DAY_NONE */
    bool has_temperature;
    struct decimal temperature; /* degC */
};

/* Of one parameter, all in one unit. */
struct visit_readings {
    const char *parameter;
    const char *unit;  /* canonical name */
    const char *meter; /* key of the field meter beside it while it was cleaned, or NULL */
    struct probe_readings readings; /* its standards are those below */
    const struct visit_standard *standards;
};

struct visit_order {
    const char *instrument;
    instant at;
    const char *maintenance; /* what was done, or NULL */
    const char *note;        /* or NULL */
    const struct visit_readings *items;
    size_t count;
};

/* ERR_INVALID: it has problems; the list has all of them with their places. */
MUST_CHECK bool visit_file_read(struct arena *mem, const char *text, size_t length,
                                const struct farm *farm, const struct units *units,
                                struct visit_order *out, struct farmfile_problems *problems,
                                struct err *err);

/* The commonest visit, as typed on one line: the probe in one standard. */
struct visit_typed {
    const char *instrument;
    const char *parameter;
    instant at;
    const char *standard;
    const char *read;
    const char *after;   /* NULL: it was not calibrated */
    const char *unit;    /* NULL: the parameter's own */
    const char *name;    /* of the standard, or NULL */
    const char *lot;     /* or NULL */
    const char *expires; /* or NULL */
    const char *note;    /* or NULL */
};

/* ERR_INVALID or ERR_NOT_FOUND: a number, day, unit or parameter that can't be read. */
MUST_CHECK bool visit_typed_read(struct arena *mem, const struct farm *farm,
                                 const struct units *units, const struct visit_typed *typed,
                                 struct visit_order *out, struct err *err);

/* The parts of `readings` from its standards, for judging. */
void visit_readings_settle(struct arena *mem, struct visit_readings *readings,
                           const struct visit_standard *standards, size_t count);

#endif
