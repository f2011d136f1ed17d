#include "app/evidence_wanted.h"

#include "app/load_evidence.h"
#include "base/str.h"
#include "judge/limit_reads.h"
#include "judge/period.h"

static struct wanted_read *find(const struct evidence_wanted *wanted, const char *station,
                                const char *parameter)
{
    for (size_t i = 0; i < wanted->count; i++) {
        if (str_equal(wanted->items[i].parameter, parameter) &&
            str_equal(wanted->items[i].station, station))
            return &wanted->items[i];
    }

    return NULL;
}

static void widen(struct wanted_read *read, const struct wanted_read *by)
{
    read->first = by->first < read->first ? by->first : read->first;
    read->last = by->last > read->last ? by->last : read->last;
    read->before_s = by->before_s > read->before_s ? by->before_s : read->before_s;
    read->after_s = by->after_s > read->after_s ? by->after_s : read->after_s;
    read->samples = by->samples > read->samples ? by->samples : read->samples;
    read->by_day = read->by_day || by->by_day;
    read->skips_days = read->skips_days || by->skips_days;
    read->span_moves = read->span_moves || by->span_moves;
}

static void add(struct arena *mem, struct evidence_wanted *wanted, struct wanted_read read)
{
    struct wanted_read *there;

    if (!read.station || !read.parameter)
        return;
    there = find(wanted, read.station, read.parameter);
    if (there)
        widen(there, &read);
    else
        LIST_ADD(mem, wanted, read);
}

/* The days that a limit's periods in first..last, or over its edges, reach to. */
static void reach(const struct limit *limit, day_number first, day_number last,
                  struct wanted_read *out)
{
    for (day_number day = first; day <= last;) {
        struct wanted_read one = *out;
        day_number from;
        day_number to;

        judge_period(limit, day, &from, &to);
        judge_reach(limit, from, to, &one.first, &one.last);
        widen(out, &one);
        day = to + 1;
    }
}

/* Whether a day counts wherever it has a reading that is neither left out nor in doubt. */
static bool counts_every_day(const struct limit *limit)
{
    return limit->daily <= DAILY_MAXIMUM && limit->day_starts_hour == 0 &&
           limit->method_count == 0 && limit->instrument_count == 0 && limit->taker_count == 0 &&
           !limit->accredited && !limit->without_looking_for_cause &&
           !limit->only_while_discharging && !limit->hours.set && limit->tide.of == TIDE_NONE &&
           !limit->season.set && !limit->applies_while.other.station &&
           limit->against.kind == AGAINST_NONE && limit->bound_by.kind == BOUND_NUMBER &&
           (limit->kinds & ~(unsigned)KIND_PROBE) == 0;
}

static void limit_add(struct arena *mem, struct evidence_wanted *wanted, const struct limit *limit,
                      day_number first, day_number last)
{
    struct limit_read_list reads = limit_reads(mem, limit);
    struct wanted_read days = {
        .first = first,
        .last = last,
        .samples = judge_samples_before(limit),
        .by_day = limit->daily != DAILY_EVERY,
        .skips_days = judge_samples_before(limit) > 0 && !counts_every_day(limit),
        .span_moves = limit->span_belongs == BELONGS_ENDED || limit->span_belongs == BELONGS_MOSTLY,
    };

    reach(limit, first, last, &days);
    for (size_t i = 0; i < reads.count; i++) {
        struct wanted_read read = days;

        read.station = reads.items[i].station;
        read.parameter = reads.items[i].parameter;
        read.before_s = reads.items[i].before_s;
        read.after_s = reads.items[i].after_s;
        add(mem, wanted, read);
    }
}

/* Whether a limit of the list is about that station. */
static bool station_judged(const struct clause_limits *limits, const char *station)
{
    for (size_t i = 0; i < limits->count; i++) {
        if (str_equal(limits->items[i].limit.station, station))
            return true;
    }

    return false;
}

/* What a derived reading is made of is wanted as far as it is, and as far apart as they may be. */
static void inputs_add(struct arena *mem, struct evidence_wanted *wanted,
                       const struct derivation *derivation, struct wanted_read made, int within_s)
{
    made.before_s += within_s;
    made.after_s += within_s;
    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
        if (!derivation->inputs[i].parameter)
            continue;
        made.station = derivation->inputs[i].station;
        made.parameter = derivation->inputs[i].parameter->key;
        add(mem, wanted, made);
    }
}

/*
 * What the farm works out of what is wanted: then that is wanted too. What a derived reading is
 * made of stands above it in the file, so that going upwards meets all of it.
 */
static void derived_add(struct arena *mem, struct evidence_wanted *wanted, const struct farm *farm)
{
    size_t count = farm->derived.count;
    const struct derivation **upwards = ARENA_ARRAY(mem, const struct derivation *, count);

    for (size_t at = count; at-- > 0;) {
        const struct derivation *derivation = farm->derived.items[at].derivation;
        const struct wanted_read *made =
            find(wanted, derivation->made.station, derivation->made.parameter->key);

        if (!made)
            continue;
        upwards[wanted->derived_count++] = derivation;
        inputs_add(mem, wanted, derivation, *made, farm->derived.items[at].within_s);
    }

    const struct derivation **downwards =
        ARENA_ARRAY(mem, const struct derivation *, wanted->derived_count);

    for (size_t i = 0; i < wanted->derived_count; i++)
        downwards[i] = upwards[wanted->derived_count - 1 - i];
    wanted->derived = downwards;
}

struct evidence_wanted evidence_wanted_of(struct arena *mem, const struct farm *farm,
                                          const struct clause_limits *limits, day_number first,
                                          day_number last, bool points_of_limits)
{
    struct evidence_wanted wanted = {.count = 0};

    for (size_t i = 0; i < limits->count; i++) {
        const struct clause_limit *clause = &limits->items[i];

        if (!clause_judged_in(&clause->limit, first, last))
            continue;
        limit_add(mem, &wanted, &clause->limit, first, last);
        if (clause->before)
            limit_add(mem, &wanted, clause->before, first, last);
    }
    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            if (points_of_limits && !station_judged(limits, point->station))
                continue;
            add(mem, &wanted,
                (struct wanted_read){.station = point->outlet_station,
                                     .parameter = point->outlet_parameter,
                                     .first = first,
                                     .last = last});
            add(mem, &wanted,
                (struct wanted_read){.station = point->meter_station,
                                     .parameter = point->meter_parameter,
                                     .first = first,
                                     .last = last});
        }
    }
    derived_add(mem, &wanted, farm);

    return wanted;
}

struct wanted_read *evidence_wants(const struct evidence_wanted *wanted,
                                   const struct series_row *row)
{
    return find(wanted, row->station, row->parameter);
}

static int64_t at_least_a_day_us(int seconds)
{
    int64_t us = seconds * SECOND_US;

    return us > DAY_US ? us : DAY_US;
}

/* Days before the clause's that a series is read from: states and meters hold, spans are long. */
static int64_t lead_us(const struct wanted_read *read, bool reaches_over, unsigned kind)
{
    int64_t lead = at_least_a_day_us(read->before_s);
    /* A composite may belong to a day long after the one it began in. */
    bool is_long = reaches_over || (read->span_moves && kind == KIND_COMPOSITE);

    return is_long && lead < LEAD_DAYS * DAY_US ? LEAD_DAYS * DAY_US : lead;
}

struct wanted_span evidence_wanted_span(const struct farm *farm, const struct wanted_read *read,
                                        unsigned kind)
{
    const struct parameter *parameter = parameter_find(&farm->known_parameters, read->parameter);
    bool reaches_over = parameter && parameter->kind != PARAMETER_NUMBER;
    instant end = zone_day_start(farm->zone, read->last + 1);

    return (struct wanted_span){
        .first = zone_day_start(farm->zone, read->first) - lead_us(read, reaches_over, kind),
        .until = reaches_over ? end : end + at_least_a_day_us(read->after_s),
        .reaches_over = reaches_over};
}

bool evidence_wants_place(const struct evidence_wanted *wanted, const char *station,
                          const char *parameter)
{
    for (size_t i = 0; i < wanted->count; i++) {
        const struct wanted_read *read = &wanted->items[i];

        if ((!station || str_equal(read->station, station)) &&
            (!parameter || str_equal(read->parameter, parameter)))
            return true;
    }

    return false;
}

void evidence_wanted_days(const struct evidence_wanted *wanted, const char *station,
                          day_number *first, day_number *last)
{
    for (size_t i = 0; i < wanted->count; i++) {
        const struct wanted_read *read = &wanted->items[i];

        if (!str_equal(read->station, station))
            continue;
        *first = read->first < *first ? read->first : *first;
        *last = read->last > *last ? read->last : *last;
    }
}

static void point_widen(struct evidence_wanted *wanted, const char *station, const char *parameter,
                        const char *of)
{
    struct wanted_read *read = find(wanted, station, parameter);

    if (read)
        evidence_wanted_days(wanted, of, &read->first, &read->last);
}

void evidence_wanted_points(struct evidence_wanted *wanted, const struct farm *farm)
{
    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            point_widen(wanted, point->outlet_station, point->outlet_parameter, point->station);
            point_widen(wanted, point->meter_station, point->meter_parameter, point->station);
        }
    }
}
