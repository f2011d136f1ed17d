/*
 * Farm: everything a farm file says, checked. Lists keep the order of the file.
 *
 * All texts live in the arena the farm was loaded into.
 */
#ifndef FARMFILE_FARM_H
#define FARMFILE_FARM_H

#include <stdbool.h>
#include <stddef.h>

#include "base/key_index.h"
#include "base/zone.h"
#include "farmfile/instrument.h"
#include "farmfile/quality.h"
#include "farmfile/works.h"
#include "ingest/source.h"
#include "judge/limit.h"
#include "measure/parameter.h"
#include "plan/interval.h"

/* Each item keeps its canonical text: JSON of its part of the file, for storing and comparing. */

struct farm_person {
    const char *key;
    const char *name;
    const char *position;
    unsigned may; /* enum person_may, or-ed */
    day_number since;
    day_number until;       /* last day, DAY_NONE while they stay */
    const char *on_word_of; /* who said so: a text */
    const char *definition;
};

enum person_may {
    MAY_READ = 1, /* take readings and bring in files */
    MAY_SAMPLE = 2,
    MAY_CALIBRATE = 4,
    MAY_CORRECT = 8, /* correct, leave out, confirm limits, change the farm file */
    MAY_SIGN = 16,
};

struct farm_authority {
    const char *key;
    const char *name;
    const char *decides;
    const char *call; /* how to reach it */
    const char *definition;
};

/* The authority's own name for one of our stations. */
struct farm_point {
    const char *station;
    const char *called; /* "Discharge point 1" */
    /* Of a discharge: what says whether it discharged; NULL where there is none. */
    const char *outlet_station; /* with parameter of kind state (open, shut) */
    const char *outlet_parameter;
    const char *meter_station; /* with a counter or flow parameter */
    const char *meter_parameter;
};

struct farm_licence {
    const char *key;
    const char *number;
    const char *title;
    const char *holder;
    const char *authority;
    day_number version; /* date of this version of the document */
    day_number ends;    /* last day, DAY_NONE */
    bool continued;     /* by a letter on record */
    const char *continued_by;
    int anniversary; /* month * 100 + day, 0 not told */
    day_number renewal_by;
    const char *certification; /* the text the farm typed */
    const char *signer;        /* person key */
    const struct farm_point *points;
    size_t point_count;
    const char *definition;
};

struct farm_position {
    const char *key;
    const char *name;
};

struct farm_station {
    const char *key;
    const char *name;
    const char *kind; /* intake, feed-pond, header-tank, tank, pond, discharge, overflow, ... */
    const struct farm_position *positions;
    size_t position_count;
    /* A fall of its salinity by more than this within so long is a finding: 0 where not told. */
    struct decimal salinity_fall; /* PSU */
    int salinity_fall_within_s;
    const char *definition;
};

/* Water from station to station. */
struct farm_path {
    const char *from;
    const char *to;
    day_number since;
    day_number until;          /* DAY_NONE */
    const char *state_station; /* a state parameter that says open or shut; NULL: always open */
    const char *state_parameter;
    const char *returned_share; /* percent as text, NULL: none */
    const char *definition;
};

/* A running meter: what turns its readings into volumes. */
struct farm_counter {
    const char *station;
    const char *parameter;
    struct decimal size;
    struct decimal multiplier;
    struct decimal most_per_day;
    bool share_over_days;
    const instant *replaced_at;
    size_t replaced_count;
    const char *definition;
};

/* A reason the farm typed for a sample that was not taken goes by command, not by the file. */

struct farm_source {
    struct source source;
    const char *definition;
};

struct farm_limit {
    struct limit limit;
    const char
        *change; /* "licence changed" or "copied wrongly": asked for when a limit changed; NULL */
    const char *definition;
    const char *judged; /* the definition without what changes no verdict (name, wording, margin):
                           what to compare to see whether the clause changed */
};

struct farm_interval {
    struct interval interval;
    const char *change;
    const char *definition;
    const char *judged;
};

enum farm_notice_by { NOTICE_BY_MAIL, NOTICE_BY_WEBHOOK };

/* Who is told of what, in the order in which they are told while nobody has seen it. */
struct farm_notice {
    const char *person; /* key */
    enum farm_notice_by by;
    const char *to;     /* an address, or a webhook's key in weirbook.conf */
    unsigned kinds;     /* bits in the order of farm_notice_kinds; 0: of every kind */
    int next_after_s;   /* so long for this person to see it, then the next is told too; 0: both
                           at once */
    int again;          /* told so many times more while nobody has seen it */
    int again_after_s;  /* so long after the last one of the round before was told */
    int not_older_days; /* not of what began longer ago; 0: of all */
};

/* Kinds of finding, as stored; NULL ends them. */
extern const char *const farm_notice_kinds[];

/* Whether a person is told of findings of that kind. */
bool farm_notice_wants(const struct farm_notice *notice, const char *kind);

struct farm_parameter {
    struct parameter parameter;
    const char *definition;
};

#define FARM_LIST(name, type)                                                                      \
    struct name {                                                                                  \
        type *items;                                                                               \
        size_t count;                                                                              \
        size_t capacity;                                                                           \
    }

struct farm {
    const char *key; /* short, lower case: "saltmarsh-demo" */
    const char *name;
    const char *zone_name;
    const struct zone *zone;
    int state_holds_s; /* how long a state holds without a new word; 0: until the next one */
    bool invented;     /* a demonstration: every page and workbook says so */
    FARM_LIST(farm_person_list, struct farm_person) people;
    FARM_LIST(farm_authority_list, struct farm_authority) authorities;
    FARM_LIST(farm_licence_list, struct farm_licence) licences;
    FARM_LIST(farm_station_list, struct farm_station) stations;
    FARM_LIST(farm_path_list, struct farm_path) paths;
    FARM_LIST(farm_parameter_list, struct farm_parameter) parameters;
    struct parameter_list known_parameters; /* built-in ones and the farm's own */
    FARM_LIST(farm_laboratory_list, struct farm_laboratory) laboratories;
    FARM_LIST(farm_tide_table_list, struct farm_tide_table) tide_tables;
    FARM_LIST(farm_counter_list, struct farm_counter) counters;
    FARM_LIST(farm_tank_list, struct farm_tank) tanks;
    FARM_LIST(farm_derived_list, struct farm_derived) derived;
    FARM_LIST(farm_sensor_test_list, struct farm_sensor_test) sensor_tests;
    FARM_LIST(farm_quality_list, struct farm_quality) quality;
    FARM_LIST(farm_instrument_list, struct farm_instrument) instruments;
    FARM_LIST(farm_source_list, struct farm_source) sources;
    FARM_LIST(farm_limit_list, struct farm_limit) limits;
    struct key_index limit_keys; /* of all of them: there may be thousands */
    FARM_LIST(farm_interval_list, struct farm_interval) intervals;
    FARM_LIST(farm_notice_list, struct farm_notice) notices;
    const char *definition; /* of the farm's own lines (name, zone) */
};

const struct farm_person *farm_find_person(const struct farm *farm, const char *key);
/* As people know them; the key where the farm file knows them no more; NULL for NULL. */
const char *farm_person_name(const struct farm *farm, const char *key);
const struct farm_authority *farm_find_authority(const struct farm *farm, const char *key);
const struct farm_licence *farm_find_licence(const struct farm *farm, const char *key);
const struct farm_station *farm_find_station(const struct farm *farm, const char *key);
const struct farm_laboratory *farm_find_laboratory(const struct farm *farm, const char *key);
const struct farm_tide_table *farm_find_tide_table(const struct farm *farm, const char *key);
const struct farm_tank *farm_find_tank(const struct farm *farm, const char *station);
const struct farm_derived *farm_find_derived(const struct farm *farm, const char *key);

/* The tests of a series of that kind: the first item that fits; NULL: none. */
const struct farm_sensor_test *farm_find_sensor_test(const struct farm *farm, const char *station,
                                                     const char *position, const char *parameter,
                                                     const char *made_by, const char *kind);

/* What a laboratory's results of a parameter stand under: the first item that fits; NULL: none.
 * `made_by` as a series names it. */
const struct farm_quality *farm_find_quality(const struct farm *farm, const char *parameter,
                                             const char *made_by);

/* The laboratory that a series names so; NULL: none is called that. */
const struct farm_laboratory *farm_laboratory_written(const struct farm *farm, const char *made_by);

const struct farm_instrument *farm_find_instrument(const struct farm *farm, const char *key);

/*
 * The instrument that a series of that kind was read by at an instant: the one it names; of a
 * series that names none the only fixed probe there whose parameter is checked. NULL: none on
 * record.
 */
const struct farm_instrument *farm_instrument_of(const struct farm *farm, const char *station,
                                                 const char *position, const char *parameter,
                                                 const char *made_by, const char *kind, instant at);

/* Whether it may have read such a series while it was in use. */
bool farm_instrument_reads(const struct farm *farm, const struct farm_instrument *instrument,
                           const char *station, const char *position, const char *parameter,
                           const char *made_by, const char *kind);

/* When it came into use and when no more: 1950 and INT64_MAX where the farm file does not tell. */
instant farm_instrument_from(const struct farm *farm, const struct farm_instrument *instrument);
instant farm_instrument_until(const struct farm *farm, const struct farm_instrument *instrument);

const struct farm_source *farm_find_source(const struct farm *farm, const char *key);
const struct farm_limit *farm_find_limit(const struct farm *farm, const char *key);
const struct farm_interval *farm_find_interval(const struct farm *farm, const char *key);

/* Of a key that a person typed. ERR_NOT_FOUND: the farm has no such station; the nearest is told.
 */
MUST_CHECK bool farm_require_station(struct arena *mem, const struct farm *farm, const char *key,
                                     struct err *err);

/* The same, and where `position` is told that the station has it. */
MUST_CHECK bool farm_require_position(struct arena *mem, const struct farm *farm,
                                      const char *station, const char *position, struct err *err);

/* "tank-1/ring" as people write it, or "tank-1" where there is no position (NULL or ""). */
const char *farm_position_text(struct arena *mem, const char *station, const char *position);

/* The station of such a text; `position` NULL where it names none. Neither is looked up. */
const char *farm_position_split(struct arena *mem, const char *text, const char **position);

#endif
